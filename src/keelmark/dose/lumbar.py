"""What each effort, and each day, asked of the lower back, in physical units and with bounds."""

from __future__ import annotations

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.catalogue.posture import Family, PostureTable, shipped_postures
from keelmark.contracts.frames import ATHLETE, DAILY_DOSE, EFFORT
from keelmark.dose.lumbar_amounts import cycle_routes, family_of
from keelmark.dose.lumbar_heights import HEIGHT_LIMITS_CM, START_HEIGHT_LIMITS_CM, with_heights
from keelmark.dose.lumbar_inputs import bodies_table, families_table
from keelmark.dose.lumbar_tasks import PAIR_KEY, TASK_FIGURES, bounds_of_tasks, pairs_with_lines
from keelmark.dose.routes import MEASURES, given_code
from keelmark.mechanics.fatigue import MOMENT_CAP, SPINE_CYCLES
from keelmark.mechanics.lumbar import MEAN_STRENGTH_KN

__all__ = ["LOAD_LIMIT_KG", "LUMBAR_EFFORT_SCHEMA", "lumbar_daily", "lumbar_efforts", "lumbar_reps"]

LOAD_LIMIT_KG = 700.0
"""No lift, carry or partial lift of one person is taken to be heavier [kg] (judgement)."""

LUMBAR_EFFORT_SCHEMA = pl.Schema(
    {
        "effort": pl.UInt32,
        "athlete_id": pl.String,
        "date": pl.Date,
        "channel": pl.String,
        "value": pl.Float64,
        "low": pl.Float64,
        "high": pl.Float64,
    }
)

_CHANNELS = ("lumbar_moment", "lumbar_peak", "lumbar_compression", "lumbar_compression_2", "lumbar_fatigue")
_OF_MOMENT = ("lumbar_moment", "lumbar_peak")
_KEY = ("athlete_id", "date", "channel")


def lumbar_daily(
    efforts: pl.DataFrame, athletes: pl.DataFrame, catalogue: Catalogue, *, postures: PostureTable | None = None
) -> pl.DataFrame:
    """Work of the lower back of every athlete and day: the sum of `lumbar_efforts`, the largest for the peak.

    Estimates of load, not of harm. Bounds of single efforts are added up, as if all errors went the same way; so a day's
    range is wide rather than narrow.

    Parameters
    ----------
    efforts, athletes : DataFrame
        `EFFORT` and `ATHLETE` tables.
    catalogue : Catalogue
        Paces and rates of the movements.
    postures : PostureTable, optional
        The shipped one unless given.

    Returns
    -------
    DataFrame
        `DAILY_DOSE` rows for the five lumbar channels: N m s, N m, kN rep, kN2 rep, index.
    """
    rows = lumbar_efforts(efforts, athletes, catalogue, postures=postures)
    known, at_least = pl.col("value").count(), pl.coalesce("value", "low")
    peak = pl.col("channel").first() == "lumbar_peak"
    daily = rows.group_by(_KEY).agg(
        value=pl.when(known > 0).then(pl.when(peak).then(at_least.max()).otherwise(at_least.sum())),
        low=pl.when(peak).then(pl.col("low").max()).otherwise(pl.col("low").sum()),
        high=pl.when(pl.col("high").null_count() == 0).then(
            pl.when(peak).then(pl.col("high").max()).otherwise(pl.col("high").sum())
        ),
        efforts=known.cast(pl.Int64),
        unknown=pl.col("value").null_count().cast(pl.Int64),
    )
    return DAILY_DOSE.check(daily.select(DAILY_DOSE.names).sort(_KEY), where="lumbar daily dose")


def lumbar_efforts(
    efforts: pl.DataFrame, athletes: pl.DataFrame, catalogue: Catalogue, *, postures: PostureTable | None = None
) -> pl.DataFrame:
    """What each effort adds to each lumbar channel.

    Parameters
    ----------
    efforts, athletes, catalogue, postures
        As for `lumbar_daily`.

    Returns
    -------
    DataFrame
        `LUMBAR_EFFORT_SCHEMA`: one row per effort (row number in `efforts`, from 0) and channel that it feeds. Where the
        load is not known, `value` and `high` are empty and `low` is what the body alone asks; where the amount or the
        posture is not known, `low` is 0. Movements that are not counted as loading the back have no rows.
    """
    reps = lumbar_reps(efforts, athletes, catalogue, postures=postures)
    long = pl.concat([_channel_rows(reps, channel) for channel in _CHANNELS])
    order = pl.col("channel").replace_strict({name: place for place, name in enumerate(_CHANNELS)}, return_dtype=pl.Int8)
    return long.sort("effort", order).select(LUMBAR_EFFORT_SCHEMA.names())


def lumbar_reps(
    efforts: pl.DataFrame, athletes: pl.DataFrame, catalogue: Catalogue, *, postures: PostureTable | None = None
) -> pl.DataFrame:
    """The mechanics of one rep of each effort that loads the back, and how often it was done.

    Parameters
    ----------
    efforts, athletes, catalogue, postures
        As for `lumbar_daily`.

    Returns
    -------
    DataFrame
        One row per effort that loads the back or whose posture nobody has stated: `effort`, `athlete_id`, `date`,
        `movement`, `family`, `kind`, `load_used` [kg], `inclination` [rad]; `moment` [N m], `compression` and `shear` [N],
        `impulse` [N m s per rep], each with `_low` and `_high`; `cycles` and `times` (cycles or seconds held) with
        bounds; `missing`: what is not known, empty when nothing.
    """
    efforts = EFFORT.check(efforts, where="lumbar dose")
    ATHLETE.check(athletes, where="lumbar dose")
    table = postures or shipped_postures()
    loading, silent = _families(efforts, catalogue, table)
    rows = _rows(efforts, catalogue, loading, silent)
    known = rows.filter(pl.col("missing_posture").not_())
    pairs = known.select(PAIR_KEY).unique(maintain_order=True).with_row_index("pair")
    described = (
        pairs.join(bodies_table(_with_strangers(athletes, pairs)), on="athlete_id", how="left", maintain_order="left")
        .join(families_table(list(loading.items())), on="movement", how="left", maintain_order="left")
        .pipe(with_heights)
        .with_columns(_held_seconds())
        .pipe(pairs_with_lines)
    )
    tasks = (
        known.join(pairs, on=PAIR_KEY, how="left", nulls_equal=True)
        .select("pair", load_kg="load_used")
        .unique()
        .sort("pair", "load_kg")
    )
    bounds = bounds_of_tasks(described, tasks)
    return _joined(rows, described, bounds)


def _families(
    efforts: pl.DataFrame, catalogue: Catalogue, table: PostureTable
) -> tuple[dict[str, Family], tuple[str, ...]]:
    """Movements of the log with a posture, and those about which nobody has said anything."""
    loading: dict[str, Family] = {}
    silent: list[str] = []
    for name in efforts["movement"].unique().sort():
        found = family_of(name, catalogue, table)
        if isinstance(found, Family):
            loading[name] = found
        elif found is None:
            silent.append(name)
    return loading, tuple(silent)


def _rows(
    efforts: pl.DataFrame, catalogue: Catalogue, loading: dict[str, Family], silent: tuple[str, ...]
) -> pl.DataFrame:
    """Efforts that matter here, with the load, heights and cycles to reckon with and what is missing."""
    rules = {name: catalogue[name].load if name in catalogue else "may" for name in (*loading, *silent)}
    roles = {name: family.height_role for name, family in loading.items()}
    pulls = [name for name, family in loading.items() if family.kind == "pull"]
    rows = (
        efforts.with_row_index("effort")
        .filter(pl.col("movement").is_in([*loading, *silent]))
        .with_columns(
            given_code(),
            rule=pl.col("movement").replace_strict(rules, return_dtype=pl.String),
            role=pl.col("movement").replace_strict(roles, default="none", return_dtype=pl.String),
            missing_posture=pl.col("movement").is_in(silent),
        )
    )
    routes = cycle_routes(rows, catalogue, loading)
    rows = rows.join(routes, on=["movement", "given"], how="left", maintain_order="left")
    amount = pl.coalesce(pl.when(pl.col("measure") == name).then(pl.col(name)) for name in MEASURES)
    held = pl.col("held").fill_null(False)
    rows = rows.with_columns(held=held, amount=amount * pl.col("sets"), load_known=_load())
    cycles = {
        f"times{end}": pl.col("amount") * pl.col(f"cycles{end}") * share
        for end, share in (("", pl.lit(1.0)), ("_low", pl.col("share_low")), ("_high", pl.col("share_high")))
    }
    rows = rows.with_columns(**cycles)
    rows = rows.with_columns(
        **{
            f"cycles{end}": pl.when(held).then(pl.col("sets").cast(pl.Float64)).otherwise(f"times{end}")
            for end in ("", "_low", "_high")
        },
        load_used=pl.col("load_known").fill_null(0.0),
        written_cm=pl.when((pl.col("role") != "none") & _within("height_cm", HEIGHT_LIMITS_CM)).then("height_cm"),
        bar_from_cm=pl.when(
            pl.col("movement").is_in(pulls) & _within("start_height_cm", START_HEIGHT_LIMITS_CM)
        ).then("start_height_cm"),
    )
    return rows.with_columns(missing=_missing())


def _within(column: str, limits: tuple[float, float]) -> pl.Expr:
    return pl.col(column).is_between(*limits)


def _load() -> pl.Expr:
    """External load in kg; empty where it should be there and is not known, or is not to be believed."""
    none = (pl.col("load_basis") == "none") & (pl.col("rule") != "needs")
    never = (pl.col("rule") == "never") & pl.col("load_kg").is_null()
    believable = (pl.col("load_basis") != "unknown") & _within("load_kg", (0.0, LOAD_LIMIT_KG))
    return pl.when(none | never).then(0.0).when(believable).then("load_kg")


def _missing() -> pl.Expr:
    """What is not known about the effort, in words; empty when nothing."""
    beyond = pl.format("load of {} kg is not used: wanted 0 to 700 kg", "load_kg")
    return (
        pl.when("missing_posture")
        .then(pl.lit("posture of this movement"))
        .when(pl.col("times").is_null())
        .then(pl.lit("amount"))
        .when(pl.col("load_known").is_null() & pl.col("load_kg").is_not_null() & (pl.col("load_basis") != "unknown"))
        .then(beyond)
        .when(pl.col("load_known").is_null())
        .then(pl.lit("load"))
    )


def _with_strangers(athletes: pl.DataFrame, pairs: pl.DataFrame) -> pl.DataFrame:
    """The roster, and athletes with efforts but no row in it, of whom nothing is known."""
    known = athletes.select("athlete_id", "body_mass_kg", "stature_cm", "sex").unique("athlete_id", keep="first")
    strangers = pairs.select("athlete_id").unique().join(known, on="athlete_id", how="anti")
    return pl.concat([known, strangers], how="diagonal")


def _held_seconds() -> list[pl.Expr]:
    """Work held still counts its own seconds."""
    return [
        pl.when("held").then(1.0).otherwise(f"seconds{end}").alias(f"seconds{end}") for end in ("_low", "", "_high")
    ]


def _joined(rows: pl.DataFrame, described: pl.DataFrame, bounds: pl.DataFrame) -> pl.DataFrame:
    lines = described.select(
        *PAIR_KEY, "pair", "family", "kind", "inclination", "assumptions", "seconds", "mean_share",
        "moment", "moment_per_kg", "compression", "compression_per_kg", "shear", "shear_per_kg",
    )  # fmt: skip
    joined = rows.join(lines, on=PAIR_KEY, how="left", nulls_equal=True, maintain_order="left").join(
        bounds.rename({"load_kg": "load_used"}), on=["pair", "load_used"], how="left", maintain_order="left"
    )
    joined = joined.with_columns(
        (pl.col(name) + pl.col(f"{name}_per_kg") * pl.col("load_used")).alias(name)
        for name in ("moment", "compression", "shear")
    ).with_columns(impulse=pl.col("moment") * pl.col("seconds") * pl.col("mean_share"))
    contained = [
        pl.min_horizontal(name, f"{name}_low").alias(f"{name}_low") for name in TASK_FIGURES
    ] + [pl.max_horizontal(name, f"{name}_high").alias(f"{name}_high") for name in TASK_FIGURES]
    triples = [f"{name}{end}" for name in (*TASK_FIGURES, "cycles", "times") for end in ("", "_low", "_high")]
    return joined.with_columns(contained).select(
        "effort", "athlete_id", "date", "session_id", "order", "movement", "family", "kind", "held", "load_used",
        "inclination", *triples, "assumptions", "missing",
    )  # fmt: skip


def _channel_rows(reps: pl.DataFrame, channel: str) -> pl.DataFrame:
    """One channel of every effort that feeds it."""
    fed = reps.filter(pl.col("kind").is_null() | (pl.col("kind") != "published")) if channel in _OF_MOMENT else reps
    known = pl.col("missing").is_null()
    value, low, high = (_dose(channel, end) for end in ("", "_low", "_high"))
    return fed.select(
        "effort",
        "athlete_id",
        "date",
        channel=pl.lit(channel),
        value=pl.when(known).then(value),
        low=low.fill_null(0.0),
        high=pl.when(known).then(high),
    )


def _dose(channel: str, end: str) -> pl.Expr:
    """The amount an effort adds to a channel: figures of one rep at one end of the range, times reps at that end."""
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
    by_moment = (0.038 * moment.clip(0.0, MOMENT_CAP) + 0.32).exp()
    by_compression = (0.162 * (100.0 * kilonewton / MEAN_STRENGTH_KN).clip(0.0, 70.0)).exp()
    return pl.when(pl.col("kind") == "published").then(by_compression).otherwise(by_moment) / SPINE_CYCLES * cycles
