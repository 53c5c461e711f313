"""ISO weeks."""

from __future__ import annotations

from datetime import date, timedelta

__all__ = ["iso_week", "monday_of", "monday_of_week"]


def monday_of(day: date) -> date:
    """The Monday on or before a day."""
    return day - timedelta(days=day.weekday())


def iso_week(day: date) -> str:
    """The ISO week that a day lies in, as `2026-W10`."""
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02d}"


def monday_of_week(week: str) -> date:
    """The Monday of an ISO week written as `2026-W10`."""
    return date.fromisoformat(f"{week}-1")
