"""A season of whiteboard texts with its score sheet: every row ends in exactly one of five ways."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.frames import DAY_STATE, EFFORT, SESSION
from keelmark.ingest.board_archive import pack_boards
from keelmark.ingest.board_tellings import BoardIssues, about_sheet, about_texts, also_in_a_log
from keelmark.ingest.board_work import BoardReader, session_key
from keelmark.ingest.boards import Boards
from keelmark.ingest.body import Body
from keelmark.ingest.cells import as_text
from keelmark.ingest.checks import Checked
from keelmark.ingest.columns import Column, Reader
from keelmark.ingest.duplicates import DuplicateKind, find_duplicates
from keelmark.ingest.evidence import date_rule, decimal_marks
from keelmark.ingest.header import Header
from keelmark.ingest.opened import open_file
from keelmark.ingest.options import LogOptions
from keelmark.ingest.partly_days import days_with_rows_aside
from keelmark.ingest.people import People, people_from_names
from keelmark.ingest.reasons import Finding
from keelmark.ingest.score_sheet import (
    REQUIRED,
    ScoreLine,
    check_scores,
    score_columns,
    score_lines,
    score_names,
)
from keelmark.ingest.source import Source
from keelmark.ingest.verdicts import VERDICTS, verdict_rows
from keelmark.ingest.warnings import FileWarning
from keelmark.ingest.words import plain

__all__ = ["WhiteboardReading", "read_whiteboards"]

_PARTLY = "a part of the whiteboard could not be read"
_WORK = [name for name in EFFORT.names if name not in ("order", "import_id", "source_row", "source_line", "text")]


@dataclass(frozen=True, slots=True)
class WhiteboardReading:
    """What came of a score sheet and its texts, in the form of a log's reading.

    `original` is an archive of the sheet and the texts as they came, `sha256` its fingerprint; `day_states` names the
    days of which a part could not be read; `texts` says of each text how many scores were read from it and where it is
    in doubt.
    """

    file: str
    sha256: str
    original: bytes
    athletes: pl.DataFrame
    efforts: pl.DataFrame
    sessions: pl.DataFrame
    day_states: pl.DataFrame
    rows: pl.DataFrame
    warnings: tuple[FileWarning, ...]
    texts: tuple[BoardIssues, ...]

    @property
    def counts(self) -> dict[str, int]:
        """Rows read and how many ended in each way."""
        found = Counter(self.rows["verdict"].to_list())
        return {"rows": self.rows.height, **{verdict: found[verdict] for verdict in VERDICTS}}

    def as_json(self) -> dict[str, Any]:
        """The reading as plain data, for a machine."""
        counts = self.counts
        duplicates = self.rows.filter(pl.col("verdict") == "duplicate")
        quarantined = self.rows.filter(pl.col("verdict") == "quarantined")
        return {
            "file": self.file, "rows": counts["rows"], "accepted": counts["accepted"],
            "duplicates": duplicates.select("row", "of_row").to_dicts(), "blank": counts["blank"],
            "other": counts["other"],
            "quarantined": quarantined.select("row", "line", "reasons", "remedy").to_dicts(),
            "texts": [text.plain() for text in self.texts],
        }  # fmt: skip


def read_whiteboards(
    scores: Path | str,
    boards: Boards,
    *,
    catalogue: Catalogue,
    athletes: pl.DataFrame | None,
    rep_maxima: pl.DataFrame,
    stored: pl.DataFrame | None = None,
    mapping: Path | str | None = None,
    options: LogOptions | None = None,
) -> WhiteboardReading:
    """Read a score sheet against whiteboard texts.

    A row names a day and an athlete, perhaps session, standard, version, result, ratings, length and note. It is set
    aside when nobody knows the athlete, there is no text for its day, or its result cannot belong to the work.

    Parameters
    ----------
    scores : path
        CSV, XLSX or Parquet.
    boards : Boards
        The texts, as `read_boards` gives them.
    catalogue : Catalogue
        The movements that count as known.
    athletes : ATHLETE frame, optional
        Who is known, with standard and body mass. Without it every name counts as a person.
    rep_maxima : REP_MAXIMUM frame
        For loads written as a share of a maximum; the newest up to the day counts.
    stored : EFFORT frame, optional
        Work read from whiteboards before; a row that gives other work for a stored session is set aside.
    mapping : path, optional
        A TOML file that says which column means what.
    options : LogOptions, optional
        How to read what the sheet leaves open.

    Raises
    ------
    RefusedInput
        When the sheet cannot be used at all.
    """
    options = options or LogOptions()
    opened = open_file(scores, score_names(), REQUIRED, options, mapping, rows_needed=True)
    source, form, header, body = opened.source, opened.form, opened.header, opened.body
    people = People(athletes) if athletes is not None else _everybody(header, body)
    reader = Reader(options, date_rule(header, body, options), decimal_marks(header, body, options), people, catalogue)
    columns = score_columns(header, body, reader)
    findings = check_scores(Checked(columns, len(body.data), options, people, catalogue))
    how = Path(mapping).read_text(encoding="utf-8") if mapping is not None else None
    kept = pack_boards(source, boards.sources, options, how)
    sheet = _Sheet(source, kept, body, columns, findings, boards, BoardReader(people.frame, rep_maxima, catalogue))
    sheet.read(stored)
    told = [*about_sheet(header, columns, form, athletes is None), *also_in_a_log(sheet.sessions, stored)]
    return sheet.reading(people, told)


class _Sheet:
    """A score sheet on its way from rows to work."""

    def __init__(
        self,
        source: Source,
        original: bytes,
        body: Body,
        columns: dict[str, Column],
        findings: dict[int, list[Finding]],
        boards: Boards,
        reader: BoardReader,
    ) -> None:
        self.body, self.columns, self.findings, self.boards, self.reader = body, columns, findings, boards, reader
        self.source, self.original = source, original
        self.sha256 = hashlib.sha256(original).hexdigest()
        self.texts = tuple(BoardIssues(board) for board in boards.boards)
        self.efforts: list[dict[str, Any]] = []
        self.sessions: list[dict[str, Any]] = []
        self.partly: dict[tuple[str, dt.date], None] = {}
        self.notes: dict[int, list[str]] = {}
        self.duplicates: dict[int, tuple[int, DuplicateKind]] = {}

    def read(self, stored: pl.DataFrame | None) -> None:
        """Find each row's text, read it, and keep the work or the reason why not."""
        readable = [at for at in range(len(self.body.data)) if at not in self.findings]
        self.duplicates = find_duplicates(
            (index, self.body.rows[index], self.body.texts[index]) for index in (self.body.data[at] for at in readable)
        )
        lines = score_lines(self.columns, [at for at in readable if self.body.data[at] not in self.duplicates])
        known = _stored_work(stored)
        first: dict[str, int] = {}
        for at, line in lines.items():
            place = self._board(at, line)
            if place is None:
                continue
            board = self.boards.boards[place]
            session_id = session_key(line.athlete_id, line.day, board.session or line.session)
            if session_id in first:
                self._aside(at, "second_score", "result", hint=f": row {first[session_id]} has one")
                continue
            first[session_id] = self.body.numbers[self.body.data[at]]
            self._keep(at, line, place, session_id, known)
        for text in self.texts:
            if not text.canonical and not text.scores:
                text.add(self.reader.unscored(text.board), None)

    def _aside(self, at: int, code: str, kind: str, cell: str | None = None, hint: str = "") -> None:
        column = self.columns.get(kind)
        written = cell if cell is not None else as_text(column.cells[at]).strip() if column else ""
        finding = Finding(at, code, column.title if column else "", written, hint)
        self.findings.setdefault(at, []).append(finding)

    def _board(self, at: int, line: ScoreLine) -> int | None:
        """The place of a row's text; None once the row is set aside."""
        places = self.boards.on(line.day)
        labels = [self.boards.boards[place].session for place in places]
        if line.session:
            fitting = [p for p, label in zip(places, labels, strict=True) if plain(label or "") == plain(line.session)]
            places = fitting or ([places[0]] if labels == [None] else [])
        if len(places) == 1:
            return places[0]
        named = ", ".join(label or "one without a name" for label in labels)
        if places:
            self._aside(at, "which_whiteboard", "date", str(line.day), named)
        else:
            what = f"{line.day}, {line.session}" if line.session else str(line.day)
            self._aside(at, "no_whiteboard", "date", what, f"; that day has {named}" if named else "")
        return None

    def _keep(self, at: int, line: ScoreLine, place: int, session_id: str, known: dict[str, set[Any]]) -> None:
        board, index = self.boards.boards[place], self.body.data[at]
        work = self.reader.work(board, line)
        self.texts[place].add(work, line.athlete_id)
        if work.faults:
            kinds = {"standard_needed": "standard", "scaled_not_written": "option", "swap_not_there": "option",
                     "whiteboard_unreadable": "date"}  # fmt: skip
            for code, hint in work.faults:
                self._aside(at, code, kinds.get(code, "result"), hint=hint)
            return
        rows = self.reader.rows(work, line, session_id, self.sha256[:16])
        found = _marks(EFFORT.build(rows))
        if session_id in known and known[session_id] != found:
            self._aside(at, "score_stored_otherwise", "result", hint=f" ({board.day})")
            return
        self.texts[place].scores += 1
        for row in rows:
            self.efforts.append({**row, "source_row": self.body.numbers[index], "source_line": self.body.lines[index]})
        self.sessions.append(
            {
                "session_id": session_id,
                "athlete_id": line.athlete_id,
                "date": line.day,
                "label": board.session or line.session,
                "session_rpe": line.session_rpe,
                "duration_min": line.session_min,
                "whiteboard": board.text,
                "result": line.result,
                "note": line.note,
                "import_id": self.sha256[:16],
            }
        )
        if work.left_out:
            self.partly[line.athlete_id, line.day] = None
        notes = [*work.notes]
        if "result" in self.columns and "clock_result" in self.columns["result"].notes.get(at, ()):
            notes.append(f"a clock time in the column of results; read as {line.result} in minutes and seconds")
        if notes:
            self.notes[at] = notes

    def reading(self, people: People, warnings: list[FileWarning]) -> WhiteboardReading:
        """What came of it."""
        kept = {at for at in range(len(self.body.data)) if at not in self.findings}
        rows = verdict_rows(self.body, kept, self.findings, self.duplicates, self.notes)
        told = (*warnings, *self.boards.warnings, *about_texts(self.texts))
        return WhiteboardReading(
            self.source.name, self.sha256, self.original, people.frame, EFFORT.build(self.efforts),
            SESSION.build(self.sessions), self._day_states(people), rows, told, self.texts,
        )  # fmt: skip

    def _day_states(self, people: People) -> pl.DataFrame:
        days = [{"athlete_id": who, "date": day, "state": "partly", "note": _PARTLY} for who, day in self.partly]
        aside = days_with_rows_aside(self.columns, self.findings, self.findings, people.frame["athlete_id"].to_list())
        key = ["athlete_id", "date"]
        return pl.concat([DAY_STATE.build(days), aside]).unique(key, keep="first", maintain_order=True)


def _everybody(header: Header, body: Body) -> People:
    place = header.columns["athlete"].index
    return people_from_names([text for index in body.data if (text := as_text(body.rows[index][place]).strip())])


def _marks(efforts: pl.DataFrame) -> set[Any]:
    return set(efforts.select(_WORK).iter_rows())


def _stored_work(stored: pl.DataFrame | None) -> dict[str, set[Any]]:
    if stored is None or stored.is_empty():
        return {}
    return {
        str(key[0]): _marks(rows)
        for key, rows in stored.filter(pl.col("source") == "score").group_by(["session_id"])
    }  # fmt: skip
