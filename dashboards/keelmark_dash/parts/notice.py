"""A notice as a card: what was done, the usual range, what made it, what is not known, what could be done."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
from dash import html

from keelmark.contracts.words import sentence
from keelmark_dash import ids
from keelmark_dash.address import Address
from keelmark_dash.parts.aria import aria
from keelmark_dash.parts.fields import choose_day, choose_one
from keelmark_dash.parts.link import link
from keelmark_dash.parts.place import place
from keelmark_dash.words import day_words

__all__ = ["notice_card", "useful_words"]

_PARTS = ("option", "reason", "owner", "view", "review", "save", "saved")


def notice_card(
    notice: dict[str, Any], address: Address, decided: dict[str, Any], *, may_answer: bool = True
) -> html.Article:
    """One notice with what was said of it so far; for those who may, its two answers and the form for a decision."""
    key = notice["notice_id"]
    title = f"notice-{notice['rank']}"
    whole_squad = notice["athlete_id"] is None
    rows = address.link(
        "/" if whole_squad else "/athlete",
        athlete=notice["athlete_id"] or "",
        week=notice["week"],
        channel=notice["channel"],
    )
    return html.Article(
        [
            html.H3(notice["headline"], id=title),
            html.P(place(notice["place"])),
            html.Div([_what_was(notice, rows, whole_squad), _what_now(notice)], className="notice-body"),
            *_so_far(decided),
            *([_answers(key, decided.get("useful")), _decision(key, notice["options"])] if may_answer else []),
        ],
        className=f"notice {notice['place']}",
        **aria(labelledby=title),
    )


def _what_was(notice: dict[str, Any], rows: str, whole_squad: bool) -> html.Div:
    words = "See everybody's weeks of this work" if whole_squad else "Walk back to the rows"
    return html.Div(
        [
            html.P(notice["usual"]),
            html.H4("What made it"),
            html.Ol([html.Li(words) for words in notice["contributors"]]),
            html.P(link(words, rows, className="walk")),
        ]
    )


def _what_now(notice: dict[str, Any]) -> html.Div:
    return html.Div(
        [
            html.H4("What is not known"),
            html.P(notice["not_known"]),
            html.H4("What could be done"),
            html.Ul([html.Li(words) for words in notice["options"]]),
            html.P(notice["how_often"], className="soft"),
            html.P(notice["scope"], className="scope"),
        ]
    )


def _so_far(decided: dict[str, Any]) -> list[html.P]:
    if "option" not in decided:
        return []
    who = f" {decided['owner']} sees to it." if "owner" in decided else ""
    when = f" Looked at again on {day_words(decided['review_date'])}." if "review_date" in decided else ""
    why = f" Why: {sentence(decided['reason'])}" if "reason" in decided else ""
    said = f" The athlete says: “{decided['athlete_view']}”" if "athlete_view" in decided else ""
    words = f"{sentence(decided['option'])}{why}{who}{when}{said}"
    return [html.P([html.Strong("Decided: "), words], className="decided")]


def _answers(key: str, useful: bool | None) -> html.Div:
    return html.Div(
        [
            dmc.Button("Useful", id=ids.each(ids.SQUAD, "useful", key), variant="default"),
            dmc.Button("Not useful", id=ids.each(ids.SQUAD, "not-useful", key), variant="default"),
            html.Span(
                "" if useful is None else useful_words(useful),
                id=ids.each(ids.SQUAD, "answered", key),
                role="status",
                className="soft",
            ),
        ],
        className="answers",
    )


def useful_words(useful: bool) -> str:
    """What was noted of a notice."""
    return "Noted as useful." if useful else "Noted as not useful."


def _decision(key: str, options: list[str]) -> html.Details:
    named = {part: ids.each(ids.SQUAD, part, key) for part in _PARTS}
    form = html.Div(
        [
            choose_one(named["option"], "What is decided", list(options), None, placeholder="Choose one"),
            dmc.TextInput(id=named["reason"], label="Why", value=""),
            dmc.TextInput(id=named["owner"], label="Who sees to it", value=""),
            dmc.Textarea(id=named["view"], label="What the athlete says", value="", autosize=True, minRows=2),
            choose_day(named["review"], "Looked at again on", None, written="D MMM YYYY"),
            dmc.Button("Record the decision", id=named["save"]),
            html.Div(id=named["saved"], role="status"),
        ],
        className="decision-form",
    )
    return html.Details([html.Summary("Record a decision"), form], className="decision")
