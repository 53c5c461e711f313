"""The days of the Log page: what is known of days without training, said by form or typed into the calendar."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import dash_mantine_components as dmc
from dash import ClientsideFunction, Dash, Input, Output, State, dcc, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.page import Region, Visit
from keelmark_dash.parts.controls import controls, group_control, week_control
from keelmark_dash.parts.days import KEYS_SAID, day_form, day_table, saved_words
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.row_pages import row_pages
from keelmark_dash.parts.scope import remark
from keelmark_dash.readings import people, week_days
from keelmark_dash.words import count

__all__ = ["DAYS", "days_section", "quiet_section", "register_days"]

QUIET, TYPED, SAVE_TYPED = (ids.named(ids.LOG, part) for part in ("quiet", "typed-days", "save-typed"))
LONGEST_STRETCH = 366


def days_section(here: Visit) -> html.Section:
    """A form for stretches of days, and the week's calendar with a cell for each athlete and day."""
    season, address = here.season, here.address
    everybody = people(season).select("athlete_id", "name").rows()
    return panel(
        ids.named(ids.LOG, "days"),
        "Days without training",
        html.P("A day without a record is not a rest day. Say what is known, for one person or several."),
        day_form(everybody, address.week, here.asked.athlete),
        controls(week_control(address, season.weeks), group_control(address, season.groups)),
        html.P(KEYS_SAID, className="soft"),
        DAYS.place(here),
        html.Div(dmc.Button("Save the changed days", id=SAVE_TYPED, disabled=True), className="answers"),
        dcc.Store(id=TYPED),
        html.Div(id=ids.named(ids.LOG, "typed-said"), role="status"),
    )


def _day_table(here: Visit) -> list[Any]:
    season, address = here.season, here.address
    return [
        day_table(week_days(season, address), address.week),
        row_pages("/log", address, people(season, address.group).height),
    ]


DAYS = Region(ids.named(ids.LOG, "days"), ("week", "group", "rows"), _day_table)


def quiet_section(squad: Any) -> html.Section:
    """What a day without a record means in this squad."""
    return panel(ids.QUIET_DAYS,
        "What a day without a record means",
        dmc.RadioGroup(
            id=QUIET,
            value=squad.settings()["quiet_days"],
            label="In this squad",
            children=html.Div(
                [
                    dmc.Radio("It is not known. Figures stay open until somebody says.", value="unlogged"),
                    dmc.Radio("It was rest, in weeks that have records. Every session is logged here, and figures say "
                              "how many days were taken as rest.", value="rest"),
                ],
                className="radios",
            ),
        ),
        html.Div(id=ids.named(ids.LOG, "quiet-said"), role="status"),
    )  # fmt: skip


def register_days(app: Dash, desk: Desk) -> None:
    """Say what days were, by form or calendar; choose what quiet days mean."""
    _register_form(app, desk)
    _register_calendar(app, desk)
    _register_quiet(app, desk)


def _register_form(app: Dash, desk: Desk) -> None:
    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(ids.named(ids.LOG, "days-said"), "children"),
        Input(ids.named(ids.LOG, "save-days"), "n_clicks"),
        State(ids.named(ids.LOG, "who"), "value"),
        State(ids.named(ids.LOG, "from"), "value"),
        State(ids.named(ids.LOG, "to"), "value"),
        State(ids.named(ids.LOG, "state"), "value"),
        prevent_initial_call=True,
    )
    def _save(pressed: int | None, who: list[str], first: str | None, last: str | None, state: str | None) -> Any:
        if not pressed:
            return no_update, no_update
        if not (who and first and last and state):
            return no_update, remark("Choose who, which days, and what is known of them.", tone="refused")
        start, end = date.fromisoformat(first[:10]), date.fromisoformat(last[:10])
        if not 0 <= (end - start).days < LONGEST_STRETCH:
            return no_update, remark(
                "The last day comes before the first, or is more than a year later.", tone="refused"
            )
        days = [start + timedelta(days=step) for step in range((end - start).days + 1)]
        try:
            desk.squad.set_day_state(who, days, state)
        except KeelmarkError as error:
            return no_update, refusal(error)
        names = dict(people(desk.season()).select("athlete_id", "name").rows())
        return {"said": saved_words([names.get(key, key) for key in who], start, end, state)}, None


def _register_calendar(app: Dash, desk: Desk) -> None:
    app.clientside_callback(
        ClientsideFunction("keelmark_days", "typed"),
        Output(TYPED, "data"),
        Input(SAVE_TYPED, "n_clicks"),
        prevent_initial_call=True,
    )

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(ids.named(ids.LOG, "typed-said"), "children"),
        Input(TYPED, "data"),
        prevent_initial_call=True,
    )
    def _save_calendar(typed: list[list[str]] | None) -> Any:
        if not typed:
            return no_update, no_update
        try:
            desk.squad.set_day_states([(who, date.fromisoformat(day), state) for who, day, state in typed])
        except KeelmarkError as error:
            return no_update, refusal(error)
        return {"said": f"Saved: {count(len(typed), 'day')}."}, None


def _register_quiet(app: Dash, desk: Desk) -> None:
    @app.callback(
        Output(ids.named(ids.LOG, "quiet-said"), "children"),
        Input(QUIET, "value"),
        prevent_initial_call=True,
    )
    def _choose(value: str) -> Any:
        if value == desk.squad.settings()["quiet_days"]:
            return no_update
        try:
            desk.squad.set_setting("quiet_days", value)
        except KeelmarkError as error:
            return refusal(error)
        return remark("Chosen. Figures are worked out anew from now on.", tone="done")
