# ruff: noqa: E501 (tables of cases are read across)
"""Files that somebody might bring by mistake or on purpose, written by hand, each with what has to become of it."""

from __future__ import annotations

import gzip
import io
import json
import math
import random
import sqlite3
import tempfile
import zipfile
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path

import polars as pl
import pyrage

from keelmark.service import Squad
from tests.faults.doors import DOORS, LOG, Door, as_xlsx, backup_bytes, brought, tables
from tests.faults.tally import Case

__all__ = [
    "SIGNS", "any_door", "archives", "as_csv", "calendars", "no_strange_figure", "parquets", "tables_of_text", "texts",
    "tomls", "workbooks",
]  # fmt: skip

SIGNS = (
    "\u202egnp.exe", "A\u200bled", "\ufeffAled", "Al\u0065\u0301d", "\u2066Aled\u2069", "Aled\u0000", "\x1b]0;you\x07",
    "\x1b[2J", "😀" * 40, "Zoë", "\ud7ff", "\U0010ffff", "a" * 40_000, "ﷺ" * 200, "\u0301" * 500, "İ", "ß", "\r", "\x85",
    "\u2028", "=1+1", '=HYPERLINK("http://x","y")', "@SUM(A1)", "+cmd|' /C calc'!A0", "-2+3", "\t=1", "../../etc/passwd",
    "..\\..\\boot.ini", "CON", "C:\\x", "/dev/zero", "file:///x", "%00", "${x}", "{{7*7}}", "'; DROP TABLE person; --",
    "<script>alert(1)</script>", "<img src=x onerror=alert(1)>", "%s%s%s%n", "null", "None", "undefined", "true",
)  # fmt: skip
"""Cells and names that have tripped programs before."""

FIGURES = (
    "nan", "NaN", "inf", "-inf", "Infinity", "1e308", "1e309", "-1e308", "1e-320", "9" * 400, "9" * 5_000, "-0", "0x10",
    "1_000", "१२", "²", "½", "1,000,000.5", "1.000.000,5", "1e5", "--5", "5-", "+5", "0" * 300 + "5", "1/0", "∞", "٣",
    "5 000", "1e1000000000", "2 ** 99", "0.1" * 50, "9223372036854775808", "-9223372036854775809",
)  # fmt: skip
DATES = (
    "0000-00-00", "9999-12-31", "10000-01-01", "2026-02-30", "2026-13-01", "1e10", "99999999999", "-1", "29/02/2025",
    "2026-03-08T99:99", "2026-03-08 23:59:60", "0001-01-01", "３/３/２０２６", "today", "2026-W99", "1899-12-30", "nan", "²",
)  # fmt: skip

_OTHER_KINDS: dict[str, bytes] = {
    "PNG": b"\x89PNG\r\n\x1a\n" + b"\x00\x00\x00\rIHDR" * 40,
    "JPEG": b"\xff\xd8\xff\xe0\x00\x10JFIF" + bytes(range(256)) * 20,
    "PDF": b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n" + bytes(range(256)) * 20,
    "program": b"\x7fELF\x02\x01\x01" + b"\x00" * 500,
    "gzip": gzip.compress(LOG.encode()),
    "old workbook": b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600,
    "random bytes": random.Random(4).randbytes(5_000),
    "null bytes": b"\x00" * 4_096,
    "nothing": b"",
    "spaces": b" \n\t\r\n  ",
    "lone continuation bytes": b"\x80\x81\x82,\xc3\x28,\xff\xfe\xfd\n" * 30,
}


def any_door(opened: Squad, folder: Path) -> Iterator[Case]:
    """What no door may take: other kinds of file, halves of files, and files larger than any limit."""
    others = {**_OTHER_KINDS, "database": _database()}
    for door in DOORS:
        for name, content in others.items():
            yield Case(f"{name} as {door.name}", brought(door, opened, folder, content), _no_such(door, name))
        for share in (0.3, 0.7, 0.98):
            part = door.good[: int(share * len(door.good))]
            refused = door.kind in ("workbook", "parquet", "archive")
            yield Case(f"{share:.0%} of {door.name}", brought(door, opened, folder, part), refused)
        for file in (
            "x.xlsx",
            "x.parquet",
            "x.csv",
            "x.txt",
            "no ending",
            "x.csv.exe",
            "-rf",
            "x y'\"; z.csv",
            "ä\u202e.csv",
        ):
            yield Case(f"{door.name} named {file!a}", brought(door, opened, folder, door.good, file=file))
        yield Case(f"1 GB in one line as {door.name}", _sparse(door, opened, folder, 1024**3), True)


def _no_such(door: Door, name: str) -> bool:
    """A week in which nothing is planned is a week; a file of another kind is never what was asked for."""
    return not (door.name == "planned week" and name in ("nothing", "spaces"))


def _database() -> bytes:
    with tempfile.TemporaryDirectory() as place:
        with sqlite3.connect(Path(place) / "x.db") as plain:
            plain.execute("CREATE TABLE x (y)")
        plain.close()
        return (Path(place) / "x.db").read_bytes()


def _sparse(door: Door, opened: Squad, folder: Path, size: int) -> object:
    """A huge file that takes no room on the disk; what it is read into would."""

    def do() -> object:
        path = folder / door.file
        with path.open("wb") as handle:
            handle.write(door.good[:20])
            handle.truncate(size)
        try:
            return door.bring(opened, path)
        finally:
            path.unlink()

    return do


# Tables of text


def tables_of_text(opened: Squad, folder: Path, *, large: bool = False) -> Iterator[Case]:
    """CSV files: too wide, too long, badly quoted, and with odd cells in each column."""
    for door in DOORS:
        if door.kind != "table":
            continue
        rows = tables(door.good.decode())
        for name, content, refused in _shapes(door.good, large):
            yield Case(f"{door.name}: {name}", brought(door, opened, folder, content), refused)
        for column, title in enumerate(rows[0]):
            pool = (*SIGNS, *FIGURES, *DATES)
            for start in range(0, len(pool), 12):
                odd = [[*rows[1][:column], cell, *rows[1][column + 1 :]] for cell in pool[start : start + 12]]
                one = [odd[0]] if door.name in ("roster", "check-in file") else odd
                content = as_csv([rows[0], *one])
                words = f"{door.name}: odd cells in {title}, from {start}"
                yield Case(words, brought(door, opened, folder, content), check=no_strange_figure(opened))
    yield from _titles(opened, folder)


def _shapes(good: bytes, large: bool) -> Iterator[tuple[str, bytes, bool]]:
    header, first = good.split(b"\n")[:2]
    share = 1 if large else 100
    yield "10 million columns", header + b"," * (10_000_000 // share) + b"\n" + first + b"\n", True
    yield "10 million empty columns in one row", good + b"," * (10_000_000 // share) + b"\n", False
    yield "a header of 100,000 titles", b",".join(b"c%d" % place for place in range(100_000)) + b"\n" + first, True
    yield "one cell of 20 MB", good + b'"' + b"x" * (20_000_000 // share) + b'",1\n', False
    yield "a line of 20 MB without an end", good + b"x" * (20_000_000 // share), False
    yield "quotes that are never closed", header + b"\n" + (b'"' + first + b"\n") * (60_000 // share), False
    yield "quotes alone", b'"' * 300_000, True
    yield "doubled quotes", header + b"\n" + b'""' * 100_000 + b"\n", False
    yield "null bytes inside", good.replace(b",", b"\x00,"), True
    yield "half a sign at the end", good + b"\xe2\x82", False
    yield "UTF-16 without a mark", good.decode().encode("utf-16-le"), True
    yield "UTF-16 with a mark", good.decode().encode("utf-16"), False
    yield "UTF-32 with a mark", good.decode().encode("utf-32"), False
    yield "UTF-16 mark and an odd number of bytes", b"\xff\xfe" + good[:-1], True
    yield "every line end there is", good.replace(b"\n", b"\r") + b"\x0b\x0c\x1c\x85\xe2\x80\xa8" + first, False
    yield "a million empty lines", good + b"\n" * (1_000_000 // share), False
    yield "a million delimiters of each kind", good + b",;\t|" * (250_000 // share) + b"\n", False
    yield "rows of any width", good + b"".join(b"," * wide + b"\n" for wide in range(300)), False
    yield "only the header", header + b"\n", True
    yield "no header", b"\n".join(good.split(b"\n")[1:]), False
    yield "the header twice", header + b"\n" + good, False
    yield "a page of HTML", b"<!doctype html><html><body><table><tr><td>date</td></tr></table></body></html>", True
    yield "JSON", json.dumps([{"date": "2025-09-01"}]).encode(), True
    yield "nested JSON", b"[" * 200_000 + b"]" * 200_000, True
    yield "XML with entities", _laughs(), True
    if large:
        yield "2.1 million rows", header + b"\n" + b"1\n" * 2_100_000, True


def _titles(opened: Squad, folder: Path) -> Iterator[Case]:
    log = next(door for door in DOORS if door.name == "log as CSV")
    rows = tables(LOG)
    for sign in (*SIGNS, *FIGURES):
        content = as_csv([[*rows[0], sign], *([*row, sign] for row in rows[1:])])
        yield Case(f"log: a column named {sign[:20]!a}", brought(log, opened, folder, content))
        content = as_csv([[sign, *rows[0][1:]], *rows[1:]])
        yield Case(f"log: the date's column named {sign[:20]!a}", brought(log, opened, folder, content), True)


def as_csv(rows: list[list[str]]) -> bytes:
    """Rows as a CSV file."""

    def cell(text: str) -> str:
        return '"' + text.replace('"', '""') + '"' if any(mark in text for mark in ',"\r\n') else text

    text = "\n".join(",".join(map(cell, row)) for row in rows) + "\n"
    return text.encode("utf-8", "surrogatepass")


def no_strange_figure(opened: Squad):  # type: ignore[no-untyped-def]
    """Nothing that was taken may have left a figure in the store that is no number, or one beyond all sense."""

    def look(_given: object) -> str | None:
        efforts = opened._store.efforts()
        for name, kind in efforts.schema.items():
            if kind == pl.Float64:
                strange = efforts.filter(~pl.col(name).is_finite() | (pl.col(name).abs() > 1e7))
                if strange.height:
                    return f"{name} in the store is {strange[name][0]}"
        return None

    return look


# Workbooks


def _laughs(levels: int = 9) -> bytes:
    """Entities that grow tenfold at each level."""
    entities = ['<!ENTITY a0 "ha">', *(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, levels + 1))]
    return f'<?xml version="1.0"?><!DOCTYPE x [{"".join(entities)}]><x>&a{levels};</x>'.encode()


def _rebuilt(changes: dict[str, bytes | None], good: bytes | None = None, *, pack: int = zipfile.ZIP_DEFLATED) -> bytes:
    """A good workbook, or another archive, with some of its parts changed, added or left out."""
    old = good if good is not None else as_xlsx(list(tables(LOG)))
    new = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(old)) as archive, zipfile.ZipFile(new, "w", pack) as written:
        for name in archive.namelist():
            if name not in changes:
                written.writestr(name, archive.read(name))
        for name, content in changes.items():
            if content is not None:
                written.writestr(name, content)
    return new.getvalue()


def _sheet(cells: str) -> bytes:
    return (
        '<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
        f"<sheetData>{cells}</sheetData></worksheet>"
    ).encode()


SHEET, BOOK, STRINGS = "xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/sharedStrings.xml"


def _deep(levels: int) -> bytes:
    return b"<a>" * levels + b"</a>" * levels


def workbooks(opened: Squad, folder: Path) -> Iterator[Case]:
    """Workbooks: bombs, entities, deep nesting, parts that lie, and odd cells."""
    door = next(door for door in DOORS if door.kind == "workbook")
    with zipfile.ZipFile(io.BytesIO(door.good)) as archive:
        book, strings, styles = archive.read(BOOK), archive.read(STRINGS), archive.read("xl/styles.xml")
    laughs = _laughs()
    lying = bytearray(_rebuilt({SHEET: b"0" * 60_000_000}))
    place = lying.rindex(b"PK\x01\x02", 0, lying.rindex(b"PK\x05\x06"))
    lying[place + 24 : place + 28] = (1000).to_bytes(4, "little")
    refused: dict[str, bytes] = {
        "a bomb in its sheet": _rebuilt({SHEET: b"0" * 60_000_000}),
        "a bomb in a part that nobody reads": _rebuilt({"xl/media/x.bin": b"0" * 60_000_000}),
        "a bomb that lies of its size": bytes(lying),
        "bombs within bombs": _rebuilt({"xl/x.zip": _rebuilt({SHEET: b"0" * 60_000_000})} | {
            f"xl/{n}.bin": b"0" * 60_000_000 for n in range(4)}),
        "entities in its sheet": _rebuilt({SHEET: laughs}),
        "entities in its list of sheets": _rebuilt({BOOK: laughs}),
        "entities in its texts": _rebuilt({STRINGS: laughs}),
        "entities in UTF-16": _rebuilt({BOOK: laughs.decode().encode("utf-16")}),
        "an entity from a file": _rebuilt({STRINGS: b'<!DOCTYPE x [<!ENTITY y SYSTEM "file:///etc/passwd">]><x>&y;</x>'}),
        "its sheet cut off": _rebuilt({SHEET: b"<worksheet><sheetData><row>"}),
        "no list of sheets": _rebuilt({BOOK: None}),
        "an empty list of sheets": _rebuilt({BOOK: b""}),
        "no sheet": _rebuilt({SHEET: None}),
        "a cell in the last row and column": _rebuilt({SHEET: _sheet('<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>')}),
        "deep nesting in its list of sheets": _rebuilt({BOOK: _deep(200_000)}),
        "deep nesting in its texts": _rebuilt({STRINGS: _deep(200_000)}),
        "random bytes for a sheet": _rebuilt({SHEET: random.Random(1).randbytes(10_000)}),
        "a document of another program": _rebuilt({BOOK: None, "word/document.xml": b"<w/>"}),
        "texts that are said to be many": _rebuilt({STRINGS: strings.replace(b'niqueCount="', b'niqueCount="999999999999')}),
        "styles that are said to be many": _rebuilt({"xl/styles.xml": styles.replace(b' count="', b' count="99999999999999999999')}),
        "nothing but a folder": _zip({"xl/": b""}),
        "one letter": _zip({"letter.txt": b"hello"}),
    }  # fmt: skip
    for name, content in refused.items():
        yield Case(f"workbook with {name}", brought(door, opened, folder, content), True)
    either: dict[str, bytes] = {
        "path tricks in its parts": _rebuilt({"../../../evil.xml": b"<x/>", "/etc/evil": b"x", "C:\\evil": b"x"}),
        "the same part twice": _twice(door.good),
        "a text that is not there": _rebuilt({STRINGS: strings[:200] + b"</sst>"}),
        "cells without places": _rebuilt({SHEET: _sheet("<row>" + "<c><v>1</v></c>" * 50 + "</row>")}),
        "a cell of 1e999": _rebuilt({SHEET: _sheet('<row r="1"><c r="A1"><v>1e999</v></c><c r="B1"><v>nan</v></c></row>')}),
        "a day of the year 10 million": _rebuilt({SHEET: _sheet('<row r="1"><c r="A1" s="1"><v>3e9</v></c></row>')}),
        "a cell of ten million signs": _rebuilt({SHEET: _sheet(
            f'<row r="1"><c r="A1" t="inlineStr"><is><t>{"x" * 10_000_000}</t></is></c></row>')}, pack=zipfile.ZIP_STORED),
        "deep nesting in its sheet": _rebuilt({SHEET: _sheet(_deep(100_000).decode())}, pack=zipfile.ZIP_STORED),
        "20,000 names of sheets": _rebuilt({BOOK: book.replace(
            b"</sheets>", b"".join(b'<sheet name="s%d" sheetId="%d" r:id="rId1"/>' % (n, n) for n in range(2, 20_000)) + b"</sheets>")}),
        "100,000 merged cells": _merged(door.good),
    }  # fmt: skip
    for name, content in either.items():
        yield Case(f"workbook with {name}", brought(door, opened, folder, content), check=no_strange_figure(opened))
    rows: list[list[object]] = list(tables(LOG))
    odd: tuple[object, ...] = (
        *SIGNS[:30], 1e300, -1e300, 5e-324, 2**62, True, math.nan, math.inf, -math.inf, "=1+1", "#REF!", "#DIV/0!",
    )  # fmt: skip
    for column, title in enumerate(rows[0]):
        for start in range(0, len(odd), 14):
            changed = [[*rows[1][:column], cell, *rows[1][column + 1 :]] for cell in odd[start : start + 14]]
            content = as_xlsx([rows[0], *(_short(row) for row in changed)])
            words = f"workbook: odd cells in {title}, from {start}"
            yield Case(words, brought(door, opened, folder, content), check=no_strange_figure(opened))


def _short(row: list[object]) -> list[object]:
    return [cell[:32_000] if isinstance(cell, str) else cell for cell in row]


def _zip(parts: dict[str, bytes]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return stream.getvalue()


def _twice(good: bytes) -> bytes:
    stream = io.BytesIO(good)
    with zipfile.ZipFile(stream, "a") as archive:
        archive.writestr(SHEET.replace("sheet1", "Sheet1"), archive.read(SHEET))
    return stream.getvalue()


def _merged(good: bytes) -> bytes:
    with zipfile.ZipFile(io.BytesIO(good)) as archive:
        sheet = archive.read(SHEET)
    spans = b"".join(b'<mergeCell ref="A%d:C%d"/>' % (row, row + 1) for row in range(2, 200_002, 2))
    return _rebuilt(
        {SHEET: sheet.replace(b"</sheetData>", b"</sheetData><mergeCells>" + spans + b"</mergeCells>")}, good
    )


# Parquet


def parquets(opened: Squad, folder: Path) -> Iterator[Case]:
    """Parquet tables: foreign types in each column, nesting, and more than fits."""
    door = next(door for door in DOORS if door.kind == "parquet")
    good = pl.read_parquet(io.BytesIO(door.good))
    height = good.height
    foreign = {
        "lists": pl.Series([[1, 2]] * height), "structs": pl.Series([{"a": 1}] * height),
        "bytes": pl.Series([b"\xff\x00"] * height), "truth": pl.Series([True] * height),
        "decimals": pl.Series([Decimal("1.5")] * height), "moments": pl.Series([datetime(2026, 3, 2, tzinfo=UTC)] * height),
        "times": pl.Series([time(9, 30)] * height), "spans": pl.Series([timedelta(days=400)] * height),
        "days": pl.Series([date(2025, 9, 1)] * height), "categories": pl.Series(["a"] * height, dtype=pl.Categorical),
        "no number": pl.Series([math.nan] * height), "no end": pl.Series([math.inf] * height),
        "large whole numbers": pl.Series([2**63 - 1] * height), "unsigned": pl.Series([2**64 - 1] * height, dtype=pl.UInt64),
        "nothing": pl.Series([None] * height, dtype=pl.Null), "nested lists": pl.Series([[[[[["x"]]]]]] * height),
        "far days": pl.Series([2**31 - 1] * height, dtype=pl.Int32).cast(pl.Date),
        "far moments": pl.Series([2**62] * height, dtype=pl.Int64).cast(pl.Datetime("us")),
    }  # fmt: skip
    for column in good.columns:
        for name, series in foreign.items():
            content = _parquet(good.with_columns(series.alias(column)))
            words = f"Parquet: {name} in {column}"
            yield Case(words, brought(door, opened, folder, content), check=no_strange_figure(opened))
    wide = pl.DataFrame({f"c{place}": [1] for place in range(2_000)})
    many = pl.DataFrame({"date": pl.repeat("2025-09-01", 2_100_000, eager=True)})
    bomb = pl.DataFrame({"date": ["x" * 1_000_000]}).select(pl.col("date").repeat_by(3_000).explode())
    refused = {
        "2,000 columns": _parquet(wide), "2.1 million rows": _parquet(many), "a few bytes that become 3 GB": _parquet(bomb),
        "a broken foot": door.good[:-12] + b"\xff" * 8 + b"PAR1", "junk between its marks": b"PAR1" + b"junk" * 500 + b"PAR1",
        "a foot longer than the file": door.good[:-8] + (2**31 - 1).to_bytes(4, "little") + b"PAR1",
        "no rows": _parquet(good.clear()),
    }  # fmt: skip
    for name, content in refused.items():
        yield Case(f"Parquet with {name}", brought(door, opened, folder, content), True)
    draw = random.Random(9)
    for number in range(60):
        content = bytearray(door.good)
        for _ in range(draw.choice([1, 3, 20])):
            content[draw.randrange(4, len(content))] = draw.randrange(256)
        yield Case(f"Parquet with flipped bytes {number}", brought(door, opened, folder, bytes(content)))


def _parquet(frame: pl.DataFrame) -> bytes:
    stream = io.BytesIO()
    frame.write_parquet(stream)
    return stream.getvalue()


# TOML


def tomls(opened: Squad, folder: Path) -> Iterator[Case]:
    """Mapping files and own movements: deep nesting, huge numbers, foreign types, odd names."""
    deep = 100_000
    broken = {
        "deep lists": "x = " + "[" * deep + "]" * deep,
        "deep tables": "x = " + "{a=" * 5_000 + "1" + "}" * 5_000,
        "a dotted key of 100,000 parts": ".".join(["a"] * 100_000) + " = 1",
        "a number of 10,000 digits": "x = " + "9" * 10_000,
        "the same key twice": "x = 1\nx = 2\n",
        "an open text": 'x = "abc',
        "a wrong day": "x = 2026-02-30",
        "control characters": "x = \x01\x02",
        "JSON": '{"x": 1}',
        "an unknown table": "[[[x]]]",
    }
    ends = [
        "nan",
        "inf",
        "-inf",
        "1e308",
        "9" * 100,
        "true",
        '""',
        "[]",
        "{}",
        "1979-05-27T07:32:00Z",
        "'\u202e'",
        "'../../x'",
    ]
    for door in DOORS:
        if door.kind != "toml":
            continue
        for name, text in broken.items():
            yield Case(f"{door.name}: {name}", brought(door, opened, folder, text.encode()), True)
        lines = door.good.decode().splitlines()
        for place, line in enumerate(lines):
            key, sign, _ = line.partition(" = ")
            for end in ends if sign else ():
                text = "\n".join([*lines[:place], f"{key} = {end}", *lines[place + 1 :]])
                yield Case(f"{door.name}: {key} = {end!a}", brought(door, opened, folder, text.encode()))
        for sign in SIGNS:
            text = door.good.decode() + f"\n[{json.dumps(sign)}]\nlike = ['deadlift']\n"
            yield Case(
                f"{door.name}: a table named {sign[:20]!a}",
                brought(door, opened, folder, text.encode("utf-8", "replace")),
            )


# Texts


def texts(opened: Squad, folder: Path) -> Iterator[Case]:
    """Whiteboard texts and planned weeks: long, deeply bracketed, with huge figures and unseen signs."""
    odd = {
        "10,000 brackets": "(" * 10_000 + "5 deadlift" + ")" * 10_000,
        "1,000 parts in brackets": "(5 x (" * 1_000,
        "huge figures": "99999999999999999999 x 99999999999999 deadlift 1e308 kg\n" + "9" * 5_000 + " burpees",
        "a line of 200,000 signs": "deadlift " * 20_000,
        "5,000 lines": "5 burpees\n" * 5_000,
        "numbers alone": "1 2 3 4 5 6 7 8 9 " * 500,
        "ladders without end": "-".join(map(str, range(2_000))) + " thrusters 40 kg",
        "no number": "nan deadlift inf kg, -5 burpees, 0 x 0 rows",
        "unseen signs": "\u202e5 deadlift\u202c 100\u200b kg\n5\u00a0x\u20095 squat\ufeff",
        "terminal signs": "\x1b[2J\x1b]0;x\x07 5 deadlift\x08\x08",
        "percent signs": "%s %n {0} {} ${x} 5 @ 1000% deadlift",
        "marks": "@#$%^&*()_+{}|:<>?~`" * 500,
        "half words": "A" * 50_000,
        "days only": "Monday\nTuesday\n" * 2_000,
        "times out of the day": "Monday 99:99\n5 burpees\nTuesday 31 February 2026 25h\n5 burpees",
    }
    for door in DOORS:
        if door.kind != "text":
            continue
        head = "2025-09-01\n" if door.name == "whiteboard texts" else "Monday\n"
        for name, text in odd.items():
            yield Case(f"{door.name}: {name}", brought(door, opened, folder, (head + text).encode()))
        for sign in (*SIGNS, *FIGURES, *DATES):
            text = f"{head}5 x 5 {sign[:2_000]} 100 kg\nAMRAP {sign[:2_000]}: 5 burpees\n"
            content = text.encode("utf-8", "replace")
            yield Case(f"{door.name}: {sign[:20]!a} in a line", brought(door, opened, folder, content))
    week = next(door for door in DOORS if door.name == "planned week")
    yield Case("planned week of 30 MB", brought(week, opened, folder, b"Monday\n" + b"5 burpees\n" * 3_000_000), True)


# Calendars


def calendars(opened: Squad, folder: Path) -> Iterator[Case]:
    """iCalendar files: dates that are none, nesting, repeats without end, odd names."""
    door = next(door for door in DOORS if door.kind == "calendar")
    lines = door.good.decode().split("\r\n")
    starts = [
        "DTSTART:x", "DTSTART;VALUE=DATE:00000000", "DTSTART;VALUE=DATE:99991231", "DTSTART:20260302T999999Z",
        "DTSTART;TZID=Nowhere/None:20260302T090000", "DTSTART;VALUE=PERIOD:19970101T180000Z/PT5H30M", "DTSTART:",
        "DTSTART;TZID=../../etc/passwd:20260302T090000", "DTSTART;VALUE=DATE:00010101", "DTSTART;VALUE=TIME:090000",
    ]  # fmt: skip
    ends = [
        "DTEND;VALUE=DATE:00010101", "DTEND;VALUE=DATE:99991231", "DTEND:20260302T100000Z", "DTEND:x", "DURATION:P99999999D",
        "RRULE:FREQ=SECONDLY;COUNT=999999999", "RRULE:FREQ=YEARLY;UNTIL=99991231", "RDATE:20260303",
    ]  # fmt: skip
    for start in starts:
        yield Case(f"calendar: {start}", brought(door, opened, folder, _lines(lines, 5, start)))
    for end in ends:
        yield Case(f"calendar: {end}", brought(door, opened, folder, _lines(lines, 6, end)))
    for sign in SIGNS:
        text = _lines(lines, 7, f"SUMMARY:{sign[:2_000]}")
        yield Case(f"calendar: an event named {sign[:20]!a}", brought(door, opened, folder, text))
    event = "\r\n".join(lines[3:9])
    refused = {
        "no end": "BEGIN:VCALENDAR\r\n" * 3, "deep nesting": "BEGIN:VEVENT\r\n" * 50_000, "two calendars": door.good.decode() * 2,
        "an end without a beginning": "END:VCALENDAR\r\n", "another kind": "BEGIN:VCARD\r\nEND:VCARD\r\n",
        "200,000 events": "\r\n".join([*lines[:3], *[event] * 200_000, "END:VCALENDAR"]),
    }  # fmt: skip
    for name, text in refused.items():
        must = name in ("no end", "another kind", "an end without a beginning", "200,000 events")
        yield Case(f"calendar with {name}", brought(door, opened, folder, text.encode()), must)


def _lines(lines: list[str], place: int, line: str) -> bytes:
    return "\r\n".join([*lines[:place], line, *lines[place + 1 :]]).encode("utf-8", "replace")


# Backups


def archives(opened: Squad, folder: Path) -> Iterator[Case]:
    """Backups: bombs, lists of contents that lie, nesting, path tricks, wrong keys."""
    door = next(door for door in DOORS if door.kind == "archive")
    good = backup_bytes()
    with zipfile.ZipFile(io.BytesIO(good)) as archive:
        manifest = json.loads(archive.read("manifest.json"))
        names = archive.namelist()
    changed: dict[str, object] = {
        "deep nesting": b"[" * 200_000 + b"]" * 200_000, "no list of contents": None, "an empty list": b"{}",
        "a list of numbers": b"[1, 2]", "another format": {**manifest, "format": "zip 9"}, "a huge number": b'{"format": 1e999}',
        "10,000 digits": b'{"format": ' + b"9" * 10_000 + b"}", "NaN": b'{"format": NaN}', "bytes": b"\xff\xfe\x00",
        "rows that are text": {**manifest, "tables": [{**one, "rows": "many"} for one in manifest["tables"]]},
        "rows below nothing": {**manifest, "tables": [{**one, "rows": -1} for one in manifest["tables"]]},
        "no tables": {**manifest, "tables": []}, "tables named by a path": {**manifest, "tables": [
            {**one, "name": f"../../{one['name']}"} for one in manifest["tables"]]},
        "tables of another kind": {**manifest, "tables": 5}, "a table twice": {**manifest, "tables": manifest["tables"] * 2},
        "a schema that is a path": {**manifest, "schema": "../../x"}, "a schema that is no text": {**manifest, "schema": ["x"]},
        "a schema of SQL": {**manifest, "schema": "'; DROP TABLE person; --"}, "an odd revision": {**manifest, "revision": None},
        "unknown entries": {**manifest, "x": 1},
    }  # fmt: skip
    for name, content in changed.items():
        written = json.dumps(content).encode() if isinstance(content, dict) else content
        must = name not in ("an odd revision",)
        yield Case(
            f"backup with {name}", brought(door, opened, folder, _rebuilt({"manifest.json": written}, good)), must
        )
    table = next(name for name in names if name.endswith("/effort.parquet"))
    parts = {
        "a bomb for a table": _rebuilt({table: b"0" * 60_000_000}, good), "junk for a table": _rebuilt({table: b"PAR1junkPAR1"}, good),
        "an empty table": _rebuilt({table: b""}, good), "a table left out": _rebuilt({table: None}, good),
        "foreign columns": _rebuilt({table: _parquet(pl.DataFrame({"x": [1]}))}, good), "a workbook": as_xlsx([["a"]]),
        "a wrong key": pyrage.passphrase.encrypt(good, "seven gulls"), "a broken key": b"age-encryption.org/v1\n-> scrypt AAAA 99\n",
        "work without end for its key": b"age-encryption.org/v1\n-> scrypt " + b"A" * 22 + b" 40\n" + b"A" * 43 + b"\n--- " + b"A" * 43 + b"\n",
    }  # fmt: skip
    for name, content in parts.items():
        yield Case(f"backup with {name}", brought(door, opened, folder, content), True)
    tricks = _rebuilt({"../../evil": b"x", "/etc/evil": b"x"}, good)
    yield Case("backup with parts named by a path", brought(door, opened, folder, tricks))
    for place in range(0, len(good), max(1, len(good) // 150)):
        flipped = good[:place] + bytes([good[place] ^ 0x41]) + good[place + 1 :]
        yield Case(f"backup with a flipped byte at {place}", brought(door, opened, folder, flipped))
