"""Rounds of an open clock: as the board says, from earlier scores, or from the catalogue's paces."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from keelmark.catalogue import Catalogue
from keelmark.contracts.frames import SESSION
from keelmark.notation import Context, read
from keelmark.plan import PlanDoser, reference_people
from keelmark.plan.own_pace import paces_of
from keelmark.plan.pace import Span
from keelmark.plan.rounds import Pace, with_expected, written_rounds
from keelmark.plan.session_work import session_work

BOARD = "AMRAP 11\n10 air squats\n10 push-ups"
"""One round is 10 x 1.7 + 10 x 1.6 = 33 s of work by the catalogue, 49.5 s with changing over; 660 s hold 13 1/3."""
DAY = dt.date(2026, 6, 1)


def _written(text: str, catalogue: Catalogue) -> dict[int, Span]:
    return written_rounds(text, read(text, Context(), catalogue).tree)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        (BOARD + "\nExpect 6 rounds", {0: (6, 6, 6)}),
        ("AMRAP 11 (expect 5 to 7 rounds)\n10 air squats", {0: (6, 5, 7)}),
        ("AMRAP 11\nErwartet: 5-8 Runden\n10 air squats", {0: (6.5, 5, 8)}),
        ("AMRAP 11\n10 air squats\nEspera 4,5 rondas\n\nAMRAP 8\n10 push-ups", {0: (4.5, 4.5, 4.5)}),
        ("AMRAP 11\n10 air squats\n\nAMRAP 8\nExpect 9 rounds\n10 push-ups", {1: (9, 9, 9)}),
        ("A) 5 rounds\n10 air squats\n\nB) AMRAP 8, about 9 rounds\n10 push-ups", {1: (9, 9, 9)}),
        ("5 rounds\n10 air squats\nExpect 9 rounds", {}),
        (BOARD + "\nExpect 0 rounds", {}),
        (BOARD + "\nExpect 7 to 5 rounds", {}),
    ],
)
def test_rounds_that_the_board_tells(text: str, found: dict[int, tuple[float, ...]], catalogue: Catalogue) -> None:
    assert {part: tuple(span) for part, span in _written(text, catalogue).items()} == found


def test_written_rounds_take_the_place_of_paces(catalogue: Catalogue) -> None:
    doser = PlanDoser(catalogue, reference_people())
    person = doser.people.persons[0]
    plain, told = (doser.dose(text, person) for text in (BOARD, BOARD + "\nExpect 6 rounds"))
    assert plain.work.parts[0].basis == "paces"
    assert plain.total().of("knee_reps") == pytest.approx(10 * 660 / 49.5)
    assert told.work.parts[0].basis == "written"
    assert told.total().at("knee_reps") == (60, 60, 60, 0)


@pytest.mark.parametrize(
    ("before", "rounds", "after"),
    [
        (BOARD, 6, BOARD + "\nGoal: 6 rounds"),
        (BOARD + "\nGoal: 6 rounds", 7.5, BOARD + "\nGoal: 7.5 rounds"),
        (BOARD + "\nExpect 6 rounds\nGet set", 7, BOARD + "\nGoal: 7 rounds\nGet set"),
        (BOARD + "\nExpect 6 rounds", None, BOARD),
        ("AMRAP 11 (expect 5 to 7 rounds)\n10 air squats", None, "AMRAP 11\n10 air squats"),
        ("AMRAP 11 (expect 5 to 7 rounds)\n10 air squats", 6, "AMRAP 11\n10 air squats\nGoal: 6 rounds"),
        (BOARD, None, BOARD),
    ],
)
def test_a_number_typed_beside_the_table_goes_into_the_text(
    before: str, rounds: float | None, after: str, catalogue: Catalogue
) -> None:
    assert with_expected(before, read(before, Context(), catalogue).tree, 0, rounds) == after


def test_the_note_is_no_work_for_whoever_reads_the_board(catalogue: Catalogue) -> None:
    """A score of six rounds is six rounds, with the note or without it."""
    note = with_expected(BOARD, read(BOARD, Context(), catalogue).tree, 0, 6)
    with_note, without = (read(text, Context(result="6+0"), catalogue).efforts for text in (note, BOARD))
    assert with_note == without


def test_of_two_open_parts_each_has_its_own_line(catalogue: Catalogue) -> None:
    text = "A) AMRAP 11\n10 air squats\n\nB) AMRAP 8\n10 push-ups"
    for part, rounds in ((1, 9.0), (0, 6.0)):
        text = with_expected(text, read(text, Context(), catalogue).tree, part, rounds)
    assert {part: span.value for part, span in _written(text, catalogue).items()} == {0: 6, 1: 9}


def test_a_team_in_turns_works_half_of_the_clock(catalogue: Catalogue) -> None:
    """Derived: two go in turns, so the team's rounds are those of one who never rests: 660 / 49.5; each does half."""
    alone = session_work(BOARD, Context(), catalogue)
    shared = session_work("Teams of 2, " + BOARD, Context(), catalogue)
    assert shared.parts[0].rounds == alone.parts[0].rounds
    assert [row.work.amount for row in shared.rows] == pytest.approx([row.work.amount / 2 for row in alone.rows])


def _scores(results: list[str], athlete: str = "ada") -> list[dict[str, object]]:
    return [
        {
            "session_id": f"{athlete}-{at}", "athlete_id": athlete, "date": DAY - dt.timedelta(weeks=at + 1),
            "whiteboard": BOARD, "result": result, "import_id": "1",
        }
        for at, result in enumerate(results)
    ]  # fmt: skip


def test_scores_tell_an_athletes_pace(catalogue: Catalogue) -> None:
    """Derived: 8, 10 and 12 rounds of 49.5 s under 660 s are 0.6, 0.75 and 0.9 of the catalogue's paces."""
    sessions = SESSION.build([*_scores(["8+0", "10+0", "12+0"]), *_scores(["10+0"], "bo")])
    found = paces_of(sessions, {"ada": Context(), "bo": Context(), "cy": Context()}, catalogue, DAY)
    assert found["ada"] == Pace(pytest.approx(0.75), pytest.approx(0.6), pytest.approx(0.9), 3, "own")
    assert found["bo"] == found["cy"] == Pace(pytest.approx(0.75), pytest.approx(0.6), pytest.approx(0.9), 4, "squad")
    work = session_work(BOARD, Context(), catalogue, found["ada"])
    assert work.parts[0].basis == "own"
    assert work.parts[0].rounds == Span(pytest.approx(10), pytest.approx(8), pytest.approx(12))


def test_few_old_or_unread_scores_tell_nothing(catalogue: Catalogue) -> None:
    contexts = {"ada": Context()}
    assert paces_of(SESSION.build(_scores(["8+0", "10+0"])), contexts, catalogue, DAY) == {}
    assert paces_of(SESSION.build(_scores(["8+0", "10+0", "12+0"])), contexts, catalogue, dt.date(2026, 12, 31)) == {}
    assert paces_of(SESSION.build(_scores(["8+0", "10+0", "felt good"])), contexts, catalogue, DAY) == {}


def test_a_pace_changes_the_dose_of_its_athlete_alone(catalogue: Catalogue) -> None:
    doser = PlanDoser(catalogue, reference_people())
    usual, other = doser.people.persons
    quick = replace(other, pace=Pace(2.0, 1.8, 2.2, 5, "own"))
    one, two = (doser.dose(BOARD, person).total().of("knee_reps") for person in (usual, quick))
    assert two == pytest.approx(2 * one)
