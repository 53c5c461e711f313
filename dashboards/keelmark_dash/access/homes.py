"""The page that somebody comes in by."""

from __future__ import annotations

from keelmark.service.person import Person
from keelmark_dash.access.rules import PAGES

__all__ = ["home_of"]

_DOORS = ("/", "/athlete", "/check-ins")


def home_of(person: Person) -> str:
    """The first page that a person may see."""
    return next((path for path in _DOORS if PAGES[path].admits(person.role, person.fields)), "/care")
