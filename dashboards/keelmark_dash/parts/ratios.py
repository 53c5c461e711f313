"""Ratios and changes as descriptions, or the reason why there is none."""

from __future__ import annotations

from typing import Any

from dash import html

from keelmark_dash.parts.table import table
from keelmark_dash.words import number, percent

__all__ = ["ratio_table"]

_RATIOS = (
    ("ratio_uncoupled", "Last 7 days to the 21 days before them"),
    ("ratio_coupled", "Last 7 days to the last 28 days"),
    ("ratio_ewma", "The same with older days fading out"),
)

_MULTIPLE = 2.0
"""From this rise on, three times as much, a multiple is told in place of a percentage."""


_DRAWN = (
    "Days without a record are filled in many times over. What the group did that day is used, and this athlete's own "
    "days. The range in brackets holds nine in ten of the results."
)


def ratio_table(row: dict[str, Any]) -> html.Div:
    """Ratios, week-on-week change and monotony of one week; a withheld ratio gives way to its reason."""
    lines: list[list[str]] = []
    if row["gate"]:
        lines.append(["Ratios of the last days to the weeks before", f"None: {row['gate']}"])
    else:
        lines += [[words, _with_ends(row, key)] for key, words in _RATIOS]
    lines.append(["This week against the week before", _change(row["change"])])
    lines.append(["Monotony: mean day over the spread of days", _with_ends(row, "monotony")])
    lines.append(["Strain: the week's amount times its monotony", _with_ends(row, "strain")])
    words = "They describe change. A high or low figure is neither good nor bad by itself."
    if any(row.get(f"{key}_low") is not None for key in ("acute", "chronic", "monotony")):
        words += f" {_DRAWN}"
    note = html.P(words, className="soft")
    return html.Div([table("How this week compares", [("Compared", "wrap"), ("Figure", "figure")], lines), note])


def _change(share: float | None) -> str:
    return f"{number(1 + share)} times as much" if share is not None and share >= _MULTIPLE else percent(share)


def _with_ends(row: dict[str, Any], key: str) -> str:
    """A figure, with the range that missing days leave it."""
    value, low, high = row[key], row.get(f"{key}_low"), row.get(f"{key}_high")
    if value is None:
        return "not known"
    return number(value) if low is None or high is None else f"{number(value)} ({number(low)} to {number(high)})"
