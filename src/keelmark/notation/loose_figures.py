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


_ON_THE_WAY = frozenset(["dist", "dur", "pace", "word", "at", "of", "cool_down", "warm_up", "a"])


class LooseFigures(FurtherSets):
    """Gives figures that stand alone to the station they belong to."""

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
        if len(lacking) < 2 or group.scheme is not None:
            return False
        if item.value.sets == 1 and (len(item.value.steps) > 1 or item.value.continues):
            if len(lacking) == len(group.stations):
                group.scheme, group.scheme_at = item.value, (item.start, item.end)
            return group.scheme is not None
        if len(item.value.steps) != 1:
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
            load = next((item.value for item in items if item.kind == "load"), None)
            self.current_group().load = load or self.current_group().load
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
        again.unvested = self.unvested
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

    def _more_of_the_way(self, segment: Segment, items: list[Item], first: Amount, last: StationDraft) -> bool:
        """`Run: 4 km easy, 4 km steady, 2 km easy`: the distances follow one another."""
        same = last.amount is not None and last.amount.measure == first.measure and first.sets == 1
        once = last.amount is not None and last.amount.sets == self.current_group().rounds == 1
        timed = first.measure == "duration_s" and once
        plain = same and (first.measure == "distance_m" or timed)
        told = all(item.kind in _ON_THE_WAY for item in items)
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


def last_kind(station: StationDraft) -> str:
    """The kind of figure that a station's amount is."""
    measure = station.amount.measure if station.amount else "reps"
    return {"reps": "amount", "distance_m": "dist", "duration_s": "dur", "calories": "cals"}[measure]
