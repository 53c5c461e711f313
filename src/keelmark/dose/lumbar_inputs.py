"""What the lumbar model needs to know about one task: a body in a posture with a load, each figure with its range."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.catalogue.model import Figure
from keelmark.catalogue.posture import Family
from keelmark.contracts.errors import MechanicsError
from keelmark.mechanics.anthropometry import Body, Range, Sex, body_of
from keelmark.mechanics.lumbar import EXTENSOR_ARM_M

__all__ = [
    "BODY_INPUTS",
    "INPUTS",
    "INPUT_LABELS",
    "bodies_table",
    "families_table",
    "inputs_of_body",
    "safe_body",
    "triple",
]

Array = NDArray[np.float64]

INPUT_LABELS: dict[str, str] = {
    "mass": "body mass",
    "stature": "stature",
    "upper_share": "share of body mass above the joint",
    "proportion": "length of the trunk for this stature",
    "extensor_arm": "arm of the back extensors",
    "inclination_deg": "trunk inclination",
    "shank_tilt_deg": "how far the knees go forward",
    "shoulder_ahead_m": "how far the shoulders are ahead of the bar",
    "arm_drop": "width of the grip",
    "thigh_share": "width of the stance",
    "thigh_deg": "depth",
    "start_height_cm": "height at which the bar starts",
    "deficit_cm": "height of the platform",
    "load_along": "where the load hangs along the trunk",
    "load_forward_m": "reach of the load",
    "load_share": "share of the load that the trunk carries",
    "body_load_share": "force on the hands",
    "family_upper_share": "share of the trunk that the back carries",
    "dynamic": "speed of the movement",
    "compression_n": "measured compression",
    "reference_mass_kg": "body mass of those measured",
    "seconds": "time that one rep loads the back",
    "mean_share": "how the moment changes over one rep",
}
"""Every input of the model, in the words a reader sees."""

INPUTS: tuple[str, ...] = tuple(INPUT_LABELS)
BODY_INPUTS = ("mass", "stature", "upper_share", "proportion", "extensor_arm")

_PROPORTION = Range(1.0, 0.95, 1.05)
_NEUTRAL: dict[str, float] = {"arm_drop": 1.0, "thigh_share": 1.0, "load_along": 1.0, "load_share": 1.0}
_NEUTRAL |= {"family_upper_share": 1.0, "dynamic": 1.0, "reference_mass_kg": 75.0, "load_forward_m": 0.0}
_FIELD = {"family_upper_share": "upper_share"}


def triple(name: str, low: float, value: float, high: float) -> dict[str, float]:
    """The three columns that hold one input."""
    return {f"{name}_low": low, f"{name}": value, f"{name}_high": high}


def bodies_table(athletes: pl.DataFrame) -> pl.DataFrame:
    """One row per athlete: the body inputs, and what had to be assumed.

    Parameters
    ----------
    athletes : DataFrame
        `ATHLETE` table.

    Returns
    -------
    DataFrame
        `athlete_id`, three columns per body input, `assumptions` (list of sentences).
    """
    rows: list[dict[str, object]] = []
    for athlete_id, mass, stature, sex in athletes.select(
        "athlete_id", "body_mass_kg", "stature_cm", pl.col("sex").cast(pl.String)
    ).iter_rows():
        rows.append({"athlete_id": athlete_id, **_body_columns(safe_body(mass, stature, sex))})
    schema: dict[str, pl.DataType | type[pl.DataType]] = {"athlete_id": pl.String}
    schema |= {column: pl.Float64 for name in BODY_INPUTS for column in triple(name, 0.0, 0.0, 0.0)}
    return pl.DataFrame(rows, schema={**schema, "assumptions": pl.List(pl.String)})


def safe_body(mass: float | None, stature: float | None, sex: Sex | None) -> Body:
    """A body whose unbelievable values are set aside, each with a sentence that says so."""
    told: list[str] = []
    for name in ("body mass", "stature"):
        try:
            if name == "body mass":
                body_of(mass, None, sex)
            else:
                body_of(None, stature, sex)
        except MechanicsError as error:
            told.append(f"{error.found} is not used: wanted {error.wanted}")
            mass, stature = (None, stature) if name == "body mass" else (mass, None)
    body = body_of(mass, stature, sex)
    return Body(body.mass_kg, body.stature_cm, body.upper_share, (*told, *body.assumptions))


def families_table(families: Sequence[tuple[str, Family]]) -> pl.DataFrame:
    """One row per movement: the posture inputs of its family.

    Parameters
    ----------
    families : sequence of (movement, Family)
        Movements and the family each belongs to.

    Returns
    -------
    DataFrame
        `movement`, `family`, `kind`, `arms`, `height_role`, `impact`, `measured`, three columns per posture input. An
        input that a family does not use stands at its neutral figure without width.
    """
    rows = [_family_columns(movement, family) for movement, family in families]
    schema: dict[str, pl.DataType | type[pl.DataType]] = {
        "movement": pl.String, "family": pl.String, "kind": pl.String, "arms": pl.String, "height_role": pl.String,
        "impact": pl.Boolean, "measured": pl.Boolean,
    }  # fmt: skip
    for name in INPUTS:
        if name not in BODY_INPUTS:
            schema |= dict.fromkeys(triple(name, 0.0, 0.0, 0.0), pl.Float64)
    return pl.DataFrame(rows, schema=schema)


def _family_columns(movement: str, family: Family) -> dict[str, object]:
    row: dict[str, object] = {
        "movement": movement, "family": family.name, "kind": family.kind, "arms": family.arms,
        "height_role": family.height_role, "impact": family.impact, "measured": family.kind == "published",
    }  # fmt: skip
    for name in INPUTS:
        if name not in BODY_INPUTS:
            figure: Figure | None = getattr(family, _FIELD.get(name, name))
            neutral = _NEUTRAL.get(name, 0.0)
            row |= triple(name, neutral, neutral, neutral) if figure is None else _figure(name, figure)
    return row


def _figure(name: str, figure: Figure) -> dict[str, float]:
    return triple(name, figure.low, figure.value, figure.high)


def inputs_of_body(body: Body) -> dict[str, float]:
    """The central body inputs by name."""
    columns = _body_columns(body)
    return {name: float(columns[name]) for name in BODY_INPUTS}  # type: ignore[arg-type]


def _body_columns(body: Body) -> dict[str, object]:
    low, value, high = EXTENSOR_ARM_M
    ranges = {"mass": body.mass_kg, "stature": body.stature_cm, "upper_share": body.upper_share}
    row: dict[str, object] = {}
    for name, figure in {**ranges, "proportion": _PROPORTION, "extensor_arm": Range(value, low, high)}.items():
        row |= triple(name, figure.low, figure.value, figure.high)
    return {**row, "assumptions": list(body.assumptions)}
