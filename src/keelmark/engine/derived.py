"""Days and weeks that follow from a squad's tables, kept with what they rest on: a change costs what it touches.

Days are worked out anew for athletes whose record changed, from the first day on that did. Weeks are worked out anew
for the training groups of those athletes, because what is likely on a missing day is told from the whole group's days,
later ones among them. Everything else is taken over; the result has the same bits as working out everything.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.channels import CHANNELS
from keelmark.dose import daily_dose
from keelmark.dose.rep_maxima import RECENT_DAYS
from keelmark.engine.digests import day_digests, first_changes, general_key, own_digests
from keelmark.engine.partitions import Tables
from keelmark.load import LoadSettings, weekly_figures
from keelmark.load.calendar import monday_of

__all__ = ["Derived", "derive"]

_CHANNEL = pl.Enum([channel.key for channel in CHANNELS])


@dataclass(frozen=True, slots=True)
class Derived:
    """Daily doses and weekly figures, with the keys of what they rest on.

    `rules` stands for the catalogue and the version of the rules, `choices` for those and the settings of the weeks
    with their calendar; `days` and `own` are the tables of `day_digests` and `own_digests`.
    """

    daily: pl.DataFrame
    weekly: pl.DataFrame
    rules: str
    choices: str
    days: pl.DataFrame
    own: pl.DataFrame
    groups: pl.DataFrame


def derive(
    tables: Tables, catalogue: Catalogue, settings: LoadSettings, rules: str, before: Derived | None = None
) -> Derived:
    """Work out days and weeks, taking over what has not changed.

    Parameters
    ----------
    tables : Tables
        The squad as it is now.
    catalogue : Catalogue
        Holds every movement of the efforts.
    settings : LoadSettings
        Choices of the squad, with the last day that can be known.
    rules : str
        Version of the rules; figures of another version are never taken over.
    before : Derived, optional
        What was worked out last; if not given, everything is worked out.

    Returns
    -------
    Derived
        `daily` as from `daily_dose`, `weekly` as from `weekly_figures`, bit by bit.
    """
    digests = day_digests(tables), own_digests(tables)
    of_rules = general_key(catalogue, LoadSettings(), rules)
    choices = f"{general_key(catalogue, settings, rules)} {_calendar(digests[0], settings)}"
    groups = tables.athletes.select("athlete_id", "group")
    if before is None or before.rules != of_rules:
        daily = daily_dose(tables.efforts, tables.sessions, tables.athletes, tables.rep_maxima, catalogue)
        weekly = weekly_figures(daily, tables.athletes, tables.day_states, settings)
        return Derived(daily, weekly, of_rules, choices, *digests, groups)
    changed = first_changes((before.days, before.own), digests)
    daily = _days(tables, catalogue, before.daily, changed) if changed else before.daily
    if choices != before.choices or settings.until is None:
        weekly = weekly_figures(daily, tables.athletes, tables.day_states, settings)
    else:
        weekly = _weeks(tables, settings, daily, before, changed)
    return Derived(daily, weekly, of_rules, choices, *digests, groups)


def _calendar(days: pl.DataFrame, settings: LoadSettings) -> str:
    """First week and last day of the weeks, which all athletes share."""
    first, last = days["date"].min(), days["date"].max()
    return f"{monday_of(first) if isinstance(first, date) else None} {settings.until or last!r}"


def _days(tables: Tables, catalogue: Catalogue, daily: pl.DataFrame, changed: dict[str, date]) -> pl.DataFrame:
    since = pl.DataFrame(
        {"athlete_id": list(changed), "since": list(changed.values())},
        schema={"athlete_id": pl.String, "since": pl.Date},
    )
    kept = daily.join(since, on="athlete_id", how="left", maintain_order="left")
    kept = kept.filter(pl.col("since").is_null() | (pl.col("date") < pl.col("since"))).drop("since")
    later = [day for day in changed.values() if day != date.min]
    whole = [key for key, day in changed.items() if day == date.min]
    parts = [kept, _new_days(tables, catalogue, whole, None)]
    if later:
        first = min(later)
        new = _new_days(tables, catalogue, [key for key, day in changed.items() if day != date.min], first)
        new = new.join(since, on="athlete_id", how="left", maintain_order="left")
        parts.append(new.filter(pl.col("date") >= pl.col("since")).drop("since"))
    order = ("athlete_id", "date", pl.col("channel").cast(_CHANNEL))
    return pl.concat(parts).sort(*order)


def _new_days(tables: Tables, catalogue: Catalogue, keys: list[str], since: date | None) -> pl.DataFrame:
    if since is not None:
        some = tables.efforts.filter(pl.col("date") >= since - timedelta(days=RECENT_DAYS))
        efforts = some.filter(pl.col("athlete_id").is_in(keys))
    else:
        efforts = tables.efforts.filter(pl.col("athlete_id").is_in(keys))
    sessions, athletes, rep_maxima = (
        _of(frame, keys) for frame in (tables.sessions, tables.athletes, tables.rep_maxima)
    )
    return daily_dose(efforts, sessions, athletes, rep_maxima, catalogue, since=since)


def _weeks(
    tables: Tables, settings: LoadSettings, daily: pl.DataFrame, before: Derived, changed: dict[str, date]
) -> pl.DataFrame:
    """Weeks of the groups that a changed athlete is in or was in; the rest as before."""
    if not changed:
        return before.weekly
    first = before.days["date"].min()
    listed = pl.concat([tables.athletes.select("athlete_id", "group"), before.groups])
    groups = set(listed.filter(pl.col("athlete_id").is_in(list(changed)))["group"])
    touched = {key for key, group in listed.iter_rows() if group in groups} | set(changed)
    strangers = (set(daily["athlete_id"].unique()) | set(changed)) - set(listed["athlete_id"])
    if None in groups or strangers & set(changed):
        touched |= strangers | set(listed.filter(pl.col("group").is_null())["athlete_id"])
    some = list(touched)
    new = weekly_figures(
        _of(daily, some),
        _of(tables.athletes, some),
        _of(tables.day_states, some),
        settings,
        first=first if isinstance(first, date) else None,
    )
    kept = before.weekly.filter(~pl.col("athlete_id").is_in(some))
    order = ("athlete_id", pl.col("channel").cast(_CHANNEL), "monday")
    return pl.concat([kept, new]).sort(*order)


def _of(frame: pl.DataFrame, keys: list[str]) -> pl.DataFrame:
    return frame.filter(pl.col("athlete_id").is_in(keys))
