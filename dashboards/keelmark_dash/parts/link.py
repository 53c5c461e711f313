"""Links between pages of the app; `assets/drawing.js` follows them without loading the page anew."""

from __future__ import annotations

from typing import Any

from dash import html

__all__ = ["link"]


def link(content: Any, href: str, **properties: Any) -> html.A:
    """A link to another page, or to another state of this one."""
    properties["data-inapp"] = "yes"
    return html.A(content, href=href, **properties)
