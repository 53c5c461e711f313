"""One choice of a squad."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

__all__ = ["Setting"]


@dataclass(frozen=True, slots=True)
class Setting:
    """One choice of the squad."""

    key: str
    default: object
    meaning: str
    wanted: str
    fits: Callable[[object], bool]
