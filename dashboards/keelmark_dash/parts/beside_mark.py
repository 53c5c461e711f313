"""Beside the mark: a second way of reckoning, and what was new in the week."""

from __future__ import annotations

from typing import Any

from dash import Dash, Input, Output, dcc, html

from keelmark.contracts.channels import Channel
from keelmark_dash import ids
from keelmark_dash.desk import Desk, SeasonView
from keelmark_dash.page import Visit
from keelmark_dash.parts.panel import panel
from keelmark_dash.readings import athlete_weeks, week_row
from keelmark_dash.words import amount, channel_of, number

__all__ = ["beside_mark", "register_beside_mark"]

PLACE = ids.named(ids.ATHLETE, "beside-place")
PLACE_OF = ids.named(ids.ATHLETE, "beside-of")

SHARE = 0.05
"""Share of weeks above the interval of the second reckoning."""
_ALONE = (
    "It knows this athlete's weeks alone and takes no account of the squad; the marks above are the ones that count."
)


def beside_mark(here: Visit) -> list[Any]:
    """The place of the panel, filled when the rest of the page stands: the second reckoning takes a while."""
    shown = {"athlete": here.address.athlete, "week": here.address.week, "channel": here.address.channel}
    return [dcc.Store(id=PLACE_OF, data=shown), html.Div(id=PLACE, className="beside-place")]


def register_beside_mark(app: Dash, desk: Desk) -> None:
    """The panel is filled once the rest of the page stands."""

    @app.callback(Output(PLACE, "children"), Input(PLACE_OF, "data"))
    def _reckon(shown: dict[str, str]) -> Any:
        return _panel(desk.season(), shown["athlete"], shown["week"], shown["channel"])


def _panel(season: SeasonView, athlete: str, week: str, key: str) -> list[Any]:
    """Nothing where there is neither a second reckoning nor anything new."""
    channel = channel_of(key)
    row = week_row(athlete_weeks(season, athlete, key), week)
    found = season.second_opinion(athlete, week, key, SHARE)
    new = season.new_work(athlete, week)
    inside: list[Any] = []
    if found is not None and row is not None:
        inside += [html.P(_reckoned(found, row, channel)), html.P(_ALONE, className="soft")]
    if new:
        inside += [html.H3("New in this week"), html.Ul([html.Li(words) for words in new])]
    return [panel(ids.named(ids.ATHLETE, "beside"), "Beside the mark", *inside)] if inside else []


def _reckoned(found: Any, row: dict[str, Any], channel: Channel) -> str:
    expected, high = amount(found.expected, channel.unit), amount(found.high, channel.unit)
    text = (
        f"Reckoned a second way, as a level that drifts from week to week, the {found.weeks} known weeks before lead "
        f"one to expect {expected}, and in nine weeks of ten {number(found.low, channel.unit)} to {high}."
    )
    if row["value"] is None:
        return text
    if row["value"] > found.high:
        return f"{text} This week lies above that too." if _above(row) else f"{text} This week lies above that."
    if row["value"] < found.low:
        return f"{text} This week lies below that."
    return f"{text} This week lies inside that" + (", though above its mark." if _above(row) else ".")


def _above(row: dict[str, Any]) -> bool:
    return row["place"] in ("above", "well_above")
