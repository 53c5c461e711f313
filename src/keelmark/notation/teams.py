"""Teams: how many share the work, and how."""

from __future__ import annotations

from keelmark.notation.items import Item
from keelmark.notation.segments import Segment
from keelmark.notation.times_ahead import TimesAhead

__all__ = ["Teams"]

_PEOPLE = {"pairs": 2, "threes": 3, "fours": 4}


def _greets(item: Item, segment: Segment) -> bool:
    """`Morning team.`: a word to those who read it."""
    short = item.kind == "team" and " " not in item.word
    spoken = short and segment.after == "stop" and segment.items[0].kind == "word"
    return spoken and all(other.kind in ("word", "team") for other in segment.items)


class Teams(TimesAhead):
    """Reads how a team shares its work, and the heads that stand in brackets."""

    def _team(self, item: Item, segment: Segment) -> None:
        """A word of a team: how many they are, whose turn it is, what each does alone."""
        section = self.section()
        weak = "weak_turns" in item.roles and not self.team_seen and not section.share
        if _greets(item, segment) or (weak and section.kind != "intervals"):
            return
        if item.kind == "superset":
            section.alternate |= section.kind == "every" and item.word.endswith((" a and b", " a b"))
        elif self._turns_of_clock(item, segment):
            section.alternate = section.kind in ("every", "intervals")
        elif item.kind == "in_turn" and item.value and self._windows_of_turns(item.value):
            self._share("turns")
        elif item.kind == "open_end":
            section.kind = "until_miss" if section.kind in ("every", "work") else section.kind
            section.continues = True
        elif item.kind == "solo":
            section.share = self.default_share = ""
        else:
            self._count_people(item)
            if item.kind == "team" and not segment.content and segment.strong:
                self.own_rest = False
            self._share(self._share_of(item, segment))

    def _windows_of_turns(self, seconds: float) -> bool:
        """`20:00, swap every 2:00`: windows in which one of them works, where no other clock is told."""
        section = self.section()
        total = section.clock or self.pending_seconds
        if not section.fresh or section.kind != "work" or section.headed or not total or total <= seconds:
            return False
        section.kind, section.window, section.seconds, section.headed = "every", seconds, total, True
        return True

    def _turns_of_clock(self, item: Item, segment: Segment) -> bool:
        """Minutes or stations take turns, not people."""
        section = self.section()
        alone = (
            section.kind in ("every", "intervals")
            and not self.team_seen
            and item.kind == "in_turn"
            and not section.share
        )
        return "in_turn" in item.roles and (alone or any(other.kind == "slot" for other in segment.items))

    def _count_people(self, item: Item) -> None:
        """How many there are in the team, where the word tells."""
        for role, people in _PEOPLE.items():
            if role in item.roles:
                self.people = self.people or people
                break
        if item.kind == "team" and isinstance(item.value, int):
            self.people = item.value
        if item.kind == "team" or "pairs" in item.roles:
            self.team_seen = True

    def _share_of(self, item: Item, segment: Segment) -> str:
        """How the work of the section is shared after this word."""
        roles, section = item.roles, self.section()
        share = section.share
        if item.kind == "team":
            share = share or ("turns" if "in_turn" in roles else "split")
        if {"share", "together"} <= set(roles) and segment.content and self._runs_together(item, segment):
            self.own_next = True
        elif "share" in roles:
            share = "split" if self.team_seen or share not in ("", "loose") else "loose"
        elif "in_turn" in roles:
            share = "turns" if share != "own" else share
        elif item.kind == "together":
            self.own_next = segment.content
            share = "own" if not segment.content and section.fresh else share
        elif "own" in roles or "each_person" in roles:
            share = self._share_of_each(item, segment, share)
        return share

    def _share_of_each(self, item: Item, segment: Segment, share: str) -> str:
        """`each`, `on your own`: of all rounds, of the station that is named, or of those behind."""
        rounds = next((other.value for other in segment.items if other.kind == "rounds_head"), None)
        if rounds is not None:
            return "turns" if rounds == 1 else "own"
        if segment.content:
            self.own_next = True
        elif "each_person" in item.roles and segment.after == "colon":
            self.own_rest = True
        return share

    def _share(self, share: str) -> None:
        section = self.section()
        if share != section.share:
            if len(self.sections) == 1 and section.fresh:
                self.default_share = share
            section.share = share

    def _clock_in_note(self, item: Item, note: list[Item]) -> bool:
        """`Part 2 (12 min AMRAP): ...`, `Finisher (EMOM 8)`: the clock of what follows."""
        section = self.section()
        told = section.windows is not None or section.seconds is not None
        if item.kind == "nsets" and section.kind == "every" and section.fresh and not told:
            section.windows = item.value
            return True
        if not section.fresh or section.headed or section.kind != "work":
            return False
        if item.kind == "amrap_head" and item.value:
            self._clocked("amrap", item).seconds = item.value
            self.section().repeats = min(item.parts[0], 60) if item.parts else 1
        elif item.kind == "every_head":
            self._every(item, Segment(), note)
        elif item.kind == "interval_head":
            self._interval(item)
        else:
            return False
        return True

    def _runs_together(self, item: Item, segment: Segment) -> bool:
        """`3 km Lauf gemeinsam`: side by side, each the whole way."""
        movements = self.lexicon.catalogue.movements
        before = [other for other in segment.items if other.kind == "movement" and other.start < item.start]
        return bool(before) and movements[before[-1].value].category == "monostructural"

    def heads_in_note(self, note: list[Item]) -> None:
        """A bracket with a cap, a rest or a clock."""
        for item in note:
            if self._clock_in_note(item, note):
                continue
            if item.kind == "cap_head":
                self.section().cap = item.value
            elif item.kind in ("team", "share", "in_turn", "own"):
                self._team(item, Segment())
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
