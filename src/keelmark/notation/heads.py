"""Heads: what opens a section or group, and what it says about clock, rounds and team."""

from __future__ import annotations

from keelmark.notation.drafts import GroupDraft
from keelmark.notation.items import Item
from keelmark.notation.merging import seconds_of
from keelmark.notation.round_heads import RoundHeads
from keelmark.notation.segments import Segment
from keelmark.notation.titles import TITLES
from keelmark.notation.tree import Quantity

__all__ = ["HEADS", "Heads"]

HEADS = frozenset(
    [
        "amrap_head",
        "every_head",
        "rounds_head",
        "for_time",
        "not_for_time",
        "tabata",
        "interval_head",
        "cap_head",
        "team",
        "share",
        "in_turn",
        "own",
        "together",
        "solo",
        "buy_in",
        "cash_out",
        "chipper",
        "superset",
        "open_end",
        "each_person",
        "rest_mark",
        "rest",
        "repeat",
        "pairs",
    ]
)


_BEHIND_WORK = frozenset(["buy in", "cash out", "buy out", "to get in", "to get out"])
"""Words of a part that may stand behind its work: `400 m run buy-in`."""


_BEFORE_ROLE = frozenset(["and", "then", "letter", "a"])
"""`and finish with a run`: what may stand in front of the words of a part."""


_TURNS = frozenset(["in_turn", "share", "team"])


_ENDS_ROTATION = frozenset(["dur", "total", "word", "for_word", "of", "and_so_on", "to", "repeat", "until"])


_BESIDE_INTERRUPT = frozenset(["work", "at", "and", "start_at", "dur", "word", "comma", "to", "of", "a"])
"""What stands beside a head of work that interrupts: from when on."""


_OF_EACH_PLACE = frozenset(["dur", "each", "word", "at", "of", "slot", "for_word", "on", "per"])
"""`so 6 minutes at each place`: what follows from the windows."""


def _is_set(items: list[Item]) -> bool:
    """`4 x 1 km with 2 min rest`: sets that stand in front of their rest."""
    return any(item.kind in ("dist", "cals", "amount") and item.value.sets > 1 for item in items)


class Heads(RoundHeads):
    """Takes the heads out of a segment and lets them act."""

    def heads(self, segment: Segment) -> list[Item]:
        """Take the heads out of a segment and let them act; the rest is returned."""
        items = self._without_labels(segment, segment.items)
        if not items:
            return items
        kinds = {item.kind for item in items}
        if items[0].kind == "alternating" and self._in_windows() and self.section().fresh:
            self.section().alternate = True
            items = items[1:]
        if items and items[0].kind == "each" and self._each_does(segment, items):
            self.own_next = self.own_next or segment.content
            self.own_rest = self.own_rest or (len(items) == 1 and segment.after == "colon")
            items = items[1:]
        if "slots" in kinds:
            items = self._without_slots(segment, items, kinds)
            kinds.discard("slots")
        if not items or self._is_time_only(segment, items, kinds):
            return []
        if kinds.isdisjoint(HEADS):
            return self._loose(segment, items)
        if items[-1].word in _BEHIND_WORK and items[0].kind in ("amount", "dist", "cals", "dur"):
            items = [items[-1], *items[:-1]]
        return self._act(segment, items, kinds)

    def _each_does(self, segment: Segment, items: list[Item]) -> bool:
        """`each`, where people share the work: of them, not of the movements."""
        if not self.section().share:
            return False
        first = segment.content and self.section().fresh and not segment.strong
        return "each_person" in items[0].roles or (first and self.team_seen)

    def _without_labels(self, segment: Segment, items: list[Item]) -> list[Item]:
        """What is left behind a time of day, a minute, a label and a title."""
        if items and items[0].kind == "timespan":
            self.new_section()
            self.pending_seconds = items[0].value or self.pending_seconds
            items = items[1:]
        items = self._minute_behind(items) if items else items
        items = self._labels(segment, items) if items else items
        if not items:
            return items
        if "then" in segment.before:
            self._then(segment, items)
        if items[0].kind in TITLES and self._is_title(segment, items):
            return self._title(segment, items)
        if len(items) == 1 and segment.strong and segment.after == "colon":
            return self._title_of_same_name(items[0])
        return items

    def _without_slots(self, segment: Segment, items: list[Item], kinds: set[str]) -> list[Item]:
        """`3 stations` of a rotation say that they take turns."""
        section = self.section()
        turns = not segment.starts_line and items[0].kind == "slots" and section.kind == "every"
        if section.fresh and self._in_windows() and (kinds == {"slots"} or turns):
            section.alternate = True
        left = [item for item in items if item.kind != "slots"]
        idle = all(item.kind in ("word", "of", "rounds", "in_turn", "each") for item in left)
        return [] if idle and not segment.content else left

    def _is_time_only(self, segment: Segment, items: list[Item], kinds: set[str]) -> bool:
        """A time that says when, how long or how often, and nothing to do."""
        if len(items) == 1 and (self._stretch_of_clock(segment, items) or self._windows_times(segment, items)):
            return True
        if "dur" in kinds and not segment.content and self._clock_for_max(segment, items, kinds):
            return True
        if segment.content or "dur" not in kinds:
            return False
        time = next(item for item in items if item.kind == "dur")
        if kinds <= _ENDS_ROTATION and self._set_total(items):
            return True
        fresh = self.section().fresh
        if not fresh and self._in_windows() and "each" in kinds and kinds <= _OF_EACH_PLACE and segment.strong:
            self._passed_over(items)
            return True
        if self.interrupt and not fresh:
            self.interrupt = "each_minute" if seconds_of(time) == 0 else "each_minute_later"
            return True
        if fresh and kinds & _TURNS and kinds <= _TURNS | {"dur"}:
            self.section().clock = seconds_of(time)
        if not fresh and self._clock_of_next_part(segment, items, kinds):
            fresh = self.new_section().fresh
        if fresh and (self._all_alone(items) or "running_clock" in kinds):
            return self._clock_ahead(time)
        if kinds == {"dur"} and "then" in segment.before and self._clock_follows(segment):
            self.now = None
            self.pending_seconds = seconds_of(items[0])
            return True
        return False

    def _clock_ahead(self, time: Item) -> bool:
        """A time in front of the work: its length, or `40/20 s` of work and rest."""
        step = time.value.steps[0]
        if step.lighter is not None and step.lighter < step.value:
            unit = {"s": 1.0, "min": 60.0, "h": 3600.0}[time.value.unit]
            sets = time.value.sets if time.value.sets > 1 else None
            self._interval(Item("interval_head", time.start, time.end, (sets, step.value * unit, step.lighter * unit)))
            return True
        self.pending_seconds = self.section().clock = seconds_of(time)
        return False

    def _act(self, segment: Segment, items: list[Item], kinds: set[str]) -> list[Item]:
        left: list[Item] = []
        self.alternating_here = any("alternating" in item.roles for item in items)
        result = self._each_head(segment, items, kinds, left)
        if "not_for_time" in kinds and [item.kind for item in result] == ["nsets"]:
            result = self._loose(segment, result)
        if self.interrupt and {item.kind for item in result} <= _BESIDE_INTERRUPT:
            result = []
        if segment.line == self.number_line and self.now is not None and self.now.headed:
            self.now.numbered = True
        return result

    def _each_head(self, segment: Segment, items: list[Item], kinds: set[str], left: list[Item]) -> list[Item]:
        for place, item in enumerate(items):
            kind = item.kind
            if kind not in HEADS:
                left.append(item)
                continue
            if kind in ("rest", "rest_mark"):
                self._rest(item, segment, items)
                if not segment.content:
                    return left if _is_set(left) else []
                if any(other.kind == "movement" for other in items[place + 1 :]):
                    continue
                break
            self._one_head(segment, items, place, kinds, left)
            if kind in ("buy_in", "cash_out") and all(other.kind in _BEFORE_ROLE for other in items[:place]):
                group = self._role_group(kind)
                group.role = kind
        return [item for item in left if item.kind not in ("of",)] if len(left) == 1 else left

    def _one_head(self, segment: Segment, items: list[Item], place: int, kinds: set[str], left: list[Item]) -> None:
        item, before = items[place], items[:place]
        kind = item.kind
        if kind == "amrap_head":
            self._amrap(segment, item, items[place + 1 :], left)
        elif kind == "every_head":
            once = bool(left) and left[-1].kind == "amount" and left[-1].value.steps == (Quantity(1.0),)
            if once and self.section().fresh:
                left.pop()
            self._every(item, segment, items)
        elif kind == "rounds_head":
            one = "every_head" in kinds or any(other.kind in ("after", "between") for other in before)
            if item.value != 1 or not (one or self._defines(items, place)):
                self._rounds_told(segment, item, before, left)
        elif kind == "repeat":
            if self.section().fresh:
                self._rounds(item.value, segment)
            else:
                self.repeat(item.value)
        elif kind in ("for_time", "chipper"):
            self._for_time(item, any(other.kind == "movement" for other in before) or self._ends_line(segment))
        elif kind == "tabata":
            section = self._clocked("intervals", item)
            section.work, section.rest = section.work or 20.0, section.rest or 10.0
            section.windows = section.windows or 8
        elif kind == "interval_head":
            self._interval(item)
        elif kind == "cap_head":
            self.section().cap = item.value
        else:
            self._team(item, segment)

    def _amrap(self, segment: Segment, item: Item, behind: list[Item], left: list[Item]) -> None:
        """As many as can be done: a section with that clock, of intervals begun, or the amount of a station."""
        now = self.now
        counted = any(other.kind in ("amount", "cals", "dist") for other in behind)
        headed = now is not None and now.headed and now.fresh
        if item.value is None and segment.content and not counted and not headed:
            left.append(item)
            return
        if (
            now is not None
            and item.value is None
            and now.kind == "intervals"
            and now.fresh
            and now.work
            and now.windows
        ):
            now.kind, now.seconds, now.repeats = "amrap", now.work, min(now.windows, 60)
            now.work = now.rest = now.windows = None
            return
        self._clocked("amrap", item)
        self.section().seconds = item.value or self.pending_seconds
        self.section().repeats = min(item.parts[0], 60) if item.parts else 1

    def _role_group(self, role: str) -> GroupDraft:
        section = self.section()
        if section.groups and not (section.groups[-1].stations or section.groups[-1].slots):
            return section.groups[-1]
        group = GroupDraft(role=role)
        section.groups.append(group)
        return group
