"""In which languages and units things can be shown. Everything is kept and worked out in kilograms and centimetres."""

from __future__ import annotations

from collections.abc import Mapping
from contextvars import ContextVar

__all__ = ["HEIGHT_UNITS", "LANGUAGES", "LOAD_UNITS", "kept_value", "show_units", "shown_unit", "shown_value"]

LANGUAGES = {"en": "English", "de": "German", "es": "Spanish", "fr": "French", "pt": "Portuguese"}
LOAD_UNITS = {"kg": "kilograms", "lb": "pounds"}
HEIGHT_UNITS = {"cm": "centimetres", "in": "inches"}

_HELD = {"lb": 0.45359237, "in": 2.54}
"""Kilograms in a pound and centimetres in an inch, exact: international yard and pound agreement, 1959."""
_chosen: ContextVar[Mapping[str, str] | None] = ContextVar("chosen_units", default=None)


def show_units(load: str = "kg", height: str = "cm") -> None:
    """Take the units of loads and heights for what is told from here on, in this thread or request."""
    _chosen.set({"kg": load, "cm": height})


def shown_unit(unit: str) -> str:
    """The unit in which something kept in a unit is shown: `lb` for `kg` where pounds were chosen."""
    return (_chosen.get() or {}).get(unit, unit)


def shown_value(value: float, unit: str) -> float:
    """An amount kept in a unit, in the unit in which it is shown."""
    return value / _HELD.get(shown_unit(unit), 1.0) if shown_unit(unit) != unit else value


def kept_value(value: float, unit: str) -> float:
    """An amount typed in the unit that is shown, in the unit in which it is kept."""
    return value * _HELD.get(shown_unit(unit), 1.0) if shown_unit(unit) != unit else value
