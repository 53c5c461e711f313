"""What came of one cell."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

__all__ = ["Parsed"]

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Parsed(Generic[T]):
    """A value, or the reasons why there is none.

    A `value` beside reasons is what the row would hold once repaired. `notes` are codes of things told but not refused.
    """

    value: T | None = None
    reasons: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
