"""An import is stored whole, once, and can be taken back."""

from __future__ import annotations

import hashlib
import json
from datetime import UTC, datetime

import polars as pl
import pytest
from polars.testing import assert_frame_equal

from keelmark.contracts.errors import FrameError, StoreError
from keelmark.contracts.frames import EFFORT
from keelmark.store import Store
from tests.store.made import MONDAY, effort, efforts, save, session, sessions, squad, verdicts


@pytest.fixture
def filled(store: Store) -> Store:
    store.save_athletes(squad("bo", "ida"))
    return store


def test_what_was_saved_is_read_back_unchanged_but_for_its_import(filled: Store) -> None:
    brought = efforts(
        effort(block="strength", height_cm=22.5, rpe=7.5, side="both", source_row=4, source_line=9, text="Kreuzheben"),
        effort("ida", "run", None, reps=None, distance_m=400.0, load_basis="none"),
    )
    outcome = save(filled, efforts=brought)
    assert_frame_equal(filled.efforts(), brought.with_columns(pl.lit(outcome.import_id).alias("import_id")))


def test_the_same_content_twice_is_stored_once(filled: Store) -> None:
    first = save(filled, efforts=efforts(effort()), counts={"rows": 1, "accepted": 1})
    revision = filled.revision
    again = save(filled, efforts=efforts(effort()), counts={"rows": 1, "accepted": 1})
    assert (again.import_id, again.repeated, again.counts) == (first.import_id, True, {"rows": 1, "accepted": 1})
    assert (again.efforts, again.already_stored) == (first.efforts, first.already_stored) == (1, 0)
    assert filled.efforts().height == 1
    assert filled.imports()["kind"].to_list() == ["hand", "log"]
    assert filled.revision == revision


def test_the_same_bytes_read_with_other_options_are_another_import(filled: Store) -> None:
    first = save(filled, efforts=efforts(effort()), options={"load": "kg"})
    second = save(filled, efforts=efforts(effort(load=45.359237)), options={"load": "lb"})
    assert first.import_id != second.import_id
    assert filled.original(first.import_id) == filled.original(second.import_id) == b"a log"


def test_undo_takes_rows_out_and_keeps_record_verdicts_and_bytes(filled: Store) -> None:
    rows = verdicts(
        {"verdict": "accepted"}, {"verdict": "quarantined", "reasons": ["no date", "no name"], "cells": ";;3"}
    )
    saved = save(filled, efforts=efforts(effort()), sessions=sessions(session()), rows=rows)
    filled.undo_import(saved.import_id)
    assert filled.efforts().is_empty()
    assert filled.sessions().is_empty()
    assert filled.imports()["undone_at"].is_null().to_list() == [True, False]
    assert filled.original(saved.import_id) == b"a log"
    assert_frame_equal(filled.import_rows(saved.import_id), rows)


def test_after_undo_the_same_content_can_be_saved_again(filled: Store) -> None:
    first = save(filled, efforts=efforts(effort()))
    filled.undo_import(first.import_id)
    again = save(filled, efforts=efforts(effort()))
    assert not again.repeated
    assert filled.efforts()["import_id"].to_list() == [again.import_id]
    assert filled.imports().height == 3


def test_undo_twice_is_refused(filled: Store) -> None:
    saved = save(filled, efforts=efforts(effort()))
    filled.undo_import(saved.import_id)
    with pytest.raises(StoreError, match=r"import '2' was undone on .* UTC.*import the file again"):
        filled.undo_import(saved.import_id)


@pytest.mark.parametrize("key", ["99", "first", "", "-1", "9" * 40, "²"])
def test_an_unknown_import_is_named(filled: Store, key: str) -> None:
    for ask in (filled.undo_import, filled.original, filled.import_rows):
        with pytest.raises(StoreError, match=r"there is no import '.*What to do: look the key up"):
            ask(key)


def test_an_edit_by_hand_has_no_original(filled: Store) -> None:
    with pytest.raises(StoreError, match="import '1' was an edit by hand"):
        filled.original("1")


def test_bytes_that_changed_while_they_were_read_are_refused(filled: Store) -> None:
    before = filled.revision
    with pytest.raises(StoreError, match=r"not those that were read.*read it again"):
        filled.save_import(kind="log", file="a.csv", sha256=hashlib.sha256(b"old").hexdigest(), original=b"new")
    assert filled.revision == before
    assert filled.imports().height == 1


def test_rows_of_strangers_are_refused_and_nothing_is_stored(filled: Store) -> None:
    with pytest.raises(StoreError, match=r"not in the squad: mads, zoe.*add them to the roster"):
        save(filled, efforts=efforts(effort(), effort("zoe"), effort("mads")))
    assert filled.efforts().is_empty()
    assert filled.imports().height == 1


def test_people_may_come_with_their_rows(store: Store) -> None:
    save(store, athletes=squad("zoe"), efforts=efforts(effort("zoe")))
    assert store.athletes()["name"].to_list() == ["Zoe"]


def test_a_fault_in_the_last_table_leaves_nothing_behind(filled: Store) -> None:
    before = filled.revision
    twice = sessions(session(), session())
    with pytest.raises(StoreError, match="the database refused"):
        save(filled, efforts=efforts(effort()), sessions=twice)
    assert filled.revision == before
    assert filled.imports().height == 1
    assert filled.efforts().is_empty()


@pytest.mark.parametrize("odd", [float("nan"), float("inf"), -float("inf")])
def test_a_figure_that_is_no_number_is_refused(filled: Store, odd: float) -> None:
    with pytest.raises(StoreError, match=r"the figure '(nan|inf|-inf)' in column load_kg"):
        save(filled, efforts=efforts(effort(load=odd)))


def test_text_that_a_database_cannot_hold_is_refused(filled: Store) -> None:
    with pytest.raises(StoreError, match="a sign with code 0 in column text"):
        save(filled, efforts=efforts(effort(text="row\x00ing")))


def test_a_table_of_another_shape_is_refused(filled: Store) -> None:
    with pytest.raises(FrameError, match="columns missing"):
        save(filled, efforts=efforts(effort()).drop("sets"))


def test_efforts_are_picked_by_athlete_and_days(filled: Store) -> None:
    days = [MONDAY.replace(day=day) for day in (5, 6, 7)]
    rows = [effort(who, date=day, session_id=f"{who}/{day}") for who in ("bo", "ida") for day in days]
    save(filled, efforts=efforts(*rows), sessions=sessions(*(session(date=d, session_id=f"bo/{d}") for d in days)))
    assert filled.efforts("ida")["date"].to_list() == days
    assert filled.efforts(since=days[1])["date"].to_list() == [*days[1:], *days[1:]]
    assert filled.efforts("bo", since=days[1], until=days[1])["session_id"].to_list() == [f"bo/{days[1]}"]
    assert filled.sessions("bo", until=days[1])["date"].to_list() == days[:2]
    assert_frame_equal(filled.efforts("nobody"), EFFORT.empty())


def test_the_ledger_tells_when_and_what(address: str) -> None:
    noon = datetime(2026, 3, 1, 12, 0, 0, 5, tzinfo=UTC)
    with Store.open(address, clock=lambda: noon) as store:
        save(store, athletes=squad("bo"), efforts=efforts(effort(), effort()), counts={"rows": 3, "quarantined": 1})
        ledger = store.imports().row(0, named=True)
    assert (ledger["kind"], ledger["file"], ledger["created_at"]) == ("log", "a log.csv", noon)
    counts = json.loads(ledger["counts"])
    assert (counts["rows"], counts["quarantined"], counts["stored"]["efforts"]) == (3, 1, 2)


def test_each_write_makes_the_revision_grow(filled: Store) -> None:
    seen = [filled.revision]
    for write in (
        lambda: save(filled, efforts=efforts(effort())),
        lambda: filled.set_setting("quiet_days", "rest"),
        lambda: filled.set_label(MONDAY, MONDAY, "storm"),
        lambda: filled.record_decision("n", figures={}, rule_version="1"),
        lambda: filled.record_check_in("bo", "2026-W02", scale_id="own/1", answers={}),
        lambda: filled.undo_import("2"),
    ):
        write()
        seen.append(filled.revision)
    assert seen == sorted(set(seen))
    filled.efforts()
    assert filled.revision == seen[-1]


def test_original_bytes_survive_whatever_they_are(filled: Store) -> None:
    original = bytes(range(256)) * 300
    digest = hashlib.sha256(original).hexdigest()
    saved = filled.save_import(kind="log", file="x", sha256=digest, original=original)
    assert filled.original(saved.import_id) == original


def test_cells_with_signs_that_no_database_keeps_are_still_shown(filled: Store) -> None:
    rows = verdicts({"verdict": "quarantined", "reasons": ["no date"], "cells": "row\x00ing | 12"})
    saved = save(filled, rows=rows)
    assert filled.import_rows(saved.import_id)["cells"].to_list() == ["row␀ing | 12"]


def test_an_unknown_kind_of_import_is_refused(filled: Store) -> None:
    with pytest.raises(StoreError, match=r"'diary' is no kind of import\. Wanted: one of log, roster"):
        save(filled, kind="diary")
