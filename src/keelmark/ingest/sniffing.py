"""From bytes to text: encoding, line ends and delimiter."""

from __future__ import annotations

import codecs
import csv
import io
from collections import Counter
from dataclasses import dataclass

from charset_normalizer import from_bytes

from keelmark.contracts.errors import RefusedInput

__all__ = ["DELIMITERS", "TextForm", "decode", "find_delimiter", "find_newline"]

DELIMITERS = (",", ";", "\t", "|")
SAMPLE_ROWS = 400
LEGACY_ENCODINGS = ["cp1252", "mac_roman", "cp850"]
CONTROL_SHARE = 0.01

BOMS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


@dataclass(frozen=True, slots=True)
class TextForm:
    """How a text table is written."""

    encoding: str
    delimiter: str
    newline: str
    guessed_encoding: bool


def decode(data: bytes, *, where: str, encoding: str | None = None) -> tuple[str, str, bool]:
    """The text, the encoding's name, and whether the encoding is an inference rather than certain.

    A byte order mark decides; then strict UTF-8; then the older Western encodings, ranked by charset-normalizer.

    Raises
    ------
    RefusedInput
        When the bytes are not text.
    """
    if encoding is not None:
        return _as_told(data, encoding, where), encoding, False
    for mark, name in BOMS:
        if data.startswith(mark):
            return _as_told(data, name, where), name, False
    if _looks_binary(data):
        raise _not_text(where)
    try:
        return data.decode("utf-8"), "utf-8", False
    except UnicodeDecodeError:
        pass
    best = from_bytes(data, cp_isolation=LEGACY_ENCODINGS, threshold=0.5).best()
    if best is None:
        raise _not_text(where)
    return data.decode(best.encoding), best.encoding, True


def find_newline(text: str) -> str:
    """The commonest line end: CRLF, LF or CR."""
    crlf = text.count("\r\n")
    counts = {"CRLF": crlf, "LF": text.count("\n") - crlf, "CR": text.count("\r") - crlf}
    return max(counts, key=lambda name: counts[name])


def find_delimiter(text: str) -> str:
    """The delimiter under which most of the first rows have one and the same number of fields, above one.

    A comma where none splits the rows: a list of names is a table of one column.
    """
    scores = {delimiter: _evenness(text, delimiter) for delimiter in DELIMITERS}
    return max(DELIMITERS, key=lambda delimiter: scores[delimiter])


def _evenness(text: str, delimiter: str) -> float:
    widths: Counter[int] = Counter()
    try:
        for fields in csv.reader(io.StringIO(text[:400_000], newline=""), delimiter=delimiter):
            if any(field.strip() for field in fields):
                widths[len(fields)] += 1
            if widths.total() >= SAMPLE_ROWS:
                break
    except csv.Error:
        return 0.0
    wide = {width: count for width, count in widths.items() if width > 1}
    if not wide:
        return 0.0
    width, count = max(wide.items(), key=lambda item: (item[1], item[0]))
    return count / widths.total() + 0.001 * min(width, 100)


def _as_told(data: bytes, encoding: str, where: str) -> str:
    try:
        return data.decode(encoding)
    except (UnicodeDecodeError, LookupError) as error:
        raise RefusedInput(
            f"the bytes cannot be read as {encoding}",
            where=where,
            wanted="text in that encoding",
            remedy="leave the encoding option out, or save the table again as UTF-8",
        ) from error


def _looks_binary(data: bytes) -> bool:
    sample = data[:65_536]
    control = sum(sample.count(bytes([code])) for code in range(32) if code not in (9, 10, 12, 13))
    return b"\x00" in data[:1_000_000] or control > CONTROL_SHARE * len(sample)


def _not_text(where: str) -> RefusedInput:
    return RefusedInput(
        "the content is not text",
        where=where,
        wanted="a CSV file, an XLSX workbook or a Parquet table",
        remedy="export the log again from the program that keeps it",
    )
