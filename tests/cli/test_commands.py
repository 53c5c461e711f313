"""The commands as they are typed: what they print, and how they end."""

from __future__ import annotations

import datetime as dt
import json
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from keelmark.cli import main
from keelmark.store import Store

LOGS = Path(__file__).resolve().parents[1] / "corpus" / "logs"
GOOD = "date,athlete,movement,sets,reps,load_kg\n2026-03-02,Ada,deadlift,5,5,100\n2026-03-04,Bo,back squat,3,8,60\n"

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Run:
    """Type a command; gives exit code, what it printed, and what it printed as a complaint."""
    monkeypatch.setenv("KEELMARK_DB", f"sqlite:///{tmp_path / 'squad.sqlite'}")
    monkeypatch.setenv("COLUMNS", "160")

    def typed(*words: object) -> tuple[int, str, str]:
        monkeypatch.setattr("sys.argv", ["keelmark", *map(str, words)])
        with pytest.raises(SystemExit) as left:
            main()
        told = capsys.readouterr()
        return int(left.value.code or 0), told.out, told.err

    return typed


@pytest.fixture
def log(tmp_path: Path) -> Path:
    """A log with nothing wrong in it."""
    path = tmp_path / "log.csv"
    path.write_text(GOOD, encoding="utf-8")
    return path


def test_a_clean_log_ends_with_0(run: Run, log: Path) -> None:
    code, out, _ = run("ingest", log)
    assert code == 0
    assert "2 rows read" in out
    assert "Stored 2 efforts as import 1" in out


def test_the_json_of_an_import_has_the_agreed_keys(run: Run) -> None:
    code, out, err = run("ingest", LOGS / "rowing_club.csv", "--json")
    told = json.loads(out)
    assert code == 1
    assert err == ""
    agreed = {"file", "rows", "accepted", "duplicates", "blank", "other", "quarantined"}
    assert agreed <= set(told)
    assert set(told["duplicates"][0]) == {"row", "of_row"}
    assert set(told["quarantined"][0]) == {"row", "line", "reasons", "remedy"}
    ends = told["accepted"] + len(told["duplicates"]) + told["blank"] + told["other"] + len(told["quarantined"])
    assert ends == told["rows"]


def test_the_same_file_again_stores_nothing(run: Run, log: Path) -> None:
    run("ingest", log)
    code, out, _ = run("ingest", log)
    assert code == 0
    assert "nothing was stored again" in out


def test_a_file_that_is_not_there_is_refused_in_four_parts(run: Run, tmp_path: Path) -> None:
    code, out, err = run("ingest", tmp_path / "nowhere.csv")
    assert code == 2
    assert out == ""
    assert "Refused." in err
    assert all(word in err for word in ("nowhere.csv", "found:", "wanted:", "do:"))


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("empty.csv", b""),
        ("junk.csv", bytes(range(256)) * 40),
        ("words.csv", b"one two three\nfour five six\n"),
        ("notazip.xlsx", b"PK\x03\x04 but nothing more"),
        ("notparquet.parquet", b"PAR1 and then nothing"),
    ],
)
def test_what_cannot_be_read_is_refused_and_the_store_is_as_before(
    run: Run, log: Path, tmp_path: Path, name: str, content: bytes
) -> None:
    run("ingest", log)
    before = dump(tmp_path)
    (tmp_path / name).write_bytes(content)
    code, _, err = run("ingest", tmp_path / name)
    assert code == 2
    assert name in err
    assert dump(tmp_path) == before


def dump(folder: Path) -> list[str]:
    """Everything in the store."""
    with sqlite3.connect(folder / "squad.sqlite") as connection:
        return list(connection.iterdump())


def test_figures_of_a_week_as_json_hold_amount_bounds_and_place(run: Run, log: Path) -> None:
    run("ingest", log)
    code, out, _ = run("figures", "--json", "--athlete", "ada", "--week", "2026-W10")
    rows = {row["channel"]: row for row in json.loads(out)}
    assert code == 0
    assert rows["tonnage"]["on_record"] == 2500.0  # 5 x 5 x 100 kg, derived
    assert rows["tonnage"]["unit"] == "kg"
    assert rows["tonnage"]["place"] == "not_known"
    assert rows["hip_hinge_reps"]["on_record"] == 25.0  # 5 x 5, derived


def test_figures_of_nobody_are_refused_with_the_names_that_are_known(run: Run, log: Path) -> None:
    run("ingest", log)
    code, _, err = run("figures", "--athlete", "Cy")
    assert code == 2
    assert "nobody is called 'Cy'" in err
    assert "one of Ada, Bo" in err


def test_figures_of_a_week_outside_the_season_are_refused(run: Run, log: Path) -> None:
    run("ingest", log)
    code, _, err = run("figures", "--week", "2031-W01")
    assert code == 2
    assert "an ISO week from 2026-W10 to 2026-W10" in err


def test_figures_of_an_empty_store_say_how_to_begin(run: Run) -> None:
    code, out, _ = run("figures")
    assert code == 0
    assert "keelmark ingest" in out


def test_the_meaning_of_quiet_days_is_kept_and_a_wrong_one_refused(run: Run, log: Path) -> None:
    assert run("ingest", log, "--quiet-days", "rest")[0] == 0
    code, _, err = run("ingest", log, "--quiet-days", "perhaps")
    assert code == 2
    assert "wanted: unlogged or rest" in err


def test_a_wrong_setting_is_refused_before_anything_is_stored(run: Run, log: Path) -> None:
    assert run("ingest", log, "--quiet-days", "perhaps")[0] == 2
    assert "keelmark ingest" in run("figures")[1]


def test_own_movements_are_used_and_kept(run: Run, tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    own.write_text(
        '[hose_haul]\nlike = ["rope_pull"]\ncategory = "odd_object"\nimplement = "bag"\n'
        'opposes = ["push_up"]\nnames.en = ["hose haul"]\n',
        encoding="utf-8",
    )
    log = tmp_path / "hose.csv"
    log.write_text("date,athlete,movement,sets,distance_m\n2026-03-02,Ada,hose haul,4,20\n", encoding="utf-8")
    code, out, _ = run("ingest", log, "--movements", own)
    assert code == 0, out
    assert run("figures", "--json")[0] == 0


def test_an_import_is_listed_undone_and_brought_again(run: Run, log: Path) -> None:
    run("ingest", log)
    assert "log.csv" in run("imports")[1]
    code, out, _ = run("undo", "1")
    assert code == 0
    assert "Import 1 is taken back" in out
    assert json.loads(run("imports", "--json")[1])[0]["undone_at"]
    assert json.loads(run("figures", "--json")[1]) == []
    assert "Stored 2 efforts as import 2" in run("ingest", log)[1]


def test_an_edit_by_hand_is_taken_back_and_put_back(run: Run) -> None:
    with Store.open() as store:
        key = store.set_label(dt.date(2026, 1, 5), dt.date(2026, 1, 6), "storm")
    assert f"keelmark redo {key}" in run("undo", key)[1]
    code, out, _ = run("redo", key)
    assert (code, out) == (0, f"Edit {key} is put back.\n")
    assert json.loads(run("imports", "--json")[1])[-1]["undone_at"] is None
    code, _, err = run("redo", key)
    assert (code, "stands" in err) == (2, True)


def test_an_import_that_is_not_there_cannot_be_undone(run: Run, log: Path) -> None:
    run("ingest", log)
    code, _, err = run("undo", "77")
    assert code == 2
    assert "77" in err


def test_lists_beside_a_log_are_brought_each_by_its_command(run: Run, log: Path, tmp_path: Path) -> None:
    (tmp_path / "people.csv").write_text("name,body mass kg\nAda,61\nBo,82\n", encoding="utf-8")
    (tmp_path / "days.csv").write_text(
        "name,date,state\nAda,2026-03-03,rest\nAda,2026-03-05,pondering\n", encoding="utf-8"
    )
    (tmp_path / "labels.csv").write_text("from,to,label\n2026-03-02,2026-03-08,holidays\n", encoding="utf-8")
    assert run("roster", tmp_path / "people.csv")[0] == 0
    run("ingest", log)
    code, out, _ = run("days", tmp_path / "days.csv")
    assert code == 1
    assert "row 2 set aside: unknown_state" in out
    assert run("labels", tmp_path / "labels.csv")[0] == 0
    (tmp_path / "told.csv").write_text(
        "week,name,area,taking_part,amount,performance,symptoms\n2026-W10,Ada,,0,,,\n", encoding="utf-8"
    )
    assert run("check-ins", tmp_path / "told.csv")[1].startswith("1 check-in kept in ")
    assert run("check-ins", tmp_path / "told.csv")[1].startswith("Every answer of this file was kept before")
    rows = {row["channel"]: row for row in json.loads(run("figures", "--json", "--athlete", "Ada")[1])}
    assert rows["tonnage"]["known_days"] == 2


def test_a_result_that_says_nothing_is_told(run: Run, tmp_path: Path) -> None:
    board = tmp_path / "board.txt"
    board.write_text("5 rounds of 10 deadlifts 60 kg", encoding="utf-8")
    code, out, _ = run("read", board, "--result", "banana")
    assert code == 1
    assert 'the result "banana" says nothing that is understood' in " ".join(out.split())


def test_the_demo_check_prints_a_summary_and_leaves(run: Run) -> None:
    code, out, _ = run("demo", "--check")
    assert code == 0
    assert "26 volunteers, 40 weeks" in out


def test_the_version_is_that_of_the_package(run: Run) -> None:
    from keelmark import __version__

    assert run("--version")[1].strip() == __version__


def test_what_a_log_leaves_open_can_be_said_on_the_command_line(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "sets.csv"
    path.write_text("date,athlete,movement,reps,load_kg\n3/2/2026,Ada,deadlift,8-10,100\n,Ada,deadlift,8-10,100\n")
    options = ("--month-first", "--rep-ranges", "midpoint", "--identical-rows", "separate", "--fill-down-dates")
    code, out, _ = run("ingest", path, *options)
    assert code == 0
    assert "2  accepted" in out
    week = json.loads(run("figures", "--json")[1])
    tonnage = next(row for row in week if row["channel"] == "tonnage")
    # derived: 2 sets x 9 reps (the middle of 8 and 10) x 100 kg, in the week of 2 March
    assert (tonnage["week"], tonnage["on_record"]) == ("2026-W10", 1800.0)


def test_what_a_roster_leaves_open_is_told_with_the_log(run: Run, log: Path, tmp_path: Path) -> None:
    roster = tmp_path / "crew.csv"
    roster.write_text("Name,Weight\nAda,64\nBo,80\n", encoding="utf-8")
    _, out, _ = run("ingest", log, "--roster", roster, "--json")
    assert json.loads(out)["warnings"] == [
        "crew.csv: Column Weight has no unit and is read as kg. Write Weight (kg) to be sure."
    ]
