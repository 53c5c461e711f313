"""What a written height changes in a posture: where the bar starts, how deep the squat is, how far the drop."""

from __future__ import annotations

import polars as pl

from keelmark.mechanics.anthropometry import SEGMENT_LENGTHS

__all__ = ["BOX_SEAT_M", "DROP_REFERENCE_CM", "with_heights"]

BOX_SEAT_M = 0.09
"""Hip joint above the seat of a box [m] (judgement)."""
DROP_REFERENCE_CM = 45.0
"""Drop that the landing factor of the drop family stands for [cm]; landing speed grows with the root of the height."""


def with_heights(pairs: pl.DataFrame) -> pl.DataFrame:
    """Replace posture figures by what follows from the heights of the effort, where they are written.

    Parameters
    ----------
    pairs : DataFrame
        Posture and body columns with `written_cm` (box, platform or drop) and `bar_from_cm` (centre of the bar at the
        start) [cm], empty where nothing is written.

    Returns
    -------
    DataFrame
        The same columns. A written height has no range.
    """
    start, height = pl.col("bar_from_cm"), pl.col("written_cm")
    pull = (pl.col("kind") == "pull") & start.is_not_null()
    role = pl.col("height_role")
    deficit = (role == "deficit") & height.is_not_null()
    box = (role == "box") & height.is_not_null()
    drop = (role == "drop") & height.is_not_null()
    columns: list[pl.Expr] = []
    for end in ("_low", "", "_high"):
        columns += [
            pl.when(pull).then(start).otherwise(f"start_height_cm{end}").alias(f"start_height_cm{end}"),
            pl.when(deficit).then(height).otherwise(f"deficit_cm{end}").alias(f"deficit_cm{end}"),
            pl.when(box).then(_thigh_deg()).otherwise(f"thigh_deg{end}").alias(f"thigh_deg{end}"),
            pl.when(drop)
            .then(pl.col(f"dynamic{end}") * (height / DROP_REFERENCE_CM).sqrt())
            .otherwise(f"dynamic{end}")
            .alias(f"dynamic{end}"),
        ]
    return pairs.with_columns(columns)


def _thigh_deg() -> pl.Expr:
    stature = pl.col("stature") / 100.0
    shank = SEGMENT_LENGTHS["shank"] * pl.col("shank_tilt_deg").radians().cos()
    knee = stature * (SEGMENT_LENGTHS["ankle_height"] + shank)
    rise = (pl.col("written_cm") / 100.0 + BOX_SEAT_M - knee) / (SEGMENT_LENGTHS["thigh"] * stature)
    return rise.clip(-1.0, 1.0).arcsin().degrees()
