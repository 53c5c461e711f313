"""What each effort, and each day, asked of the lower back, in physical units and with bounds."""

from __future__ import annotations

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.catalogue.posture import Family, PostureTable
from keelmark.contracts.frames import ATHLETE, DAILY_DOSE, EFFORT
from keelmark.dose.adding import added_up
from keelmark.dose.lumbar_amounts import ENDS, families_of
from keelmark.dose.lumbar_heights import with_heights
from keelmark.dose.lumbar_inputs import bodies_table, families_table
from keelmark.dose.lumbar_rows import loading_rows, movement_table, with_most_load
from keelmark.dose.lumbar_tasks import PAIR_KEY, TASK_FIGURES, bounds_of_tasks, pairs_with_lines
from keelmark.mechanics.fatigue import (
    FIT_END,
    share_of_strength_from_compression,
    share_of_strength_from_moment,
    spine_damage_per_rep,
)

__all__ = [
    "LUMBAR_CHANNELS", "beyond_fit", "described_pairs", "dose_of_reps", "doses_of_reps", "lumbar_daily",
    "lumbar_efforts", "lumbar_reps",
]  # fmt: skip

LUMBAR_CHANNELS = ("lumbar_moment", "lumbar_peak", "lumbar_compression", "lumbar_compression_2", "lumbar_fatigue")
_OF_MOMENT = ("lumbar_moment", "lumbar_peak")
_OF_PAIR = (
    "pair", "family", "measured", "inclination", "reach", "assumptions", "seconds", "mean_share", "moment",
    "moment_per_kg", "compression", "compression_per_kg", "upper_mass", "held_per_kg",
)  # fmt: skip


def lumbar_daily(
    efforts: pl.DataFrame,
    athletes: pl.DataFrame,
    catalogue: Catalogue,
    *,
    postures: PostureTable | None = None,
    rep_maxima: pl.DataFrame | None = None,
) -> pl.DataFrame:
    """Work of the lower back of every athlete and day: the sum of `lumbar_efforts`, the largest for the peak.

    Estimates of load, not of harm. Bounds of single efforts are added up, as if all errors went the same way; so a
    day's range is wide rather than narrow.

    Parameters
    ----------
    efforts, athletes : DataFrame
        `EFFORT` and `ATHLETE` tables.
    catalogue : Catalogue
        Paces and rates of the movements.
    postures : PostureTable, optional
        The catalogue's unless given.
    rep_maxima : DataFrame, optional
        `REP_MAXIMUM` table. With it, an effort of unknown load gets an upper bound from the most the athlete can lift.

    Returns
    -------
    DataFrame
        `DAILY_DOSE` rows for the five lumbar channels: N m s, N m, kN rep, kN2 rep, index. The fatigue index has no
        upper bound on days with reps that may lie beyond the end of its law's fit.

    Raises
    ------
    FrameError
        When a table does not fit its schema.
    """
    rows = lumbar_efforts(efforts, athletes, catalogue, postures=postures, rep_maxima=rep_maxima)
    return DAILY_DOSE.check(added_up(rows), where="lumbar daily dose")


def lumbar_efforts(
    efforts: pl.DataFrame,
    athletes: pl.DataFrame,
    catalogue: Catalogue,
    *,
    postures: PostureTable | None = None,
    rep_maxima: pl.DataFrame | None = None,
) -> pl.DataFrame:
    """What each effort adds to each lumbar channel.

    Parameters
    ----------
    efforts, athletes, catalogue, postures, rep_maxima
        As for `lumbar_daily`.

    Returns
    -------
    DataFrame
        `effort` (row number in `efforts`, from 0), `athlete_id`, `date`, `channel`, `value`, `low`, `high`: one row
        per effort and channel that it feeds. Where the load is not known, `value` is empty, `low` is what the body
        alone asks and `high` what the rep maximum asks, if there is one; where the amount or the posture is not known,
        `low` is 0 and `high` empty. A fatigue index that may lie beyond the end of the law's fit is at least `value`
        and has no `high`. Movements that are not counted as loading the back have no rows.
    """
    reps = lumbar_reps(efforts, athletes, catalogue, postures=postures, rep_maxima=rep_maxima)
    return doses_of_reps(reps)


def doses_of_reps(reps: pl.DataFrame) -> pl.DataFrame:
    """What efforts add to each lumbar channel, from the mechanics of their reps.

    Parameters
    ----------
    reps : DataFrame
        From `lumbar_reps`.

    Returns
    -------
    DataFrame
        As `lumbar_efforts`.
    """
    long = pl.concat([_channel_rows(reps, channel) for channel in LUMBAR_CHANNELS])
    return long.sort("effort", maintain_order=True)


def lumbar_reps(
    efforts: pl.DataFrame,
    athletes: pl.DataFrame,
    catalogue: Catalogue,
    *,
    postures: PostureTable | None = None,
    rep_maxima: pl.DataFrame | None = None,
) -> pl.DataFrame:
    """The mechanics of one rep of each effort that loads the back, and how often it was done.

    Parameters
    ----------
    efforts, athletes, catalogue, postures, rep_maxima
        As for `lumbar_daily`.

    Returns
    -------
    DataFrame
        One row per effort that loads the back or whose posture nobody has stated: `effort`, `athlete_id`, `date`,
        `session_id`, `order`, `movement`, `family`, `measured` (its compression is a measured one), `held`,
        `load_used` and `load_most` [kg] (for the lower and the upper bound), `written_cm` and `bar_from_cm` (heights
        that are used), `inclination` [rad], `reach` [m], `shear` [N];
        `moment` [N m], `compression` [N], `impulse` [N m s per rep], `times` (cycles or seconds held) and `cycles`,
        each with `_low` and `_high`; `assumptions` (sentences) and `missing` (what is not known, empty when nothing).
    """
    efforts = EFFORT.check(efforts, where="lumbar dose")
    ATHLETE.check(athletes, where="lumbar dose")
    loading, silent = families_of(efforts["movement"], catalogue, postures or catalogue.postures)
    movements = movement_table(loading, silent, catalogue)
    rows = loading_rows(efforts.with_row_index("effort").lazy(), movements).collect()
    rows = with_most_load(rows, efforts, rep_maxima, catalogue)
    known = rows.filter(pl.col("missing_posture").not_())
    pairs = described_pairs(known.select(PAIR_KEY).unique(maintain_order=True), athletes, loading)
    tasks = (
        pl.concat([known.select(*PAIR_KEY, load_kg=load) for load in ("load_used", "load_most")])
        .drop_nulls("load_kg")
        .unique()
        .join(pairs.select(*PAIR_KEY, "pair"), on=PAIR_KEY, nulls_equal=True)
        .select("pair", "load_kg")
        .sort("pair", "load_kg")
    )
    return _joined(rows, pairs, bounds_of_tasks(pairs, tasks))


def described_pairs(pairs: pl.DataFrame, athletes: pl.DataFrame, loading: dict[str, Family]) -> pl.DataFrame:
    """Bodies in postures with all inputs of the model and its result at central inputs.

    Parameters
    ----------
    pairs : DataFrame
        `PAIR_KEY`, one row per pair.
    athletes : DataFrame
        `ATHLETE` table; an athlete without a row is one of whom nothing is known.
    loading : dict of movement to Family
        Postures of the movements.

    Returns
    -------
    DataFrame
        The pairs, numbered in `pair`, with the columns of `bodies_table`, `families_table` and `Lines`.
    """
    known = athletes.select("athlete_id", "body_mass_kg", "stature_cm", "sex").unique("athlete_id", keep="first")
    strangers = pairs.select("athlete_id").unique().join(known, on="athlete_id", how="anti")
    bodies = bodies_table(pl.concat([known, strangers], how="diagonal"))
    return (
        pairs.with_row_index("pair")
        .join(bodies, on="athlete_id", how="left", maintain_order="left")
        .join(families_table(list(loading.items())), on="movement", how="left", maintain_order="left")
        .pipe(with_heights)
        .with_columns(pl.when("held").then(1.0).otherwise(f"seconds{end}").alias(f"seconds{end}") for end in ENDS)
        .pipe(pairs_with_lines)
    )


def dose_of_reps(channel: str, end: str = "") -> pl.Expr:
    """The amount an effort adds to a channel: figures of one rep at one end of the range, times reps at that end.

    Parameters
    ----------
    channel : str
        One of `LUMBAR_CHANNELS`.
    end : "", "_low" or "_high"
        Which of the columns of `lumbar_reps` to take.
    """
    moment, kilonewton = pl.col(f"moment{end}"), pl.col(f"compression{end}") / 1000.0
    cycles, times = pl.col(f"cycles{end}"), pl.col(f"times{end}")
    if channel == "lumbar_moment":
        return pl.col(f"impulse{end}") * times
    if channel == "lumbar_peak":
        return pl.when(cycles > 0).then(moment)
    if channel == "lumbar_compression":
        return kilonewton * cycles
    if channel == "lumbar_compression_2":
        return kilonewton.pow(2) * cycles
    return spine_damage_per_rep(_share_of_strength(end)) * cycles


def beyond_fit(end: str = "") -> pl.Expr:
    """Whether a rep lies beyond the end of the fatigue law's fit, where the index counts it as one at that end.

    Parameters
    ----------
    end : "", "_low" or "_high"
        Which of the columns of `lumbar_reps` to take.
    """
    return _share_of_strength(end) > FIT_END


def _share_of_strength(end: str) -> pl.Expr:
    """Percent of strength: from measured compression where there is no moment, else from the moment."""
    by_compression = share_of_strength_from_compression(pl.col(f"compression{end}") / 1000.0)
    return pl.when("measured").then(by_compression).otherwise(share_of_strength_from_moment(pl.col(f"moment{end}")))


def _joined(rows: pl.DataFrame, pairs: pl.DataFrame, bounds: pl.DataFrame) -> pl.DataFrame:
    joined = rows.join(
        pairs.select(*PAIR_KEY, *_OF_PAIR), on=PAIR_KEY, how="left", nulls_equal=True, maintain_order="left"
    )
    load = pl.col("load_used")
    lows, highs = (pl.selectors.ends_with(end) for end in ("_low", "_high"))
    least = bounds.select("pair", lows, load_used="load_kg")
    most = bounds.select("pair", highs, load_most="load_kg")
    joined = (
        joined.join(least, on=["pair", "load_used"], how="left", maintain_order="left")
        .join(most, on=["pair", "load_most"], how="left", maintain_order="left")
        .with_columns(
            (pl.col(name) + pl.col(f"{name}_per_kg") * load).alias(name) for name in ("moment", "compression")
        )
        .with_columns(
            impulse=pl.col("moment") * pl.col("seconds") * pl.col("mean_share"),
            shear=9.81 * (pl.col("upper_mass") + pl.col("held_per_kg") * load) * pl.col("inclination").sin(),
        )
    )
    contained = [pl.min_horizontal(name, f"{name}_low").alias(f"{name}_low") for name in TASK_FIGURES]
    contained += [
        pl.when(pl.col("load_most").is_not_null()).then(pl.max_horizontal(name, f"{name}_high")).alias(f"{name}_high")
        for name in TASK_FIGURES
    ]
    triples = [f"{name}{end}" for name in (*TASK_FIGURES, "cycles", "times") for end in ENDS]
    return joined.with_columns(contained).select(
        "effort", "athlete_id", "date", "session_id", "order", "movement", "family", "measured", "held", "load_used",
        "load_most", "written_cm", "bar_from_cm", "inclination", "reach", "shear", *triples, "assumptions", "missing",
    )  # fmt: skip


def _channel_rows(reps: pl.DataFrame, channel: str) -> pl.DataFrame:
    """One channel of every effort that feeds it; measured trunk-closing work asks no extension moment."""
    fed = reps.filter(~pl.col("measured").fill_null(False)) if channel in _OF_MOMENT else reps
    known = pl.col("missing").is_null()
    return fed.select(
        "effort",
        "athlete_id",
        "date",
        channel=pl.lit(channel),
        value=pl.when(known).then(dose_of_reps(channel)),
        low=dose_of_reps(channel, "_low").fill_null(0.0),
        high=pl.when(_bounded(channel)).then(dose_of_reps(channel, "_high")),
    )


def _bounded(channel: str) -> pl.Expr:
    """Whether the upper end stands for all that an effort may have asked."""
    load_known = pl.col("load_most").is_not_null()
    return load_known & ~beyond_fit("_high") if channel == "lumbar_fatigue" else load_known
