"""Facts of the trade kept as data: what is beyond one session, which lifts take two bells, whose maximum is meant."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

__all__ = ["bar_height_words", "most_kg", "most_reps", "parents_of", "plate_radius_cm", "trade"]


@cache
def trade() -> dict[str, Any]:
    """The table of facts."""
    return tomllib.loads((files("keelmark.notation") / "words" / "trade.toml").read_text(encoding="utf-8"))


def most_kg(movement: str) -> float:
    """A load in kg that nobody lifts in a movement."""
    table = trade()["most_kg"]
    return float(table.get(movement, table["default"]))


def most_reps(movement: str, implement: str) -> tuple[float, float]:
    """The largest count that is believed, as written and in all."""
    skipping = trade()["most_reps_skipping"]
    if movement in skipping["movements"]:
        return float(skipping["written"]), float(skipping["total"])
    table = trade()["most_reps"]
    written = table["barbell"] if implement == "barbell" else table["written"]
    return float(written), float(table["total"])


def bar_height_words() -> frozenset[str]:
    """Words before a height that is the bar's own; other words of raising tell what lies under its plates."""
    return frozenset(trade()["raised_bar"]["bar_itself"])


def plate_radius_cm() -> float:
    """Radius of a full-size plate: how far the bar's centre is above what its plates stand on [cm]."""
    return float(trade()["raised_bar"]["plate_radius_cm"])


def parents_of(movement: str) -> list[str]:
    """The lifts whose maximum may stand in for a movement's own, nearest first."""
    table = trade()["parents"]
    found: list[str] = []
    while movement in table and table[movement] not in found:
        movement = table[movement]
        found.append(movement)
    return found
