"""Hand-over, what came back: the slip of a physiotherapist or doctor, limits that stand, and consents to take back."""

from __future__ import annotations

import datetime as dt
from typing import Any

import dash_mantine_components as dmc
import polars as pl
from dash import ALL, Dash, Input, Output, State, ctx, html, no_update

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.display import kept_value, shown_unit
from keelmark.contracts.errors import KeelmarkError
from keelmark.plan import PLAN_CHANNELS
from keelmark.report.hand_over_words import FIELDS, PURPOSE, VERDICTS
from keelmark.service.handing_over import ReturnSlip
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.page import Region, Visit
from keelmark_dash.papers_words import NOTHING_AGREED, NOTHING_STANDS, SLIP_NOTE, SLIP_SAVED
from keelmark_dash.parts.fields import choose_day, choose_one
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.refusal import refusal

__all__ = ["SLIP", "STANDING", "WHOSE", "day_of", "register_slip"]

_NAME = ids.HAND_OVER


def _id(part: str) -> str:
    return ids.named(_NAME, part)


WHOSE = _id("whose")
"""Store that says whose page is shown, and of which week."""
VERDICT, SIGNED, FROM, UNTIL, AGAIN, HOW, SAVE, SAID = (
    _id(part) for part in ("verdict", "signed", "from", "until", "again", "how", "save", "said")
)
_KIND, _MOST, _WITHDRAW = "kind", "most", "withdraw"
_AMOUNTS = 2


def _slip(here: Visit) -> list[Any]:
    if not here.may("keep_return_slip"):
        return []
    kinds = [
        {"value": channel.key, "label": f"{channel.label} ({shown_unit(channel.unit)})"} for channel in PLAN_CHANNELS
    ]
    amounts = [
        field
        for number in range(1, _AMOUNTS + 1)
        for field in (
            choose_one(
                ids.each(_NAME, _KIND, number), f"Kind of work {number}", kinds, None, search=True, clearable=True
            ),
            dmc.NumberInput(
                id=ids.each(_NAME, _MOST, number), label=f"At most a week {number}", min=0, hideControls=True, value=""
            ),
        )
    ]
    verdicts = [dmc.Radio(label=words, value=key) for key, words in VERDICTS.items()]
    return [
        panel(
            _id("slip"),
            "What came back",
            html.P(SLIP_NOTE),
            html.Div(
                [
                    html.Div(
                        dmc.RadioGroup(
                            id=VERDICT, label="The slip says", value=None, children=dmc.Stack(verdicts, gap=0)
                        ),
                        className="wide",
                    ),
                    dmc.TextInput(id=SIGNED, label="Who wrote it", value=""),
                    choose_day(FROM, "From", dt.date.today().isoformat()),
                    choose_day(UNTIL, "To, if it says so", None),
                    choose_day(AGAIN, "Look at it again on", None),
                    dmc.Textarea(
                        id=HOW, label="Limited how, as it stands on the slip", autosize=True, minRows=2,
                        className="wide", value="",
                    ),
                    *amounts,
                ],
                className="paper-form",
            ),
            html.Div(dmc.Button("Keep the slip", id=SAVE), className="buttons"),
            html.Div(id=SAID, role="status"),
        )
    ]  # fmt: skip


def _standing(here: Visit) -> list[Any]:
    limits = here.squad.standing_limits(here.address.athlete)
    found = here.squad.consents(here.address.athlete).filter(pl.col("purpose") == PURPOSE)
    lines = [html.Li(line) for line in limits]
    return [
        panel(
            _id("limits"), "Limits that stand", html.Ul(lines) if lines else html.P(NOTHING_STANDS)
        ),
        panel(_id("consents"), "What was agreed to", _consents(found) if found.height else html.P(NOTHING_AGREED)),
    ]  # fmt: skip


def _consents(found: pl.DataFrame) -> html.Ul:
    items = []
    for row in reversed(found.rows(named=True)):
        shown = "; ".join(FIELDS.get(field, field) for field in row["fields"])
        words = f"{row['given_on'].isoformat()}, {row['given_by']} to {row['given_to']}: {shown}."
        if row["withdrawn_at"] is not None:
            items.append(html.Li([html.Span(words), html.Span("Taken back.", className="soft")]))
        else:
            button = dmc.Button(
                "Take it back", id=ids.each(_NAME, _WITHDRAW, row["consent_id"]), variant="default",
                **{"aria-label": f"Take back what was agreed to on {row['given_on']} for {row['given_to']}"},
            )  # fmt: skip
            items.append(html.Li([html.Span(words), button]))
    return html.Ul(items, className="consents")


def register_slip(app: Dash, desk: Desk) -> None:
    """Keep a slip; take a consent back."""

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Output(SAID, "children"),
        Input(SAVE, "n_clicks"),
        State(WHOSE, "data"),
        State(VERDICT, "value"),
        State(SIGNED, "value"),
        State(FROM, "value"),
        State(UNTIL, "value"),
        State(AGAIN, "value"),
        State(HOW, "value"),
        State(ids.each(_NAME, _KIND, ALL), "value"),
        State(ids.each(_NAME, _MOST, ALL), "value"),
        prevent_initial_call=True,
    )
    def _keep(
        pressed: int | None,
        whose: dict[str, str],
        verdict: str | None,
        signed: str | None,
        first: str | None,
        last: str | None,
        again: str | None,
        how: str | None,
        kinds: list[str | None],
        most: list[Any],
    ) -> Any:
        if not pressed:
            return no_update, no_update
        amounts = {
            kind: kept_value(float(amount), CHANNEL_BY_KEY[kind].unit)
            for kind, amount in zip(kinds, most, strict=True)
            if kind in CHANNEL_BY_KEY and amount not in (None, "")
        }
        slip = ReturnSlip(
            whose["athlete"], verdict or "", signed or "", day_of(first) or dt.date.today(), day_of(last),
            day_of(again), how or "", amounts,
        )  # fmt: skip
        try:
            desk.squad.keep_return_slip(slip)
        except KeelmarkError as error:
            return no_update, refusal(error)
        return {"said": SLIP_SAVED, "tone": "done"}, None

    @app.callback(
        Output(ids.WRITTEN, "data", allow_duplicate=True),
        Input(ids.each(_NAME, _WITHDRAW, ALL), "n_clicks"),
        State(WHOSE, "data"),
        prevent_initial_call=True,
    )
    def _withdraw(pressed: list[int | None], whose: dict[str, str]) -> Any:
        if not any(pressed) or not ctx.triggered_id:
            return no_update
        desk.squad.withdraw_consent(whose["athlete"], str(ctx.triggered_id["key"]))
        return {"said": "Taken back. Ask for the paper back, or for it to be destroyed.", "tone": "done"}


def day_of(written: str | None) -> dt.date | None:
    """The day of a field; None where it is empty."""
    return dt.date.fromisoformat(written[:10]) if written else None


SLIP = Region(_id("slip-form"), ("athlete",), _slip)
STANDING = Region(_id("standing"), ("athlete",), _standing)
