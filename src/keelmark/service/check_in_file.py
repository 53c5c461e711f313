"""Check-ins from a CSV file, whole or not at all."""

from __future__ import annotations

import csv
import io
import json
from datetime import date
from pathlib import Path
from typing import Any

from keelmark.contracts.errors import RefusedInput
from keelmark.contracts.text_file import read_text_file
from keelmark.health import AREAS, QUESTIONS, SCALE_ID, checked_answers, severity
from keelmark.service.agreeing import refuse_unless_agreed
from keelmark.service.check_ins import check_week
from keelmark.store import Store

__all__ = ["COLUMNS", "import_check_ins"]

COLUMNS = ("week", "name", "area", *(question.key for question in QUESTIONS))


def import_check_ins(store: Store, path: Path, today: date) -> int:
    """Keep the answers of a file that are not kept yet.

    Parameters
    ----------
    store : Store
        Knows the people by name.
    path : Path
        CSV in UTF-8, cells parted by commas, semicolons or tabs, with the columns week, name, area and the four
        questions: options as numbers from 0, empty where a question was not asked or no area is named.
    today : date
        The day it is: who is under age is asked as of it.

    Returns
    -------
    int
        How many were kept.

    Raises
    ------
    RefusedInput
        When columns are missing, or a row names nobody or cannot be read; nothing is kept then.
    """
    names = {name.casefold(): key for key, name in store.athletes().select("athlete_id", "name").iter_rows()}
    text = read_text_file(path, wanted="a CSV file in UTF-8")
    reader = csv.DictReader(io.StringIO(text, newline=""), delimiter=_delimiter(text))
    try:
        reader.fieldnames = [name.strip().casefold().replace(" ", "_") for name in reader.fieldnames or ()]
        if missing := [column for column in COLUMNS if column not in reader.fieldnames]:
            raise RefusedInput(
                f"columns missing: {', '.join(missing)}",
                where=path.name,
                wanted="the columns " + ", ".join(COLUMNS) + ", parted by commas, semicolons or tabs",
                remedy="name the columns in the first line",
            )
        said = [_said(row, names, f"{path.name}, line {reader.line_num}") for row in reader]
    except csv.Error as error:
        where = f"{path.name}, line {reader.line_num}"
        raise _refused(f"the row cannot be read ({error})", where, "a row of cells") from error
    known = {_same(row) for row in store.check_ins().iter_rows(named=True)}
    new = [one for one in said if _same({**one, "answers": json.dumps(one["answers"], sort_keys=True)}) not in known]
    refuse_unless_agreed(store, {str(one["athlete_id"]) for one in new}, today)
    if new:
        store.record_check_ins(new)
    return len(new)


def _delimiter(text: str) -> str:
    """What parts the cells of the first line; spreadsheets of some countries write semicolons."""
    return max(",;\t", key=text.partition("\n")[0].count)


def _said(row: dict[str, Any], names: dict[str, str], where: str) -> dict[str, Any]:
    if None in row or None in row.values():
        raise _refused("the row has more or fewer cells than the header", where, f"{len(COLUMNS)} cells")
    athlete_id = names.get(row["name"].strip().casefold())
    if athlete_id is None:
        raise _refused(f"nobody is called “{row['name']}”", where, "a name of the squad")
    try:
        week = check_week(row["week"].strip())
        options = {question.key: _option(row[question.key]) for question in QUESTIONS}
        area = _area(row["area"])
        answers = checked_answers(options, area)
    except RefusedInput as error:
        raise _refused(error.found, where, error.wanted) from error
    return {
        "athlete_id": athlete_id, "week": week, "scale_id": SCALE_ID, "answers": answers.as_json(), "area": area,
        "severity": float(severity(answers)),
    }  # fmt: skip


def _area(cell: str) -> str | None:
    """The area's key, from the key or from what people call it; a word that is neither is left to be refused."""
    said = cell.strip()
    return next((area.key for area in AREAS if said.casefold() in (area.key, area.label.casefold())), said or None)


def _option(written: str) -> int | None:
    cell = written.strip()
    if not cell:
        return None
    if not (cell.isdecimal() and len(cell) == 1):
        raise _refused(f"“{cell}” is no option", "check-in", "a whole number from 0 to 3")
    return int(cell)


def _same(row: dict[str, Any]) -> tuple[object, ...]:
    return row["athlete_id"], row["week"], row["scale_id"], row["area"], row["answers"]


def _refused(found: str, where: str, wanted: str) -> RefusedInput:
    return RefusedInput(found, where=where, wanted=wanted, remedy="correct the row and bring the file again")
