"""Workbooks as people keep them, built here with xlsxwriter."""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from collections.abc import Callable
from typing import Any

import polars as pl
import pytest
import xlsxwriter

from keelmark.contracts.errors import RefusedInput
from keelmark.ingest import LogReading
from tests.ingest.conftest import codes, reasons

Read = Callable[..., LogReading]
HEADER = ["Date", "Athlete", "Movement", "Sets", "Reps", "Load (kg)"]


def workbook(fill: Callable[[Any], None], **options: object) -> bytes:
    stream = io.BytesIO()
    with xlsxwriter.Workbook(stream, options) as book:
        fill(book)
    return stream.getvalue()


def simple(*rows: list[object], **options: object) -> bytes:
    def fill(book: Any) -> None:
        sheet = book.add_worksheet("Log")
        for number, row in enumerate([HEADER, *rows]):
            sheet.write_row(number, 0, row)

    return workbook(fill, **options)


def test_title_rows_two_row_header_merged_days_and_sum_lines(read: Read) -> None:
    def fill(book: Any) -> None:
        cover = book.add_worksheet("Cover")
        cover.write(0, 0, "Station log, kept by the coxswain")
        sheet = book.add_worksheet("Season")
        sheet.merge_range("A1:H1", "Crew training")
        sheet.write("A2", "Loads in kg unless said otherwise")
        for place, title in (
            ("A4:A5", "Day"),
            ("B4:B5", "Crew"),
            ("C4:C5", "Exercise"),
            ("D4:E4", "Volume"),
            ("F4:G4", "Intensity"),
        ):
            sheet.merge_range(place, title)
        sheet.write_row("D5", ["Sets", "Reps", "kg", "RPE"])
        sheet.write("H4", "Remarks")
        sheet.merge_range("A6:A8", "")
        sheet.write_datetime("A6", dt.datetime(2026, 3, 2), book.add_format({"num_format": "dd.mm.yyyy"}))
        sheet.write_row("B6", ["Ada", "deadlift", 5, 5, 100, 8, ""])
        sheet.write_row("B7", ["Bo", "deadlift", 5, 3, 120, 9, "stiff"])
        sheet.write_row("B8", ["Cy", "pull-up", 4, 8, "BW", 7])
        sheet.merge_range("A9:C9", "Week 10 total")
        sheet.write("D9", 14)
        sheet.write_row("A11", ["03/03/2026", "Ada", "box jump", 3, 10, "", 6])
        sheet.write_row("A12", ["13/03/2026", "Ada", "back squat", 3, 10, "2x20", 6])
        book.add_worksheet("Lists").write_column(0, 0, ["deadlift", "pull-up"])

    one = read(workbook(fill), name="log.xlsx")
    assert one.counts == {"rows": 7, "accepted": 5, "duplicate": 0, "blank": 1, "other": 1, "quarantined": 0}
    assert one.rows["row"].to_list() == list(range(6, 13))
    assert one.efforts["date"].to_list() == [dt.date(2026, 3, 2)] * 3 + [dt.date(2026, 3, 3), dt.date(2026, 3, 13)]
    assert one.efforts["load_kg"].to_list() == [100, 120, None, None, 40]
    assert one.efforts["rpe"].to_list() == [8, 9, 7, 6, 6]


def test_several_styles_of_date_in_one_column(read: Read) -> None:
    content = simple(
        [46085, "Ada", "deadlift", 1, 5, 100],
        ["2026-03-05", "Ada", "deadlift", 1, 5, 100],
        ["6 Mar 2026", "Ada", "deadlift", 1, 5, 100],
        ["7. März 2026", "Ada", "deadlift", 1, 5, 100],
        ["13/03/2026", "Ada", "deadlift", 1, 5, 100],
        ["08/03/2026", "Ada", "deadlift", 1, 5, 100],
    )
    one = read(content, name="log.xlsx")
    assert [day.day for day in one.efforts["date"]] == [4, 5, 6, 7, 13, 8]
    assert "serial_dates" in codes(one)


def test_days_counted_from_1904(read: Read) -> None:
    def fill(book: Any) -> None:
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, HEADER)
        sheet.write_datetime(1, 0, dt.datetime(2026, 3, 4), book.add_format({"num_format": "yyyy-mm-dd"}))
        sheet.write_row(1, 1, ["Ada", "deadlift", 1, 5, 100])
        sheet.write_row(2, 0, [46085 - 1462, "Ada", "deadlift", 1, 5, 100])

    one = read(workbook(fill, date_1904=True), name="log.xlsx", identical_rows="separate")
    assert one.efforts["date"].to_list() == [dt.date(2026, 3, 4)] * 2


def test_formulas_count_by_their_stored_result(read: Read) -> None:
    def fill(book: Any) -> None:
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, HEADER)
        sheet.write_row(1, 0, ["2026-03-04", "Ada", "deadlift", 1, 5])
        sheet.write_formula(1, 5, "=50*2", None, 100)
        sheet.write_row(2, 0, ["2026-03-04", "Ada", "back squat", 1, 5])
        sheet.write_formula(2, 5, "=50*2", None, "")
        sheet.write_row(3, 0, ["2026-03-04", "Ada", "front squat", 1])
        sheet.write_formula(3, 4, "=2+3", None, "")

    one = read(workbook(fill), name="log.xlsx")
    assert one.efforts["load_kg"].to_list() == [100]
    assert reasons(one) == {3: ["formula_without_result"], 4: ["formula_without_result"]}
    told = next(warning.text for warning in one.warnings if warning.code == "formula_without_result")
    assert told == (
        "2 cells with a formula whose result was never stored: row 3, column Load (kg); "
        "row 4, column Reps. Open the file in a spreadsheet program and save it again."
    )


def test_error_cells_are_not_numbers(read: Read) -> None:
    def fill(book: Any) -> None:
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, HEADER)
        sheet.write_row(1, 0, ["2026-03-04", "Ada", "deadlift", 1, 5])
        sheet.write_formula(1, 5, "=1/0", None, "#DIV/0!")

    assert reasons(read(workbook(fill), name="log.xlsx")) == {2: ["non_numeric_load"]}


def test_two_sheets_that_look_alike_are_not_guessed(read: Read) -> None:
    def fill(book: Any) -> None:
        for name in ("January", "February"):
            sheet = book.add_worksheet(name)
            sheet.write_row(0, 0, HEADER)
            sheet.write_row(1, 0, ["2026-03-04", "Ada", "deadlift", 1, 5, 100])

    content = workbook(fill)
    with pytest.raises(RefusedInput) as caught:
        read(content, name="log.xlsx")
    assert str(caught.value) == (
        "log.xlsx: the sheets January, February all look like the table wanted. Wanted: one table at a time. "
        "What to do: name the sheet with the option --sheet and read them one after another."
    )
    assert read(content, name="log.xlsx", sheet="February").counts["accepted"] == 1
    with pytest.raises(RefusedInput, match="there is no sheet named 'March'"):
        read(content, name="log.xlsx", sheet="March")


def test_units_in_a_row_below_the_header(read: Read) -> None:
    def fill(book: Any) -> None:
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, ["Date", "Athlete", "Movement", "Sets", "Reps", "Load", "Box height"])
        sheet.write_row(1, 5, ["lb", "in"])
        sheet.write_row(2, 0, ["2026-03-04", "Ada", "deadlift", 1, 5, 100, ""])
        sheet.write_row(3, 0, ["2026-03-04", "Ada", "box jump", 1, 5, "", 24])

    one = read(workbook(fill), name="log.xlsx")
    assert one.efforts["load_kg"].to_list() == [pytest.approx(45.359237), None]
    assert one.efforts["height_cm"].to_list() == [None, pytest.approx(60.96)]


def test_a_footnote_and_a_second_header_are_other_lines(read: Read) -> None:
    content = simple(
        ["2026-03-04", "Ada", "deadlift", 1, 5, 100],
        HEADER,
        ["2026-03-05", "Ada", "deadlift", 1, 5, 100],
        ["* with straps"],
        ["Total", "", "", 2, 10],
    )
    one = read(content, name="log.xlsx")
    assert one.rows["verdict"].to_list() == ["accepted", "other", "accepted", "other", "other"]


def test_parquet_and_workbook_and_text_read_alike(read: Read, tmp_path: Any) -> None:
    days = [dt.date(2026, 3, 4), dt.date(2026, 3, 5)]
    frame = pl.DataFrame(
        {
            "date": days,
            "athlete": ["Ada", "Bo"],
            "movement": ["deadlift", "row"],
            "sets": [5, 1],
            "reps": [5, None],
            "load_kg": [102.5, None],
            "distance_m": [None, 2000],
        }
    )
    frame.write_parquet(tmp_path / "log.parquet")
    frame.write_csv(tmp_path / "log.csv")
    frame.write_excel(tmp_path / "log.xlsx")
    tables = [read(tmp_path / f"log.{kind}").efforts for kind in ("parquet", "csv", "xlsx")]
    plain = [table.drop("import_id", "source_row", "source_line", "text") for table in tables]
    assert plain[0].equals(plain[1])
    assert plain[0].equals(plain[2])
    assert plain[0]["load_kg"].to_list() == [102.5, None]


def test_the_sheet_of_a_longer_season_reads_in_good_time(read: Read) -> None:
    rows: list[list[object]] = [
        [f"2026-{1 + n % 9:02d}-{1 + n % 28:02d}", f"Crew{chr(97 + n % 20)}", "deadlift", 1 + n % 5, 5, 60 + n % 100]
        for n in range(8000)
    ]
    one = read(simple(*rows), name="log.xlsx", identical_rows="separate")
    assert one.counts["accepted"] == 8000


def test_one_stray_cell_far_out_does_not_take_the_machine_down(read: Read) -> None:
    """A table from A1 to the last cell of a sheet would have 17 thousand million cells (2**20 rows, 2**14 columns)."""

    def fill(book: Any) -> None:
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, HEADER)
        sheet.write(2**20 - 1, 2**14 - 1, "x")

    with pytest.raises(RefusedInput) as caught:
        read(workbook(fill), name="log.xlsx")
    assert str(caught.value) == (
        "log.xlsx: a sheet (sheet1.xml) reaches row 1,048,576, column 16,384. Wanted: at most 2,000,000 rows, 300 "
        "columns "
        "and 20,000,000 cells between the first and the last. What to do: delete stray cells far from the table, "
        "or copy the table into a new workbook."
    )


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'<c r="A1" t="s">', b'<c r="A99999999999" t="s">'),
        (b'<c r="A1" t="s">', b'<c r="ZZZZZ1" t="s">'),
        (b'<c r="A1" t="s">', b'<c r="A0" t="s">'),
        (b'<row r="1"', b'<row r="4000000000"'),
        (b"<v>0</v>", b"<v>9999</v>"),
        (b"</sheetData>", b"</sheetData><mergeCells><mergeCell ref='A1:XFD9999999999'/></mergeCells>"),
        (b"<sheetData>", b"<sheetData><row><"),
    ],
)
def test_a_damaged_sheet_is_read_or_refused_but_never_takes_the_machine_down(
    read: Read, old: bytes, new: bytes
) -> None:
    whole, changed = io.BytesIO(simple(["2026-03-04", "Ada", "deadlift", 1, 5, 100])), io.BytesIO()
    with zipfile.ZipFile(whole) as archive, zipfile.ZipFile(changed, "w") as copy:
        for entry in archive.infolist():
            text = archive.read(entry)
            if entry.filename == "xl/worksheets/sheet1.xml":
                assert old in text
                text = text.replace(b'<c r="B1"', b"<c").replace(old, new)
            copy.writestr(entry, text)
    try:
        one = read(changed.getvalue(), name="log.xlsx")
    except RefusedInput as error:
        assert "What to do" in str(error)  # noqa: PT017
    else:
        assert one.counts["accepted"] <= 1


def test_formats_without_cells_far_out_do_no_harm(read: Read) -> None:
    def fill(book: Any) -> None:
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, HEADER)
        sheet.write_row(1, 0, ["2026-03-04", "Ada", "deadlift", 1, 5, 100])
        grey = book.add_format({"bg_color": "#dddddd"})
        sheet.write_blank(5000, 5, None, grey)
        sheet.set_row(2**20 - 1, 20, grey)

    one = read(workbook(fill), name="log.xlsx")
    assert one.counts["accepted"] == 1
    assert one.counts["rows"] == 1
