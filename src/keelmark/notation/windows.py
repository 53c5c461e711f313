"""Work by the clock: every minute, every so many minutes, intervals."""

from __future__ import annotations

import math
from itertools import islice

from keelmark.notation.entries import (
    amount_is_open,
    climbs,
    is_open,
    rises,
)
from keelmark.notation.expand import Done
from keelmark.notation.extent import MOST_ROUNDS
from keelmark.notation.open_ended import OpenEnded
from keelmark.notation.rounds import rounds_of
from keelmark.notation.score_kinds import Score
from keelmark.notation.tree import Group, Section, Station

__all__ = ["Windows"]


class Windows(OpenEnded):
    """Counts windows and whose turn each one is."""

    def _windows(self, section: Section) -> int | None:
        if section.windows is not None:
            return section.windows
        if section.seconds is not None and section.window:
            windows = section.seconds / section.window
            if abs(windows - round(windows)) > 1e-9:
                self._told(
                    section,
                    "uneven_rotation",
                    found=f"{section.seconds / 60:g} min",
                    window=f"{section.window / 60:g} min",
                )
            return int(windows + 1e-9)
        return None

    def _every(self, section: Section, score: Score | None) -> list[Done]:
        rotation = max((group.of_slots for group in section.groups), default=0)
        windows = self._windows_of(section, rotation, score)
        if windows is None:
            self._told(section, "missing_result")
            return []
        if rotation and windows % rotation:
            self._told(section, "uneven_rotation", found=f"{windows} windows", stations=str(rotation))
        done: list[Done] = []
        for group in section.groups:
            done.extend(self._in_windows(group, section, _turns(group, windows, rotation)))
            for station in group.stations:
                done.extend(self._open(station, group, score))
        return done

    def _windows_of(self, section: Section, rotation: int, score: Score | None) -> int | None:
        """How many windows there were, from the text, the score or the length of the rotation."""
        windows = self._windows(section)
        if windows is None and score is not None and score.kind in ("rounds", "number") and not is_open(section):
            windows = int(score.rounds or score.reps)
        if rotation and section.windows is not None and section.windows < rotation:
            windows = section.windows * rotation
        windows = rotation or None if windows is None else windows
        return None if windows is None else min(windows, MOST_ROUNDS)

    def _in_windows(self, group: Group, section: Section, turns: int) -> list[Done]:
        """What a group does in its windows."""
        if turns > 1 and any(rises(station, turns) or _has_rung_a_window(station, turns) for station in group.stations):
            return self._rising(group, section, turns)
        if climbs(group):
            rungs = islice(rounds_of(group, section, self.expander, turns), turns)
            return [Done(entry) for entries in rungs for entry in entries]
        rounds = islice(rounds_of(group, section, self.expander), MOST_ROUNDS) if turns else []
        return [Done(entry, turns) for entries in rounds for entry in entries]

    def _rising(self, group: Group, section: Section, turns: int) -> list[Done]:
        """Windows in which a load rises from one to the next."""
        done: list[Done] = []
        for station in group.stations:
            entries = self.expander.sets(station, group.scheme, section)
            once = len(entries) == turns and (rises(station, turns) or _has_rung_a_window(station, turns))
            done.extend(Done(entry, 1 if once else turns) for entry in entries)
        return done

    def _intervals(self, section: Section, score: Score | None) -> list[Done]:
        rotation = max((group.of_slots for group in section.groups), default=0)
        windows = section.windows or (rotation if rotation else 1)
        if rotation and windows < rotation:
            windows *= rotation
        windows = min(windows, MOST_ROUNDS)
        stations = [(group, station) for group in section.groups for station in group.stations]
        if (
            score is not None
            and len(stations) == 1
            and score.kind in ("reps", "list", "number", "calories", "distance")
        ):
            group, station = stations[0]
            if station.amount is None or station.amount.open:
                return self._told_amounts(station, section, score)
        done: list[Done] = []
        if rotation and windows % rotation and not any(amount_is_open(s, g) for g, s in stations):
            self._told(section, "uneven_rotation", found=f"{windows} windows", stations=str(rotation))
        for group, station in stations:
            turns = _turns_of_slots(group.slots, windows, rotation) if group.slots else windows * group.rounds
            done.extend(Done(entry, turns) for entry in self.expander.sets(station, group.scheme, section))
            done.extend(self._open(station, group, score))
        return done

    def _figures_in_turn(self, section: Section, score: Score | None) -> list[Done] | None:
        """`12, 7, 11, 6` of two movements in turn: the figure of each window goes to the one whose turn it was."""
        rotation = max((group.of_slots for group in section.groups), default=0)
        if score is None or score.kind != "list" or rotation < 2 or section.kind not in ("intervals", "every"):
            return None
        windows = section.windows or (rotation if section.kind == "intervals" else self._windows(section)) or 0
        stations = [(group, station) for group in section.groups for station in group.stations]
        if len(score.values) != windows or not self._each_is_counted(section, stations):
            return None
        unit = {"cal": "calories", "m": "distance_m"}.get(score.unit)
        return [
            Done(self.expander.open_entry(station, value, None, n, windows, unit or self._told_measure(station, group)))
            for group, station in stations
            for n, value in enumerate(score.values)
            if n % rotation + 1 in group.slots
        ]

    def _each_is_counted(self, section: Section, stations: list[tuple[Group, Station]]) -> bool:
        """One movement in each turn, whose amount is open or only the time of the window."""
        return all(
            len(group.stations) == 1
            and (amount_is_open(station, group) or (station.amount is None and section.kind == "intervals"))
            and self.catalogue.movements[station.movement].measures[0] != "duration_s"
            for group, station in stations
        )

    def _told_measure(self, station: Station, group: Group) -> str:
        """What a figure of the score counts."""
        amount = station.amount or group.scheme
        measures = self.catalogue.movements[station.movement].measures
        if amount is not None and amount.measure in measures:
            return amount.measure
        return "reps" if "reps" in measures else ("calories" if "calories" in measures else measures[0])

    def _fast(self, station: Station, section: Section, values: list[float]) -> bool:
        """More than one unit a second: metres, for nobody makes as many calories."""
        amount = station.amount
        seconds = section.work
        if amount is not None and amount.measure == "duration_s" and amount.steps:
            seconds = amount.steps[0].value * {"s": 1.0, "min": 60.0, "h": 3600.0}[amount.unit]
        return bool(seconds) and min(values) > (seconds or 0.0)

    def _told_amounts(self, station: Station, section: Section, score: Score) -> list[Done]:
        measure = station.amount.measure if station.amount is not None and station.amount.open else "reps"
        values = score.values or [score.reps]
        told = {"calories": "calories", "cal": "calories", "distance": "distance_m", "m": "distance_m"}
        measures = self.catalogue.movements[station.movement].measures
        if score.kind in told or score.unit in told:
            measure = told.get(score.kind) or told[score.unit]
        elif measure == "reps" and "reps" not in measures:
            measure = (
                "calories" if "calories" in measures and not self._fast(station, section, values) else "distance_m"
            )
        return [
            Done(self.expander.open_entry(station, value, None, n, len(values), measure))
            for n, value in enumerate(values)
        ]

    def _interrupts(self, section: Section, group: Group, score: Score | None) -> list[Done]:
        seconds = None
        if score is not None and score.kind == "time":
            seconds = score.seconds
        elif section.cap is not None and score is not None:
            seconds = section.cap
        stations = [station for station in group.stations if station.when.startswith("each_minute")]
        if seconds is None:
            for station in stations:
                self.doubts.add("missing_result", station, movement=station.movement)
            return []
        windows = math.ceil(seconds / (section.window or 60.0))
        return [
            Done(entry, max(1, windows if station.when == "each_minute" else windows - 1))
            for station in stations
            for entry in self.expander.sets(station, None, section)
        ]


def _has_rung_a_window(station: Station, turns: int) -> bool:
    """`front squat 5-4-3-2-1-1` in six windows: a rung in each."""
    amount = station.amount
    return amount is not None and amount.sets == 1 and len(amount.steps) == turns and not amount.continues


def _turns(group: Group, windows: int, rotation: int) -> int:
    """In how many of the windows a group has its turn."""
    if group.slots:
        return _turns_of_slots(group.slots, windows, rotation)
    return 1 if group.role in ("buy_in", "cash_out") else windows


def _turns_of_slots(slots: tuple[int, ...], windows: int, rotation: int) -> int:
    """How often these places of a rotation come round in so many windows."""
    whole, begun = divmod(windows, rotation)
    return sum(whole + (slot <= begun) for slot in set(slots))
