"""Log: the whiteboard, files and what came in, what days were, and what a day without a record means."""

from __future__ import annotations

from typing import Any

from dash import Dash, html

from keelmark.contracts.errors import KeelmarkError
from keelmark_dash import ids
from keelmark_dash.address import Address
from keelmark_dash.desk import Desk
from keelmark_dash.page import Page, Region, Visit
from keelmark_dash.pages.log_days import DAYS, days_section, quiet_section, register_days
from keelmark_dash.pages.log_file import bring_section, register_file
from keelmark_dash.pages.log_people import people_section, register_people
from keelmark_dash.pages.log_whiteboard import register_whiteboard, whiteboard_section
from keelmark_dash.parts.imports import imports_table
from keelmark_dash.parts.link import link
from keelmark_dash.parts.panel import panel
from keelmark_dash.parts.refusal import refusal
from keelmark_dash.parts.take_away import take_away
from keelmark_dash.parts.verdicts import verdict_tables
from keelmark_dash.sheets import log_sheet
from keelmark_dash.words import count

__all__ = ["PAGE"]


def layout(here: Visit) -> list[Any]:
    """The whiteboard, a file, the imports so far, the days of a week, what quiet days mean."""
    came_in = panel(ids.named(ids.LOG, "imports"), "What came in", IMPORTS.place(here))
    people, anybody = people_section(here), here.season.athletes.height > 0
    days = [days_section(here)] if here.season.weeks else []
    return [
        html.H1("The log"),
        *([] if anybody else [people]),
        whiteboard_section(here),
        bring_section(here),
        *([people] if anybody else []),
        came_in,
        *days,
        quiet_section(here.squad),
    ]


def _imports(here: Visit) -> list[Any]:
    content = [*imports_table(here.squad.imports(), here.address), take_away(ids.LOG, "imports")]
    return content + (_rows_of(here.squad, here.address) if here.address.show else [])


def _rows_of(squad: Any, address: Address) -> list[Any]:
    try:
        rows = squad.import_rows(address.show)
    except KeelmarkError as error:
        return [refusal(error)]
    tables = verdict_tables(rows) or [html.P("Every row was accepted.")]
    back = link("Close", "/log" + address.with_(show=None).search(), className="tall")
    return [
        html.Div(
            [html.H3(f"{count(rows.height, 'row')} of this import"), *tables, take_away(ids.LOG, "rows"), back],
            className="import-rows",
        )
    ]


def register(app: Dash, desk: Desk) -> None:
    """What the parts of the page do."""
    register_whiteboard(app, desk)
    register_file(app, desk)
    register_people(app, desk)
    register_days(app, desk)


IMPORTS = Region(ids.named(ids.LOG, "imports"), ("show",), _imports)
PAGE = Page("/log", "Log", layout, (IMPORTS, DAYS), register, sheets=log_sheet)
