"""Read the movement catalogue that ships with the package, and a squad's own additions to it."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files

from keelmark.catalogue.catalogue import Catalogue
from keelmark.catalogue.model import Movement
from keelmark.catalogue.names import NameIndex

__all__ = ["shipped_catalogue"]


@cache
def shipped_catalogue() -> Catalogue:
    """The catalogue inside the package."""
    folder = files("keelmark.catalogue")
    movements: dict[str, Movement] = {}
    for file in sorted((folder / "movements").iterdir(), key=lambda entry: entry.name):
        for entry in tomllib.loads(file.read_text(encoding="utf-8"))["movement"]:
            movement = Movement.model_validate(entry)
            movements[movement.name] = movement
    spoken = {
        language: tomllib.loads((folder / "languages" / f"{language}.toml").read_text(encoding="utf-8"))
        for language in ("en", "de", "es", "fr", "pt")
    }
    return Catalogue(movements, NameIndex(spoken))
