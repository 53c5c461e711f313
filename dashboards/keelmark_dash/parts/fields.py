"""Fields of forms, each made one way: lists open at once, inside their landmark, and scroll from the keyboard."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc

__all__ = ["choose_day", "choose_one", "choose_some"]

_SHOWN_AT_ONCE = 60
_LIST: dict[str, Any] = {
    "comboboxProps": {"withinPortal": False, "transitionProps": {"duration": 0}},
    "withScrollArea": False,
    "attributes": {"options": {"tabIndex": 0}},
}
_CALENDAR = {
    "previousMonth": "Month before",
    "nextMonth": "Month after",
    "monthLevelControl": "Choose a month",
    "yearLevelControl": "Choose a year",
    "previousYear": "Year before",
    "nextYear": "Year after",
}


def choose_one(
    name: Any, label: str, data: list[Any], value: str | None, *, search: bool = False, **properties: Any
) -> dmc.Select:
    """A choice of one; with `search` a long list is narrowed down by typing, sixty entries at a time."""
    limit = {"searchable": True, "limit": _SHOWN_AT_ONCE} if search else {}
    return dmc.Select(id=name, label=label, data=data, value=value, **limit, **_LIST, **properties)


def choose_some(name: Any, label: str, data: list[Any], value: list[str], **properties: Any) -> dmc.MultiSelect:
    """A choice of several, narrowed down by typing."""
    return dmc.MultiSelect(
        id=name, label=label, data=data, value=value, searchable=True, limit=_SHOWN_AT_ONCE, **_LIST, **properties
    )


def choose_day(name: Any, label: str, value: str | None, *, written: str = "ddd D MMM YYYY") -> dmc.DateInput:
    """A day, typed as `written` or picked from a calendar."""
    return dmc.DateInput(
        id=name,
        label=label,
        value=value,
        valueFormat=written,
        clearable=False,
        popoverProps={"withinPortal": False},
        ariaLabels=_CALENDAR,
        hideOutsideDates=True,
    )
