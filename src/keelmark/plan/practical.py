"""Figures that a coach would write: plates, bells, boxes, rep schemes and distances, from the data file."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

__all__ = ["ladders", "nearest_amount", "nearest_load", "number", "steps"]


@cache
def _practical() -> dict[str, Any]:
    return tomllib.loads((files("keelmark.plan.words") / "practical.toml").read_text(encoding="utf-8"))


def steps(kind: str) -> list[float]:
    """Shares, points or centimetres by which a figure may be lowered."""
    given = _practical()["steps"][kind]
    return list(given) if isinstance(given, list) else [given]


def nearest_amount(measure: str, wanted: float) -> float:
    """The practical amount of a measure nearest to one that is wanted; of two the smaller."""
    return float(min(_practical()["amounts"][measure], key=lambda figure: (abs(figure - wanted), figure)))


def nearest_load(implement: str, unit: str, wanted: float) -> float:
    """The load nearest to one that is wanted for which there are plates or bells; of two the smaller."""
    loads = _practical()["loads"]
    rule = loads.get(implement, loads["other"])[unit]
    if "figures" in rule:
        return float(min(rule["figures"], key=lambda figure: (abs(figure - wanted), figure)))
    step, least = rule["step"], rule["least"]
    return float(max(least, round(wanted / step - 1e-9) * step))


def ladders(written: tuple[float, ...]) -> list[tuple[float, ...]]:
    """Rep schemes with fewer reps than one as written: common ones first, else each rung lowered alike."""
    total = sum(written)
    falling = written == tuple(sorted(written, reverse=True))
    known = [tuple(map(float, ladder)) for ladder in _practical()["amounts"]["ladders"]] if falling else []
    found = [ladder for ladder in known if 0.4 * total <= sum(ladder) < total][:3]
    if found:
        return found
    lower = [tuple(max(1.0, nearest_amount("reps", rung * share)) for rung in written) for share in steps("amounts")]
    return list(dict.fromkeys(ladder for ladder in lower if sum(ladder) < total))


def number(value: float) -> str:
    """A figure as it is written: 20, 42.5."""
    return f"{value:g}" if value < 1e6 else f"{value:.0f}"
