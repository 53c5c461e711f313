"""How often, and for how long, an effort loads the lower back."""

from __future__ import annotations

from typing import NamedTuple

import polars as pl

from keelmark.catalogue import Catalogue, Figure, Movement
from keelmark.catalogue.posture import Family, PostureTable
from keelmark.dose.routes import MEASURES

__all__ = ["CYCLE_ROUTE_SCHEMA", "cycle_routes", "family_of"]

CYCLE_ROUTE_SCHEMA = pl.Schema(
    {
        "movement": pl.String,
        "given": pl.UInt8,
        "measure": pl.String,
        "held": pl.Boolean,
        "cycles": pl.Float64,
        "cycles_low": pl.Float64,
        "cycles_high": pl.Float64,
    }
)

_ONE = Figure(value=1.0, low=1.0, high=1.0, evidence="derived")


class _Route(NamedTuple):
    measure: str
    held: bool
    per_unit: tuple[float, float, float]


def family_of(movement: str, catalogue: Catalogue, postures: PostureTable) -> Family | str | None:
    """The posture family of a movement, the reason why it has none, or None when nobody has said.

    A squad's own movement that is `like` a shipped one takes its posture.
    """
    entry = catalogue.movements.get(movement)
    for name in (movement, *(entry.like if entry else ())):
        if name in postures.family_of:
            return postures.family_of[name]
        if name in postures.unloaded:
            return postures.unloaded[name]
    return None


def cycle_routes(pairs: pl.DataFrame, catalogue: Catalogue, families: dict[str, Family]) -> pl.DataFrame:
    """Which given amount counts the times an effort loads the back, and how many times per unit of it.

    Parameters
    ----------
    pairs : DataFrame
        Columns `movement` and `given` (see `routes.given_code`).
    catalogue : Catalogue
        Paces and rates of the movements.
    families : dict of movement to Family
        Movements that load the back.

    Returns
    -------
    DataFrame
        `CYCLE_ROUTE_SCHEMA`. `held` marks work that is held still: its seconds are the time, each set is one cycle. A
        pair without a usable amount has no row.
    """
    rows = []
    for name, given in pairs.select("movement", "given").unique().sort("movement", "given").iter_rows():
        if name in families:
            amounts = [measure for place, measure in enumerate(MEASURES) if given & (1 << place)]
            route = _route(catalogue.movements.get(name), families[name], amounts)
            if route is not None:
                value, low, high = route.per_unit
                rows.append((name, given, route.measure, route.held, value, low, high))
    return pl.DataFrame(rows, schema=CYCLE_ROUTE_SCHEMA, orient="row")


def _route(movement: Movement | None, family: Family, amounts: list[str]) -> _Route | None:
    if "reps" in amounts:
        return _Route("reps", False, _bounds(family.cycles_per_rep or _ONE))
    if "distance_m" in amounts and family.cycles_per_metre:
        return _Route("distance_m", False, _bounds(family.cycles_per_metre))
    if "calories" in amounts and family.cycles_per_metre and movement and movement.metres_per_calorie:
        return _Route("calories", False, _times(movement.metres_per_calorie, family.cycles_per_metre))
    if "duration_s" not in amounts:
        return None
    if family.cycles_per_second:
        return _Route("duration_s", False, _bounds(family.cycles_per_second))
    if movement and movement.seconds_per_rep and "reps" in movement.measures:
        value, low, high = _bounds(movement.seconds_per_rep)
        return _Route("duration_s", False, (1 / value, 1 / high, 1 / low))
    return _Route("duration_s", True, (1.0, 1.0, 1.0)) if family.static else None


def _bounds(figure: Figure) -> tuple[float, float, float]:
    return figure.value, figure.low, figure.high


def _times(one: Figure, other: Figure) -> tuple[float, float, float]:
    return one.value * other.value, one.low * other.low, one.high * other.high
