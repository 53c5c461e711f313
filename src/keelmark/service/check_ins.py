"""Check-ins and what follows from them: a week's answers, an athlete's timeline, the squad's question, return plans.

Health data meets load data here, when somebody asks, and nowhere else; no answer changes a figure or a plan by itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

import polars as pl

from keelmark.contracts.errors import RefusedInput
from keelmark.health import (
    SCALE_ID,
    Gap,
    ReturnPlan,
    checked_answers,
    complaint_episodes,
    gaps,
    propose_return,
    severity,
    weeks_said,
)
from keelmark.health.kept_plan import plan_of_row, steps_to_keep
from keelmark.load.calendar import iso_week, monday_of_week
from keelmark.service.season import Season
from keelmark.store import Store

__all__ = ["Timeline", "check_week", "record_check_in", "return_plan", "save_return_plan", "timeline"]

WEEKS_AFTER_GAP = 4
"""A plan is offered from the start of a gap until this many weeks after its end."""


@dataclass(frozen=True, slots=True)
class Timeline:
    """One athlete's answers beside one athlete's weeks.

    Parameters
    ----------
    athlete_id : str
        Whose.
    said : DataFrame
        WEEK_SAID table: what stands of each answered week.
    episodes : DataFrame
        EPISODE table as of the last week looked at.
    exposure : DataFrame
        WEEKLY_FIGURE table of the athlete.
    """

    athlete_id: str
    said: pl.DataFrame
    episodes: pl.DataFrame
    exposure: pl.DataFrame


def record_check_in(
    store: Store, athlete_id: str, week: str, answers: Mapping[str, int | None], area: str | None
) -> str:
    """Keep one athlete's answers about one week; gives their key.

    Raises
    ------
    RefusedInput
        When the answers are incomplete or contradict each other, or the week is none.
    """
    check_week(week)
    given = checked_answers(answers, area)
    return store.record_check_in(
        athlete_id, week, scale_id=SCALE_ID, answers=given.as_json(), severity=float(severity(given)), area=area
    )


def timeline(check_ins: pl.DataFrame, season: Season, athlete_id: str, week: str | None) -> Timeline:
    """Complaints of one athlete as of a week, from the athlete's check-ins, beside the weekly figures up to it."""
    said = weeks_said(check_ins)
    last = _last_monday(season, said, week)
    known = said.filter(pl.col("monday") <= last)
    exposure = season.of(athlete_id).weekly.filter(pl.col("monday") <= last)
    return Timeline(athlete_id, known, complaint_episodes(known, last), exposure)


def return_plan(store: Store, season: Season, athlete_id: str, week: str | None) -> ReturnPlan | None:
    """The plan after the gap that is open or lately over in a week: as settled last, else a proposal, else None."""
    gap = _lately(season, athlete_id, week)
    if gap is None:
        return None
    kept = store.return_plans(athlete_id).filter(pl.col("gap_first") == gap.first)
    return plan_of_row(kept.row(-1, named=True)) if kept.height else propose_return(gap, season.of(athlete_id).weekly)


def save_return_plan(store: Store, plan: ReturnPlan) -> str:
    """Keep a plan as it was settled; gives its key."""
    return store.record_return_plan(
        plan.athlete_id,
        plan.gap_first,
        plan.gap_last,
        steps=steps_to_keep(plan),
        source=plan.source,
        owner=plan.owner,
        review_date=plan.review_date,
        note=plan.note,
    )


def _lately(season: Season, athlete_id: str, week: str | None) -> Gap | None:
    if season.daily.is_empty():
        return None
    until = _last_day(season)
    if week is not None:
        check_week(week)
        until = min(until, monday_of_week(week) + timedelta(days=6))
    own = season.of(athlete_id)
    found = gaps(own.daily, own.day_states, until, athlete_id)
    recent = [gap for gap in found if (until - gap.last).days <= 7 * (WEEKS_AFTER_GAP + 1)]
    return recent[-1] if recent else None


def _last_day(season: Season) -> date:
    last = season.daily["date"].max()
    assert isinstance(last, date)
    return last


def _last_monday(season: Season, said: pl.DataFrame, week: str | None) -> date:
    if week is not None:
        check_week(week)
        return monday_of_week(week)
    days = [*season.weekly["monday"].to_list(), *said["monday"].to_list()]
    return max(days, default=date.min)


def check_week(week: str) -> str:
    """The week, if it is one."""
    try:
        known = iso_week(monday_of_week(week)) == week
    except ValueError:
        known = False
    if not known:
        raise RefusedInput(
            f"“{week}” is not a week",
            where="check-in",
            wanted="an ISO week such as 2026-W10",
            remedy="write the year, a hyphen, W and the week's number with two digits",
        )
    return week
