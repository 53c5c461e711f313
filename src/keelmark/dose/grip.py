"""Gripping weighted by a published tendon fatigue law: a second dose beside seconds under grip, for ranking only."""

from __future__ import annotations

import polars as pl

from keelmark.catalogue import Catalogue, Figure
from keelmark.catalogue.posture import PostureTable
from keelmark.contracts.frames import ATHLETE, DAILY_DOSE, EFFORT
from keelmark.dose.adding import added_up
from keelmark.dose.effort_dose import effort_doses
from keelmark.dose.lumbar_inputs import safe_body
from keelmark.dose.lumbar_rows import believable_load
from keelmark.mechanics.fatigue import tendon_cycles
from keelmark.mechanics.grip import STRENGTH_AT_FULL_GRIP, grip_capacity_share, tendon_share

__all__ = ["grip_fatigue_daily", "grip_fatigue_efforts"]

_TASK = ("athlete_id", "movement", "held_load")


def grip_fatigue_daily(
    efforts: pl.DataFrame, athletes: pl.DataFrame, catalogue: Catalogue, *, postures: PostureTable | None = None
) -> pl.DataFrame:
    """Grip tendon index of every athlete and day: the sum of `grip_fatigue_efforts`.

    Parameters
    ----------
    efforts, athletes : DataFrame
        `EFFORT` and `ATHLETE` tables.
    catalogue : Catalogue
        Seconds under grip of the movements.
    postures : PostureTable, optional
        What hands hold; the catalogue's unless given.

    Returns
    -------
    DataFrame
        `DAILY_DOSE` rows of channel `grip_fatigue` [index].
    """
    rows = grip_fatigue_efforts(efforts, athletes, catalogue, postures=postures)
    return DAILY_DOSE.check(added_up(rows), where="grip daily dose")


def grip_fatigue_efforts(
    efforts: pl.DataFrame, athletes: pl.DataFrame, catalogue: Catalogue, *, postures: PostureTable | None = None
) -> pl.DataFrame:
    """What each effort adds to the grip tendon index.

    Scope: each rep counts as one loading of the tendon; a hold, carry or stroke counts one loading for each second
    under grip (judgement). How hard the grip is follows from what the hands hold and an assumed hardest hold; what was
    held counts as the hardest hold at the most, because it was held.

    Parameters
    ----------
    efforts, athletes, catalogue, postures
        As for `grip_fatigue_daily`.

    Returns
    -------
    DataFrame
        `effort` (row number in `efforts`, from 0), `athlete_id`, `date`, `channel`, `value`, `low`, `high` [index].
        Where load or amount are not known, `value` and `high` are empty; `low` is 0 or what the body alone asks.

    Notes
    -----
    index = loadings / N(S), with N from the tendon law and S the tendon stress.
    """
    efforts = EFFORT.check(efforts, where="grip tendon index")
    ATHLETE.check(athletes, where="grip tendon index")
    rows = _gripped(efforts, catalogue)
    tasks = _damages(rows, athletes, _shares_held(rows["movement"], catalogue, postures or catalogue.postures))
    joined = rows.join(tasks, on=_TASK, how="left", maintain_order="left", nulls_equal=True)
    known = pl.col("load_known").is_not_null()
    return joined.select(
        "effort",
        "athlete_id",
        "date",
        channel=pl.lit("grip_fatigue"),
        value=pl.when(known).then(pl.col("loadings") * pl.col("damage")),
        low=(pl.col("loadings_low") * pl.col("damage_low")).fill_null(0.0),
        high=pl.when(known).then(pl.col("loadings_high") * pl.col("damage_high")),
    )


def _gripped(efforts: pl.DataFrame, catalogue: Catalogue) -> pl.DataFrame:
    """Efforts that need grip, with the number of loadings and the load."""
    seconds = effort_doses(efforts, catalogue).filter(pl.col("channel") == "grip_s")
    needs = [name for name, movement in catalogue.movements.items() if movement.load == "needs"]
    never = [name for name, movement in catalogue.movements.items() if movement.load == "never"]
    reps = pl.col("sets") * pl.col("reps")
    rows = efforts.with_row_index("effort").join(seconds, on="effort", how="inner", maintain_order="left")
    rows = rows.with_columns(needs_load=pl.col("movement").is_in(needs), never_load=pl.col("movement").is_in(never))
    counted = pl.col("reps").is_not_null()
    return rows.with_columns(
        loadings=pl.when(counted).then(reps).otherwise("value"),
        loadings_low=pl.when(counted).then(reps * pl.col("share_low")).otherwise("low"),
        loadings_high=pl.when(counted).then(reps * pl.col("share_high")).otherwise("high"),
        load_known=believable_load(),
    ).with_columns(held_load=pl.col("load_known").fill_null(0.0))


def _shares_held(movements: pl.Series, catalogue: Catalogue, table: PostureTable) -> dict[str, Figure]:
    """Share of body mass that the hands hold, by movement; an own movement takes it from what it is like."""
    found: dict[str, Figure] = {}
    for name in movements.unique():
        group = table.hands_of(name, catalogue[name].like if name in catalogue else ())
        if group:
            found[name] = group.body_share
    return found


def _damages(rows: pl.DataFrame, athletes: pl.DataFrame, shares: dict[str, Figure]) -> pl.DataFrame:
    """Share of the tendon's laboratory cycles per loading, for each athlete, movement and load."""
    known = athletes.select("athlete_id", "body_mass_kg", "stature_cm", pl.col("sex").cast(pl.String)).unique(
        "athlete_id"
    )
    bodies = {key: (safe_body(mass, stature, sex), sex) for key, mass, stature, sex in known.iter_rows()}
    stranger = (safe_body(None, None, None), None)
    found: list[tuple[str, str, float, float, float, float]] = []
    for athlete_id, movement, load in rows.select(_TASK).unique().sort(_TASK).iter_rows():
        body, sex = bodies.get(athlete_id, stranger)
        grip = grip_capacity_share(sex)
        share = shares.get(movement)
        held = [(load / 1.0, share.value if share else 0.0)]
        held += [(load, share.low if share else 0.0), (load, share.high if share else 0.0)]
        masses = (body.mass_kg.value, body.mass_kg.high, body.mass_kg.low)
        capacities = (grip.value, grip.high, grip.low)
        damages = [
            1.0 / float(tendon_cycles(min(tendon_share(kg + part * m, m, c), STRENGTH_AT_FULL_GRIP)))
            for (kg, part), m, c in zip(held, masses, capacities, strict=True)
        ]
        found.append((athlete_id, movement, load, *damages))
    schema = {"athlete_id": pl.String, "movement": pl.String, "held_load": pl.Float64}
    schema |= dict.fromkeys(("damage", "damage_low", "damage_high"), pl.Float64)
    return pl.DataFrame(found, schema=schema, orient="row")
