"""Daily doses written down as short rows."""

from __future__ import annotations

from datetime import date, timedelta

import polars as pl

from keelmark.contracts.frames import ATHLETE, DAILY_DOSE, DAY_STATE

MONDAY = date(2026, 1, 5)


def doses(
    *rows: tuple[str, int, str, float | None] | tuple[str, int, str, float | None, float, float | None],
) -> pl.DataFrame:
    """Rows of athlete, day number from a Monday, channel, value, and low and high where they differ from it."""
    built: list[dict[str, object]] = []
    for athlete, day, channel, value, *bounds in rows:
        low, high = bounds if bounds else (value, value)
        built.append(
            {
                "athlete_id": athlete,
                "date": MONDAY + timedelta(days=day),
                "channel": channel,
                "value": value,
                "low": low or 0.0,
                "high": high,
                "efforts": 1,
                "unknown": int(high is None),
            }
        )
    return DAILY_DOSE.build(built)


def states(*rows: tuple[str, int, str]) -> pl.DataFrame:
    return DAY_STATE.build(
        [{"athlete_id": who, "date": MONDAY + timedelta(days=day), "state": state} for who, day, state in rows]
    )


def athletes(*names: str, left: int | None = None) -> pl.DataFrame:
    gone = None if left is None else MONDAY + timedelta(days=left)
    return ATHLETE.build([{"athlete_id": name, "name": name.title(), "left": gone} for name in names or ("runa",)])
