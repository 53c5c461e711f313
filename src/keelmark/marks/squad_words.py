"""A notice about the whole squad in words: one cause, told once, with the sessions that made it."""

from __future__ import annotations

from typing import Any

import polars as pl

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.marks.amounts import amount, channel_words, day_words, figure, list_words, week_words
from keelmark.marks.notice_words import LEAVE_IT

__all__ = ["session_words", "squad_headline", "squad_not_known", "squad_options", "squad_usual"]

NAMED = 3
"""Sessions, and athletes, that a notice names."""


def squad_headline(row: dict[str, Any]) -> str:
    """`In the week of 2 March, 14 of 18 athletes lay above their own usual range of jump contacts.`"""
    what, when = channel_words(CHANNEL_BY_KEY[row["channel"]]), week_words(row["monday"])
    who = f"{row['above']} of {row['people']} athletes"
    if row["slow"]:
        return f"The squad's {what} crept up: in the four weeks to {when}, {who} lay above what was usual before."
    return f"In {when}, {who} lay above their own usual range of {what}."


def squad_usual(row: dict[str, Any], furthest: list[str]) -> str:
    """What was expected of the athlete in the middle, who lay furthest above, and what else stands out."""
    unit = CHANNEL_BY_KEY[row["channel"]].unit
    done, expected = amount(row["value"], unit), figure(row["expected"], unit)
    text = f"The athlete in the middle did {done}; {expected} was to be expected. One notice stands for all of them."
    if furthest:
        text += f" Furthest above: {list_words(furthest[:NAMED])}."
    if row["with_it"]:
        others = list_words([channel_words(CHANNEL_BY_KEY[key]) for key in row["with_it"]])
        text += f" Also above for most of the squad: {others}."
    return text


def session_words(rows: pl.DataFrame) -> list[str]:
    """The sessions that made most of it: `Tuesday pulls on Tue 3 Mar, 45 % of the squad's week`.

    Parameters
    ----------
    rows : DataFrame
        Rows of `contributions_to` for the week and channel, with the `label` of the session.
    """
    summed = rows.group_by("date", "label", maintain_order=True).agg(pl.col("contribution").sum())
    total = float(summed["contribution"].sum())
    if not total:
        return []
    largest = summed.sort("contribution", descending=True, maintain_order=True).head(NAMED)
    return [
        f"{label or 'The session'} on {day_words(day)}, {100 * share / total:.0f} % of the squad's week"
        for day, label, share in largest.select("date", "label", "contribution").iter_rows()
    ]


def squad_not_known(row: dict[str, Any]) -> str:
    """What the figure cannot know."""
    return f"Only the {row['people']} athletes whose week is known are counted. Work outside the log is not seen."


def squad_options(sessions: list[str]) -> list[str]:
    """What could be done: name it, spread it, ease the next one."""
    found = [LEAVE_IT]
    if sessions:
        found.append(
            f"Spread it: {sessions[0].split(',')[0]} holds the largest part; a second day could take some of it."
        )
    return [*found, "Scale it: plan the next session of this kind nearer to what was usual."]
