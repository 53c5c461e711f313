"""Programme, everybody's week against their own marks, and one athlete's week if something were otherwise."""

from __future__ import annotations

from typing import Any

from dash import Dash, Input, Output, State, html

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark_dash.desk import Desk
from keelmark_dash.parts.plan_week import plan_squad, plan_what_if
from keelmark_dash.parts.programme_fields import BOARDS, DAYS, READER, SQUAD, TEXT, VERSION, WHAT_IF
from keelmark_dash.parts.programme_forms import CHANGED

__all__ = ["register"]


def register(app: Dash, desk: Desk) -> None:
    """What the week does to everybody."""

    @app.callback(Output(SQUAD, "children"), Input(TEXT, "value"), Input(CHANGED, "data"))
    def _squad(text: str | None, _changed: int) -> Any:
        plan = desk.squad.plan(text or "")
        if not plan.week.sessions:
            return html.P("Nothing is written yet.")
        agreed = [
            f"{plan.person(one.athlete_id).name}: {CHANNEL_BY_KEY[one.channel].label.lower()} at most {one.most:g}"
            for one in plan.limits
        ]
        told = [html.P(f"Agreed for this week: {'; '.join(agreed)}.")] if agreed else []
        return [*plan_squad(plan, plan.projection()), *told]

    @app.callback(Output(DAYS, "value"), Input(READER, "value"), State(TEXT, "value"))
    def _own_days(reader: str, text: str | None) -> Any:
        return [str(day) for day in sorted(desk.squad.plan(text or "").person(reader).days)]

    @app.callback(
        Output(WHAT_IF, "children"),
        Input(TEXT, "value"),
        Input(READER, "value"),
        Input(DAYS, "value"),
        Input(VERSION, "value"),
        State(BOARDS, "data"),
    )
    def _what_if(text: str | None, reader: str, days: list[str], version: str, boards: dict[str, Any]) -> Any:
        plan = desk.squad.plan(text or "")
        if not plan.week.sessions:
            return None
        own = (boards or {}).get(version, {})
        usual, changed = plan.what_if(reader, days=[int(day) for day in days], texts=own)
        return plan_what_if(plan.person(reader).name, usual, changed)
