"""Teams: how many share the work, and how."""

from __future__ import annotations

from keelmark.notation.clock_heads import ClockHeads
from keelmark.notation.items import Item
from keelmark.notation.segments import Segment

__all__ = ["Teams"]


class Teams(ClockHeads):
    """Reads how a team shares its work, and the heads that stand in brackets."""

    def _team(self, item: Item, segment: Segment, left: list[Item]) -> None:  # noqa: C901
        roles = item.roles
        section = self.section()
        greeting = (
            item.kind == "team" and " " not in item.word and segment.after == "stop" and segment.items[0].kind == "word"
        )
        if greeting and all(other.kind in ("word", "team") for other in segment.items):
            return
        if "weak_turns" in roles and not self.team_seen and not section.share:
            return
        turns_of_clock = section.kind == "every" and not self.team_seen and item.kind == "in_turn" and not section.share
        if "in_turn" in roles and (turns_of_clock or any(other.kind == "slot" for other in segment.items)):
            section.alternate = section.kind == "every"
            return
        if item.kind == "open_end":
            section.kind = "until_miss" if section.kind in ("every", "work") else section.kind
            section.continues = True
            return
        if item.kind == "solo":
            section.share = self.default_share = ""
            return
        if "pairs" in roles:
            self.people = self.people or 2
        elif "threes" in roles or "fours" in roles:
            self.people = self.people or (3 if "threes" in roles else 4)
        share = section.share
        if item.kind == "team":
            if isinstance(item.value, int):
                self.people = item.value
            share = share or ("turns" if "in_turn" in roles else "split")
        if item.kind == "team" or "pairs" in roles:
            self.team_seen = True
        if {"share", "together"} <= set(roles) and segment.content and self._runs_together(item, segment):
            self.own_next = True
        elif "share" in roles:
            share = "split" if self.team_seen or share not in ("", "loose") else "loose"
        elif "in_turn" in roles:
            share = "turns" if share != "own" else share
        elif item.kind == "together":
            self.own_next = segment.content
            if not segment.content and section.fresh:
                share = "own"
        elif "own" in roles or "each_person" in roles:
            if any(other.kind == "rounds_head" for other in segment.items):
                share = "own"
            elif segment.content:
                self.own_next = True
            elif "each_person" in roles and segment.after == "colon":
                self.own_rest = True
        if share != section.share:
            if len(self.sections) == 1 and section.fresh:
                self.default_share = share
            section.share = share

    def _runs_together(self, item: Item, segment: Segment) -> bool:
        """`3 km Lauf gemeinsam`: side by side, each the whole way."""
        movements = self.lexicon.catalogue.movements
        before = [other for other in segment.items if other.kind == "movement" and other.start < item.start]
        return bool(before) and movements[before[-1].value].category == "monostructural"

    def heads_in_note(self, note: list[Item]) -> None:
        """A bracket with a cap, a rest or a clock."""
        for item in note:
            if item.kind == "cap_head":
                self.section().cap = item.value
            elif item.kind in ("team", "share", "in_turn", "own"):
                self._team(item, Segment(), [])
            elif item.kind == "repeat":
                self.repeat(item.value)
            elif item.kind == "for_time" and self.section().kind == "work":
                self.section().kind = "for_time"
                self.section().headed = True
            elif item.kind == "each_person":
                self.each_known = True
                if any(other.kind == "rounds_head" for other in note):
                    self.section().share = "own"
            elif (
                item.kind == "rounds_head"
                and self.section().kind in ("work", "for_time")
                and isinstance(item.value, int)
            ):
                group = self.current_group()
                if group.rounds == 1:
                    group.rounds = item.value
