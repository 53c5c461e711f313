"""What a height written beside a movement stands for, and between which bounds it is believed."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

__all__ = ["HeightKind", "height_kinds", "kind_of_height"]


@dataclass(frozen=True, slots=True)
class HeightKind:
    """One kind of written height with its bounds [cm] and why they are so wide."""

    name: str
    label: str
    low_cm: float
    high_cm: float
    reason: str
    movements: frozenset[str]

    def holds(self, height_cm: float) -> bool:
        """Whether a height is believed."""
        return self.low_cm <= height_cm <= self.high_cm

    @property
    def bounds(self) -> str:
        """The bounds in words: `5 to 200 cm`."""
        return f"{self.low_cm:g} to {self.high_cm:g} cm"


@cache
def height_kinds() -> dict[str, HeightKind]:
    """Every kind of written height, by name; `bar` is the start of a bar, `other` is what no movement claims."""
    text = (files("keelmark.catalogue") / "heights.toml").read_text(encoding="utf-8")
    kinds = [
        HeightKind(**{**entry, "movements": frozenset(entry["movements"])}) for entry in tomllib.loads(text)["kind"]
    ]
    return {kind.name: kind for kind in kinds}


def kind_of_height(movement: str, like: Callable[[str], tuple[str, ...]] = lambda _: ()) -> HeightKind:
    """The kind of height that belongs to a movement; a squad's own movement takes it from what it is like.

    Parameters
    ----------
    movement : str
        Canonical name.
    like : function of str
        Gives the patterns and movements that a movement is like.
    """
    kinds = height_kinds()
    for name in (movement, *like(movement)):
        for kind in kinds.values():
            if name in kind.movements:
                return kind
    return kinds["other"]
