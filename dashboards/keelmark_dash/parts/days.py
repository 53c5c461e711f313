"""The days of a week by athlete: trained, at rest, ill, travelling, away, or without a record."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import dash_mantine_components as dmc
from dash import html

from keelmark.contracts.words import DAY_STATE_WORDS
from keelmark_dash import ids
from keelmark_dash.parts.fields import choose_day, choose_one, choose_some
from keelmark_dash.parts.table import table
from keelmark_dash.readings import PersonDays
from keelmark_dash.words import day_words, week_dates, week_monday, week_title

__all__ = ["STATES_TO_SAY", "day_form", "day_table", "saved_words"]

STATES_TO_SAY = ("rest", "ill", "travel", "away", "restricted", "unlogged")
_SHORT = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def day_table(rows: list[PersonDays], week: str) -> html.Div:
    """One line per athlete, one cell per day; each cell says its state in words."""
    monday = week_monday(week)
    heads = [("Athlete", "text")] + [
        (f"{name} {(monday + timedelta(days=place)).day}", "day-cell") for place, name in enumerate(_SHORT)
    ]
    body = [[row.name, *(_state(state) for state in row.states)] for row in rows]
    return table(f"Days of {week_title(week).lower()}, {week_dates(week)}", heads, body)


def _state(state: str) -> html.Span:
    return html.Span(DAY_STATE_WORDS[state], className=f"state {state}")


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
