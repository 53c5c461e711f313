"""Each write leaves an entry in the trail, and a trail that was tampered with is found out."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest
import sqlalchemy as sa

from keelmark.contracts.errors import StoreError
from keelmark.store import Store, acting_as, back_up, read_backup, verify
from tests.store.made import day_state, effort, efforts, save, squad


def _faults(store: Store) -> str:
    return " ".join(fault for verdict in verify(store) for fault in verdict.faults)


def test_an_entry_says_who_did_how_much_of_what(store: Store) -> None:
    with acting_as("account 7"):
        first = save(store, athletes=squad("bo"), efforts=efforts(effort(), effort(movement="clean")))
    store.record_check_in("bo", "2026-W02", scale_id="own/1", answers={})
    store.undo_import(first.import_id)
    one, two, three = store.trail()
    assert (one.who, two.who) == ("account 7", "somebody at this machine")
    assert one.did["effort"] == {"added": 2}
    assert one.did["import"]["added"] == 1
    assert two.did == {"health_check_in": {"added": 1}}
    assert three.did["effort"] == {"removed": 2}
    assert [entry.number for entry in store.trail(last=2)] == [2, 3]
    assert _faults(store) == ""


def test_an_entry_holds_no_name_and_no_answer(store: Store) -> None:
    save(store, athletes=squad("bosse"), efforts=efforts(effort("bosse", text="secret words")))
    store.record_check_in("bosse", "2026-W02", scale_id="own/1", answers={"felt": "secret words"}, area="knee")
    said = json.dumps([entry.did for entry in store.trail()])
    assert not [word for word in ("bosse", "Bosse", "secret", "knee", "2026-W02") if word in said]


def test_a_write_that_fails_leaves_no_entry(store: Store) -> None:
    with pytest.raises(StoreError):
        save(store, efforts=efforts(effort("nobody")))
    assert store.trail() == []


def test_the_hash_is_that_of_the_entry_and_the_one_before(store: Store) -> None:
    store.save_athletes(squad("bo"))
    store.set_day_states(day_state("rest"))
    _, two = store.trail()
    moment = two.at.isoformat(timespec="microseconds")
    said = [2, moment, two.who, json.dumps(two.did, sort_keys=True), two.before]
    assert two.hash == hashlib.sha256(json.dumps(said).encode()).hexdigest()


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("UPDATE trail SET who = 'account 9' WHERE number = 2", "entry 2 of the trail was changed"),
        ("UPDATE trail SET did = '{}' WHERE number = 1", "entry 1 of the trail was changed"),
        ("UPDATE trail SET at = '2020-01-01 00:00:00' WHERE number = 3", "entry 3 of the trail was changed"),
        ("DELETE FROM trail WHERE number = 2", "entries 2 to 2 of the trail are missing"),
        ("DELETE FROM trail WHERE number = 1", "entries 1 to 1 of the trail are missing"),
    ],
)
def test_tampering_is_found_out(store: Store, statement: str, told: str) -> None:
    store.save_athletes(squad("bo"))
    store.set_day_states(day_state("rest"))
    store.set_setting("quiet_days", "rest")
    with store._engine.begin() as connection:
        connection.execute(sa.text(statement))
    assert told in _faults(store)


def test_a_trail_made_anew_differs_from_that_of_an_earlier_backup(tmp_path: Path) -> None:
    with Store.open(tmp_path / "squad.db") as store:
        store.save_athletes(squad("bo"))
        store.set_day_states(day_state("rest"))
        before = _trail_digest(store, tmp_path / "before.zip")
        with store._engine.begin() as connection:
            connection.execute(sa.text("DELETE FROM trail"))
        store.set_day_states(day_state("ill"))
        store.set_day_states(day_state("rest"))
        assert _faults(store) == "", "the chain alone cannot know"
        assert _trail_digest(store, tmp_path / "after.zip") != before


def _trail_digest(store: Store, file: Path) -> str:
    back_up(store, file)
    return next(table.digest for table in read_backup(file).tables if table.name == "trail")
