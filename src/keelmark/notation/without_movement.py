"""Segments that name no movement: of the station before, of those behind, or a name that is not known."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.counts import AMOUNTS
from keelmark.notation.items import Item
from keelmark.notation.placing import Placing
from keelmark.notation.segments import Segment
from keelmark.notation.station_figures import open_amount
from keelmark.notation.tree import Amount, Quantity

__all__ = ["WithoutMovement"]

_FIGURES = AMOUNTS | {"load", "xload", "height", "quote"}
_SAYS_SOMETHING = _FIGURES | {
    "per_side",
    "rise",
    "start_load",
    "building",
    "max",
    "after",
    "after_sets",
    "before_round",
    "per_hand",
    "same",
    "top_set",
    "single",
    "double",
    "triple",
    "alternating",
    "times",
    "per",
    "rating",
    "nsets",
    "rm",
}
"""Kinds that tell something of a station, even without a movement beside them."""


class WithoutMovement(Placing):
    """Gives figures and words without a movement their meaning."""

    def _without_movement(self, segment: Segment, items: list[Item], kinds: set[str]) -> None:
        """Figures for the station before or those behind, or a name that is not known."""
        if kinds <= {"max", "word", "of", "for_word"} and "max" in kinds and self.section().fresh:
            self.open_measure = open_amount(items, self.lexicon)
            ahead = [s for s in self.segments[self.at : self.at + 3] if s.line == segment.line and not s.content]
            self.open_line = segment.line if any(s.after == "colon" for s in ahead) else -1
        elif segment.level and items and items[0].kind == "same" and self._same_at_level(segment, items):
            return
        elif self._heads_a_build(segment, items, kinds):
            self._build_ahead(items)
        elif "ascending" in kinds and kinds <= {"ascending", "word"} and self._climbs():
            return
        elif not kinds.isdisjoint(_SAYS_SOMETHING):
            if not self._unknown(segment, items):
                self._figures(segment, items)
        elif not self._unknown(segment, items) and items and self.last_station() is not None:
            self._lone_unit(items, self.section_last())

    def _same_at_level(self, segment: Segment, items: list[Item]) -> bool:
        """`Heavier: same with a 10 kg vest`: the stations of the first level once more, with what is told here."""
        group = self.current_group()
        first = next((station.level for station in group.stations if station.level), "")
        same = [replace(station, level=segment.level) for station in group.stations if station.level == first]
        load = next((item.value for item in items if item.kind == "load"), None)
        vest = any(item.kind == "vest" for item in items)
        for station in same:
            station.load = load if load is not None and vest != station.needs_load else station.load
        group.stations += same
        return bool(first) and first != segment.level

    def _climbs(self) -> bool:
        """`Snatch: singles, climbing`: how many there are and at which loads, the score tells."""
        last = self.last_station()
        if last is None or last.load is not None or not last.needs_load or last.amount is None:
            return False
        if last.amount.sets > 1 or len(last.amount.steps) != 1 or last.amount.steps[0].value > 3:
            return False
        last.amount = replace(last.amount, open=True)
        return True

    def _heads_a_build(self, segment: Segment, items: list[Item], kinds: set[str]) -> bool:
        """`Heavy single of the day:`, `In 10 minutes find a heavy double,`: ahead of the movement."""
        named = any(item.kind == "top_set" and item.value for item in items) and segment.after == "colon"
        return ("building" in kinds or named) and self.section().fresh and not segment.notes

    def _build_ahead(self, items: list[Item]) -> None:
        """`In 10 minutes find a heavy double, front squat`: the movement follows."""
        item = next(item for item in items if item.kind in ("building", "top_set") and item.value)
        amount = Amount(steps=(Quantity(float(item.value)),), open=True)
        self.pending = Item("amount", item.start, item.end, amount)

    def _named_by_implement(self, items: list[Item]) -> list[Item]:
        """`24 kg KBS x 50`: with no other movement, the short name is one after all."""
        for at, item in enumerate(items[:-1]):
            if item.kind in ("kettlebells", "dumbbells", "kettlebell", "dumbbell") and items[at + 1].kind == "word":
                text = f"{item.word} {items[at + 1].word}"
                guess = self.lexicon.likely(text)
                if guess is not None:
                    made = Item("movement", item.start, items[at + 1].end, guess, text)
                    self.find("read_as", made.start, made.end, word=self.text[made.start : made.end], movement=guess)
                    return [*items[:at], made, *items[at + 2 :]]
        for at, item in enumerate(items):
            if item.parts and item.kind in ("kettlebells", "dumbbells", "kettlebell", "dumbbell"):
                named = Item("movement", item.start, item.end, item.parts[0], item.word)
                return [*items[:at], named, *items[at + 1 :]]
        return items
