"""A season of whiteboards in one command, an evening from the page, and what both leave in the store."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import polars as pl
import pytest

from keelmark.contracts.errors import RefusedInput
from keelmark.service import Evening, Squad

TEXT = "3 rounds for time, cap 12 min\n400 m run\n21 kettlebell swings 24/16 kg\n12 pull-ups\nscaled: ring rows"
SCORES = "date,athlete,result,session RPE,session min\n2026-05-04,Aled,9:10,8,50\n2026-05-04,Tove,10:40,7,50\n"
ROSTER = "name,standard,body mass kg,1RM back squat kg\nAled,heavier,84,140\nTove,lighter,62,80\nWren,lighter,60,75\n"


@pytest.fixture
def files(tmp_path: Path) -> dict[str, Path]:
    """A sheet, a folder with one text, and a roster."""
    texts = tmp_path / "whiteboards"
    texts.mkdir()
    (texts / "2026-05-04.txt").write_text(TEXT, encoding="utf-8")
    for name, content in (("scores.csv", SCORES), ("roster.csv", ROSTER)):
        (tmp_path / name).write_text(content, encoding="utf-8")
    return {"scores": tmp_path / "scores.csv", "texts": texts, "roster": tmp_path / "roster.csv"}


@pytest.fixture
def crew(squad: Squad, files: dict[str, Path]) -> Squad:
    """A squad that knows its people."""
    squad.import_roster(files["roster"])
    return squad


def evening(**changed: object) -> Evening:
    """Aled and Tove on one evening."""
    given = {"day": dt.date(2026, 5, 4), "text": TEXT, "scores": {"aled": {}, "tove": {}}, "minutes": 50.0}
    return Evening(**{**given, **changed})  # type: ignore[arg-type]


def efforts(squad: Squad) -> pl.DataFrame:
    """What the store counts."""
    return squad.season().kept.efforts


def test_a_season_is_stored_once_and_can_be_taken_back(squad: Squad, files: dict[str, Path]) -> None:
    first = squad.import_whiteboards(files["scores"], files["texts"], roster=files["roster"])
    # derived: three movements each
    assert efforts(squad).height == 6
    again = squad.import_whiteboards(files["scores"], files["texts"], roster=files["roster"])
    assert again.outcome.repeated
    assert again.outcome.import_id == first.outcome.import_id
    assert efforts(squad).height == 6
    assert squad.imports()["kind"].to_list() == ["whiteboard"]
    squad.undo(first.outcome.import_id)
    assert efforts(squad).is_empty()
    back = squad.import_whiteboards(files["scores"], files["texts"], roster=files["roster"])
    assert not back.outcome.repeated
    assert efforts(squad).height == 6


def test_a_sheet_that_grows_week_by_week_adds_only_what_is_new(squad: Squad, files: dict[str, Path]) -> None:
    squad.import_whiteboards(files["scores"], files["texts"], roster=files["roster"])
    files["scores"].write_text(SCORES + "2026-05-04,Wren,11:30,9,50\n", encoding="utf-8")
    brought = squad.import_whiteboards(files["scores"], files["texts"], roster=files["roster"])
    assert brought.outcome.already_stored == 6
    assert efforts(squad).height == 9


def test_a_figure_leads_back_to_the_words_of_the_whiteboard(squad: Squad, files: dict[str, Path]) -> None:
    squad.import_whiteboards(files["scores"], files["texts"], roster=files["roster"])
    rows = squad.season().rows_behind("tove", "2026-W19", "tonnage")
    (row,) = rows.filter(pl.col("movement") == "kettlebell_swing").iter_rows(named=True)
    # derived: 3 rounds of 21 swings with the lighter bell of 16 kg
    assert row["contribution"] == pytest.approx(3 * 21 * 16)
    assert row["text"] == TEXT[row["text_start"] : row["text_end"]]
    assert "kettlebell swings 24/16 kg" in row["text"]
    session = squad.season().kept.sessions.filter(pl.col("athlete_id") == "tove").row(0, named=True)
    assert (session["whiteboard"], session["result"]) == (TEXT, "10:40")


def test_an_evening_is_stored_with_its_exceptions(crew: Squad) -> None:
    told = {"aled": {}, "tove": {"version": "scaled", "session_rpe": "8"}, "wren": {"result": "2 rounds"}}
    brought = crew.save_evening(evening(scores=told, result="9:10"))
    assert brought.outcome.efforts == 9
    kept = crew.season().kept
    sessions = {row["athlete_id"]: row for row in kept.sessions.iter_rows(named=True)}
    assert {who: row["result"] for who, row in sessions.items()} == {"aled": "9:10", "tove": "9:10", "wren": "2 rounds"}
    assert sessions["tove"]["session_rpe"] == 8
    assert "ring_row" in kept.efforts.filter(pl.col("athlete_id") == "tove")["movement"].to_list()
    swings = kept.efforts.filter(pl.col("movement") == "kettlebell_swing")
    assert dict(swings.select("athlete_id", "sets").iter_rows()) == {"aled": 3, "tove": 3, "wren": 2}
    crew.undo(brought.outcome.import_id)
    assert efforts(crew).is_empty()


def test_the_same_evening_twice_is_stored_once_and_another_one_in_its_place_is_refused(crew: Squad) -> None:
    crew.save_evening(evening())
    assert crew.save_evening(evening()).outcome.repeated
    with pytest.raises(RefusedInput, match="Aled: other work is stored already for this person and session"):
        crew.save_evening(evening(scores={"aled": {"result": "2 rounds"}}))
    assert efforts(crew).height == 6


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"scores": {}}, "nobody is ticked"),
        ({"text": "  \n"}, "there is no text"),
        ({"day": dt.date(2999, 1, 1)}, "still to come"),
        ({"scores": {"aled": {}, "tove": {"result": "7+12"}}}, "Tove: the result '7\\+12' cannot belong"),
        ({"scores": {"tove": {"session_rpe": "14"}}}, "Tove: the session rating is '14'"),
        ({"scores": {"tove": {"version": "half"}}}, "Tove: the version is 'half'"),
    ],
)
def test_an_evening_that_cannot_be_used_leaves_the_store_as_it_was(
    crew: Squad, changed: dict[str, object], told: str
) -> None:
    with pytest.raises(RefusedInput, match=told):
        crew.save_evening(evening(**changed))
    assert efforts(crew).is_empty()


def test_a_look_at_a_text_stores_nothing(crew: Squad) -> None:
    look = crew.look_at_text(TEXT)
    loads = [
        {row.load_kg for row in reading.efforts if row.movement == "kettlebell_swing"}
        for reading in (look.heavier, look.lighter)
    ]
    assert loads == [{24}, {16}]
    assert efforts(crew).is_empty()


def test_a_session_load_leads_back_to_the_row_of_the_score_sheet(squad: Squad, files: dict[str, Path]) -> None:
    squad.import_whiteboards(files["scores"], files["texts"], roster=files["roster"])
    (row,) = squad.season().rows_behind("tove", "2026-W19", "session_load").iter_rows(named=True)
    # derived: rated 7 for 50 minutes; the second row of the sheet, on its third line
    assert (row["contribution"], row["source_row"], row["source_line"]) == (350.0, 2, 3)
    assert (row["file"], row["source"]) == ("scores.csv with whiteboards", "score")
