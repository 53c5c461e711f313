"""Energy of running, and calories of machines: two channels that are not added up."""

from __future__ import annotations

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.frames import ATHLETE, EFFORT
from keelmark.dose.lumbar_amounts import ENDS
from keelmark.dose.lumbar_inputs import safe_body
from keelmark.mechanics.energy import running_energy

__all__ = ["energy_efforts"]

_ON_FOOT = ("run", "shuttle_run", "sprint", "hill_run")
_OTHER_END = {"": "", "_low": "_high", "_high": "_low"}


def energy_efforts(efforts: pl.DataFrame, athletes: pl.DataFrame, catalogue: Catalogue) -> pl.DataFrame:
    """Energy of each effort of running and of each on a machine.

    Scope: calories that a machine shows are taken as they stand; metres on a machine are turned into its calories by
    the catalogue; running costs about 1 kcal per kg and km, net. What a machine shows is not what running costs, so
    the two are channels of their own.

    Parameters
    ----------
    efforts, athletes : DataFrame
        `EFFORT` and `ATHLETE` tables.
    catalogue : Catalogue
        Metres per calorie and pace of the movements.

    Returns
    -------
    DataFrame
        Columns `effort` (row number in `efforts`, from 0), `channel`, `value`, `low`, `high` [kcal]. Where the amount
        is not known `value` and `high` are empty and `low` is 0.
    """
    efforts = EFFORT.check(efforts, where="energy")
    ATHLETE.check(athletes, where="energy")
    masses = _masses(athletes, efforts)
    numbered = efforts.with_columns(effort=pl.int_range(pl.len(), dtype=pl.UInt32))
    rows = numbered.join(_rates(catalogue), on="movement", maintain_order="left")
    rows = rows.join(masses, on="athlete_id", how="left", maintain_order="left")
    running = pl.col("on_foot") & pl.col("calories").is_null()
    return rows.select(
        "effort",
        channel=pl.when(running).then(pl.lit("energy_run")).otherwise(pl.lit("energy_machine")),
        value=_energy(""),
        low=_energy("_low").fill_null(0.0),
        high=_energy("_high"),
    )


def _energy(end: str) -> pl.Expr:
    """Energy of one effort at one end of its range [kcal]."""
    metres = pl.coalesce("distance_m", pl.col("duration_s") * pl.col(f"pace{end}"))
    on_foot = pl.col(f"per_metre{end}") * metres
    by_machine = metres / pl.col(f"metres_per_calorie{_OTHER_END[end]}")
    share = {"": pl.lit(1.0), "_low": pl.col("share_low"), "_high": pl.col("share_high")}[end]
    amount = pl.coalesce("calories", pl.when("on_foot").then(on_foot).otherwise(by_machine))
    return amount * pl.col("sets") * share


def _rates(catalogue: Catalogue) -> pl.DataFrame:
    """Pace and metres per calorie of the movements that are counted so, with bounds."""
    schema: dict[str, pl.DataType | type[pl.DataType]] = {"movement": pl.String, "on_foot": pl.Boolean}
    schema |= {f"{name}{end}": pl.Float64 for name in ("pace", "metres_per_calorie") for end in ENDS}
    rows = []
    for name, movement in catalogue.movements.items():
        if movement.metres_per_calorie or name in _ON_FOOT:
            row: dict[str, object] = {"movement": name, "on_foot": name in _ON_FOOT}
            for column, figure in (
                ("pace", movement.metres_per_second),
                ("metres_per_calorie", movement.metres_per_calorie),
            ):
                if figure:
                    row |= {column: figure.value, f"{column}_low": figure.low, f"{column}_high": figure.high}
            rows.append(row)
    return pl.DataFrame(rows, schema=schema)


def _masses(athletes: pl.DataFrame, efforts: pl.DataFrame) -> pl.DataFrame:
    """Energy of one metre of running for everybody with efforts [kcal]."""
    known = athletes.select("athlete_id", "body_mass_kg", pl.col("sex").cast(pl.String)).unique("athlete_id")
    people = efforts.select("athlete_id").unique().join(known, on="athlete_id", how="left")
    rows = []
    for athlete_id, mass, sex in people.iter_rows():
        metre = running_energy(safe_body(mass, None, sex).mass_kg, 1.0)
        rows.append((athlete_id, metre.value, metre.low, metre.high))
    schema = {"athlete_id": pl.String, **{f"per_metre{end}": pl.Float64 for end in ENDS}}
    return pl.DataFrame(rows, schema=schema, orient="row")
