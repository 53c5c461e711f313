"""Coverage of a week: who is not logged, and how many days."""

from __future__ import annotations

from typing import Any

import polars as pl
from dash import html

from keelmark_dash.address import Address
from keelmark_dash.parts.aria import aria
from keelmark_dash.parts.link import link
from keelmark_dash.parts.panel import panel
from keelmark_dash.words import count, week_title

__all__ = ["coverage_panel"]

_SHOWN = 24


def coverage_panel(coverage: pl.DataFrame, address: Address, *more: Any) -> html.Section:
    """Who has days without a record in the chosen week, fewest known days first; `more` stands below."""
    missing = coverage.filter(pl.col("known_days") < 7)
    whole = coverage.height - missing.height
    title = f"{week_title(address.week)}: {whole} of {count(coverage.height, 'athlete')} with every day on record"
    parts: list[Any] = []
    if missing.is_empty():
        parts.append(html.P("Nobody is missing."))
    else:
        parts.append(html.P("A day without a record is not a rest day: figures of these athletes are left open."))
        people = [_who(row, address) for row in missing.iter_rows(named=True)]
        parts.append(html.Ul(people[:_SHOWN], className="coverage"))
        if len(people) > _SHOWN:
            rest = html.Ul(people[_SHOWN:], className="coverage")
            parts.append(html.Details([html.Summary(f"Show the rest ({len(people) - _SHOWN})"), rest]))
    return panel("squad-coverage", title, *parts, *more)


def _who(row: dict[str, object], address: Address) -> html.Li:
    known = int(str(row["known_days"]))
    drawn = '<span class="day known"></span>' * known + '<span class="day"></span>' * (7 - known)
    dots = html.Span(className="days", **aria(hidden="true"), **{"data-drawing": drawn})
    said = "no day on record" if known == 0 else f"{count(7 - known, 'day')} not on record"
    name = link(str(row["name"]), address.link("/log", athlete=row["athlete_id"]))
    return html.Li([name, dots, html.Span(said, className="soft")])
