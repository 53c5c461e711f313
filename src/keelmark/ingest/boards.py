"""Whiteboard texts as they are kept: a folder of text files, one text file with dates, or a table."""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from keelmark.contracts.errors import RefusedInput
from keelmark.ingest.body import read_body
from keelmark.ingest.cells import as_text
from keelmark.ingest.columns import parse_column
from keelmark.ingest.evidence import date_rule
from keelmark.ingest.header import find_header
from keelmark.ingest.names import own_column_names
from keelmark.ingest.options import LogOptions
from keelmark.ingest.source import Source, read_source
from keelmark.ingest.tables import open_tables
from keelmark.ingest.values.dates import DateRule, day_first_evidence, parse_date, slash_parts
from keelmark.ingest.warnings import FileWarning
from keelmark.ingest.words import plain
from keelmark.notation import LONGEST_LINE

__all__ = ["Board", "Boards", "read_boards"]

SUFFIXES = (".txt", ".md", ".text")
TABLES = (".csv", ".tsv", ".xlsx", ".xlsm", ".parquet")
_MARKS = " \t#=*-–—:_>."
_YEAR = re.compile(r"(?<!\d)(?:19|20)\d{2}(?!\d)|(?<!\d)(?:19|20)\d{6}(?!\d)")
_DATE_FIRST = re.compile(
    r"(?P<date>(?:[^\W\d_]+(?:-[^\W\d_]+)?\.?,?\s+)?(?:\d{4}[-./_]\d{1,2}[-./_]\d{1,2}|\d{8}|\d{1,2}\s?[./-]\s?\d{1,2}\s?[./-]\s?\d{4}"
    r"|\d{1,2}\D{1,4}[^\W\d_]+\.?\D{1,4}\d{4}|[^\W\d_]+\.?\s\d{1,2}\D{1,4}\d{4}))(?P<rest>.*)",
    re.DOTALL,
)
_LABEL = re.compile(
    r"[^\W\d_]+(?:[ '.-]+[^\W\d_]+){0,3}(?: \d)?|T?\d{1,2}(?:[:.h]\d{2})?(?: ?(?:[ap]m|uhr|h))?", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Board:
    """One whiteboard text: its day, what the session is called where that is said, and where it stands."""

    day: dt.date
    session: str | None
    text: str
    file: str
    line: int = 1


@dataclass(frozen=True, slots=True)
class Boards:
    """All texts that were brought, the files they came in, and what is told about them."""

    boards: tuple[Board, ...]
    sources: tuple[Source, ...]
    warnings: tuple[FileWarning, ...] = ()

    def on(self, day: dt.date) -> list[int]:
        """Places of the texts of a day."""
        return [place for place, board in enumerate(self.boards) if board.day == day]


def read_boards(path: Path, options: LogOptions) -> Boards:
    """Read whiteboard texts.

    A folder holds text files whose names begin with a date (`2026-05-04.txt`, `2026-05-04 evening.txt`), or with dates
    inside; a text file has a line that holds nothing but a date, perhaps with the session's name, above each text; a
    table (CSV, XLSX or Parquet) has columns for date and text, perhaps one for the session.

    Parameters
    ----------
    path : path
        The folder or file.
    options : LogOptions
        Orders that the texts leave open; `day_first` for dates such as 03/04/2026.

    Raises
    ------
    RefusedInput
        When a text has no day, two texts claim one session, or nothing is there to read.
    """
    found = _from_folder(path, options) if path.is_dir() else _from_file(path, options)
    _refuse_twice(found.boards, path.name)
    if not found.boards:
        raise RefusedInput(
            "there is no whiteboard text in it", where=path.name, wanted="at least one text with its date",
            remedy="name a folder of text files, a text file with dates, or a table with columns for date and text",
        )  # fmt: skip
    return found


def _from_folder(path: Path, options: LogOptions) -> Boards:
    files = sorted(file for file in path.iterdir() if file.is_file() and not file.name.startswith("."))
    texts = [file for file in files if file.suffix.lower() in SUFFIXES and plain(file.stem) != "readme"]
    sources = [read_source(file, options.max_bytes) for file in texts]
    rule = _rule([source.path.stem for source in sources], options)
    boards: list[Board] = []
    for source in sources:
        text = _decoded(source)
        named = _dated(source.path.stem.replace("_", " "), rule, source.name, any_label=True)
        if named is not None:
            boards.append(Board(*named, text.strip("\r\n"), source.name))
        else:
            boards.extend(_sections(text, source.name, options))
    left = [file.name for file in files if file not in texts]
    warnings: tuple[FileWarning, ...] = ()
    if left:
        words = f"These files of {path.name} are no texts and are not read: {', '.join(left)}."
        warnings = (FileWarning("file_not_used", words),)
    return Boards(tuple(boards), tuple(sources), warnings)


def _from_file(path: Path, options: LogOptions) -> Boards:
    source = read_source(path, options.max_bytes)
    if source.kind != "text" or path.suffix.lower() in TABLES:
        return _from_table(source, options)
    return Boards(tuple(_sections(_decoded(source), source.name, options)), (source,))


def _decoded(source: Source) -> str:
    for encoding in ("utf-8-sig", "cp1252"):
        try:
            return source.data.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise RefusedInput(
        "the text cannot be decoded", where=source.name, wanted="a text in UTF-8", remedy="save it again as UTF-8"
    )


def _sections(text: str, file: str, options: LogOptions) -> Iterator[Board]:
    """The texts under the dates of one file; a line that is too long to be read is no date and stays in its text."""
    lines = text.splitlines()
    short = [(at, line) for at, line in enumerate(lines) if len(line) <= LONGEST_LINE]
    rule = _rule([line.strip(_MARKS) for _, line in short if _YEAR.search(line)], options)
    heads = [(at, head) for at, line in short if (head := _dated(line, rule, f"{file}, line {at + 1}"))]
    first = heads[0][0] if heads else len(lines)
    lost = next((at for at, line in enumerate(lines[:first]) if line.strip(_MARKS)), None)
    if lost is not None:
        raise RefusedInput(
            f"the text “{lines[lost].strip()[:40]}” has no day", where=f"{file}, line {lost + 1}",
            wanted="a file name that begins with a date, or a line with a date such as 2026-05-04 above each text",
            remedy="add the date",
        )  # fmt: skip
    for (at, (day, session)), end in zip(heads, [*(at for at, _ in heads[1:]), len(lines)], strict=True):
        yield Board(day, session, "\n".join(lines[at + 1 : end]).strip("\n"), file, at + 2)


def _rule(texts: list[str], options: LogOptions) -> DateRule:
    dates = [found["date"] for text in texts if (found := _DATE_FIRST.fullmatch(text.strip(_MARKS)))]
    open_order = [text for text in dates if slash_parts(text)]
    decided = options.day_first if options.day_first is not None else day_first_evidence(open_order)
    return DateRule(decided)


def _dated(text: str, rule: DateRule, where: str, *, any_label: bool = False) -> tuple[dt.date, str | None] | None:
    """The day and session that a line or file name gives; None when it does not begin with a day."""
    bare = text.strip(_MARKS)
    found = _DATE_FIRST.fullmatch(bare) if _YEAR.search(bare) else None
    if found is None:
        return None
    date = found["date"].strip(" ,").replace("_", "-")
    parsed = parse_date(date, rule)
    if "ambiguous_date" in parsed.reasons:
        raise RefusedInput(
            f"“{date}” can be read day first or month first", where=where, wanted="dates whose order is clear",
            remedy="say --day-first or --month-first, or write 2026-03-14",
        )  # fmt: skip
    if parsed.value is None:
        return None
    label = found["rest"].strip(_MARKS + ",|()[]/")
    if label and not any_label and not _LABEL.fullmatch(label):
        raise RefusedInput(
            f"behind the day stands “{label[:40]}”", where=where,
            wanted="a line with the day and at most the session's name",
            remedy="put the text of the whiteboard on the lines below the day",
        )  # fmt: skip
    return parsed.value, label or None


def _from_table(source: Source, options: LogOptions) -> Boards:
    tables, _ = open_tables(source, options)
    names = own_column_names("whiteboards", ("date", "session", "slot"))
    header = find_header(tables, names, (("date", "text"),), where=source.name)
    body = read_body(header)
    rule = date_rule(header, body, options)
    days = parse_column("date", "", [body.rows[index][header.columns["date"].index] for index in body.data],
                        lambda cell: parse_date(cell, rule))  # fmt: skip
    boards: list[Board] = []
    for position, index in enumerate(body.data):
        text = as_text(body.rows[index][header.columns["text"].index]).strip("\r\n")
        day = days.values[position]
        if day is None:
            raise RefusedInput(
                f"the text “{' '.join(text.split())[:40]}” has no day that can be read",
                where=f"{source.name}, line {body.lines[index]}", wanted="a date such as 2026-05-04",
                remedy="correct the date",
            )  # fmt: skip
        places = [header.columns[kind].index for kind in ("session", "slot") if kind in header.columns]
        label = ", ".join(words for place in places if (words := " ".join(as_text(body.rows[index][place]).split())))
        boards.append(Board(day, label or None, text, source.name, body.lines[index]))
    return Boards(tuple(boards), (source,), _left_out(body.other, [*body.broken], body.lines, source.name))


def _left_out(other: list[int], broken: list[int], lines: list[int], file: str) -> tuple[FileWarning, ...]:
    places = sorted(lines[index] for index in (*other, *broken))
    if not places:
        return ()
    words = f"Lines of {file} that are not a date with its text are not read: {', '.join(map(str, places))}."
    return (FileWarning("line_not_used", words),)


def _refuse_twice(boards: tuple[Board, ...], where: str) -> None:
    times = Counter((board.day, plain(board.session or "")) for board in boards)
    for board in boards:
        if times[board.day, plain(board.session or "")] > 1:
            what = f"{board.day}, {board.session}" if board.session else str(board.day)
            raise RefusedInput(
                f"there are several texts for {what}", where=f"{where}: {board.file}, line {board.line}",
                wanted="one text for each session", remedy="put both under one date, or give each session a name",
            )  # fmt: skip
