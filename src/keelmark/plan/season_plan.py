"""A season ahead: amounts that are meant week by week, against what was done, and the calendar around them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import polars as pl

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.errors import SettingError

__all__ = ["PLANNED_AND_DONE", "TAPER_CONTEXT", "RampWeek", "planned_against_done", "ramp"]

TAPER_CONTEXT = (
    "For context only: in pooled studies of swimmers, runners and cyclists, performance gained most when volume was "
    "cut by 41 to 60 % over two weeks with intensity kept (Bosquet et al. 2007). It is no limit, and no advice for "
    "one person."
)

PLANNED_AND_DONE = {
    "monday": pl.Date, "channel": pl.String, "unit": pl.String, "planned": pl.Float64, "done": pl.Float64,
    "low": pl.Float64, "high": pl.Float64, "difference": pl.Float64,
}  # fmt: skip
"""Columns of planned against done; what was done is empty where nothing of the week is known."""


@dataclass(frozen=True, slots=True)
class RampWeek:
    """An amount that is meant for a week and channel, in the channel's unit."""

    monday: dt.date
    channel: str
    amount: float


def ramp(
    monday: dt.date,
    weeks: int,
    channel: str,
    start: float,
    change: float,
    *,
    lighter_every: int | None = None,
    lighter_share: float = 0.6,
) -> list[RampWeek]:
    """A planned ramp: each week a share more, or less, than the week before, with lighter weeks in between.

    Parameters
    ----------
    monday : date
        First day of the first week.
    weeks : int
        How many weeks.
    channel : str
        Key of the channel.
    start : float
        Amount of the first week, in the channel's unit.
    change : float
        Change from week to week as a share, such as 0.05; lighter weeks take no part in it.
    lighter_every : int, optional
        Weeks from one lighter week to the next.
    lighter_share : float
        Amount of a lighter week as a share of what the week would have been.

    Raises
    ------
    SettingError
        When a figure cannot be used.
    """
    _check_ramp(monday, weeks, channel, start, change)
    found, amount = [], start
    for number in range(weeks):
        lighter = bool(lighter_every) and (number + 1) % int(lighter_every or 1) == 0
        found.append(
            RampWeek(monday + dt.timedelta(weeks=number), channel, amount * (lighter_share if lighter else 1.0))
        )
        if not lighter:
            amount *= 1 + change
    return found


def _check_ramp(monday: dt.date, weeks: int, channel: str, start: float, change: float) -> None:
    """Refuse the first figure that cannot be used, by name."""
    kinds = ", ".join(CHANNEL_BY_KEY)
    before = monday - dt.timedelta(days=monday.weekday())
    for wrong, found, wanted in (
        (channel not in CHANNEL_BY_KEY, f"there is no kind of work “{channel}”", f"one of {kinds}"),
        (monday.weekday() != 0, f"{monday} is a {monday:%A}", f"a Monday, such as {before}"),
        (weeks < 1, f"{weeks} weeks were given", "one week or more"),
        (not 0 <= start < float("inf"), f"the first week's amount is {start:g}", "an amount of 0 or more"),
        (not -1 < change < float("inf"), f"a change of {100 * change:+g} % a week", "a change of more than -100 %"),
    ):
        if wrong:
            raise SettingError(found, where="planned ramp", wanted=wanted, remedy="mend it and keep the ramp again")


def planned_against_done(planned: Sequence[RampWeek], weekly: pl.DataFrame, athlete_id: str) -> pl.DataFrame:
    """An athlete's planned amounts beside what was done.

    Parameters
    ----------
    planned : sequence of RampWeek
        What was meant.
    weekly : DataFrame
        `WEEKLY_FIGURE` table.
    athlete_id : str
        Whose weeks.

    Returns
    -------
    DataFrame
        Columns of `PLANNED_AND_DONE`; `difference` is done minus planned.
    """
    meant = pl.DataFrame(
        [(week.monday, week.channel, CHANNEL_BY_KEY[week.channel].unit, week.amount) for week in planned],
        schema={name: PLANNED_AND_DONE[name] for name in ("monday", "channel", "unit", "planned")},
        orient="row",
    )
    done = weekly.filter(pl.col("athlete_id") == athlete_id).select("monday", "channel", "low", "high", done="value")
    joined = meant.join(done, on=["monday", "channel"], how="left", maintain_order="left")
    return joined.with_columns(difference=pl.col("done") - pl.col("planned")).select(list(PLANNED_AND_DONE))
