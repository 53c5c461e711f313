"""Every kind of write of a squad, and how it is taken back: one table, and nothing that is missing in it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import polars as pl
import pytest

from keelmark.health import weeks_said
from keelmark.report.hand_over_words import PURPOSE
from keelmark.service import Evening, Squad
from keelmark.service.agreeing import ANSWERS
from keelmark.service.club_names import CLUB_NAMES
from keelmark.service.personal import MAY_ASK
from tests.faults.doors import BOARD, DAYS, EVENTS, LABELS, LOG, MOVEMENTS, ROSTER, SCORES, crew

MONDAY = dt.date(2025, 9, 1)
LATER = LOG.replace("2025-09", "2025-10")
WEEK, AREA = "2025-W36", "lumbosacral"
HEAD = "week,name,area,taking_part,amount,performance,symptoms"
TROUBLE, WELL = {"taking_part": 1, "amount": 1, "performance": 1, "symptoms": 1}, {"taking_part": 0}
EVENING = Evening(dt.date(2025, 9, 8), "5 x 5 back squat 100 kg", {"aled": {}}, minutes=50.0)

Write = Callable[[Squad, Path], Any]
Back = Callable[[Squad, Any], object]


def file(folder: Path, name: str, text: str) -> Path:
    """A file with a text."""
    (folder / name).write_text(text, encoding="utf-8")
    return folder / name


def boards(squad: Squad, folder: Path) -> None:
    """A score sheet with its whiteboard."""
    texts = folder / "boards"
    texts.mkdir()
    file(texts, "2025-09-08.txt", BOARD.partition("\n")[2])
    squad.import_whiteboards(file(folder, "scores.csv", SCORES.replace("2025-09-01", "2025-09-08")), texts)


def newest_away(squad: Squad, _key: object) -> None:
    """Take back all that stands but the log that was there before."""
    for key in squad.imports().filter(pl.col("undone_at").is_null())["import_id"].to_list()[:0:-1]:
        squad.undo(key)


def given_back(squad: Squad, _key: object) -> None:
    """Take the consent of a hand-over back."""
    squad.withdraw_consent("aled", squad.consents("aled")["consent_id"][-1])


TAKEN_BACK: dict[str, tuple[Write, Back]] = {
    "import_log": (lambda squad, folder: squad.import_log(file(folder, "log.csv", LATER)), newest_away),
    "import_roster": (lambda squad, folder: squad.import_roster(file(folder, "r.csv", ROSTER)), newest_away),
    "import_days": (lambda squad, folder: squad.import_days(file(folder, "d.csv", DAYS)), newest_away),
    "import_labels": (lambda squad, folder: squad.import_labels(file(folder, "l.csv", LABELS)), newest_away),
    "import_whiteboards": (boards, newest_away),
    "import_events": (lambda squad, _: squad.import_events(EVENTS.encode()), newest_away),
    "save_evening": (lambda squad, _: squad.save_evening(EVENING), newest_away),
    "accept": (lambda squad, _: squad.accept(squad.preview_log(LATER.encode(), "log.csv").token), newest_away),
    "set_day_states": (lambda squad, _: squad.set_day_states([("aled", MONDAY, "travel")]), Squad.undo),
    "set_day_state": (lambda squad, _: squad.set_day_state(["aled"], [MONDAY], "ill"), Squad.undo),
    "set_label": (lambda squad, _: squad.set_label(MONDAY, MONDAY, "regatta"), Squad.undo),
    "set_setting": (
        lambda squad, _: squad.set_setting("keep_looks", 12), lambda squad, _: squad.set_setting("keep_looks", 0)
    ),
    "learn_names": (
        lambda squad, _: squad.learn_names({"hoist": "deadlift"}),
        lambda squad, _: squad.change_own_movements(CLUB_NAMES, None),
    ),
    "change_own_movements": (
        lambda squad, _: squad.change_own_movements("own.toml", MOVEMENTS),
        lambda squad, _: squad.change_own_movements("own.toml", None),
    ),
    "agree": (
        lambda squad, _: squad.agree("aled", ANSWERS, given_by="Aled"),
        lambda squad, _: squad.say_no("aled", ANSWERS, given_by="Aled"),
    ),
    "say_no": (
        lambda squad, _: squad.say_no("aled", ANSWERS, given_by="Aled"),
        lambda squad, _: squad.agree("aled", ANSWERS, given_by="Aled"),
    ),
    "hand_over": (
        lambda squad, _: squad.hand_over(
            "aled", WEEK, fields=["load"], given_by="Aled", given_to="a doctor", given_on=MONDAY
        ),
        given_back,
    ),
    "ahead: a limit": (
        lambda squad, _: squad.ahead.agree("aled", "tonnage", 900.0, agreed_with="Aled", date_from=MONDAY),
        lambda squad, key: squad.ahead.withdraw_limit(key),
    ),
    "ahead: a ramp": (
        lambda squad, _: squad.ahead.mean("tonnage", MONDAY, 4, 900.0, 0.1),
        lambda squad, key: squad.ahead.withdraw_ramp(key),
    ),
    "accounts: a role": (
        lambda squad, _: squad.accounts.change_role("Carys", "programmer"),
        lambda squad, _: squad.accounts.change_role("Carys", "coach"),
    ),
    "accounts: an account": (
        lambda squad, _: squad.accounts.add("Piran", "programmer", "seven grey gulls asleep"),
        lambda squad, _: squad.accounts.close("Piran"),
    ),
    "accounts: a guest's link": (
        lambda squad, _: squad.accounts.invite("Dr Penrose", "aled", ["load"], 3),
        lambda squad, _: squad.accounts.withdraw(squad.accounts.links("aled")[0].link_id),
    ),
}  # fmt: skip
"""What is as before once it is taken back."""

CELL = {True: "0,,,", False: "1,1,1,1"}
SAID_AGAIN: dict[str, tuple[Callable[[Squad, Path, bool], object], str]] = {
    "check_in": (
        lambda squad, _, first: squad.check_in("aled", WEEK, TROUBLE if first else WELL, AREA if first else None),
        "health_check_in",
    ),
    "import_check_ins": (
        lambda squad, folder, first: squad.import_check_ins(
            file(folder, "c.csv", f"{HEAD}\n{WEEK},Aled,{AREA if first else ''},{CELL[not first]}\n")
        ),
        "health_check_in",
    ),
    "decide_on_complaint": (
        lambda squad, _, first: squad.decide_on_complaint(
            "bridie", AREA, MONDAY, WEEK, option="Talk it over" if first else "Other movements in its place"
        ),
        "health_complaint_decision",
    ),
    "record_decision": (
        lambda squad, _, first: squad._store.record_decision(
            "aled:2025-W36:tonnage", figures={}, rule_version="1", option="Talk it over" if first else "Leave it"
        ),
        "decision",
    ),
    "note_guardian": (
        lambda squad, _, first: squad.note_guardian("aled", "Gwen" if first else "Owen", dt.date.today()),
        "guardian",
    ),
}
"""Where the last word stands and each earlier one stays on record: the wrong word and the right one, and the table."""

ELSEWHERE = {
    "withdraw_check_in": "dashboards/test_check_ins.py::test_a_hidden_answer_is_not_kept",
    "redo": "store/test_people_and_days.py::test_an_edit_that_was_taken_back_can_be_put_back",
    "read_whiteboards_again": "service/test_rereading.py::test_reading_again_is_taken_back_like_any_import",
    "save_return_plan": "health/test_through_the_squad.py::test_a_plan_is_offered_after_the_gap_and_stays_as_settled",
    "keep_return_slip": "service/test_telling.py::test_a_later_slip_takes_the_place_of_one_without_a_last_day",
    "withdraw_consent": "service/test_telling.py::test_consent_is_kept_once_and_only_when_it_is_handed_over",
}
"""Shown by another test: the latest of its kind stands, or it is taken back."""

FOR_GOOD = {"erase_athlete", "remove_past"}
"""What is removed for good, and is counted or asked for by name first."""

NO_WRITE_OF_ITS_OWN = {"undo", "ahead", "audit"}
"""Taking back itself; a desk whose writes have lines of their own; rates that are settings."""

READS = {
    "agreements", "association", "athlete_archive", "athlete_brief", "catalogue", "changed_whiteboards",
    "check_ins", "check_setting", "club_names", "coach_brief", "complaint_decisions", "consents", "decisions",
    "figures_made", "guardian", "import_rows", "imports", "kept_audit", "look_at_evening", "look_at_text", "looks",
    "original", "own_movements", "past_its_time", "place", "plan", "preview_again", "preview_log", "quiet_messages",
    "readers", "replay", "replay_complaint", "return_plan", "season", "setting_changes", "settings", "standing_limits",
    "stands", "timeline", "usefulness", "whiteboards_may_have_changed",
}  # fmt: skip


@pytest.fixture
def squad() -> Iterator[Squad]:
    """Two people with a week of work and a complaint."""
    with crew() as opened:
        opened.check_in("bridie", WEEK, TROUBLE, AREA)
        yield opened


def stands(squad: Squad) -> dict[str, object]:
    """All that stands in a squad, but for who may come in."""
    store = squad._store
    frames = {
        "athletes": store.athletes(), "efforts": store.efforts(), "sessions": store.sessions(),
        "maxima": store.rep_maxima(), "days": store.day_states(), "labels": store.labels(),
        "limits": store.agreed_limits(), "ramps": store.planned_ramps(), "said": weeks_said(squad.check_ins()),
        "handed over": store.consents().filter(pl.col("withdrawn_at").is_null() & (pl.col("purpose") == PURPOSE)),
    }  # fmt: skip
    told: dict[str, object] = {name: frame.to_dicts() for name, frame in frames.items()}
    own = {key: value for key, value in squad.settings().items() if value}
    words = {one.purpose: one.state == "given" for one in squad.agreements("aled")}
    people = sorted((one.name, one.role) for one in squad.accounts.everybody())
    return {**told, "settings": own, "names": squad.club_names(), "movements": squad.own_movements(), "words": words,
            "people": people, "links": squad.accounts.links()}  # fmt: skip


def test_every_kind_of_write_is_in_the_table() -> None:
    lines = [{name for name in TAKEN_BACK if ":" not in name}, set(SAID_AGAIN), set(ELSEWHERE), FOR_GOOD]
    lines += [NO_WRITE_OF_ITS_OWN, READS]
    together = [name for line in lines for name in line]
    assert sorted(together) == sorted(MAY_ASK), "a new call is a reading, or has its way back"


@pytest.mark.parametrize("where", ELSEWHERE.values())
def test_what_is_shown_elsewhere_is_there(where: str) -> None:
    path, _, name = where.partition("::")
    assert f"def {name}(" in (Path(__file__).parents[1] / path).read_text(encoding="utf-8")


@pytest.mark.parametrize("name", TAKEN_BACK)
def test_what_is_taken_back_is_as_before(squad: Squad, tmp_path: Path, name: str) -> None:
    write, back = TAKEN_BACK[name]
    if name.startswith("accounts"):
        squad.accounts.add("Rowena", "owner", "four dry ropes on deck")
        squad.accounts.add("Carys", "coach", "kettle beside the winch")
    if name == "say_no":
        squad.agree("aled", ANSWERS, given_by="Aled")
    before, entries = stands(squad), len(squad._store.trail())
    key = write(squad, tmp_path)
    assert stands(squad) != before, "something was written"
    back(squad, key)
    assert stands(squad) == before
    assert len(squad._store.trail()) >= entries + 2, "both stay in the trail"


@pytest.mark.parametrize("name", SAID_AGAIN)
def test_the_last_word_stands_and_the_earlier_ones_stay(squad: Squad, tmp_path: Path, name: str) -> None:
    say, table = SAID_AGAIN[name]
    say(squad, tmp_path, True)
    first = last_word(squad, name)
    say(squad, tmp_path, False)
    assert last_word(squad, name) != first
    assert len([entry for entry in squad._store.trail() if "added" in entry.did.get(table, {})]) >= 2
    assert all("removed" not in entry.did.get(table, {}) for entry in squad._store.trail())


def last_word(squad: Squad, name: str) -> object:
    """What stands of a kind of word."""
    if name == "note_guardian":
        return squad.guardian("aled")
    if name == "record_decision":
        return squad.decisions()["option"][-1]
    if name == "decide_on_complaint":
        return squad.complaint_decisions("bridie")["option"][-1]
    return weeks_said(squad.check_ins("aled")).to_dicts()


def test_a_session_that_is_logged_anew_keeps_its_old_version(tmp_path: Path) -> None:
    """An edit is the import taken back and the mended file brought; the former file stays whole and comes back."""
    with crew() as squad:
        before, old = squad._store.efforts(), squad.imports()["import_id"][-1]
        squad.undo(old)
        squad.import_log(file(tmp_path, "log.csv", LOG.replace("4,6,80", "4,6,85")))
        assert 85.0 in squad._store.efforts()["load_kg"]
        assert squad.original(old) == LOG.encode()
        assert squad.import_rows(old).height == before.height == 4
        squad.undo(squad.imports()["import_id"][-1])
        squad.import_log(file(tmp_path, "log.csv", LOG))
        assert squad._store.efforts().drop("import_id").equals(before.drop("import_id"))
