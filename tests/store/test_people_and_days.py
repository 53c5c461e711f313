"""People, maxima, days, labels and settings: what was said last stands, and can be taken back."""

from __future__ import annotations

from datetime import date

import pytest

from keelmark.contracts.errors import StoreError
from keelmark.contracts.frames import ATHLETE
from keelmark.store import Store
from tests.store.made import MONDAY, day_state, effort, efforts, rep_maximum, save, squad


def test_a_roster_adds_what_it_states_and_clears_nothing(store: Store) -> None:
    store.save_athletes(ATHLETE.build([{"athlete_id": "bo", "name": "Bo", "body_mass_kg": 82.0, "sex": "male"}]))
    roster = ATHLETE.build([{"athlete_id": "bo", "name": "Bo", "stature_cm": 181.0}])
    saved = save(store, "roster", kind="roster", athletes=roster)
    bo = store.athletes().row(0, named=True)
    assert (bo["body_mass_kg"], bo["stature_cm"], bo["sex"]) == (82.0, 181.0, "male")
    store.undo_import(saved.import_id)
    assert store.athletes()["stature_cm"].to_list() == [None]


def test_an_edit_by_hand_clears_a_field_that_it_leaves_empty(store: Store) -> None:
    store.save_athletes(ATHLETE.build([{"athlete_id": "bo", "name": "Bo", "left": date(2026, 2, 1)}]))
    edit = store.save_athletes(squad("bo"))
    assert store.athletes()["left"].to_list() == [None]
    store.undo_import(edit)
    assert store.athletes()["left"].to_list() == [date(2026, 2, 1)]


def test_people_in_use_stay_known(store: Store) -> None:
    both = save(store, "log with its people", athletes=squad("bo", "ida"), efforts=efforts(effort("ida")))
    days = store.set_day_states(day_state("rest"))
    store.undo_import(both.import_id)
    assert store.athletes()["name"].to_list() == ["Bo"], "Bo has a day, Ida has nothing any more"
    store.undo_import(days)
    assert store.athletes().is_empty()


def test_what_an_undone_roster_said_does_not_linger(store: Store) -> None:
    heavy = ATHLETE.build([{"athlete_id": "bo", "name": "Bo", "body_mass_kg": 820.0}])
    slip = save(store, "roster", kind="roster", athletes=heavy)
    store.set_day_states(day_state("rest"))
    store.undo_import(slip.import_id)
    save(store, "better roster", kind="roster", athletes=squad("bo"))
    assert store.athletes()["body_mass_kg"].to_list() == [None]


def test_a_person_with_a_check_in_stays_known(store: Store) -> None:
    roster = save(store, "roster", kind="roster", athletes=squad("bo", "ida"))
    store.record_check_in("bo", "2026-W02", scale_id="own/1", answers={})
    store.undo_import(roster.import_id)
    assert store.athletes()["athlete_id"].to_list() == ["bo"]


def test_the_maximum_stored_last_for_a_day_stands(store: Store) -> None:
    store.save_athletes(squad("bo"))
    later = date(2026, 2, 2)
    store.save_rep_maxima(rep_maximum(140.0))
    store.save_rep_maxima(rep_maximum(150.0, later))
    edit = store.save_rep_maxima(rep_maximum(142.5))
    assert store.rep_maxima().select("date", "load_kg").rows() == [(MONDAY, 142.5), (later, 150.0)]
    store.undo_import(edit)
    assert store.rep_maxima()["load_kg"].to_list() == [140.0, 150.0]


def test_the_state_said_last_for_a_day_stands(store: Store) -> None:
    store.save_athletes(squad("bo"))
    save(store, "days", kind="days", day_states=day_state("rest"))
    edit = store.set_day_states(day_state("ill"))
    assert store.day_states()["state"].to_list() == ["ill"]
    store.undo_import(edit)
    assert store.day_states()["state"].to_list() == ["rest"]


def test_labels_stand_in_order_and_can_be_taken_away(store: Store) -> None:
    storm = store.set_label(date(2026, 1, 12), date(2026, 1, 25), "storm fortnight")
    store.set_label(date(2025, 12, 22), date(2026, 1, 4), "holidays", group="crew A")
    assert store.labels().select("label", "group").rows() == [("holidays", "crew A"), ("storm fortnight", None)]
    store.undo_import(storm)
    assert store.labels()["label"].to_list() == ["holidays"]


def test_a_label_that_ends_before_it_begins_is_refused(store: Store) -> None:
    with pytest.raises(StoreError, match="label 'storm' ends on 2026-01-04, before it begins on 2026-01-05"):
        store.set_label(MONDAY, date(2026, 1, 4), "storm")


@pytest.mark.parametrize("value", ["rest", 3, 0.05, True, None, ["monday"], {"share": 0.05, "ä": "ö"}])
def test_settings_come_back_as_they_were_set(store: Store, value: object) -> None:
    store.set_setting("some", "other")
    store.set_setting("some", value)
    assert store.settings() == {"some": value}


def test_decisions_keep_the_figures_they_were_made_on(store: Store) -> None:
    store.record_decision("bo/2026-W02/grip_s", figures={"value": 310.5, "upper": 240.0}, rule_version="1", useful=True)
    store.record_decision(
        "bo/2026-W02/grip_s", figures={"value": 310.5}, rule_version="1", option="spread", reason="regatta week",
        owner="Ida", athlete_view="fine", review_date=date(2026, 1, 19),
    )  # fmt: skip
    told = store.decisions()
    assert told["figures"].to_list() == ['{"upper": 240.0, "value": 310.5}', '{"value": 310.5}']
    assert told.select("useful", "option", "review_date").rows() == [
        (True, None, None),
        (None, "spread", date(2026, 1, 19)),
    ]


def test_check_ins_are_kept_apart_and_in_order(store: Store) -> None:
    store.save_athletes(squad("bo", "ida"))
    store.record_check_in("bo", "2026-W02", scale_id="own/1", answers={"part": 0}, severity=0.0)
    store.record_check_in("ida", "2026-W02", scale_id="own/1", answers={"part": 8}, severity=22.0, area="left shoulder")
    assert store.check_ins("ida").select("area", "severity", "answers").rows() == [
        ("left shoulder", 22.0, '{"part": 8}')
    ]
    assert store.check_ins()["athlete_id"].to_list() == ["bo", "ida"]
    with pytest.raises(StoreError, match="not in the squad: zoe"):
        store.record_check_in("zoe", "2026-W02", scale_id="own/1", answers={})


def test_health_limits_are_kept_as_told(store: Store) -> None:
    store.save_athletes(squad("bo", "ida"))
    store.record_health_limit("bo", "no landings", date(2026, 1, 5), date_to=date(2026, 1, 18), area="left ankle")
    store.record_health_limit("ida", "no overhead work", date(2026, 1, 6))
    told = store.health_limits().select("athlete_id", "limit", "date_to", "area").rows()
    assert told == [("bo", "no landings", date(2026, 1, 18), "left ankle"), ("ida", "no overhead work", None, None)]
    assert store.health_limits("ida")["date_from"].to_list() == [date(2026, 1, 6)]
    with pytest.raises(StoreError, match="health limit: rows of people who are not in the squad: zoe"):
        store.record_health_limit("zoe", "no running", date(2026, 1, 6))


def test_an_edit_that_was_taken_back_can_be_put_back(store: Store) -> None:
    """People, a maximum, a day and a label come back to the same, in the order in which they were said."""
    people = ATHLETE.build([{"athlete_id": "bo", "name": "Bo", "body_mass_kg": 82.5, "joined": MONDAY}])
    edits = [
        store.save_athletes(people),
        store.save_rep_maxima(rep_maximum(140.0)),
        store.set_day_states(day_state("ill")),
        store.set_day_states(day_state("rest")),
        store.set_label(MONDAY, MONDAY, "storm", group="crew A"),
    ]

    def told() -> list[object]:
        frames = (store.athletes(), store.rep_maxima(), store.day_states(), store.labels(), store.imports())
        return [frame.rows() for frame in frames]

    before = told()
    for key in reversed(edits):
        store.undo_import(key)
    assert store.athletes().is_empty()
    for key in edits:
        store.redo_import(key)
    assert told() == before
    store.undo_import(edits[2])
    store.redo_import(edits[2])
    assert store.day_states()["state"].to_list() == ["rest"], "what was said later still counts"


def test_what_cannot_be_put_back_is_told(store: Store) -> None:
    roster = save(store, "roster", kind="roster", athletes=squad("bo"))
    days = store.set_day_states(day_state("ill"))
    with pytest.raises(StoreError, match="import '2' stands"):
        store.redo_import(days)
    store.undo_import(days)
    with pytest.raises(StoreError, match=r"import '2' was undone on .* keelmark redo 2"):
        store.undo_import(days)
    store.undo_import(roster.import_id)
    with pytest.raises(StoreError, match=r"import '1' came from a file or text.*bring the file or text again"):
        store.redo_import(roster.import_id)
    with pytest.raises(StoreError, match="not in the squad: bo"):
        store.redo_import(days)
    with pytest.raises(StoreError, match="there is no import '9'"):
        store.redo_import("9")
    assert store.day_states().is_empty()
    save(store, "roster", kind="roster", athletes=squad("bo"))
    store.redo_import(days)
    assert store.day_states()["state"].to_list() == ["ill"]


def test_rows_of_somebody_who_was_erased_are_not_put_back(store: Store) -> None:
    store.save_athletes(squad("bo", "ida"))
    edit = store.set_day_states(day_state("ill", athlete="bo"))
    store.undo_import(edit)
    store.erase_athlete("bo")
    with pytest.raises(StoreError, match=r"import '2' was taken back, and its rows are no longer kept.*enter it again"):
        store.redo_import(edit)
