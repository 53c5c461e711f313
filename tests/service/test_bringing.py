"""Files are previewed, accepted and undone, and what people decide is kept with the figures of the day."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest

from keelmark.contracts.errors import KeelmarkError, RefusedInput, SettingError
from keelmark.ingest import LogOptions
from keelmark.service import RULE_VERSION, SETTINGS, Squad

LOG = b"date,athlete,movement,sets,reps,load_kg\n2026-03-02,Ada,deadlift,5,5,100\n2026-03-02,Ada,deadlift,5,5,-1\n"


def test_a_preview_stores_nothing_and_tells_every_row(squad: Squad) -> None:
    preview = squad.preview_log(LOG, "log.csv")
    assert preview.ready
    assert preview.counts["accepted"] == 1
    assert preview.rows["verdict"].to_list() == ["accepted", "quarantined"]
    assert squad.imports().is_empty()
    assert squad.season().weeks == []


def test_an_accepted_preview_is_stored_once_and_can_be_undone(squad: Squad) -> None:
    brought = squad.accept(squad.preview_log(LOG, "log.csv").token)
    assert squad.season().weeks == ["2026-W10"]
    assert squad.original(brought.outcome.import_id) == LOG
    squad.undo(brought.outcome.import_id)
    assert squad.season().weeks == []


def test_after_an_undo_somebody_with_check_ins_is_no_list_that_shuts_others_out(squad: Squad) -> None:
    both = LOG + b"2026-03-02,Bram,deadlift,3,5,80\n"
    first = squad.accept(squad.preview_log(both, "log.csv").token)
    ada = squad.season().athletes.filter(name="Ada")["athlete_id"].item()
    squad.check_in(ada, "2026-W10", {"taking_part": 0})
    squad.undo(first.outcome.import_id)
    again = squad.preview_log(both, "log.csv")
    assert again.counts["accepted"] == 2
    squad.accept(again.token)
    assert squad.season().athletes["name"].sort().to_list() == ["Ada", "Bram"]
    assert squad.check_ins(ada).height == 1
    assert squad.preview_log(LOG + b"2026-03-03,Ghost,deadlift,5,5,90\n", "more.csv").counts["accepted"] == 1


def test_nobody_is_made_of_rows_that_were_set_aside(squad: Squad) -> None:
    squad.accept(squad.preview_log(LOG + b"2026-03-02,Ghost,deadlift,5,5,-1\n", "log.csv").token)
    assert squad.season().athletes["name"].to_list() == ["Ada"]


def test_a_preview_can_be_accepted_only_once(squad: Squad) -> None:
    token = squad.preview_log(LOG, "log.csv").token
    squad.accept(token)
    with pytest.raises(RefusedInput, match="this preview is no longer there"):
        squad.accept(token)


def test_what_is_stopped_at_the_last_moment_stores_nothing(squad: Squad) -> None:
    class StoppedError(Exception):
        pass

    def stop() -> None:
        raise StoppedError

    before = squad.season()
    with pytest.raises(StoppedError):
        squad.accept(squad.preview_log(LOG, "log.csv").token, stop)
    assert squad.imports().is_empty()
    assert squad.season() is before
    squad.accept(squad.preview_log(LOG, "log.csv").token)
    assert squad.season().weeks == ["2026-W10"]


def test_an_upload_is_read_again_with_options_and_with_names_that_were_learned(squad: Squad) -> None:
    log = b"date;athlete;movement;sets;reps;load_kg\n2026-03-02;Ada;kreuzhub;5;5;100,5\n02/03/2026;Bo;dips;3;8;\n"
    first = squad.preview_log(log, "log.csv")
    assert (first.counts["accepted"], first.unknown_names) == (0, {"kreuzhub": 1})
    second = squad.preview_again(first.token, LogOptions(day_first=True))
    assert second.counts["accepted"] == 1
    with pytest.raises(RefusedInput, match="this preview is no longer there"):
        squad.accept(first.token)
    quickly = squad.preview_again(first.token, LogOptions(day_first=True, decimal="comma"))
    assert quickly.counts == second.counts, "two choices in a row are both asked for by the first token"
    squad.learn_names({"kreuzhub": "deadlift"})
    third = squad.preview_again(second.token, LogOptions(day_first=True))
    assert (third.counts["accepted"], third.unknown_names) == (2, {})
    squad.accept(third.token)
    efforts = squad.season().kept.efforts
    assert dict(efforts.select("athlete_id", "movement").iter_rows()) == {"ada": "deadlift", "bo": "dip"}
    assert [row.movement for row in squad.look_at_text("5x5 Kreuzhub @ 80 kg").heavier.efforts] == ["deadlift"]


def test_names_that_were_learned_are_there_next_time(tmp_path: Path) -> None:
    place = f"sqlite:///{tmp_path / 'squad.sqlite'}"
    with Squad.open(place) as squad:
        squad.learn_names({"kreuzhub": "deadlift"})
        squad.learn_names({"Bootszug": "rope_pull"})
    with Squad.open(place) as squad:
        assert squad.club_names() == {"kreuzhub": "deadlift", "Bootszug": "rope_pull"}
        assert squad.catalogue.names.find("bootszug") == "rope_pull"


@pytest.mark.parametrize(
    ("names", "told"),
    [({"kreuzhub": "no_such"}, "there is no movement 'no_such'"), ({"dips": "deadlift"}, "“dips” is a name of dip")],
)
def test_a_name_that_cannot_be_learned_is_refused(squad: Squad, names: dict[str, str], told: str) -> None:
    with pytest.raises(SettingError, match=told):
        squad.learn_names(names)
    assert squad.club_names() == {}


def test_several_days_of_several_people_are_said_at_once(squad: Squad) -> None:
    squad.accept(squad.preview_log(LOG, "log.csv").token)
    day = dt.date(2026, 3, 3)
    before = squad.season().day_states.rows()
    squad.set_day_states([("ada", day, "ill"), ("ada", day + dt.timedelta(days=1), "travel")])
    added = [row for row in squad.season().day_states.rows() if row not in before]
    assert [row[2] for row in added] == ["ill", "travel"]
    with pytest.raises(SettingError, match="'holiday' is not something to say about a day"):
        squad.set_day_states([("ada", day, "holiday")])


@pytest.mark.parametrize("name", ["../../etc/passwd", "..\\..\\boot.ini", "\x00\x01", "a" * 400 + ".csv", "‮vsc.gol"])
def test_a_name_that_plays_tricks_is_only_a_name(squad: Squad, name: str) -> None:
    preview = squad.preview_log(LOG, name)
    assert "/" not in preview.file
    assert "\\" not in preview.file
    assert len(preview.file) <= 120


def test_an_upload_that_cannot_be_read_is_refused_without_a_trace(squad: Squad) -> None:
    with pytest.raises(KeelmarkError):
        squad.preview_log(b"\x00\x01\x02" * 400, "log.csv")
    assert squad.imports().is_empty()


def test_a_rest_day_closes_a_gap_in_what_is_known(squad: Squad) -> None:
    squad.accept(squad.preview_log(LOG, "log.csv").token)
    before = squad.season().weekly.filter(channel="tonnage")["known_days"].item()
    squad.set_day_state(["ada"], [dt.date(2026, 3, 3), dt.date(2026, 3, 4)], "rest")
    assert squad.season().weekly.filter(channel="tonnage")["known_days"].item() == before + 2


def test_trained_is_not_something_to_say_about_a_day(squad: Squad) -> None:
    with pytest.raises(SettingError, match="log the efforts themselves"):
        squad.set_day_state(["ada"], [dt.date(2026, 3, 3)], "trained")


@pytest.mark.parametrize("setting", SETTINGS, ids=lambda setting: setting.key)
def test_every_setting_takes_its_default_and_refuses_nonsense(squad: Squad, setting: object) -> None:
    key, default = setting.key, setting.default  # type: ignore[attr-defined]
    squad.set_setting(key, default)
    assert squad.settings()[key] == default
    with pytest.raises(SettingError, match=key):
        squad.set_setting(key, "nonsense")


def test_a_setting_that_does_not_exist_names_those_that_do(squad: Squad) -> None:
    with pytest.raises(SettingError, match="one of quiet_days, week_day"):
        squad.set_setting("colour", "blue")


def test_a_decision_keeps_the_figures_it_was_made_on(demo: Squad) -> None:
    notice = demo.season().notices.row(0, named=True)
    demo.record_decision(
        notice["notice_id"], useful=True, option="spread", owner="Ada", review_date=dt.date(2026, 6, 14)
    )
    kept = demo.decisions().filter(notice_id=notice["notice_id"]).row(-1, named=True)
    assert kept["rule_version"] == RULE_VERSION
    assert json.loads(kept["figures"])["value"] == notice["value"]
    assert kept["owner"] == "Ada"


def test_a_decision_on_a_notice_that_is_not_there_is_refused(squad: Squad) -> None:
    with pytest.raises(SettingError, match="there is no notice 'x'"):
        squad.record_decision("x", useful=True)


def test_an_inconsistent_own_movement_leaves_the_store_as_it_was(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'squad.sqlite'}"
    own = tmp_path / "own.toml"
    own.write_text('[haul]\ncategory = "nonsense"\n', encoding="utf-8")
    with pytest.raises(KeelmarkError, match=r"own\.toml"):
        Squad.open(url, own_movements=[own])
    with Squad.open(url) as squad:
        assert "haul" not in squad.catalogue
