"""What a callback is called in the table: the file and the function that answers it."""

from __future__ import annotations

from typing import Any

from dash import Dash

__all__ = ["callback_name", "callback_names"]

_PACKAGE = "keelmark_dash."


def callback_name(held: dict[str, Any]) -> str | None:
    """The name of one entry of Dash's callback map; None for what runs in the browser only."""
    function = held.get("callback")
    if function is None:
        return None
    return f"{function.__module__.removeprefix(_PACKAGE)}:{function.__name__}"


def callback_names(app: Dash) -> dict[str, str]:
    """The names of all callbacks that the server answers, by their output."""
    named = {output: callback_name(held) for output, held in app.callback_map.items()}
    return {output: name for output, name in named.items() if name is not None}
