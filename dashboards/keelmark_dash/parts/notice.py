"""A notice as a card: what was done, the usual range, what made it, what is not known, what could be done."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
from dash import html

from keelmark_dash import ids
from keelmark_dash.address import Address
from keelmark_dash.parts.link import link
from keelmark_dash.parts.place import place

__all__ = ["notice_card"]


def notice_card(notice: dict[str, Any], address: Address) -> html.Article:
    """One notice with its two answers and the form for a decision."""
    key = notice["notice_id"]
    title = f"notice-{notice['rank']}"
    rows = address.link("/athlete", athlete=notice["athlete_id"], week=notice["week"], channel=notice["channel"])
    return html.Article(
        [
            html.H3(notice["headline"], id=title),
            html.P(place(notice["place"])),
            html.P(notice["usual"]),
            html.H4("What made it"),
            html.Ol([html.Li(words) for words in notice["contributors"]]),
            html.P(link("Walk back to the rows", rows, className="walk")),
            html.H4("What is not known"),
            html.P(notice["not_known"]),
            html.H4("What could be done"),
            html.Ul([html.Li(words) for words in notice["options"]]),
            html.P(notice["how_often"], className="soft"),
            html.P(notice["scope"], className="scope"),
            _answers(key),
            _decision(key, notice["options"]),
        ],
        className=f"notice {notice['place']}",
        **{"aria-labelledby": title},
    )


def _answers(key: str) -> html.Div:
    return html.Div(
        [
            dmc.Button("Useful", id=ids.each(ids.SQUAD, "useful", key), variant="default"),
            dmc.Button("Not useful", id=ids.each(ids.SQUAD, "not-useful", key), variant="default"),
            html.Span(id=ids.each(ids.SQUAD, "answered", key), role="status", className="soft"),
        ],
        className="answers",
    )


def _decision(key: str, options: list[str]) -> html.Details:
    named = {part: ids.each(ids.SQUAD, part, key) for part in ("option", "owner", "view", "review", "save", "saved")}
    form = html.Div(
        [
            dmc.Select(id=named["option"], label="What is decided", data=list(options), value=None,
                       placeholder="Choose one"),
            dmc.TextInput(id=named["owner"], label="Who sees to it", value=""),
            dmc.Textarea(id=named["view"], label="What the athlete says", value="", autosize=True, minRows=2),
            dmc.DateInput(id=named["review"], label="Looked at again on", value=None, valueFormat="D MMM YYYY",
                          clearable=False),
            dmc.Button("Record the decision", id=named["save"]),
            html.Div(id=named["saved"], role="status"),
        ],
        className="decision-form",
    )  # fmt: skip
    return html.Details([html.Summary("Record a decision"), form], className="decision")
