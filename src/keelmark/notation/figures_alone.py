"""A stretch of figures and no movement: of several stations, of the one before, or of those to come."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.counts import AMOUNTS
from keelmark.notation.drafts import StationDraft
from keelmark.notation.items import Item
from keelmark.notation.loose_figures import LooseFigures
from keelmark.notation.segments import Segment
from keelmark.notation.station_figures import apply_figures
from keelmark.notation.tree import Quantity

__all__ = ["FiguresAlone"]

_NO_FIGURES = frozenset(["before_round", "after", "word", "between", "each", "of"])


class FiguresAlone(LooseFigures):
    """Finds out of which stations figures without a movement speak."""

    def _figures(self, segment: Segment, items: list[Item]) -> None:
        last = self.last_station()
        place = next((at for at, item in enumerate(items) if at and item.kind == "ellipsis"), len(items))
        if items[place + 1 :] and items[0].kind in AMOUNTS:
            self.section().continues, items = True, items[:place]
        counts = [item for item in items if item.kind in AMOUNTS]
        if self._times_only(items, last) or _found_of_build(items, last):
            return
        if any(item.kind == "between" for item in items) and all(item.kind == "dur" for item in counts):
            return
        if self._of_others(segment, items, counts, last):
            return
        if counts and (last is None or self._is_scheme(segment, items, counts, last)):
            self._scheme(segment, items, counts, any(item.kind in ("each", "per") for item in items))
        elif last is None:
            self._before_stations(items)
        else:
            self._of_last(segment, items, counts, last)

    def _of_others(self, segment: Segment, items: list[Item], counts: list[Item], last: StationDraft | None) -> bool:
        """Figures of several stations, of a box, a side, a complex, a table, a machine or a tempo."""
        if len(counts) == 1 and last is not None and self._bare_round(counts[0]):
            return True
        if last is not None and (self._bare_box(items, last) or self._other_side(segment, items, last)):
            return True
        if not counts:
            return False
        if last is not None and self._reps_added(segment, items, last):
            return True
        if "plus" in counts[0].parts and self._complex_counts(counts[0]):
            apply_figures(self.section_last(), [item for item in items if item is not counts[0]], -1, self.lexicon)
            return True
        if len(counts) == 1 and last is not None and self._table_cell(segment, counts[0], last):
            return True
        if self._machine_again(segment, items, counts[0]) or self._tempo_alone(items, counts, last):
            return True
        if all(item.kind not in ("each", "per") for item in items):
            return False
        if self._each_of_many(segment, items, counts[0]):
            return True
        return len(items) <= 3 and last is not None and self._load_list(last, counts[0])

    def _reps_added(self, segment: Segment, items: list[Item], last: StationDraft) -> bool:
        """`70 kg x 9 + 4 + 3`: more of the same set after a few breaths."""
        amount, added = last.amount, items[0].value
        if len(items) > 1 or items[0].kind != "amount" or "plus" not in segment.before or last.load is None:
            return False
        if amount is None or amount.open or amount.measure != "reps" or amount.sets > 1 or added.sets > 1:
            return False
        if segment.line != last.line or len(amount.steps) != 1 or len(added.steps) != 1 or added.open:
            return False
        last.amount = replace(amount, steps=(Quantity(amount.steps[0].value + added.steps[0].value),))
        last.end = max(last.end, items[-1].end)
        return True

    def _of_last(self, segment: Segment, items: list[Item], counts: list[Item], last: StationDraft) -> None:
        """Figures of the station before: its amount, its load, or more of its sets."""
        group = self.current_group()
        if not counts and group.closed and group.inline == -2 and all(s.load is None for s in group.stations):
            group.load = next((item.value for item in items if item.kind == "load"), group.load)
            return
        known = last.amount
        if counts and known is not None and known.open and known.steps and self._sets_of_build(segment, items):
            last.amount = None
        if counts and last.amount is not None and not last.amount.steps and not last.amount.open:
            self._reps_of_sets(items, last, last.amount.sets)
            return
        items, counts = self._with_load_behind_at(items, counts, last)
        if (counts and self._continues_ladder(segment, items, last)) or self._wave_again(items, last):
            return
        if counts and last.amount is not None and (last.amount.steps or not last.amount.open):
            self._further(segment, items, counts, last)
        elif not (counts and last.amount is not None and counts[0].kind == "dur") and not self._is_taken(
            segment, items, counts, last
        ):
            apply_figures(last, items, -1, self.lexicon)
            last.end = max(last.end, items[-1].end)

    def _reps_of_sets(self, items: list[Item], last: StationDraft, sets: int) -> None:
        """`5 sets` were told before: these are the reps of each."""
        last.amount = None
        apply_figures(last, items, -1, self.lexicon)
        if last.amount is not None and len(last.amount.steps) != sets:
            last.amount = replace(last.amount, sets=last.amount.sets * sets)
        last.end = max(last.end, items[-1].end)

    def _is_taken(self, segment: Segment, items: list[Item], counts: list[Item], last: StationDraft) -> bool:
        """A unit, a further load, a load for all, or nothing that figures."""
        return (
            self._lone_unit(items, last)
            or self._one_more_load(segment, items, last)
            or self._open_at_load(segment, items, last)
            or self._dropped_load(segment, items, counts, last)
            or self._further_load(segment, items, last)
            or (not counts and (self._for_all(items) or all(item.kind in _NO_FIGURES for item in items)))
        )


def _found_of_build(items: list[Item], last: StationDraft | None) -> bool:
    """`clean x 3, build to a heavy 3`: the reps were told, and are those of the build."""
    building = next((item for item in items if item.kind == "building"), None)
    if building is None or last is None or last.load is not None or last.amount is None:
        return False
    if last.amount.steps != (Quantity(float(building.value)),):
        return False
    last.amount = replace(last.amount, open=True)
    return True
