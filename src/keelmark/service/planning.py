"""Plans over one state of a squad, and what a text came to while it is being typed."""

from __future__ import annotations

import datetime as dt
from collections import OrderedDict
from collections.abc import Hashable
from threading import RLock

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.marks import MarkSettings
from keelmark.plan import (
    Limit,
    NamedDays,
    People,
    PlanDoser,
    PlanMarks,
    PlannedWeek,
    WeekText,
    marks_for_week,
    named_days_from,
    paces_of,
    read_week,
    reference_people,
)
from keelmark.service.ahead import agreed_limits
from keelmark.service.season import Season
from keelmark.service.week_plan import Plan
from keelmark.service.weeks_before import WeeksBefore
from keelmark.store import Store

__all__ = ["Planner", "new_events"]

_TEXTS = 12
"""How many texts are kept: one is asked about in several ways at once while somebody types."""


class Planner:
    """Makes plans over one state of a squad, and keeps what a text already came to while it is being typed.

    Parameters
    ----------
    season : Season
        All figures as of the last write.
    catalogue : Catalogue
        The squad's movements.
    settings : MarkSettings
        The squad's choices about marks.
    store : Store
        Where agreed limits and return plans are kept.
    """

    def __init__(self, season: Season, catalogue: Catalogue, settings: MarkSettings, store: Store) -> None:
        self.season = season
        self._catalogue = catalogue
        self._settings = settings
        self._store = store
        self._ground: tuple[dt.date | None, PlanDoser, PlanMarks, WeeksBefore | None] | None = None
        self._made: OrderedDict[Hashable, Plan] = OrderedDict()
        self._limits: tuple[tuple[dt.date | None, int], tuple[Limit, ...]] | None = None
        self._lock = RLock()

    def plan(self, text: str, *, monday: dt.date | None = None) -> Plan:
        """The plan of a week's text.

        Parameters
        ----------
        text : str
            Whiteboard texts under days.
        monday : date, optional
            First day of the week. When left out, the text's own date; without one, the week after the last on record.
        """
        after = self._after()
        week = read_week(text, near=monday or after)
        remarks = [f"Line {remark.line}: {remark.words}" for remark in week.remarks]
        wanted = monday or week.monday
        if wanted is None and after is not None:
            wanted = after
            named = f"{after.day} {after:%B %Y}"
            remarks.append(f"No date is written, so the week after the last on record is meant: {named}.")
        week = WeekText(week.text, week.sessions, wanted, week.remarks)
        with self._lock:
            if self._ground is None or self._ground[0] != wanted:
                self._ground = (wanted, *self._prepared(wanted))
                self._made.clear()
            _, doser, own, before = self._ground
            limits = self._agreed(doser.people, wanted)
            key = text, wanted, limits
            if key not in self._made:
                season = self.season if self.season.weeks else None
                self._made[key] = Plan(PlannedWeek(week, doser), season, own, limits, tuple(remarks), before)
                while len(self._made) > _TEXTS:
                    self._made.popitem(last=False)
            self._made.move_to_end(key)
            return self._made[key]

    def _after(self) -> dt.date | None:
        last = self.season.weekly["monday"].max()
        return last + dt.timedelta(weeks=1) if isinstance(last, dt.date) else None

    def _agreed(self, people: People, monday: dt.date | None) -> tuple[Limit, ...]:
        """What is agreed for the week, as of the last write of anybody."""
        if monday is None or not people.known:
            return ()
        key = monday, self._store.revision
        if self._limits is None or self._limits[0] != key:
            self._limits = key, agreed_limits(self._store, people, monday)
        return self._limits[1]

    def _prepared(self, monday: dt.date | None) -> tuple[PlanDoser, PlanMarks, WeeksBefore | None]:
        season = self.season
        if season.athletes.is_empty() or monday is None:
            return PlanDoser(self._catalogue, reference_people(), monday), PlanMarks.none(), None
        people = People.of(season.athletes, season.kept.rep_maxima, season.kept.efforts, monday)
        if not people.persons:
            people = reference_people()
        contexts = {person.athlete_id: person.context for person in people.persons}
        people = people.with_paces(paces_of(season.kept.sessions, contexts, self._catalogue, monday))
        own = marks_for_week(season.weekly, monday, self._settings, season.kept.labels, season.athletes)
        before = WeeksBefore(season, monday) if season.weeks else None
        return PlanDoser(self._catalogue, people, monday), own, before


def new_events(data: bytes, labels: pl.DataFrame) -> list[NamedDays]:
    """Events of an iCalendar file that are not among the squad's named days yet.

    Parameters
    ----------
    data : bytes
        The file.
    labels : DataFrame
        `CALENDAR_LABEL` table.
    """
    known = set(labels.select("date_from", "date_to", "label").iter_rows())
    return [event for event in named_days_from(data) if (event.first, event.last, event.name) not in known]
