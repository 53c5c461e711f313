"""How an uploaded file is read where it leaves something open: the decimal mark, the order of dates, the sheet."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
from dash import html

from keelmark.ingest import LogOptions
from keelmark_dash import ids
from keelmark_dash.parts.fields import choose_one

__all__ = ["DECIMAL", "ORDER", "SHEET", "options_chosen", "upload_options"]

DECIMAL, ORDER, SHEET = (ids.named(ids.LOG, part) for part in ("decimal", "order", "sheet"))
_AS_WRITTEN = {"value": "", "label": "as the file shows"}
_DECIMALS = [
    _AS_WRITTEN,
    {"value": "comma", "label": "comma, as in 12,5"},
    {"value": "point", "label": "point, as in 12.5"},
]
_ORDERS = [
    _AS_WRITTEN,
    {"value": "day", "label": "day first: 31/12/2026"},
    {"value": "month", "label": "month first: 12/31/2026"},
]


def upload_options(quiet: str) -> html.Details:
    """Fields that say how to read a file; a change reads the file in view again. `quiet` is the id of that panel."""
    return html.Details(
        [
            html.Summary("How to read the file"),
            html.Div(
                [
                    choose_one(DECIMAL, "Decimal mark", _DECIMALS, "", allowDeselect=False),
                    choose_one(ORDER, "Order of dates", _ORDERS, "", allowDeselect=False),
                    dmc.TextInput(id=SHEET, label="Sheet of a workbook", value="", debounce=500, autoComplete="off"),
                ],
                className="wb-facts",
            ),
            html.P(["A change reads the file in view again. What a day without a record means is ",
                    html.A("chosen below", href=f"#{quiet}-title"), "."], className="soft"),
        ],
        className="upload-options",
    )  # fmt: skip


def options_chosen(decimal: str | None, order: str | None, sheet: str | None) -> LogOptions:
    """The options that the fields say."""
    given: dict[str, Any] = {"decimal": decimal or None, "sheet": (sheet or "").strip() or None}
    return LogOptions(day_first={"day": True, "month": False}.get(order or ""), **given)
