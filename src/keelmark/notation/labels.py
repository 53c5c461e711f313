"""Labels: parts of a day, minutes of a rotation, numbers of a list."""

from __future__ import annotations

from keelmark.notation.drafts import SectionDraft
from keelmark.notation.items import Item
from keelmark.notation.minute_labels import MinuteLabels, numbers_of
from keelmark.notation.segments import Segment
from keelmark.notation.tree import Amount

__all__ = ["Labels"]

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


_BEHIND_NUMBER = frozenset(["colon", "close", "stop", "equals"])


class Labels(MinuteLabels):
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

    def _labels(self, segment: Segment, items: list[Item]) -> list[Item]:
        """`A)`, `A1`, `B.`, `Part 2:`, `min 1:`, `odd:`, `1:` at the start of a segment."""
        first = items[0]
        if first.kind not in _IN_FRONT or (first.kind == "amount" and len(items) > 1):
            return items
        for label in (self._named, self._of_minutes, self._lettered):
            left = label(segment, items)
            if left is not None:
                return left
        numbered = first.kind == "amount" and segment.after in _BEHIND_NUMBER
        if not numbered or not self._is_number_label(segment, first):
            return items
        if self._in_windows() and not self._begins_next_part(segment):
            self._slot("", numbers_of(first.value))
        else:
            self._numbered(segment)
        return []

    def _named(self, segment: Segment, items: list[Item]) -> list[Item] | None:
        """`1)` of a list, `Part 2`, `Round 3:`; what stands behind it, None where it is no such label."""
        first, second = items[0], items[1].kind if len(items) > 1 else ""
        if first.kind == "enumerator":
            if self._in_windows():
                self._slot("", (int(first.value),))
            return []
        if first.kind == "part" and second in ("amount", "letter"):
            self._part(items[1])
            return items[2:]
        counted = first.kind in ("sets", "rounds", "waves") and len(items) == 2 and second == "amount"
        if not counted or segment.after not in ("colon", "equals"):
            return None
        if self._in_windows() and items[1].value.sets == 1:
            self._slot("", numbers_of(items[1].value))
        return []

    def _of_minutes(self, segment: Segment, items: list[Item]) -> list[Item] | None:
        """`odd:`, `min 3`, `10 min:`; what stands behind it, None where it is no such label."""
        first = items[0]
        parity = first.kind
        if parity in _HALVES and self._other_half():
            parity = self.lexicon.foreign(first.word) or parity
        if parity in ("odd", "even"):
            self._slot(parity, ())
            rest = items[1:]
            while rest and rest[0].kind in ("minute", "equals", "colon", "sets", "rounds", "interval"):
                rest = rest[1:]
            return rest
        if first.kind in ("minute", "slot") and len(items) > 1 and items[1].kind == "amount":
            return self._minute(segment, items)
        if first.kind != "dur" or len(items) > 1 or segment.after != "colon":
            return None
        return [] if first.value.unit == "min" and self._minutes_alone(first) else None

    def _minutes_alone(self, item: Item) -> bool:
        """`10 min:` in a section with windows: how long it lasts, or which of them is meant."""
        if not self._in_windows():
            return False
        now = self.section()
        minutes = item.value.steps[0].value
        if now.fresh and minutes > 1 and now.window and now.seconds is None and now.windows is None:
            now.seconds = minutes * 60
        else:
            self._slot("", numbers_of(item.value))
        return True

    def _lettered(self, segment: Segment, items: list[Item]) -> list[Item] | None:
        """`A)`, `A1`; what stands behind it, None where it is no such label."""
        first, second = items[0], items[1] if len(items) > 1 else None
        counted = second is not None and second.kind == "amount"
        alone = second is None or (len(items) == 2 and second.kind in ("amount", "letter", "equals"))
        inside = self._in_windows() and len(items) == 1 and segment.after in ("colon", "close")
        small = (segment.starts_line or inside) and segment.after == "close" and alone
        if first.kind == "letter" and (str(first.value).isupper() or small) and (segment.strong or inside):
            if alone and segment.after in ("stop", "close", "colon", "sdash"):
                if second is None or counted:
                    self._letter(first)
                    return []
            elif second is not None and counted and not second.spaced and len(items) > 2:
                self._letter(first)
                return items[2:]
        if self._letter_within(segment, items):
            self._letter(first)
            return items[2:]
        return None

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
