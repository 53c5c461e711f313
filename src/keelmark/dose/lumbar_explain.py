"""The mechanics of one session, rep by rep: what was read, in which posture, with which figures, resting on what."""

from __future__ import annotations

from dataclasses import dataclass

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.catalogue.posture import Family, PostureTable
from keelmark.contracts.frames import ATHLETE, EFFORT
from keelmark.contracts.words import SCOPE_LINE
from keelmark.dose.lumbar import doses_of_reps, lumbar_reps
from keelmark.dose.lumbar_amounts import family_of
from keelmark.dose.lumbar_width import width_by_input

__all__ = ["Explanation", "PostureFigure", "explain"]

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
    """Everything that stands behind the lumbar figures of some efforts of one athlete.

    `reps` has one row per effort that loads the back: what one rep does and how often. `doses` has what each effort
    adds to each channel. `not_counted` names movements that do not load the back, each with the reason. `assumptions`
    are sentences. `postures` lists the figures of each posture used. `narrowing` says which input widens the figures
    most.
    """

    athlete_id: str
    reps: pl.DataFrame
    doses: pl.DataFrame
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
        `REP_MAXIMUM` table, to bound loads that are not known.
    language : str
        Language of the movement names.

    Returns
    -------
    Explanation
        `reps`: `effort`, `order`, `movement`, `name`, `posture`, `instant`, `load_used` [kg], `lean` [degrees],
        `shear` [N]; `moment` [N m], `compression` [N], `impulse` [N m s], `cycles`, `times` with bounds;
        `in_body_weights` (compression); `note`, `missing`. `doses`: `effort`, `channel`, `value`, `low`, `high`.
        `effort` numbers the athlete's efforts from 0 in the order of the session.
    """
    table = postures or catalogue.postures
    athlete_id = str(ATHLETE.check(athlete, where="explanation")["athlete_id"][0])
    own = EFFORT.check(efforts, where="explanation").filter(pl.col("athlete_id") == athlete_id).sort("order")
    found = lumbar_reps(own, athlete, catalogue, postures=table, rep_maxima=rep_maxima)
    names = list(dict.fromkeys(own["movement"]))
    families = {name: family_of(name, catalogue, table) for name in names}
    loading = {name: family for name, family in families.items() if isinstance(family, Family)}
    assumptions = dict.fromkeys(sentence for row in found["assumptions"].drop_nulls() for sentence in row)
    return Explanation(
        athlete_id=athlete_id,
        reps=_reps(found, loading, catalogue, language, athlete),
        doses=doses_of_reps(found),
        not_counted=tuple((name, reason) for name, reason in families.items() if isinstance(reason, str)),
        assumptions=tuple(assumptions),
        postures=_postures(loading),
        narrowing=width_by_input(own, athlete, catalogue, postures=table),
    )


def _reps(
    found: pl.DataFrame, loading: dict[str, Family], catalogue: Catalogue, language: str, athlete: pl.DataFrame
) -> pl.DataFrame:
    def of_family(field: str) -> pl.Expr:
        texts = {name: getattr(family, field) for name, family in loading.items()}
        return pl.col("movement").replace_strict(texts, default=None, return_dtype=pl.String)

    labels = {name: catalogue.names.label(name, language) for name in found["movement"].unique()}
    mass = athlete["body_mass_kg"][0]
    weights = pl.lit(None, pl.Float64) if mass is None else pl.col("compression") / (9.81 * mass)
    return found.select(
        "effort",
        "order",
        "movement",
        pl.col("movement").replace_strict(labels, return_dtype=pl.String).alias("name"),
        of_family("label").alias("posture"),
        of_family("instant").alias("instant"),
        "load_used",
        "held",
        pl.col("inclination").degrees().alias("lean"),
        "shear",
        *[f"{name}{end}" for name in _FIGURES for end in ("", "_low", "_high")],
        weights.alias("in_body_weights"),
        of_family("note").alias("note"),
        "missing",
    )


def _postures(loading: dict[str, Family]) -> tuple[PostureFigure, ...]:
    families = {family.name: family for family in loading.values()}
    return tuple(
        PostureFigure(family.name, field, figure.value, figure.low, figure.high, figure.evidence, figure.source)
        for family in families.values()
        for field, figure in family.figures().items()
    )
