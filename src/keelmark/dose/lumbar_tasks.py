"""Distinct tasks (body, movement, load, heights) and what one rep of each does to the lower back, with bounds."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.dose.lumbar_inputs import INPUTS
from keelmark.dose.lumbar_model import Lines, lines
from keelmark.mechanics.anthropometry import Arms
from keelmark.mechanics.draws import DRAWS, even_draws, from_range

__all__ = ["PAIR_KEY", "TASK_FIGURES", "bounds_of_tasks", "pairs_with_lines"]

Array = NDArray[np.float64]

PAIR_KEY = ("athlete_id", "movement", "held", "written_cm", "bar_from_cm")
TASK_FIGURES = ("moment", "compression", "shear", "impulse")
_LINE_NAMES = tuple(Lines._fields)
_TAIL = 0.025
_CHUNK = 256


def pairs_with_lines(pairs: pl.DataFrame) -> pl.DataFrame:
    """The model at central inputs, for each body in each posture.

    Parameters
    ----------
    pairs : DataFrame
        `PAIR_KEY`, all columns of `bodies_table` and `families_table`, heights worked in (`with_heights`).

    Returns
    -------
    DataFrame
        The same rows, with one column per field of `Lines`.
    """
    filled = {name: np.zeros(pairs.height) for name in _LINE_NAMES}
    for rows, kind, arms, impact in _groups(pairs):
        found = lines(kind, arms, impact, _central(pairs, rows))
        for name, values in zip(_LINE_NAMES, found, strict=True):
            filled[name][rows] = np.broadcast_to(values, (len(rows), 1))[:, 0]
    return pairs.with_columns(**{name: pl.Series(name, values) for name, values in filled.items()})


def bounds_of_tasks(pairs: pl.DataFrame, tasks: pl.DataFrame, draws: int = DRAWS) -> pl.DataFrame:
    """Lower and upper bound of one rep of each task, from draws of all inputs together.

    The inputs are drawn once per body and posture; the load enters as a straight line. The same draws serve every
    task, so two readings agree and a heavier load never has a lower bound.

    Parameters
    ----------
    pairs : DataFrame
        As for `pairs_with_lines`, with a column `pair` numbering the rows from 0.
    tasks : DataFrame
        `pair` and `load_kg`, sorted by `pair`.
    draws : int
        Number of draws.

    Returns
    -------
    DataFrame
        `tasks` with `moment_low`, `moment_high`, and so on for each of `TASK_FIGURES`: the 2.5 and 97.5 % quantiles.
        `impulse` is the mean moment of one rep times its seconds [N m s].
    """
    shares = even_draws(len(INPUTS), draws)
    by_pair = _rows_by_pair(tasks["pair"].to_numpy(), pairs.height)
    loads = tasks["load_kg"].to_numpy()
    found = {f"{name}_{side}": np.zeros(tasks.height) for name in TASK_FIGURES for side in ("low", "high")}
    for rows, kind, arms, impact in _groups(pairs):
        for start in range(0, len(rows), _CHUNK):
            chunk = rows[start : start + _CHUNK]
            inputs = _drawn(pairs, chunk, shares)
            line = lines(kind, arms, impact, inputs)
            duration = inputs["seconds"] * inputs["mean_share"]
            counts = np.array([by_pair[row + 1] - by_pair[row] for row in chunk])
            place = np.repeat(np.arange(len(chunk)), counts)
            which = np.concatenate([np.arange(by_pair[row], by_pair[row + 1]) for row in chunk])
            _fill(found, which, _of_loads(line, duration, place, loads[which]))
    return tasks.with_columns(**{name: pl.Series(name, values) for name, values in found.items()})


def _of_loads(line: Lines, duration: Array, place: NDArray[np.int64], loads: Array) -> Iterator[tuple[str, Array]]:
    load = loads[:, None]
    moment = _full(line.moment, place) + _full(line.moment_per_kg, place) * load
    yield "moment", moment
    yield "compression", _full(line.compression, place) + _full(line.compression_per_kg, place) * load
    yield "shear", _full(line.shear, place) + _full(line.shear_per_kg, place) * load
    yield "impulse", moment * _full(duration, place)


def _full(values: Array, place: NDArray[np.int64]) -> Array:
    return values[place]


def _fill(found: dict[str, Array], which: NDArray[np.int64], figures: Iterator[tuple[str, Array]]) -> None:
    for name, values in figures:
        if not values.shape[0]:
            continue
        first = int(_TAIL * values.shape[1])
        last = values.shape[1] - 1 - first
        ordered = np.partition(values, (first, last), axis=1) if values.shape[1] > 1 else values
        found[f"{name}_low"][which] = ordered[:, first]
        found[f"{name}_high"][which] = ordered[:, last]


def _groups(pairs: pl.DataFrame) -> Iterator[tuple[NDArray[np.int64], str, Arms, bool]]:
    """Row numbers of the pairs that share kind, place of the arms and impact."""
    numbered = pairs.select("kind", "arms", "impact", row=pl.int_range(pl.len()))
    for (kind, arms, impact), group in numbered.group_by("kind", "arms", "impact", maintain_order=True):
        yield group["row"].to_numpy(), str(kind), arms, bool(impact)  # type: ignore[misc]


def _central(pairs: pl.DataFrame, rows: NDArray[np.int64]) -> dict[str, Array]:
    return {name: pairs[name].to_numpy()[rows][:, None] for name in INPUTS}


def _drawn(pairs: pl.DataFrame, rows: NDArray[np.int64], shares: Array) -> dict[str, Array]:
    """Drawn inputs; one without width keeps a single column."""
    inputs: dict[str, Array] = {}
    for name, share in zip(INPUTS, shares, strict=True):
        low, value, high = (pairs[f"{name}{end}"].to_numpy()[rows][:, None] for end in ("_low", "", "_high"))
        inputs[name] = value if bool((low == high).all()) else from_range(share, low, value, high)
    return inputs


def _rows_by_pair(pair: NDArray[np.int64], count: int) -> NDArray[np.int64]:
    return np.searchsorted(pair, np.arange(count + 1))
