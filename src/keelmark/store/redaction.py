"""Originals without one person: the file as it came, with that person's rows blanked and the name taken out.

A text keeps its lines and an XLSX or Parquet file its rows, so that whatever points to somebody else's row or line
still finds it. Where the person cannot be taken out for sure, a note takes the place of the whole file.
"""

from __future__ import annotations

import codecs
import csv
import hashlib
import io
import re
import unicodedata
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import openpyxl  # type: ignore[import-untyped]
import polars as pl

__all__ = ["NOTE", "Person", "Redacted", "redacted"]

NOTE = (
    "This original was removed when somebody asked to be erased: it held that person's rows only, or rows that could "
    "not be told apart from others'. What was read from it for others stands in the store.\n"
)
_DELIMITERS = ",;\t|"
_WORKBOOK = "[Content_Types].xml"


class _NotForSureError(Exception):
    """The person cannot be taken out of this file row by row."""


@dataclass(frozen=True, slots=True)
class Person:
    """Who is looked for: the key, and the name unless somebody else bears it too."""

    athlete_id: str
    name: str | None

    def owns(self, cells: Iterable[object]) -> bool:
        """Whether one of a row's cells is this person's key or name, however it is written."""
        wanted = {_bare(text) for text in (self.athlete_id, self.name) if text}
        return any(isinstance(cell, str) and _bare(cell) in wanted for cell in cells)

    def hidden(self, text: str) -> str:
        """A text with dots in place of the name."""
        if self.name is None:
            return text
        return self._word.sub(lambda found: "·" * len(found[0]), text)

    def named_in(self, text: str) -> bool:
        """Whether the name stands in a text as a word of its own."""
        return self.name is not None and bool(self._word.search(text))

    @property
    def _word(self) -> re.Pattern[str]:
        name = str(self.name)
        return re.compile(rf"(?<!\w)(?:{re.escape(name)}|{re.escape(name.upper())})(?!\w)")


@dataclass(frozen=True, slots=True)
class Redacted:
    """An original afterwards: its hash, size and packed bytes, whether it changed, and whether a note replaces it."""

    sha256: str
    size: int
    packed: bytes
    changed: bool
    dropped: bool


def redacted(packed: bytes, person: Person, *, lines: frozenset[int] = frozenset(), whole: bool = False) -> Redacted:
    """An original without one person.

    Parameters
    ----------
    packed : bytes
        The original, compressed as the store keeps it.
    person : Person
        Who is taken out.
    lines : frozenset of int
        Physical lines, from 1, that are known to be theirs.
    whole : bool
        Whether everything in it is theirs.
    """
    content = zlib.decompress(packed)
    dropped = False
    try:
        told = NOTE.encode() if whole else _without(content, person, lines)
        dropped = whole
    except (_NotForSureError, ValueError, KeyError, OSError, zipfile.BadZipFile, pl.exceptions.PolarsError):
        told, dropped = NOTE.encode(), True
    changed = told != content
    return Redacted(hashlib.sha256(told).hexdigest(), len(told), zlib.compress(told, 6), changed, dropped and changed)


def _without(content: bytes, person: Person, lines: frozenset[int]) -> bytes:
    if content[:4] == b"PAR1":
        return _parquet(content, person)
    if content[:4] == b"PK\x03\x04":
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            names = archive.namelist()
        return _workbook(content, person) if _WORKBOOK in names else _folder(content, person)
    return _text(content, person, lines)


# Text


def _text(content: bytes, person: Person, lines: frozenset[int]) -> bytes:
    text, encoding, mark = _decoded(content)
    physical = text.splitlines(keepends=True)
    if not physical:
        return content
    delimiter = max(_DELIMITERS, key=physical[0].count)
    if person.owns(_cells(physical[0], delimiter)):
        raise _NotForSureError
    told: list[str] = []
    for first, record in _records(physical, delimiter):
        numbers = range(first, first + len(record))
        theirs = person.owns(_cells("".join(record), delimiter)) or not lines.isdisjoint(numbers)
        told += [_blank(line, delimiter) for line in record] if theirs else [person.hidden(line) for line in record]
    whole = "".join(told)
    return content if whole == text else mark + whole.encode(encoding)


def _records(physical: list[str], delimiter: str) -> Iterator[tuple[int, list[str]]]:
    """The lines of each record with the number of its first line, from 1; a quoted cell may hold line ends."""
    try:
        reader = csv.reader(physical, delimiter=delimiter)
        before = 0
        for _ in reader:
            yield before + 1, physical[before : reader.line_num]
            before = reader.line_num
    except csv.Error as error:
        raise _NotForSureError from error


def _cells(record: str, delimiter: str) -> list[str]:
    return [cell for row in csv.reader(record.splitlines(keepends=True), delimiter=delimiter) for cell in row]


def _blank(line: str, delimiter: str) -> str:
    bare = line.rstrip("\r\n")
    return delimiter * bare.count(delimiter) + line[len(bare) :]


def _decoded(content: bytes) -> tuple[str, str, bytes]:
    """The text, its encoding and its mark; encoding it again gives the same bytes."""
    for mark, encoding in (
        (codecs.BOM_UTF8, "utf-8"),
        (codecs.BOM_UTF16_LE, "utf-16-le"),
        (codecs.BOM_UTF16_BE, "utf-16-be"),
    ):
        if content.startswith(mark):
            return content[len(mark) :].decode(encoding), encoding, mark
    try:
        return content.decode("utf-8"), "utf-8", b""
    except UnicodeDecodeError:
        return content.decode("latin-1"), "latin-1", b""


# Other kinds


def _folder(content: bytes, person: Person) -> bytes:
    """A score sheet with its whiteboard texts, as they are kept together."""
    buffer = io.BytesIO()
    changed = False
    with zipfile.ZipFile(io.BytesIO(content)) as before, zipfile.ZipFile(buffer, "w", zipfile.ZIP_STORED) as after:
        for name in before.namelist():
            if person.named_in(name) or person.owns(re.split(r"[/.]", name)):
                raise _NotForSureError
            one = before.read(name)
            told = _without(one, person, frozenset())
            changed |= told != one
            after.writestr(zipfile.ZipInfo(name), told)
    return buffer.getvalue() if changed else content


def _workbook(content: bytes, person: Person) -> bytes:
    book = openpyxl.load_workbook(io.BytesIO(content))
    changed = False
    for sheet in book.worksheets:
        if person.named_in(sheet.title) or person.owns([sheet.title]):
            raise _NotForSureError
        for number, row in enumerate(sheet.iter_rows(), start=1):
            theirs = person.owns(cell.value for cell in row)
            if theirs and number == 1:
                raise _NotForSureError
            for cell in row:
                told = None if theirs else person.hidden(cell.value) if isinstance(cell.value, str) else cell.value
                if told != cell.value:
                    cell.value, changed = told, True
                if cell.comment and (theirs or person.named_in(cell.comment.text)):
                    cell.comment, changed = None, True
    if not changed and not _named_in_parts(content, person):
        return content
    book.properties.creator = book.properties.lastModifiedBy = None
    buffer = io.BytesIO()
    book.save(buffer)
    if _named_in_parts(buffer.getvalue(), person):
        raise _NotForSureError
    return buffer.getvalue()


def _named_in_parts(content: bytes, person: Person) -> bool:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return any(person.named_in(archive.read(name).decode("utf-8", "replace")) for name in archive.namelist())


def _parquet(content: bytes, person: Person) -> bytes:
    frame = pl.read_parquet(io.BytesIO(content))
    if person.owns(frame.columns):
        raise _NotForSureError
    texts = [name for name, dtype in frame.schema.items() if dtype == pl.String or isinstance(dtype, pl.Enum)]
    if any(isinstance(dtype, pl.List | pl.Struct | pl.Categorical | pl.Binary) for dtype in frame.dtypes):
        raise _NotForSureError
    theirs = pl.Series([person.owns(row) for row in frame.select(texts).iter_rows()], dtype=pl.Boolean)
    told = frame.with_columns(
        pl.when(~theirs).then(pl.col(name).cast(pl.String) if name in texts else pl.col(name)) for name in frame.columns
    ).with_columns(pl.col(texts).map_elements(person.hidden, return_dtype=pl.String))
    if told.equals(frame.with_columns(pl.col(texts).cast(pl.String))):
        return content
    buffer = io.BytesIO()
    told.write_parquet(buffer)
    return buffer.getvalue()


def _bare(text: str) -> str:
    folded = unicodedata.normalize("NFKD", " ".join(text.casefold().split()))
    return "".join(sign for sign in folded if not unicodedata.combining(sign))
