"""The plan after a gap: what was usual before, four weeks as shares of it, who sees to it and when it is looked at."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import dash_mantine_components as dmc
from dash import ALL, Dash, Input, Output, State, ctx, dcc, html, no_update

from keelmark.contracts.display import kept_value, shown_unit, shown_value
from keelmark.contracts.errors import KeelmarkError
from keelmark.health import ReturnPlan
from keelmark.health.return_plan import Step, Usual
from keelmark.health.words import PLAN_IS_A_PROPOSAL, gap_words
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.page import Visit
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark, scope_line
from keelmark_dash.parts.table import table
from keelmark_dash.words import amount, channel_of, day_words, number, number_within, span

__all__ = ["register_return_plan", "return_panel"]

WHOSE, SAVE, OWNER, REVIEW, NOTE, SAID = (
    ids.named(ids.ATHLETE, f"return-{part}") for part in ("whose", "save", "owner", "review", "note", "said")
)
_SHARE, _AMOUNT = "return-share", "return-amount"


def return_panel(here: Visit) -> list[html.Section]:
    """The panel of the athlete's plan, or nothing when no gap is open or lately over."""
    plan = here.squad.return_plan(here.address.athlete, here.address.week) if here.may("return_plan") else None
    if plan is None:
        return []
    title = ids.named(ids.ATHLETE, "return-title")
    kind = "settled" if plan.owner or plan.review_date else "a proposal"
    parts = [
        html.H2(["Coming back after a gap ", html.Span(kind, className="when")], id=title),
        html.P(gap_words(plan)),
        html.P(html.Strong(PLAN_IS_A_PROPOSAL)),
        *(_weeks(plan, settles=here.may("save_return_plan")) if plan.usual else [html.P(_TOO_LITTLE)]),
        *_so_far(plan),
        html.P(["Source of the shares: ", plan.source], className="soft"),
        scope_line(),
    ]
    whose = {"athlete": here.address.athlete, "week": here.address.week}
    return [
        html.Section(
            [dcc.Store(id=WHOSE, data=whose), *parts], className="panel return-plan", **{"aria-labelledby": title}
        )
    ]


_TOO_LITTLE = (
    "Fewer than four well-known weeks stand on record in the eight before the gap, so there is no usual amount to take "
    "a share of."
)


def _weeks(plan: ReturnPlan, *, settles: bool) -> list[Any]:
    heads = [("Kind of work", "text"), ("Usual before", "figure")]
    heads += [
        (f"{step.monday.day} {step.monday:%b}, {step.share * 100:.0f}\N{NO-BREAK SPACE}%", "figure")
        for step in plan.steps
    ]
    rows = []
    for key, usual in plan.usual.items():
        channel = channel_of(key)
        ends = usual.low, usual.high
        before = f"{amount(usual.amount, channel.unit, *ends)} ({span(usual.amount, *ends, channel.unit)})"
        rows.append([channel.label, before, *(_told(step, key, usual) for step in plan.steps)])
    form = html.Details([html.Summary("Change and settle the plan"), _form(plan)], className="return-form-box")
    return [
        html.P(
            "For the weeks from these Mondays on; in brackets the smallest and largest week before.", className="soft"
        ),
        table("Amounts for each week", heads, rows, hide_caption=True, stack=True),
        form if settles else html.P("A coach can change and settle this plan.", className="soft"),
    ]


def _told(step: Step, key: str, usual: Usual) -> str:
    """A week's amount: as it was set by hand, else with the digits that the weeks before leave to a share of them."""
    unit = channel_of(key).unit
    if key in step.by_hand:
        return number(step.by_hand[key], unit)
    return number_within(*(step.share * part for part in (usual.amount, usual.low, usual.high)), unit)


def _form(plan: ReturnPlan) -> html.Div:
    shares = [
        dmc.NumberInput(
            id=ids.each(ids.ATHLETE, _SHARE, place),
            label=f"Week of {_day(step.monday)}",
            value=round(step.share * 100, 1),
            min=0,
            max=150,
            suffix=" %",
        )
        for place, step in enumerate(plan.steps)
    ]
    return html.Div(
        [
            html.Fieldset([html.Legend("Share of the usual amount"), html.Div(shares, className="return-shares")]),
            html.Details([html.Summary("Set single amounts by hand"), _by_hand(plan)]),
            html.Div(
                [
                    dmc.TextInput(id=OWNER, label="Who sees to it", value=plan.owner or ""),
                    dmc.DateInput(
                        id=REVIEW,
                        label="Looked at again on",
                        value=plan.review_date.isoformat() if plan.review_date else None,
                        valueFormat="D MMM YYYY",
                        clearable=False,
                    ),
                    dmc.TextInput(id=NOTE, label="Remark", value=plan.note or ""),
                ],
                className="return-who",
            ),
            dmc.Button("Save the plan", id=SAVE),
            html.Div(id=SAID, role="status"),
        ],
        className="return-form",
    )


def _by_hand(plan: ReturnPlan) -> html.Div:
    heads = [("Kind of work", "text"), *((_day(step.monday), "figure") for step in plan.steps)]
    rows = [
        [
            f"{channel_of(key).label} ({shown_unit(channel_of(key).unit)})",
            *(
                dmc.NumberInput(
                    id=ids.each(ids.ATHLETE, _AMOUNT, f"{place}:{key}"),
                    value=_typed(step.by_hand.get(key), channel_of(key).unit),
                    placeholder=_told(replace(step, by_hand={}), key, usual),
                    min=0,
                    hideControls=True,
                    **{"aria-label": f"{channel_of(key).label}, week of {_day(step.monday)}"},
                )
                for place, step in enumerate(plan.steps)
            ),
        ]
        for key, usual in plan.usual.items()
    ]
    return html.Div(
        [
            html.P("An empty field follows the share of its week.", className="soft"),
            table("Amounts set by hand", heads, rows, hide_caption=True, stack=True),
        ]
    )


def _so_far(plan: ReturnPlan) -> list[html.P]:
    said = [f"{plan.owner} sees to it." if plan.owner else "", plan.note or ""]
    if plan.review_date:
        said.append(f"Looked at again on {day_words(plan.review_date)}.")
    words = " ".join(part for part in said if part)
    return [html.P([html.Strong("Settled. "), words], className="decided")] if words else []


def register_return_plan(app: Dash, desk: Desk) -> None:
    """Keep a plan as it was settled."""

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(SAID, "children"),
        Input(SAVE, "n_clicks"),
        State(WHOSE, "data"),
        State(ids.each(ids.ATHLETE, _SHARE, ALL), "value"),
        State(ids.each(ids.ATHLETE, _AMOUNT, ALL), "value"),
        State(ids.each(ids.ATHLETE, _AMOUNT, ALL), "id"),
        State(OWNER, "value"),
        State(REVIEW, "value"),
        State(NOTE, "value"),
        prevent_initial_call=True,
    )
    def _save(
        pressed: int | None,
        whose: dict[str, str],
        shares: list[float | str],
        amounts: list[float | str],
        keys: list[dict[str, str]],
        owner: str,
        review: str | None,
        note: str,
    ) -> Any:
        if not pressed or not ctx.triggered_id:
            return no_update, no_update
        if "" in shares or None in shares:
            return no_update, remark("Write a share for each week first.", tone="refused")
        plan = desk.squad.return_plan(whose["athlete"], whose["week"])
        if plan is None:
            return no_update, remark("No gap ends in this week, so there is no plan to keep.", tone="refused")
        try:
            desk.squad.save_return_plan(
                plan.edited(
                    amounts=_amounts(keys, amounts),
                    shares=[float(share) / 100 for share in shares],
                    owner=owner,
                    review_date=date.fromisoformat(review[:10]) if review else None,
                    note=note,
                )
            )
        except KeelmarkError as error:
            return no_update, refusal(error)
        return {"said": "The plan is kept.", "tone": "done"}, no_update


def _amounts(keys: list[dict[str, str]], amounts: list[float | str]) -> dict[tuple[int, str], float]:
    given = {}
    for key, value in zip(keys, amounts, strict=True):
        if value not in ("", None):
            place, channel = key["key"].split(":", 1)
            given[int(place), channel] = kept_value(float(value), channel_of(channel).unit)
    return given


def _typed(amount_: float | None, unit: str) -> float | str:
    return "" if amount_ is None else round(shown_value(amount_, unit), 1)


def _day(day: date) -> str:
    return day_words(day).split(" ", 1)[1]
