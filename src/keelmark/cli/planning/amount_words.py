"""Amounts as they stand in a printed plan, with as many digits as their bounds leave."""

from __future__ import annotations

from keelmark.contracts.rounding import Told, told, told_alone

__all__ = ["alone", "within"]

_WHOLE = frozenset({"contact", "rep", "cycle", "strike"})


def within(value: float, low: float | None, high: float | None, unit: str) -> Told:
    """An amount and its bounds, by the rule for all figures; an open bound is None."""
    return told(value, low, high, whole=unit in _WHOLE)


def alone(value: float, unit: str) -> str:
    """An amount without bounds, such as a mark."""
    return told_alone(value, whole=unit in _WHOLE)
