"""What one athlete did, read from the whiteboard text of the day and a row of the score sheet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.ingest.boards import Board
from keelmark.ingest.score_sheet import ScoreLine
from keelmark.ingest.words import plain
from keelmark.notation import Context, Issue, Reading, effort_rows, read

__all__ = ["BoardReader", "BoardWork", "session_key"]

_LEFT_OUT = {
    "missing_result": "the amount of some work is only known from a result, and none is given; it is kept as not known",
    "missing_one_rm": "a load is a share of a maximum that is not known; the load is kept as not known",
    "missing_bodyweight": "a load is a share of a body mass that is not known; the load is kept as not known",
    "ambiguous_result": "the result can be read in more than one way; the bounds hold both",
}
"""What is told beside an accepted row about doubts that concern this athlete alone."""


@dataclass(frozen=True, slots=True)
class BoardWork:
    """A text read for one athlete: the reading, what sets the row aside (code and hint), and what is told beside it.

    `left_out` says that the text holds work which could not be read or has no amount: more was done than is on record.
    """

    reading: Reading
    faults: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    left_out: bool = False


def session_key(athlete_id: str, day: dt.date, label: str | None) -> str:
    """The same key that a club log gives a session: athlete, day and what it is called."""
    return "/".join((athlete_id, day.isoformat(), plain(label or ""))).rstrip("/")


class BoardReader:
    """Reads texts for the people of a squad, with their standards, body masses and maxima."""

    def __init__(self, athletes: pl.DataFrame, rep_maxima: pl.DataFrame, catalogue: Catalogue) -> None:
        self._catalogue = catalogue
        self._people = {row["athlete_id"]: row for row in athletes.iter_rows(named=True)}
        self._maxima: dict[str, list[tuple[dt.date, str, float]]] = {}
        for row in rep_maxima.sort("date").iter_rows(named=True):
            known = (row["date"], row["movement"], row["load_kg"])
            self._maxima.setdefault(row["athlete_id"], []).append(known)

    def context(self, line: ScoreLine) -> Context:
        """What is known of the athlete on the day; of maxima the newest of each movement up to then."""
        person = self._people[line.athlete_id]
        lifts = {lift: kg for day, lift, kg in self._maxima.get(line.athlete_id, ()) if day <= line.day}
        return Context(
            standard=line.standard or person["standard"] or "heavier", bodyweight_kg=person["body_mass_kg"],
            one_rm=lifts, result=line.result, option=line.version.option, swaps=line.version.swaps,
        )  # fmt: skip

    def work(self, board: Board, line: ScoreLine) -> BoardWork:
        """Read a text for one row."""
        context = self.context(line)
        reading = read(board.text, context, self._catalogue)
        faults = tuple(self._faults(reading, context, line))
        codes = {issue.code for issue in reading.issues}
        notes = [text for code, text in _LEFT_OUT.items() if code in codes]
        left_out = any(issue.level == "error" or issue.code == "unquantified_work" for issue in reading.issues)
        if left_out:
            notes.append("a part of the whiteboard could not be read; the day counts as only partly on record")
        return BoardWork(reading, faults, tuple(notes), left_out)

    def unscored(self, board: Board) -> BoardWork:
        """Read a text that nobody has a score for, to tell its doubts."""
        return BoardWork(read(board.text, Context(), self._catalogue), (), ())

    def _faults(self, reading: Reading, context: Context, line: ScoreLine) -> Iterator[tuple[str, str]]:
        codes = {issue.code: issue for issue in reading.issues}
        if not reading.tree.sections or ("no_work_found" in codes and not any(_stations(reading))):
            yield "whiteboard_unreadable", "; ".join(_told(issue) for issue in reading.issues)
            return
        if "result_conflict" in codes:
            found = codes["result_conflict"].message.partition(". Wanted: ")[0].rpartition(": ")[2]
            yield "result_conflict", f" ({found})"
        if line.standard is None and self._people[line.athlete_id]["standard"] is None:
            other = read(reading.text, replace(context, standard="lighter"), self._catalogue)
            if other.efforts != reading.efforts:
                yield "standard_needed", ""
        stations = list(_stations(reading))
        if context.option == "scaled" and not any(station.scaled for station in stations):
            yield "scaled_not_written", ""
        missing = [name for name in context.swaps if name not in {station.movement for station in stations}]
        if missing:
            yield "swap_not_there", ": " + ", ".join(self._catalogue.names.label(name) for name in missing)

    def rows(self, work: BoardWork, line: ScoreLine, session_id: str, import_id: str) -> list[dict[str, Any]]:
        """EFFORT rows of a reading; work whose amount only a missing result tells stands as a row without amount."""
        common = {"athlete_id": line.athlete_id, "date": line.day, "session_id": session_id, "import_id": import_id}
        rows: list[dict[str, Any]] = effort_rows(work.reading, **common)  # type: ignore[arg-type]
        for row in rows:
            row["rpe"] = row["rpe"] if row["rpe"] is not None else line.rpe
        for section, station in _open_stations(work.reading):
            movement = line.version.swaps.get(station.movement, station.movement)
            label = work.reading.tree.sections[section].label or str(section + 1)
            basis = "none" if self._catalogue[movement].load == "never" else "unknown"
            rows.append(
                {
                    **common,
                    "source": "score",
                    "block": label,
                    "order": len(rows),
                    "movement": movement,
                    "version": "as_written" if movement == station.movement else "swapped",
                    "sets": 1,
                    "load_basis": basis,
                    "share_low": 1.0,
                    "share_high": 1.0,
                    "rpe": line.rpe,
                    "text_start": station.start,
                    "text_end": station.end,
                    "text": work.reading.text[station.start : station.end],
                }
            )
        return rows


def _stations(reading: Reading) -> Iterator[Any]:
    for section in reading.tree.sections:
        for group in section.groups:
            yield from group.stations


def _open_stations(reading: Reading) -> Iterator[tuple[int, Any]]:
    """Stations of sections of which nothing is known but a missing result."""
    if not any(issue.code == "missing_result" for issue in reading.issues):
        return
    done = {effort.section for effort in reading.efforts}
    for number, section in enumerate(reading.tree.sections):
        if number not in done:
            for group in section.groups:
                for station in group.stations:
                    yield number, station


def _told(issue: Issue) -> str:
    return f"line {issue.line}, column {issue.column}: {issue.message}"
