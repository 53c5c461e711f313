"""How this squad wants things shown while a page is built: units, and the language of movement names."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextvars import ContextVar
from typing import Any

from keelmark.contracts.display import show_units, shown_unit
from keelmark.load.first_times import FirstTime
from keelmark.marks.notice_words import first_words
from keelmark_dash.words import amount

__all__ = ["first_time_words", "movement_words", "show_as", "told_otherwise"]


def _spaced(movement: str) -> str:
    return movement.replace("_", " ")


_label: ContextVar[Callable[[str], str]] = ContextVar("movement_label", default=_spaced)


def show_as(settings: Mapping[str, Any], catalogue: Any) -> None:
    """Take a squad's settings for what is built from here on, in this request."""
    show_units(str(settings.get("load_unit", "kg")), str(settings.get("height_unit", "cm")))
    language = str(settings.get("language", "en"))
    _label.set(_spaced if language == "en" else lambda movement: _in_language(catalogue, movement, language))


def movement_words(movement: str) -> str:
    """The name of a movement in the squad's language; its key with spaces where that language has no name for it."""
    return _label.get()(movement)


def first_time_words(found: FirstTime, catalogue: Any) -> str:
    """What an athlete did for the first time in a long while, in the squad's units and language."""
    own = movement_words(found.movement)
    name = "" if own == _spaced(found.movement) else own
    return first_words(found, catalogue, name=name, load=amount(found.load_kg, "kg") if found.load_kg else "")


def told_otherwise() -> str:
    """In what papers and notices differ from the pages, in one sentence; empty where they do not."""
    loads = "tell loads in kilograms" if shown_unit("kg") != "kg" else ""
    names = "name movements in English" if _label.get() is not _spaced else ""
    differs = " and ".join(part for part in (loads, names) if part)
    return f"Papers {differs}, whatever is chosen in Settings." if differs else ""


def _in_language(catalogue: Any, movement: str, language: str) -> str:
    names = catalogue.names.spoken.get(language, {}).get(movement)
    return str(names[0]) if names else _spaced(movement)
