"""What a squad tells, filled from the demo's season, and what of it is kept."""

from __future__ import annotations

import datetime as dt
import io
import json
import zipfile
from pathlib import Path

import polars as pl
import pytest

from keelmark.contracts.errors import RefusedInput, SettingError
from keelmark.plan import Limit
from keelmark.report import html_of
from keelmark.service import Squad, load_demo
from keelmark.service.handing_over import ReturnSlip
from keelmark.service.own_records import athlete_sheets
from keelmark.store import Store
from keelmark.store.whole_tables import kept_tables
from tests.store.test_erasing import HOLDS_A_PERSON, filled

TODAY = dt.date.today()
SAID = {"given_by": "Tove", "given_to": "Maren", "given_on": dt.date(2026, 6, 7)}


def slip(verdict: str = "limited", **more: object) -> ReturnSlip:
    said: dict[str, object] = {
        "athlete_id": "tove", "verdict": verdict, "signed_by": "Maren", "date_from": TODAY, "date_to": None,
        "review_date": None, "how": "no drop jumps" if verdict == "limited" else "", "most": {},
    }  # fmt: skip
    return ReturnSlip(**(said | more))  # type: ignore[arg-type]


# Weekly papers


def test_the_coachs_paper_holds_the_weeks_own_figures(demo: Squad) -> None:
    season = demo.season()
    week = str(season.notices.filter("within_budget")["week"][0])
    html = html_of(demo.coach_brief(week))
    (first, *_) = season.notices.filter(pl.col("week") == week, pl.col("within_budget")).sort("rank").rows(named=True)
    assert first["headline"].replace("'", "&#39;") in html


def test_quiet_people_are_named_with_their_days(demo: Squad) -> None:
    html = html_of(demo.coach_brief("2026-W12"))
    assert "24 of 26 people" in html
    assert "Aled (6 of 7), Fenna (6 of 7)" in html
    assert [(key, missing) for key, _, missing, _ in demo.quiet_messages("2026-W12")] == [("aled", 1), ("fenna", 1)]
    assert [key for key, *_ in demo.quiet_messages("2026-W12", "inshore")] == ["fenna"]


def test_decisions_that_run_out_stand_on_the_coachs_paper(demo: Squad) -> None:
    notice = demo.season().notices.row(0, named=True)
    day = dt.date.fromisoformat(f"{notice['week']}-1") + dt.timedelta(days=9)
    demo.record_decision(notice["notice_id"], option="Scale it", review_date=day)
    assert f"{day.day} {day:%B %Y}, " in html_of(demo.coach_brief(notice["week"]))
    assert ": Scale it" in html_of(demo.coach_brief(notice["week"]))


def test_no_paper_of_a_week_holds_what_people_said_or_anybody_else(demo: Squad) -> None:
    names = demo.season().athletes["name"].to_list()
    for week in ("2026-W14", "2026-W23"):
        for key, name in (("tove", "Tove"), ("aled", "Aled")):
            html = html_of(demo.athlete_brief(key, week))
            assert [other for other in names if other != name and f"{other} " in html] == []
        for paper in (demo.coach_brief(week), demo.athlete_brief("tove", week)):
            text = html_of(paper).casefold()
            assert [word for word in ("knee<", "hand and fingers", "bothered", "complaint") if word in text] == []


def test_what_made_most_of_it_is_of_the_kind_that_stands_highest(demo: Squad) -> None:
    """The demo's story: Tove's jumps of the last week."""
    html = html_of(demo.athlete_brief("tove", "2026-W23"))
    assert "What made most of it: jump contacts" in html
    assert "depth jumps on Tue 2 Jun" in html


def test_a_week_or_person_that_is_not_there_is_said(demo: Squad) -> None:
    with pytest.raises(SettingError, match="'2026-W50' is not a week with figures"):
        demo.coach_brief("2026-W50")
    with pytest.raises(SettingError, match="nobody has the key 'nobody'"):
        demo.athlete_brief("nobody", "2026-W23")


# Handing over


def test_consent_is_kept_once_and_only_when_it_is_handed_over(demo: Squad) -> None:
    season = demo.season()
    demo.hand_over("tove", "2026-W23", fields=["load"], keep=False, **SAID)
    assert demo.consents("tove").is_empty()
    for _ in range(2):
        demo.hand_over("tove", "2026-W23", fields=["load"], **SAID)
    demo.hand_over("tove", "2026-W23", fields=["load", "changes"], **SAID)
    assert demo.consents("tove")["fields"].to_list() == [["load"], ["load", "changes"]]
    assert demo.season() is season, "no figure rests on a consent"
    demo.withdraw_consent("tove", "1")
    with pytest.raises(SettingError, match="no consent '1' of this athlete"):
        demo.withdraw_consent("aled", "1")


def test_a_refused_hand_over_keeps_nothing(demo: Squad) -> None:
    with pytest.raises(RefusedInput, match="nothing is chosen"):
        demo.hand_over("aled", "2026-W23", fields=[], **SAID)
    assert demo.consents("aled").is_empty()


@pytest.fixture
def crew(squad: Squad) -> Squad:
    """A crew that may be changed."""
    load_demo(squad)
    return squad


def test_a_slip_becomes_dated_limits_that_the_planner_passes_none_of(crew: Squad) -> None:
    crew.season()
    last = TODAY + dt.timedelta(days=60)
    crew.keep_return_slip(slip(most={"jump_contacts": 30.0}, date_to=last, review_date=last))
    (told,) = crew.standing_limits("tove")
    assert "no drop jumps (Maren; looked at again on " in told
    monday = TODAY + dt.timedelta(days=7 - TODAY.weekday())
    plan = crew.plan("Monday\n5 rounds: 20 box jumps", monday=monday)
    assert plan.limits == (Limit("tove", "jump_contacts", 30.0),)
    texts = {version.letter: version for version in plan.versions(2, seconds=20).versions if "tove" in version.athletes}
    assert texts
    assert "A" not in texts, "the board itself would be 100 contacts"


def test_a_later_slip_takes_the_place_of_one_without_a_last_day(crew: Squad) -> None:
    crew.keep_return_slip(slip(most={"jump_contacts": 30.0}))
    crew.ahead.agree("tove", "tonnage", 5000, agreed_with="the coach", date_from=TODAY)
    crew.keep_return_slip(slip("allowed"))
    assert crew.standing_limits("tove") == [f"From {TODAY.day} {TODAY:%B %Y}: Training as before (Maren)"]
    assert crew.ahead.limits("tove")["agreed_with"].to_list() == ["the coach"], "what was agreed otherwise stays"


def test_a_slip_that_begins_later_leaves_what_stands(crew: Squad) -> None:
    crew.keep_return_slip(slip())
    crew.keep_return_slip(slip("not yet", date_from=TODAY + dt.timedelta(days=3)))
    assert len(crew.standing_limits("tove")) == 2


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        (slip("perhaps"), "no answer is chosen"),
        (slip(signed_by=" "), "nobody is named"),
        (slip(how=""), "no limit is written"),
        (slip("allowed", how="no jumps"), "limits are written, but the answer is “Training as before”"),
        (slip(date_to=TODAY - dt.timedelta(days=1)), "it ends before it begins"),
    ],
)
def test_a_slip_that_does_not_fit_together_is_refused(demo: Squad, asked: ReturnSlip, found: str) -> None:
    before = demo.standing_limits("tove")
    with pytest.raises(RefusedInput, match=found):
        demo.keep_return_slip(asked)
    assert demo.standing_limits("tove") == before


# One athlete's own data


def test_the_archive_holds_a_sheet_for_every_table_with_people_in_it(demo: Squad) -> None:
    """A table of tomorrow with people in it fails here until the archive tells it too."""
    with demo._store._reading() as connection:
        personal = {table.name for table in kept_tables(connection) if "athlete_id" in table.c}
    told = {
        "athlete": "person", "person": "person", "rep_maximum": "rep_maxima", "session": "sessions",
        "effort": "efforts", "day_state": "days", "health_check_in": "check_ins",
        "health_complaint_decision": "complaint_decisions", "health_limit": "health_limits",
        "health_agreed_limit": "agreed_limits", "health_return_plan": "return_plans", "consent": "consents",
        "look": "looks", "account": "accounts", "guest_link": "guest_links",
        "guardian": "guardians", "taken_back": "rows_taken_back", "planned_amount": "kept_weeks",
    }  # fmt: skip
    sheets = {sheet.name for sheet in athlete_sheets(demo._store, demo.season(), "tove")}
    assert {told.get(name, name) for name in personal} <= sheets


def test_the_archive_holds_all_of_one_person_and_nothing_of_others(demo: Squad) -> None:
    season = demo.season()
    others = [name for name in season.athletes["name"] if name != "Tove"]
    with zipfile.ZipFile(io.BytesIO(demo.athlete_archive("tove"))) as archive:
        told = {name: archive.read(name) for name in archive.namelist()}
    assert [name for name in others if any(name.encode() in part for part in told.values())] == []
    counted = {resource["name"]: resource for resource in json.loads(told["datapackage.json"])["resources"]}
    mine = pl.col("athlete_id") == "tove"
    for name, frame in (("efforts", season.kept.efforts), ("figures_by_week", season.weekly), ("marks", season.marks)):
        assert pl.read_csv(told[f"{name}.csv"]).height == frame.filter(mine).height > 0
        assert counted[name]["bytes"] == len(told[f"{name}.csv"])
    efforts = pl.read_csv(told["efforts.csv"], infer_schema_length=None)
    assert efforts["load_kg"].to_list() == season.kept.efforts.filter(mine)["load_kg"].to_list()


SHEETS = {
    "person": {"person", "athlete"},
    "rep_maxima": {"rep_maximum"},
    "sessions": {"session"},
    "efforts": {"effort"},
    "days": {"day_state"},
    "decisions": {"decision"},
    "check_ins": {"health_check_in"},
    "complaint_decisions": {"health_complaint_decision"},
    "health_limits": {"health_limit"},
    "agreed_limits": {"health_agreed_limit"},
    "kept_weeks": {"planned_amount"},
    "return_plans": {"health_return_plan"},
    "consents": {"consent"},
    "looks": {"look"},
    "accounts": {"account"},
    "sign_ins": {"sign_in"},
    "open_sessions": {"account_session"},
    "second_steps": {"second_step", "recovery_code"},
    "guest_links": {"guest_link"},
    "guardians": {"guardian"},
    "rows_taken_back": {"taken_back"},
}
"""Each sheet of an archive, and the tables of the store that it tells of."""


def test_the_archive_tells_of_every_table_that_holds_a_person(tmp_path: Path) -> None:
    """Secrets and hashes are not in it; that they are kept is."""
    assert set().union(*SHEETS.values()) == HOLDS_A_PERSON
    with Store.open(tmp_path / "squad.db") as store:
        filled(store)
    with Squad.open(f"sqlite:///{tmp_path / 'squad.db'}") as squad:
        packed = squad.athlete_archive("quennell")
    with zipfile.ZipFile(io.BytesIO(packed)) as archive:
        told = {name: archive.read(f"{name}.csv").decode() for name in SHEETS}
    assert [name for name, text in told.items() if text.count("\r\n") < 2] == []
    kept_secret = ("sealed", "code quennell", "session quennell", "token quennell", "hash")
    assert [one for one in kept_secret if any(one in text for text in told.values())] == []


def test_the_wrong_name_erases_nobody(demo: Squad) -> None:
    for typed in ("", "Aled", "tov"):
        with pytest.raises(SettingError, match="typed"):
            demo.erase_athlete("tove", typed)
    assert "tove" in demo.season().athletes["athlete_id"]


def test_after_an_erasure_the_season_knows_nobody_of_that_name_and_the_others_as_before(crew: Squad) -> None:
    before = crew.season()
    crew.erase_athlete("tove", " TOVE ")
    after = crew.season()
    others = pl.col("athlete_id") != "tove"
    assert after.daily.equals(before.daily.filter(others))
    own = ["athlete_id", "week", "channel", "low", "known_days"]  # what is not known may be judged by the group
    assert after.weekly.select(own).equals(before.weekly.filter(others).select(own))
    assert "tove" not in set(after.marks["athlete_id"]) | set(after.athletes["athlete_id"])
    assert crew.original("1").count(b"\n") > 18_000
