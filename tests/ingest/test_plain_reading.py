"""The three logs read a second time, by a few plain lines that share nothing with the package."""

from __future__ import annotations

import csv
import datetime as dt
import json
import re
from collections import Counter

import openpyxl
import polars as pl
import pytest

from tests.ingest.conftest import LOGS
from tests.ingest.test_three_logs import FILES, reading, truth

Row = tuple[dt.date, str, float, float, float]


def number(text: object, *, comma: bool = False) -> float:
    if isinstance(text, (int, float)):
        return float(text)
    plain = str(text or "0").strip()
    return float(plain.replace(",", ".") if comma else plain)


def rows_of_csv(name: str) -> dict[int, list[str]]:
    form = truth(name)
    with (LOGS / f"{name}.csv").open(encoding=form["encoding"], newline="") as file:
        return dict(enumerate(csv.reader(file, delimiter=form["delimiter"])))


def club_rows() -> dict[int, Row]:
    found = {}
    for number_of_row, row in rows_of_csv("rowing_club").items():
        if number_of_row == 0 or not re.fullmatch(r"\d\d\.\d\d\.\d{4}", row[0]):
            continue
        day, month, year = map(int, row[0].split("."))
        try:
            date = dt.date(year, month, day)
            sets, reps, load = (number(cell, comma=True) for cell in row[4:7])
        except ValueError:
            continue
        found[number_of_row] = (date, row[1].strip().casefold(), sets, reps, load)
    return found


def squad_rows() -> dict[int, Row]:
    found = {}
    for number_of_row, row in rows_of_csv("long_squad").items():
        if number_of_row == 0 or len(row) != 9:
            continue
        try:
            date = dt.date.fromisoformat(row[0])
            sets, reps, load = (number(cell) for cell in row[4:7])
        except ValueError:
            continue
        found[number_of_row] = (date, row[1].strip().casefold(), sets, reps, load)
    return found


def rescue_rows() -> dict[int, Row]:
    sheet = openpyxl.load_workbook(LOGS / "mountain_rescue.xlsx")["Log"]
    spans = {area.min_row: area for area in sheet.merged_cells.ranges if area.min_col == area.max_col == 1}
    days = {}
    for top, area in spans.items():
        days.update(dict.fromkeys(range(top, area.max_row + 1), sheet.cell(top, 1).value))
    found = {}
    for row in sheet.iter_rows(min_row=6):
        cells = [cell.value for cell in row]
        date = plain_day(days.get(row[0].row, cells[0]))
        load = plain_load(cells[5])
        if date is None or load is None or not cells[1]:
            continue
        found[row[0].row] = (date, str(cells[1]).casefold(), number(cells[3]), number(cells[4]), load)
    return found


def plain_day(cell: object) -> dt.date | None:
    if isinstance(cell, dt.datetime):
        return cell.date()
    if isinstance(cell, int):
        return dt.date(1899, 12, 30) + dt.timedelta(days=cell)
    for form in ("%Y-%m-%d", "%d/%m/%Y", "%d %b %Y"):
        try:
            return dt.datetime.strptime(str(cell), form).date()
        except ValueError:
            continue
    return None


def plain_load(cell: object) -> float | None:
    text = str(cell if cell is not None else "0")
    if text == "BW":
        return 0.0
    if text.startswith("BW+"):
        return float(text[3:])
    if pair := re.fullmatch(r"2x(\d+)", text):
        return 2 * float(pair[1])
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return None


PLAIN = {"rowing_club": club_rows, "mountain_rescue": rescue_rows, "long_squad": squad_rows}


@pytest.mark.parametrize("name", list(FILES))
def test_weekly_figures_agree_with_a_plain_reading(name: str) -> None:
    """Rows set aside by the truth file are left out by number; everything else is read afresh."""
    form = truth(name)
    aside = {entry["row"] for entry in form["bad_rows"]} | {entry["row"] for entry in form["duplicates"]}
    plain: Counter[tuple[str, str, str]] = Counter()
    for row, (date, athlete, sets, reps, load) in PLAIN[name]().items():
        if row not in aside:
            week = f"{date.isocalendar().year}-W{date.isocalendar().week:02d}"
            plain[athlete, week, "reps"] += sets * reps  # type: ignore[assignment]
            plain[athlete, week, "kg"] += sets * reps * load  # type: ignore[assignment]
    volume = pl.col("sets") * pl.col("reps")
    names = reading(name).athletes.select("athlete_id", "name")
    sums = (
        reading(name)
        .efforts.join(names, on="athlete_id")
        .group_by(pl.col("name").str.to_lowercase(), week=pl.col("date").dt.strftime("%G-W%V"))
        .agg(reps=volume.sum(), kg=(volume * pl.col("load_kg")).sum())
    )
    ours = {(row["name"], row["week"], key): row[key] for row in sums.iter_rows(named=True) for key in ("reps", "kg")}
    assert len(ours) > 100
    assert ours == pytest.approx(dict(plain))


def test_truth_files_add_up() -> None:
    for name in FILES:
        form = json.loads((LOGS / f"{name}.truth.json").read_text(encoding="utf-8"))
        parts = ("good_rows", "bad_rows_count", "duplicate_count", "blank_rows_count", "non_data_rows_count")
        assert sum(form[part] for part in parts) == form["rows_total"]
