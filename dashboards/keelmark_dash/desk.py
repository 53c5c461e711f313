"""What pages work with: the squad's service, and its season laid out so that each page finds its part at once."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Collection, Hashable, Mapping, Sequence
from datetime import date, datetime
from functools import cached_property
from threading import Lock
from typing import Any

import polars as pl

from keelmark.contracts.errors import AccessError
from keelmark.service.open_squad import last_figures_will_do
from keelmark.service.person import EVERYBODY_HERE, Person
from keelmark.service.runs import Runs
from keelmark_dash.jobs import Jobs
from keelmark_dash.shown_as import first_time_words, show_as

__all__ = ["Desk", "SeasonView"]


class SeasonView:
    """A season with what pages ask for again and again worked out once; gone when the season is worked out anew."""

    _MOST_BUILT = 48

    def __init__(self, season: Any, shown: frozenset[str] = frozenset(), told_in: tuple[str, ...] = ()) -> None:
        self.season = season
        self.shown = shown
        self.told_in = told_in
        self.weeks: list[str] = season.weeks
        self.notices: pl.DataFrame = season.notices
        self.day_states: pl.DataFrame = season.day_states
        self.labels: pl.DataFrame = season.kept.labels
        self._built: OrderedDict[Hashable, Any] = OrderedDict()

    @cached_property
    def athletes(self) -> pl.DataFrame:
        """The squad by name: the ATHLETE frame."""
        by_name: pl.DataFrame = self.season.athletes.sort("name")
        return by_name

    @cached_property
    def channels(self) -> list[str]:
        """Keys of the kinds of work that this season holds and the squad wants to see."""
        found = self.season_channels
        return [channel for channel in found if channel in self.shown] or found

    @cached_property
    def season_channels(self) -> list[str]:
        """Keys of all kinds of work that this season holds."""
        held: list[str] = self.season.weekly["channel"].unique(maintain_order=True).to_list()
        return held

    @cached_property
    def groups(self) -> list[str]:
        """Names of the training groups."""
        return self.athletes["group"].drop_nulls().unique().sort().to_list()

    @cached_property
    def known_days(self) -> pl.DataFrame:
        """Days of a week that are known of an athlete: columns athlete_id, week, known_days."""
        weekly: pl.DataFrame = self.season.weekly
        return weekly.group_by("athlete_id", "week").agg(pl.col("known_days").max())

    @cached_property
    def _trained(self) -> pl.DataFrame:
        daily: pl.DataFrame = self.season.daily
        return daily.select("date", "athlete_id").unique().sort("date")

    def trained(self, days: list[date]) -> pl.DataFrame:
        """Athletes and days with efforts: columns athlete_id, date."""
        return self._trained.filter(pl.col("date").is_between(days[0], days[-1])).select("athlete_id", "date")

    def figures(self, channel: str, athletes: Sequence[str] | None = None) -> pl.DataFrame:
        """Weekly figures of one kind of work with their marks; `place` as text, `not_known` where there is no mark.

        Parameters
        ----------
        channel : str
            Key of the kind of work.
        athletes : sequence of str, optional
            Only these; everybody when left out.
        """
        whose = self.athletes["athlete_id"].to_list() if athletes is None else athletes
        runs = [(athlete_id, channel) for athlete_id in whose]
        weekly, marks = (found.of_all(runs) for found in self._runs)
        joined = weekly.join(marks, on=["athlete_id", "week", "channel"], how="left", maintain_order="left")
        return joined.with_columns(pl.col("place").cast(pl.String).fill_null("not_known"))

    @cached_property
    def _runs(self) -> tuple[Runs, Runs]:
        by = "athlete_id", "channel"
        return Runs(self.season.weekly, *by), Runs(self.season.marks, *by)

    @cached_property
    def _weeks(self) -> Runs:
        rows = self.season.weekly.select("monday", row=pl.int_range(pl.len(), dtype=pl.UInt32))
        return Runs(rows.sort("monday", maintain_order=True), "monday")

    def weeks_of(self, mondays: Collection[date]) -> pl.DataFrame:
        """Amounts of everybody in the weeks that begin on some days: columns athlete_id, monday, channel, value."""
        rows = self._weeks.of_all([(monday,) for monday in sorted(mondays)])["row"]
        told: pl.DataFrame = self.season.weekly.select("athlete_id", "monday", "channel", "value")[rows]
        return told

    def weekly(self, channel: str) -> pl.DataFrame:
        """Weekly figures of everybody for one kind of work."""
        return self._runs[0].of_all([(athlete_id, channel) for athlete_id in self.athletes["athlete_id"]])

    def weekly_of(self, athlete_id: str) -> pl.DataFrame:
        """Weekly figures of one athlete; none for somebody who is not there."""
        return self._runs[0].of_all([(athlete_id, channel) for channel in self.season_channels])

    def once(self, key: Hashable, build: Callable[[], Any]) -> Any:
        """Something that follows from the season and its key alone, built when first asked for."""
        if key in self._built:
            self._built.move_to_end(key)
            return self._built[key]
        built = self._built[key] = build()
        while len(self._built) > self._MOST_BUILT:
            self._built.popitem(last=False)
        return built

    def lay_out(self) -> None:
        """Work out now what pages would otherwise work out when they are first asked for."""
        _ = self.athletes, self.channels, self.groups, self.known_days, self._trained, self._runs, self._weeks

    def new_work(self, athlete_id: str, week: str) -> list[str]:
        """What was new for an athlete in a week, in words, in the squad's units and language."""
        return [first_time_words(one, self.season.catalogue) for one in self.season.new_work(athlete_id, week)]

    def second_opinion(self, athlete_id: str, week: str, channel: str, share: float) -> Any:
        """What a local level leads one to expect of a week, or None."""
        return self.season.second_opinion(athlete_id, week, channel, share)

    def rows_behind(self, athlete_id: str, week: str, channel: str) -> pl.DataFrame:
        """Effort rows that made a weekly figure, with what each of them adds."""
        rows: pl.DataFrame = self.season.rows_behind(athlete_id, week, channel)
        return rows


class Desk:
    """The one thing handed to every page: the squad, as whoever asks may use it.

    Parameters
    ----------
    service : Squad
        The open service.
    who : function
        Gives the person whose question is being answered; None while nobody has to sign in.
    """

    _MOST_VIEWS = 64

    def __init__(self, service: Any, who: Callable[[], Person | None] = lambda: EVERYBODY_HERE) -> None:
        self._service = service
        self._who = who
        self.jobs = Jobs()
        self._views: OrderedDict[str | None, SeasonView] = OrderedDict()
        self._lock = Lock()

    @property
    def person(self) -> Person:
        """Who asks.

        Raises
        ------
        AccessError
            When nobody has signed in where everybody has to.
        """
        person = self._who()
        if person is None:
            raise AccessError(
                "nobody has signed in",
                where="access",
                wanted="somebody with an account",
                remedy="sign in, then ask again",
            )
        return person

    @property
    def squad(self) -> Any:
        """The squad's service: itself while there are no accounts, otherwise as the person who asks may use it.

        Whatever is told from here on is told in the squad's units and language.
        """
        person = self.person
        show_as(self._service.settings(), self._service.catalogue)
        return self._service if person is EVERYBODY_HERE else self._service.seen_by(person)

    def season(self, *, newest: bool = False) -> SeasonView:
        """The season, cut down to one athlete for those who may see no other.

        Parameters
        ----------
        newest : bool
            Whether only that of the last write will do; otherwise the one before may come while others wait for it.
        """
        squad = self.squad
        with last_figures_will_do(not newest):
            season = squad.season()
        return self._view(self.person.athlete_id, season, squad.settings())

    def before_the_last_write(self, season: SeasonView) -> datetime | None:
        """When figures were worked out that are not those of the last write; None where they are."""
        if self._service.stands(season.season):
            return None
        made: datetime | None = self._service.figures_made
        return made

    def get_ready(self) -> None:
        """Work out what the first person would wait for: the figures, where each page finds its part, plans' ground."""
        season, settings = self._service.season(), self._service.settings()
        view = self._view(None, season, settings)
        view.lay_out()
        if view.weeks:  # what fits a level is made ready by being used once
            view.second_opinion(view.athletes["athlete_id"][0], view.weeks[-1], view.channels[0], 0.05)
        self._service.plan("").above()

    def _view(self, whose: str | None, season: Any, settings: Mapping[str, Any]) -> SeasonView:
        shown = frozenset(settings.get("channels_shown", ()))
        told_in = tuple(str(settings.get(key, "")) for key in ("load_unit", "height_unit", "language"))
        with self._lock:
            view = self._views.get(whose)
            if view is None or view.season is not season or view.shown != shown or view.told_in != told_in:
                view = self._views[whose] = SeasonView(season, shown, told_in)
                while len(self._views) > self._MOST_VIEWS:
                    self._views.popitem(last=False)
            self._views.move_to_end(whose)
            return view
