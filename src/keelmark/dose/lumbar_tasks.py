"""Distinct tasks (body, movement, load, heights) and what one rep of each does to the lower back, with bounds."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.dose.lumbar_inputs import INPUTS
from keelmark.dose.lumbar_model import Lines, lines
from keelmark.mechanics.anthropometry import Arms
from keelmark.mechanics.draws import DRAWS, even_draws, from_range
from keelmark.mechanics.lumbar import shear

__all__ = [
    "PAIR_KEY",
    "TASK_FIGURES",
    "DrawnTasks",
    "Draws",
    "bounds_of_tasks",
    "drawn_tasks",
    "figures_of_pair",
    "pairs_with_lines",
    "shear_of_pair",
    "tails",
]

Array = NDArray[np.floating[Any]]
Rows = NDArray[np.int64]

PAIR_KEY = ("athlete_id", "movement", "held", "written_cm", "bar_from_cm")
TASK_FIGURES = ("moment", "compression", "impulse")
_LINE_NAMES = tuple(Lines._fields)
_TAIL = 0.025
_CHUNK = 64


class Draws:
    """Draws of every input, the same for every task; a range is drawn once and kept.

    Parameters
    ----------
    draws : int
        Number of draws.
    """

    def __init__(self, draws: int = DRAWS) -> None:
        self.count = draws
        self._shares = dict(zip(INPUTS, even_draws(len(INPUTS), draws), strict=True))
        self._kept: dict[tuple[str, float, float, float], Array] = {}

    def of(self, name: str, low: float, value: float, high: float) -> Array:
        """Draws of one input, shape (draws,), in single precision."""
        key = (name, low, value, high)
        if key not in self._kept:
            self._kept[key] = from_range(self._shares[name], low, value, high).astype(np.float32)
        return self._kept[key]


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
    central = {name: pairs[name].to_numpy() for name in INPUTS}
    for rows, (kind, arms, impact) in _groups(pairs, ("kind", "arms", "impact")):
        found = lines(kind, arms, impact, {name: values[rows][:, None] for name, values in central.items()})
        for name, values in zip(_LINE_NAMES, found, strict=True):
            filled[name][rows] = np.broadcast_to(values, (len(rows), 1))[:, 0]
    return pairs.with_columns(**{name: pl.Series(name, values) for name, values in filled.items()})


def bounds_of_tasks(pairs: pl.DataFrame, tasks: pl.DataFrame, draws: Draws | None = None) -> pl.DataFrame:
    """Lower and upper bound of one rep of each task, from draws of all inputs together.

    The inputs are drawn once per body and posture; the load enters as a straight line. The same draws serve every
    task, so two readings agree and a heavier load never has a lower bound.

    Parameters
    ----------
    pairs : DataFrame
        As for `pairs_with_lines`, with a column `pair` numbering the rows from 0.
    tasks : DataFrame
        `pair` and `load_kg`, sorted by `pair`.
    draws : Draws, optional
        The usual ones unless given.

    Returns
    -------
    DataFrame
        `tasks` with `moment_low`, `moment_high`, and so on for each of `TASK_FIGURES`: the 2.5 and 97.5 % quantiles.
        `impulse` is the mean moment of one rep times its seconds [N m s].
    """
    draws = draws or Draws()
    found = {f"{name}_{side}": np.zeros(tasks.height) for name in TASK_FIGURES for side in ("low", "high")}
    for drawn in drawn_tasks(pairs, tasks, draws):
        for name, (low, high) in drawn.tails(drawn.inputs, TASK_FIGURES).items():
            found[f"{name}_low"][drawn.tasks], found[f"{name}_high"][drawn.tasks] = low, high
    return tasks.with_columns(**{name: pl.Series(name, values) for name, values in found.items()})


@dataclass(frozen=True, slots=True)
class DrawnTasks:
    """Tasks of some pairs that share kind, place of the arms and impact, with draws of all their inputs.

    `inputs` holds arrays of shape (pairs, draws), (1, draws) where all pairs agree, or (pairs, 1) where an input has
    no width; `pairs` and `tasks` are row numbers, `place` says which of the pairs each task belongs to.
    """

    kind: str
    arms: Arms
    impact: bool
    inputs: dict[str, Array]
    pairs: Rows
    tasks: Rows
    place: Rows
    loads: Array
    draws: int

    def tails(self, inputs: dict[str, Array], figures: Collection[str]) -> dict[str, tuple[Array, Array]]:
        """The 2.5 and 97.5 % quantiles of some of `TASK_FIGURES` for each task, from these inputs."""
        line = lines(self.kind, self.arms, self.impact, inputs)
        shape = (len(self.tasks), self.draws)
        return {
            name: tails(np.broadcast_to(values, shape))
            for name, values in figures_of_pair(line, inputs, self.place, self.loads)
            if name in figures
        }


def drawn_tasks(pairs: pl.DataFrame, tasks: pl.DataFrame, draws: Draws) -> Iterator[DrawnTasks]:
    """Tasks with draws of all inputs, some pairs at a time; parameters as for `bounds_of_tasks`."""
    first_task = np.searchsorted(tasks["pair"].to_numpy(), np.arange(pairs.height + 1))
    loads = tasks["load_kg"].to_numpy().astype(np.float32)
    columns = {name: [pairs[f"{name}{end}"].to_numpy() for end in ("_low", "", "_high")] for name in INPUTS}
    by = ("kind", "arms", "impact", "family", "written_cm", "bar_from_cm")
    for group, (kind, arms, impact) in _groups(pairs, by):
        for start in range(0, len(group), _CHUNK):
            rows = group[start : start + _CHUNK]
            inputs = {name: _drawn(draws, name, [end[rows] for end in columns[name]]) for name in INPUTS}
            place = np.repeat(np.arange(len(rows)), first_task[rows + 1] - first_task[rows])
            which = np.concatenate([np.arange(first_task[row], first_task[row + 1]) for row in rows])
            yield DrawnTasks(kind, arms, impact, inputs, rows, which, place, loads[which][:, None], draws.count)


def figures_of_pair(line: Lines, inputs: dict[str, Array], place: Rows, load: Array) -> Iterator[tuple[str, Array]]:
    """The drawn figures of tasks, by name.

    Parameters
    ----------
    line : Lines
        Of some pairs, arrays of shape (pairs, draws) or narrower.
    inputs : dict of str to array
        The draws they came from.
    place : array, shape (tasks,)
        Which pair each task belongs to.
    load : array, shape (tasks, 1) [kg]
        External load.

    Yields
    ------
    (name, array of shape (tasks, draws))
        "compression" [N], and where an extension moment is modelled "moment" [N m] and "impulse" [N m s].
    """
    yield "compression", _at(line.compression, place) + _at(line.compression_per_kg, place) * load
    if not line.moment.any() and not line.moment_per_kg.any():
        return
    moment = _at(line.moment, place) + _at(line.moment_per_kg, place) * load
    yield "moment", moment
    yield "impulse", moment * _at(inputs["seconds"] * inputs["mean_share"], place)


def shear_of_pair(line: Lines, place: Rows, load: Array) -> Array:
    """Drawn shear of tasks [N], shape (tasks, draws); parameters as for `figures_of_pair`."""
    held = _at(line.upper_mass, place) + _at(line.held_per_kg, place) * load
    return shear(held, np.zeros_like(held), _at(line.inclination, place), np.ones_like(held))


def _at(values: Array, place: Rows) -> Array:
    """Rows of the pairs that tasks belong to; one row for all stays one row."""
    return values if values.shape[0] == 1 else values[place]


def tails(values: Array) -> tuple[Array, Array]:
    """The 2.5 and 97.5 % quantiles of each row; two partitions by one place each are faster than one by two places."""
    first = int(_TAIL * values.shape[1])
    return np.partition(values, first, axis=1)[:, first], -np.partition(-values, first, axis=1)[:, first]


def _groups(pairs: pl.DataFrame, by: Sequence[str]) -> Iterator[tuple[Rows, tuple[str, Arms, bool]]]:
    """Row numbers of the pairs that agree in `by`, with kind, place of the arms and impact."""
    numbered = pairs.select(*by, row=pl.int_range(pl.len()))
    for key, group in numbered.group_by(*by, maintain_order=True):
        yield group["row"].to_numpy(), key[:3]


def _drawn(draws: Draws, name: str, ends: list[Array]) -> Array:
    """Draws of one input for some pairs: one row where all agree, one column where there is no width."""
    low, value, high = ends
    same = bool((low == low[0]).all() and (value == value[0]).all() and (high == high[0]).all())
    if same:
        low, value, high = low[:1], value[:1], high[:1]
    if bool((low == high).all()):
        return value[:, None].astype(np.float32)
    rows = [
        np.full(draws.count, b, dtype=np.float32) if a == c else draws.of(name, float(a), float(b), float(c))
        for a, b, c in zip(low, value, high, strict=True)
    ]
    return np.stack(rows)
