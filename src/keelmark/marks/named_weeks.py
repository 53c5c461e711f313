"""What named weeks hold in this squad, learnt from the named weeks it has had.

A name moves what is expected of a week: by what its kind is taken to hold at first, and more and more by what the squad
did in earlier weeks of that name, kind of work by kind of work. What is still uncertain about a name widens the week's
usual range. The week after a named one is a kind of its own, which is taken to hold the usual amount at first.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.marks.week_names import START_SPREAD, name_meaning

__all__ = ["NameEffects", "WeekNames", "no_names", "week_names"]

Array = NDArray[np.float64]

START_WEEKS = 1.0
"""Named weeks that what a kind is taken to hold counts for."""
SPREAD_WEEKS = 3.0
"""Named weeks that the first spread counts for."""
LEAST_SHARE = 0.5
"""Part of a week's days that must bear a name before the week teaches what the name means."""


@dataclass(frozen=True, slots=True)
class WeekNames:
    """Names of weeks laid out as arrays.

    Parameters
    ----------
    kind : int array, shape (week, pair)
        Number of the name's kind, 0 for none.
    share : array, shape (week, pair)
        Part of the days that bear it.
    start, spread : arrays, shape (kind,)
        What a whole week is taken to hold at first, and how far it may lie from that, as parts of the usual level on
        the square-root scale.
    follows : bool array, shape (kind,)
        Kinds of weeks that bear no name themselves but come after one that does.
    peak : bool array, shape (pair,)
        Pairs whose week is its largest day; a lighter week may hold as large a one, so a name only widens its range.
    """

    kind: NDArray[np.int64]
    share: Array
    start: Array
    spread: Array
    follows: NDArray[np.bool_]
    peak: NDArray[np.bool_]


def no_names(shape: tuple[int, ...]) -> WeekNames:
    """Weeks without any name."""
    kind, share = np.zeros(shape, dtype=np.int64), np.zeros(shape)
    return WeekNames(kind, share, np.ones(1), np.zeros(1), np.zeros(1, dtype=bool), np.zeros(shape[1], dtype=bool))


def week_names(rows: pl.DataFrame) -> tuple[pl.Series, Array, Array, NDArray[np.bool_]]:
    """Kind of each row's week, and what each kind is taken to hold.

    Parameters
    ----------
    rows : DataFrame
        Columns `label` and `after`, null where a row's week has no name.

    Returns
    -------
    tuple
        Series of kinds, 0 for none, in the order of the rows; `start`, `spread` and `follows` as in `WeekNames`.
    """
    numbers: dict[tuple[str, bool], int] = {}
    start, spread, follows, found = [1.0], [0.0], [False], {}
    for label, after in rows.select("label", "after").drop_nulls().unique(maintain_order=True).iter_rows():
        meaning = name_meaning(label)
        key = (meaning.key, after)
        if key not in numbers:
            numbers[key] = len(start)
            start.append(1.0 if after else float(np.sqrt(meaning.amount)))
            spread.append(START_SPREAD if after else meaning.spread)
            follows.append(after)
        found[label, after] = numbers[key]
    told = pl.DataFrame(
        [(label, after, number) for (label, after), number in found.items()],
        schema={"label": pl.String, "after": pl.Boolean, "kind": pl.Int64},
        orient="row",
    )
    kind = rows.join(told, on=["label", "after"], how="left", maintain_order="left")["kind"].fill_null(0)
    return kind, np.array(start), np.array(spread), np.array(follows)


class NameEffects:
    """What each kind of name holds, as far as the weeks seen so far tell.

    Parameters
    ----------
    names : WeekNames
        Names of all weeks.
    channel : int array, shape (pair,)
        Number of each pair's channel.
    channels : int
        How many channels there are.
    """

    def __init__(self, names: WeekNames, channel: NDArray[np.int64], channels: int) -> None:
        self._names, self._channel = names, channel
        shape = (len(names.start), channels)
        self._of_kind, self._events = names.start * START_WEEKS, np.full(shape[0], START_WEEKS)
        self._sums, self._counts = np.zeros(shape), np.zeros(shape)
        self._squares = np.tile(SPREAD_WEEKS * names.spread[:, None] ** 2, (1, channels))
        self._named = (names.kind > 0).sum(axis=1) > 0

    def expect(self, week: int, level: Array, scatter: Array) -> tuple[Array, Array]:
        """Level and scatter of a week, moved and widened by its name; shape (pair,), on the square-root scale."""
        if not self._named[week]:
            return level, scatter
        kind, share = self._names.kind[week], self._names.share[week]
        holds, spread = (values[kind, self._channel] for values in self._known())
        part = np.where((kind > 0) & ~self._names.peak, 1.0 + share * (holds - 1.0), 1.0)
        wider = np.hypot(scatter * np.maximum(part, 1.0), level * share * spread)
        return level * part, np.where(kind > 0, wider, scatter)

    def learn(self, week: int, seen: Array, level: Array, counted: NDArray[np.bool_]) -> None:
        """Take in what was done in a week.

        Parameters
        ----------
        week : int
            Number of the week.
        seen, level : arrays, shape (pair,)
            Square roots of the amounts, and what would have been expected of a week without a name.
        counted : bool array, shape (pair,)
            Pairs whose week is known.
        """
        kind, share = self._names.kind[week], self._names.share[week]
        counted = counted & (kind > 0) & ~self._names.peak & (share >= LEAST_SHARE) & (np.nan_to_num(level) > 0)
        if not counted.any():
            return
        at = (kind[counted], self._channel[counted])
        over, under = np.zeros(self._sums.shape), np.zeros(self._sums.shape)
        np.add.at(over, at, (seen - level)[counted] / share[counted])
        np.add.at(under, at, level[counted])
        there = under > 0
        held = np.maximum(1.0 + np.divide(over, under, out=np.zeros_like(over), where=there), 0.0)
        self._squares += np.where(there, (held - self._known()[0]) ** 2, 0.0)
        self._sums += np.where(there, held, 0.0)
        self._counts += there
        kinds = there.any(axis=1)
        self._of_kind += np.where(kinds, np.where(there, held, 0.0).sum(axis=1) / np.maximum(there.sum(axis=1), 1), 0.0)
        self._events += kinds

    def _known(self) -> tuple[Array, Array]:
        """What a whole week of each kind holds, shape (kind, channel), and how far the next one may lie from it."""
        of_kind = (self._of_kind / self._events)[:, None]
        holds = (START_WEEKS * of_kind + self._sums) / (START_WEEKS + self._counts)
        return holds, np.sqrt(self._squares / (SPREAD_WEEKS + self._counts))
