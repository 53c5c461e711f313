"""One effort row in words: what was done, and how it stands in the file or on the whiteboard."""

from __future__ import annotations

from typing import Any

from keelmark_dash.shown_as import movement_words
from keelmark_dash.words import amount

__all__ = ["as_written", "done", "movement"]

_AMOUNTS = (("reps", "rep"), ("distance_m", "m"), ("duration_s", "s"), ("calories", "kcal"))
_LONG_S = 300
"""From here on whole minutes are told as minutes."""


def movement(row: dict[str, Any]) -> str:
    """The movement's name in the squad's language."""
    return movement_words(str(row["movement"]))


def done(row: dict[str, Any]) -> str:
    """Sets, amount, load and version: `5 × 4 reps at 27.5 kg, scaled`."""
    what = next((_amount(row[key], unit) for key, unit in _AMOUNTS if row[key] is not None), "amount not known")
    sets = f"{row['sets']} × " if row["sets"] != 1 else ""
    load = {"external": f" at {amount(row['load_kg'], 'kg')}", "unknown": ", load not known"}.get(row["load_basis"], "")
    version = {"scaled": ", scaled", "swapped": ", swapped"}.get(row["version"], "")
    return f"{sets}{what}{load}{version}"


def _amount(value: float, unit: str) -> str:
    if unit == "s" and value >= _LONG_S and value % 60 == 0:
        return amount(value / 60, "min")
    return amount(value, unit)


def as_written(row: dict[str, Any]) -> str:
    """The words of the whiteboard, or the filled cells of the file's row."""
    if not row["text"]:
        return "no words kept"
    if row["source"] == "score":
        return str(row["text"])
    return " · ".join(cell.strip() for cell in row["text"].split("|") if cell.strip())
