"""The weekly check-in: one tap when all is well, four short questions when it is not."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
from dash import dcc, html

from keelmark.health import AREAS, QUESTIONS
from keelmark_dash import ids
from keelmark_dash.check_in_words import ALL_WELL, BEFORE_ANSWERING, TAKE_BACK
from keelmark_dash.words import week_dates

__all__ = ["ANSWERS", "AREA", "BACK", "FOR", "SAVE", "WELL", "check_in_form"]

WELL, SAVE, BACK, AREA, FOR = (ids.named(ids.CHECK_INS, part) for part in ("well", "save", "back", "area", "for"))
ANSWERS = {question.key: ids.named(ids.CHECK_INS, question.key) for question in QUESTIONS}


def check_in_form(
    athlete_id: str, name: str, week: str, so_far: str | None, last: str | None, title: str
) -> html.Section:
    """The form for one athlete and week; `so_far` tells what stands already, `last` is the key of the last answer.

    Which questions follow the first one is settled by the style sheet, so that no answer has to travel to be asked.
    """
    first, *others = QUESTIONS
    asked = [_question(first.key, first.words, first.options, leave_out_first=True)]
    asked += [_question(question.key, question.words, question.options) for question in others]
    return html.Section(
        [
            dcc.Store(id=FOR, data={"athlete": athlete_id, "week": week, "last": last}),
            html.H2([f"How was your week, {name}? ", html.Span(week_dates(week), className="when")], id=title),
            html.P(so_far, className="decided") if so_far else None,
            dmc.Button(TAKE_BACK, id=BACK, variant="subtle", className="check-in-back") if last else None,
            html.Div(dmc.Button(ALL_WELL, id=WELL, size="lg"), className="check-in-well"),
            html.Details(
                [
                    html.Summary("Something bothered me"),
                    html.Div(
                        [_area(), *asked, dmc.Button("Save", id=SAVE, className="check-in-save")],
                        className="check-in-form",
                    ),
                ],
                className="check-in-more",
            ),
            html.P(BEFORE_ANSWERING, className="soft"),
        ],
        className="panel check-in",
        **{"aria-labelledby": title},
    )


def _area() -> dmc.Select:
    grouped: dict[str, list[dict[str, str]]] = {}
    for area in AREAS:
        grouped.setdefault(area.region, []).append({"value": area.key, "label": area.label})
    return dmc.Select(
        id=AREA,
        label="Where was it?",
        data=[{"group": region, "items": items} for region, items in grouped.items()],
        value=None,
        placeholder="Choose one",
        searchable=True,
        comboboxProps={"transitionProps": {"duration": 0}},
        className="check-in-area",
    )


def _question(key: str, words: str, options: tuple[str, ...], *, leave_out_first: bool = False) -> dmc.RadioGroup:
    shown: list[Any] = [
        dmc.Radio(label=option, value=str(place))
        for place, option in enumerate(options)
        if place or not leave_out_first
    ]
    return dmc.RadioGroup(
        html.Div(shown, className="radios"), id=ANSWERS[key], label=words, value=None, className=f"check-in-{key}"
    )
