"""Programme, amounts agreed with athletes: listed, kept and taken back."""

from __future__ import annotations

import datetime as dt
from typing import Any

from dash import ALL, Dash, Input, Output, State, ctx, no_update

from keelmark.contracts.display import kept_value
from keelmark.contracts.errors import KeelmarkError
from keelmark_dash import ids
from keelmark_dash.desk import Desk
from keelmark_dash.parts.plan_limits import plan_limits
from keelmark_dash.parts.programme_forms import (
    AGREE,
    CHANGED,
    LIMIT_FROM,
    LIMIT_KIND,
    LIMIT_MOST,
    LIMIT_UNTIL,
    LIMIT_WHO,
    LIMIT_WITH,
    LIMITS,
    SAID,
)
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.scope import remark
from keelmark_dash.words import channel_of

__all__ = ["register"]


def register(app: Dash, desk: Desk) -> None:
    """The list follows what is kept and taken back."""

    @app.callback(Output(LIMITS, "children"), Input(CHANGED, "data"))
    def _limits(_changed: int) -> Any:
        names = dict(desk.season().athletes.select("athlete_id", "name").iter_rows())
        return plan_limits(desk.squad.ahead.limits(), names)

    @app.callback(
        Output(CHANGED, "data", allow_duplicate=True),
        Output(SAID, "children", allow_duplicate=True),
        Input(AGREE, "n_clicks"),
        State(LIMIT_WHO, "value"),
        State(LIMIT_KIND, "value"),
        State(LIMIT_MOST, "value"),
        State(LIMIT_FROM, "value"),
        State(LIMIT_UNTIL, "value"),
        State(LIMIT_WITH, "value"),
        State(CHANGED, "data"),
        prevent_initial_call=True,
    )
    def _agree(
        pressed: int | None, who: str, kind: str, most: Any, first: str, last: str | None, whom: str, changed: int
    ) -> Any:
        if not pressed:
            return no_update, no_update
        if not who or not kind or most in (None, "") or not first:
            return no_update, remark(
                "An athlete, a kind of work, an amount and a first day are needed.", tone="refused"
            )
        try:
            desk.squad.ahead.agree(
                who,
                kind,
                kept_value(float(most), channel_of(kind).unit),
                agreed_with=whom or "",
                date_from=dt.date.fromisoformat(first[:10]),
                date_to=dt.date.fromisoformat(last[:10]) if last else None,
            )
        except KeelmarkError as error:
            return no_update, refusal(error)
        return changed + 1, remark("Kept. Look for versions again to see them hold it.", tone="done")

    @app.callback(
        Output(CHANGED, "data", allow_duplicate=True),
        Output(SAID, "children", allow_duplicate=True),
        Input(ids.each(ids.PROGRAMME, "drop-limit", ALL), "n_clicks"),
        State(CHANGED, "data"),
        prevent_initial_call=True,
    )
    def _drop_limit(pressed: list[int | None], changed: int) -> Any:
        if not any(pressed) or not ctx.triggered_id:
            return no_update, no_update
        try:
            desk.squad.ahead.withdraw_limit(str(ctx.triggered_id["key"]))
        except KeelmarkError as error:
            return no_update, refusal(error)
        return changed + 1, remark("Taken back. It stays on record.", tone="done")
