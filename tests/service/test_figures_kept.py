"""Figures beside the store's file: kept where it pays, taken over after a restart, gone with an athlete."""

from __future__ import annotations

from pathlib import Path

import pytest

from keelmark.service import Squad, figures_kept
from keelmark.service.figures_kept import kept_weeks
from keelmark.service.season import Season

DEMO = Path(__file__).parents[2] / "data" / "demo" / "log.csv"


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A store of a few weeks, of which figures are kept although it is small."""
    monkeypatch.setattr(figures_kept, "LEAST_EFFORTS", 10)
    log = tmp_path / "log.csv"
    log.write_text("\n".join(DEMO.read_text().splitlines()[:300]))
    address = f"sqlite:///{tmp_path}/squad.db"
    with Squad.open(address) as squad:
        squad.import_log(log, roster=DEMO.with_name("roster.csv"))
    return address


def season_of(address: str) -> Season:
    with Squad.open(address) as squad:
        return squad.season()


def test_a_restart_takes_over_what_was_kept(store: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = season_of(store)
    assert (tmp_path / "squad.db.figures" / "current.json").is_file()
    monkeypatch.setattr("keelmark.engine.derived.daily_dose", None)
    monkeypatch.setattr("keelmark.engine.derived.weekly_figures", None)
    again = season_of(store)
    for name in ("daily", "weekly", "marks", "notices"):
        assert getattr(again, name).equals(getattr(first, name), null_equal=True), name


def test_a_small_squad_leaves_no_folder(store: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.undo()
    season_of(store)
    assert not (tmp_path / "squad.db.figures").exists()


def test_one_athlete_is_read_alone(store: str) -> None:
    weekly = season_of(store).weekly
    key = weekly["athlete_id"][0]
    with Squad.open(store) as squad:
        own = kept_weeks(squad._store, key)
    assert own.equals(weekly.filter(weekly["athlete_id"] == key), null_equal=True)


def test_nothing_of_an_erased_athlete_is_left(store: str, tmp_path: Path) -> None:
    with Squad.open(store) as squad:
        athletes = squad.season().athletes
        key, name = athletes.select("athlete_id", "name").row(0)
        squad.erase_athlete(key, name)
        assert not (tmp_path / "squad.db.figures").exists()
        squad.season()
    content = b"".join(file.read_bytes() for file in (tmp_path / "squad.db.figures").rglob("*") if file.is_file())
    assert content
    assert key.encode() not in content
