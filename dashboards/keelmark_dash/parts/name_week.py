"""Naming a week in the calendar: what the coach meant it to be, so that other amounts are to be expected."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import dash_mantine_components as dmc
from dash import Dash, Input, Output, State, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.page import Visit
from keelmark_dash.parts.fields import choose_day, choose_one
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark
from keelmark_dash.words import day_words, week_monday

__all__ = ["name_week", "register_name_week"]

NAMES = ("overload", "taper", "competition", "deload", "test", "holiday", "travel", "ill")
EVERYBODY = "everybody"
_PARTS = ("name-from", "name-to", "name-what", "name-own", "name-group")
FROM, TO, WHAT, OWN, GROUP = (ids.named(ids.SQUAD, part) for part in _PARTS)
SAVE, SAID = ids.named(ids.SQUAD, "name-save"), ids.named(ids.SQUAD, "name-said")


def name_week(here: Visit) -> list[Any]:
    """A form that opens below the notices, for those who may write in the calendar."""
    if not here.may("set_label"):
        return []
    monday = week_monday(here.address.week)
    groups = [EVERYBODY, *here.season.groups]
    form = html.Div(
        [
            choose_day(FROM, "First day", monday.isoformat()),
            choose_day(TO, "Last day", (monday + timedelta(days=6)).isoformat()),
            choose_one(WHAT, "What it is", list(NAMES), None, placeholder="Choose one"),
            dmc.TextInput(id=OWN, label="Or a name of your own", value=""),
            choose_one(GROUP, "Who it is for", groups, here.address.group or EVERYBODY),
            dmc.Button("Name these days", id=SAVE),
            html.Div(id=SAID, role="status", className="wide"),
        ],
        className="day-form name-form",
    )
    return [html.Details([html.Summary("Name a week in the calendar"), html.P(_MEANING), form], className="decision")]


_MEANING = (
    "A name moves what is expected of the week: by what such weeks have held in this squad, or by the amount that you "
    "write with it, such as “taper 60 %” or “overload +30 %”. A named week and the week after it give no notice by "
    "themselves; only what lies far beyond the name does. Usual amounts are not learnt from it. Name it before it "
    "begins, or afterwards if it was meant to be like this. It can be undone on the Log page."
)


def register_name_week(app: Dash, desk: Desk) -> None:
    """The days are named when the button is pressed."""

    @app.callback(
        Output(SAID, "children"),
        Input(SAVE, "n_clicks"),
        *(State(name, "value") for name in (FROM, TO, WHAT, OWN, GROUP)),
        prevent_initial_call=True,
    )
    def _name(pressed: int | None, first: str | None, last: str | None, what: str | None, own: str, group: str) -> Any:
        if not pressed:
            return no_update
        label = own.strip() or what
        if not label or not first or not last:
            return remark("Choose the days and what they are first.", tone="refused")
        days = date.fromisoformat(first[:10]), date.fromisoformat(last[:10])
        if days[1] < days[0]:
            return remark("The last day lies before the first.", tone="refused")
        try:
            desk.squad.set_label(*days, label, None if group == EVERYBODY else group)
        except KeelmarkError as error:
            return refusal(error)
        return remark(f"Named: {label}, {day_words(days[0])} to {day_words(days[1])}. Load the page again to see it.",
                      tone="done")  # fmt: skip
