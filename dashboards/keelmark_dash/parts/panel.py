"""A part of a page with a heading of its own, named by that heading."""

from __future__ import annotations

from typing import Any

from dash import html

__all__ = ["panel"]


def panel(name: str, title: Any, *content: Any, sheet: bool = True, **properties: Any) -> html.Section:
    """A section with a second-level heading.

    Parameters
    ----------
    name : str
        Prefixed by the page; the heading's id becomes `name-title`.
    title : str or components
        The heading.
    content : components
        What stands below it.
    sheet : bool
        On a sheet of its own, or straight on the ground of the page.
    """
    heading = f"{name}-title"
    properties["aria-labelledby"] = heading
    properties.setdefault("className", "panel" if sheet else "open-panel")
    return html.Section([html.H2(title, id=heading), *content], **properties)
