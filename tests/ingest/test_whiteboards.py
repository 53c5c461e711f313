"""A score sheet with its whiteboard texts: every row ends once, and every effort leads back to its words.

Expected amounts are derived by hand from the texts, with the arithmetic beside them.
"""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from collections.abc import Callable
from pathlib import Path

import polars as pl
import pytest
from openpyxl import Workbook

from keelmark.catalogue import Catalogue
from keelmark.contracts.errors import RefusedInput
from keelmark.contracts.frames import ATHLETE, EFFORT, REP_MAXIMUM, SESSION
from keelmark.ingest import LogOptions, WhiteboardReading, read_boards, read_whiteboards
from tests.ingest.conftest import TODAY

MIXED = "AMRAP 12 min: 10 pull-ups, 12 box jumps 60/50 cm, 200 m run\nscaled: ring rows"
TIMED = "3 rounds for time, cap 12 min\n400 m run\n21 kettlebell swings 24/16 kg\n12 pull-ups"
SQUATS = "Back squat 5x5 @ 75%"
OPTIONS = LogOptions(today=TODAY)
CREW = ATHLETE.build(
    [
        {"athlete_id": "aled", "name": "Aled", "standard": "heavier", "body_mass_kg": 84.0},
        {"athlete_id": "tove", "name": "Tove", "standard": "lighter", "body_mass_kg": 62.0},
        {"athlete_id": "wren", "name": "Wren"},
    ]
)
MAXIMA = REP_MAXIMUM.build(
    [
        {"athlete_id": "aled", "movement": "back_squat", "date": day, "load_kg": kg, "state": "tested"}
        for day, kg in ((dt.date(2026, 1, 5), 120.0), (dt.date(2026, 4, 6), 140.0), (dt.date(2026, 9, 7), 150.0))
    ]
)

Bring = Callable[..., WhiteboardReading]


@pytest.mark.parametrize(
    ("line", "partly"),
    [("5x5 fnord lifts", True), ("handstand practice until it feels good", True), ("Bring gloves", False)],
)
def test_a_line_that_cannot_be_read_leaves_the_day_partly_on_record(bring: Bring, line: str, partly: bool) -> None:
    texts = {"2026-05-04.txt": f"{TIMED}\n\n{line}", "2026-05-06.txt": "30 burpees"}
    found = bring("date,athlete,result\n2026-05-04,Aled,9:10\n2026-05-06,Aled,\n", texts)
    assert found.counts["accepted"] == 2
    days = found.day_states.select("athlete_id", "date", "state").rows()
    assert days == ([("aled", dt.date(2026, 5, 4), "partly")] if partly else [])
    told = [note for row in found.rows["notes"] for note in row]
    assert any("only partly on record" in message for message in told) == partly


@pytest.fixture
def bring(tmp_path: Path, catalogue: Catalogue) -> Bring:
    """Read a score sheet (text or path) against texts by file name."""

    def _bring(scores: str | Path, texts: dict[str, str], stored: pl.DataFrame | None = None) -> WhiteboardReading:
        folder = tmp_path / "texts"
        folder.mkdir(exist_ok=True)
        for name, text in texts.items():
            (folder / name).write_text(text, encoding="utf-8")
        sheet = scores if isinstance(scores, Path) else tmp_path / "scores.csv"
        if isinstance(scores, str):
            sheet.write_text(scores, encoding="utf-8")
        boards = read_boards(folder, OPTIONS)
        found = {"catalogue": catalogue, "athletes": CREW, "rep_maxima": MAXIMA, "stored": stored, "options": OPTIONS}
        return read_whiteboards(sheet, boards, **found)  # type: ignore[arg-type]

    return _bring


def reasons(reading: WhiteboardReading) -> dict[int, list[str]]:
    """Row to reasons of the rows set aside."""
    return {entry["row"]: entry["reasons"] for entry in reading.as_json()["quarantined"]}


def totals(reading: WhiteboardReading, athlete_id: str) -> dict[str, float]:
    """Reps or metres by movement."""
    rows = reading.efforts.filter(pl.col("athlete_id") == athlete_id)
    amount = pl.coalesce("reps", "distance_m") * pl.col("sets")
    return dict(rows.group_by("movement").agg(amount.sum()).iter_rows())


def test_a_result_becomes_what_was_done(bring: Bring) -> None:
    sheet = "date,athlete,result,session RPE,session min,note\n2026-05-04,Tove,7+12,8,60,windy\n"
    reading = bring(sheet, {"2026-05-04.txt": MIXED})
    # derived: seven whole rounds, then 12 reps of the eighth: 10 pull-ups and 2 box jumps
    assert totals(reading, "tove") == {"pull_up": 80, "box_jump": 7 * 12 + 2, "run": 1400}
    jumps = reading.efforts.filter(pl.col("movement") == "box_jump")
    assert jumps["height_cm"].unique().to_list() == [50]
    assert reading.efforts["source"].unique().to_list() == ["score"]
    assert reading.sessions.select("session_rpe", "duration_min", "whiteboard", "result", "note").row(0) == (
        8, 60, MIXED, "7+12", "windy",
    )  # fmt: skip


def test_each_effort_keeps_its_words_and_its_row(bring: Bring) -> None:
    reading = bring("date,athlete,result\n,,\n2026-05-04,Tove,7+12\n", {"2026-05-04.txt": MIXED})
    for row in reading.efforts.iter_rows(named=True):
        assert row["text"] == MIXED[row["text_start"] : row["text_end"]]
        assert (row["source_row"], row["source_line"]) == (2, 3)
    jumps = reading.efforts.filter(pl.col("movement") == "box_jump")
    assert all("box jumps 60/50 cm" in text for text in jumps["text"])


def test_the_standard_of_the_row_goes_before_the_roster(bring: Bring) -> None:
    sheet = "date,athlete,standard,result\n2026-05-04,Tove,heavier,10:10\n2026-05-04,Aled,,10:10\n"
    reading = bring(sheet, {"2026-05-04.txt": TIMED})
    swings = reading.efforts.filter(pl.col("movement") == "kettlebell_swing")
    assert swings["load_kg"].to_list() == [24, 24]


def test_without_any_standard_two_loads_are_not_guessed(bring: Bring) -> None:
    texts = {"2026-05-04.txt": TIMED, "2026-05-05.txt": "5 rounds for time: 10 burpees, 200 m run"}
    reading = bring("date,athlete,result\n2026-05-04,Wren,10:10\n2026-05-05,Wren,9:00\n", texts)
    assert reasons(reading) == {1: ["standard_needed"]}
    assert totals(reading, "wren") == {"burpee": 50, "run": 1000}


def test_a_share_of_the_maximum_takes_the_newest_one_up_to_the_day(bring: Bring) -> None:
    reading = bring("date,athlete,result\n2026-05-04,Aled,\n2026-05-04,Tove,\n", {"2026-05-04.txt": SQUATS})
    loads = dict(reading.efforts.select("athlete_id", "load_kg").iter_rows())
    assert loads == {"aled": pytest.approx(0.75 * 140), "tove": None}
    assert dict(reading.efforts.select("athlete_id", "load_basis").iter_rows())["tove"] == "unknown"
    assert "maximum that is not known" in reading.rows["notes"].to_list()[1][0]


def test_work_without_its_result_stands_without_an_amount(bring: Bring) -> None:
    reading = bring("date,athlete,result,RPE\n2026-05-04,Tove,,8\n", {"2026-05-04.txt": MIXED})
    assert reading.counts["accepted"] == 1
    assert reading.efforts["movement"].to_list() == ["pull_up", "box_jump", "run"]
    assert reading.efforts.select(pl.coalesce("reps", "distance_m", "duration_s", "calories"))["reps"].to_list() == [
        None, None, None,
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("version", "done"),
    [
        ("as written", "pull_up"),
        ("wie geschrieben", "pull_up"),
        ("scaled", "ring_row"),
        ("skaliert", "ring_row"),
        ("escalado", "ring_row"),
        ("adapté", "ring_row"),
        ("adaptado", "ring_row"),
    ],
)
def test_versions_in_five_languages(bring: Bring, version: str, done: str) -> None:
    reading = bring(f"date,athlete,version,result\n2026-05-04,Tove,{version},5+0\n", {"2026-05-04.txt": MIXED})
    assert totals(reading, "tove")[done] == 50


@pytest.mark.parametrize(
    "version", ["run -> row", "run → row", "row instead of run", "Rudern statt Laufen", "row en vez de run"]
)
def test_a_swap_is_done_in_place_of_what_was_written(bring: Bring, version: str) -> None:
    reading = bring(f"date,athlete,version,result\n2026-05-04,Tove,{version},9:00\n", {"2026-05-04.txt": TIMED})
    assert reasons(reading) == {}
    movements = reading.efforts["movement"].to_list()
    assert "run" not in movements
    assert reading.efforts.filter(pl.col("movement") == "row")["version"].unique().to_list() == ["swapped"]


ASIDE = {
    "2026-05-04,Nobody,,,7+1,7": "unknown_athlete",
    "2026-05-04,,,,7+1,7": "missing_athlete",
    "2026-05-09,Tove,,,7+1,7": "no_whiteboard",
    "soon,Tove,,,7+1,7": "bad_date",
    "2026-05-04,Tove,,,14:30,7": "result_conflict",
    "2026-05-05,Tove,,,7+12,7": "result_conflict",
    "2026-05-05,Tove,,scaled,9:30,7": "scaled_not_written",
    "2026-05-05,Tove,,row -> run,9:30,7": "swap_not_there",
    "2026-05-05,Tove,,half of it,9:30,7": "unknown_option",
    "2026-05-05,Tove,middle,,9:30,7": "unknown_standard",
    "2026-05-05,Tove,,,9:30,14": "session_rpe_out_of_range",
    "2026-05-05,Tove,,,9:30,hard": "non_numeric_session_rpe",
    "2026-05-06,Tove,,,9:30,7": "whiteboard_unreadable",
}


@pytest.mark.parametrize("row", ASIDE)
def test_a_row_that_cannot_be_used_is_set_aside_with_its_reason(bring: Bring, row: str) -> None:
    texts = {"2026-05-04.txt": MIXED, "2026-05-05.txt": TIMED, "2026-05-06.txt": "bring a friend and a cake"}
    sheet = f"date,athlete,standard,version,result,session RPE\n{row}\n2026-05-04,Aled,,,6+0,6\n"
    reading = bring(sheet, texts)
    assert reasons(reading) == {1: [ASIDE[row]]}
    assert reading.efforts["athlete_id"].unique().to_list() == ["aled"]
    told = reading.rows["messages"].to_list()[0][0]
    assert ". Wanted: " in told
    assert ". What to do: " in told


def test_a_second_row_for_one_session_is_set_aside_and_a_repeat_is_a_duplicate(bring: Bring) -> None:
    sheet = "date,athlete,result\n2026-05-04,Tove,7+12\n2026-05-04,Tove,7+12\n2026-05-04,Tove,8+0\n\n"
    reading = bring(sheet, {"2026-05-04.txt": MIXED})
    assert reading.rows["verdict"].to_list()[:3] == ["accepted", "duplicate", "quarantined"]
    assert reasons(reading) == {3: ["second_score"]}
    counts = reading.counts
    assert sum(counts.values()) == 2 * counts["rows"]


def test_two_texts_of_one_day_are_told_apart_by_the_session(bring: Bring) -> None:
    texts = {"2026-05-04 early.txt": TIMED, "2026-05-04_late.txt": MIXED}
    rows = ("Tove,early,9:00", "Tove,Late,7+0", "Aled,,7+0", "Aled,noon,7+0")
    sheet = "date,athlete,session,result\n" + "".join(f"2026-05-04,{row}\n" for row in rows)
    reading = bring(sheet, texts)
    assert reasons(reading) == {3: ["which_whiteboard"], 4: ["no_whiteboard"]}
    assert sorted(reading.sessions["session_id"]) == ["tove/2026-05-04/early", "tove/2026-05-04/late"]


def test_the_sure_part_of_a_text_is_used_and_the_doubt_is_told(bring: Bring) -> None:
    reading = bring("date,athlete,result\n2026-05-04,Tove,\n", {"2026-05-04.txt": "5x5 fnord lifts\n3x10 push-ups"})
    assert totals(reading, "tove") == {"push_up": 30}
    assert any("2026-05-04.txt, line 1: no movement is known" in warning.text for warning in reading.warnings)
    issue = reading.as_json()["texts"][0]["issues"][0]
    assert (issue["code"], issue["line"], issue["column"]) == ("unknown_movement", 1, 5)
    assert issue["picture"].endswith("    ^^^^^^^^^^^")


@pytest.mark.parametrize("dated", [True, False])
def test_a_line_too_long_to_be_read_is_left_out_and_told(bring: Bring, dated: bool) -> None:
    """The reader's own rule: 4,000 signs are read, 4,001 are set aside, and the lines around them count."""
    long, most = "(" * 4_001, " " * 3_990 + "10 burpees"
    text = f"3x10 push-ups\n{long}\n{most}"
    name, content = ("2026-05-04.txt", text) if dated else ("season.txt", f"2026-05-04\n{text}")
    reading = bring("date,athlete,result\n2026-05-04,Tove,\n", {name: content})
    assert totals(reading, "tove") == {"push_up": 30, "burpee": 10}
    [issue] = reading.as_json()["texts"][0]["issues"]
    assert (issue["code"], issue["level"], issue["line"]) == ("line_too_long", "error", 2)
    assert reading.day_states.select("athlete_id", "date", "state").rows() == [("tove", dt.date(2026, 5, 4), "partly")]


def test_other_work_for_a_stored_session_is_set_aside(bring: Bring) -> None:
    texts = {"2026-05-04.txt": MIXED}
    stored = bring("date,athlete,result\n2026-05-04,Tove,7+12\n", texts).efforts
    again = bring("date,athlete,result\n2026-05-04,Tove,7+12\n2026-05-04,Aled,6+0\n", texts, stored)
    assert reasons(again) == {}
    other = bring("date,athlete,result\n2026-05-04,Tove,8+0\n2026-05-04,Aled,6+0\n", texts, stored)
    assert reasons(other) == {1: ["score_stored_otherwise"]}


def test_the_same_season_in_one_text_file_and_in_a_table(bring: Bring, tmp_path: Path, catalogue: Catalogue) -> None:
    sheet = "date,athlete,result\n2026-05-04,Tove,7+12\n2026-05-05,Tove,9:00\n"
    one = bring(sheet, {"2026-05-04.txt": MIXED, "2026-05-05.txt": TIMED})
    text = tmp_path / "season.txt"
    text.write_text(f"# Mon 2026-05-04\n{MIXED}\n\nDienstag, 5. Mai 2026\n{TIMED}\n", encoding="utf-8")
    table = tmp_path / "season.xlsx"
    book = Workbook()
    book.active.append(["Datum", "Tafel"])
    book.active.append([dt.date(2026, 5, 4), MIXED])
    book.active.append([dt.date(2026, 5, 5), TIMED])
    book.save(table)
    columns = [name for name in EFFORT.names if name != "import_id"]
    for path in (text, table):
        boards = read_boards(path, OPTIONS)
        other = read_whiteboards(
            tmp_path / "scores.csv", boards, catalogue=catalogue, athletes=CREW, rep_maxima=MAXIMA, options=OPTIONS
        )
        assert other.efforts.select(columns).equals(one.efforts.select(columns))


@pytest.mark.parametrize(
    "header",
    [
        "date,athlete,session,standard,version,result,session RPE,session min,note",
        "Datum,Athlet,Training,Standard,Variante,Ergebnis,RPE Einheit,Trainingsdauer,Bemerkung",
        "fecha,atleta,sesión,cargas,versión,resultado,RPE sesión,duración sesión,observaciones",
        "date,athlète,séance,charges,version,résultat,RPE séance,durée séance,remarque",
        "data,atleta,sessão,cargas,versão,resultado,PSE sessão,duração sessão,observações",
    ],
)
def test_the_columns_are_known_in_five_languages(bring: Bring, header: str) -> None:
    reading = bring(f"{header}\n2026-05-04,Tove,,,,7+12,8,60,windy\n", {"2026-05-04.txt": MIXED})
    assert reading.sessions.select("session_rpe", "duration_min", "result", "note").row(0) == (8, 60, "7+12", "windy")


def test_results_that_a_spreadsheet_turned_into_something_else(bring: Bring, tmp_path: Path) -> None:
    book = Workbook()
    book.active.append(["date", "athlete", "result"])
    for who, result in (("Tove", dt.time(9, 15)), ("Aled", dt.datetime(2026, 12, 7)), ("Wren", dt.time(1, 15))):
        book.active.append([dt.date(2026, 5, 4), who, result])
    path = tmp_path / "scores.xlsx"
    book.save(path)
    reading = bring(path, {"2026-05-04.txt": TIMED})
    assert reasons(reading) == {3: ["unclear_result"], 4: ["unclear_result"]}
    assert reading.sessions["result"].to_list() == ["9:15"]
    assert "minutes and seconds" in reading.rows["notes"].to_list()[0][0]


@pytest.mark.parametrize(
    ("name", "content", "told"),
    [
        ("texts.txt", "3x10 push-ups\n2026-05-04\n5x5 back squat", "has no day"),
        ("texts.txt", "2026-05-04: 5x5 back squat 100 kg\n", "behind the day stands"),
        ("texts.txt", "2026-05-04\nrun\n2026-05-04\nrow", "several texts for 2026-05-04"),
        ("texts.txt", "03/04/2026\n3x10 push-ups", "day first or month first"),
        ("texts.csv", "date,whiteboard\nsoon,3x10 push-ups\n", "no day that can be read"),
        ("texts.csv", "date;athlete\n2026-05-04;Tove\n", "no column for text"),
    ],
)
def test_texts_without_a_clear_day_are_refused(tmp_path: Path, name: str, content: str, told: str) -> None:
    path = tmp_path / name
    path.write_text(content, encoding="utf-8")
    with pytest.raises(RefusedInput, match=told):
        read_boards(path, OPTIONS)


@pytest.mark.parametrize("line", ["21-15-9", "10-8-6", "2000 m row", "5x5 2026", "3 rounds of 2000 m", "in May 2026"])
def test_a_line_of_work_is_no_heading(tmp_path: Path, line: str) -> None:
    path = tmp_path / "texts.txt"
    path.write_text(f"2026-05-04\n{line}\nthrusters", encoding="utf-8")
    (board,) = read_boards(path, OPTIONS).boards
    assert board.text == f"{line}\nthrusters"


def test_both_files_are_kept_as_they_came(bring: Bring) -> None:
    sheet = "date,athlete,result\n2026-05-04,Tove,7+12\n"
    one, two = (bring(sheet, {"2026-05-04.txt": MIXED}) for _ in range(2))
    assert one.sha256 == two.sha256
    with zipfile.ZipFile(io.BytesIO(one.original)) as archive:
        assert archive.read("scores/scores.csv").decode() == sheet
        assert archive.read("whiteboards/2026-05-04.txt").decode() == MIXED


def test_the_tables_are_those_of_the_contract(bring: Bring) -> None:
    reading = bring("date,athlete,result\n2026-05-04,Tove,7+12\n", {"2026-05-04.txt": MIXED})
    EFFORT.check(reading.efforts, where="test")
    SESSION.check(reading.sessions, where="test")
