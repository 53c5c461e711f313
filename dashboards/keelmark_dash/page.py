"""What a page is: a path, a layout, and regions that are built anew when the part of the address they show changes.

Controls stay where they are while the regions around them change, so that a reader's place and a half-filled form are
not lost by choosing another week.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from dash import Dash, html

from keelmark.report import Sheet
from keelmark.service.person import ATHLETE, EVERYBODY_HERE, Person
from keelmark.service.personal import MAY_ASK
from keelmark_dash.address import Address
from keelmark_dash.desk import Desk, SeasonView
from keelmark_dash.figures.grid_picture import GridPicture
from keelmark_dash.jobs import Job, Jobs

__all__ = ["Page", "Region", "Visit"]


@dataclass(frozen=True, slots=True)
class Visit:
    """One look at a page: the squad's service, its season, the address as settled and as asked for, and who looks."""

    squad: Any
    season: SeasonView
    address: Address
    asked: Address
    person: Person = EVERYBODY_HERE
    jobs: Jobs = field(default_factory=Jobs)

    @property
    def own(self) -> bool:
        """Whether an athlete looks, who sees nobody's page but their own."""
        return self.person.role == ATHLETE

    def running(self, what: str, about: str = "") -> Job | None:
        """Long work of one kind that the one who looks began and that is still under way."""
        return self.jobs.running(self.person, what, about)

    def may(self, name: str) -> bool:
        """Whether the one who looks may ask the squad's service for something, by the name of its method."""
        may = MAY_ASK[name]
        return self.person.role in may.roles and (may.health is None or self.person.reads_health)


@dataclass(frozen=True, slots=True)
class Region:
    """A piece of a page that depends on some parts of the address."""

    name: str
    parts: tuple[str, ...]
    build: Callable[[Visit], list[Any]]

    def place(self, visit: Visit) -> html.Div:
        """The region with its first content."""
        return html.Div(self.build(visit), id=self.name)

    def changes(self, before: dict[str, str], address: Address) -> bool:
        """Whether an address shows something else here than the one before."""
        return any(before.get(part, "") != getattr(address, part) for part in self.parts)


def _nothing_to_register(_app: Dash, _desk: Desk) -> None:
    return None


@dataclass(frozen=True, slots=True)
class Page:
    """A page of the app; `needs_records` pages give way to the first steps while a squad has none."""

    path: str
    title: str
    layout: Callable[[Visit], list[Any]]
    regions: tuple[Region, ...] = ()
    register: Callable[[Dash, Desk], None] = field(default=_nothing_to_register)
    in_menu: bool = True
    needs_records: bool = False
    sheets: Callable[[Visit, str], Sheet] | None = None
    """Makes the tables that can be taken away, by their key on the page."""
    pictures: Callable[[Visit, str], GridPicture] | None = None
    """Makes the drawings that can be taken away as pictures, by the same keys."""
    libraries: tuple[str, ...] = ()
    """Packages of components that no other page needs."""
