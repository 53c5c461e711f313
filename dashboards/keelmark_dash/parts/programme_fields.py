"""The fields of the page Programme, with the ids that callbacks speak to."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
from dash import dcc, html

from keelmark.contracts.channels import CHANNEL_BY_KEY, OPPOSING_CHANNELS
from keelmark.plan import DAY_NAMES, PLAN_CHANNELS, SENSITIVITY
from keelmark_dash import ids
from keelmark_dash.parts.fields import choose_one
from keelmark_dash.programme_words import MEANT, PATTERN_WORDS, SENSITIVITY_WORDS, SPAN_WORDS, WRITING
from keelmark_dash.words import week_title

__all__ = [
    "AFTER", "AHEAD", "BALANCE", "BOARDS", "CALENDAR", "CHANGE", "CLASHES", "COMES", "DAYS", "EXAMPLE_BUTTON",
    "EXPLAINED", "FILE", "FOUND", "FROM", "HOW_MANY", "KIND", "LIGHTER", "LONG", "LOOK", "PATTERN", "PLANNED",
    "READER", "SENSITIVE", "SESSION", "SPAN", "SQUAD", "START", "TEXT", "VERSION", "WHAT_IF", "balance_fields",
    "readers", "season_fields", "sensitivity_field", "session_field", "version_fields", "what_if_fields", "writing",
]  # fmt: skip

PLANNED = "planned"
WAIT_MS = 350


def _id(part: str) -> str:
    return ids.named(ids.PROGRAMME, part)


TEXT, EXAMPLE_BUTTON, READER, CALENDAR, FILE = map(_id, ("text", "example", "reader", "calendar", "file"))
COMES, BALANCE, CLASHES, SQUAD = map(_id, ("comes", "balance", "clashes", "squad"))
SPAN, PATTERN, SENSITIVE = map(_id, ("span", "pattern", "sensitive"))
DAYS, VERSION, WHAT_IF, BOARDS = map(_id, ("days", "version", "what-if", "boards"))
LOOK, HOW_MANY, FOUND, SESSION, EXPLAINED = map(_id, ("look", "how-many", "found", "session", "explained"))
AFTER = _id("after")
KIND, FROM, START, CHANGE, LONG, LIGHTER, AHEAD = map(
    _id, ("kind", "from", "start", "change", "long", "lighter", "ahead")
)
WEEKS_BACK = 12


def season_fields(weeks: list[str]) -> list[Any]:
    """A ramp of one kind of work; it begins with the planned week, or with one of the last on record."""
    kinds = [{"value": one.key, "label": f"{one.label} ({one.unit})"} for one in PLAN_CHANNELS if one.gather == "sum"]
    starts = [{"value": PLANNED, "label": "the planned week"}]
    starts += [{"value": week, "label": week_title(week)} for week in reversed(weeks[-WEEKS_BACK:])]

    def figure(name: str, label: str, value: float, least: float, most: float) -> dmc.NumberInput:
        return dmc.NumberInput(
            id=name, label=label, value=value, min=least, max=most, debounce=WAIT_MS, hideControls=True
        )

    return [
        html.Div(
            [
                choose_one(KIND, "Kind of work", kinds, "tonnage", search=True, allowDeselect=False),
                choose_one(FROM, "Beginning with", starts, PLANNED, allowDeselect=False),
                figure(START, "Amount of the first week", 10000, 0, 10_000_000),
                figure(CHANGE, "Change from week to week, in percent", 5, -50, 50),
                figure(LONG, "Number of weeks", 8, 1, 52),
                figure(LIGHTER, "Weeks from one lighter week to the next, 0 for none", 4, 0, 12),
            ],
            className="programme-fields",
        ),
        html.Div(id=AHEAD, role="status"),
    ]


def readers(squad: Any) -> list[dict[str, str]]:
    """Who may read the board: everybody on record, or two reference athletes."""
    return [{"value": one.athlete_id, "label": one.name} for one in squad.plan("").persons]


def writing(offered: list[dict[str, str]]) -> list[Any]:
    """The text, an example, the calendar file, and who reads."""
    return [
        dmc.Textarea(
            id=TEXT,
            label="Sessions by day",
            description=WRITING,
            value="",
            debounce=WAIT_MS,
            minRows=18,
            autosize=True,
            maxRows=40,
            spellCheck=False,
            persistence=True,
            persistence_type="session",
            className="week-text",
        ),
        html.Div(
            [
                dmc.Button("Put in an example", id=EXAMPLE_BUTTON, variant="default"),
                dmc.Button("Save as calendar file", id=CALENDAR, variant="default"),
            ],
            className="answers",
        ),
        dcc.Download(id=FILE),
        html.Div(id=AFTER, role="status"),
        choose_one(READER, "Read by", offered, offered[0]["value"], search=True, allowDeselect=False),
    ]


def sensitivity_field() -> Any:
    """How soon a clash is named."""
    data = [{"value": key, "label": SENSITIVITY_WORDS[key]} for key in SENSITIVITY]
    return choose_one(SENSITIVE, "Name", data, "usual", allowDeselect=False)


def balance_fields() -> list[Any]:
    """Over how long, on which days, and what is meant."""
    spans = [{"value": key, "label": words} for key, words in SPAN_WORDS.items()]
    patterns = [{"value": key, "label": words} for key, words in PATTERN_WORDS.items()]
    meant = [{"value": f"{ratio:.6g}", "label": words} for words, ratio in MEANT.items()]
    fields = [
        choose_one(ids.each(ids.PROGRAMME, "meant", at), _pair(one, other), meant, "1", allowDeselect=False)
        for at, (one, other, _) in enumerate(OPPOSING_CHANNELS)
    ]
    return [
        html.Div(
            [
                choose_one(SPAN, "Over", spans, "week", allowDeselect=False),
                choose_one(PATTERN, "Trained on", patterns, "own", allowDeselect=False),
            ],
            className="programme-fields",
        ),
        html.Details([html.Summary("What you mean by balance"), html.Div(fields, className="programme-fields")]),
    ]


def _pair(one: str, other: str) -> str:
    return f"{CHANNEL_BY_KEY[one].label} to {CHANNEL_BY_KEY[other].label.lower()}"


def what_if_fields() -> list[Any]:
    """Days and version of the reader, and what comes of them."""
    boxes = [dmc.Checkbox(label=name, value=str(day)) for day, name in enumerate(DAY_NAMES)]
    return [
        html.H3("What if"),
        html.Div(
            [
                dmc.CheckboxGroup(
                    html.Div(boxes, className="day-boxes"), id=DAYS, label="The reader above trains on", value=[]
                ),
                choose_one(VERSION, "And does", [{"value": "A", "label": "the board"}], "A", allowDeselect=False),
            ],
            className="programme-fields wide",
        ),
        html.Div(id=WHAT_IF, role="status"),
    ]


def version_fields() -> list[Any]:
    """How many versions, and the button that looks for them."""
    counts = [{"value": str(most), "label": f"{most} at most"} for most in (2, 3, 4, 5)]
    return [
        dcc.Store(id=BOARDS, data={}),
        html.Div(
            [
                choose_one(HOW_MANY, "Versions of a session", counts, "3", allowDeselect=False),
                dmc.Button("Look for versions", id=LOOK),
            ],
            className="programme-fields",
        ),
        html.Div(id=FOUND, role="status"),
    ]


def session_field() -> Any:
    """Which session is explained."""
    return choose_one(SESSION, "Session", [], None, placeholder="Choose one")
