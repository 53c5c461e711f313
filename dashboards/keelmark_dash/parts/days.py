"""The days of a week by athlete: trained, at rest, ill, travelling, away, or without a record."""

from __future__ import annotations

import json
from datetime import date, timedelta
from typing import Any

import dash_mantine_components as dmc
from dash import html

from keelmark.contracts.words import DAY_STATE_WORDS
from keelmark_dash import ids
from keelmark_dash.parts.aria import aria
from keelmark_dash.parts.fields import choose_day, choose_one, choose_some
from keelmark_dash.parts.table import table
from keelmark_dash.readings import PersonDays
from keelmark_dash.words import day_words, week_dates, week_monday, week_title

__all__ = ["KEYS_SAID", "STATES_TO_SAY", "day_form", "day_table", "saved_words"]

STATES_TO_SAY = ("rest", "ill", "travel", "away", "restricted", "partly", "unlogged")
_KEYS = dict(zip("ritalpn", STATES_TO_SAY, strict=True))
KEYS_SAID = (
    "Or choose a day in the calendar and press "
    + ", ".join(f"{key} for {DAY_STATE_WORDS[state]}" for key, state in _KEYS.items())
    + ". The arrow keys go from day to day, and Enter goes through the choices."
)
"""How the calendar is written in from the keyboard."""
_SHORT = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def day_table(rows: list[PersonDays], week: str) -> html.Div:
    """One line per athlete, one cell per day; each cell says its state in words."""
    monday = week_monday(week)
    heads = [("Athlete", "text")] + [
        (f"{name} {(monday + timedelta(days=place)).day}", "day-cell") for place, name in enumerate(_SHORT)
    ]
    body = [
        [row.name, *(_day(row, monday + timedelta(days=place), state) for place, state in enumerate(row.states))]
        for row in rows
    ]
    open_days = [cell for line in body for cell in line if isinstance(cell, html.Button)]
    for cell in open_days[1:]:
        cell.tabIndex = -1
    shown = table(f"Days of {week_title(week).lower()}, {week_dates(week)}", heads, body)
    words = json.dumps({key: [state, DAY_STATE_WORDS[state]] for key, state in _KEYS.items()})
    return html.Div(shown, className="day-calendar", **{"data-keys": words})


def _day(row: PersonDays, day: date, state: str) -> Any:
    """A day of training stands; any other can be written in."""
    words = DAY_STATE_WORDS[state]
    if state in ("trained", "partly"):
        return html.Span(words, className=f"state {state}")
    told: dict[str, Any] = {"data-who": row.athlete_id, "data-day": day.isoformat(), "data-state": state}
    label = aria(label=f"{row.name}, {day_words(day)}: {words}")
    return html.Button(words, type="button", className=f"state {state}", **told, **label)


def day_form(people: list[tuple[str, str]], week: str, athlete: str) -> html.Div:
    """Say what is known of days without training; `no record` takes it back."""
    monday = week_monday(week)
    states = [{"value": state, "label": DAY_STATE_WORDS[state]} for state in STATES_TO_SAY]
    chosen = [key for key, _ in people if key == athlete]
    return html.Div(
        [
            choose_some(
                ids.named(ids.LOG, "who"),
                "Who",
                [{"value": key, "label": name} for key, name in people],
                chosen,
                placeholder="Choose one or more",
            ),
            choose_day(ids.named(ids.LOG, "from"), "First day", monday.isoformat()),
            choose_day(ids.named(ids.LOG, "to"), "Last day", monday.isoformat()),
            choose_one(ids.named(ids.LOG, "state"), "What is known", states, None, placeholder="Choose one"),
            dmc.Button("Save these days", id=ids.named(ids.LOG, "save-days")),
            html.Div(id=ids.named(ids.LOG, "days-said"), role="status", className="wide"),
        ],
        className="day-form",
    )


def saved_words(names: list[str], first: Any, last: Any, state: str) -> str:
    """What was saved, in one sentence."""
    who = names[0] if len(names) == 1 else f"{len(names)} athletes"
    when = day_words(first) if first == last else f"{day_words(first)} to {day_words(last)}"
    return f"Saved for {who}: {when}, {DAY_STATE_WORDS[state]}."
