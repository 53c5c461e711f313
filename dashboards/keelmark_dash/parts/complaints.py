"""An athlete's complaints in words, and what was decided about each of them."""

from __future__ import annotations

from datetime import date
from typing import Any

import dash_mantine_components as dmc
import polars as pl
from dash import MATCH, Dash, Input, Output, State, ctx, html, no_update

from keelmark.contracts.errors import KeelmarkError
from keelmark.contracts.words import sentence
from keelmark.health import area_label
from keelmark.health.words import COMPLAINT_OPTIONS
from keelmark_dash import ids
from keelmark_dash.address import Address
from keelmark_dash.check_in_words import episode_words
from keelmark_dash.desk import Desk
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark
from keelmark_dash.words import day_words

__all__ = ["complaints", "register_complaints"]

_PARTS = ("option", "reason", "owner", "view", "review", "save", "saved")


def complaints(episodes: pl.DataFrame, decided: pl.DataFrame, address: Address, *, may_decide: bool = True) -> html.Ul:
    """Complaints, the latest first, each with its last decision and, for those who may, a form for another.

    Parameters
    ----------
    episodes : DataFrame
        EPISODE table of the athlete.
    decided : DataFrame
        COMPLAINT_DECISION table of the athlete.
    address : Address
        Names athlete and week, which the form carries in its keys.
    """
    last = {(row["area"], row["first"]): row for row in decided.iter_rows(named=True)}
    items = [
        html.Li(
            [
                html.P([html.Strong(area_label(row["area"])), f": {episode_words(row)}."]),
                *_so_far(last.get((row["area"], row["first"]))),
                *(
                    [_form(f"{address.athlete}|{row['area']}|{row['first']}|{address.week}", area_label(row["area"]))]
                    if may_decide
                    else []
                ),
            ]
        )
        for row in episodes.sort("first", descending=True).iter_rows(named=True)
    ]
    return html.Ul(items, className="complaint-list")


def _so_far(decision: dict[str, Any] | None) -> list[html.P]:
    if decision is None:
        return []
    said = [
        sentence(decision["option"]),
        f"Why: {sentence(decision['reason'])}" if decision["reason"] else "",
        f"{decision['owner']} sees to it." if decision["owner"] else "",
        f"Looked at again on {day_words(decision['review_date'])}." if decision["review_date"] else "",
        f"The athlete says: “{decision['athlete_view']}”" if decision["athlete_view"] else "",
    ]
    return [html.P([html.Strong("Decided: "), " ".join(part for part in said if part)], className="decided")]


def _form(key: str, area: str) -> html.Details:
    named = {part: ids.each(ids.CHECK_INS, part, key) for part in _PARTS}
    options = {"label": "What is decided", "data": list(COMPLAINT_OPTIONS), "value": None, "placeholder": "Choose one"}
    form = html.Div(
        [
            dmc.Select(id=named["option"], **options),
            dmc.TextInput(id=named["reason"], label="Why", value=""),
            dmc.TextInput(id=named["owner"], label="Who sees to it", value=""),
            dmc.Textarea(id=named["view"], label="What the athlete says", value="", autosize=True, minRows=2),
            dmc.DateInput(
                id=named["review"], label="Looked at again on", value=None, valueFormat="D MMM YYYY", clearable=False
            ),
            dmc.Button("Record the decision", id=named["save"]),
            html.Div(id=named["saved"]),
        ],
        className="decision-form",
    )
    return html.Details([html.Summary(f"Record a decision about the {area.lower()}"), form], className="decision")


def register_complaints(app: Dash, desk: Desk) -> None:
    """Keep a decision about a complaint."""

    def named(part: str) -> dict[str, object]:
        return ids.each(ids.CHECK_INS, part, MATCH)

    @app.callback(
        Output(named("saved"), "children"),
        Input(named("save"), "n_clicks"),
        State(named("option"), "value"),
        State(named("reason"), "value"),
        State(named("owner"), "value"),
        State(named("view"), "value"),
        State(named("review"), "value"),
        prevent_initial_call=True,
    )
    def _decide(pressed: int | None, option: str | None, reason: str, owner: str, view: str, review: str | None) -> Any:
        if not pressed or not ctx.triggered_id:
            return no_update
        if not option:
            return remark("Choose what is decided first.", tone="refused")
        athlete, area, first, week = ctx.triggered_id["key"].split("|")
        day = date.fromisoformat(review[:10]) if review else None
        try:
            desk.squad.decide_on_complaint(
                athlete,
                area,
                date.fromisoformat(first),
                week,
                option=option,
                reason=reason.strip() or None,
                owner=owner.strip() or None,
                athlete_view=view.strip() or None,
                review_date=day,
            )
        except KeelmarkError as error:
            return refusal(error)
        looked_at = f" It is looked at again on {day_words(day)}." if day else ""
        return remark(f"Recorded: {option}.{looked_at}", tone="done")
