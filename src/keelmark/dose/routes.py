"""How the amount that was written for a movement turns into doses, channel by channel.

An effort may give reps, metres, seconds or calories, sometimes several of them; they describe the same work and are
never added up. A *route* says, for one movement and one set of given amounts, which amount feeds a channel and how
much one unit of it adds.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import polars as pl

from keelmark.catalogue import Catalogue, Figure, Movement
from keelmark.contracts.errors import CatalogueError

__all__ = ["MEASURES", "ROUTE_SCHEMA", "route_table"]

MEASURES = ("reps", "distance_m", "duration_s", "calories")
"""The amounts an effort may give, in the order of their bits in `given`."""

ROUTE_SCHEMA = pl.Schema(
    {
        "movement": pl.String,
        "given": pl.UInt8,
        "channel": pl.String,
        "measure": pl.String,
        "times_load": pl.Boolean,
        "load_rule": pl.String,
        "unit_value": pl.Float64,
        "unit_low": pl.Float64,
        "unit_high": pl.Float64,
    }
)

_CHANNELS_OF: dict[str, tuple[str, str]] = {
    "hip_hinge": ("hip_hinge_reps", "hip_hinge_kg"),
    "knee": ("knee_reps", "knee_kg"),
    "overhead": ("overhead_reps", "overhead_kg"),
}
_TABLE_OF = {"reps": "per_rep", "distance_m": "per_metre", "duration_s": "per_second"}
_ONE = Figure(value=1.0, low=1.0, high=1.0, evidence="derived")
_NOTHING = Figure(value=0.0, low=0.0, high=0.0, evidence="derived")


class _Unit(NamedTuple):
    """What one unit of a measure adds."""

    measure: str
    value: float
    low: float
    high: float


def route_table(pairs: pl.DataFrame, catalogue: Catalogue) -> pl.DataFrame:
    """Routes for the movements and given amounts that occur in a log.

    Parameters
    ----------
    pairs : DataFrame
        Columns `movement` and `given` (a bit for each of `MEASURES` that is given), one row per pair.
    catalogue : Catalogue
        Must hold every movement.

    Returns
    -------
    DataFrame
        One row per movement, given amounts and channel that the movement feeds. `measure` is empty where no given
        amount leads to the channel: the dose is then not known. `times_load` marks channels in kg.

    Raises
    ------
    CatalogueError
        When a movement is not in the catalogue.
    """
    rows: list[tuple[object, ...]] = []
    for name, given in pairs.select("movement", "given").unique().sort("movement", "given").iter_rows():
        if name not in catalogue:
            raise CatalogueError(
                f"the movement {name} is not in the catalogue",
                where="efforts, column movement",
                wanted="a canonical name of the shipped catalogue or of the squad's own additions",
                remedy="add the movement to the squad's own catalogue file, or undo the import that brought it",
            )
        movement = catalogue[name]
        amounts = tuple(measure for place, measure in enumerate(MEASURES) if given & (1 << place))
        for channel, times_load, unit in _routes(movement, amounts):
            rows.append((name, given, channel, unit and unit.measure, times_load, movement.load, *_bounds(unit)))
    return pl.DataFrame(rows, schema=ROUTE_SCHEMA, orient="row")


def _bounds(unit: _Unit | None) -> tuple[float | None, float | None, float | None]:
    return (unit.value, unit.low, unit.high) if unit else (None, None, None)


def _routes(movement: Movement, amounts: tuple[str, ...]) -> Iterator[tuple[str, bool, _Unit | None]]:
    """Channel, whether it is multiplied by the load, and the unit that feeds it."""
    for exposure in sorted({*movement.per_rep, *movement.per_metre, *movement.per_second}):
        unit = _best_unit(movement, amounts, exposure)
        plain, in_kg = _CHANNELS_OF.get(exposure, (exposure, ""))
        yield plain, False, unit
        if in_kg:
            yield in_kg, True, unit
        if exposure == "jump_contacts" and movement.landing_class == "high":
            yield "jump_contacts_high", False, unit
    yield "tonnage", True, _tonnage_unit(movement, amounts)


def _tonnage_unit(movement: Movement, amounts: tuple[str, ...]) -> _Unit | None:
    """Reps, given or worked out from time; work that is never counted in reps adds nothing to tonnage."""
    if "reps" in amounts:
        return _unit("reps", _ONE)
    if "reps" not in movement.measures:
        return _unit(amounts[0], _NOTHING) if amounts else _Unit("reps", 0.0, 0.0, 0.0)
    for measure in _in_order(movement, amounts):
        rate = _rate(movement, measure, "reps")
        if rate is not None:
            return _unit(measure, _ONE, rate)
    return None


def _best_unit(movement: Movement, amounts: tuple[str, ...], exposure: str) -> _Unit | None:
    """An amount that the catalogue states the exposure for, else one that can be turned into such an amount."""
    ordered = _in_order(movement, amounts)
    for measure in ordered:
        table = getattr(movement, _TABLE_OF[measure]) if measure in _TABLE_OF else {}
        if exposure in table:
            return _unit(measure, table[exposure])
    for measure in ordered:
        for target, table_name in _TABLE_OF.items():
            figure = getattr(movement, table_name).get(exposure)
            rate = _rate(movement, measure, target)
            if figure is not None and rate is not None:
                return _unit(measure, figure, rate)
    return None


def _in_order(movement: Movement, amounts: tuple[str, ...]) -> list[str]:
    """The movement's usual measures first."""
    usual = [measure for measure in movement.measures if measure in amounts]
    return usual + [measure for measure in amounts if measure not in usual]


def _unit(measure: str, figure: Figure, rate: Figure = _ONE) -> _Unit:
    return _Unit(measure, figure.value * rate.value, figure.low * rate.low, figure.high * rate.high)


def _rate(movement: Movement, measure: str, target: str) -> Figure | None:
    """How many units of the target measure one unit of the given measure stands for, where the catalogue says so."""
    pace, cadence, machine = movement.metres_per_second, movement.seconds_per_rep, movement.metres_per_calorie
    known: dict[tuple[str, str], Figure | None] = {
        ("reps", "duration_s"): cadence,
        ("duration_s", "reps"): _inverse(cadence),
        ("distance_m", "duration_s"): _inverse(pace),
        ("duration_s", "distance_m"): pace,
        ("calories", "distance_m"): machine,
        ("calories", "duration_s"): _product(machine, _inverse(pace)),
    }
    return known.get((measure, target))


def _inverse(figure: Figure | None) -> Figure | None:
    if figure is None:
        return None
    return Figure(value=1 / figure.value, low=1 / figure.high, high=1 / figure.low, evidence="derived")


def _product(one: Figure | None, other: Figure | None) -> Figure | None:
    if one is None or other is None:
        return None
    return Figure(
        value=one.value * other.value, low=one.low * other.low, high=one.high * other.high, evidence="derived"
    )
