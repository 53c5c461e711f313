"""What is needed of each effort to gather doses: its kind, its amounts, its load and what is known of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.catalogue import Catalogue
from keelmark.contracts.frames import LOAD_BASES
from keelmark.dose.routes import MEASURES, route_table
from keelmark.dose.units import LOADS, Units, units_of

__all__ = ["LEDGER_COLUMNS", "Ledger", "ledger_of"]

LEDGER_COLUMNS = ("movement", "sets", *MEASURES, "load_kg", "load_basis")
"""Columns of an effort that its point amounts follow from."""

Array = NDArray[np.float64]
Numbers = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Ledger:
    """Efforts sorted by cell, otherwise in the order of their rows; arrays of shape (effort,).

    Parameters
    ----------
    cell : int array
        Cell of each effort: a single effort, or an athlete's day.
    kind : int array
        Number of its movement with the amounts given for it.
    load_state : int array
        0 where a load is carried, 1 where none is, 2 where that is not known.
    load : array
        External load [kg], 0 where none or not known.
    amounts : dict of str to array
        Amount of all sets by measure, 0 where not given.
    share_low, share_high : array or None
        Bounds of the amounts as shares of them; None where bounds are not asked for.
    """

    cell: Numbers
    kind: Numbers
    load_state: Numbers
    load: Array
    amounts: dict[str, Array]
    share_low: Array | None
    share_high: Array | None

    def cut(self, first: int, last: int) -> Ledger:
        """The efforts of the cells from `first` up to but not including `last`, cells numbered from 0."""
        some = slice(*np.searchsorted(self.cell, [first, last]))
        return Ledger(
            self.cell[some] - first,
            self.kind[some],
            self.load_state[some],
            self.load[some],
            {measure: amount[some] for measure, amount in self.amounts.items()},
            None if self.share_low is None else self.share_low[some],
            None if self.share_high is None else self.share_high[some],
        )


def ledger_of(efforts: pl.DataFrame, cell: Numbers, catalogue: Catalogue, *, bounds: bool) -> tuple[Ledger, Units]:
    """The ledger of some efforts, and what one unit of each amount adds to each channel.

    Parameters
    ----------
    efforts : DataFrame
        `LEDGER_COLUMNS` of an `EFFORT` table, N rows, at least one; with `share_low` and `share_high` for bounds.
    cell : int array, shape (N,)
        Cell of each effort, from 0.
    catalogue : Catalogue
        Holds every movement of the efforts.
    bounds : bool
        Whether the shares are needed.

    Raises
    ------
    CatalogueError
        When an effort names a movement that the catalogue does not hold.
    """
    kinds, kind = _kinds(efforts)
    units = units_of(route_table(kinds, catalogue).join(kinds, on=["movement", "given"]), kinds.height)
    rules = np.array([LOADS.index(catalogue[name].load) for name in kinds["movement"]], dtype=np.int64)
    order = np.argsort(cell, kind="stable") if np.any(cell[1:] < cell[:-1]) else slice(None)
    sets = efforts["sets"].cast(pl.Float64)
    amounts = {
        measure: (sets * efforts[measure]).fill_null(0.0).to_numpy()[order]
        for measure in MEASURES
        if efforts[measure].null_count() < efforts.height
    }
    load, state = _loads(efforts, rules[kind])
    low, high = (efforts[name].to_numpy()[order] if bounds else None for name in ("share_low", "share_high"))
    return Ledger(cell[order], kind[order], state[order], load[order], amounts, low, high), units


def _kinds(efforts: pl.DataFrame) -> tuple[pl.DataFrame, Numbers]:
    """Movements with the amounts given for them, and the kind of each effort."""
    numbered = efforts["movement"].cast(pl.Categorical)
    found = numbered.unique()
    places = found.to_physical().to_numpy()
    names, order = found.cast(pl.String).sort(), found.cast(pl.String).arg_sort().to_numpy()
    several = 1 << len(MEASURES)
    begins = np.zeros(int(places.max()) + 1, dtype=np.int64)
    begins[places[order]] = np.arange(len(names)) * several
    key = begins[numbered.to_physical().to_numpy()]
    for place, measure in enumerate(MEASURES):
        if efforts[measure].null_count() == 0:
            key += 1 << place
        elif efforts[measure].null_count() < efforts.height:
            key += efforts[measure].is_not_null().cast(pl.Int64).to_numpy() << place
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


def _loads(efforts: pl.DataFrame, rule: Numbers) -> tuple[Array, Numbers]:
    """External load in kg, 0 where none or not known, and its state: 0 carried, 1 none, 2 not known.

    A movement that needs a load is never without one; a movement that never has one is without it unless one is given.
    """
    basis = efforts["load_basis"].cast(pl.Enum(LOAD_BASES)).to_physical().to_numpy()
    load = efforts["load_kg"].to_numpy()
    missing = np.isnan(load)
    without = (basis == LOAD_BASES.index("none")) & (rule != LOADS.index("needs"))
    without |= missing & (rule == LOADS.index("never"))
    unknown = ~without & (missing | (basis == LOAD_BASES.index("unknown")))
    carried = np.where(without | unknown, 0.0, load)
    state = (carried == 0.0).astype(np.int64)
    state[unknown] = 2
    return carried, state
