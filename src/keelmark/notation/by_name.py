"""Scores that give figures to each station by its name, its place in the round, or its lowest round."""

from __future__ import annotations

from keelmark.notation.entries import amount_is_open, named_for, with_amount, with_load
from keelmark.notation.expand import Done
from keelmark.notation.score_kinds import Score
from keelmark.notation.tree import Group, Section, Station
from keelmark.notation.windows import Windows

__all__ = ["ByName"]

_KG = {"kg": 1.0, "lb": 0.45359237}


class ByName(Windows):
    """Fills in figures told station by station."""

    def _section(self, section: Section, score: Score | None) -> list[Done]:
        """The work of a section; the meaning does it."""
        raise NotImplementedError

    def _told_by_station(self, section: Section, score: Score) -> list[Done] | None:
        """What a score tells of single stations; None where it speaks of the whole section."""
        if score.kind == "chosen":
            return self._section(section, None)
        if score.kind in ("named", "by_name"):
            return self._by_name(section, score)
        if score.kind == "by_row":
            return self._by_row(section, score)
        if score.kind == "lowest":
            return self._lowest(section, score)
        if score.kind in ("rounds", "number"):
            return self._of_each_round(section, score)
        return self._last_set(section, score) if score.kind == "last" else None

    def _by_name(self, section: Section, score: Score) -> list[Done]:
        """Figures beside the names of movements; a movement that comes again is told once for all."""
        left = {**{movement: [figure] for movement, figure in score.by_movement.items()}, **score.lists}
        told: dict[int, list[float]] = {}
        seen: set[str] = set()
        for group, station in _stations(section):
            name = named_for(station, left)
            measure = self._measure_told(station, group)
            if name is None and measure in left and measure in ("calories", "distance_m"):
                name = measure
            if name is not None:
                told[id(station)] = [] if name in seen else left[name]
                seen.add(name)
        if not told:
            self._told(section, "result_conflict", found="movements that are not in this work")
            return []
        return self._with_told(section, told, score.unit)

    def _by_row(self, section: Section, score: Score) -> list[Done]:
        """Figures of each round, one for every station or for every station that is counted."""
        stations = [station for _, station in _stations(section)]
        counted = [station for group, station in _stations(section) if self._is_counted(station, group)]
        for chosen, rows in (
            (stations, score.rows),
            (counted, score.rows),
            (counted, list(zip(*score.rows, strict=True))),
        ):
            if len(chosen) == len(rows[0]):
                columns = zip(*rows, strict=True)
                told = {id(station): list(column) for station, column in zip(chosen, columns, strict=True)}
                return self._with_told(section, told, "")
        self._told(section, "result_conflict", found=f"{len(score.rows[0])} figures a round")
        return []

    def _is_counted(self, station: Station, group: Group) -> bool:
        """Its amount comes from the score: it has none, or only a time to work in."""
        amount = station.amount or group.scheme
        holds = self.catalogue.movements[station.movement].measures[0] == "duration_s"
        return amount_is_open(station, group) or ((amount is None or amount.measure == "duration_s") and not holds)

    def _with_told(self, section: Section, told: dict[int, list[float]], unit: str) -> list[Done]:
        before = len(self.doubts.found)
        plain = self._section(section, None)
        places = {(s.start, s.end) for _, s in _stations(section) if id(s) in told}
        late = [d for d in self.doubts.found[before:] if d[0] != "missing_result" or (d[1], d[2]) not in places]
        self.doubts.found[before:] = late
        done = [item for item in plain if id(item.entry.station) not in told]
        for group, station in _stations(section):
            values = told.get(id(station))
            if values is None:
                continue
            if unit in _KG:
                done.extend(self._at_loads(group, station, section, [value * _KG[unit] for value in values]))
            else:
                measure = self._measure_told(station, group)
                done.extend(
                    Done(
                        self.expander.open_entry(
                            station, value * self._way_of_one(station, value), None, n, len(values), measure
                        )
                    )
                    for n, value in enumerate(values)
                )
        return done

    def _way_of_one(self, station: Station, value: float) -> float:
        """`4 runs` of 200 m: how far each of them is; 1 where the figure is a way itself."""
        amount = station.amount
        if amount is None or amount.measure != "distance_m" or amount.open or len(amount.steps) != 1 or value > 40:
            return 1.0
        metres = amount.steps[0].of(self.context.standard) * {"m": 1.0, "km": 1000.0, "mi": 1609.344}.get(
            amount.unit, 0.0
        )
        return metres if metres >= 50 and value.is_integer() else 1.0

    def _at_loads(self, group: Group, station: Station, section: Section, loads: list[float]) -> list[Done]:
        """Sets at the loads told: one for each, or one for all."""
        amount = station.amount or group.scheme
        if amount is not None and amount.open:
            reps = amount.steps[0].of(self.context.standard) if amount.steps else 1.0
            return [
                Done(self.expander.open_entry(station, reps, load, n, len(loads), "reps"))
                for n, load in enumerate(loads)
            ]
        entries = self.expander.sets(station, group.scheme, section) * group.rounds
        if len(loads) not in (1, len(entries)):
            self.doubts.add("result_conflict", station, found=f"{len(loads)} loads for {len(entries)} sets")
            return [Done(entry) for entry in entries]
        return [Done(with_load(entry, loads[n % len(loads)])) for n, entry in enumerate(entries)]

    def _measure_told(self, station: Station, group: Group) -> str:
        amount = station.amount or group.scheme
        measures = self.catalogue.movements[station.movement].measures
        if amount is not None and not (amount.measure == "duration_s" and measures[0] != "duration_s"):
            return amount.measure
        return "reps" if "reps" in measures else ("calories" if "calories" in measures else measures[0])

    def _lowest(self, section: Section, score: Score) -> list[Done]:
        """The lowest round of many: exact where the others are told, else only what is certain."""
        counted = [(group, station) for group, station in _stations(section) if self._is_counted(station, group)]
        if len(counted) != 1:
            self._told(section, "ambiguous_result", found=f"{score.reps:g} as the lowest of several stations")
            return []
        group, station = counted[0]
        amount = station.amount or group.scheme
        rounds = (section.windows or 1) * group.rounds * (amount.sets if amount is not None else 1)
        others = score.values
        if len(others) == 1:
            others = others * (rounds - 1)
        if len(others) != rounds - 1:
            self._told(section, "ambiguous_result", found=f"{score.reps:g} as the lowest of {rounds} rounds")
            others = [score.reps] * (rounds - 1)
        return self._with_told(section, {id(station): [score.reps, *others]}, "")

    def _of_each_round(self, section: Section, score: Score) -> list[Done] | None:
        """`8 rounds 11` of eight intervals: eleven in each. A bare 11, too few to be all of them, is the lowest."""
        counted = [(group, station) for group, station in _stations(section) if self._is_counted(station, group)]
        if len(counted) != 1 or section.kind in ("amrap", "until_miss", "every"):
            return None
        group, station = counted[0]
        amount = station.amount or group.scheme
        rounds = (section.windows or 1) * group.rounds * (amount.sets if amount is not None else 1)
        seconds = section.work
        if amount is not None and amount.measure == "duration_s" and amount.steps:
            seconds = amount.steps[0].value * {"s": 1.0, "min": 60.0, "h": 3600.0}[amount.unit]
        if rounds < 4 or seconds is None or self._measure_told(station, group) != "reps":
            return None
        if score.kind == "rounds":
            alike = score.rounds == rounds and score.reps > 0
            return self._with_told(section, {id(station): [score.reps] * rounds}, "") if alike else None
        if score.reps > 1.5 * seconds:
            return self._with_told(section, {id(station): [score.reps]}, "")
        if score.reps < 2 * rounds:
            return self._lowest(section, score)
        self._told(section, "ambiguous_result", found=f"{score.reps:g} as the lowest of {rounds} rounds, or of all")
        return self._with_told(section, {id(station): [score.reps]}, "")

    def _last_set(self, section: Section, score: Score) -> list[Done]:
        """All sets as written but the last, which the score tells."""
        waiting = [station for group, station in _stations(section) if amount_is_open(station, group)]
        if waiting:
            return self._with_told(section, {id(waiting[-1]): [score.reps]}, "")
        done = self._section(section, None)
        sets = [item for item in done if item.entry.measure == "reps"]
        station = sets[0].entry.station if sets else None
        own = [item for item in sets if item.entry.station is station]
        if not own:
            return done
        last = own[-1]
        made = Done(with_amount(last.entry, score.reps))
        rest = [item for item in done if item is not last]
        if last.times > 1:
            rest.append(Done(last.entry, last.times - 1))
        return [*rest, made]

    def _with_load(self, done: list[Done], load: float) -> list[Done]:
        """The load that was chosen, for all that was done without one."""
        for item in done:
            if item.entry.basis == "unknown" and item.entry.station.load is None:
                item.entry = with_load(item.entry, load)
        return done


def _stations(section: Section) -> list[tuple[Group, Station]]:
    return [(group, station) for group in section.groups for station in group.stations]
