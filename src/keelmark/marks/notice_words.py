"""A notice in words: what was done, the usual range, what made it, what is not known, what could be done."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.rounding import place_of, told
from keelmark.load.first_times import FirstTime
from keelmark.marks.amounts import (
    COUNTED,
    amount,
    amount_of,
    channel_amount,
    channel_words,
    day_words,
    figure,
    list_words,
    week_words,
)
from keelmark.marks.settings import RATES, MarkSettings

__all__ = [
    "LEAVE_IT",
    "QUIETENED",
    "SHOWN",
    "contributor_words",
    "first_words",
    "headline",
    "how_often",
    "not_known",
    "options",
    "usual",
]

QUIETENED = "This rule was quietened: in this squad it spoke too often when nothing had changed."
LEAVE_IT = "Leave it: if the week was meant to be like this, name it in the calendar, with its amount."
SHOWN = 3
"""Contributors that a notice names."""


def headline(name: str, row: dict[str, Any]) -> str:
    """What was done: `In the week of 2 March, Runa's jump contacts came to 412, 1.8 times the expected 230.`"""
    channel = CHANNEL_BY_KEY[row["channel"]]
    place = _place(row)
    # One digit more of what a rise began from, which is the smaller figure.
    before_it = None if place is None or not row["slow"] else place - 1
    done, expected = channel_amount(row["value"], channel, place), channel_amount(row["expected"], channel, before_it)
    times = f"{_times(row['value'] / row['expected'])} times the"
    what, when = f"{name}'s {channel_words(channel)}", week_words(row["monday"])
    if row["slow"]:
        before = f"{times} {expected} that were usual two to six months before"
        return f"{what} crept up: the four weeks to {when} lay around {done}, {before}."
    return f"In {when}, {what} came to {done}, {times} expected {expected}."


def _times(ratio: float) -> str:
    """How many times, whole from 5 on: the two amounts beside it bear no more."""
    return figure(round(ratio, 1 if ratio < 5 else 0))


def usual(row: dict[str, Any]) -> str:
    """The usual range, and the other channels that stand out with it."""
    unit, place = CHANNEL_BY_KEY[row["channel"]].unit, _place(row)
    weeks = "weeks 9 to 24 before" if row["slow"] else f"{row['weeks']} earlier weeks"
    text = (
        f"The usual range, from {weeks}, is {figure(row['lower'], unit, place)} to {amount(row['upper'], unit, place)}."
    )
    if row["slow"]:
        text += " Each week alone may lie inside its own marks, which follow slowly."
    if unit == "index":
        text += f" This index is {CHANNEL_BY_KEY[row['channel']].meaning}."
    if row["with_it"]:
        others = list_words([channel_words(CHANNEL_BY_KEY[key]) for key in row["with_it"]])
        text += f" Also above their usual range: {others}."
    return text + _name(row)


def _name(row: dict[str, Any]) -> str:
    """What the calendar calls the week."""
    if row["label"] is None or row["slow"]:
        return ""
    if row["after"]:
        return f" It is the week after “{row['label']}”, and its range is the wider for that."
    return f" The calendar calls the week “{row['label']}”, and what is expected goes by that."


def not_known(row: dict[str, Any]) -> str:
    """What the figure cannot know."""
    unit = CHANNEL_BY_KEY[row["channel"]].unit
    missing = 7 - row["known_days"]
    parts = []
    if missing:
        parts.append(f"{_days(missing)} of the week {'is' if missing == 1 else 'are'} not fully known: it may be more.")
    else:
        parts.append("All seven days of the week are on record.")
    if row["assumed_rest_days"]:
        parts.append(f"{_days(row['assumed_rest_days'])} without a record counted as rest.")
    if row["high"] is not None and row["high"] - row["low"] > 0.1 * row["value"]:
        ends = told(row["value"], row["low"], row["high"], whole=unit in COUNTED)
        span = f"{ends.low} and {amount_of(ends.high or '', unit)}".replace(",", "\u202f")
        parts.append(f"With what is uncertain, {'this week' if row['slow'] else 'it'} lies between {span}.")
    parts.append("Work outside the log is not seen.")
    return " ".join(parts)


def _place(row: dict[str, Any]) -> int | None:
    """The last digit that is told of a week and its marks.

    The middle of several weeks has no interval of its own; the range of usual steps around it stands for one.
    """
    ends = (row["lower"], row["upper"]) if row["slow"] else (row["low"], row["high"])
    return place_of(row["value"], *ends, [row["lower"], row["upper"]])


def first_words(found: FirstTime, catalogue: Catalogue, *, name: str = "", load: str = "") -> str:
    """`First box jumps in 31 weeks.`, `40 deadlifts in one set at 60 kg; the most in the half year before was 10.`

    `name` and `load` stand in place of the English name and the kilograms where somebody wants to be told otherwise.
    """
    label = name or _plural(catalogue.names.label(found.movement))
    if found.reps is None:
        return f"First {label} on record." if found.weeks is None else f"First {label} in {found.weeks} weeks."
    at = f" at {load or figure(found.load_kg) + ' kg'}" if found.load_kg else ""
    before = (
        f"the most in the half year before was {found.before}" if found.before else "none such in the half year before"
    )
    return f"{found.reps} {label} in one set{at}; {before}."


def how_often(settings: MarkSettings, slow: bool) -> str:
    """How often notices would appear if nothing had changed, from the rates of the two rules."""
    both = settings.week_rate + settings.slow_rate
    text = (
        f"If nothing had changed for anybody, at most about 1 week in {round(1 / both)} "
        "would bring any notice for the whole squad."
    )
    rate, usual_rate = (settings.slow_rate, RATES["slow"]) if slow else (settings.week_rate, RATES["week"])
    return f"{text} {QUIETENED}" if rate < usual_rate else text


def contributor_words(rows: pl.DataFrame, catalogue: Catalogue) -> list[str]:
    """The largest contributors: `60 box jumps on Tue 3 Mar (row 412), 45 % of the week`.

    Parameters
    ----------
    rows : DataFrame
        Rows of `contributions_to` for one key.
    catalogue : Catalogue
        For the names of movements.
    """
    summed = rows.group_by("date", "movement", maintain_order=True).agg(
        pl.col("contribution").sum(),
        pl.col("share").sum(),
        (pl.col("reps") * pl.col("sets")).sum().alias("reps"),
        (pl.col("distance_m") * pl.col("sets")).sum().alias("distance_m"),
        (pl.col("duration_s") * pl.col("sets")).sum().alias("duration_s"),
        (pl.col("calories") * pl.col("sets")).sum().alias("calories"),
        pl.col("load_kg").min().alias("lightest"),
        pl.col("load_kg").max().alias("heaviest"),
        pl.col("source_row").drop_nulls().sort().alias("rows"),
        pl.col("text").first(),
    )
    largest = summed.sort("contribution", descending=True, maintain_order=True).head(SHOWN)
    return [_contributor(row, catalogue) for row in largest.iter_rows(named=True)]


def _contributor(row: dict[str, Any], catalogue: Catalogue) -> str:
    if row["movement"] == "session":
        work = row["text"] or "session"
    else:
        work = _work(row, catalogue.names.label(row["movement"])) + _loads(row["lightest"], row["heaviest"])
    place = _rows(row["rows"])
    share = f", {100 * row['share']:.0f} % of the week" if row["share"] is not None else ""
    return f"{work} on {day_words(row['date'])}{place}{share}"


def _work(row: dict[str, Any], label: str) -> str:
    if row["reps"]:
        return f"{figure(row['reps'], 'rep')} {label if row['reps'] == 1 else _plural(label)}"
    if row["distance_m"]:
        return f"{figure(row['distance_m'])} m of {label}"
    if row["calories"]:
        return f"{figure(row['calories'])} kcal of {label}"
    if row["duration_s"]:
        return f"{figure(row['duration_s'])} s of {label}"
    return label


def _plural(label: str) -> str:
    if label.endswith(("s", "toes to bar")):
        return label
    return f"{label}es" if label.endswith(("ch", "sh", "x")) else f"{label}s"


def _loads(lightest: float | None, heaviest: float | None) -> str:
    if not heaviest:
        return ""
    if lightest == heaviest:
        return f" at {figure(heaviest)} kg"
    return f" at {figure(lightest or 0.0)} to {figure(heaviest)} kg"


def _rows(rows: Sequence[int]) -> str:
    if not rows:
        return ""
    if len(rows) == 1:
        return f" (row {rows[0]})"
    unbroken = list(rows) == list(range(rows[0], rows[0] + len(rows)))
    listed = f"{rows[0]} to {rows[-1]}" if unbroken else list_words([str(row) for row in rows])
    return f" (rows {listed})"


def options(row: dict[str, Any], rows: pl.DataFrame, catalogue: Catalogue) -> list[str]:
    """What could be done: leave, spread, scale, swap."""
    channel = CHANNEL_BY_KEY[row["channel"]]
    found = [LEAVE_IT]
    known = rows.filter(pl.col("contribution").is_not_null())
    if channel.gather == "sum" and not known.is_empty():
        found += _spread(known, channel.unit, _place(row))
    if row["value"] > 0 and row["upper"] < row["value"]:
        less, edge = 1 - row["upper"] / row["value"], amount(row["upper"], channel.unit, _place(row))
        found.append(f"Scale it: {edge} next time, {_less_words(less)}, is the upper edge of the usual range.")
    if not known.is_empty():
        found += _swap(known, row["channel"], catalogue)
    return found


def _less_words(less: float) -> str:
    """`about 80 % less`, to the nearest 5: the amounts beside it bear no more."""
    rounded = 5 * round(20 * less)
    return f"about {rounded} % less" if rounded else "a little less"


def _spread(known: pl.DataFrame, unit: str, place: int | None) -> list[str]:
    days = known.group_by("date").agg(pl.col("contribution").sum()).sort("contribution", descending=True)
    day: date = days["date"][0]
    share = days["contribution"][0] / days["contribution"].sum()
    if share < 0.5:
        return []
    return [
        f"Spread it: {day_words(day)} alone held {100 * share:.0f} % ({amount(days['contribution'][0], unit, place)}); "
        "a second day could take part of it."
    ]


def _swap(known: pl.DataFrame, channel: str, catalogue: Catalogue) -> list[str]:
    largest = (
        known.group_by("movement").agg(pl.col("contribution").sum()).sort("contribution", "movement", descending=True)
    )
    label = catalogue.names.label
    for name in largest["movement"].head(SHOWN):
        for swap in catalogue[name].swaps if name in catalogue else ():
            if not _feeds(catalogue, swap.to, channel):
                instead = f"{figure(swap.ratio.value)} {label(swap.to)} for each {label(name)}"
                return [f"Swap it: {instead} adds none of this work."]
    return []


def _feeds(catalogue: Catalogue, name: str, channel: str) -> bool:
    """Whether a movement adds to the channel, as far as its exposures say; channels of load and body always count."""
    movement = catalogue[name]
    exposures = {*movement.per_rep, *movement.per_metre, *movement.per_second}
    plain = channel.removesuffix("_reps").removesuffix("_kg").removesuffix("_high")
    computed = channel in ("session_load", "tonnage", "high_rep", "grip_fatigue") or channel.startswith("lumbar_")
    return computed or plain in exposures


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"
