"""What went wrong on purpose, in its four parts."""

from __future__ import annotations

from dash import html

from keelmark.contracts.errors import KeelmarkError
from keelmark_dash.parts.scope import remark

__all__ = ["refusal"]


def refusal(error: KeelmarkError) -> html.Div:
    """An error of the program's own as a remark: what was found, where, what was wanted, what to do."""
    return remark(
        html.P([html.Strong("Nothing was stored. "), f"{_sentence(error.found)} ({error.where})"]),
        html.P(f"Wanted: {error.wanted}."),
        html.P(f"What to do: {error.remedy}."),
        tone="refused",
    )


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")
