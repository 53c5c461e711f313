"""What is agreed and meant for weeks to come: amounts that are not passed, and ramps against what was done."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import polars as pl

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.errors import SettingError
from keelmark.health.kept_plan import plan_of_row
from keelmark.plan import Limit, NamedDays, People, RampWeek, calendar_of_days, ramp
from keelmark.service.agreeing import ANSWERS, those_who_said_no
from keelmark.service.shared_days import shared_days
from keelmark.store import Store

__all__ = ["AHEAD", "Ahead", "agreed_limits", "meant_by_athlete", "meant_weeks", "usual_amount"]

LIGHTER_SHARE = 0.6
"""Amount of a lighter week as a share of what the week would have been (a convention)."""
USUAL_WEEKS = 4
LEVEL = 0.1
"""Up to this share from what was meant, an athlete did about as much (a convention)."""

AHEAD = {
    "monday": pl.Date, "channel": pl.String, "unit": pl.String, "planned": pl.Float64, "done": pl.Float64,
    "lower": pl.Float64, "upper": pl.Float64, "athletes": pl.Int64,
}  # fmt: skip
"""Columns of a squad's ramp: what is meant, the middle of what was done, the middle half of the squad, and how many."""


@dataclass(frozen=True)
class Ahead:
    """Reads and writes what is agreed and meant; `write` runs a write that no figure rests on."""

    store: Store
    write: Callable[[Callable[[], str]], str]

    def limits(self, athlete: str | None = None) -> pl.DataFrame:
        """Amounts agreed with athletes that stand, oldest first: the AGREED_LIMIT frame."""
        return self.store.agreed_limits(athlete)

    def agree(
        self,
        athlete_id: str,
        channel: str,
        most: float,
        *,
        agreed_with: str,
        date_from: dt.date,
        date_to: dt.date | None = None,
    ) -> str:
        """Keep an amount that no version of an athlete's week passes; gives its key.

        Parameters
        ----------
        athlete_id, channel : str
            Who, and which kind of work.
        most : float
            Amount of a week, in the channel's unit.
        agreed_with : str
            With whom it was agreed.
        date_from, date_to : date
            First and last day; a week counts when any of its days lies between them. Open when there is no last day.

        Raises
        ------
        SettingError
            When the amount or the days cannot be used, or nobody is named.
        """
        Limit(athlete_id, channel, most)
        who = agreed_with.strip()
        if not who or (date_to is not None and date_to < date_from):
            raise SettingError(
                "nobody is named" if not who else f"it would end on {date_to}, before it begins on {date_from}",
                where="agreed limit",
                wanted="with whom it was agreed, and a last day that is not before the first",
                remedy="write who agreed to it" if not who else "mend the last day",
            )
        return self.write(
            lambda: self.store.record_agreed_limit(
                athlete_id, channel, most, date_from, agreed_with=who, date_to=date_to
            )
        )

    def withdraw_limit(self, limit_id: str) -> None:
        """Take an agreed amount back; it stays on record as withdrawn."""
        self.write(lambda: self.store.withdraw_agreed_limit(limit_id))

    def ramps(self) -> pl.DataFrame:
        """Ramps that stand, oldest first: the PLANNED_RAMP frame."""
        return self.store.planned_ramps()

    def mean(
        self, channel: str, monday: dt.date, weeks: int, start: float, change: float, lighter_every: int | None = None
    ) -> str:
        """Keep a ramp that is meant for the squad; gives its key. See `ramp` for the figures."""
        ramp(monday, weeks, channel, start, change, lighter_every=lighter_every)
        return self.write(
            lambda: self.store.record_planned_ramp(
                channel, monday, weeks, start, change, lighter_every=lighter_every, lighter_share=LIGHTER_SHARE
            )
        )

    def mean_week(
        self, monday: dt.date, text: str, amounts: Mapping[str, float], each: Mapping[str, Mapping[str, float]]
    ) -> str:
        """Keep a whole week that is meant for the squad: its text, and amounts by kind of work; gives its key.

        It takes the place of what was meant before for this one week; ramps over several weeks stay, and of two amounts
        for the same kind of work the later one counts.

        Parameters
        ----------
        monday : date
            First day of the week.
        text : str
            The programme as it is written.
        amounts : mapping
            Amount of the athlete in the middle by kind of work, in its unit; see `Plan.middle`.
        each : mapping
            The same of each athlete, by key; see `Plan.each`.

        Raises
        ------
        SettingError
            When nothing is meant.
        """
        if not amounts:
            raise SettingError(
                "the week holds no amount",
                where="whole week",
                wanted="a week's text with amounts that can be read",
                remedy="write sets and reps, metres, minutes or calories",
            )
        for channel, amount in amounts.items():
            ramp(monday, 1, channel, amount, 0.0)
        return self.write(
            lambda: self.store.record_planned_week(monday, text, amounts, each, lighter_share=LIGHTER_SHARE)
        )

    def weeks(self) -> pl.DataFrame:
        """Whole weeks that are kept, with their texts, oldest first: the PLANNED_WEEK frame."""
        return self.store.planned_weeks()

    def amounts(self, week_id: str) -> pl.DataFrame:
        """What each athlete would do of a kept week: the PLANNED_AMOUNT frame."""
        return self.store.planned_amounts(week_id)

    def withdraw_week(self, week_id: str) -> None:
        """Take a kept week back, with what is meant for it; it stays on record as withdrawn."""
        self.write(lambda: self.store.withdraw_planned_week(week_id))

    def withdraw_ramp(self, ramp_id: str) -> None:
        """Take a ramp back; it stays on record as withdrawn."""
        self.write(lambda: self.store.withdraw_planned_ramp(ramp_id))

    def calendar(self, labels: pl.DataFrame, *, stamp: dt.datetime) -> bytes:
        """The squad's named days, and each meant week with its amounts, as an iCalendar file.

        Parameters
        ----------
        labels : DataFrame
            `CALENDAR_LABEL` table.
        stamp : datetime
            When the file is made, in UTC.
        """
        days = shared_days(labels)
        amounts: dict[dt.date, list[str]] = {}
        for week in self.meant():
            known = CHANNEL_BY_KEY[week.channel]
            amounts.setdefault(week.monday, []).append(f"{known.label} {week.amount:,.4g} {known.unit}")
        days += [
            NamedDays(monday, monday + dt.timedelta(days=6), "Meant: " + ", ".join(told))
            for monday, told in sorted(amounts.items())
        ]
        return calendar_of_days(days, stamp=stamp)

    def meant(self, channel: str | None = None) -> list[RampWeek]:
        """Weeks that are meant, by kind of work and date; of two amounts for the same week the later one counts."""
        found: dict[tuple[str, dt.date], RampWeek] = {}
        for row in self.ramps().iter_rows(named=True):
            for week in ramp(
                row["monday"],
                row["weeks"],
                row["channel"],
                row["start"],
                row["change"],
                lighter_every=row["lighter_every"],
                lighter_share=row["lighter_share"],
            ):
                found[week.channel, week.monday] = week
        return [week for key, week in sorted(found.items()) if channel in (None, key[0])]


def meant_weeks(planned: Sequence[RampWeek], weekly: pl.DataFrame) -> pl.DataFrame:
    """Amounts that are meant beside what the squad did: the columns of `AHEAD`.

    Parameters
    ----------
    planned : sequence of RampWeek
        What is meant.
    weekly : DataFrame
        `WEEKLY_FIGURE` table. Each athlete counts with the known amount of the week; weeks without a figure are empty.
    """
    meant = pl.DataFrame(
        [(week.monday, week.channel, CHANNEL_BY_KEY[week.channel].unit, week.amount) for week in planned],
        schema={name: AHEAD[name] for name in ("monday", "channel", "unit", "planned")},
        orient="row",
    )
    done = (
        weekly.filter(pl.col("value").is_not_null())
        .group_by("monday", "channel")
        .agg(
            done=pl.col("value").median(),
            lower=pl.col("value").quantile(0.25, "linear"),
            upper=pl.col("value").quantile(0.75, "linear"),
            athletes=pl.len().cast(pl.Int64),
        )
    )
    joined = meant.join(done, on=["monday", "channel"], how="left", maintain_order="left")
    return joined.select(list(AHEAD))


def meant_by_athlete(planned: Sequence[RampWeek], weekly: pl.DataFrame, athletes: pl.DataFrame) -> pl.DataFrame:
    """What each athlete did of what was meant for one week.

    Parameters
    ----------
    planned : sequence of RampWeek
        What is meant for the week.
    weekly, athletes : DataFrame
        `WEEKLY_FIGURE` and `ATHLETE` tables.

    Returns
    -------
    DataFrame
        One row for each athlete with a figure: `name`; `kinds` known; how many of them came to `about` as much as was
        meant, `more`, or `less`; `most` and `least`, the kinds furthest above and below; `most_by` and `least_by`, what
        was done of them over what was meant, less 1.
    """
    meant = pl.DataFrame(
        [(week.monday, week.channel, week.amount) for week in planned],
        schema={"monday": pl.Date, "channel": pl.String, "planned": pl.Float64},
        orient="row",
    ).filter(pl.col("planned") > 0)
    done = meant.join(weekly.filter(pl.col("value").is_not_null()), on=["monday", "channel"], how="inner")
    named = done.join(athletes.select("athlete_id", "name"), on="athlete_id", how="inner")
    by = pl.col("value") / pl.col("planned") - 1
    return (
        named.with_columns(by=by)
        .group_by("name")
        .agg(
            kinds=pl.len().cast(pl.Int64),
            about=(pl.col("by").abs() <= LEVEL).sum().cast(pl.Int64),
            more=(pl.col("by") > LEVEL).sum().cast(pl.Int64),
            less=(pl.col("by") < -LEVEL).sum().cast(pl.Int64),
            most=pl.col("channel").sort_by("by").last(),
            most_by=pl.col("by").max(),
            least=pl.col("channel").sort_by("by").first(),
            least_by=pl.col("by").min(),
        )
        .sort("name")
    )


def usual_amount(weekly: pl.DataFrame, channel: str | None) -> float | None:
    """The middle of what athletes did a week over the last four weeks on record; None where nothing is known."""
    if channel is None:
        return None
    last = weekly.filter((pl.col("channel") == channel) & pl.col("value").is_not_null())
    newest = last["monday"].max()
    if not isinstance(newest, dt.date):
        return None
    recent = last.filter(pl.col("monday") > newest - dt.timedelta(weeks=USUAL_WEEKS))
    middle = recent["value"].median()
    return float(middle) if isinstance(middle, (int, float)) else None


def agreed_limits(store: Store, people: People, monday: dt.date) -> tuple[Limit, ...]:
    """Amounts that are agreed for a week: those recorded as such, and those of settled return plans.

    A return plan that was only proposed is no agreement, and one of somebody who has since said no to answers about the
    body counts no longer.
    """
    here = {person.athlete_id for person in people.persons}
    sunday = monday + dt.timedelta(days=6)
    recorded = store.agreed_limits().filter(
        pl.col("athlete_id").is_in(list(here))
        & (pl.col("date_from") <= sunday)
        & (pl.col("date_to").is_null() | (pl.col("date_to") >= monday))
    )
    found = [Limit(*row) for row in recorded.select("athlete_id", "channel", "most").iter_rows()]
    newest = store.return_plans().unique("athlete_id", keep="last", maintain_order=True)
    counted = here - those_who_said_no(store, ANSWERS)
    for row in newest.filter(pl.col("athlete_id").is_in(list(counted))).iter_rows(named=True):
        plan = plan_of_row(row)
        for step in plan.steps:
            if step.monday == monday:
                found += [
                    Limit(row["athlete_id"], channel, step.amount(channel, usual))
                    for channel, usual in plan.usual.items()
                    if channel != "session_load"
                ]
    return tuple(found)
