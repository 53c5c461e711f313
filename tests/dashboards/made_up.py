"""A made-up squad behind the same doors as the real service, so that pages can be tried without a store.

Numbers are drawn with a fixed start; they are for looking at and clicking, never for checking a formula.
"""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from functools import cached_property
from typing import Any

import polars as pl

from keelmark.catalogue import Catalogue, shipped_catalogue
from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.errors import RefusedInput
from keelmark.contracts.frames import (
    ATHLETE,
    DAILY_DOSE,
    DAY_STATE,
    EFFORT,
    MARK,
    NOTICE,
    REP_MAXIMUM,
    SESSION,
    WEEKLY_FIGURE,
)
from keelmark.contracts.records import CALENDAR_LABEL, CHECK_IN, DECISION, IMPORT, IMPORT_ROW
from keelmark.contracts.words import SCOPE_LINE
from keelmark.ingest import LogOptions
from keelmark.load.first_times import FirstTime
from keelmark.service.agreeing import PURPOSES, Agreement
from keelmark.service.kept import Kept
from keelmark.service.week_mechanics import WeekMechanics

NAMES = (
    "Ada", "Bram", "Cora", "Dilys", "Edda", "Fenno", "Greta", "Hauke", "Ines", "Jory", "Kerra", "Lowen", "Mara",
    "Nils", "Orla", "Piet", "Quinn", "Runa", "Silke", "Tamsin", "Ubbo", "Vesna", "Wenna", "Xaver", "Yara", "Zoë",
)  # fmt: skip
USUAL = {"session_load": 1900, "jump_contacts": 190, "lumbar_moment": 52000, "hip_hinge_reps": 240, "grip_s": 610}
FIRST_MONDAY = date(2025, 9, 1)
SPIKE = ("mara", "jump_contacts", 34)
"""Athlete, channel and place of the week whose landings are tripled."""


@dataclass
class MadeUpKept:
    """What the season was made from, as far as pages ask for it."""

    labels: pl.DataFrame


@dataclass
class MadeUpSeason:
    """The tables of a season, as the service hands them out."""

    athletes: pl.DataFrame
    weekly: pl.DataFrame
    marks: pl.DataFrame
    notices: pl.DataFrame
    daily: pl.DataFrame
    day_states: pl.DataFrame
    efforts: pl.DataFrame
    weeks: list[str]
    kept: MadeUpKept

    def without_records(self) -> MadeUpSeason:
        """The same doors with nothing behind them."""
        frames = ("athletes", "weekly", "marks", "notices", "daily", "day_states", "efforts")
        return replace(self, weeks=[], **{name: getattr(self, name).clear() for name in frames})

    @cached_property
    def mechanics(self) -> WeekMechanics:
        empty = REP_MAXIMUM.empty(), self.efforts, SESSION.empty(), self.day_states, self.kept.labels, IMPORT.empty()
        return WeekMechanics(Kept(0, self.athletes, *empty), shipped_catalogue(), self.weekly)

    @property
    def catalogue(self) -> Catalogue:
        return shipped_catalogue()

    def new_work(self, athlete_id: str, week: str) -> list[FirstTime]:
        return [FirstTime("depth_jump", 31)] if athlete_id else []

    def second_opinion(self, athlete_id: str, week: str, channel: str, share: float) -> None:
        return None

    def rows_behind(self, athlete_id: str, week: str, channel: str) -> pl.DataFrame:
        monday = date.fromisocalendar(int(week[:4]), int(week[6:]), 1)
        rows = self.efforts.filter(
            pl.col("athlete_id") == athlete_id,
            pl.col("date").is_between(monday, monday + timedelta(days=6)),
        )
        if channel == "jump_contacts":
            rows = rows.filter(pl.col("movement").is_in(["box_jump", "double_under"]))
        share = pl.col("reps") * pl.col("sets")
        added = {name: share.cast(pl.Float64) for name in ("contribution", "contribution_low", "contribution_high")}
        return rows.with_columns(**added, file=pl.lit("winter_log.csv"), label=pl.lit("Evening watch"))


def week_names(weeks: int) -> list[str]:
    """ISO weeks of the season."""
    mondays = [FIRST_MONDAY + timedelta(weeks=place) for place in range(weeks)]
    return [f"{day.isocalendar().year}-W{day.isocalendar().week:02d}" for day in mondays]


def season(athletes: int = 26, weeks: int = 40, start: int = 7) -> MadeUpSeason:
    """A season of made-up weeks for the first names above (more athletes get a number behind the name)."""
    draw = random.Random(start)
    names = [NAMES[place % 26] + (f" {place // 26 + 1}" if place >= 26 else "") for place in range(athletes)]
    ids = [name.lower().replace(" ", "_") for name in names]
    people = [
        {"athlete_id": key, "name": name, "group": "Early watch" if place % 2 else "Evening watch"}
        for place, (key, name) in enumerate(zip(ids, names, strict=True))
    ]
    weekly, marks, efforts, daily = [], [], [], []
    for key in ids:
        size = draw.uniform(0.6, 1.4)
        for channel, usual in USUAL.items():
            for place, week in enumerate(week_names(weeks)):
                row, mark = _week(draw, key, channel, usual * size, place, week)
                weekly.append(row)
                marks.append(mark)
        efforts += _efforts(draw, key, weeks)
    daily = [
        {"athlete_id": row["athlete_id"], "date": row["date"], "channel": "session_load", "value": 400.0, "low": 400.0,
         "high": 400.0, "efforts": 3, "unknown": 0}
        for row in efforts[::3]
    ]  # fmt: skip
    states = [{"athlete_id": "bram", "date": FIRST_MONDAY + timedelta(weeks=weeks - 1), "state": "ill", "note": None}]
    return MadeUpSeason(
        ATHLETE.build(people),
        WEEKLY_FIGURE.build(weekly),
        MARK.build(marks),
        NOTICE.build(_notices(names, weeks)),
        DAILY_DOSE.build(daily),
        DAY_STATE.build(states),
        EFFORT.build(efforts),
        week_names(weeks),
        MadeUpKept(CALENDAR_LABEL.build(_labels())),
    )


def _labels() -> list[dict[str, Any]]:
    return [
        {"label_id": "1", "date_from": date(2025, 12, 22), "date_to": date(2026, 1, 4), "label": "holidays"},
        {"label_id": "2", "date_from": date(2026, 3, 9), "date_to": date(2026, 3, 15), "label": "heavy week",
         "group": "Early watch"},
    ]  # fmt: skip


def known_days(key: str, place: int) -> int:
    """How many days of a week are known: the same for all kinds of work."""
    draw = random.Random(f"{key} {place}")
    return 0 if draw.random() < 0.06 else draw.choice([7, 7, 7, 7, 6, 4])


def _week(
    draw: random.Random, key: str, channel: str, usual: float, place: int, week: str
) -> tuple[dict[str, Any], dict[str, Any]]:
    value: float | None = usual * draw.lognormvariate(0, 0.18)
    if (key, channel, place) == SPIKE:
        value = usual * 3
    known = known_days(key, place)
    if known == 0:
        value = None
    lower, upper = (usual * 0.7, usual * 1.38) if place >= 4 else (None, None)
    standing = "not_known"
    if value is not None and upper is not None and lower is not None:
        standing = "below" if value < lower else "within" if value <= upper else "above"
        standing = "well_above" if value > upper * 1.5 else standing
    gate = "fewer than 28 known days" if place < 4 else None
    whole = "sum" if CHANNEL_BY_KEY[channel].unit in ("contact", "rep") else ""
    value = float(round(value)) if value is not None and whole else value
    row = {
        "athlete_id": key, "week": week, "monday": FIRST_MONDAY + timedelta(weeks=place), "channel": channel,
        "value": value, "low": None if value is None else value * 0.94,
        "high": None if value is None or known < 7 else value * 1.07,
        "known_days": known, "trained_days": 0 if value is None else 4, "assumed_rest_days": 0,
        "acute": None if value is None else value / 7, "chronic": usual / 7,
        "ratio_coupled": None if gate or value is None else value / usual,
        "ratio_uncoupled": None if gate or value is None else value / usual * 1.05,
        "ratio_ewma": None if gate or value is None else value / usual * 0.98,
        "change": None if value is None or place == 0 else 0.12, "monotony": None if value is None else 1.3,
        "strain": None if value is None else value * 1.3, "gate": gate,
    }  # fmt: skip
    mark = {
        "athlete_id": key, "week": week, "channel": channel, "expected": usual if upper else None, "lower": lower,
        "upper": upper, "place": standing, "tail": 0.02 if standing == "above" else 0.5, "weeks": place,
        "reason": "only a few weeks so far" if place < 4 else None,
    }  # fmt: skip
    return row, mark


def _efforts(draw: random.Random, key: str, weeks: int) -> list[dict[str, Any]]:
    rows = []
    for place in range(weeks):
        for day in (0, 2, 4):
            when = FIRST_MONDAY + timedelta(weeks=place, days=day)
            for order, movement in enumerate(("deadlift", "box_jump", "toes_to_bar")):
                reps = draw.choice([5, 8, 12, 21])
                rows.append({
                    "athlete_id": key, "date": when, "session_id": f"{key}-{when}", "block": "main", "order": order,
                    "movement": movement, "version": "as_written", "sets": 3, "reps": float(reps),
                    "load_kg": 80.0 if movement == "deadlift" else None,
                    "load_basis": "external" if movement == "deadlift" else "none",
                    "share_low": 1.0, "share_high": 1.0, "source": "log", "import_id": "one",
                    "source_row": len(rows) + 1, "source_line": len(rows) + 2, "text": f"3 x {reps} {movement}",
                })  # fmt: skip
    return rows


def _notices(names: list[str], weeks: int) -> list[dict[str, Any]]:
    rows = []
    for place, week in enumerate(week_names(weeks)):
        if place not in (34, weeks - 1):
            continue
        people = ("Mara", "Bram", "Orla", "Tamsin", "Zoë") if place == weeks - 1 else ("Mara",)
        for rank, name in enumerate((person for person in people if person in names), 1):
            rows.append({
                "notice_id": f"{name.lower()}|{week}|jump_contacts", "athlete_id": name.lower(), "week": week,
                "channel": "jump_contacts", "rank": rank, "within_budget": rank <= 3, "value": 588.0, "lower": 133.0,
                "upper": 262.0, "place": "well_above" if rank == 1 else "above", "q_value": 0.01,
                "headline": f"{name} made 588 jump contacts this week.",
                "usual": f"{name}'s usual range is 133 to 262 contacts.",
                "contributors": ["Thursday 30 April: 5 x 40 double under (200)", "Tuesday: 6 x 20 box jump (120)",
                                 "Saturday: 4 x 25 box jump (100)"],
                "not_known": "Landings outside the log are not in this figure. Two days have no record.",
                "options": ["Scale: fewer jumps next week", "Swap: step-ups for box jumps", "Spread over more days",
                            "Leave as planned"],
                "how_often": "If nothing had changed, a week this high would appear about once in 50 weeks.",
                "scope": SCOPE_LINE,
            })  # fmt: skip
    return rows


@dataclass
class MadeUpPreview:
    """What a file would bring."""

    token: str
    file: str
    counts: dict[str, int]
    rows: pl.DataFrame
    warnings: list[str]
    unknown_names: dict[str, int] = field(default_factory=dict)

    @property
    def ready(self) -> bool:
        return self.counts["accepted"] > 0


class NothingAhead:
    """No week of which anything is meant."""

    def meant(self) -> list[Any]:
        return []


@dataclass
class MadeUpSquad:
    """A squad that remembers what it was asked to do."""

    now: MadeUpSeason = field(default_factory=season)
    asked: list[tuple[str, tuple[Any, ...]]] = field(default_factory=list)
    chosen: dict[str, Any] = field(default_factory=lambda: {"quiet_days": "unlogged", "week_day": 7})
    catalogue: Catalogue = field(default_factory=shipped_catalogue)
    ahead: NothingAhead = field(default_factory=NothingAhead)

    def season(self, *_progress: Any) -> MadeUpSeason:
        return self.now

    def kept_audit(self) -> None:
        """Nobody asked for an audit yet."""

    def settings(self) -> dict[str, Any]:
        return dict(self.chosen)

    def set_setting(self, key: str, value: object) -> None:
        self.asked.append(("set_setting", (key, value)))
        self.chosen[key] = value

    def preview_log(self, data: bytes, name: str, options: LogOptions | None = None) -> MadeUpPreview:
        self.asked.append(("preview_log", (data, name)))
        if data == b"refuse":
            raise RefusedInput("the file is not a table", where=name, wanted="a table", remedy="export it again")
        counts = {"accepted": 41, "duplicate": 1, "blank": 2, "quarantined": 2, "other": 0}
        return MadeUpPreview("token-1", name, counts, _import_rows(), ["Loads are read as kilograms."])

    def stands(self, season: Any) -> bool:
        return True

    def accept(self, token: str, last_moment: Callable[[], None] = lambda: None) -> None:
        self.asked.append(("accept", (token,)))

    def undo(self, import_id: str) -> None:
        self.asked.append(("undo", (import_id,)))

    def imports(self) -> pl.DataFrame:
        counts = json.dumps({"accepted": 3120, "duplicate": 2, "blank": 14, "quarantined": 5, "other": 0})
        when = datetime(2026, 6, 8, 7, 30, tzinfo=UTC)
        kept = {"kind": "log", "counts": counts, "created_at": when, "sha256": "0" * 64}
        return IMPORT.build([
            {"import_id": "zero", "file": "old_log.csv", "undone_at": when, **kept},
            {"import_id": "one", "file": "winter_log.csv", **kept},
        ])  # fmt: skip

    def import_rows(self, import_id: str) -> pl.DataFrame:
        return _import_rows()

    def set_label(self, date_from: date, date_to: date, label: str, group: str | None = None) -> str:
        self.asked.append(("set_label", (date_from, date_to, label, group)))
        return "import-named"

    def set_day_states(self, said: list[tuple[str, date, str]], note: str | None = None) -> str:
        self.asked.append(("set_day_states", tuple(said)))
        return "days"

    def set_day_state(self, athlete_ids: list[str], dates: list[date], state: str, note: str | None = None) -> str:
        self.asked.append(("set_day_state", (list(athlete_ids), list(dates), state)))
        return "days"

    def record_decision(self, notice_id: str, **said: Any) -> str:
        self.asked.append(("record_decision", (notice_id, said)))
        return "decision"

    def check_ins(self, athlete_id: str | None = None) -> pl.DataFrame:
        return CHECK_IN.empty()

    def agreements(self, athlete_id: str) -> list[Agreement]:
        return [Agreement(purpose, "not asked") for purpose in PURPOSES]

    def guardian(self, athlete_id: str) -> None:
        return None

    def return_plan(self, athlete_id: str, week: str | None = None) -> None:
        return None

    def quiet_messages(self, week: str, group: str = "") -> list[tuple[str, str, int, str]]:
        return [("ada", "Ada", 2, "Hi Ada, 2 days are still open.")]

    def decisions(self) -> pl.DataFrame:
        said = [asked for name, asked in self.asked if name == "record_decision"]
        fixed = {"figures": "{}", "rule_version": "1", "created_at": datetime(2026, 6, 8, tzinfo=UTC)}
        return DECISION.build([{"decision_id": str(place), "notice_id": notice, **words, **fixed}
                               for place, (notice, words) in enumerate(said)])  # fmt: skip


def _import_rows() -> pl.DataFrame:
    rows = [{"row": place, "line": place + 1, "verdict": "accepted"} for place in range(1, 42)]
    rows += [
        {"row": 42, "line": 43, "verdict": "quarantined", "reasons": ["the load is heavy, not a number"],
         "remedy": "write the load as a number", "cells": "2026-06-01; Mara; deadlift; 3; 5; heavy"},
        {"row": 43, "line": 44, "verdict": "quarantined", "reasons": ["31.02.2026 is not a day"],
         "remedy": "write the date of the training day", "cells": "31.02.2026; Ada; box jump; 3; 12;"},
        {"row": 44, "line": 45, "verdict": "duplicate", "of_row": 3},
    ]  # fmt: skip
    return IMPORT_ROW.build(rows)
