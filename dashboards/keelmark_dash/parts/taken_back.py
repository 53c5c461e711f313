"""What becomes of a button beside one of many things, such as an import or a name, that takes it away again."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from dash import ctx, no_update

from keelmark.contracts.errors import KeelmarkError

__all__ = ["taken_back"]


def taken_back(pressed: list[int | None], take: Callable[[str], object], said: str) -> Any:
    """Take away the thing whose button was pressed; gives what the page is told, for `ids.WRITTEN`.

    Parameters
    ----------
    pressed : list of int or None
        Clicks of all such buttons; a list without a click comes when the buttons are built.
    take : function
        Takes a thing away by its key.
    said : str
        What is told when it is gone.
    """
    if not any(pressed) or not ctx.triggered_id:
        return no_update
    try:
        take(str(ctx.triggered_id["key"]))
    except KeelmarkError as error:
        return {"said": str(error), "tone": "refused"}
    return {"said": said}
