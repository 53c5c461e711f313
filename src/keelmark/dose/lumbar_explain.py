"""The mechanics of one session, rep by rep: what was read, in which posture, with which figures, resting on what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.catalogue.posture import Family, PostureTable
from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.frames import ATHLETE, EFFORT, REP_MAXIMUM, SESSION
from keelmark.contracts.words import SCOPE_LINE
from keelmark.dose.daily import daily_dose
from keelmark.dose.hanging import hanging_efforts
from keelmark.dose.high_rep import high_rep_details
from keelmark.dose.landings import landings_daily
from keelmark.dose.lumbar import LUMBAR_CHANNELS, described_pairs, doses_of_reps, lumbar_reps
from keelmark.dose.lumbar_amounts import family_of
from keelmark.dose.lumbar_levels import reps_beyond_fit
from keelmark.dose.lumbar_stance import STANCE_FIGURES, stance_of_tasks
from keelmark.dose.lumbar_tasks import PAIR_KEY
from keelmark.dose.lumbar_width import width_by_input

__all__ = ["Explanation", "PostureFigure", "explain"]

_ENDS = ("", "_low", "_high")
_FIGURES = ("moment", "compression", "impulse", "cycles", "times")


@dataclass(frozen=True, slots=True)
class PostureFigure:
    """One figure of a posture family with its range and evidence, for print."""

    family: str
    field: str
    value: float
    low: float
    high: float
    evidence: str
    source: str | None


@dataclass(frozen=True, slots=True)
class Explanation:
    """Everything that stands behind the figures of some efforts of one athlete.

    `reps` has one row per effort that loads the back: what one rep does and how often. `doses` has what each effort
    adds to each lumbar channel, `totals` what the efforts of each block, and of all blocks (`block` empty), add up to
    in it; `beside` has the totals of all other kinds of work. `high_rep`, `landings` and `hanging` are the tables of
    those doses. `beyond_fit` counts reps as `reps_beyond_fit` does. `not_counted` names movements that do not load the
    back, each with the reason. `assumptions` are sentences. `postures` lists the figures of each posture used.
    `narrowing` says which input widens the figures most.
    """

    athlete_id: str
    reps: pl.DataFrame
    doses: pl.DataFrame
    totals: pl.DataFrame
    beside: pl.DataFrame
    high_rep: pl.DataFrame
    landings: pl.DataFrame
    hanging: pl.DataFrame
    beyond_fit: tuple[float, float, float]
    not_counted: tuple[tuple[str, str], ...]
    assumptions: tuple[str, ...]
    postures: tuple[PostureFigure, ...]
    narrowing: pl.DataFrame
    scope: str = SCOPE_LINE


def explain(
    efforts: pl.DataFrame,
    athlete: pl.DataFrame,
    catalogue: Catalogue,
    *,
    postures: PostureTable | None = None,
    rep_maxima: pl.DataFrame | None = None,
    language: str = "en",
) -> Explanation:
    """The mechanics of some efforts of one athlete, usually one session.

    Parameters
    ----------
    efforts : DataFrame
        `EFFORT` table; rows of other athletes are passed over.
    athlete : DataFrame
        `ATHLETE` table with one row.
    catalogue : Catalogue
        Movements and their names.
    postures : PostureTable, optional
        The catalogue's unless given.
    rep_maxima : DataFrame, optional
        `REP_MAXIMUM` table, to bound loads that are not known and to tell full sets of hinge lifts.
    language : str
        Language of the movement names.

    Returns
    -------
    Explanation
        `reps`: `effort`, `block`, `order`, `movement`, `name`, `posture`, `instant`, `load_used` [kg], `height_cm` and
        `bar_from_cm` where a height is used; `held` and `counted` (the amount was written as seconds of a hold, or as
        reps); `lean` [degrees], `reach_cm`, `shear` [N], `moment` [N m],
        `compression` [N], `impulse` [N m s], `cycles`, `times` with bounds; `in_body_weights` (compression); `note`,
        `missing`. `effort` numbers the athlete's efforts from 0 in the order of the session.
    """
    table = postures or catalogue.postures
    athlete_id = str(ATHLETE.check(athlete, where="explanation")["athlete_id"][0])
    own = EFFORT.check(efforts, where="explanation").filter(pl.col("athlete_id") == athlete_id).sort("order")
    maxima = REP_MAXIMUM.empty() if rep_maxima is None else rep_maxima
    found = lumbar_reps(own, athlete, catalogue, postures=table, rep_maxima=rep_maxima)
    found = found.with_columns(
        block=own["block"].gather(found["effort"]), counted=own["reps"].is_not_null().gather(found["effort"])
    )
    families = {name: family_of(name, catalogue, table) for name in dict.fromkeys(own["movement"])}
    loading = {name: family for name, family in families.items() if isinstance(family, Family)}
    assumptions = dict.fromkeys(sentence for row in found["assumptions"].drop_nulls() for sentence in row)
    assumptions |= dict.fromkeys(_unused_heights(own, loading, catalogue, language))
    doses = doses_of_reps(found)
    daily = daily_dose(own, SESSION.empty(), athlete, maxima, catalogue)
    return Explanation(
        athlete_id=athlete_id,
        reps=_reps(found, loading, catalogue, language, athlete),
        doses=doses,
        totals=_totals(doses, own),
        beside=_beside(daily),
        high_rep=high_rep_details(own, maxima, catalogue),
        landings=landings_daily(own, catalogue),
        hanging=hanging_efforts(own, athlete, catalogue, postures=table),
        beyond_fit=reps_beyond_fit(found),
        not_counted=tuple((name, reason) for name, reason in families.items() if isinstance(reason, str)),
        assumptions=tuple(assumptions),
        postures=_postures(loading),
        narrowing=width_by_input(own, athlete, catalogue, postures=table),
    )


def _unused_heights(
    own: pl.DataFrame, loading: dict[str, Family], catalogue: Catalogue, language: str
) -> Iterator[str]:
    """Heights beside lifts whose posture has no place for them: bar, feet or seat may be meant."""
    written = own.filter(pl.col("height_cm").is_not_null()).select("movement", "height_cm").unique(maintain_order=True)
    for name, height in written.iter_rows():
        family = loading.get(name)
        if family is not None and family.kind in ("pull", "squat") and family.height_role == "none":
            label = catalogue.names.label(name, language)
            yield f"{label}: {height:g} cm changes nothing; nothing says whether bar, feet or seat stand so high"


def _reps(
    found: pl.DataFrame, loading: dict[str, Family], catalogue: Catalogue, language: str, athlete: pl.DataFrame
) -> pl.DataFrame:
    def of_family(field: str) -> pl.Expr:
        texts = {name: getattr(family, field) for name, family in loading.items()}
        return pl.col("movement").replace_strict(texts, default=None, return_dtype=pl.String)

    labels = {name: catalogue.names.label(name, language) for name in found["movement"].unique()}
    mass = athlete["body_mass_kg"][0]
    weights = pl.lit(None, pl.Float64) if mass is None else pl.col("compression") / (9.81 * mass)
    return _with_stance(found, loading, athlete).select(
        "effort",
        "block",
        "order",
        "movement",
        pl.col("movement").replace_strict(labels, return_dtype=pl.String).alias("name"),
        of_family("label").alias("posture"),
        of_family("instant").alias("instant"),
        "load_used",
        pl.col("written_cm").alias("height_cm"),
        "bar_from_cm",
        "held",
        "counted",
        *[f"{name}{end}" for name in (*STANCE_FIGURES, *_FIGURES) for end in _ENDS],
        weights.alias("in_body_weights"),
        of_family("note").alias("note"),
        "missing",
    )


def _with_stance(found: pl.DataFrame, loading: dict[str, Family], athlete: pl.DataFrame) -> pl.DataFrame:
    """Lean, reach and shear with bounds, in place of their central figures."""
    posed = found.filter(pl.col("family").is_not_null())
    pairs = described_pairs(posed.select(PAIR_KEY).unique(maintain_order=True), athlete, loading)
    asked = posed.join(pairs.select(*PAIR_KEY, "pair"), on=PAIR_KEY, how="left", nulls_equal=True)
    tasks = asked.select("pair", load_kg="load_used").unique().sort("pair", "load_kg")
    stances = asked.select("effort", "pair", load_kg="load_used").join(
        stance_of_tasks(pairs, tasks), on=["pair", "load_kg"], how="left"
    )
    joined = found.drop("shear").join(stances.drop("pair", "load_kg"), on="effort", how="left", maintain_order="left")
    return joined.with_columns(shear_high=pl.when(pl.col("load_most").is_not_null()).then("shear_high"))


def _totals(doses: pl.DataFrame, own: pl.DataFrame) -> pl.DataFrame:
    """Amounts by block and channel, and of the whole session with an empty block."""
    blocks = own.select("block").with_row_index("effort")
    by_block = doses.join(blocks, on="effort", how="left", maintain_order="left")
    whole = by_block.with_columns(block=pl.lit(None, pl.String))
    parts = [by_block, whole] if own["block"].n_unique() > 1 else [whole]
    peak = pl.col("channel").first() == "lumbar_peak"
    known, at_least = pl.col("value").count(), pl.coalesce("value", "low")
    return (
        pl.concat(parts)
        .group_by("block", "channel", maintain_order=True)
        .agg(
            value=pl.when(known > 0).then(pl.when(peak).then(at_least.max()).otherwise(at_least.sum())),
            low=pl.when(peak).then(pl.col("low").max()).otherwise(pl.col("low").sum()),
            high=pl.when(pl.col("high").null_count() == 0).then(
                pl.when(peak).then(pl.col("high").max()).otherwise(pl.col("high").sum())
            ),
            unknown=pl.col("value").null_count().cast(pl.Int64),
        )
    )


def _beside(daily: pl.DataFrame) -> pl.DataFrame:
    """Totals of the kinds of work beside the back's, in the order of the contract; what was not done is left out."""
    others = [key for key in CHANNEL_BY_KEY if key not in (*LUMBAR_CHANNELS, "session_load")]
    done = pl.col("channel").is_in(others) & ((pl.col("value") != 0) | (pl.col("unknown") > 0))
    return daily.filter(done).select("channel", "value", "low", "high", "unknown")


def _postures(loading: dict[str, Family]) -> tuple[PostureFigure, ...]:
    families = {family.name: family for family in loading.values()}
    return tuple(
        PostureFigure(family.name, field, figure.value, figure.low, figure.high, figure.evidence, figure.source)
        for family in families.values()
        for field, figure in family.figures().items()
    )
