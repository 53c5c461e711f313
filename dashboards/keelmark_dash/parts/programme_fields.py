"""The fields of the page Programme around the text, with the ids that callbacks speak to."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
from dash import dcc, html

from keelmark.contracts.channels import CHANNEL_BY_KEY, OPPOSING_CHANNELS
from keelmark.plan import DAY_NAMES, SENSITIVITY
from keelmark_dash import ids
from keelmark_dash.parts.fields import choose_one
from keelmark_dash.parts.progress import progress
from keelmark_dash.programme_words import MEANT, PATTERN_WORDS, SENSITIVITY_WORDS, SPAN_WORDS, WRITING

__all__ = [
    "AFTER", "BALANCE", "BOARDS", "CALENDAR", "CLASHES", "COMES", "DAYS", "EXAMPLE_BUTTON", "EXPLAINED", "FILE",
    "FOUND", "HOW_MANY", "LOOK", "MENDED", "PATTERN", "READER", "SENSITIVE", "SESSION", "SPAN", "SQUAD", "TEXT",
    "VERSION", "WAIT_MS", "WHAT_IF", "balance_fields", "intent_of", "readers", "sensitivity_field", "session_field",
    "version_fields", "what_if_fields", "writing",
]  # fmt: skip

WAIT_MS = 350


def _id(part: str) -> str:
    return ids.named(ids.PROGRAMME, part)


TEXT, EXAMPLE_BUTTON, READER, CALENDAR, FILE = map(_id, ("text", "example", "reader", "calendar", "file"))
COMES, BALANCE, CLASHES, SQUAD, MENDED = map(_id, ("comes", "balance", "clashes", "squad", "mended"))
SPAN, PATTERN, SENSITIVE = map(_id, ("span", "pattern", "sensitive"))
DAYS, VERSION, WHAT_IF, BOARDS = map(_id, ("days", "version", "what-if", "boards"))
LOOK, HOW_MANY, FOUND, SESSION, EXPLAINED = map(_id, ("look", "how-many", "found", "session", "explained"))
AFTER = _id("after")


def readers(squad: Any) -> list[dict[str, str]]:
    """For whom the week is shown: everybody on record, or two reference athletes."""
    return [{"value": one.athlete_id, "label": one.name} for one in squad.plan("").persons]


def writing(offered: list[dict[str, str]]) -> list[Any]:
    """The text, an example, the calendar file, and for whom the figures are."""
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
        choose_one(
            READER, "Work it out for", offered, offered[0]["value"] if offered else None, search=True,
            allowDeselect=False,
        ),
    ]  # fmt: skip


def sensitivity_field() -> Any:
    """How soon a clash is named."""
    data = [{"value": key, "label": SENSITIVITY_WORDS[key]} for key in SENSITIVITY]
    return choose_one(SENSITIVE, "Which clashes to name", data, "usual", allowDeselect=False)


def balance_fields() -> list[Any]:
    """Over how long, on which days, and what is meant."""
    spans = [{"value": key, "label": words} for key, words in SPAN_WORDS.items()]
    patterns = [{"value": key, "label": words} for key, words in PATTERN_WORDS.items()]
    meant = [{"value": f"{ratio:.6g}", "label": words} for words, ratio in MEANT.items()]
    fields = [
        choose_one(ids.each(ids.PROGRAMME, "meant", at), _pair(one, other), meant, "0", allowDeselect=False)
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
    """Other days and another version for one athlete, and what comes of them."""
    boxes = [dmc.Checkbox(label=name, value=str(day)) for day, name in enumerate(DAY_NAMES)]
    return [
        html.H3("What if"),
        html.P("For the athlete chosen beside the text: leave a day out, or take a version.", className="soft"),
        html.Div(
            [
                dmc.CheckboxGroup(html.Div(boxes, className="day-boxes"), id=DAYS, label="Comes on", value=[]),
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
        progress(ids.PROGRAMME, "versions", "How far the search for versions is"),
        html.Div(id=FOUND, role="status"),
    ]


def session_field() -> Any:
    """Which session is explained."""
    return choose_one(SESSION, "Session", [], None, placeholder="Choose one")


def intent_of(meant: list[str]) -> dict[tuple[str, str], float]:
    """Intended ratios from the fields of the pairs; a pair of which nothing is meant is left out."""
    ratios = zip(OPPOSING_CHANNELS, map(float, meant), strict=True)
    return {(one, other): ratio for (one, other, _), ratio in ratios if ratio > 0}
