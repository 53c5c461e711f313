"""Figures whose unit stands neither in their cell nor in the name of their column."""

from __future__ import annotations

from collections.abc import Callable

from keelmark.ingest.columns import Column
from keelmark.ingest.options import LogOptions
from keelmark.ingest.people import People
from keelmark.ingest.values.loads import Load
from keelmark.ingest.values.measures import TO_CM, TO_KG, TO_M, TO_S
from keelmark.ingest.warnings import FileWarning, counted

__all__ = ["settle_units"]


def settle_units(columns: dict[str, Column], people: People, options: LogOptions) -> list[FileWarning]:
    """Read bare figures as the options say, telling so, and turn multiples of body mass into kilograms."""
    warnings = []
    if "load" in columns:
        warnings += _bare_loads(columns["load"], columns.get("load_unit"), options)
        _body_masses(columns, people)
    plain: tuple[tuple[str, str, dict[str, float]], ...] = (
        ("distance", options.distance_unit, TO_M),
        ("duration", options.duration_unit, TO_S),
        ("calories", "kcal", {"kcal": 1.0}),
    )
    for kind, unit, factors in plain:
        if kind in columns:
            warnings += _bare(columns[kind], unit, factors[unit], told=kind != "calories")
    if "height" in columns:
        warnings += _bare_heights(columns["height"], options)
    return warnings


def _without_unit(column: Column) -> list[int]:
    return [position for position, notes in column.notes.items() if "no_unit" in notes]


def _rescale(column: Column, positions: list[int], change: Callable[[float], float | None]) -> None:
    for position in positions:
        value = column.values[position]
        if value is not None:
            column.values[position] = change(value)


def _bare(column: Column, unit: str, factor: float, *, told: bool) -> list[FileWarning]:
    positions = _without_unit(column)
    _rescale(column, positions, lambda value: value * factor)
    return [_assumed(column, len(positions), unit)] if positions and told else []


def _bare_heights(column: Column, options: LogOptions) -> list[FileWarning]:
    positions = _without_unit(column)
    if not positions:
        return []
    if options.height_unit is not None:
        factor = TO_CM[options.height_unit]
        _rescale(column, positions, lambda value: value * factor)
        return [_assumed(column, len(positions), options.height_unit)]
    _rescale(column, positions, lambda _: None)
    text = (
        f"Column {column.title}: {counted(len(positions), 'height')} without a unit, left unknown. "
        "Put cm or in into the column's name, or give the option height_unit."
    )
    return [FileWarning("height_without_unit", text)]


def _bare_loads(column: Column, units: Column | None, options: LogOptions) -> list[FileWarning]:
    """Loads in the unit beside them; where the log has a column for units, a row without one is set aside."""
    assumed = 0
    for position in _without_unit(column):
        load = column.values[position]
        if load is None or load.kg is None:
            continue
        stated = units.values[position] if units else options.load_unit
        if stated in TO_KG:
            column.values[position] = Load(load.kg * TO_KG[stated])
            assumed += units is None
        elif units and load.kg != 0:
            units.faults[position] = ("unknown_unit",)
    return [_assumed(column, assumed, options.load_unit)] if assumed else []


def _body_masses(columns: dict[str, Column], people: People) -> None:
    column = columns["load"]
    masses: dict[str, float | None] | None = None
    for position, load in enumerate(column.values):
        if load is None or load.of_body_mass is None:
            continue
        if masses is None:
            masses = dict(people.frame.select("athlete_id", "body_mass_kg").iter_rows())
        mass = masses.get(columns["athlete"].values[position])
        if mass is None:
            column.values[position] = None
            column.faults[position] = ("body_mass_unknown",)
        else:
            column.values[position] = Load(mass * load.of_body_mass)


def _assumed(column: Column, count: int, unit: str) -> FileWarning:
    text = (
        f"Column {column.title}: {counted(count, 'figure')} without a unit, read as {unit}. "
        f"Put the unit into the column's name, such as {column.title} ({unit})."
    )
    return FileWarning(f"{column.kind}_unit_assumed", text)
