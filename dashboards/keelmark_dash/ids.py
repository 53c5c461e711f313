"""Ids of components that callbacks speak to, prefixed by the page they stand on."""

from __future__ import annotations

__all__ = [
    "ADDRESS",
    "ATHLETE",
    "BRIEF",
    "CHECK_INS",
    "HAND_OVER",
    "LOG",
    "MAIN",
    "MENU",
    "METHODS",
    "PAGE",
    "PROGRAMME",
    "QUIET_DAYS",
    "SAID",
    "SCHEME",
    "SETTINGS",
    "SHADE",
    "SHOWN",
    "SQUAD",
    "WRITTEN",
    "control",
    "each",
    "named",
]

ADDRESS = "shell-address"
MAIN = "main"
MENU = "shell-menu"
PAGE = "shell-page"
SAID = "shell-said"
SCHEME = "shell-scheme"
SHADE = "shell-shade"
"""Day or night colours, for charts."""
SHOWN = "shell-shown"
"""What the browser shows now: path, title, settled address, and what an empty address means."""
WRITTEN = "shell-written"
"""Told what was written to the store, so that the page is built anew."""

SQUAD, ATHLETE, LOG, METHODS, CHECK_INS = "squad", "athlete", "log", "methods", "check-ins"
PROGRAMME, HAND_OVER, BRIEF = "programme", "hand-over", "brief"
SETTINGS = "settings"
QUIET_DAYS = "log-quiet"
"""The panel of the Log page that asks what a quiet day means; both the file and the calendar lead there."""


def named(page: str, part: str) -> str:
    """The id of a part that a page has once: `squad-season`."""
    return f"{page}-{part}"


def control(part: str) -> dict[str, str]:
    """The id of a control that changes the address, the same on every page: part is a field of the address."""
    return {"kind": "address-control", "part": part}


def each(page: str, part: str, key: object) -> dict[str, object]:
    """The id of a part that a page has once per thing, such as a button of one notice; `key` may be a wildcard."""
    return {"page": page, "part": part, "key": key}
