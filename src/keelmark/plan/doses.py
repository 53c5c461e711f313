"""What each row of a planned session adds to each channel, for each person; many texts and persons in one go."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from threading import RLock

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.catalogue import Catalogue
from keelmark.contracts.channels import CHANNELS
from keelmark.contracts.frames import EFFORT
from keelmark.dose.effort_dose import effort_doses
from keelmark.dose.energy import energy_efforts
from keelmark.dose.grip import grip_fatigue_efforts
from keelmark.dose.high_rep import high_rep_efforts
from keelmark.dose.lumbar import lumbar_efforts
from keelmark.plan.people import People, Person
from keelmark.plan.session_work import PlannedRow, SessionReader, SessionWork

__all__ = ["NO_DATE", "PLAN_CHANNELS", "Amounts", "PlanDoser", "SessionDose", "add_up"]

Array = NDArray[np.float64]

PLAN_CHANNELS = tuple(channel for channel in CHANNELS if channel.key != "session_load")
"""What a text tells; the session load needs a rating after the session."""
NO_DATE = dt.date(1970, 1, 5)
"""A Monday that stands for a week without a date; nothing is on record before it."""

KEPT = 100_000
"""Doses that are remembered; beyond it the memory is emptied once."""

_PLACE = {channel.key: place for place, channel in enumerate(PLAN_CHANNELS)}
_PEAK = np.array([channel.gather == "max" for channel in PLAN_CHANNELS])


@dataclass(frozen=True, slots=True)
class Amounts:
    """Amounts of all channels, in the order of `PLAN_CHANNELS`.

    `value` is what is known; `high` is infinite where a part is not known; `unknown` counts these parts.
    """

    value: Array
    low: Array
    high: Array
    unknown: Array

    @classmethod
    def nothing(cls) -> Amounts:
        """No work."""
        zero = np.zeros(len(PLAN_CHANNELS))
        return cls(zero, zero, zero, zero)

    def of(self, channel: str) -> float:
        """The known amount of a channel."""
        return float(self.value[_PLACE[channel]])

    def at(self, channel: str) -> tuple[float, float, float, int]:
        """Value, low, high and count of unknown parts of a channel."""
        place = _PLACE[channel]
        return (
            float(self.value[place]), float(self.low[place]), float(self.high[place]), int(self.unknown[place]),
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class SessionDose:
    """A session's work for one person, row by row; arrays of shape (row, channel), value NaN where not known."""

    work: SessionWork
    value: Array
    low: Array
    high: Array

    def total(self) -> Amounts:
        """The whole session."""
        return self.of_rows(range(len(self.work.rows)))

    def of_rows(self, rows: Iterable[int]) -> Amounts:
        """Some rows together."""
        chosen = list(rows)
        value, low, high = (table[chosen] for table in (self.value, self.low, self.high))
        return _gathered(value, low, high, np.isnan(value).sum(axis=0).astype(float))

    def of_part(self, number: int) -> Amounts:
        """One part of the session."""
        return self.of_rows(at for at, row in enumerate(self.work.rows) if row.work.section == number)


def add_up(parts: Sequence[Amounts]) -> Amounts:
    """Several sessions together: amounts add up, peaks do not."""
    if not parts:
        return Amounts.nothing()
    value, low, high, unknown = (
        np.stack([getattr(part, name) for part in parts]) for name in ("value", "low", "high", "unknown")
    )
    return _gathered(value, low, high, unknown.sum(axis=0))


def _gathered(value: Array, low: Array, high: Array, unknown: Array) -> Amounts:
    if not len(value):
        return Amounts.nothing()
    known = np.nan_to_num(value, nan=0.0)

    def gather(table: Array) -> Array:
        return np.asarray(np.where(_PEAK, table.max(axis=0), table.sum(axis=0)), dtype=np.float64)

    return Amounts(gather(known), gather(low), gather(high), unknown)


class PlanDoser:
    """Works out doses of session texts for people, and keeps them.

    Parameters
    ----------
    catalogue : Catalogue
        Holds every movement of the texts.
    people : People
        Bodies, maxima and history.
    monday : date, optional
        First day of the week, for maxima by date.
    """

    def __init__(self, catalogue: Catalogue, people: People, monday: dt.date | None = None) -> None:
        self.catalogue = catalogue
        self.people = people
        self.monday = monday or NO_DATE
        self.reader = SessionReader(catalogue)
        self._kept: dict[tuple[str, str], SessionDose] = {}
        self._lock = RLock()

    def dose(self, text: str, person: Person) -> SessionDose:
        """One text for one person."""
        return self.doses([(text, person)])[0]

    def doses(self, wanted: Sequence[tuple[str, Person]]) -> list[SessionDose]:
        """Several texts for several persons, in the order asked for."""
        with self._lock:
            return self._known(wanted)

    def _known(self, wanted: Sequence[tuple[str, Person]]) -> list[SessionDose]:
        if len(self._kept) > KEPT:
            self._kept.clear()
        missing: dict[tuple[str, str], tuple[SessionWork, Person]] = {}
        for text, person in wanted:
            key = (text, person.athlete_id)
            if key not in self._kept and key not in missing:
                missing[key] = (self.reader.work(text, person.context, person.pace), person)
        if missing:
            self._kept |= dict(zip(missing, self._worked_out(list(missing.values())), strict=True))
        return [self._kept[text, person.athlete_id] for text, person in wanted]

    def _worked_out(self, wanted: list[tuple[SessionWork, Person]]) -> list[SessionDose]:
        efforts = _effort_frame(wanted, self.monday)
        shape = (efforts.height, len(PLAN_CHANNELS))
        value, low, high = np.zeros(shape), np.zeros(shape), np.zeros(shape)
        for part in self._parts(efforts):
            row = part["effort"].to_numpy().astype(np.int64)
            channel = part["channel"].replace_strict(_PLACE, return_dtype=pl.Int64).to_numpy()
            value[row, channel] = part["value"].to_numpy()
            low[row, channel] = part["low"].to_numpy()
            high[row, channel] = part["high"].fill_null(np.inf).to_numpy()
        found, place = [], 0
        for work, _ in wanted:
            rows = slice(place, place + len(work.rows))
            found.append(SessionDose(work, value[rows], low[rows], high[rows]))
            place += len(work.rows)
        return found

    def _parts(self, efforts: pl.DataFrame) -> list[pl.DataFrame]:
        """Doses of single efforts, in five tables."""
        if efforts.is_empty():
            return []
        people, height = self.people, efforts.height
        lumbar = lumbar_efforts(efforts, people.athletes, self.catalogue, rep_maxima=people.rep_maxima)
        with_past = pl.concat([efforts, people.history.select(EFFORT.names)])
        lifted = high_rep_efforts(with_past, people.rep_maxima, self.catalogue).filter(pl.col("effort") < height)
        parts = [
            effort_doses(efforts, self.catalogue),
            energy_efforts(efforts, people.athletes, self.catalogue),
            lumbar,
            grip_fatigue_efforts(efforts, people.athletes, self.catalogue),
            lifted,
        ]
        return [part.select("effort", "channel", "value", "low", "high") for part in parts]


def _effort_frame(wanted: list[tuple[SessionWork, Person]], monday: dt.date) -> pl.DataFrame:
    rows = [
        _effort(row, order, person.athlete_id, monday) for work, person in wanted for order, row in enumerate(work.rows)
    ]
    return EFFORT.build(rows) if rows else EFFORT.empty()


def _effort(row: PlannedRow, order: int, athlete_id: str, monday: dt.date) -> dict[str, object]:
    work = row.work
    return {
        "athlete_id": athlete_id,
        "date": monday,
        "session_id": "plan",
        "order": order,
        "movement": work.movement,
        "version": work.version,
        "sets": work.sets,
        work.measure: work.amount,
        "load_kg": work.load_kg,
        "load_basis": work.load_basis,
        "height_cm": work.height_cm,
        "start_height_cm": work.start_height_cm,
        "share_low": row.share_low,
        "share_high": row.share_high,
        "source": "score",
        "import_id": "plan",
    }
