"""Labels and titles: parts of a day, minutes of a rotation, numbers of a list."""

from __future__ import annotations

from keelmark.notation.desk import Desk
from keelmark.notation.drafts import SectionDraft, StationDraft
from keelmark.notation.items import Item
from keelmark.notation.merging import seconds_of
from keelmark.notation.segments import Segment
from keelmark.notation.tree import Amount

__all__ = ["TITLES", "Labels"]

TITLES = frozenset(
    [
        "warm_up",
        "cool_down",
        "strength",
        "conditioning",
        "accessory",
        "mobility",
        "core",
        "gymnastics",
        "practice",
        "free",
    ]
)


_HALVES = frozenset(["per", "pairs", "team"])
"""`par` and `pair` are other words elsewhere."""


_IN_FRONT = frozenset(
    [
        "enumerator",
        "part",
        "sets",
        "rounds",
        "waves",
        "odd",
        "even",
        *_HALVES,
        "minute",
        "slot",
        "dur",
        "letter",
        "amount",
    ]
)
"""Kinds with which a label can begin."""


class Labels(Desk):
    """Reads what stands in front of a line: `A)`, `Part 2:`, `min 1:`, `odd:`, `WARM-UP:`."""

    def _then(self, segment: Segment, items: list[Item]) -> None:
        section = self.section()
        if section.fresh:
            return
        if not segment.strong and self.each_round_line == segment.line:
            return
        if "and" in segment.before and not segment.strong and self.current_group().inline != segment.line:
            return
        once = all(group.role == "buy_in" or not group.stations for group in section.groups)
        if once and section.kind == "amrap":
            self.current_group().closed = True
        elif segment.strong and section.kind in ("amrap", "every", "intervals", "until_miss"):
            self.now = None
        elif segment.strong or (segment.content and self.current_group().rounds > 1):
            self.current_group().closed = True

    def _labels(self, segment: Segment, items: list[Item]) -> list[Item]:  # noqa: C901
        """`A)`, `A1`, `B.`, `Part 2:`, `min 1:`, `odd:`, `1:` at the start of a segment."""
        first = items[0]
        if first.kind not in _IN_FRONT or (first.kind == "amount" and len(items) > 1):
            return items
        second = items[1] if len(items) > 1 else None
        alone = len(items) == 1 or (
            len(items) == 2 and second is not None and second.kind in ("amount", "letter", "equals")
        )
        if first.kind == "enumerator":
            if self._in_windows():
                self._slot("", (int(first.value),))
            return []
        if first.kind == "part" and second is not None and second.kind in ("amount", "letter"):
            self._part(second)
            return items[2:]
        if (
            first.kind in ("sets", "rounds", "waves")
            and len(items) == 2
            and second is not None
            and second.kind == "amount"
            and segment.after == "colon"
        ):
            return []
        parity = first.kind
        if parity in _HALVES and self._other_half():
            parity = self.lexicon.foreign(first.word) or parity
        if parity in ("odd", "even"):
            self._slot(parity, ())
            rest = items[1:]
            while rest and rest[0].kind in ("minute", "equals", "colon"):
                rest = rest[1:]
            return rest
        if first.kind in ("minute", "slot") and second is not None and second.kind == "amount":
            return self._minute(segment, items)
        if (
            first.kind == "dur"
            and first.value.unit == "min"
            and self._in_windows()
            and segment.after in ("colon",)
            and len(items) == 1
        ):
            now = self.section()
            minutes = first.value.steps[0].value
            if now.fresh and minutes > 1 and now.window and now.seconds is None and now.windows is None:
                now.seconds = minutes * 60
                return []
            self._slot("", _numbers(first.value))
            return []
        inside = self._in_windows() and len(items) == 1 and segment.after in ("colon", "close")
        small = (segment.starts_line or inside) and segment.after == "close" and alone
        if first.kind == "letter" and (str(first.value).isupper() or small) and (segment.strong or inside):
            if alone and segment.after in ("stop", "close", "colon", "sdash"):
                if second is None or second.kind == "amount":
                    self._letter(first)
                    return []
            elif second is not None and second.kind == "amount" and not second.spaced and len(items) > 2:
                self._letter(first)
                return items[2:]
        if self._letter_within(segment, items):
            self._letter(first)
            return items[2:]
        if (
            first.kind == "amount"
            and len(items) == 1
            and segment.after in ("colon", "close", "stop", "equals")
            and self._is_number_label(segment, first)
        ):
            if self._in_windows() and not self._begins_next_part(segment):
                self._slot("", _numbers(first.value))
            else:
                self._numbered(segment)
            return []
        return items

    def _begins_next_part(self, segment: Segment) -> bool:
        """`2. EMOM 10: 3 cleans` and on the next line `3. 2 rounds`: a part like the one before, no minute."""
        now = self.now
        told = now is not None and now.numbered and not now.fresh and not any(g.slots or g.parity for g in now.groups)
        return told and segment.starts_line

    def _letter_within(self, segment: Segment, items: list[Item]) -> bool:
        """`A1 pull-ups 4x6, A2 bench 4x8`: one more part of the pair, on the same line."""
        if len(items) < 3 or items[0].kind != "letter" or items[1].kind != "amount" or items[1].spaced:
            return False
        figure = items[1].value
        known = self.now is not None and self.now.label == str(items[0].value)
        return known and segment.content and len(figure.steps) == 1 and figure.steps[0].value <= 9 and figure.sets == 1

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

    def _is_number_label(self, segment: Segment, first: Item) -> bool:
        amount: Amount = first.value
        if "reps" in first.parts:
            return False
        if amount.sets > 1 or len(amount.steps) != 1 or amount.steps[0].value > 60 or amount.sides > 1:
            return False
        if segment.after == "stop" and not segment.strong:
            return False
        if self._in_windows():
            return True
        return segment.after in ("close", "stop") and segment.starts_line

    def _numbered(self, segment: Segment) -> None:
        """`3)` at the start of a line: a new part, where the part before had its own clock."""
        now = self.now
        group = self.current_group()
        if group.rounds > 1 and group.stations and group.inline == self.number_line:
            group.closed = True
        if now is not None and now.headed and not now.fresh and now.numbered:
            self.now = None
        self.number_line = segment.line

    def _in_windows(self) -> bool:
        return self.now is not None and self.now.kind in ("every", "until_miss", "intervals")

    def _minute(self, segment: Segment, items: list[Item]) -> list[Item]:
        numbers = _numbers(items[1].value)
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
        following = self.segments[self.at + 1] if self.at + 1 < len(self.segments) else None
        return following is not None and any(item.kind in ("amrap_head", "for_time") for item in following.items)

    def _slot(self, parity: str, numbers: tuple[int, ...]) -> None:
        section = self.section()
        if section.kind == "work" and section.fresh:
            section.kind, section.window = "every", 60.0
            section.seconds = self.pending_seconds if section.alternate else None
        group = self.new_group()
        group.slots, group.parity = numbers, parity
        if group.rounds > 1:
            section.windows = section.windows or group.rounds
            group.rounds = 1

    def _letter(self, item: Item) -> None:
        item.kind = "label"
        turns = self.now is not None and (self.now.emom or self.now.alternate)
        if self.now is not None and self.now.kind == "every" and turns and not self._letter_is_part(item):
            count = sum(bool(group.slots) for group in self.now.groups)
            self._slot("", (count + 1,))
            return
        self._part(item)

    def _letter_is_part(self, item: Item) -> bool:
        section = self.section()
        letters = [group for group in section.groups if group.slots]
        if not section.fresh and not letters:
            return True
        return bool(section.label)

    def _part(self, item: Item) -> None:
        empty = [section for section in self.sections[-12:] if section.headed and section.fresh]
        label = str(item.value).upper() if item.kind in ("letter", "label") else str(int(item.value.steps[0].value))
        if len(empty) >= 2 or (empty and self.now not in empty):
            self.now = empty[0]
            self.now.label = label
            return
        if self._same_again(label):
            return
        before = self.now
        section = self.new_section("work", label)
        group = self.current_group()
        if section is before and group.rounds > 1 and not group.stations:
            section.rounds_ahead = group.rounds
        elif before is not None and before.label == label and before.rounds_ahead > 1 and section is not before:
            group.rounds = section.rounds_ahead = before.rounds_ahead
        section.label = label

    def _same_again(self, label: str) -> bool:
        """`3 x AMRAP 4` above a), b) and c): each letter has a clock of its own."""
        now = self.now
        if now is not None and now.kind == "amrap" and now.repeats > 1 and now.fresh:
            self.again, now.repeats = now.repeats - 1, 1
            now.label = label
            return True
        if not self.again or now is None or now.kind != "amrap":
            return False
        self.again -= 1
        self.now = SectionDraft("amrap", label, seconds=now.seconds, headed=True, share=now.share)
        self.sections.append(self.now)
        return True

    def _is_title(self, segment: Segment, items: list[Item]) -> bool:
        if not segment.strong:
            return False
        if items[0].kind in ("practice", "free"):
            return False
        if len(items) == 1 or segment.after == "colon":
            return True
        rest = items[1:]
        if all(
            item.kind
            in (
                "dur",
                "word",
                "pace",
                "core",
                "strength",
                "letter",
                "conditioning",
                "rounds_head",
                "warm_up",
                "cash_out",
                "buy_in",
            )
            for item in rest
        ):
            return True
        return (
            rest[0].kind in ("movement", "rounds_head", "amrap_head", "every_head", "for_time", "amount")
            and segment.starts_line
        )

    def _title_of_same_name(self, item: Item) -> list[Item]:
        """`Stretch:` is a title where a movement has that name, too."""
        whole = item.kind == "movement" and self._role_is_whole(item)
        title = next((role for role in item.roles if role in TITLES), None) if whole else None
        if title is None:
            return [item]
        self.new_section("work", title).label = title
        return []

    def _role_is_whole(self, item: Item) -> bool:
        """`Stretch` is a title by all of its words, `levantamento terra` only by the first of them."""
        words = item.word.split()
        role = self.lexicon.role(words, 0, self.language) if words else None
        return role is not None and role[0] == len(words)

    def _title(self, segment: Segment, items: list[Item]) -> list[Item]:
        section = self.new_section("work", items[0].kind)
        section.label = items[0].kind
        rest = items[1:]
        if not segment.content:
            rest = [item for item in rest if item.kind not in ("dur", "word", "pace")]
        return rest

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


def _numbers(amount: Amount) -> tuple[int, ...]:
    """The minutes that a label names: `3`, `1-5`, `1, 3, 5`."""
    if len(amount.steps) == 1 and amount.steps[0].top is not None:
        return tuple(range(int(amount.steps[0].value), min(int(amount.steps[0].top), 240) + 1))
    numbers: list[int] = []
    for step in amount.steps[:60]:
        numbers.append(int(step.value))
        if step.lighter is not None:
            numbers.append(int(step.lighter))
    return tuple(numbers)
