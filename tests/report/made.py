"""Made-up weeks and answers for papers."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import polars as pl

from keelmark.contracts.frames import WEEKLY_FIGURE
from keelmark.contracts.records import CHECK_IN
from keelmark.load.calendar import iso_week
from keelmark.report import HandOver
from keelmark.report.hand_over_words import FIELDS
from keelmark.report.twelve_weeks import PATTERNS

LAST = date(2026, 6, 1)
MOMENT = datetime(2026, 6, 8, 12, 0, tzinfo=UTC)


def weekly(
    channel: str = "jump_contacts", values: dict[int, float | None] | None = None, **more: object
) -> pl.DataFrame:
    """Twelve weeks of one channel; `values` by weeks back from the last, 100 where nothing is said."""
    rows = []
    for back in range(12):
        monday = LAST - timedelta(weeks=back)
        value = (values or {}).get(back, 100.0)
        row: dict[str, object] = {
            "athlete_id": "bo", "week": iso_week(monday), "monday": monday, "channel": channel, "value": value,
            "low": value, "high": value, "known_days": 0 if value is None else 7, "assumed_rest_days": 0,
            "trained_days": 3,
        }  # fmt: skip
        rows.append(row | more)
    return WEEKLY_FIGURE.build(rows)


def all_weeks() -> pl.DataFrame:
    """Twelve weeks of every kind of work, with wide bounds."""
    return pl.concat([weekly(channel, low=12_345.0, value=23_456.0, high=34_567.0) for channel in PATTERNS])


def check_in(week: str, area: str | None, *chosen: int | None) -> dict[str, object]:
    """One answer: options by question."""
    keys = ("taking_part", "amount", "performance", "symptoms")
    told = dict(zip(keys, (*chosen, None, None, None), strict=False))
    answers = ", ".join(f'"{key}": {"null" if told[key] is None else told[key]}' for key in keys)
    return {
        "check_in_id": "1", "athlete_id": "bo", "week": week, "scale_id": "four-domains-2020/own-words-1",
        "area": area, "severity": 0.0, "answers": f"{{{answers}}}", "created_at": MOMENT,
    }  # fmt: skip


def check_ins(*rows: dict[str, object]) -> pl.DataFrame:
    """A frame of answers."""
    return CHECK_IN.build(list(rows))


def asked(*fields: str, **more: object) -> HandOver:
    """A hand-over of Bo to Maren, of all fields unless some are named."""
    said: dict[str, object] = {
        "athlete_id": "bo", "last": LAST, "fields": fields or tuple(FIELDS), "given_by": "Bo",
        "given_to": "Maren, physiotherapist", "given_on": date(2026, 6, 7),
    }  # fmt: skip
    return HandOver(**(said | more))  # type: ignore[arg-type]
