"""Reps above levels of compression in body weights, and weeks that the powers of compression rank differently."""

from __future__ import annotations

from collections.abc import Sequence

import polars as pl

from keelmark.dose.lumbar import beyond_fit
from keelmark.dose.lumbar_inputs import safe_body

__all__ = [
    "LEVELS_BODY_WEIGHTS", "POWERS", "powers_in_words", "rank_by_power", "reps_above_levels", "reps_beyond_fit",
]  # fmt: skip

LEVELS_BODY_WEIGHTS = (4.0, 6.0, 8.0, 10.0)
"""Levels of compression in multiples of the athlete's own body weight. A way of counting, not a limit."""

POWERS: dict[str, str] = {
    "lumbar_compression": "adding up compression",
    "lumbar_compression_2": "adding up its square",
    "lumbar_fatigue": "the fatigue law",
}
"""Channels that weigh the same reps by a rising power of compression, in words."""

_GRAVITY = 9.81


def reps_above_levels(
    reps: pl.DataFrame, athletes: pl.DataFrame, levels: Sequence[float] = LEVELS_BODY_WEIGHTS
) -> pl.DataFrame:
    """How many reps pressed the lower back harder than some multiples of the athlete's own body weight.

    Scope: a rep counts in `low` when even its lower bound is above the level, in `high` when its upper bound is.

    Parameters
    ----------
    reps : DataFrame
        From `lumbar_reps`.
    athletes : DataFrame
        `ATHLETE` table.
    levels : sequence of float
        Multiples of body weight.

    Returns
    -------
    DataFrame
        `athlete_id`, `date`, `level` [body weights], `reps`, `low`, `high`, `unknown` (efforts).
    """
    columns = athletes.select("athlete_id", "body_mass_kg", "stature_cm", pl.col("sex").cast(pl.String)).unique(
        "athlete_id"
    )
    weights = {key: safe_body(mass, stature, sex).mass_kg for key, mass, stature, sex in columns.iter_rows()}
    stranger = safe_body(None, None, None).mass_kg
    people = [weights.get(key, stranger) for key in reps["athlete_id"]]
    weighed = reps.with_columns(
        weight=pl.Series([mass.value * _GRAVITY for mass in people], dtype=pl.Float64),
        known=pl.col("missing").is_null(),
    )
    by_level = [_above(weighed, level) for level in levels]
    return pl.concat(by_level).sort("athlete_id", "date", "level")


def reps_beyond_fit(reps: pl.DataFrame) -> tuple[float, float, float]:
    """How many reps lie beyond the end of the fatigue law's fit, how many may, and of how many known ones.

    Parameters
    ----------
    reps : DataFrame
        From `lumbar_reps`.

    Returns
    -------
    (float, float, float) [rep]
        By the central figure; by the upper bound; all reps whose load and amount are known.
    """
    known = reps.filter(pl.col("missing").is_null())
    surely, perhaps = (known.filter(beyond_fit(end))["cycles"].sum() for end in ("", "_high"))
    return float(surely), float(perhaps), float(known["cycles"].sum())


def rank_by_power(weekly: pl.DataFrame) -> pl.DataFrame:
    """Place of each week among an athlete's weeks by each power of compression, 1 being the most.

    Parameters
    ----------
    weekly : DataFrame
        Columns `athlete_id`, `week`, `channel`, `value`; other channels are passed over.

    Returns
    -------
    DataFrame
        `athlete_id`, `week`, `weeks` (how many are known), one rank per power, and `spread`: largest less smallest
        rank.
    """
    known = weekly.filter(pl.col("channel").is_in(list(POWERS)) & pl.col("value").is_not_null())
    ranked = known.with_columns(
        rank=pl.col("value").rank("min", descending=True).over("athlete_id", "channel").cast(pl.Int64),
        weeks=pl.len().over("athlete_id", "channel").cast(pl.Int64),
    )
    wide = ranked.pivot(on="channel", on_columns=list(POWERS), index=["athlete_id", "week", "weeks"], values="rank")
    ranks = [pl.col(name) for name in POWERS]
    return wide.with_columns(spread=pl.max_horizontal(ranks) - pl.min_horizontal(ranks)).sort("athlete_id", "week")


def powers_in_words(ranks: dict[str, int], weeks: int) -> str | None:
    """One sentence where the powers of compression place a week clearly differently; None where they agree.

    Parameters
    ----------
    ranks : dict of channel to int
        Place of the week by each of `POWERS`, 1 being the most.
    weeks : int
        How many weeks were ranked.

    Returns
    -------
    str or None
        Said from a difference of a quarter of the weeks, and at least 3 places.
    """
    light, heavy = ranks["lumbar_compression"], ranks["lumbar_fatigue"]
    if abs(light - heavy) < max(3, weeks / 4):
        return None
    many, few = "many lighter reps rather than few heavy ones", "few heavy reps rather than many lighter ones"
    return (
        f"By {POWERS['lumbar_compression']} this week is number {light} of {weeks}, "
        f"by {POWERS['lumbar_compression_2']} number {ranks['lumbar_compression_2']}, "
        f"by {POWERS['lumbar_fatigue']} number {heavy}: it was made of {many if light < heavy else few}."
    )


def _above(reps: pl.DataFrame, level: float) -> pl.DataFrame:
    border = level * pl.col("weight")

    def counted(end: str) -> pl.Expr:
        return pl.when(pl.col(f"compression{end}") > border).then(f"cycles{end}").otherwise(0.0)

    return (
        reps.group_by("athlete_id", "date")
        .agg(
            reps=pl.when("known").then(counted("")).sum(),
            low=counted("_low").fill_null(0.0).sum(),
            high=pl.when(pl.col("known").all()).then(counted("_high").sum()),
            unknown=(~pl.col("known")).sum().cast(pl.Int64),
        )
        .select("athlete_id", "date", "reps", "low", "high", "unknown", level=pl.lit(level))
    )
