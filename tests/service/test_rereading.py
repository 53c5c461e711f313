"""Stored whiteboards read again once body masses, maxima or movements are known better, and taken back.

Expected loads are derived from the texts and maxima, with the arithmetic beside them.
"""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import polars as pl
import pytest

from keelmark.contracts.frames import ATHLETE, REP_MAXIMUM
from keelmark.ingest import LogOptions
from keelmark.service import Evening, Squad

DAY = dt.date(2026, 5, 4)
TEXT = "Back squat 5x5 @ 75%\nDeadlift 3x3 @ 1.5x bodyweight\n4x10 davit hauls"
ROSTER = "name,standard\nAled,heavier\nTove,lighter\n"
OWN = '[davit_haul]\nlike = ["rope_pull"]\nnames.en = ["davit haul", "davit hauls"]\n'


def bring(path: Path, name: str, text: str) -> Path:
    """A file with a text."""
    file = path / name
    file.write_text(text, encoding="utf-8")
    return file


@pytest.fixture
def crew(squad: Squad, tmp_path: Path) -> Squad:
    """Two people of whom neither body mass nor maxima are known, and one evening of theirs."""
    squad.import_roster(bring(tmp_path, "roster.csv", ROSTER))
    squad.save_evening(Evening(DAY, TEXT, {"aled": {}, "tove": {"session_rpe": "7"}}, minutes=50.0))
    return squad


def loads(squad: Squad, who: str = "aled") -> dict[str, float | None]:
    """Load by movement, as it counts."""
    own = squad.season().kept.efforts.filter(pl.col("athlete_id") == who)
    return dict(own.select("movement", "load_kg").iter_rows())


def states(squad: Squad) -> list[tuple[str, str]]:
    """Athletes and what is known of their days."""
    return squad.season().kept.day_states.select("athlete_id", pl.col("state").cast(pl.String)).rows()


def know(squad: Squad) -> None:
    """What becomes known later: Aled's body mass and maximum."""
    squad._store.save_athletes(
        ATHLETE.build([{"athlete_id": "aled", "name": "Aled", "standard": "heavier", "body_mass_kg": 84.0}])
    )
    rows = [{"athlete_id": "aled", "movement": "back_squat", "date": DAY, "load_kg": 140.0, "state": "tested"}]
    squad._store.save_rep_maxima(REP_MAXIMUM.build(rows))


def test_nothing_reads_otherwise_while_nothing_changed(crew: Squad) -> None:
    assert crew.changed_whiteboards() == []
    assert crew.read_whiteboards_again() is None
    assert states(crew) == [("aled", "partly"), ("tove", "partly")]


def test_what_is_known_later_is_told_and_taken_up_only_when_asked(crew: Squad) -> None:
    know(crew)
    assert loads(crew) == {"back_squat": None, "deadlift": None}
    (told,) = crew.changed_whiteboards()
    assert (told.session["athlete_id"], told.session["date"]) == ("aled", DAY)
    assert told.before["load_kg"].to_list() == [None, None]
    # derived: 75 % of 140 kg; 1.5 times 84 kg
    assert dict(told.after.select("movement", "load_kg").iter_rows()) == {"back_squat": 105.0, "deadlift": 126.0}
    crew.read_whiteboards_again()
    assert loads(crew) == {"back_squat": 105.0, "deadlift": 126.0}
    assert loads(crew, "tove") == {"back_squat": None, "deadlift": None}
    assert crew.changed_whiteboards() == []
    kept = crew.season().kept.sessions
    assert dict(kept.select("athlete_id", "session_rpe").iter_rows()) == {"aled": None, "tove": 7.0}


def test_reading_again_is_taken_back_like_any_import(crew: Squad) -> None:
    before = crew.season().kept
    know(crew)
    again = crew.read_whiteboards_again()
    assert again is not None
    crew.undo(again.import_id)
    after = crew.season().kept
    without = ["import_id", "source_row", "source_line"]
    assert after.efforts.drop(without).equals(before.efforts.drop(without))
    assert after.sessions.drop("import_id").equals(before.sessions.drop("import_id"))
    assert after.day_states.equals(before.day_states)
    assert len(crew.changed_whiteboards()) == 1
    assert crew.read_whiteboards_again() is not None
    assert loads(crew) == {"back_squat": 105.0, "deadlift": 126.0}


def test_a_movement_added_later_completes_the_day(tmp_path: Path) -> None:
    place = f"sqlite:///{tmp_path / 'squad.sqlite'}"
    with Squad.open(place) as squad:
        squad.import_roster(bring(tmp_path, "roster.csv", ROSTER))
        squad.save_evening(Evening(DAY, TEXT, {"aled": {}, "tove": {}}))
        assert len(states(squad)) == 2
    with Squad.open(place, own_movements=[bring(tmp_path, "ours.toml", OWN)]) as squad:
        assert len(squad.changed_whiteboards()) == 2
        squad.read_whiteboards_again()
        assert set(loads(squad)) == {"back_squat", "deadlift", "davit_haul"}
        assert states(squad) == []


def test_a_season_that_came_with_a_mapping_and_options_is_read_the_same_way(squad: Squad, tmp_path: Path) -> None:
    texts = tmp_path / "boards"
    texts.mkdir()
    bring(texts, "2026-05-04.txt", TEXT)
    bring(texts, "2026-05-06.txt", "30 burpees")
    sheet = bring(tmp_path, "scores.csv", "when,rower,how hard\n04/05/2026,Aled,8\n06/05/2026,Aled,6\n")
    mapping = bring(tmp_path, "mapping.toml", '[columns]\ndate = "when"\nathlete = "rower"\nsession_rpe = "how hard"\n')
    squad.import_roster(bring(tmp_path, "roster.csv", ROSTER))
    options = LogOptions(day_first=True)
    first = squad.import_whiteboards(sheet, texts, mapping=mapping, options=options)
    grown = bring(tmp_path, "grown.csv", sheet.read_text(encoding="utf-8") + "04/05/2026,Tove,9\n")
    squad.import_whiteboards(grown, texts, mapping=mapping, options=options)
    assert first.outcome.efforts == 3
    know(squad)
    # both imports hold Aled's session: it is read again in both and counted once
    assert [told.session["session_id"] for told in squad.changed_whiteboards()] == ["aled/2026-05-04"] * 2
    again = squad.read_whiteboards_again()
    assert again is not None
    efforts = squad.season().kept.efforts
    assert efforts.group_by("athlete_id", "date").len().sort("athlete_id", "date")["len"].to_list() == [2, 1, 2]
    assert loads(squad)["back_squat"] == 105.0
    squad.undo(again.import_id)
    assert squad.season().kept.efforts.height == 5
    assert loads(squad)["back_squat"] is None


def test_a_session_that_cannot_be_read_any_more_stays_as_it_was(squad: Squad, tmp_path: Path) -> None:
    squad.import_roster(bring(tmp_path, "roster.csv", ROSTER))
    squad.save_evening(Evening(DAY, "10 thrusters 60/40 kg\nBack squat 5x5 @ 75%", {"aled": {}, "tove": {}}))
    know(squad)
    # without a standard nobody can say which of the two loads Tove took
    squad._store.save_athletes(ATHLETE.build([{"athlete_id": "tove", "name": "Tove"}]))
    squad.read_whiteboards_again()
    assert loads(squad) == {"thruster": 60.0, "back_squat": 105.0}
    assert loads(squad, "tove") == {"thruster": 40.0, "back_squat": None}


def test_somebody_who_was_forgotten_does_not_come_back(crew: Squad) -> None:
    know(crew)
    again = crew.read_whiteboards_again()
    assert again is not None
    crew._store.erase_athlete("tove")
    assert crew.changed_whiteboards() == []
    crew.undo(again.import_id)
    assert crew.season().kept.efforts["athlete_id"].unique().to_list() == ["aled"]
    assert loads(crew)["back_squat"] is None
