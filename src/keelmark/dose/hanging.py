"""Hanging from the hands: how long, and with what force pelvis and legs pulled the lower back apart."""

from __future__ import annotations

import numpy as np
import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.catalogue.posture import Hands, PostureTable
from keelmark.contracts.frames import ATHLETE, EFFORT
from keelmark.dose.effort_dose import effort_doses
from keelmark.dose.lumbar_inputs import safe_body
from keelmark.mechanics.anthropometry import Body
from keelmark.mechanics.lumbar import traction

__all__ = ["HANGING_SCHEMA", "hanging_efforts"]

_ENDS = ("", "_low", "_high")
_AMOUNTS = {f"{name}{end}": pl.Float64() for name in ("seconds", "newtons") for end in _ENDS}
HANGING_SCHEMA = pl.Schema(
    {"effort": pl.UInt32(), "athlete_id": pl.String(), "date": pl.Date(), "movement": pl.String(), **_AMOUNTS}
)


def hanging_efforts(
    efforts: pl.DataFrame, athletes: pl.DataFrame, catalogue: Catalogue, *, postures: PostureTable | None = None
) -> pl.DataFrame:
    """Efforts in which the body hung from the hands.

    Scope: traction is told beside compression and never taken off it; what swinging adds is not described.

    Parameters
    ----------
    efforts, athletes : DataFrame
        `EFFORT` and `ATHLETE` tables.
    catalogue : Catalogue
        Seconds under grip of the movements.
    postures : PostureTable, optional
        Says which movements hang; the catalogue's unless given.

    Returns
    -------
    DataFrame
        `HANGING_SCHEMA`: `effort` is the row number in `efforts`, from 0; seconds under grip, empty where the amount
        is not known, and the pull at the lowest lumbar joint [N], each with bounds.
    """
    efforts = EFFORT.check(efforts, where="hanging")
    ATHLETE.check(athletes, where="hanging")
    table = postures or catalogue.postures
    groups = {name: _hangs(name, catalogue, table) for name in efforts["movement"].unique()}
    hung = [name for name, group in groups.items() if group]
    numbered = efforts.with_row_index("effort").filter(pl.col("movement").is_in(hung))
    seconds = effort_doses(efforts, catalogue).filter(pl.col("channel") == "grip_s")
    rows = numbered.join(seconds, on="effort", how="inner", maintain_order="left")
    known = athletes.select("athlete_id", "body_mass_kg", "stature_cm", pl.col("sex").cast(pl.String))
    people = {key: safe_body(mass, stature, sex) for key, mass, stature, sex in known.iter_rows()}
    pairs = rows.select("athlete_id", "movement").unique(maintain_order=True)
    pulls = [
        (who, name, *_pull(people.get(who) or safe_body(None, None, None), groups[name]))
        for who, name in pairs.iter_rows()
    ]
    schema = ["athlete_id", "movement", *(f"newtons{end}" for end in _ENDS)]
    told = pl.DataFrame(pulls, schema={name: HANGING_SCHEMA[name] for name in schema}, orient="row")
    return rows.join(told, on=["athlete_id", "movement"], how="left", maintain_order="left").select(
        pl.col("effort").cast(pl.UInt32),
        "athlete_id",
        "date",
        "movement",
        pl.col("value").alias("seconds"),
        pl.col("low").alias("seconds_low"),
        pl.col("high").alias("seconds_high"),
        *schema[2:],
    )


def _hangs(movement: str, catalogue: Catalogue, table: PostureTable) -> Hands | None:
    group = table.hands_of(movement, catalogue[movement].like if movement in catalogue else ())
    return group if group and group.hangs else None


def _pull(body: Body, group: Hands | None) -> tuple[float, ...]:
    """Central pull and its bounds [N]: the lightest, least hanging body to the heaviest, most hanging one."""
    if group is None:
        return 0.0, 0.0, 0.0
    mass, above, hangs = body.mass_kg, body.upper_share, group.body_share
    found = traction(
        np.array([mass.value, mass.low, mass.high]),
        np.array([above.value, above.high, above.low]),
        np.array([hangs.value, hangs.low, hangs.high]),
    )
    return tuple(float(pull) for pull in found)
