"""The controls that change the address: kind of work, week, group, athlete, length of the strip."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
from dash import html

from keelmark.contracts.channels import CHANNELS
from keelmark_dash import ids
from keelmark_dash.address import WEEK_CHOICES, Address
from keelmark_dash.parts.aria import aria
from keelmark_dash.parts.fields import choose_one
from keelmark_dash.words import unit_beside, week_dates, week_title

__all__ = [
    "athlete_control",
    "channel_control",
    "controls",
    "group_control",
    "show_control",
    "week_control",
    "weeks_control",
]


def controls(*fields: Any) -> html.Div:
    """The row of controls above a page's figures."""
    return html.Div(list(fields), className="controls", role="group", **aria(label="What this page shows"))


def _select(part: str, label: str, data: list[Any], value: str, *, search: bool = False) -> dmc.Select:
    return choose_one(
        ids.control(part), label, data, value, search=search, allowDeselect=False, className=f"control {part}"
    )


def channel_control(address: Address, known: list[str]) -> dmc.Select:
    """Kinds of work that this season holds, in their groups."""
    grouped: dict[str, list[dict[str, str]]] = {}
    for channel in CHANNELS:
        if channel.key in known:
            unit = unit_beside(channel.label, channel.unit)
            label = f"{channel.label} ({unit})" if unit else channel.label
            grouped.setdefault(channel.group.capitalize(), []).append({"value": channel.key, "label": label})
    data = [{"group": group, "items": items} for group, items in grouped.items()]
    return _select("channel", "Kind of work", data, address.channel, search=True)


def week_control(address: Address, weeks: list[str]) -> dmc.Select:
    """Weeks of the season, the latest first."""
    data = [{"value": week, "label": f"{week_title(week)}, {week_dates(week)}"} for week in reversed(weeks)]
    return _select("week", "Week", data, address.week, search=True)


def group_control(address: Address, groups: list[str]) -> dmc.Select:
    """Training groups; the first entry stands for everybody."""
    data = [{"value": "all", "label": "Everybody"}, *({"value": group, "label": group} for group in groups)]
    return _select("group", "Group", data, address.group or "all")


def athlete_control(address: Address, people: list[tuple[str, str]]) -> dmc.Select:
    """Athletes by name."""
    data = [{"value": key, "label": name} for key, name in people]
    return _select("athlete", "Athlete", data, address.athlete, search=True)


def weeks_control(address: Address) -> dmc.Select:
    """How many weeks the strip shows."""
    data = [{"value": str(weeks), "label": f"{weeks} weeks"} for weeks in WEEK_CHOICES]
    return _select("weeks", "Weeks shown", data, address.weeks)


def show_control(address: Address) -> dmc.Select:
    """Gauges, or the same as numbers."""
    data = [{"value": "gauges", "label": "Hull gauges"}, {"value": "numbers", "label": "Numbers"}]
    return _select("show", "Shown as", data, "numbers" if address.show == "numbers" else "gauges")
