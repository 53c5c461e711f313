"""Programme, weeks ahead: a ramp as it is thought of and as it is kept, beside what was done, and the calendar."""

from __future__ import annotations

import base64
import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import polars as pl
from dash import ALL, Dash, Input, Output, State, ctx, dcc, html, no_update

from keelmark.contracts.display import kept_value, shown_value
from keelmark.contracts.errors import KeelmarkError
from keelmark.plan import Person, RampWeek, ramp
from keelmark.service.ahead import meant_weeks, usual_amount
from keelmark_dash import ids
from keelmark_dash.desk import Desk, SeasonView
from keelmark_dash.parts.plan_season import plan_ramps, plan_season
from keelmark_dash.parts.programme_fields import READER, TEXT
from keelmark_dash.parts.programme_forms import (
    AHEAD,
    CHANGE,
    CHANGED,
    EVENTS,
    FROM,
    KEEP,
    KEEP_WEEK,
    KIND,
    LIGHTER,
    LONG,
    OUT,
    OUT_FILE,
    PLANNED,
    SEASON_SAID,
    START,
)
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark
from keelmark_dash.words import channel_of, count, day_words, week_monday

__all__ = ["register"]


def register(app: Dash, desk: Desk) -> None:
    """The table follows its fields; a ramp is kept, and calendars come and go, by a button."""
    _register_table(app, desk)
    _register_keeping(app, desk)
    _register_calendar(app, desk)


def _register_table(app: Dash, desk: Desk) -> None:
    @app.callback(Output(START, "value"), Input(KIND, "value"), prevent_initial_call=True)
    def _usual(kind: str) -> Any:
        amount = usual_amount(desk.season().weekly(kind), kind) if kind else None
        return no_update if amount is None else float(f"{shown_value(amount, channel_of(kind).unit):.3g}")

    @app.callback(
        Output(AHEAD, "children"),
        Input(KIND, "value"),
        Input(FROM, "value"),
        Input(START, "value"),
        Input(CHANGE, "value"),
        Input(LONG, "value"),
        Input(LIGHTER, "value"),
        Input(READER, "value"),
        Input(TEXT, "value"),
        Input(CHANGED, "data"),
    )
    def _ahead(
        kind: str, first: str, start: Any, change: Any, weeks: Any, lighter: Any, reader: str, text: str | None, _c: int
    ) -> Any:
        squad = desk.squad
        plan, season = squad.plan(text or ""), desk.season()
        beside = _Beside(season, season.labels if plan.season is not None else None, _chosen(plan, reader))
        content: list[Any] = [] if reader else [html.P(NOBODY_CHOSEN, className="soft")]
        try:
            content.append(beside.table(_thought(plan, kind, first, start, change, weeks, lighter)))
        except KeelmarkError as error:
            content.append(refusal(error))
        except _MissingError as missing:
            content.append(html.P(str(missing), className="soft"))
        kept = squad.ahead.meant()
        content += plan_ramps(squad.ahead.ramps())
        if kept:
            content.append(beside.table(kept))
        return content


NO_DATE = "Write a date beside one of the days, so that the weeks have dates."
NOBODY_CHOSEN = "Choose under “Work it out for” whose weeks stand beside these."


@dataclass(frozen=True)
class _Beside:
    """What stands beside meant weeks: what the squad and whoever is chosen did, and what the calendar says."""

    season: SeasonView
    labels: pl.DataFrame | None
    person: Person | None

    def table(self, meant: Sequence[RampWeek]) -> Any:
        """A row for each meant week."""
        squad = self.season.weeks_of({week.monday for week in meant})
        own = _done_by(self.season.weekly_of(self.person.athlete_id)) if self.person else {}
        return plan_season(meant_weeks(meant, squad), own, self.labels, self.person.name if self.person else None)


def _chosen(plan: Any, reader: str | None) -> Person | None:
    return plan.person(reader) if reader else None


class _MissingError(Exception):
    """A field that is needed is empty."""


def _thought(plan: Any, kind: str, first: str, start: Any, change: Any, weeks: Any, lighter: Any) -> Any:
    """The ramp of the fields.

    Raises
    ------
    _MissingError
        When a field is empty, or the planned week has no date.
    KeelmarkError
        When a figure cannot be used.
    """
    monday = plan.monday if first == PLANNED else week_monday(first)
    if monday is None:
        raise _MissingError(NO_DATE)
    if any(value in (None, "") for value in (start, change, weeks, lighter)):
        raise _MissingError("Every field wants a number.")
    return ramp(
        monday,
        int(weeks),
        kind,
        kept_value(float(start), channel_of(kind).unit),
        float(change) / 100,
        lighter_every=int(lighter) or None,
    )


def _done_by(weekly: pl.DataFrame) -> dict[tuple[dt.date, str], float]:
    own = weekly.filter(pl.col("value").is_not_null())
    return {(monday, channel): value for monday, channel, value in own.select("monday", "channel", "value").iter_rows()}


def _register_keeping(app: Dash, desk: Desk) -> None:
    @app.callback(
        Output(CHANGED, "data", allow_duplicate=True),
        Output(SEASON_SAID, "children", allow_duplicate=True),
        Input(KEEP, "n_clicks"),
        State(KIND, "value"),
        State(FROM, "value"),
        State(START, "value"),
        State(CHANGE, "value"),
        State(LONG, "value"),
        State(LIGHTER, "value"),
        State(TEXT, "value"),
        State(CHANGED, "data"),
        prevent_initial_call=True,
    )
    def _keep(
        pressed: int | None, kind: str, first: str, start: Any, change: Any, weeks: Any, lighter: Any,
        text: str | None, changed: int,
    ) -> Any:  # fmt: skip
        if not pressed:
            return no_update, no_update
        try:
            thought = _thought(desk.squad.plan(text or ""), kind, first, start, change, weeks, lighter)
            amount = kept_value(float(start), channel_of(kind).unit)
            desk.squad.ahead.mean(
                kind, thought[0].monday, int(weeks), amount, float(change) / 100, int(lighter) or None
            )
        except KeelmarkError as error:
            return no_update, refusal(error)
        except _MissingError as missing:
            return no_update, remark(str(missing), tone="refused")
        return changed + 1, remark("Kept for the squad.", tone="done")

    @app.callback(
        Output(CHANGED, "data", allow_duplicate=True),
        Output(SEASON_SAID, "children", allow_duplicate=True),
        Input(KEEP_WEEK, "n_clicks"),
        State(TEXT, "value"),
        State(CHANGED, "data"),
        prevent_initial_call=True,
    )
    def _keep_week(pressed: int | None, text: str | None, changed: int) -> Any:
        if not pressed:
            return no_update, no_update
        plan = desk.squad.plan(text or "")
        if plan.monday is None:
            return no_update, remark(NO_DATE, tone="refused")
        amounts = plan.middle()
        try:
            desk.squad.ahead.mean_week(plan.monday, text or "", amounts, plan.each())
        except KeelmarkError as error:
            return no_update, refusal(error)
        kinds = count(len(amounts), "kind of work", "kinds of work")
        said = f"The week of {day_words(plan.monday)} is kept with its text: {kinds}, and what each athlete would do."
        return changed + 1, remark(said, tone="done")

    @app.callback(
        Output(CHANGED, "data", allow_duplicate=True),
        Output(SEASON_SAID, "children", allow_duplicate=True),
        Input(ids.each(ids.PROGRAMME, "drop-ramp", ALL), "n_clicks"),
        State(CHANGED, "data"),
        prevent_initial_call=True,
    )
    def _drop_ramp(pressed: list[int | None], changed: int) -> Any:
        if not any(pressed) or not ctx.triggered_id:
            return no_update, no_update
        try:
            desk.squad.ahead.withdraw_ramp(str(ctx.triggered_id["key"]))
        except KeelmarkError as error:
            return no_update, refusal(error)
        return changed + 1, remark("Taken back. It stays on record.", tone="done")


def _register_calendar(app: Dash, desk: Desk) -> None:
    @app.callback(Output(OUT_FILE, "data"), Input(OUT, "n_clicks"), prevent_initial_call=True)
    def _out(pressed: int | None) -> Any:
        if not pressed:
            return no_update
        data = desk.squad.ahead.calendar(desk.season().labels, stamp=dt.datetime.now(dt.UTC))
        return dcc.send_bytes(data, "weeks-ahead.ics")

    @app.callback(
        Output(CHANGED, "data", allow_duplicate=True),
        Output(SEASON_SAID, "children", allow_duplicate=True),
        Input(EVENTS, "contents"),
        State(CHANGED, "data"),
        prevent_initial_call=True,
    )
    def _events(contents: str | None, changed: int) -> Any:
        if not contents:
            return no_update, no_update
        try:
            new = desk.squad.import_events(base64.b64decode(contents.partition(",")[2]))
        except KeelmarkError as error:
            return no_update, refusal(error)
        said = (
            "Nothing new: its events are named already." if not new else f"{count(new, 'stretch', 'stretches')} named."
        )
        return changed + 1, remark(said, tone="done")
