"""Two files that tell of the same work count it once."""

from __future__ import annotations

import pytest

from keelmark.store import Store
from tests.store.made import effort, efforts, save, session, sessions, squad


@pytest.fixture
def filled(store: Store) -> Store:
    store.save_athletes(squad("bo", "ida"))
    return store


def _loads(store: Store) -> list[float]:
    return sorted(store.efforts()["load_kg"].to_list())


def test_a_longer_export_adds_only_what_is_new(filled: Store) -> None:
    save(filled, "week 1", efforts=efforts(effort(load=90), effort(load=100)), sessions=sessions(session()))
    longer = efforts(effort(load=90), effort(load=100), effort(load=110), effort("ida", load=60))
    outcome = save(filled, "week 2", efforts=longer, sessions=sessions(session(), session("ida")))
    assert (outcome.efforts, outcome.already_stored, outcome.grown_sessions) == (2, 2, 1)
    assert _loads(filled) == [60, 90, 100, 110]


def test_place_in_file_and_session_does_not_make_other_work(filled: Store) -> None:
    save(filled, "one", efforts=efforts(effort(order=0, source_row=1, text="a")))
    outcome = save(filled, "two", efforts=efforts(effort(order=3, source_row=8, text="b")))
    assert (outcome.efforts, outcome.already_stored) == (0, 1)


@pytest.mark.parametrize(
    "other",
    [{"sets": 4}, {"reps": 6.0}, {"load": 100.5}, {"movement": "sumo_deadlift"}, {"session_id": "bo/evening"},
     {"rpe": 8.0}, {"block": "B"}, {"version": "scaled"}, {"athlete": "ida"}, {"share_low": 0.5}],
)  # fmt: skip
def test_any_difference_in_the_work_is_other_work(filled: Store, other: dict[str, object]) -> None:
    save(filled, "one", efforts=efforts(effort()))
    assert save(filled, "two", efforts=efforts(effort(**other))).already_stored == 0  # type: ignore[arg-type]
    assert filled.efforts().height == 2


def test_twice_in_one_file_is_two_pieces_of_work(filled: Store) -> None:
    save(filled, "one", efforts=efforts(effort(), effort()))
    outcome = save(filled, "two", efforts=efforts(effort(), effort(), effort()))
    assert (outcome.efforts, outcome.already_stored) == (1, 2)
    assert filled.efforts().height == 3


def test_undoing_the_first_file_leaves_what_the_second_told_too(filled: Store) -> None:
    first = save(filled, "one", efforts=efforts(effort(load=90), effort(load=100)))
    second = save(filled, "two", efforts=efforts(effort(load=100), effort(load=110)))
    filled.undo_import(first.import_id)
    assert _loads(filled) == [100, 110]
    assert set(filled.efforts()["import_id"]) == {second.import_id}


def test_undoing_the_second_file_leaves_the_first(filled: Store) -> None:
    save(filled, "one", efforts=efforts(effort(load=90), effort(load=100)))
    second = save(filled, "two", efforts=efforts(effort(load=100), effort(load=110)))
    filled.undo_import(second.import_id)
    assert _loads(filled) == [90, 100]


def test_a_session_told_twice_takes_the_newest_word_for_each_field(filled: Store) -> None:
    save(filled, "one", sessions=sessions(session(session_rpe=6.0, label="evening")))
    save(filled, "two", sessions=sessions(session(session_rpe=7.0, duration_min=60.0)))
    told = filled.sessions().row(0, named=True)
    assert (told["session_rpe"], told["duration_min"], told["label"]) == (7.0, 60.0, "evening")
    filled.undo_import("3")
    told = filled.sessions().row(0, named=True)
    assert (told["session_rpe"], told["duration_min"], told["label"]) == (6.0, None, "evening")
