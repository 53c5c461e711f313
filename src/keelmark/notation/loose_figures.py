"""Figures without a movement: they belong to the station before, or are one more set of it."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.counts import AMOUNTS
from keelmark.notation.drafts import StationDraft
from keelmark.notation.further_sets import FurtherSets
from keelmark.notation.items import Item
from keelmark.notation.segments import Segment
from keelmark.notation.station_figures import apply_figures
from keelmark.notation.terms import filled
from keelmark.notation.tree import Amount, Height, Load, Quantity

__all__ = ["LooseFigures", "last_kind"]


class LooseFigures(FurtherSets):
    """Gives figures that stand alone to the station they belong to."""

    def _figures(self, segment: Segment, items: list[Item]) -> None:  # noqa: C901
        last = self.last_station()
        place = next((at for at, item in enumerate(items) if at and item.kind == "ellipsis"), len(items))
        if items[place + 1 :] and items[0].kind in AMOUNTS:
            self.section().continues, items = True, items[:place]
        counts = [item for item in items if item.kind in AMOUNTS]
        if self._times_only(items, last):
            return
        building = next((item for item in items if item.kind == "building"), None)
        reps = last.amount if last is not None and last.load is None else None
        if building is not None and reps is not None and reps.steps == (Quantity(float(building.value)),):
            assert last is not None
            last.amount = replace(reps, open=True)
            return
        if any(item.kind == "between" for item in items) and all(item.kind == "dur" for item in counts):
            return
        if len(counts) == 1 and last is not None and self._bare_round(counts[0]):
            return
        if last is not None and (self._bare_box(items, last) or self._other_side(segment, items, last)):
            return
        if counts and "plus" in counts[0].parts and self._complex_counts(counts[0]):
            apply_figures(self.section_last(), [item for item in items if item is not counts[0]], -1, self.lexicon)
            return
        if (
            len(counts) == 1
            and last is not None
            and (self._bare_round(counts[0]) or self._table_cell(segment, counts[0], last))
        ):
            return
        if counts and (self._machine_again(segment, items, counts[0]) or self._tempo_alone(items, counts, last)):
            return
        each = any(item.kind in ("each", "per") for item in items)
        if counts and each and self._each_of_many(segment, items, counts[0]):
            return
        if counts and each and len(items) <= 3 and last is not None and self._load_list(last, counts[0]):
            return
        if counts and (last is None or self._is_scheme(segment, items, counts, last)):
            self._scheme(segment, items, counts, each)
            return
        if last is None:
            self._before_stations(items)
            return
        group = self.current_group()
        if not counts and group.closed and group.inline == -2 and all(s.load is None for s in group.stations):
            group.load = next((item.value for item in items if item.kind == "load"), group.load)
            return
        if (
            counts
            and last.amount is not None
            and last.amount.open
            and last.amount.steps
            and self._sets_of_build(segment, items)
        ):
            last.amount = None
        if counts and last.amount is not None and not last.amount.steps and not last.amount.open:
            sets, last.amount = last.amount.sets, None
            apply_figures(last, items, -1, self.lexicon)
            if last.amount is not None and len(last.amount.steps) != sets:
                last.amount = replace(last.amount, sets=last.amount.sets * sets)
            last.end = max(last.end, items[-1].end)
            return
        items, counts = self._with_load_behind_at(items, counts, last)
        if (counts and self._continues_ladder(segment, items, last)) or self._wave_again(items, last):
            return
        if counts and last.amount is not None and not (last.amount.open and not last.amount.steps):
            self._further(segment, items, counts, last)
            return
        if counts and last.amount is not None and last.amount.open and counts[0].kind == "dur":
            return
        if self._lone_unit(items, last) or self._one_more_load(segment, items, last):
            return
        if self._open_at_load(segment, items, last):
            return
        if self._dropped_load(segment, items, counts, last):
            return
        if self._further_load(segment, items, last):
            return
        if not counts and (
            self._for_all(items) or all(item.kind in ("after", "word", "between", "each", "of") for item in items)
        ):
            return
        apply_figures(last, items, -1, self.lexicon)
        last.end = max(last.end, items[-1].end)

    def _bare_box(self, items: list[Item], last: StationDraft) -> bool:
        """`box jumps 5x3, box 30`: the height of the box, its unit left out."""
        plain = [item for item in items if item.kind not in ("at", "of", "equals", "word")]
        if len(plain) != 2 or plain[0].kind not in ("box", "target") or last.amount is None:
            return False
        items = plain
        if items[1].kind != "amount":
            return False
        return self._bare_figure(last, items[1])

    def _sets_of_build(self, segment: Segment, items: list[Item]) -> bool:
        """`worked up: 5, 3, 2, 1, 1` gives the sets of the build before it."""
        plain = not any(item.kind in ("load", "xload", "dur") for item in items)
        if sum(item.kind in ("word", "own", "pace") for item in items) > 3:
            return False
        return plain and "then" not in segment.before

    def _lone_unit(self, items: list[Item], last: StationDraft) -> bool:
        """`kg` alone at the end of a line gives the unit of the loads before it."""
        word = items[0].word
        unit = self.lexicon.units.get(word) if len(items) == 1 and items[0].kind in ("word", "mass") else None
        if unit is None or unit.measure != "mass" or last.load is None or last.load.unit:
            return False
        for group in self.section().groups:
            for station in group.stations:
                if station.line == last.line and station.load is not None and not station.load.unit:
                    station.load = replace(station.load, unit=unit.name)
        return True

    def _bare_round(self, item: Item) -> bool:
        """`1 pull-up, 2 push-ups, 3 squats; 2, 4, 6; 3, 6, 9`: the next rung for each station in turn."""
        stations = self.current_group().stations
        figures = item.value.steps
        if item.kind != "amount" or item.value.sets > 1 or len(figures) != len(stations) or len(stations) < 2:
            return False
        if any(
            station.amount is None or station.amount.measure != "reps" or station.amount.sets > 1
            for station in stations
        ):
            return False
        section = self.section()
        for station, figure in zip(stations, figures, strict=True):
            assert station.amount is not None
            steps = station.amount.steps
            between = (
                filled([step.value for step in steps], figure.value) if section.continues and len(steps) > 1 else None
            )
            added = tuple(Quantity(value) for value in between[len(steps) :]) if between else (figure,)
            station.amount = replace(station.amount, steps=(*steps, *added))
        section.continues = False
        return True

    def _table_cell(self, segment: Segment, item: Item, last: StationDraft) -> bool:
        """A second bare number in a table row: the first was the sets, this one the reps."""
        amount = last.amount
        if (
            "cell" not in segment.before
            or item.kind not in AMOUNTS
            or amount is None
            or amount.measure != "reps"
            or amount.sets > 1
            or len(amount.steps) != 1
        ):
            return False
        if last.line != segment.line or item.value.sets > 1:
            return False
        last.amount = replace(item.value, sets=int(amount.steps[0].value))
        return True

    def _each_of_many(self, segment: Segment, items: list[Item], item: Item) -> bool:
        """`power clean, hang clean, jerk; 1 rep each`: one count for all that have none."""
        group = self.current_group()
        lacking = [station for station in group.stations if station.amount is None]
        if len(lacking) < 2 or group.scheme is not None or len(item.value.steps) != 1:
            return False
        load = next((other.value for other in items if other.kind == "load"), None)
        for station in lacking:
            station.amount = item.value
            station.load = station.load or load
        return True

    def _complex_counts(self, item: Item) -> bool:
        """`1+2+1` under a complex: a count for each of its movements; else a cluster."""
        stations = [station for station in self.current_group().stations if station.amount is None]
        figures = item.value.steps
        values = next((part for part in item.parts if isinstance(part, tuple)), None)
        if values is not None:
            figures = tuple(Quantity(value) for value in values)
        if len(stations) == len(figures):
            for station, figure in zip(stations, figures, strict=True):
                station.amount = replace(item.value, steps=(figure,))
            return True
        if values is None:
            item.value = replace(item.value, steps=(Quantity(sum(figure.value for figure in figures)),))
        return False

    def _times_only(self, items: list[Item], last: StationDraft | None) -> bool:
        """`x2`, `x 4`: the amount of a station that has none, or else the group once more."""
        if items[0].kind != "times" or len(items) < 2 or items[1].kind != "amount":
            return False
        if last is not None and last.amount is None and self.current_group().scheme is None:
            apply_figures(last, items[1:], -1, self.lexicon)
            return True
        figure = items[1].value
        if len(figure.steps) == 1 and figure.steps[0].value.is_integer():
            self.repeat(int(figure.steps[0].value))
        return True

    def _further(self, segment: Segment, items: list[Item], counts: list[Item], last: StationDraft) -> None:
        """More sets of the movement before: `1x5 @ 80 kg` on the next line, `drop set: 45 kg x 10`."""
        first: Amount = counts[0].value
        high = first.unit in ("m", "ft") and first.sets == 1 and first.steps and first.steps[0].value <= 40
        measures = self.lexicon.catalogue.movements[last.movement].measures
        if (
            len(items) == 1
            and segment.line == last.line
            and "comma" in segment.before
            and self._bare_figure(last, counts[0])
        ):
            return
        if counts[0].kind == "dist" and high and measures[0] == "reps" and last.height is None:
            last.height = Height(first.steps[0], first.unit)
            load = next((item.value for item in items if item.kind == "load"), None)
            if last.load is None and load is not None:
                last.load = load
            return
        loads = [item for item in items if item.kind in ("load", "xload")]
        behind = "then" in segment.before and counts[0].value.sets > 1
        sets = (counts[0].kind == last_kind(last) or behind) and (
            counts[0].value.sets > 1 or "sets" in counts[0].parts or len(counts[0].value.steps) > 1
        )
        if "reps" in counts[0].parts and not loads and any(item.kind in ("total", "equals") for item in items):
            self._total(counts[0], last, items)
            return
        if self._more_of_the_way(segment, items, first, last):
            return
        further_open = first.open and not first.steps and last.amount is not None and not last.amount.open
        if not (loads or sets or further_open):
            if any(item.kind in ("total", "equals") for item in items):
                self._total(counts[0], last, items)
            else:
                self._passed_over(items)
            return
        again = StationDraft(last.movement, items[0].start, items[-1].end, segment.line, word=last.word)
        again.segment, again.side, again.implement = self.at, last.side, last.implement
        again.joined = "plus" if "plus" in segment.before else ""
        again.line = last.line if segment.line == last.line else segment.line
        apply_figures(again, items, -1, self.lexicon)
        amount = again.amount
        loaded = again.load is None and last.load is not None
        few = amount is not None and len(amount.steps) == 1 and amount.steps[0].value <= 20
        if loaded and few and amount is not None and amount.sets >= 20:
            again.load = Load((Quantity(float(amount.sets)),), "")
            again.amount = replace(amount, sets=1)
        again.load = _of_top_set(again.load, last, items)
        if again.load is not None and not again.load.unit and last.load is not None and last.load.unit in ("kg", "lb"):
            again.load = replace(again.load, unit=last.load.unit)
        group = self.current_group()
        (self.new_group() if group.closed else group).stations.append(again)

    def _passed_over(self, items: list[Item]) -> None:
        """Figures that are taken for a remark: said, not dropped in silence."""
        start, end = items[0].start, items[-1].end
        self.comments.append((start, end))
        self.find("passed_over", start, end, words=self.text[start:end])

    def _more_of_the_way(self, segment: Segment, items: list[Item], first: Amount, last: StationDraft) -> bool:
        """`Run: 4 km easy, 4 km steady, 2 km easy`: the distances follow one another."""
        same = last.amount is not None and last.amount.measure == first.measure and first.sets == 1
        once = last.amount is not None and last.amount.sets == self.current_group().rounds == 1
        timed = first.measure == "duration_s" and once
        plain = same and (first.measure == "distance_m" or timed)
        told = all(
            item.kind in ("dist", "dur", "pace", "word", "at", "of", "cool_down", "warm_up", "a") for item in items
        )
        category = self.lexicon.catalogue.movements[last.movement].category
        if not plain or not told or category != "monostructural" or segment.line != last.line or segment.starts_line:
            return False
        again = replace(last, start=items[0].start, end=items[-1].end, amount=first, segment=self.at)
        self.current_group().stations.append(again)
        return True

    def _bare_figure(self, last: StationDraft, item: Item) -> bool:
        """`box jumps (24)`, `thrusters (43/30)`: a height or load without its unit."""
        amount: Amount = item.value
        if (
            item.kind != "amount"
            or amount.sets > 1
            or len(amount.steps) != 1
            or amount.sides > 1
            or "reps" in item.parts
        ):
            return False
        figure = amount.steps[0]
        if last.amount is not None and last.amount.steps and figure.value == last.amount.steps[0].value:
            return False
        movement = self.lexicon.catalogue.movements[last.movement]
        if "box" in last.movement or last.movement in ("step_up", "depth_jump", "hurdle_jump"):
            if last.height is None and 12 <= figure.value <= 130:
                last.height = Height(figure, "")
                return True
        elif movement.load == "needs" and last.load is None:
            last.load = Load((figure,), "")
            return True
        return False

    def _total(self, item: Item, last: StationDraft, items: list[Item]) -> None:
        """A total stated beside the work: checked later against what was prescribed."""
        self.totals.append((last, self.current_group(), item))


def _of_top_set(load: Load | None, last: StationDraft, items: list[Item]) -> Load | None:
    """`a heavy 5, then 2 back-off sets of 5 at 90 %`: of what was lifted before, not of a maximum."""
    backed = any("drop_set" in item.roles for item in items) and (last.load is None or last.load.unit in ("kg", "lb"))
    if load is None or load.unit != "percent" or load.of is not None or not backed:
        return load
    return replace(load, of="result")


_ON_THE_WAY = frozenset(["dist", "dur", "pace", "word", "at", "of", "cool_down", "warm_up", "a"])


def last_kind(station: StationDraft) -> str:
    """The kind of figure that a station's amount is."""
    measure = station.amount.measure if station.amount else "reps"
    return {"reps": "amount", "distance_m": "dist", "duration_s": "dur", "calories": "cals"}[measure]
