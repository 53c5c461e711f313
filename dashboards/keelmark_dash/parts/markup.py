"""Drawings too fine-grained for one component per piece: written as text here, put in place by `assets/drawing.js`.

A season strip of thirty athletes has well over a thousand gauges. As components each of them would be several objects
to send and to watch; as one drawing they are one attribute. Every text that enters a drawing goes through `text`.
"""

from __future__ import annotations

from html import escape
from typing import Any

from dash import html

__all__ = ["drawing", "tag", "text"]


def text(value: object) -> str:
    """A value made safe to stand in a drawing, as text or inside an attribute."""
    return escape(str(value), quote=True)


def tag(name: str, content: str = "", **attributes: object) -> str:
    """One element with its attributes; `content` is already safe, attribute values are made safe here.

    An underscore in an attribute's name stands for a hyphen, a leading one is dropped (`_class`, `aria_label`).
    `None` leaves an attribute out.
    """
    written = "".join(
        f' {key.removeprefix("_").replace("_", "-")}="{text(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    return f"<{name}{written}>{content}</{name}>"


def drawing(markup: str, **properties: Any) -> html.Div:
    """A component that shows a drawing."""
    properties["data-drawing"] = markup
    return html.Div(**properties)
