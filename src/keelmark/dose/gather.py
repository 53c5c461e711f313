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
from keelmark.dose.ledger import Ledger, ledger_of
from keelmark.dose.units import Units

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
    ledger, units = ledger_of(efforts, cell, catalogue, bounds=True)
    cells = int(cell.max(initial=-1)) + 1
    parts = [
        _rows(ledger.cut(first, first + CELLS_AT_ONCE), first, min(CELLS_AT_ONCE, cells - first), units)
        for first in range(0, cells, CELLS_AT_ONCE)
    ]
    cell_of, channel, value, low, high, known, unknown = (np.concatenate(column) for column in zip(*parts, strict=True))
    whole = [column.astype(np.int64) for column in (cell_of, channel, known, unknown)]
    return Gathered(units.channels, whole[0], whole[1], value, low, high, whole[2], whole[3])


def _rows(ledger: Ledger, first: int, cells: int, units: Units) -> tuple[NDArray[np.generic], ...]:
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
