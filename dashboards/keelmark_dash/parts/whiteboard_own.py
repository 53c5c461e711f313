"""What athletes with a result, loads or a version of their own would have stored, while it is typed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from dash import html

from keelmark_dash.parts.table import table
from keelmark_dash.parts.whiteboard_stored import work_words

__all__ = ["own_readings"]


def own_readings(looks: Sequence[Any], names: dict[str, str]) -> list[Any]:
    """A line for each athlete who differs from the rest; what cannot be stored says why."""
    if not looks:
        return []
    body = [[names.get(look.athlete_id, look.athlete_id), _told(look)] for look in looks]
    return [table("What is read for those who differ", [("Athlete", "text"), ("Work", "words")], body, stack=True)]


def _told(look: Any) -> Any:
    if look.faults:
        return html.Span(f"Not stored like this: {'; '.join(look.faults)}.", className="wb-fault")
    swapped = look.efforts["version"].cast(str).unique().to_list() if look.efforts.height else []
    version = " (scaled)" if "scaled" in swapped else " (swapped)" if "swapped" in swapped else ""
    return work_words(look.efforts) + version
