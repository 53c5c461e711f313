"""Figures without a movement: they belong to the station before, or are one more set of it."""

from __future__ import annotations

import itertools
from dataclasses import replace

from keelmark.notation.counts import AMOUNTS
from keelmark.notation.drafts import StationDraft
from keelmark.notation.items import Item
from keelmark.notation.schemes import Schemes
from keelmark.notation.segments import Segment
from keelmark.notation.stations import apply_figures
from keelmark.notation.terms import filled
from keelmark.notation.trade import trade
from keelmark.notation.tree import Amount, Height, Load, Quantity

__all__ = ["LooseFigures", "last_kind"]


class LooseFigures(Schemes):
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

    def is_tempo(self, item: Item) -> bool:
        """Is a figure a tempo such as 31X1? Brackets tell."""
        raise NotImplementedError

    def _tempo_alone(self, items: list[Item], counts: list[Item], last: StationDraft | None) -> bool:
        """`4 sets of 6, 32X0`: how fast, for nobody does 32 sets of none."""
        if len(counts) != 1 or last is None or last.amount is None or not self.is_tempo(counts[0]):
            return False
        amount: Amount = counts[0].value
        if amount.sets < 20 or len(amount.steps) != 1 or amount.steps[0].value > 5:
            return False
        load = next((item.value for item in items if item.kind == "load"), None)
        last.load = last.load or load
        return True

    def _continues_ladder(self, segment: Segment, items: list[Item], last: StationDraft) -> bool:
        """`10 in round one, then 12, 14, 16 ...`: the rungs behind the first."""
        amount, more = last.amount, items[0].value
        if items[0].kind != "amount" or amount is None or amount.sets > 1 or len(amount.steps) != 1:
            return False
        if more.sets > 1 or len(more.steps) < 2 or any(item.kind == "load" for item in items):
            return False
        if segment.line != last.line or amount.measure != more.measure or segment.starts_line:
            return False
        values = [amount.steps[0].value, *(step.value for step in more.steps)]
        if len({after - before for before, after in itertools.pairwise(values)}) > 1 or values[0] == values[1]:
            return False
        last.amount = replace(amount, steps=(*amount.steps, *more.steps), continues=more.continues)
        goes_on = any(item.kind == "ellipsis" for item in items)
        self.section().continues = self.section().continues or goes_on
        return True

    def _machine_again(self, segment: Segment, items: list[Item], item: Item) -> bool:
        """`bike 30 cal, then 3 rounds of 12 cal + ...`, `then another 500 m`: on the machine named before."""
        amount: Amount = item.value
        if item.kind not in ("cals", "dist") or amount.sets > 1 or len(amount.steps) != 1:
            return False
        groups = (group for section in reversed(self.sections) for group in reversed(section.groups))
        before = itertools.islice((s for group in groups for s in reversed(group.stations)), 40)
        movements = self.lexicon.catalogue.movements
        machine = next((s for s in before if movements[s.movement].category == "monostructural"), None)
        if machine is None:
            return False
        words = {word for other in items for word in other.word.split()}
        group = self.current_group()
        anew = (
            group.rounds > 1
            and not group.stations
            and not group.scheme
            and segment.after in ("plus", "comma", "sslash")
        )
        again = not words.isdisjoint(trade()["machine_again"]["words"]) and segment.line == machine.line
        same = machine.amount is not None and machine.amount.measure == amount.measure
        if not same or not (anew or again) or any(other.kind in ("each", "per", "total", "load") for other in items):
            return False
        station = StationDraft(machine.movement, items[0].start, items[-1].end, segment.line, amount, word=machine.word)
        station.segment = self.at
        group.stations.append(station)
        return True

    def _bare_box(self, items: list[Item], last: StationDraft) -> bool:
        """`box jumps 5x3, box 30`: the height of the box, its unit left out."""
        plain = [item for item in items if item.kind not in ("at", "of", "equals", "word")]
        if len(plain) != 2 or plain[0].kind not in ("box", "target") or last.amount is None:
            return False
        items = plain
        if items[1].kind != "amount":
            return False
        return self._bare_figure(last, items[1])

    def _other_side(self, segment: Segment, items: list[Item], last: StationDraft) -> bool:
        """`lateral hops 10 + 10`: the same count once more, for the other side."""
        amount = last.amount
        plain = amount is not None and amount.sides == 1 and amount.sets == 1
        same = plain and amount is not None and items[0].value == replace(amount, sides=1)
        named = len(items) == 2 and items[1].word in trade()["sides"]["words"]
        tied = "plus" in segment.before or (named and "comma" in segment.before)
        if not same or len(items) > 2 or not tied or segment.line != last.line or amount is None:
            return False
        if len(items) == 2 and not named and items[1].kind not in ("reps_word", "per_side", "word", "side"):
            return False
        last.amount = replace(amount, sides=2)
        return True

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

    def _with_load_behind_at(
        self, items: list[Item], counts: list[Item], last: StationDraft
    ) -> tuple[list[Item], list[Item]]:
        """`5 reps at 70 kg, 4 at 75, 3 at 80`: the loads behind the first, in its unit."""
        if [item.kind for item in items] != ["amount", "at", "amount"] or last.load is None or last.amount is None:
            return items, counts
        figure: Amount = items[2].value
        if last.load.unit not in ("kg", "lb", "percent") or figure.sets > 1 or len(figure.steps) != 1:
            return items, counts
        load = replace(items[2], kind="load", value=Load(figure.steps, last.load.unit))
        return [items[0], items[1], load], counts[:1]

    def _wave_again(self, items: list[Item], last: StationDraft) -> bool:
        """`3-2-1 @ 80/85/90 kg, then 3-2-1 @ 82.5/87.5/92.5 kg`, `repeat the wave @ ...`: the waves one by one."""
        load = next((item.value for item in items if item.kind == "load"), None)
        count = next((item.value for item in items if item.kind == "amount"), None)
        amount, before = last.amount, last.load
        if load is None or amount is None or before is None or len(amount.steps) < 2 or len(load.steps) < 2:
            return False
        if len(load.steps) != len(amount.steps) or len(before.steps) != len(load.steps) or load.unit != before.unit:
            return False
        if count is not None and (count.sets > 1 or len(count.steps) != len(amount.steps)):
            return False
        group = self.current_group()
        group.rounds = 1 if group.waves else group.rounds
        again = replace(last, start=items[0].start, end=items[-1].end, load=load, segment=self.at)
        again.amount = replace(amount, steps=count.steps) if count is not None else amount
        group.stations.append(again)
        return True

    def _open_at_load(self, segment: Segment, items: list[Item], last: StationDraft) -> bool:
        """`5 x 42.5 kg, AMRAP x 45 kg`: one more set, at a load, to the end."""
        load = next((item.value for item in items if item.kind == "load"), None)
        if load is None or last.amount is None or not any(item.kind == "max" for item in items):
            return False
        again = StationDraft(last.movement, items[0].start, items[-1].end, last.line, word=last.word)
        again.amount, again.load, again.segment, again.side = Amount(open=True), load, self.at, last.side
        self.current_group().stations.append(again)
        return True

    def _one_more_load(self, segment: Segment, items: list[Item], last: StationDraft) -> bool:
        """`jerk x 1: 145 lb, 155 lb`: the same again at another load."""
        load, amount = items[0].value, last.amount
        if len(items) != 1 or items[0].kind != "load" or "comma" not in segment.before or segment.line != last.line:
            return False
        if last.load is None or amount is None or amount.sets > 1 or len(amount.steps) != 1 or amount.open:
            return False
        if (
            load.unit != last.load.unit
            or load.unit not in ("kg", "lb", "percent")
            or load.added
            or load.count != last.load.count
        ):
            return False
        last.load = replace(last.load, steps=(*last.load.steps, *load.steps))
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

    def _further_load(self, segment: Segment, items: list[Item], last: StationDraft) -> bool:
        """`12 x 50 kg, 10 x 55 kg`: one more set at another load."""
        item = next((item for item in items if item.kind == "xload"), None)
        if item is None or last.load is None or last.amount is None or item.value[0] <= 2:
            return False
        number, load = item.value
        if number >= 20 and len(load.steps) == 1 and load.steps[0].value < number:
            item.value = (load.steps[0].value, replace(load, steps=(Quantity(number),)))
        again = StationDraft(last.movement, item.start, item.end, segment.line, word=last.word)
        again.segment, again.side = self.at, last.side
        again.amount = Amount(steps=(Quantity(item.value[0]),))
        again.load = item.value[1]
        self.current_group().stations.append(again)
        return True

    def _dropped_load(self, segment: Segment, items: list[Item], counts: list[Item], last: StationDraft) -> bool:
        """`strip the bar to 50 kg and do 12 more`: a further set at less."""
        load = next((item.value for item in items if item.kind == "load"), None)
        if load is None or counts or last.load is None or not any("less" in item.roles for item in items):
            return False
        again = StationDraft(last.movement, items[0].start, items[-1].end, segment.line, word=last.word)
        again.load, again.segment, again.side = load, self.at, last.side
        again.amount = Amount(open=True) if any(item.kind == "max" for item in items) else None
        if not any("to" in item.roles or "for_word" in item.roles for item in items):
            if load.unit != last.load.unit or len(last.load.steps) > 1:
                return False
            lower = last.load.steps[0]
            if lower.value <= load.steps[0].value:
                return False
            again.load = replace(last.load, steps=(Quantity(lower.value - load.steps[0].value),))
        self.current_group().stations.append(again)
        return True

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

    def _load_list(self, last: StationDraft, item: Item) -> bool:
        """`40, 45, 50 - 2 reps each`: the list that stood as the amount is the loads."""
        listed = last.amount
        if listed is None or len(listed.steps) < 2 or last.load is not None or listed.measure != "reps":
            return False
        last.load = Load(listed.steps, "")
        last.amount = replace(item.value, sets=1)
        last.end = item.end
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
