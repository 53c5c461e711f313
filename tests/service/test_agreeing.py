"""What somebody has not agreed to is not kept, shown or counted; guardians agree for those under age; old rows go."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from keelmark.contracts.errors import AccessError, RefusedInput, SettingError
from keelmark.service import Squad
from keelmark.service.agreeing import ANSWERS, PURPOSES, QUESTION
from keelmark.service.person import Person
from keelmark.store import Store
from tests.faults.doors import CHECK_INS, crew

WEEK = "2025-W36"
AREA = "lumbosacral"
TROUBLE = {"taking_part": 1, "amount": 1, "performance": 1, "symptoms": 1}


@pytest.fixture
def squad() -> Iterator[Squad]:
    with crew() as opened:
        opened.check_in("aled", WEEK, TROUBLE, AREA)
        opened.check_in("bridie", WEEK, TROUBLE, AREA)
        yield opened


def _states(squad: Squad) -> list[str]:
    return [one.state for one in squad.agreements("aled")]


def test_each_purpose_is_given_with_its_date_and_taken_back(squad: Squad) -> None:
    assert _states(squad) == ["not asked"] * len(PURPOSES)
    squad.agree("aled", ANSWERS, given_by="Aled", given_on=dt.date(2025, 9, 1))
    given = squad.agreements("aled")[0]
    assert (given.state, given.given_by, given.on) == ("given", "Aled", dt.date(2025, 9, 1))
    squad.say_no("aled", ANSWERS, given_by="Aled")
    assert _states(squad) == ["withdrawn", "not asked"]
    with pytest.raises(SettingError, match="there is no purpose 'selling'"):
        squad.agree("aled", "selling", given_by="Aled")
    with pytest.raises(RefusedInput, match="lies ahead"):
        squad.agree("aled", ANSWERS, given_by="Aled", given_on=dt.date(2199, 1, 1))


def test_a_no_takes_away_all_that_was_worked_out_and_lets_nothing_new_in(squad: Squad, tmp_path: Path) -> None:
    assert squad.timeline("aled", WEEK).episodes.height == 1
    squad.say_no("aled", ANSWERS, given_by="Aled")
    assert squad.check_ins("aled").is_empty()
    assert set(squad.check_ins()["athlete_id"]) == {"bridie"}
    assert squad.timeline("aled", WEEK).episodes.is_empty()
    with pytest.raises(RefusedInput, match=r"aled has said no.*record a yes with `keelmark privacy agree`"):
        squad.check_in("aled", WEEK, {"taking_part": 0})
    (tmp_path / "c.csv").write_text(CHECK_INS, encoding="utf-8")
    with pytest.raises(RefusedInput, match="aled has said no"):
        squad.import_check_ins(tmp_path / "c.csv")
    shown = {"fields": ["complaints"], "given_by": "Aled", "given_to": "a doctor", "given_on": dt.date(2025, 9, 8)}
    assert "lower back" not in str(squad.hand_over("aled", WEEK, **shown)).casefold()  # type: ignore[arg-type]
    squad.agree("aled", ANSWERS, given_by="Aled")
    assert squad.timeline("aled", WEEK).episodes.height == 1


def test_a_no_to_the_squad_s_question_leaves_the_answers_and_takes_them_out_of_the_count(squad: Squad) -> None:
    counted = squad.association()[-1].athletes_with_complaints
    squad.say_no("aled", QUESTION, given_by="Aled")
    assert squad.check_ins("aled").height == 1
    assert squad.association()[-1].athletes_with_complaints <= counted
    assert set(squad._agreed(squad.check_ins(), QUESTION)["athlete_id"]) == {"bridie"}


def test_for_somebody_under_age_only_the_guardian_agrees(squad: Squad) -> None:
    until = dt.date.today() + dt.timedelta(days=400)
    squad.note_guardian("aled", "Gwen", until)
    with pytest.raises(RefusedInput, match="aled is under age, and Gwen has not agreed"):
        squad.check_in("aled", WEEK, {"taking_part": 0})
    with pytest.raises(RefusedInput, match="Aled agreed for aled, who is under age"):
        squad.agree("aled", ANSWERS, given_by="Aled")
    with pytest.raises(RefusedInput, match="Aled agreed for aled, who is under age"):
        squad.hand_over("aled", WEEK, fields=["load"], given_by="Aled", given_to="x", given_on=dt.date(2025, 9, 8))
    squad.agree("aled", ANSWERS, given_by="Aled and Gwen")
    squad.check_in("aled", WEEK, {"taking_part": 0})
    squad.check_in("bridie", WEEK, {"taking_part": 0})
    squad.note_guardian("aled", "Gwen", dt.date.today())
    assert squad.guardian("aled") is not None
    with pytest.raises(RefusedInput, match="within the next 18 years"):
        squad.note_guardian("aled", "Gwen", dt.date(2000, 1, 1))


def test_an_athlete_agrees_in_their_own_name_and_for_nobody_else(squad: Squad) -> None:
    mine = squad.seen_by(Person("Somebody", "athlete", "aled", key="account:1"))
    mine.agree("aled", ANSWERS, given_by="Bridie")
    assert (squad.agreements("aled")[0].state, squad.agreements("aled")[0].given_by) == ("given", "Aled")
    mine.say_no("aled", ANSWERS, given_by="Bridie")
    assert squad.agreements("aled")[0].state == "withdrawn"
    for said in (mine.agree, mine.say_no):
        with pytest.raises(AccessError, match="of somebody else"):
            said("bridie", ANSWERS, given_by="Bridie")
    squad.seen_by(Person("Cerys", "coach", key="account:2")).agree("bridie", QUESTION, given_by="Bridie")
    assert squad.agreements("bridie")[1].given_by == "Bridie"


def test_somebody_under_age_says_no_and_leaves_the_yes_to_the_guardian(squad: Squad) -> None:
    squad.note_guardian("aled", "Aled", dt.date.today() + dt.timedelta(days=400))
    mine = squad.seen_by(Person("Somebody", "athlete", "aled", key="account:1"))
    with pytest.raises(AccessError, match="a yes of somebody under age: not open to you"):
        mine.agree("aled", ANSWERS, given_by="Aled")
    mine.say_no("aled", ANSWERS, given_by="Aled")
    assert squad.agreements("aled")[0].state == "withdrawn"


def test_a_squad_may_ask_first(squad: Squad) -> None:
    squad.set_setting("ask_first", True)
    with pytest.raises(RefusedInput, match="bridie has not agreed yet"):
        squad.check_in("bridie", WEEK, {"taking_part": 0})
    squad.agree("bridie", ANSWERS, given_by="Bridie")
    squad.check_in("bridie", WEEK, {"taking_part": 0})


def test_what_is_past_its_time_is_counted_first_and_then_removed(tmp_path: Path) -> None:
    long_ago = dt.datetime(2020, 1, 1, tzinfo=dt.UTC)
    place = tmp_path / "squad.db"
    (tmp_path / "r.csv").write_text("name,left\nAled,\nBridie,2021-05-01\n", encoding="utf-8")
    with Squad.open(place) as squad:
        squad.import_roster(tmp_path / "r.csv")
    with Store.open(place, clock=lambda: long_ago) as store:
        store.record_check_in("aled", "2020-W01", scale_id="own/1", answers={})
        store.note_looks(["aled"], "account:1", "Cerys", "coach", "answers", long_ago.date())
    with Squad.open(place) as squad:
        squad._store.record_check_in("aled", "2026-W01", scale_id="own/1", answers={})
        assert (squad.past_its_time().rows, squad.past_its_time().people) == ({}, ())
        for key in ("keep_answers", "keep_looks", "keep_left"):
            squad.set_setting(key, 24)
        counted = squad.past_its_time()
        assert (counted.rows["health_check_in"], counted.rows["look"], counted.people) == (1, 1, ("bridie",))
        assert squad.check_ins("aled").height == 2, "counting removes nothing"
        assert squad.remove_past() == counted
        assert squad.check_ins("aled")["week"].to_list() == ["2026-W01"]
        assert squad._store.athletes()["athlete_id"].to_list() == ["aled"]
        assert squad.past_its_time().people == ()
