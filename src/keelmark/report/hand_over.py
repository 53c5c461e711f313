"""One page for a physiotherapist or doctor: what the athlete agreed to show, the coach's questions, a return slip."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import polars as pl

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.errors import RefusedInput
from keelmark.contracts.words import SCOPE_LINE
from keelmark.health.answers import Answers, read_answers
from keelmark.health.areas import area_label
from keelmark.health.questions import QUESTIONS
from keelmark.report import hand_over_words as words
from keelmark.report.document import Block, Head, Heading, Items, Paper, Slip, SlipLine, Strip, Table, Text
from keelmark.report.figures import between, channel_label, in_full, percent, short_day
from keelmark.report.twelve_weeks import WEEKS, Work, changes, known_days, work_of

__all__ = ["MOST_COMPLAINTS", "MOST_LINES", "MOST_QUESTIONS", "HandOver", "hand_over_paper"]

MOST_COMPLAINTS = 7
MOST_QUESTIONS = 400
MOST_LINES = 5
"""Rows of the timeline, signs and lines of the questions that leave the paper on one page."""
_MOST_LIMITS = 4


@dataclass(frozen=True, slots=True)
class HandOver:
    """What is to be handed over.

    Parameters
    ----------
    athlete_id : str
        Whose.
    last : date
        Monday of the last of the twelve weeks.
    fields : tuple of str
        Keys of `hand_over_words.FIELDS` that were agreed to.
    given_by, given_to, given_on
        Who agreed, who may see it, and when that was said.
    questions : str
        What the coach asks, one question a line.
    """

    athlete_id: str
    last: date
    fields: tuple[str, ...]
    given_by: str
    given_to: str
    given_on: date
    questions: str = ""

    def checked(self) -> HandOver:
        """The same, if it can be handed over.

        Raises
        ------
        RefusedInput
            When nobody agreed, nobody is named to see it, nothing is chosen, or the questions are too long.
        """
        if not self.given_by.strip() or not self.given_to.strip():
            raise _refused("a name is missing", "who agreed, and who may see the paper", "write both names")
        unknown = [field for field in self.fields if field not in words.FIELDS]
        if not self.fields or unknown:
            found = f"“{unknown[0]}” cannot be handed over" if unknown else "nothing is chosen"
            raise _refused(found, "one or more of " + ", ".join(words.FIELDS), "choose what the athlete agreed to show")
        lines = len(_lines(self.questions))
        if len(self.questions) > MOST_QUESTIONS or lines > MOST_LINES:
            raise _refused(
                f"the questions have {len(self.questions)} signs in {lines} lines",
                f"at most {MOST_QUESTIONS} signs in {MOST_LINES} lines, so that they stay on the page",
                "shorten them, or ask the rest by telephone",
            )
        return self


def hand_over_paper(
    name: str,
    asked: HandOver,
    weekly: pl.DataFrame,
    check_ins: pl.DataFrame,
    limits: Sequence[str],
    *,
    made_on: date,
) -> Paper:
    """The paper.

    Parameters
    ----------
    name : str
        The athlete's first name.
    asked : HandOver
        What was agreed to and asked.
    weekly : DataFrame
        WEEKLY_FIGURE table.
    check_ins : DataFrame
        CHECK_IN table of the athlete.
    limits : sequence of str
        What is agreed for training at present, in words.
    made_on : date
        The day it is made.

    Returns
    -------
    Paper
        One page of A4.
    """
    asked.checked()
    parts: dict[str, Callable[[], list[Block]]] = {
        "load": lambda: _load(weekly, asked),
        "changes": lambda: _changes(weekly, asked),
        "coverage": lambda: _coverage(weekly, asked),
        "complaints": lambda: _complaints(check_ins, asked),
        "limits": lambda: _limits(limits),
    }
    blocks: list[Block] = [Text(_consent(name, asked), "strong")]
    for key, part in parts.items():
        if key in asked.fields:
            blocks += part()
    blocks += _questions(asked.questions)
    blocks += [_slip(name), Text(SCOPE_LINE, "scope")]
    first = asked.last - timedelta(weeks=WEEKS - 1)
    last = asked.last + timedelta(days=6)
    title = f"{name}: training from {in_full(first)} to {in_full(last)}"
    return Paper(title, words.OPENING, tuple(blocks), words.FOOT.format(day=in_full(made_on)))


def _consent(name: str, asked: HandOver) -> str:
    whose = "" if asked.given_by.casefold() == name.casefold() else f" for {name}"
    shown = "; ".join(words.FIELDS[field] for field in words.FIELDS if field in asked.fields)
    return f"{asked.given_by} agreed{whose} on {in_full(asked.given_on)} that {asked.given_to} may see: {shown}."


def _load(weekly: pl.DataFrame, asked: HandOver) -> list[Block]:
    found = work_of(weekly, asked.athlete_id, asked.last)
    if not found:
        return [Heading("Work done"), Text("No work is on record in these twelve weeks.")]
    starts = [asked.last - timedelta(weeks=back) for back in (11, 7, 3)]
    heads = (
        Head("Kind of work", share=1.5),
        Head("12 weeks", share=0.9),
        *(Head(f"4 weeks from {short_day(start)}", "figure", 1.25) for start in starts),
    )
    rows = tuple(_work_row(work) for work in found)
    return [Heading("Work done"), Table(words.WORK_NOTE, heads, rows)]


def _work_row(work: Work) -> tuple[str | Strip, ...]:
    unit = CHANNEL_BY_KEY[work.channel].unit
    told = ", ".join("not known" if value is None else f"{value:.0f}" for value in work.weeks)
    means = []
    for mean in work.means:
        thin = f"; {mean.weeks} of 4 weeks" if 0 < mean.weeks < 4 else ""
        means.append(between(mean.value, mean.low, mean.high, unit) + thin)
    return (channel_label(work.channel), Strip(work.weeks, f"Week by week: {told}"), *means)


def _changes(weekly: pl.DataFrame, asked: HandOver) -> list[Block]:
    found = changes(weekly, asked.athlete_id, asked.last)
    if not found:
        return [Heading("What changed most"), Text("Too few weeks are fully on record to say.")]
    lines = []
    for one in found:
        unit = CHANNEL_BY_KEY[one.channel].unit
        now, before = between(one.now, None, None, unit), between(one.before, None, None, unit)
        lines.append(
            f"{channel_label(one.channel)}: {now} a week in the last four weeks, {before} in the eight before "
            f"({percent(one.share)})"
        )
    return [Heading("What changed most"), Items(tuple(lines))]


def _coverage(weekly: pl.DataFrame, asked: HandOver) -> list[Block]:
    days = known_days(weekly, asked.athlete_id, asked.last)
    whole = sum(1 for known in days if known == 7)
    said = f"{sum(days)} of {7 * WEEKS} days are on record; {whole} of {WEEKS} weeks are whole."
    rest = " On the other days there may have been more work." if sum(days) < 7 * WEEKS else ""
    return [Heading("How much is on record"), Text(said + rest + " Work outside the log is not in it.")]


def _complaints(check_ins: pl.DataFrame, asked: HandOver) -> list[Block]:
    first = asked.last - timedelta(weeks=WEEKS - 1)
    told = [row for row in _weeks_told(check_ins) if first <= row.monday <= asked.last]
    named = [row for row in told if row.area is not None]
    answered = len({row.monday for row in told})
    title = Heading("What was told about the body, in the athlete's answers")
    counted = f"{answered} of {WEEKS} weeks were answered."
    if not named:
        return [title, Text(f"{words.NO_COMPLAINT} {counted}")]
    heads = (Head("Week of", share=0.55), Head("Where", share=0.8), *(_asked(key) for key in _COLUMNS))
    shown = tuple(_told_row(row) for row in named[-MOST_COMPLAINTS:])
    older = len(named) - len(shown)
    more = f" {older} earlier answers are not shown." if older else ""
    return [title, Table(f"The newest last. {counted}{more}", heads, shown)]


@dataclass(frozen=True, slots=True)
class _Told:
    monday: date
    area: str | None
    answers: Answers | None


_COLUMNS = {
    "taking_part": ("Could join in", 1.5),
    "amount": ("Changed training", 0.9),
    "performance": ("Lifts, times and skills", 0.9),
    "symptoms": ("Felt it", 0.7),
}
_OPTIONS = {question.key: question.options for question in QUESTIONS}


def _asked(key: str) -> Head:
    text, share = _COLUMNS[key]
    return Head(text, share=share)


def _weeks_told(check_ins: pl.DataFrame) -> list[_Told]:
    """What stands of each answered week and area, as in `keelmark.health.weeks_said`, with the answers themselves."""
    stands: dict[str, dict[str | None, _Told]] = {}
    for row in check_ins.iter_rows(named=True):
        week = stands.setdefault(row["week"], {})
        if row["area"] is None:
            week.clear()
        else:
            week.pop(None, None)
        monday = date.fromisoformat(f"{row['week']}-1")
        week[row["area"]] = _Told(monday, row["area"], read_answers(row["scale_id"], row["answers"]))
    return [stands[week][area] for week in sorted(stands) for area in sorted(stands[week], key=str)]


def _told_row(row: _Told) -> tuple[str, ...]:
    said = [_option(key, row.answers) for key in _COLUMNS] if row.answers else ["not asked"] * len(_COLUMNS)
    return short_day(row.monday), area_label(row.area or ""), *said


def _option(key: str, answers: Answers) -> str:
    place = getattr(answers, key)
    return "not asked" if place is None else f"“{_OPTIONS[key][place]}”"


def _limits(limits: Sequence[str]) -> list[Block]:
    title = Heading("Agreed for training at present")
    if not limits:
        return [title, Text("Nothing is agreed.")]
    shown = tuple(limits[:_MOST_LIMITS])
    more = len(limits) - len(shown)
    return [title, Items((*shown, f"and {more} more") if more else shown)]


def _questions(questions: str) -> list[Block]:
    lines = _lines(questions)
    return [Heading("The coach asks"), Items(lines)] if lines else []


def _lines(questions: str) -> tuple[str, ...]:
    return tuple(line.strip() for line in questions.splitlines() if line.strip())


def _slip(name: str) -> Slip:
    return Slip(
        f"{words.SLIP_TITLE}: {name}",
        words.SLIP_OPENING,
        (
            SlipLine("", tuple(words.VERDICTS.values())),
            SlipLine("Limited how (which work, how much):", lines=2),
            SlipLine("From:  ____________   To:  ____________   Look at it again on:  ____________"),
            SlipLine("Name and day:", lines=1),
        ),
    )


def _refused(found: str, wanted: str, remedy: str) -> RefusedInput:
    return RefusedInput(found, where="hand-over", wanted=wanted, remedy=remedy)
