"""Files that cannot be used at all: refused with a whole sentence, and nothing half read."""

from __future__ import annotations

import io
import os
import random
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
import xlsxwriter

from keelmark.contracts.errors import RefusedInput, SettingError
from keelmark.ingest import LogOptions, LogReading, read_log
from keelmark.ingest import source as source_module
from keelmark.ingest.source import read_source

Read = Callable[..., LogReading]
GOOD = "date,athlete,movement,sets,reps,load_kg\n2026-03-02,Ada,deadlift,5,5,100\n"


def refusal(call: Callable[[], object]) -> str:
    with pytest.raises(RefusedInput) as caught:
        call()
    return str(caught.value)


@pytest.mark.parametrize("content", ["", "   \n\n  "])
def test_empty_file(read: Read, content: str) -> None:
    assert refusal(lambda: read(content)) == (
        "log.csv: the file is empty. Wanted: a header line and at least one row. "
        "What to do: save the table again and check that the rows are in it."
    )


def test_header_without_rows(read: Read) -> None:
    assert "there is a header but no row below it" in refusal(lambda: read("date,athlete,movement\n"))


def test_binary_junk_named_csv(read: Read) -> None:
    junk = random.Random(4).randbytes(5000)
    assert refusal(lambda: read(junk)) == (
        "log.csv: the content is not text. Wanted: a CSV file, an XLSX workbook or a Parquet table. "
        "What to do: export the log again from the program that keeps it."
    )


def test_missing_file_and_folder(read: Read, tmp_path: Path) -> None:
    assert "the file cannot be found or opened" in refusal(lambda: read(tmp_path / "absent.csv"))
    assert "this is not a file" in refusal(lambda: read(tmp_path))


def test_too_large(read: Read) -> None:
    assert refusal(lambda: read(GOOD + " " * 3_000_000, max_bytes=2 * 1024 * 1024)) == (
        "log.csv: the file has 3 MB. Wanted: at most 2 MB. "
        "What to do: split the file by year or by athlete and read the parts one after another."
    )
    assert LogOptions().max_bytes == 200 * 1024 * 1024


def test_more_than_200_mb_is_refused_without_reading_it(tmp_path: Path, read: Read) -> None:
    path = tmp_path / "huge.csv"
    with path.open("wb") as file:
        file.truncate(201 * 1024 * 1024)
    assert "the file has 201 MB" in refusal(lambda: read(path))


def test_too_many_rows(read: Read) -> None:
    body = "2026-03-02,Ada,deadlift,5,5,100\n" * 50
    assert "the file has more than 20 rows" in refusal(lambda: read(GOOD + body, max_rows=20))


def test_too_many_columns(read: Read) -> None:
    text = "date,athlete,movement" + ",x" * 400 + "\n2026-03-02,Ada,deadlift" + ",1" * 400 + "\n"
    assert refusal(lambda: read(text)) == (
        "log.csv: most rows have 403 cells. Wanted: at most 300 columns. "
        "What to do: keep the columns that describe the training, or name the right delimiter with the option."
    )


def bomb(declared_honestly: bool) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        archive.writestr("xl/workbook.xml", "<workbook/>")
        archive.writestr("xl/worksheets/sheet1.xml", b"0" * (120 * 1024 * 1024))
    data = bytearray(packed.getvalue())
    if not declared_honestly:
        place = data.rindex(b"PK\x01\x02", 0, data.rindex(b"PK\x05\x06"))
        data[place + 24 : place + 28] = (1000).to_bytes(4, "little")
    return bytes(data)


@pytest.mark.parametrize("declared_honestly", [True, False])
def test_zip_bomb(read: Read, declared_honestly: bool) -> None:
    text = refusal(lambda: read(bomb(declared_honestly), name="log.xlsx"))
    assert "unpacks to far more than a log would" in text or "it is damaged" in text
    if declared_honestly:
        assert text == (
            "log.xlsx: the workbook has 0.1 MB but unpacks to far more than a log would. "
            "Wanted: at most 1024 MB unpacked, and at most 200 times its size. What to do: copy the table into a "
            "new workbook, or save it as CSV."
        )


def test_zip_that_is_no_workbook(read: Read) -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("letter.txt", "hello")
    text = refusal(lambda: read(packed.getvalue(), name="log.xlsx"))
    assert "the file is packed like a workbook but is not one, or it is damaged" in text


def test_text_named_xlsx(read: Read) -> None:
    text = refusal(lambda: read(GOOD, name="log.xlsx"))
    assert "the name ends in .xlsx but the content is something else" in text


def test_cut_off_workbook(read: Read) -> None:
    stream = io.BytesIO()
    with xlsxwriter.Workbook(stream) as book:
        book.add_worksheet().write_row(0, 0, ["date", "athlete", "movement"])
    whole = stream.getvalue()
    text = refusal(lambda: read(whole[: len(whole) // 2], name="log.xlsx"))
    assert "it is damaged" in text


def test_workbook_with_a_broken_sheet(read: Read) -> None:
    stream = io.BytesIO()
    with xlsxwriter.Workbook(stream) as book:
        book.add_worksheet().write_row(0, 0, ["date", "athlete", "movement"])
    broken = io.BytesIO()
    with zipfile.ZipFile(stream) as old, zipfile.ZipFile(broken, "w") as new:
        for entry in old.infolist():
            data = old.read(entry)
            new.writestr(entry, data[:200] if entry.filename.endswith("sheet1.xml") else data)
    with pytest.raises(RefusedInput, match="What to do"):
        read(broken.getvalue(), name="log.xlsx")


def test_old_binary_workbook(read: Read) -> None:
    text = refusal(lambda: read(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, name="log.xls"))
    assert "open it and save it as .xlsx without a password" in text


def test_broken_parquet(read: Read) -> None:
    assert "the Parquet table cannot be read" in refusal(lambda: read(b"PAR1" + b"junk" * 100, name="log.parquet"))


def test_column_twice(read: Read) -> None:
    text = refusal(lambda: read("date,athlete,movement,load_kg,sets,load_kg\n2026-03-02,Ada,deadlift,1,1,1\n"))
    assert text == (
        "log.csv: the columns 'load_kg' (column 4) and 'load_kg' (column 6) both mean load. "
        "Wanted: one column for load. What to do: remove one of them, or say in a mapping file which one counts: "
        "[columns] load = 'load_kg'."
    )


def test_two_columns_of_one_meaning(read: Read) -> None:
    text = refusal(lambda: read("date,athlete,movement,weight kg,Last (kg)\n2026-03-02,Ada,deadlift,1,1\n"))
    assert "the columns 'weight kg' (column 4) and 'Last (kg)' (column 5) both mean load" in text


def test_no_column_for_what_is_needed(read: Read) -> None:
    text = refusal(lambda: read("when,athlete,exercize,sets\n2026-03-02,Ada,deadlift,1\n"))
    assert text == (
        "log.csv: no column for date, movement was found; the columns are when, athlete, exercize, sets. "
        "Wanted: a header row with date and athlete and movement; names understood include "
        "date: date, session date, training date, date of training; movement: movement, exercise, lift, drill. "
        "What to do: rename the columns, or give a mapping file with the line [columns] and below it "
        'a line for each column, such as date = "name of the column", for example movement = "exercize".'
    )


def test_one_column_is_no_log(read: Read) -> None:
    text = refusal(lambda: read("date\n2026-03-02\n2026-03-03\n"))
    assert "no column for athlete, movement was found; the columns are date." in text


def test_file_changed_while_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "log.csv"
    path.write_text(GOOD)
    whole = source_module._bytes

    def slow(one: Path) -> bytes:
        data = whole(one)
        one.write_text(GOOD + "2026-03-03,Ada,deadlift,5,5,100\n")
        return data

    monkeypatch.setattr(source_module, "_bytes", slow)
    assert refusal(lambda: read_source(path, 10**6)) == (
        "log.csv: the file changed while it was being read. Wanted: a file that nobody writes to during the import. "
        "What to do: close it in other programs, wait until it is copied or synchronised, and try again."
    )


def test_file_changed_without_a_trace_in_size_or_time(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "log.csv"
    path.write_text(GOOD)
    stamp = path.stat().st_mtime_ns
    whole = source_module._bytes

    def sly(one: Path) -> bytes:
        data = whole(one)
        one.write_text(GOOD.replace("100", "200"))
        os.utime(one, ns=(stamp, stamp))
        return data

    monkeypatch.setattr(source_module, "_bytes", sly)
    assert "the file changed while it was being read" in refusal(lambda: read_source(path, 10**6))


def test_encoding_as_told_must_fit(read: Read) -> None:
    text = refusal(lambda: read("date,athlete,movement\n2026-03-02,Zoë,deadlift\n".encode("cp1252"), encoding="utf-8"))
    assert "the bytes cannot be read as utf-8" in text


def test_wrong_options() -> None:
    with pytest.raises(SettingError, match=r"option delimiter: delimiter is ';;'\. Wanted: one character"):
        LogOptions(delimiter=";;")


@pytest.mark.parametrize(
    ("mapping", "found"),
    [
        ("columns = 3", "it has the entries columns"),
        ("[columns]\ncolour = 'x'\n", "there is no kind of column named colour"),
        ("[columns]\nload = { column = 'x', unit = 'stone' }\n", "the unit of load is 'stone'"),
        ("[columns]\nload = 3\n", "the entry for load is 3"),
        ("[columns\n", "it cannot be read as TOML"),
        ("header_row = 0\n[columns]\ndate = 'x'\n", "header_row is 0"),
        ("[columns]\ndate = 'Tag'\n", "the mapping names columns that are not there: Tag"),
    ],
)
def test_wrong_mapping(read: Read, tmp_path: Path, mapping: str, found: str) -> None:
    path = tmp_path / "mapping.toml"
    path.write_text(mapping)
    assert found in refusal(lambda: read(GOOD, mapping=path))


def test_the_reader_takes_a_path_as_text(tmp_path: Path, catalogue: object) -> None:
    path = tmp_path / "log.csv"
    path.write_text(GOOD)
    assert read_log(str(path), catalogue=catalogue).counts["accepted"] == 1  # type: ignore[arg-type]
