"""The rows of a score sheet as values: who, when, which standard and version, what result."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from keelmark.catalogue import Catalogue
from keelmark.ingest.body import Body
from keelmark.ingest.cells import Cell, as_text
from keelmark.ingest.checks import Checked, athletes, dates, first_names
from keelmark.ingest.columns import Column, Reader, parse_columns
from keelmark.ingest.header import Header
from keelmark.ingest.movement_words import name_hint
from keelmark.ingest.names import ColumnNames, own_column_names
from keelmark.ingest.reasons import Finding
from keelmark.ingest.values.parsed import Parsed
from keelmark.ingest.words import cell_words, column_words, empty_marks, plain

__all__ = ["REQUIRED", "ScoreLine", "Version", "check_scores", "score_columns", "score_lines", "score_names"]

REQUIRED = tuple(("date", "athlete", kind) for kind in ("result", "option", "standard", "rpe", "session_rpe"))
_OF_A_LOG = (
    "date", "athlete", "family_name", "session", "slot", "rpe", "session_rpe", "session_min", "note",
)  # fmt: skip
_ARROW = re.compile(r"\s*(?:->|→|=>|>)\s*")
_HOURS_OF_A_RESULT = 3
"""A clock time of so many hours or more was written as minutes and seconds: no result takes that long."""


@dataclass(frozen=True, slots=True)
class Version:
    """Which version was done: as_written or scaled, with movements done in place of others."""

    option: str = "as_written"
    swaps: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ScoreLine:
    """One readable row: `standard` and `result` are None where the row leaves them open."""

    athlete_id: str
    day: dt.date
    session: str | None
    standard: str | None
    version: Version
    result: str | None
    rpe: float | None
    session_rpe: float | None
    session_min: float | None
    note: str | None


def score_names() -> ColumnNames:
    """What the columns of a score sheet are called."""
    return own_column_names("scores", _OF_A_LOG)


def score_columns(header: Header, body: Body, reader: Reader) -> dict[str, Column]:
    """Values of every used column; standard, version and result by the rules of a score sheet."""
    columns = parse_columns(header, body, reader)
    for kind, read in (("standard", _standard), ("result", _result)):
        if kind in columns:
            _read_again(columns[kind], read)
    if "option" in columns:
        _read_again(columns["option"], lambda cell: _version(as_text(cell), reader.catalogue))
    return columns


def _read_again(column: Column, read: Any) -> None:
    for position, cell in enumerate(column.cells):
        if column.values[position] is None or position in column.faults:
            continue
        parsed = read(cell)
        column.values[position] = parsed.value
        if parsed.reasons:
            column.faults[position] = parsed.reasons
        if parsed.notes:
            column.notes[position] = parsed.notes


def _standard(cell: Cell) -> Parsed[str]:
    found = cell_words("standards").get(plain(as_text(cell)))
    return Parsed(found) if found else Parsed(reasons=("unknown_standard",))


def _result(cell: Cell) -> Parsed[str]:
    """The result as it was written, where the spreadsheet program did not turn it into something else."""
    if isinstance(cell, dt.timedelta):
        cell = (dt.datetime(2000, 1, 1) + cell).time() if cell < dt.timedelta(days=1) else cell
    if isinstance(cell, dt.time):
        if cell.hour == 0:
            return Parsed(f"{cell.minute}:{cell.second:02d}")
        if cell.second == 0 and cell.hour >= _HOURS_OF_A_RESULT:
            return Parsed(f"{cell.hour}:{cell.minute:02d}", notes=("clock_result",))
        return Parsed(reasons=("unclear_result",))
    if isinstance(cell, (dt.date, dt.timedelta, bool)):
        return Parsed(reasons=("unclear_result",))
    return Parsed(" ".join(as_text(cell).split()))


def _version(text: str, catalogue: Catalogue) -> Parsed[Version]:
    word = cell_words("versions").get(plain(text.strip().rstrip(".")))
    if word in ("as_written", "scaled"):
        return Parsed(Version(word))
    option, swaps = "as_written", {}
    for part in re.split(r"[,;]", text):
        word = cell_words("versions").get(plain(part.strip()))
        if word in ("as_written", "scaled"):
            option = word
            continue
        names = [catalogue.names.find(name) for name in _swap_names(part)]
        if len(names) != 2 or names[0] is None or names[1] is None:
            return Parsed(reasons=("unknown_option",))
        swaps[names[0]] = names[1]
    return Parsed(Version(option, swaps))


def _swap_names(part: str) -> list[str]:
    """Written and done movement of one swap: `run -> row`, `row instead of run`."""
    names = _ARROW.split(part.strip())
    if len(names) == 1:
        words = plain(part)
        for phrase in _instead():
            done, found, written = words.partition(f" {phrase} ")
            if found:
                return [written, done]
    return names


@cache
def _instead() -> tuple[str, ...]:
    return tuple(sorted(map(plain, column_words("swaps")["instead"]), key=len, reverse=True))


def check_scores(checked: Checked) -> dict[int, list[Finding]]:
    """What is wrong in the rows by themselves, before any whiteboard is looked at."""
    findings: dict[int, list[Finding]] = {}
    for rule in (dates, athletes, first_names, _own_columns, _figures):
        for finding in rule(checked):
            findings.setdefault(finding.index, []).append(finding)
    return findings


def _own_columns(checked: Checked) -> Iterator[Finding]:
    for kind in ("standard", "option", "result"):
        column = checked.columns.get(kind)
        for position, codes in (column.faults if column else {}).items():
            cell = as_text(column.cells[position]) if column else ""
            hint = _swap_hint(cell, checked.catalogue) if kind == "option" else ""
            yield checked.found(codes[0], kind, position, hint)


def _swap_hint(text: str, catalogue: Catalogue) -> str:
    names = [name for part in re.split(r"[,;]", text) for name in _swap_names(part) if len(_swap_names(part)) == 2]
    unknown = [name for name in names if catalogue.names.find(name) is None]
    return "".join(f"; “{name.strip()}” is no movement{name_hint(name, catalogue)}" for name in unknown)


_BOUNDS = (
    ("rpe", "rpe_out_of_range", 0.0, 10.0), ("session_rpe", "session_rpe_out_of_range", 0.0, 10.0),
    ("session_min", "implausible_session_min", 1.0, 1440.0),
)  # fmt: skip


def _figures(checked: Checked) -> Iterator[Finding]:
    for kind, code, low, high in _BOUNDS:
        column = checked.columns.get(kind)
        for position, value in enumerate(column.values if column else []):
            if column and position in column.faults:
                yield checked.found(column.faults[position][0], kind, position)
            elif value is not None and not low <= value <= high:
                yield checked.found(code, kind, position)


def score_lines(columns: dict[str, Column], positions: list[int]) -> dict[int, ScoreLine]:
    """The readable rows by position.

    A sheet with one rating a row rates the whole session by it; where a rating of the session stands beside it, it
    rates the work.
    """
    both = "rpe" in columns and "session_rpe" in columns

    def value(kind: str, at: int) -> Any:
        return columns[kind].values[at] if kind in columns else None

    lines = {}
    for at in positions:
        label = ", ".join(part for kind in ("session", "slot") if (part := value(kind, at))) or None
        session_rpe = value("session_rpe", at) if "session_rpe" in columns else value("rpe", at)
        lines[at] = ScoreLine(
            value("athlete", at), value("date", at), label, value("standard", at), value("option", at) or Version(),
            _filled(value("result", at)), value("rpe", at) if both else None, session_rpe, value("session_min", at),
            value("note", at),
        )  # fmt: skip
    return lines


def _filled(text: str | None) -> str | None:
    return None if not text or text.lower() in empty_marks() else text
