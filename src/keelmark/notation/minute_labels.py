"""Minutes of a rotation: in front of the work, behind it, odd and even."""

from __future__ import annotations

from keelmark.notation.drafts import StationDraft
from keelmark.notation.items import Item
from keelmark.notation.merging import seconds_of
from keelmark.notation.segments import Segment
from keelmark.notation.titles import Titles
from keelmark.notation.tree import Amount

__all__ = ["MinuteLabels", "numbers_of"]


class MinuteLabels(Titles):
    """Opens the group of a minute, and reads how long a rotation lasts."""

    def _other_half(self) -> bool:
        """The odd or even minutes have been named, the others may follow."""
        return self._in_windows() and self.now is not None and any(group.parity for group in self.now.groups[-2:])

    def _minute_behind(self, items: list[Item]) -> list[Item]:
        """`1 burpee in minute 1`: the minute comes to the front."""
        behind = [item for item in items if item.kind not in ("minute", "time")]
        if items[0].kind == "amount" and behind[-1].kind in ("odd", "even") and self._in_windows():
            return self._half_behind(behind)
        if len(items) < 3 or items[-1].kind != "amount" or items[-2].kind != "minute" or items[0].kind == "minute":
            return items
        front = items[:-2]
        while front and front[-1].kind in ("word", "wearing", "of", "at", "to", "letter", "a", "between"):
            front.pop()
        if not front or front[0].kind not in ("amount", "movement"):
            return items
        last = self.last_station()
        if len(front) == 1 and last is not None and front[0].kind == "amount":
            return self._next_rung(last, front[0])
        if not self._in_windows():
            section = self.section()
            section.kind, section.window = "until_miss", section.window or 60.0
        self._without_bare_name()
        return [*items[-2:], *front]

    def _half_behind(self, items: list[Item]) -> list[Item]:
        """`8 burpees in odd minutes`, `T2B: 6 on the odd, 8 on the even`: the minutes come to the front."""
        named = any(item.kind == "movement" for item in items)
        stations = [station for group in self.section().groups for station in group.stations]
        if named or not stations:
            return [items[-1], *items[:-1]]
        last = stations[-1]
        self._without_bare_name()
        return [items[-1], items[0], Item("movement", last.start, last.end, last.movement, last.word)]

    def _without_bare_name(self) -> None:
        """A name that stood alone in front of its minutes is no station."""
        for group in self.section().groups:
            if not (group.slots or group.parity or group.bare) and all(s.amount is None for s in group.stations):
                group.stations.clear()

    def _next_rung(self, last: StationDraft, item: Item) -> list[Item]:
        """`... 2 in minute 2, 3 in minute 3`: one more rung of the ladder of the station before."""
        section = self.section()
        section.kind, section.window = "until_miss", section.window or 60.0
        steps = last.amount.steps if last.amount is not None else ()
        last.amount = Amount(steps=(*steps, *item.value.steps), continues=True)
        for group in section.groups:
            group.slots = ()
        return []

    def _in_windows(self) -> bool:
        return self.now is not None and self.now.kind in ("every", "until_miss", "intervals")

    def _minute(self, segment: Segment, items: list[Item]) -> list[Item]:
        numbers = numbers_of(items[1].value)
        if self._is_time_span(segment, items):
            first, last = items[1].value.steps[0], items[1].value.steps[-1]
            self.now = None
            self.section()
            self.pending_seconds = ((last.top or last.value) - first.value) * 60
            self.timeline = True
            return items[2:]
        if not self._in_windows():
            section = self.section()
            if items[0].kind == "slot" and segment.starts_line and not section.headed:
                rest = items[2:]
                return rest[1:] if rest and rest[0].kind in ("equals", "colon", "dash") else rest
            named = len(section.groups) == 1 and all(s.amount is None for s in section.groups[0].stations)
            if (section.fresh or (named and items[0].kind == "minute")) and section.kind == "work":
                section.kind, section.window = "every", 60.0
            else:
                return items
        self._slot("", numbers)
        rest = items[2:]
        while rest and rest[0].kind in ("equals", "colon", "dash"):
            rest = rest[1:]
        return rest

    def _is_time_span(self, segment: Segment, items: list[Item]) -> bool:
        """`Min 8-14: AMRAP ...`: when it is done, not a slot of a rotation."""
        steps = items[1].value.steps
        spans = len(steps) > 2 and steps[-1].value - steps[0].value == len(steps) - 1
        if not (spans or (len(steps) == 1 and steps[0].top is not None)) or (self._in_windows() and not self.timeline):
            return False
        if self.timeline or steps[0].value == 0:
            return True
        following = self.following()
        return following is not None and any(item.kind in ("amrap_head", "for_time") for item in following.items)

    def _slot(self, parity: str, numbers: tuple[int, ...]) -> None:
        section = self.section()
        if section.kind == "work" and section.fresh:
            section.kind, section.window = "every", 60.0
            section.seconds = self.pending_seconds if section.alternate or parity else None
        group = self.new_group()
        group.slots, group.parity = numbers, parity
        if group.rounds > 1:
            section.windows = section.windows or group.rounds
            group.rounds = 1

    def _all_alone(self, items: list[Item]) -> bool:
        told = all(
            item.kind in ("dur", "word", "pace", "for_word", "of", "running_clock", "at", "alternating", "ladder")
            for item in items
        )
        self.section().alternate |= told and any(item.kind == "alternating" for item in items)
        return told

    def _set_total(self, items: list[Item]) -> bool:
        """`12 minutes total` behind minutes of a rotation whose end was not yet told."""
        now = self.now
        if now is None or now.kind != "every" or now.fresh or now.seconds is not None or now.windows is not None:
            return False
        now.seconds = seconds_of(next(item for item in items if item.kind == "dur"))
        return True


def numbers_of(amount: Amount) -> tuple[int, ...]:
    """The minutes that a label names: `3`, `1-5`, `1, 3, 5`."""
    if len(amount.steps) == 1 and amount.steps[0].top is not None:
        return tuple(range(int(amount.steps[0].value), min(int(amount.steps[0].top), 240) + 1))
    numbers: list[int] = []
    for step in amount.steps[:60]:
        numbers.append(int(step.value))
        if step.lighter is not None:
            numbers.append(int(step.lighter))
    return tuple(numbers)
