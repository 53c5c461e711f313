"""Point amounts of each athlete's days for a whole log at once: no bounds, no mechanics, nothing but the sums.

For many seasons of many squads, where weekly figures of plain amounts are wanted in little more time than it takes to
read the log. `daily_dose` tells more, and takes longer.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl
from numpy.typing import NDArray
from scipy import sparse

from keelmark.catalogue import Catalogue
from keelmark.dose.ledger import LEDGER_COLUMNS, Ledger, ledger_of
from keelmark.dose.units import Units

__all__ = ["AMOUNT_COLUMNS", "DayAmounts", "daily_amounts"]

Array = NDArray[np.float64]
Numbers = NDArray[np.int64]

CELLS_AT_ONCE = 8_192
AMOUNT_COLUMNS = ("athlete_id", "date", *LEDGER_COLUMNS)
"""Columns of an `EFFORT` table that point amounts follow from."""


@dataclass(frozen=True, slots=True)
class DayAmounts:
    """Days with efforts, sorted by athlete and day.

    Parameters
    ----------
    athletes, channels : tuple of str
        Athletes, sorted; channels that any movement feeds, in the order of the contract.
    athlete, day : int arrays, shape (cell,)
        Number of the athlete, and of the day since 1970-01-01.
    amount : array, shape (cell, channel)
        Known amount of the day in the unit of the channel, 0 where nothing fed it.
    untold : bool array, same shape, or None
        Where a part of the amount is not known; None where all is.
    pairs : bool array, shape (athlete, channel)
        Who ever did what.
    """

    athletes: tuple[str, ...]
    channels: tuple[str, ...]
    athlete: Numbers
    day: Numbers
    amount: Array
    untold: NDArray[np.bool_] | None
    pairs: NDArray[np.bool_]


def daily_amounts(efforts: pl.DataFrame, catalogue: Catalogue) -> DayAmounts:
    """Add the efforts up to days, in the order of their rows.

    Work whose load or amount is not known adds nothing and is marked in `untold`.

    Parameters
    ----------
    efforts : DataFrame
        `AMOUNT_COLUMNS` of an `EFFORT` table; one that is sorted by athlete is read faster.
    catalogue : Catalogue
        Holds every movement of the efforts.

    Raises
    ------
    CatalogueError
        When an effort names a movement that the catalogue does not hold.
    """
    if efforts.is_empty():
        none = np.empty(0, dtype=np.int64)
        return DayAmounts((), (), none, none, np.empty((0, 0)), None, np.empty((0, 0), dtype=bool))
    athletes, athlete = _athletes(efforts["athlete_id"])
    cell, cell_athlete, cell_day = _cells(athlete, efforts["date"].to_physical().to_numpy())
    ledger, units = ledger_of(efforts, cell, catalogue, bounds=False)
    return DayAmounts(
        athletes,
        units.channels,
        cell_athlete,
        cell_day,
        _sums(ledger, len(cell_day), units),
        _untold(ledger, len(cell_day), units),
        _pairs(ledger, cell_athlete, len(athletes), units),
    )


def _athletes(names: pl.Series) -> tuple[tuple[str, ...], Numbers]:
    runs = names.rle().struct.unnest()
    if runs["value"].is_sorted() and runs["value"].n_unique() == runs.height:
        return tuple(runs["value"]), np.repeat(np.arange(runs.height), runs["len"].to_numpy())
    known = names.unique().sort()
    return tuple(known), names.cast(pl.Enum(known)).to_physical().to_numpy().astype(np.int64)


def _cells(athlete: Numbers, day: NDArray[np.int32]) -> tuple[Numbers, Numbers, Numbers]:
    """The cell of each effort, and athlete and day of each cell."""
    differs = np.empty(len(day), dtype=bool)
    differs[0] = True
    same = athlete[1:] == athlete[:-1]
    np.logical_or(~same, day[1:] != day[:-1], out=differs[1:])
    if not (same & (day[1:] < day[:-1])).any() and not (athlete[1:] < athlete[:-1]).any():
        begins = np.flatnonzero(differs)
        return np.cumsum(differs, dtype=np.int64) - 1, athlete[begins], day[begins].astype(np.int64)
    first, span = int(day.min()), int(day.max() - day.min()) + 1
    calendar = athlete * span + (day - first)
    present = np.flatnonzero(np.bincount(calendar))
    number = np.zeros(int(present[-1]) + 1, dtype=np.int64)
    number[present] = np.arange(len(present))
    cell_athlete, cell_day = np.divmod(present, span)
    return number[calendar], cell_athlete, cell_day + first


def _sums(ledger: Ledger, cells: int, units: Units) -> Array:
    """Sparse products of a few thousand days at a time, which stay near the processor."""
    starts = np.searchsorted(ledger.cell, np.arange(cells + 1)).astype(np.int32)
    kind = ledger.kind.astype(np.int32)
    unit_of = {
        (measure, loaded): _wide(units, measure, loaded) for measure in ledger.amounts for loaded in (False, True)
    }
    total = np.zeros((cells, len(units.channels)))
    for first in range(0, cells, CELLS_AT_ONCE):
        begins = starts[first : first + CELLS_AT_ONCE + 1]
        some, shape = slice(begins[0], begins[-1]), (len(begins) - 1, units.kinds)
        for (measure, loaded), unit in unit_of.items():
            if unit is not None:
                data = ledger.amounts[measure][some]
                data = data * ledger.load[some] if loaded else data
                days = sparse.csr_array((data, kind[some], begins - begins[0]), shape=shape)
                total[first : first + CELLS_AT_ONCE] += days @ unit
    return total


def _wide(units: Units, measure: str, loaded: bool) -> Array | None:
    """What one unit of a measure adds to every channel; None where it feeds none."""
    columns, unit = units.matrix(measure, "value", loaded)
    if not columns.size:
        return None
    wide = np.zeros((units.kinds, len(units.channels)))
    wide[:, columns] = unit
    return wide


def _untold(ledger: Ledger, cells: int, units: Units) -> NDArray[np.bool_] | None:
    """Where an effort should have fed the channel but lacks a load or an amount."""
    state = ledger.kind * 3 + ledger.load_state
    lost = units.counts >= units.unknown_unit
    some = np.flatnonzero(np.asarray(lost.any(axis=1))[state])
    if not len(some):
        return None
    found = np.zeros((cells, len(units.channels)), dtype=bool)
    np.logical_or.at(found, ledger.cell[some], lost[state[some]])
    return found


def _pairs(ledger: Ledger, cell_athlete: Numbers, athletes: int, units: Units) -> NDArray[np.bool_]:
    states = len(units.counts)
    key = cell_athlete[ledger.cell] * states + ledger.kind * 3 + ledger.load_state
    done = np.bincount(key, minlength=athletes * states).reshape(athletes, states) > 0
    return np.asarray(done.astype(np.float64) @ (units.counts > 0) > 0)
