"""The words of the Check-ins page and of the panel for coming back after a gap."""

from __future__ import annotations

from datetime import date

from keelmark.health import area_label
from keelmark.health.words import STATE_WORDS
from keelmark_dash.words import count, day_words

__all__ = [
    "ALL_WELL", "BEFORE_ANSWERING", "LANES_NOTE", "NO_ANSWERS", "SCALE_NOTE", "SEVERITY_NOTE", "TAKEN_BACK",
    "TAKE_BACK", "cell_said", "episode_words", "noted", "said_so_far",
]  # fmt: skip

ALL_WELL = "All is well"
TAKE_BACK = "Take my last answer back"
TAKEN_BACK = "The last answer is taken back. It stays on record as taken back and counts for nothing."
BEFORE_ANSWERING = (
    "Your answer is kept apart from the training log. It changes no plan and no figure. Whoever opens this page sees "
    "it, so say only what you want to share."
)
LANES_NOTE = "A disc grows with how much a complaint was felt; a tick: all is well; a dash: no answer."
NO_ANSWERS = "Nothing has been told so far. No answer does not mean that all is well."
SEVERITY_NOTE = (
    "Numbers run from 0 to 100 and add up the four answers. They help to compare the weeks of one complaint. They are "
    "no diagnosis."
)
SCALE_NOTE = (
    "The four things asked are those of a published weekly questionnaire (Clarsen and others, 2013 and 2020), in our "
    "own words. What each answer counts (0, 8, 17 or 25) is from memory. Parts of the body follow the IOC consensus of "
    "2020, also from memory."
)


def noted(name: str, week: str, area: str | None) -> str:
    """What was just kept: `Noted for Tove, week 23: all is well.`"""
    told = f"a complaint, {area_label(area).lower()}" if area else "all is well"
    return f"Noted for {name}, {week.lower()}: {told}. Thank you."


def said_so_far(areas: list[str | None], severities: list[float | None]) -> str:
    """What stands of a week."""
    if areas == [None]:
        return "You said that all is well. What you say now takes its place."
    told = ", ".join(
        f"{area_label(area or '').lower()} ({_severity(severity)})"
        for area, severity in zip(areas, severities, strict=True)
    )
    return (
        f"You told this: {told}. The same part told again takes its place, another part stands beside it, and "
        f"“{ALL_WELL}” takes all of it back."
    )


def episode_words(row: dict[str, object]) -> str:
    """One complaint over time: `Knee: since 1 June, 2 weeks, at most 33 of 100; still there`."""
    first, last, over = row["first"], row["last"], row["over"]
    assert isinstance(first, date)
    assert isinstance(last, date)
    weeks = count(int(str(row["weeks"])), "week")
    silent = int(str(row["silent_weeks"]))
    quiet = f", {count(silent, 'week')} between without an answer" if silent else ""
    worst = f", at most {_severity(row['worst'])}" if row["worst"] is not None else ""
    again = ", not for the first time" if int(str(row["number"])) > 1 else ""
    state = STATE_WORDS[str(row["state"])]
    if isinstance(over, date):
        state += f" by the week of {_day(over)}"
    elif row["state"] == "no_answer":
        state += f" the week of {_day(last)}"
    return f"told from the week of {_day(first)}, {weeks}{quiet}{worst}{again}; {state}"


def cell_said(week: str, area: str, severity: float | None, *, answered: bool, named: bool) -> str:
    """What one cell of the timeline says."""
    if not answered:
        return f"{week}: no answer"
    return f"{week}: {area_label(area).lower()}, {_severity(severity)}" if named else f"{week}: not named"


def _severity(value: object) -> str:
    return "severity not known" if value is None else f"{float(str(value)):.0f} of 100"


def _day(day: date) -> str:
    return day_words(day).split(" ", 1)[1]
