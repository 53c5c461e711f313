"""The forms of the page Programme for weeks to come: agreed limits, ramps, events; with the ids callbacks speak to."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
from dash import dcc, html

from keelmark.contracts.display import shown_unit
from keelmark.plan import PLAN_CHANNELS
from keelmark_dash import ids
from keelmark_dash.parts.fields import choose_day, choose_one
from keelmark_dash.parts.programme_fields import WAIT_MS
from keelmark_dash.words import week_title

__all__ = [
    "AGREE", "AHEAD", "CHANGE", "CHANGED", "EVENTS", "FROM", "KEEP", "KEEP_WEEK", "KIND", "LIGHTER", "LIMITS",
    "LIMIT_FROM", "LIMIT_KIND", "LIMIT_MOST", "LIMIT_UNTIL", "LIMIT_WHO", "LIMIT_WITH", "LONG", "OUT", "OUT_FILE",
    "PLANNED", "SAID", "SEASON_SAID", "START", "limit_form", "season_form",
]  # fmt: skip

PLANNED = "planned"
WEEKS_BACK = 12


def _id(part: str) -> str:
    return ids.named(ids.PROGRAMME, part)


KIND, FROM, START, CHANGE, LONG, LIGHTER, AHEAD = map(
    _id, ("kind", "from", "start", "change", "long", "lighter", "ahead")
)
KEEP, KEEP_WEEK, SEASON_SAID, EVENTS, OUT, OUT_FILE, CHANGED = map(
    _id, ("keep", "keep-week", "season-said", "events", "out", "out-file", "changed")
)
LIMITS, AGREE, SAID = map(_id, ("limits", "agree", "said"))
LIMIT_WHO, LIMIT_KIND, LIMIT_MOST, LIMIT_FROM, LIMIT_UNTIL, LIMIT_WITH = map(
    _id, ("limit-who", "limit-kind", "limit-most", "limit-from", "limit-until", "limit-with")
)


def _kinds() -> list[dict[str, str]]:
    return [
        {"value": one.key, "label": f"{one.label} ({shown_unit(one.unit)})"}
        for one in PLAN_CHANNELS
        if one.gather == "sum"
    ]


def _number(
    name: str, label: str, value: float | str, least: float, most: float, *, wait: bool = True
) -> dmc.NumberInput:
    """A figure; with `wait` it is taken when the typing has stopped, for tables that follow it."""
    pause = WAIT_MS if wait else False
    return dmc.NumberInput(id=name, label=label, value=value, min=least, max=most, debounce=pause, hideControls=True)


def limit_form(people: list[dict[str, str]], first: str) -> list[Any]:
    """What is agreed, and fields for another amount; `first` is the day from which it would hold."""
    until = choose_day(LIMIT_UNTIL, "Until, empty for open", None)
    until.clearable = True
    return [
        dcc.Store(id=CHANGED, data=0),
        html.Div(id=LIMITS),
        html.Details(
            [
                html.Summary("Agree on another amount"),
                html.Div(
                    [
                        choose_one(LIMIT_WHO, "Athlete", people, None, search=True),
                        choose_one(LIMIT_KIND, "Kind of work", _kinds(), None, search=True),
                        _number(LIMIT_MOST, "At most, a week", "", 0, 10_000_000, wait=False),
                        choose_day(LIMIT_FROM, "From", first),
                        until,
                        dmc.TextInput(id=LIMIT_WITH, label="Agreed with", value=""),
                    ],
                    className="programme-fields",
                ),
                dmc.Button("Keep it", id=AGREE, variant="default"),
            ]
        ),
        html.Div(id=SAID, role="status"),
    ]


def season_form(weeks: list[str]) -> list[Any]:
    """A ramp of one kind of work; it begins with the planned week, or with one of the last on record."""
    starts = [{"value": PLANNED, "label": "the planned week"}]
    starts += [{"value": week, "label": week_title(week)} for week in reversed(weeks[-WEEKS_BACK:])]
    return [
        html.Div(
            [
                choose_one(KIND, "Kind of work", _kinds(), "tonnage", search=True, allowDeselect=False),
                choose_one(FROM, "Beginning with", starts, PLANNED, allowDeselect=False),
                _number(START, "Amount of the first week", 10000, 0, 10_000_000),
                _number(CHANGE, "Change from week to week, in percent", 5, -50, 50),
                _number(LONG, "Number of weeks", 8, 1, 52),
                _number(LIGHTER, "Weeks from one lighter week to the next, 0 for none", 4, 0, 12),
            ],
            className="programme-fields",
        ),
        html.Div(
            [
                dmc.Button("Keep this ramp", id=KEEP, variant="default"),
                dmc.Button("Keep the planned week as it is meant", id=KEEP_WEEK, variant="default"),
                dmc.Button("Save weeks and named days as calendar file", id=OUT, variant="default"),
            ],
            className="answers",
        ),
        dcc.Download(id=OUT_FILE),
        html.Div(id=AHEAD, role="status"),
        html.H3("Events from a calendar"),
        dcc.Upload(
            html.Div([html.Strong("Drop a calendar file here"), html.Span(" or press to choose one")]),
            id=EVENTS,
            multiple=False,
            max_size=2_000_000,
            className="upload calendar",
            className_active="upload calendar active",
            className_reject="upload calendar reject",
        ),
        html.Div(id=SEASON_SAID, role="status"),
    ]
