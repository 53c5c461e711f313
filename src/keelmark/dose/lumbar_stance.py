"""How far the trunk leans, how far the load reaches and what shears the joint, with bounds: for explanations."""

from __future__ import annotations

import numpy as np
import polars as pl

from keelmark.dose.lumbar_model import lines
from keelmark.dose.lumbar_tasks import Draws, drawn_tasks, shear_of_pair, tails

__all__ = ["STANCE_FIGURES", "stance_of_tasks"]

STANCE_FIGURES = ("lean", "reach_cm", "shear")


def stance_of_tasks(pairs: pl.DataFrame, tasks: pl.DataFrame) -> pl.DataFrame:
    """Lean, reach and shear of tasks.

    Parameters
    ----------
    pairs : DataFrame
        From `described_pairs`.
    tasks : DataFrame
        `pair` and `load_kg`, sorted by `pair`.

    Returns
    -------
    DataFrame
        `tasks` with `lean` [degrees], `reach_cm` and `shear` [N], each with `_low` and `_high` (2.5 and 97.5 %
        quantiles that hold the central figure); empty where measured compression is taken, which has no posture.
    """
    columns = {f"{name}{end}": np.full(tasks.height, np.nan) for name in STANCE_FIGURES for end in ("_low", "_high")}
    for drawn in drawn_tasks(pairs, tasks, Draws()):
        if drawn.kind == "published":
            continue
        line, shape = lines(drawn.kind, drawn.arms, drawn.impact, drawn.inputs), (len(drawn.tasks), drawn.draws)
        figures = {
            "lean": np.degrees(_of_tasks(line.inclination, drawn.place)),
            "reach_cm": 100.0 * _of_tasks(line.reach, drawn.place),
            "shear": shear_of_pair(line, drawn.place, drawn.loads),
        }
        for name, values in figures.items():
            low, high = tails(np.broadcast_to(values, shape))
            columns[f"{name}_low"][drawn.tasks], columns[f"{name}_high"][drawn.tasks] = low, high
    bounds = {name: pl.Series(name, values, nan_to_null=True) for name, values in columns.items()}
    return (
        tasks.with_columns(**bounds)
        .join(_central(pairs), on="pair", how="left", maintain_order="left")
        .select(*tasks.columns, *_contained("lean"), *_contained("reach_cm"), *_contained("shear", _shear()))
    )


def _of_tasks(values: np.ndarray, place: np.ndarray) -> np.ndarray:
    return values if values.shape[0] == 1 else values[place]


def _central(pairs: pl.DataFrame) -> pl.DataFrame:
    posed = pl.when(pl.col("kind") != "published")
    return pairs.select(
        "pair",
        posed.then(pl.col("inclination").degrees()).alias("lean"),
        posed.then(pl.col("reach") * 100.0).alias("reach_cm"),
        posed.then("upper_mass").alias("upper_mass"),
        "held_per_kg",
        "inclination",
    )


def _shear() -> pl.Expr:
    return 9.81 * (pl.col("upper_mass") + pl.col("held_per_kg") * pl.col("load_kg")) * pl.col("inclination").sin()


def _contained(name: str, central: pl.Expr | None = None) -> list[pl.Expr]:
    """The central figure, and bounds that hold it."""
    value = pl.col(name) if central is None else central
    posed = pl.col(f"{name}_low").is_not_null()
    return [
        value.alias(name),
        pl.when(posed).then(pl.min_horizontal(value, f"{name}_low")).alias(f"{name}_low"),
        pl.when(posed).then(pl.max_horizontal(value, f"{name}_high")).alias(f"{name}_high"),
    ]
