"""Programme: a week typed as it stands on the whiteboard, and what it comes to, as it is typed."""

from __future__ import annotations

import datetime as dt
from typing import Any

from dash import Dash, html

from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.page import Page, Visit
from keelmark_dash.pages import (
    programme_ahead,
    programme_limits,
    programme_mend,
    programme_squad,
    programme_versions,
    programme_week,
)
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.plan_take import plan_take, register_plan_take
from keelmark_dash.parts.programme_fields import (
    BALANCE,
    CLASHES,
    COMES,
    EXPLAINED,
    SQUAD,
    balance_fields,
    readers,
    sensitivity_field,
    session_field,
    version_fields,
    what_if_fields,
    writing,
)
from keelmark_dash.parts.programme_forms import limit_form, season_form
from keelmark_dash.parts.scope import scope_line
from keelmark_dash.programme_words import EMPTY, LIMITS_NOTE, SEASON_NOTE, VERSIONS_NOTE

__all__ = ["PAGE"]


def layout(here: Visit) -> list[Any]:
    """The text on one side, the matrix on the other; below them what follows from it."""
    people = readers(here.squad)
    known = bool(here.season.weeks)
    return [
        html.H1("Programme"),
        html.Div(
            [
                _panel("write", "The week", *writing(people)),
                _panel(
                    "matrix", "What it comes to", html.Div(html.P(EMPTY), id=COMES, role="status"), plan_take("matrix")
                ),
            ],
            className="programme-desk",
        ),
        html.Div(
            [
                _panel("clash", "Clashes", sensitivity_field(), html.Div(id=CLASHES)),
                _panel("pairs", "Balance", *balance_fields(), html.Div(id=BALANCE)),
            ],
            className="programme-columns",
        ),
        _panel("marks", "Everybody's week", html.Div(id=SQUAD), plan_take("everybody"), *what_if_fields()),
        _panel(
            "agreed",
            "What is agreed",
            html.P(LIMITS_NOTE if known else "There is nobody on record to agree with yet."),
            *limit_form(people if known else [], _first_day(here).isoformat()),
        ),
        _panel("versions", "Versions", html.P(VERSIONS_NOTE), *version_fields()),
        _panel("explain", "One session explained", session_field(), html.Div(id=EXPLAINED, role="status")),
        _panel("season", "Weeks ahead", html.P(SEASON_NOTE), *season_form(here.season.weeks)),
        scope_line(),
    ]


def _panel(part: str, title: str, *content: Any) -> html.Section:
    return panel(ids.named(ids.PROGRAMME, part), title, *content)


def _first_day(here: Visit) -> dt.date:
    """The week after the last on record, from which an agreed amount most often holds; today where nothing is."""
    monday: dt.date | None = here.squad.plan("").monday
    return monday or dt.date.today()


def register(app: Dash, desk: Desk) -> None:
    """The page follows its text; versions, changes and calendar files are asked for by a button."""
    for part in (
        programme_week,
        programme_squad,
        programme_mend,
        programme_limits,
        programme_versions,
        programme_ahead,
    ):
        part.register(app, desk)
    register_plan_take(app, desk)


PAGE = Page("/programme", "Programme", layout, register=register)
