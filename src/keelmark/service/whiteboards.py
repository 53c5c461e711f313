"""Whiteboard texts and scores: a season from files, one evening from the page, a look at a text while it is typed."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.errors import RefusedInput
from keelmark.ingest import (
    Board,
    Boards,
    LogOptions,
    RosterReading,
    WhiteboardReading,
    read_boards,
    read_roster,
    read_whiteboards,
    text_source,
)
from keelmark.notation import Context, Reading
from keelmark.notation import read as read_text
from keelmark.store import ImportOutcome, Store

__all__ = [
    "BroughtWhiteboards",
    "Evening",
    "OwnReading",
    "TextReading",
    "bring_whiteboards",
    "look_at_evening",
    "look_at_text",
    "save_evening",
]

COLUMNS = ("date", "athlete", "session", "standard", "version", "result", "session rpe", "session minutes", "note")


@dataclass(frozen=True, slots=True)
class ReadWhiteboards:
    """A score sheet that was read against its texts, with the roster it was read against."""

    work: WhiteboardReading
    roster: RosterReading | None

    @property
    def file(self) -> str:
        """Name of the score sheet."""
        return self.work.file

    @property
    def counts(self) -> dict[str, int]:
        """Rows by verdict."""
        return self.work.counts

    @property
    def rows(self) -> pl.DataFrame:
        """The verdict on each row."""
        return self.work.rows

    @property
    def warnings(self) -> list[str]:
        """What is told about the sheet, its texts and its roster although they can be used."""
        of_roster = [f"{self.roster.file}: {warning.text}" for warning in self.roster.warnings] if self.roster else []
        return [*of_roster, *(warning.text for warning in self.work.warnings)]


@dataclass(frozen=True, slots=True)
class BroughtWhiteboards:
    """A season of whiteboards that was read, and what became of it in the store."""

    reading: ReadWhiteboards
    outcome: ImportOutcome

    def as_json(self) -> dict[str, Any]:
        """Counts, rows and texts for a machine, with what the store made of them."""
        return {
            **self.reading.work.as_json(),
            "warnings": self.reading.warnings,
            "import_id": self.outcome.import_id,
            "repeated": self.outcome.repeated,
            "efforts_stored": 0 if self.outcome.repeated else self.outcome.efforts,
            "already_stored": self.outcome.already_stored,
        }


@dataclass(frozen=True, slots=True)
class TextReading:
    """One text read for both standards: `heavier` and `lighter` differ only where two loads or heights are written."""

    heavier: Reading
    lighter: Reading


@dataclass(frozen=True, slots=True)
class Evening:
    """What a coach enters after a session.

    `scores` holds for each athlete who came what is known of him or her: standard, version, result, session_rpe, note;
    whatever is left out is as usual. `result` is what counts for everybody without a result of their own.
    """

    day: dt.date
    text: str
    scores: Mapping[str, Mapping[str, str]]
    session: str | None = None
    minutes: float | None = None
    result: str | None = None


def bring_whiteboards(
    store: Store,
    catalogue: Catalogue,
    scores: Path,
    texts: Path,
    roster: Path | None,
    mapping: Path | None,
    options: LogOptions | None,
    progress: Callable[[str], None],
) -> BroughtWhiteboards:
    """Read a score sheet against whiteboard texts and store it, whole or not at all."""
    options = options or LogOptions()
    people = None
    if roster is not None:
        progress(f"Reading {roster.name}")
        people = read_roster(roster, catalogue, options=options)
    progress(f"Reading {texts.name}")
    boards = read_boards(texts, options)
    progress(f"Reading {scores.name}")
    reading = _read(store, catalogue, scores, boards, people, mapping, options, store.efforts())
    progress("Storing")
    options_told = {
        "reading": repr(options),
        "mapping": None if mapping is None else mapping.read_text(encoding="utf-8"),
        "roster": people.sha256 if people else None,
    }
    outcome = _store(store, reading, people, options_told, f"{scores.name} with {texts.name}")
    return BroughtWhiteboards(ReadWhiteboards(reading, people), outcome)


def _read(
    store: Store,
    catalogue: Catalogue,
    scores: Path,
    boards: Boards,
    people: RosterReading | None,
    mapping: Path | None,
    options: LogOptions,
    stored: pl.DataFrame | None,
) -> WhiteboardReading:
    athletes = people.athletes if people else store.athletes()
    maxima = store.rep_maxima()
    if people is not None:
        maxima = pl.concat([maxima, people.rep_maxima])
    return read_whiteboards(
        scores,
        boards,
        catalogue=catalogue,
        athletes=None if athletes.is_empty() else athletes,
        rep_maxima=maxima,
        stored=stored,
        mapping=mapping,
        options=options,
    )


def _store(
    store: Store, reading: WhiteboardReading, people: RosterReading | None, options: dict[str, Any], file: str
) -> ImportOutcome:
    return store.save_import(
        kind="whiteboard",
        file=file,
        sha256=reading.sha256,
        original=reading.original,
        rows=reading.rows,
        counts=reading.counts,
        options=options,
        efforts=reading.efforts,
        sessions=reading.sessions,
        day_states=reading.day_states,
        athletes=people.athletes if people else reading.athletes,
        rep_maxima=people.rep_maxima if people else None,
    )


def look_at_text(text: str, catalogue: Catalogue, result: str | None = None) -> TextReading:
    """Read a text as for somebody of whom nothing is known, with the heavier and the lighter of two loads."""
    heavier, lighter = (
        read_text(text, Context(standard=standard, result=result or None), catalogue)
        for standard in ("heavier", "lighter")
    )
    return TextReading(heavier, lighter)


@dataclass(frozen=True, slots=True)
class OwnReading:
    """What would be stored for one athlete of an evening: EFFORT rows, and what keeps them from being stored."""

    athlete_id: str
    efforts: pl.DataFrame
    faults: tuple[str, ...]


def look_at_evening(store: Store, catalogue: Catalogue, evening: Evening) -> list[OwnReading]:
    """Read an evening without storing it, for each athlete who is named, in the order given.

    Raises
    ------
    RefusedInput
        As `save_evening`, but not for rows that cannot be used.
    """
    reading = _evening_reading(store, catalogue, evening, LogOptions(), None)
    faults = {row["row"]: _found(row) for row in reading.rows.iter_rows(named=True) if row["verdict"] == "quarantined"}
    return [
        OwnReading(who, reading.efforts.filter(pl.col("athlete_id") == who), tuple(faults.get(place, ())))
        for place, who in enumerate(evening.scores, start=1)
    ]


def save_evening(
    store: Store, catalogue: Catalogue, evening: Evening, options: LogOptions | None = None
) -> BroughtWhiteboards:
    """Store one evening through the ordinary import; where one row cannot be used, nothing is stored.

    Raises
    ------
    RefusedInput
        When nobody came, or a row cannot be used; the message names the athletes.
    """
    reading = _evening_reading(store, catalogue, evening, options or LogOptions(), store.efforts())
    aside = reading.rows.filter(pl.col("verdict") == "quarantined")
    if aside.height:
        raise _aside(aside, list(evening.scores), store.athletes())
    name = f"Whiteboard of {evening.day}" + (f", {evening.session}" if evening.session else "")
    outcome = _store(store, reading, None, {"entered": "page"}, name)
    return BroughtWhiteboards(ReadWhiteboards(reading, None), outcome)


def _evening_reading(
    store: Store, catalogue: Catalogue, evening: Evening, options: LogOptions, stored: pl.DataFrame | None
) -> WhiteboardReading:
    if not evening.scores:
        raise _refused("nobody is ticked", "who came", "at least one person", "tick who came")
    text = evening.text.strip()
    if not text:
        raise _refused("there is no text", "whiteboard", "the work as it was written", "paste the text of the session")
    if evening.day > options.latest:
        raise _refused(f"{evening.day} is still to come", "day", "today or an earlier day", "choose another day")
    board = Board(evening.day, evening.session, text, "whiteboard.txt")
    with TemporaryDirectory() as folder:
        sheet = Path(folder) / "scores.csv"
        sheet.write_bytes(_sheet(evening))
        boards = Boards((board,), (text_source(f"{evening.day}.txt", text.encode()),))
        return _read(store, catalogue, sheet, boards, None, None, options, stored)


def _sheet(evening: Evening) -> bytes:
    written = io.StringIO()
    rows = csv.writer(written, lineterminator="\n")
    rows.writerow(COLUMNS)
    for athlete_id, said in evening.scores.items():
        length = "" if evening.minutes is None else f"{evening.minutes:g}"
        result = said.get("result") or evening.result or ""
        rows.writerow(
            [evening.day.isoformat(), athlete_id, evening.session or "", said.get("standard", ""),
             said.get("version", ""), result, said.get("session_rpe", ""), length, said.get("note", "")]
        )  # fmt: skip
    return written.getvalue().encode()


def _aside(aside: pl.DataFrame, order: Sequence[str], athletes: pl.DataFrame) -> RefusedInput:
    """The rows that cannot be used, by the names of their athletes."""
    names = dict(athletes.select("athlete_id", "name").iter_rows())
    told, remedies = [], []
    for row in aside.iter_rows(named=True):
        who = order[row["row"] - 1]
        told.append(f"{names.get(who, who)}: {'; '.join(_found(row))}")
        remedies.append(row["remedy"])
    return _refused(
        ". ".join(told), "scores", "a row for everybody that fits the text", "; ".join(dict.fromkeys(remedies))
    )


def _found(row: Mapping[str, Any]) -> list[str]:
    """What was found wrong with a row, without its place and what is wanted."""
    return [message.partition(": ")[2].partition(". Wanted: ")[0] for message in row["messages"]]


def _refused(found: str, where: str, wanted: str, remedy: str) -> RefusedInput:
    return RefusedInput(found, where=where, wanted=wanted, remedy=remedy)
