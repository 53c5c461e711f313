"""The papers of a week: one for the coach, one for each athlete; neither holds anything that people said of a body."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.rounding import place_of
from keelmark.contracts.words import PLACE_WORDS, SCOPE_LINE
from keelmark.report import brief_words as words
from keelmark.report.document import Block, Head, Heading, Items, Paper, Table, Text
from keelmark.report.figures import between, channel_label, days_of, in_full, usual
from keelmark.report.twelve_weeks import PATTERNS

__all__ = ["AthleteWeek", "SquadWeek", "athlete_brief", "coach_brief"]

_MOST_QUIET, _MOST_NOTICES, _MOST_DUE, _MOST_ABOVE = 12, 4, 6, 12


@dataclass(frozen=True, slots=True)
class SquadWeek:
    """A squad's week.

    Parameters
    ----------
    monday : date
        Its first day.
    known : sequence of (str, int)
        Everybody's first name and days on record, fewest first.
    notices : sequence of mapping
        Rows of the NOTICE table of the week, in their order.
    above : mapping
        Names of those whose week lies above their usual range, by channel.
    due : sequence of str
        Decisions that are to be looked at again by the end of the next week, in words.
    named : sequence of str
        What the calendar calls the week.
    """

    monday: date
    known: Sequence[tuple[str, int]]
    notices: Sequence[Mapping[str, Any]]
    above: Mapping[str, Sequence[str]]
    due: Sequence[str] = ()
    named: Sequence[str] = ()


@dataclass(frozen=True, slots=True)
class AthleteWeek:
    """One athlete's week.

    Parameters
    ----------
    name : str
        First name.
    monday : date
        Its first day.
    known_days : int
        Days on record.
    figures : mapping
        By channel a row with value, low, high, lower, upper and place.
    made : tuple of (str, sequence of str)
        The kind of work that lies highest against its usual range, by key, and its three largest contributors in
        words; no words where nothing is known of it.
    named : sequence of str
        What the calendar calls the week.
    """

    name: str
    monday: date
    known_days: int
    figures: Mapping[str, Mapping[str, Any]]
    made: tuple[str, Sequence[str]] = ("session_load", ())
    named: Sequence[str] = ()


def coach_brief(week: SquadWeek, *, made_on: date) -> Paper:
    """The coach's paper: coverage, what stands out, what is above the usual range, what is due."""
    blocks: list[Block] = [*_calendar(week.named), *_coverage(week), *_notices(week), *_above(week)]
    if week.due:
        blocks += [Heading("To look at again"), Items(_at_most(list(week.due), _MOST_DUE))]
    blocks += [Text(words.NO_HEALTH, "soft"), Text(SCOPE_LINE, "scope"), Text(words.CARE)]
    title = f"The squad, week {week.monday.isocalendar().week}: {days_of(week.monday)}"
    return Paper(title, words.COACH_ABOUT, tuple(blocks), words.FOOT.format(day=in_full(made_on)))


def athlete_brief(week: AthleteWeek, *, made_on: date) -> Paper:
    """An athlete's paper: days on record, each kind of work beside the own usual range, what made the most of it."""
    blocks: list[Block] = [*_calendar(week.named), Text(_own_coverage(week.known_days))]
    rows = tuple(_own_row(key, week.figures[key]) for key in PATTERNS if key in week.figures)
    if rows:
        heads = (
            Head("Kind of work", share=1.3),
            Head("This week", "figure", 1.3),
            Head("Your usual range", "figure", 1.0),
            Head("Where it lies", share=1.3),
        )
        blocks += [Heading("What you did"), Table("In brackets: what the true figure lies between.", heads, rows)]
    channel, made = week.made
    if made:
        title = f"What made most of it: {CHANNEL_BY_KEY[channel].label.lower()}"
        blocks += [Heading(title), Items(tuple(made))]
    blocks += [Text(words.NOT_SAID), Text(SCOPE_LINE, "scope"), Text(words.CARE)]
    title = f"{week.name}, week {week.monday.isocalendar().week}: {days_of(week.monday)}"
    return Paper(title, words.ATHLETE_ABOUT, tuple(blocks), words.FOOT.format(day=in_full(made_on)))


def _calendar(named: Sequence[str]) -> list[Block]:
    return [Text(f"In the calendar: {', '.join(named)}.", "strong")] if named else []


def _coverage(week: SquadWeek) -> list[Block]:
    whole = sum(1 for _, days in week.known if days == 7)
    quiet = [(name, days) for name, days in week.known if days < 7]
    blocks: list[Block] = [
        Heading("On record"),
        Text(f"{whole} of {len(week.known)} people have every day of the week on record."),
    ]
    if quiet:
        named = [f"{name} ({days} of 7)" for name, days in quiet]
        blocks.append(Text(", ".join(_at_most(named, _MOST_QUIET)) + f". {words.OPEN_DAYS}"))
    return blocks


def _notices(week: SquadWeek) -> list[Block]:
    title = Heading("What stands out")
    if not week.notices:
        return [title, Text(words.NOTHING_STANDS_OUT)]
    blocks: list[Block] = [title]
    for row in week.notices[:_MOST_NOTICES]:
        made = f"Mostly {row['contributors'][0]}." if row["contributors"] else ""
        blocks += [Text(row["headline"], "strong"), Text(f"{row['usual']} {made} {row['not_known']}")]
    more = len(week.notices) - _MOST_NOTICES
    if more > 0:
        blocks.append(Text(f"{more} more on the Squad page."))
    return [*blocks, Text(week.notices[0]["how_often"], "soft")]


def _above(week: SquadWeek) -> list[Block]:
    if not week.above:
        return []
    rows = [
        (CHANNEL_BY_KEY[key].label, ", ".join(_at_most(list(names), _MOST_ABOVE))) for key, names in week.above.items()
    ]
    heads = (Head("Kind of work", share=1.0), Head("Who", share=2.6))
    return [Heading("Weeks above the own usual range"), Table(words.BY_CHANCE, heads, tuple(rows))]


def _own_coverage(days: int) -> str:
    if days == 7:
        return "Every day of the week is on record."
    return (
        f"{days} of 7 days are on record. If there was training on the others, tell the coach; the figures will grow."
    )


def _own_row(key: str, row: Mapping[str, Any]) -> tuple[str, ...]:
    unit = CHANNEL_BY_KEY[key].unit
    value, low, high = row["value"], row["low"], row["high"]
    marks = [mark for mark in (row["lower"], row["upper"]) if mark is not None]
    place = None if value is None else place_of(value, low, high, marks)
    return (
        channel_label(key),
        between(value, low, high, unit),
        usual(row["lower"], row["upper"], unit, place),
        PLACE_WORDS[row["place"] or "not_known"],
    )


def _at_most(lines: list[str], most: int) -> tuple[str, ...]:
    more = len(lines) - most
    return (*lines[:most], f"and {more} more") if more > 0 else tuple(lines)
