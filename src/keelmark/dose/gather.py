"""Doses of many efforts gathered into cells: a cell is a single effort, or an athlete's day.

What an effort adds is an amount (reps, metres, seconds or calories) times what one unit of it adds to each channel,
times the load for channels in kg. That is a sparse matrix of amounts (cell by kind of effort) times a small dense
matrix of units (kind by channel), so a whole log is gathered by a few products.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl
from numpy.typing import NDArray
from scipy import sparse

from keelmark.catalogue import Catalogue
from keelmark.dose.routes import MEASURES, given_code, route_table
from keelmark.dose.units import LOADS, Units, units_of

__all__ = ["Gathered", "gather"]

CELLS_AT_ONCE = 50_000
"""Cells laid out densely at a time; keeps memory bounded whatever the length of the log."""

Array = NDArray[np.float64]
Numbers = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Gathered:
    """Doses by cell and channel, sorted by cell and by the order of the channels; columns of one length.

    `value` and `low` hold the known part, `high` is NaN as soon as one part is not known, `value` is NaN when none is;
    `efforts` and `unknown` count the efforts that fed the cell and those that should have but lack an amount or load.
    """

    channels: tuple[str, ...]
    cell: Numbers
    channel: Numbers
    value: Array
    low: Array
    high: Array
    efforts: Numbers
    unknown: Numbers


@dataclass(frozen=True, slots=True)
class _Ledger:
    """What is needed of each effort, sorted by cell; arrays of shape (effort,)."""

    cell: Numbers
    kind: Numbers
    load_state: Numbers
    load: Array
    amounts: dict[str, Array]
    share_low: Array
    share_high: Array

    def cut(self, first: int, last: int) -> _Ledger:
        """The efforts of the cells from `first` up to but not including `last`, cells numbered from 0."""
        some = slice(*np.searchsorted(self.cell, [first, last]))
        return _Ledger(
            self.cell[some] - first,
            self.kind[some],
            self.load_state[some],
            self.load[some],
            {measure: amount[some] for measure, amount in self.amounts.items()},
            self.share_low[some],
            self.share_high[some],
        )


def gather(efforts: pl.DataFrame, cell: Numbers, catalogue: Catalogue) -> Gathered:
    """Gather the doses that follow from the catalogue's exposures and the load.

    Parameters
    ----------
    efforts : DataFrame
        `EFFORT` table, N rows.
    cell : int array, shape (N,)
        Cell of each effort, from 0.
    catalogue : Catalogue
        Holds every movement of the efforts.

    Raises
    ------
    CatalogueError
        When an effort names a movement that the catalogue does not hold.
    """
    if efforts.is_empty():
        none, nothing = np.empty(0, dtype=np.int64), np.empty(0)
        return Gathered((), none, none, nothing, nothing, nothing, none, none)
    kinds, kind = _kinds(efforts)
    units = units_of(route_table(kinds, catalogue).join(kinds, on=["movement", "given"]), kinds.height)
    rules = np.array([LOADS.index(catalogue[name].load) for name in kinds["movement"]], dtype=np.int64)
    ledger = _ledger(efforts, cell, kind, rules[kind])
    cells = int(cell.max(initial=-1)) + 1
    parts = [
        _rows(ledger.cut(first, first + CELLS_AT_ONCE), first, min(CELLS_AT_ONCE, cells - first), units)
        for first in range(0, cells, CELLS_AT_ONCE)
    ]
    cell_of, channel, value, low, high, known, unknown = (np.concatenate(column) for column in zip(*parts, strict=True))
    whole = [column.astype(np.int64) for column in (cell_of, channel, known, unknown)]
    return Gathered(units.channels, whole[0], whole[1], value, low, high, whole[2], whole[3])


def _kinds(efforts: pl.DataFrame) -> tuple[pl.DataFrame, Numbers]:
    """Movements with the amounts given for them, and the kind of each effort."""
    names = efforts["movement"].unique().sort()
    movement = efforts["movement"].cast(pl.Enum(names)).to_physical().to_numpy().astype(np.int64)
    given = efforts.select(given_code())["given"].to_numpy().astype(np.int64)
    key, several = movement << len(MEASURES) | given, 1 << len(MEASURES)
    present = np.flatnonzero(np.bincount(key, minlength=1))
    number = np.zeros(len(names) * several, dtype=np.int64)
    number[present] = np.arange(len(present))
    table = pl.DataFrame(
        {
            "movement": names.gather(present // several),
            "given": pl.Series(present % several, dtype=pl.UInt8),
            "kind": pl.Series(np.arange(len(present)), dtype=pl.Int64),
        }
    )
    return table, number[key]


def _ledger(efforts: pl.DataFrame, cell: Numbers, kind: Numbers, rule: Numbers) -> _Ledger:
    order = np.argsort(cell, kind="stable") if np.any(np.diff(cell) < 0) else slice(None)
    sets = efforts["sets"].cast(pl.Float64)
    amounts = {
        measure: (sets * efforts[measure]).fill_null(0.0).to_numpy()[order]
        for measure in MEASURES
        if efforts[measure].null_count() < efforts.height
    }
    load, state = _loads(efforts, rule)
    return _Ledger(
        cell=cell[order],
        kind=kind[order],
        load_state=state[order],
        load=load[order],
        amounts=amounts,
        share_low=efforts["share_low"].to_numpy()[order],
        share_high=efforts["share_high"].to_numpy()[order],
    )


def _loads(efforts: pl.DataFrame, rule: Numbers) -> tuple[Array, Numbers]:
    """External load in kg, 0 where none or not known, and its state: 0 carried, 1 none, 2 not known.

    A movement that needs a load is never without one; a movement that never has one is without it unless one is given.
    """
    basis = efforts["load_basis"].cast(pl.String)
    load = efforts["load_kg"].to_numpy()
    without = ((basis == "none").to_numpy() & (rule != LOADS.index("needs"))) | (
        np.isnan(load) & (rule == LOADS.index("never"))
    )
    unknown = ~without & (np.isnan(load) | (basis == "unknown").to_numpy())
    carried = np.where(without | unknown, 0.0, load)
    return carried, np.select([unknown, carried == 0.0], [2, 1], default=0)


def _rows(ledger: _Ledger, first: int, cells: int, units: Units) -> tuple[NDArray[np.generic], ...]:
    """Doses of one stretch of cells, as columns of `Gathered` from `cell` on."""
    starts = np.searchsorted(ledger.cell, np.arange(cells + 1))
    shape = (cells, units.kinds)
    counts = _product(np.ones(len(ledger.kind)), ledger.kind * 3 + ledger.load_state, starts, (cells, 3 * units.kinds))
    counted = counts @ units.counts
    unknown = np.floor(counted / units.unknown_unit)
    known = counted - unknown * units.unknown_unit
    bounds = []
    for bound, share in (("value", None), ("low", ledger.share_low), ("high", ledger.share_high)):
        total = np.zeros((cells, len(units.channels)))
        for measure, amount in ledger.amounts.items():
            shared = amount if share is None else amount * share
            for loaded, data in ((False, shared), (True, shared * ledger.load)):
                columns, unit = units.matrix(measure, bound, loaded)
                if columns.size:
                    total[:, columns] += _product(data, ledger.kind, starts, shape) @ unit
        bounds.append(total)
    cell, channel = np.nonzero(counted)
    at = (cell, channel)
    return (
        cell + first,
        channel,
        np.where(known[at] > 0, bounds[0][at], np.nan),
        bounds[1][at],
        np.where(unknown[at] > 0, np.nan, bounds[2][at]),
        known[at],
        unknown[at],
    )


def _product(data: Array, column: Numbers, starts: Numbers, shape: tuple[int, int]) -> sparse.csr_array:
    return sparse.csr_array((data, column, starts), shape=shape)
