"""Links to the next thirty athletes where there are more."""

from __future__ import annotations

from dash import html

from keelmark_dash.address import ROWS_PER_PAGE, Address
from keelmark_dash.parts.aria import aria
from keelmark_dash.parts.link import link
from keelmark_dash.words import count

__all__ = ["row_pages"]


def row_pages(path: str, address: Address, everybody: int) -> html.Nav | None:
    """Links to all pages of rows, or nothing when one page holds everybody."""
    pages = -(-everybody // ROWS_PER_PAGE)
    if pages < 2:
        return None
    links = []
    for page in range(1, pages + 1):
        first, last = (page - 1) * ROWS_PER_PAGE + 1, min(page * ROWS_PER_PAGE, everybody)
        said = {"aria-current": "true"} if str(page) == address.rows else {}
        links.append(link(f"{first} to {last}", path + address.with_(rows=page).search(), **said))
    return html.Nav(
        [html.Span(count(everybody, "athlete")), *links], className="row-pages", **aria(label="Rows of the table")
    )
