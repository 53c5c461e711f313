"""The form for a session: the text as it was written, the day, who came, what they scored."""

from __future__ import annotations

from datetime import date
from typing import Any

import dash_mantine_components as dmc
from dash import dcc, html

from keelmark_dash import ids
from keelmark_dash.parts.fields import choose_day, choose_one

__all__ = [
    "DAY", "GRID", "GROUP", "LONGEST_TEXT", "MINUTES", "OWN", "READING", "RESULT", "SAID", "SAVE", "SESSION", "TEXT",
    "whiteboard_form",
]  # fmt: skip

TEXT, READING, DAY, SESSION, MINUTES, RESULT, GROUP, GRID, OWN, SAVE, SAID = (
    ids.named(ids.LOG, f"wb-{part}")
    for part in ("text", "reading", "day", "session", "minutes", "result", "group", "grid", "own", "save", "said")
)
LONGEST_TEXT = 20_000
_WAIT_MS = 350
_EXAMPLE = "A) Back squat 5x5 @ 75%\nB) 12 min AMRAP\n10 pull-ups\n12 box jumps 60/50 cm\n200 m run"


def whiteboard_form(groups: list[str], grid: list[Any], today: date) -> html.Div:
    """Text and its reading side by side, then one line of facts about the session, then the grid."""
    every = [{"value": "", "label": "Everybody"}, *({"value": group, "label": group} for group in groups)]
    return html.Div(
        [
            html.Div(
                [
                    dmc.Textarea(
                        id=TEXT, label="The text of the session, as it was written", placeholder=_EXAMPLE, value="",
                        autosize=True, minRows=8, maxRows=24, debounce=_WAIT_MS, spellCheck=False, className="wb-text",
                    ),
                    html.Div(html.P("What is read from it appears here while you type.", className="soft"),
                             id=READING, className="wb-reading"),
                ],
                className="wb-columns",
            ),
            html.Div(
                [
                    choose_day(DAY, "Day", today.isoformat()),
                    dmc.TextInput(id=SESSION, label="Session, if there are several", value="", autoComplete="off"),
                    dmc.TextInput(id=MINUTES, label="Minutes, in all", value="", autoComplete="off"),
                    dmc.TextInput(id=RESULT, label="Result, the same for all", value="", autoComplete="off"),
                    choose_one(GROUP, "Who came", every, "", allowDeselect=False),
                ],
                className="wb-facts",
            ),
            html.P("Everybody of the group is ticked. Type results and exceptions only: loads (h heavier, l lighter), "
                   "version (s scaled, or a swap such as run -> row), rating. Enter or the arrow keys go from line to "
                   "line, Tab from field to field, Ctrl and Enter store.", className="soft"),
            html.Div(grid, id=GRID, className="wb-grid-place"),
            html.Div(id=OWN, className="wb-own", role="status"),
            html.Div(dmc.Button("Store this session", id=SAVE), className="answers"),
            dcc.Loading(html.Div(id=SAID, role="status"), type="dot", delay_show=600),
        ],
        className="wb-form",
    )  # fmt: skip
