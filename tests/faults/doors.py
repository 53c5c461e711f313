# ruff: noqa: E501 (tables of cases are read across)
"""Every way in: a good example of what comes through it, and how it is brought."""

from __future__ import annotations

import io
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from typing import Literal

import polars as pl
import xlsxwriter

from keelmark.contracts.text_file import read_text_file
from keelmark.service import Squad
from keelmark.service.own_movements import squad_catalogue
from keelmark.store import Store, back_up, restore
from tests.faults.tally import Case
from tests.store.made import effort, efforts, save, squad

__all__ = ["DOORS", "Door", "as_xlsx", "backup_bytes", "boards_folder", "brought", "crew", "good_cases", "tables"]

LOG = """date,name,session,block,movement,sets,reps,load_kg,height_cm,distance_m,duration_s,calories,rpe,session_rpe,session_min,note
2025-09-01,Aled,Monday squats,strength,front squat,4,6,80,,,,,7,7,70,
2025-09-01,Bridie,Monday squats,strength,bent over row,4,6,55,,,,,7,7,70,steady
2025-09-03,Aled,Wednesday,main,box jump,3,10,,60,,,,,6,60,
2025-09-03,Bridie,Wednesday,main,run,1,,,,800,240,,,6,60,
"""
ROSTER = """name,group,sex,body_mass_kg,stature_cm,standard,joined,1RM tested,deadlift 1RM kg
Cerys,inshore,female,63.5,167,lighter,2025-09-01,2025-12-08,102.5
Dai,all-weather,male,84,182,heavier,2025-09-01,2025-12-08,180
"""
DAYS = """name,from,to,state,note
Aled,2025-09-05,2025-09-05,rest,
Bridie,2025-09-06,2025-09-08,ill,cold
"""
LABELS = """from,to,label,group
2025-12-22,2026-01-04,holidays,
2026-01-26,2026-02-08,storm fortnight,inshore
"""
CHECK_INS = """week,name,area,taking_part,amount,performance,symptoms
2025-W36,Aled,,0,,,
2025-W36,Bridie,lumbosacral,1,1,1,1
"""
SCORES = """date,athlete,session,standard,version,result,session RPE,session min,note
2025-09-01,Aled,,,,5+7,8,60,
2025-09-01,Bridie,,,,5+18,7,60,
"""
BOARD = """2025-09-01
AMRAP 12
5 deadlift 80/55 kg
10 toes to bar
15 box jumps 60/50 cm
"""
MOVEMENTS = """[hose_haul]
like = ["rope_pull"]
category = "odd_object"
implement = "bag"
per_metre.grip_s = [3, 2, 6, "judgement", "a charged hose is stiff"]
opposes = ["push_up"]
names.en = ["hose haul"]
"""
MAPPING = """header_row = 1
[columns]
date = "date"
athlete = "name"
load = { column = "load_kg", unit = "kg" }
"""
WEEK = """Monday 1 September 2025 18:30
5 x 5 back squat 100 kg

Wednesday
AMRAP 12: 5 deadlift 80/55 kg, 10 toes to bar

Friday: 3 rounds of 400 m run, 21 wall balls 9/6 kg
"""
EVENTS = "\r\n".join(
    ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//station//EN", "BEGIN:VEVENT", "UID:1", "DTSTART;VALUE=DATE:20260302",
     "DTEND;VALUE=DATE:20260305", "SUMMARY:harbour exercise", "END:VEVENT", "END:VCALENDAR", ""]
)  # fmt: skip

Kind = Literal["table", "workbook", "parquet", "text", "toml", "calendar", "archive"]


@dataclass(frozen=True, slots=True)
class Door:
    """A way in: the name and bytes of a good file, how it is brought, and what is left when it is refused."""

    name: str
    kind: Kind
    file: str
    good: bytes
    bring: Callable[[Squad, Path], object]


@contextmanager
def crew() -> Iterator[Squad]:
    """A squad of two in memory, with a log of a week."""
    with Squad.open("sqlite://") as opened, tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "first.csv"
        log.write_text(LOG, encoding="utf-8")
        opened.import_log(log)
        yield opened


def brought(door: Door, opened: Squad, folder: Path, content: bytes, *, file: str = "") -> Callable[[], object]:
    """Bring some bytes through a door; being refused and writing all the same is a fault of its own."""

    def do() -> object:
        path = folder / (file or door.file)
        path.write_bytes(content)
        before = opened._store.revision, opened._store.imports().height
        try:
            return door.bring(opened, path)
        except BaseException as error:
            if (opened._store.revision, opened._store.imports().height) != before:
                raise AssertionError("refused, and something was stored all the same") from error
            raise
        finally:
            path.unlink()

    return do


def good_cases(opened: Squad, folder: Path) -> Iterator[Case]:
    """The good example of each door, which has to be taken."""
    for door in DOORS:
        yield Case(f"good {door.name}", brought(door, opened, folder, door.good), check=_refused)


def _refused(given: object) -> str | None:
    return str(given) if isinstance(given, Exception) else None


def tables(text: str) -> list[list[str]]:
    """The rows of a CSV example."""
    return [line.split(",") for line in text.strip().splitlines()]


def as_xlsx(rows: list[list[object]], sheet: str = "log") -> bytes:
    """Rows as a workbook."""
    stream = io.BytesIO()
    with xlsxwriter.Workbook(stream, {"strings_to_formulas": False, "nan_inf_to_errors": True}) as book:
        page = book.add_worksheet(sheet)
        for place, row in enumerate(rows):
            for column, cell in enumerate(row):
                if isinstance(cell, str):
                    page.write_string(place, column, cell)
                else:
                    page.write(place, column, cell)
    return stream.getvalue()


def _as_parquet(text: str) -> bytes:
    stream = io.BytesIO()
    pl.read_csv(io.StringIO(text)).write_parquet(stream)
    return stream.getvalue()


@cache
def backup_bytes() -> bytes:
    """A good backup of a small store."""
    with Store.open("sqlite://") as store, tempfile.TemporaryDirectory() as folder:
        save(store, athletes=squad("bo"), efforts=efforts(effort()))
        back_up(store, Path(folder) / "b.zip")
        return (Path(folder) / "b.zip").read_bytes()


@cache
def boards_folder() -> Path:
    """A folder with one whiteboard text, kept for as long as the process lives."""
    folder = Path(_KEPT.name) / "boards"
    folder.mkdir()
    (folder / "2025-09-01.txt").write_text(BOARD.partition("\n")[2], encoding="utf-8")
    return folder


_KEPT = tempfile.TemporaryDirectory()


def _scores(opened: Squad, path: Path) -> object:
    return opened.import_whiteboards(path, boards_folder())


def _boards(opened: Squad, path: Path) -> object:
    scores = path.with_name("these_scores.csv")
    scores.write_text(SCORES, encoding="utf-8")
    try:
        return opened.import_whiteboards(scores, path)
    finally:
        scores.unlink()


def _mapping(opened: Squad, path: Path) -> object:
    log = path.with_name("this_log.csv")
    log.write_text(LOG, encoding="utf-8")
    try:
        return opened.import_log(log, mapping=path)
    finally:
        log.unlink()


def _movements(opened: Squad, path: Path) -> object:
    return squad_catalogue(opened._store, [path])


def _restored(_opened: Squad, path: Path) -> object:
    new = path.with_name("new.db")
    try:
        return restore(path, new)
    except BaseException:
        with Store.open(new) as store:
            if store.revision or store.athletes().height:
                raise AssertionError("refused, and something was brought back all the same") from None
        raise
    finally:
        for part in new.parent.glob("new.db*"):
            part.unlink()


def _planned(opened: Squad, path: Path) -> object:
    made = opened.plan(read_text_file(path), monday=date(2025, 9, 1))
    made.matrix()
    made.clashes()
    return made


DOORS = (
    Door("log as CSV", "table", "log.csv", LOG.encode(), lambda opened, path: opened.import_log(path)),
    Door("log as XLSX", "workbook", "log.xlsx", as_xlsx(list(tables(LOG))), lambda opened, path: opened.import_log(path)),
    Door("log as Parquet", "parquet", "log.parquet", _as_parquet(LOG), lambda opened, path: opened.import_log(path)),
    Door("log on the page", "table", "log.csv", LOG.encode(), lambda opened, path: opened.accept(
        opened.preview_log(path.read_bytes(), path.name).token)),
    Door("roster", "table", "roster.csv", ROSTER.encode(), lambda opened, path: opened.import_roster(path)),
    Door("day states", "table", "days.csv", DAYS.encode(), lambda opened, path: opened.import_days(path)),
    Door("calendar labels", "table", "labels.csv", LABELS.encode(), lambda opened, path: opened.import_labels(path)),
    Door("check-in file", "table", "check_ins.csv", CHECK_INS.encode(), lambda opened, path: opened.import_check_ins(path)),
    Door("score sheet", "table", "scores.csv", SCORES.encode(), _scores),
    Door("whiteboard texts", "text", "boards.txt", BOARD.encode(), _boards),
    Door("column mapping", "toml", "mapping.toml", MAPPING.encode(), _mapping),
    Door("own movements", "toml", "own.toml", MOVEMENTS.encode(), _movements),
    Door("planned week", "text", "week.txt", WEEK.encode(), _planned),
    Door("calendar of events", "calendar", "events.ics", EVENTS.encode(), lambda opened, path: opened.import_events(
        path.read_bytes())),
    Door("backup", "archive", "squad.backup", backup_bytes(), _restored),
)  # fmt: skip
