"""Decisions about complaints: kept with the complaint and the work as they stood, and worked out again on request."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Any

import polars as pl

from keelmark.contracts.errors import SettingError
from keelmark.health import complaint_episodes, weeks_said
from keelmark.health.association import PAIRS
from keelmark.load.calendar import monday_of_week
from keelmark.service.decisions import (
    SETTINGS_THEN,
    Compute,
    Replay,
    changed_since,
    differences_between,
    season_then,
)
from keelmark.service.season import RULE_VERSION, Season
from keelmark.store import Store

__all__ = ["decide_on_complaint", "replay_complaint"]

WEEKS_KEPT = 6
"""Weeks of work that are kept with a decision."""


def decide_on_complaint(
    store: Store,
    check_ins: pl.DataFrame,
    season: Season,
    settings: Mapping[str, Any],
    athlete_id: str,
    area: str,
    first: date,
    week: str,
    said: Mapping[str, Any],
) -> str:
    """Keep a decision about a complaint as it stands in a week, by the athlete's check-ins; gives its key.

    Raises
    ------
    SettingError
        When that week knows no such complaint.
    """
    figures = _figures(season, check_ins, athlete_id, area, first, week)
    if figures is None:
        raise SettingError(
            f"no complaint of “{area}” began in the week of {first}",
            where="decision",
            wanted="a complaint as the page shows it",
            remedy="open the page again: something else may have been said since it was shown",
        )
    kept = {**figures, SETTINGS_THEN: dict(settings)}
    return store.record_complaint_decision(athlete_id, area, first, figures=kept, rule_version=RULE_VERSION, **said)


def replay_complaint(store: Store, decisions: pl.DataFrame, decision_id: str, compute: Compute) -> Replay:
    """Work out again what stood when one of these decisions about complaints was recorded.

    Raises
    ------
    SettingError
        When there is no such decision.
    """
    found = decisions.filter(pl.col("decision_id") == decision_id)
    if found.is_empty():
        raise SettingError(
            f"there is no decision {decision_id!r}",
            where="replay",
            wanted="the key of a recorded decision about a complaint",
            remedy="look the key up in the list of decisions",
        )
    decision = found.row(0, named=True)
    then: dict[str, Any] = json.loads(decision["figures"])
    season = season_then(store, decision["created_at"], then.pop(SETTINGS_THEN), compute)
    told = _stood_then(store.check_ins(decision["athlete_id"], standing=False), decision["created_at"])
    again = _figures(season, told, decision["athlete_id"], decision["area"], decision["first"], then["week"])
    about = f"{decision['athlete_id']}:{decision['area']}:{decision['first']}"
    differences = differences_between(then, again)
    return Replay(
        decision_id, about, not differences, then, again, differences, changed_since(store.imports(), decision)
    )


def _stood_then(check_ins: pl.DataFrame, moment: datetime) -> pl.DataFrame:
    """Check-ins that had been given and not been taken back at a moment."""
    later = pl.col("withdrawn_at").is_null() | (pl.col("withdrawn_at") > moment)
    return check_ins.filter((pl.col("created_at") <= moment) & later)


def _figures(
    season: Season, check_ins: pl.DataFrame, athlete_id: str, area: str, first: date, week: str
) -> dict[str, Any] | None:
    """The complaint as of a week, and the athlete's work of the weeks up to it, as JSON can say it."""
    last = monday_of_week(week)
    episodes = complaint_episodes(weeks_said(check_ins), last)
    found = episodes.filter(pl.col("area") == area, pl.col("first") == first)
    if found.is_empty():
        return None
    work = (
        season.of(athlete_id)
        .weekly.filter(
            pl.col("channel").is_in([channel for _, channel in PAIRS]),
            pl.col("monday") <= last,
            pl.col("monday") > last - timedelta(weeks=WEEKS_KEPT),
        )
        .select("channel", "week", "value", "low", "high", "known_days")
    )
    return {
        "week": week,
        "complaint": json.loads(found.write_json())[0],
        "work": json.loads(work.sort("channel", "week").write_json()),
    }
