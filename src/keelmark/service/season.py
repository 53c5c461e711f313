"""A squad's season: every figure that follows from what is in the store, worked out together once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.channels import CHANNEL_BY_KEY, CHANNELS
from keelmark.contracts.errors import SettingError
from keelmark.contracts.stamp import RULE_VERSION
from keelmark.dose import contributions
from keelmark.engine import Tables
from keelmark.engine.derived import Derived, derive
from keelmark.engine.release import release_key
from keelmark.load import LoadSettings
from keelmark.load.calendar import monday_of_week
from keelmark.load.first_times import FirstTime, first_times
from keelmark.marks import MarkSettings, labelled_weeks, marks, notices
from keelmark.marks.second_opinion import SecondOpinion, second_opinion
from keelmark.service.coverage import days_on_record
from keelmark.service.kept import Kept
from keelmark.service.narrow import NarrowSeasons
from keelmark.service.week_mechanics import WeekMechanics

__all__ = ["RULE_VERSION", "Season", "compute_season", "last_knowable"]

Progress = Callable[[str], None]


@dataclass(frozen=True)
class Season:
    """All figures of a squad, as frames of `keelmark.contracts.frames`, and the way back to the rows behind them."""

    kept: Kept
    catalogue: Catalogue
    daily: pl.DataFrame
    weekly: pl.DataFrame
    marks: pl.DataFrame
    notices: pl.DataFrame
    until: date | None = None
    """Last day that the figures can know: the Sunday of the last week with records, or today while it is not over."""
    derived: Derived | None = None
    """Days and weeks with what they rest on, to be taken over by the next season."""

    @property
    def athletes(self) -> pl.DataFrame:
        """The squad: the ATHLETE frame."""
        return self.kept.athletes

    @property
    def day_states(self) -> pl.DataFrame:
        """What is known of days without efforts: the DAY_STATE frame."""
        return self.kept.day_states

    @cached_property
    def weeks(self) -> list[str]:
        """ISO weeks with figures, oldest first."""
        return self.weekly["week"].unique().sort().to_list()

    @cached_property
    def known_days(self) -> pl.DataFrame:
        """Days of each week that are known of an athlete: columns athlete_id, week, known_days."""
        return days_on_record(self.weekly)

    def of(self, athlete_id: str) -> Season:
        """This season with the rows of one athlete only."""
        return self._narrow.of(athlete_id)

    @cached_property
    def _narrow(self) -> NarrowSeasons:
        return NarrowSeasons(self)

    @cached_property
    def mechanics(self) -> WeekMechanics:
        """What stands behind the weeks' figures in physical units."""
        return WeekMechanics(self.kept, self.catalogue, self.weekly)

    def grows_by(self, today: date) -> bool:
        """Whether more days of the newest week can be known today than when the figures were worked out."""
        if self.until is None or today <= self.until:
            return False
        return self.until.weekday() < 6

    def rows_behind(self, athlete_id: str, week: str, channel: str) -> pl.DataFrame:
        """Effort rows that made a weekly figure, largest contribution first.

        Returns
        -------
        DataFrame
            Columns of EFFORT, with `contribution`, `contribution_low`, `contribution_high` in the channel's unit
            (empty where it is not known), `share` of the week's known amount, `label` of the session, `file`.
        """
        kept = self.of(athlete_id).kept
        rows = contributions(
            kept.efforts,
            kept.sessions,
            kept.athletes,
            kept.rep_maxima,
            self.catalogue,
            athlete_id=athlete_id,
            week=week,
            channel=channel,
        )
        files = self.kept.imports.select("import_id", "file")
        labels = kept.sessions.select("athlete_id", "session_id", "label")
        return rows.join(files, on="import_id", how="left", maintain_order="left").join(
            labels, on=["athlete_id", "session_id"], how="left", maintain_order="left"
        )

    def new_work(self, athlete_id: str, week: str) -> list[FirstTime]:
        """What the athlete did for the first time in a long while."""
        return first_times(self.of(athlete_id).kept.efforts, athlete_id, monday_of_week(week))

    def second_opinion(self, athlete_id: str, week: str, channel: str, share: float) -> SecondOpinion | None:
        """What a local level, fitted to the weeks before, leads one to expect of a week; see `second_opinion`."""
        whole = self.of(athlete_id).weekly
        own = whole.filter(pl.col("channel") == channel, pl.col("monday") < monday_of_week(week))
        named = labelled_weeks(self.kept.labels, self.athletes, own).filter(~pl.col("after"))
        plain = pl.when(~pl.col("week").is_in(named["week"].to_list())).then("value")
        return second_opinion(tuple(own.sort("monday").select(plain).to_series().to_list()), share)

    def figures(self, *, athlete: str | None = None, week: str | None = None, all_weeks: bool = False) -> pl.DataFrame:
        """Weekly figures with their marks, athletes by name, channels in the order of the contract.

        Parameters
        ----------
        athlete : str, optional
            Key or first name of one athlete.
        week : str, optional
            ISO week; the last one with figures when left out.
        all_weeks : bool
            Every week instead of one.

        Raises
        ------
        SettingError
            When nobody has that name, or the week lies outside the season.
        """
        frame = self.weekly.join(self.marks, on=["athlete_id", "week", "channel"], how="left")
        frame = frame.join(self.athletes.select("athlete_id", "name"), on="athlete_id", how="left")
        if athlete is not None:
            frame = frame.filter(pl.col("athlete_id") == self.athlete_key(athlete))
        if not all_weeks and self.weeks:
            frame = frame.filter(pl.col("week") == self.week_named(week))
        order = {channel.key: place for place, channel in enumerate(CHANNELS)}
        told = frame.with_columns(
            label=pl.col("channel").replace_strict({key: c.label for key, c in CHANNEL_BY_KEY.items()}),
            unit=pl.col("channel").replace_strict({key: c.unit for key, c in CHANNEL_BY_KEY.items()}),
            place_in_contract=pl.col("channel").replace_strict(order),
        )
        return told.sort("name", "week", "place_in_contract").drop("place_in_contract")

    def athlete_key(self, asked: str) -> str:
        """The key of an athlete by key or first name.

        Raises
        ------
        SettingError
            When nobody has that name.
        """
        wanted = asked.casefold().strip()
        for athlete_id, name in self.athletes.select("athlete_id", "name").iter_rows():
            if wanted in (athlete_id.casefold(), name.casefold()):
                return str(athlete_id)
        raise SettingError(
            f"nobody is called {asked!r}",
            where="option --athlete",
            wanted="one of " + (", ".join(self.athletes["name"].sort()) or "nobody: the squad is empty"),
            remedy="use a name as it stands in the roster",
        )

    def week_named(self, asked: str | None) -> str:
        """A week with figures; the last one when none is asked for.

        Raises
        ------
        SettingError
            When the week lies outside the season, or nothing is logged yet.
        """
        if not self.weeks:
            raise SettingError(
                "nothing is logged yet",
                where="option --week",
                wanted="a squad with weeks on record",
                remedy="bring a log in first: keelmark ingest FILE",
            )
        if asked is None:
            return self.weeks[-1]
        if asked in self.weeks:
            return asked
        raise SettingError(
            f"{asked!r} is not a week with figures",
            where="option --week",
            wanted=f"an ISO week from {self.weeks[0]} to {self.weeks[-1]}",
            remedy="write the year, a hyphen, W and the week's number, such as 2026-W10",
        )


def compute_season(
    kept: Kept,
    catalogue: Catalogue,
    load_settings: LoadSettings,
    mark_settings: MarkSettings,
    progress: Progress = lambda _: None,
    today: date | None = None,
    before: Derived | None = None,
) -> Season:
    """Every figure of a squad from what it has kept.

    Parameters
    ----------
    kept : Kept
        Tables as the store gives them.
    catalogue : Catalogue
        Holds every movement of the efforts.
    load_settings, mark_settings
        Choices of the squad.
    progress : function of str
        Told what is being worked out, before each step.
    today : date, optional
        The day it is; this machine's if not given.
    before : Derived, optional
        Days and weeks of an earlier season; what has not changed since is taken over.
    """
    progress("Adding up days and weeks")
    recorded = pl.concat([kept.efforts.select("date"), kept.sessions.select("date")])
    until = last_knowable(recorded, kept.day_states, today or date.today())
    tables = Tables(kept.athletes, kept.efforts, kept.sessions, kept.rep_maxima, kept.day_states)
    rules = f"{RULE_VERSION} {release_key()}"
    derived = derive(tables, catalogue, replace(load_settings, until=until), rules, before)
    weekly = derived.weekly
    progress("Setting each athlete's own marks")
    own_marks = marks(weekly, mark_settings, kept.labels, kept.athletes, until)
    progress("Looking for weeks that stand out")
    told = notices(
        weekly,
        own_marks,
        kept.efforts,
        kept.sessions,
        kept.athletes,
        kept.rep_maxima,
        catalogue,
        mark_settings,
        kept.labels,
    )
    return Season(kept, catalogue, derived.daily, weekly, own_marks, told, until, derived)


def last_knowable(recorded: pl.DataFrame, day_states: pl.DataFrame, today: date) -> date | None:
    """The Sunday of the last week with records, or today while that week is not over; work on record is never cut off.

    Parameters
    ----------
    recorded, day_states : DataFrame
        `date` of what was done, and the `DAY_STATE` table; days ahead that are said to be rest or away are not yet
        known.
    today : date
        The day it is.
    """
    told = day_states.filter(pl.col("date") <= today)
    days = [day for frame in (recorded, told) if isinstance(day := frame["date"].max(), date)]
    if not days:
        return None
    last = max(days)
    return max(last, min(today, last + timedelta(days=6 - last.weekday())))
