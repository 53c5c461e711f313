"""How this squad wants things shown while a page is built: the unit of loads and the language of movement names."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextvars import ContextVar
from typing import Any

from keelmark_dash.words import amount

__all__ = ["load_words", "movement_words", "show_as"]

_POUND_KG = 0.45359237
"""International avoirdupois pound, exact by definition (International yard and pound agreement, 1959)."""


def _spaced(movement: str) -> str:
    return movement.replace("_", " ")


_unit: ContextVar[str] = ContextVar("load_unit", default="kg")
_label: ContextVar[Callable[[str], str]] = ContextVar("movement_label", default=_spaced)


def show_as(settings: Mapping[str, Any], catalogue: Any) -> None:
    """Take a squad's settings for what is built from here on, in this request."""
    _unit.set(str(settings.get("load_unit", "kg")))
    language = str(settings.get("language", "en"))
    _label.set(_spaced if language == "en" else lambda movement: _in_language(catalogue, movement, language))


def load_words(load_kg: float | None) -> str:
    """The load of one effort: `100 kg`, `220 lb`."""
    if load_kg is None or _unit.get() == "kg":
        return amount(load_kg, "kg")
    return amount(load_kg / _POUND_KG, "lb")


def movement_words(movement: str) -> str:
    """The name of a movement in the squad's language; its key with spaces where that language has no name for it."""
    return _label.get()(movement)


def _in_language(catalogue: Any, movement: str, language: str) -> str:
    names = catalogue.names.spoken.get(language, {}).get(movement)
    return str(names[0]) if names else _spaced(movement)
