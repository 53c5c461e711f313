"""Finding the rows of one athlete, or of one athlete and kind of work, without looking at anybody else's.

Large tables of a squad stand in runs: all rows of an athlete together, in weekly tables all of a kind of work within
them. Once the runs are known, a part of the table is a slice of it, which takes no time and no memory.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence

import polars as pl

__all__ = ["Runs"]

_Key = tuple[Hashable, ...]
_Places = dict[_Key, tuple[int, int]]
"""First row and length of each run."""


class Runs:
    """A table by its runs.

    Parameters
    ----------
    frame : DataFrame
        Any table with the columns of `by`. Where a run is broken, the table is put in order first, runs as they begin.
    by : str
        Columns that tell the runs apart.
    """

    def __init__(self, frame: pl.DataFrame, *by: str) -> None:
        self._frame, self._places = _laid_out(frame, by)

    def of(self, *key: Hashable) -> pl.DataFrame:
        """The rows of one run in their order; none where there is no such run."""
        first, length = self._places.get(key, (0, 0))
        return self._frame.slice(first, length)

    def of_all(self, keys: Sequence[_Key]) -> pl.DataFrame:
        """The rows of several runs, one run after the other."""
        found = [self.of(*key) for key in keys if key in self._places]
        return pl.concat(found) if found else self._frame.clear()


def _laid_out(frame: pl.DataFrame, by: tuple[str, ...]) -> tuple[pl.DataFrame, _Places]:
    places = _places(frame, by)
    if places is None:
        placed = frame.with_row_index("_place").with_columns(_first=pl.col("_place").min().over(by))
        frame = placed.sort("_first", maintain_order=True).select(frame.columns)
        places = _places(frame, by)
    assert places is not None
    return frame, places


def _places(frame: pl.DataFrame, by: tuple[str, ...]) -> _Places | None:
    """First row and length of each run; None where a run is broken."""
    if frame.is_empty():
        return {}
    begins = pl.any_horizontal(pl.col(name).ne_missing(pl.col(name).shift(1)) for name in by)
    at = frame.select(begins.or_(pl.int_range(pl.len()) == 0).arg_true()).to_series()
    keys, firsts = frame.select(by)[at].rows(), at.to_list()
    ends = [*firsts[1:], frame.height]
    places = {key: (first, end - first) for key, first, end in zip(keys, firsts, ends, strict=True)}
    return places if len(places) == len(keys) else None
