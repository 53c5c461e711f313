"""Read the movement catalogue that ships with the package, and a squad's own additions to it."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files

from keelmark.catalogue.model import Movement
from keelmark.catalogue.names import NameIndex

__all__ = ["Catalogue", "shipped_catalogue"]


class Catalogue:
    """All movements by canonical name, and the index of the names that people write for them."""

    def __init__(self, movements: dict[str, Movement], names: NameIndex) -> None:
        self.movements = movements
        self.names = names

    def __getitem__(self, name: str) -> Movement:
        return self.movements[name]

    def __contains__(self, name: object) -> bool:
        return name in self.movements

    def __len__(self) -> int:
        return len(self.movements)


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
