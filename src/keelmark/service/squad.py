"""The squad: one door for the command line and the pages to everything keelmark knows and does."""

from __future__ import annotations

import datetime as dt
from threading import Lock

from keelmark.catalogue import Catalogue
from keelmark.service.accounts import Accounts
from keelmark.service.agreeing import Agreeing
from keelmark.service.ahead import Ahead
from keelmark.service.bodies import Bodies
from keelmark.service.deciding import Deciding
from keelmark.service.incoming import Incoming
from keelmark.service.person import Person
from keelmark.service.personal import PersonalSquad
from keelmark.service.planning import Planner, new_events
from keelmark.service.squad_settings import mark_settings
from keelmark.service.telling import Telling
from keelmark.service.week_plan import Plan
from keelmark.store import Store
from keelmark.store.access import Look

__all__ = ["Squad"]


class Squad(Incoming, Deciding, Bodies, Telling, Agreeing):
    """An open squad. Use `Squad.open`, as a context manager."""

    def __init__(self, store: Store, catalogue: Catalogue) -> None:
        super().__init__(store, catalogue)
        self._planner: Planner | None = None
        self._planning = Lock()
        self._accounts = Accounts(store)

    @property
    def accounts(self) -> Accounts:
        """Who may come in, where the squad's pages ask for it."""
        return self._accounts

    def looks(self, athlete_id: str) -> list[Look]:
        """Who has looked at an athlete's health data, newest first; each counts once a day."""
        return self._accounts.looks(athlete_id)

    def readers(self, athlete_id: str) -> list[tuple[str, str]]:
        """Names and roles of those who may read an athlete's health data, the athlete left out."""
        return self._accounts.readers(athlete_id)

    def seen_by(self, person: Person) -> PersonalSquad:
        """This squad as a person may use it."""
        return PersonalSquad(self, person, self._accounts)

    # What is planned

    def import_events(self, data: bytes) -> int:
        """Name the days of an iCalendar file's events; gives how many were new. Weeks with a name teach no marks."""
        events = new_events(data, self.season().kept.labels)
        for event in events:
            self.set_label(event.first, event.last, event.name)
        return len(events)

    @property
    def ahead(self) -> Ahead:
        """What is agreed with athletes and meant for the squad in weeks to come."""
        return Ahead(self._store, self._beside_figures)

    def plan(self, text: str, *, monday: dt.date | None = None) -> Plan:
        """The plan of a week's text, over the season as of the last write; see `Planner.plan`."""
        season = self.season()
        with self._planning:
            if self._planner is None or self._planner.season is not season:
                self._planner = Planner(season, self._catalogue, mark_settings(self.settings()), self._store)
            planner = self._planner
        return planner.plan(text, monday=monday)
