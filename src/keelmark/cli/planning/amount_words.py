"""Amounts as they stand in a printed plan: what is counted in full, what is an estimate in three digits."""

from __future__ import annotations

__all__ = ["estimated", "short"]


def short(value: float | None) -> str:
    """An amount: whole from a hundred on, three digits below."""
    if value is None:
        return "not known"
    return f"{value:,.0f}" if abs(value) >= 100 else f"{value:,.3g}"


def estimated(value: float | None) -> str:
    """An amount that has bounds: three digits, whatever its size."""
    return short(None if value is None else float(f"{value:.3g}"))
