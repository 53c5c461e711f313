"""The state of a page lives in its address, so that a link shows another person the same thing."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from urllib.parse import parse_qs, urlencode

__all__ = ["DEFAULT_CHANNEL", "ROWS_PER_PAGE", "WEEK_CHOICES", "Address", "settle"]

DEFAULT_CHANNEL = "session_load"
ROWS_PER_PAGE = 30
WEEK_CHOICES = (12, 26, 52, 156)


@dataclass(frozen=True, slots=True)
class Address:
    """What the query part of an address says. Empty means that it says nothing."""

    week: str = ""
    channel: str = ""
    group: str = ""
    athlete: str = ""
    weeks: str = ""
    rows: str = ""
    show: str = ""

    @classmethod
    def parse(cls, search: str | None) -> Address:
        """Read `?week=2026-W10&channel=tonnage`; a key that no page knows is left out."""
        given = parse_qs((search or "").lstrip("?"))
        return cls(**{name: values[-1].strip() for name, values in given.items() if name in cls.__slots__})

    def with_(self, **changes: object) -> Address:
        """The same address with some parts changed; `None` empties a part."""
        return replace(self, **{name: "" if value is None else str(value) for name, value in changes.items()})

    def search(self, *names: str) -> str:
        """The query text, only of the named parts when names are given."""
        given = {name: getattr(self, name) for name in self.__slots__}
        parts = {name: value for name, value in given.items() if value and (not names or name in names)}
        return f"?{urlencode(parts)}" if parts else ""

    def link(self, path: str, **changes: object) -> str:
        """A link to a page that keeps week, channel and group, with changes."""
        kept = self if path == "/" else replace(self, rows="", show="", weeks="", group=self.group)
        return path + kept.with_(**changes).search()


def settle(
    address: Address, *, weeks: list[str], channels: list[str], athletes: list[str], groups: list[str]
) -> tuple[Address, list[str]]:
    """Fill in what an address leaves open, and say in words what it names that does not exist.

    Parameters
    ----------
    address : Address
        As read.
    weeks, channels, athletes, groups : list of str
        What there is; weeks in rising order.

    Returns
    -------
    Address, list of str
        An address whose parts all exist (or are empty where nothing exists), and one sentence for each part changed.
    """
    remarks: list[str] = []
    filled = address

    def keep(name: str, known: list[str], otherwise: str, thing: str) -> None:
        nonlocal filled
        value = getattr(address, name)
        if value in known:
            return
        if value:
            instead = f"Showing {otherwise} instead." if otherwise else "Showing all."
            remarks.append(f"This link names {thing} “{value}”, which is not here. {instead}")
        filled = filled.with_(**{name: otherwise})

    keep("week", weeks, weeks[-1] if weeks else "", "the week")
    keep("channel", channels, _first(channels), "the kind of work")
    keep("athlete", athletes, athletes[0] if athletes else "", "the athlete")
    if address.group:
        keep("group", groups, "", "the group")
    if address.weeks not in [str(choice) for choice in WEEK_CHOICES]:
        filled = filled.with_(weeks=WEEK_CHOICES[2])
    if not re.fullmatch("[1-9][0-9]{0,5}", address.rows):
        filled = filled.with_(rows=1)
    return filled, remarks


def _first(channels: list[str]) -> str:
    return DEFAULT_CHANNEL if DEFAULT_CHANNEL in channels or not channels else channels[0]
