"""What is told of all the work before or behind it: the vest worn in it, and which part is done when."""

from __future__ import annotations

from keelmark.notation.items import Item
from keelmark.notation.load_legends import LoadLegends
from keelmark.notation.schemes import ALL
from keelmark.notation.segments import Segment
from keelmark.notation.tree import Amount, Quantity

__all__ = ["KnownBeforehand"]

_WORN = frozenset(
    [
        *("vest", "load", "word", "done", "with", "at", "wearing", "of", "a", "letter", "each_person", "for_word"),
        *("to", "total", "each", "comma"),
    ]
)


_ONE_OF_EACH = frozenset(
    [
        *("amount", "word", "each", "per_round", "rounds", "rounds_head", "for_word", "of", "per", "a"),
        *("target", "rung"),
    ]
)


class KnownBeforehand(LoadLegends):
    """Gives a vest to all the work that it is worn in."""

    def _worn_by_all(self, segment: Segment, items: list[Item], kinds: set[str]) -> bool:
        """`All with a 9/6 kg vest` behind the work: worn in all of it."""
        if not {"vest", "load"} <= kinds <= _WORN or self.last_station() is None:
            return False
        if not (segment.strong or any(word in ALL for item in items for word in item.word.split())):
            return False
        load = next(item.value for item in items if item.kind == "load")
        now = self.section()
        section = now if now.label or now.fresh else self.sections[0]
        first = next((group for group in section.groups if group.stations), None)
        if first is None:
            return False
        self.carried.append((load, "vest", first))
        return True

    def _one_of_each(self, segment: Segment, kinds: set[str]) -> bool:
        """`one line of each per round`: ladders that are climbed side by side."""
        if segment.content or "each" not in kinds or kinds.isdisjoint(("per_round", "rounds", "rounds_head")):
            return False
        counts = [item for item in segment.items if item.kind == "amount"]
        once = len(counts) == 1 and counts[0].value == Amount(steps=(Quantity(1.0),))
        if not once or not kinds <= _ONE_OF_EACH or self.last_station() is None:
            return False
        self.section().ladder = True
        return True

    def _last_only(self, segment: Segment, kinds: set[str]) -> bool:
        """`last set only: 1 extra snatch`: what stands behind it is done once, at the end."""
        if not segment.items or segment.items[0].kind != "last_set" or not kinds <= {"last_set", "word"}:
            return False
        if segment.after not in ("colon", "comma") or self.last_station() is None:
            return False
        self.last_only_line = segment.line
        return True
