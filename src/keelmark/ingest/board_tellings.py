"""What is told about a score sheet and its whiteboard texts although they can be used."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import polars as pl

from keelmark.ingest.board_work import BoardWork
from keelmark.ingest.boards import Board
from keelmark.ingest.columns import Column
from keelmark.ingest.header import Header
from keelmark.ingest.warnings import FileWarning, counted

__all__ = ["BoardIssues", "about_sheet", "about_texts", "also_in_a_log"]

_PER_ATHLETE = ("result_conflict", "ambiguous_result", "missing_result", "missing_one_rm", "missing_bodyweight")


@dataclass(slots=True)
class BoardIssues:
    """One text with the scores that were read from it and every doubt of the reader about it."""

    board: Board
    scores: int = 0
    canonical: str = ""
    issues: dict[tuple[str, int, int, str], dict[str, Any]] = field(default_factory=dict)

    def add(self, work: BoardWork, athlete: str | None) -> None:
        """Take the doubts of one reading; those that concern the athlete alone name who."""
        self.canonical = work.reading.canonical
        for issue in work.reading.issues:
            told = self.issues.setdefault(
                (issue.code, issue.start, issue.end, issue.message), {**issue.plain(), "athletes": []}
            )
            if athlete and issue.code in _PER_ATHLETE and athlete not in told["athletes"]:
                told["athletes"].append(athlete)

    def plain(self) -> dict[str, Any]:
        """The text's day, place, scores and doubts as plain values."""
        board = self.board
        return {
            "date": board.day.isoformat(), "session": board.session, "file": board.file, "line": board.line,
            "scores": self.scores, "canonical": self.canonical, "issues": list(self.issues.values()),
        }  # fmt: skip


def about_sheet(
    header: Header, columns: dict[str, Column], form: dict[str, str], without_roster: bool
) -> list[FileWarning]:
    """How the sheet was read."""
    told = []
    if header.unused:
        told.append(FileWarning("column_not_used", f"These columns are not used: {', '.join(header.unused)}."))
    if form.get("certain") == "no":
        text = f"The file does not say its encoding; it is read as {form['encoding']}. Check names with accents."
        told.append(FileWarning("encoding_inferred", text))
    if form.get("hidden"):
        told.append(FileWarning("hidden_sheet", f"Hidden sheets are not read: {form['hidden']}."))
    if "rpe" in columns and "session_rpe" not in columns:
        text = f"Column {columns['rpe'].title} is taken as the rating of the whole session."
        told.append(FileWarning("rating_of_session", text))
    if without_roster:
        text = "Nobody is known yet: every name counts as a person, without standard, body mass or maxima."
        told.append(FileWarning("no_roster", text))
    return told


def also_in_a_log(sessions: list[dict[str, Any]], stored: pl.DataFrame | None) -> list[FileWarning]:
    """People who have work of the same day in a log."""
    if stored is None:
        return []
    logged = set(stored.filter(pl.col("source") == "log").select("athlete_id", "date").iter_rows())
    both = {(session["athlete_id"], session["date"]) for session in sessions} & logged
    if not both:
        return []
    days = ", ".join(f"{who} on {day}" for who, day in sorted(both)[:5]) + (" and more" if len(both) > 5 else "")
    words = f"A log holds work of the same person and day as well ({days}); both are counted, so look for repeats."
    return [FileWarning("also_in_a_log", words)]


def about_texts(texts: tuple[BoardIssues, ...]) -> list[FileWarning]:
    """Texts nobody has a score for, and the doubts of the reader about the texts themselves."""
    told = []
    unscored = [str(text.board.day) for text in texts if not text.scores]
    if unscored:
        more = f" and {len(unscored) - 5} more" if len(unscored) > 5 else ""
        words = f"{counted(len(unscored), 'text')} without a score that could be used: {', '.join(unscored[:5])}{more}."
        told.append(FileWarning("text_without_score", words))
    for text in texts:
        for issue in text.issues.values():
            if issue["code"] in _PER_ATHLETE or issue["level"] == "note":
                continue
            place = f"{text.board.file}, line {text.board.line + issue['line'] - 1}"
            told.append(FileWarning(f"whiteboard_{issue['code']}", f"{place}: {issue['message']}"))
    return told
