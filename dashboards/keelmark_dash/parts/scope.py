"""The line that stands wherever a figure about the body stands, and the remarks of a page."""

from __future__ import annotations

from typing import Any

from dash import html

from keelmark.contracts.words import SCOPE_LINE

__all__ = ["remark", "scope_line"]


def scope_line() -> html.P:
    """What the figures describe, what they do not say, and who decides about health."""
    return html.P(SCOPE_LINE, className="scope")


def remark(*content: Any, tone: str = "plain") -> html.Div:
    """A short remark set off from the page: `plain`, `done` or `refused`."""
    return html.Div(list(content), className=f"remark {tone}", role="status")
