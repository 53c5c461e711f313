"""The exact form of any tree reads back to the same tree."""

import logging

import lark
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.notation.trees import prescriptions

from keelmark.catalogue import catalogue_with, shipped_catalogue
from keelmark.notation import read
from keelmark.notation.exact import grammar_of, read_exact
from keelmark.notation.render import laid_out, render
from keelmark.notation.tree import Prescription

CATALOGUE = shipped_catalogue()
OWN = {"ours.toml": '[davit_haul]\nlike = ["rope_pull"]\nnames.en = ["davit haul", "davit hauls"]\n'}


@settings(max_examples=150, deadline=None)
@given(prescriptions)
def test_generated_tree_reads_back(tree: Prescription) -> None:
    """Written in the exact form and read again, a tree is the same, on one line or laid out on several."""
    assert read_exact(render(tree), CATALOGUE) == tree
    assert read_exact(laid_out(tree), CATALOGUE) == tree


@settings(max_examples=100, deadline=None)
@given(st.lists(prescriptions, min_size=2, max_size=2, unique=True))
def test_different_trees_are_written_differently(trees: list[Prescription]) -> None:
    """No two trees share one text."""
    assert render(trees[0]) != render(trees[1])


@settings(max_examples=30, deadline=None)
@given(prescriptions, st.sampled_from([None, "7+12", "11:52", "cap 30 reps", "12,10,8", "stopped in round 3"]))
def test_generated_tree_can_be_done(tree: Prescription, result: str | None) -> None:
    """Whatever the tree and the score, the work done is well formed and keeps its bounds in order."""
    reading = read(render(tree), {"result": result, "bodyweight_kg": 80.0})
    assert reading.tree == tree
    for row in reading.efforts:
        assert row.low <= row.amount * (1 + 1e-9)
        assert row.amount <= row.high * (1 + 1e-9)
        assert row.sets >= 1
        assert (row.load_basis == "external") == (row.load_kg is not None)


BOARDS = [
    ("5x5 back squat @ 100 kg, rest 2:00", "5 x 5 back squat at 100 kg."),
    (
        "For time (cap 14 min):\n24-18-12\nThrusters 40/27.5 kg\nBox jumps 24/20 in",
        "for time, cap 14 min: 24-18-12: thruster at 40/27.5 kg, box jump at 24/20 in.",
    ),
    (
        "80 box jumps 60 cm\nthen 8 rounds: 12 deadlifts 80 kg, 15 toes to bar",
        "80 box jump at 60 cm; then 8 rounds: 12 deadlift at 80 kg, 15 toes to bar.",
    ),
    (
        "EMOM 12\nodd: 12 KBS 24/16 kg\neven: 10 push-ups",
        "every minute for 12 min: minute 1 of 2: 12 kettlebell swing at 24/16 kg; minute 2 of 2: 10 push-up.",
    ),
    ("Tabata-type 8x20:10 air squats", "8 intervals of 20 s, rest 10 s: air squat."),
    (
        "AMRAP 20 in pairs - one works, one rests, swap every full round:\n12 cal row\n6 box jumps 60/50 cm",
        "AMRAP 20 min, team of 2 taking turns: 12 cal row, 6 box jump at 60/50 cm.",
    ),
    (
        "AMRAP 10 ascending: 2-4-6-...\nDB thrusters 2x15 kg\nT2B (2 knee raises per toes-to-bar if scaled)",
        "AMRAP 10 min: 2-4-6-...: dumbbell thruster at 2 x 15 kg, toes to bar (scaled: 2-for-1 hanging knee raise).",
    ),
    (
        "A: power clean 6x2 @ 75%\nB: hang power clean 3x3 at 65% (of power clean)",
        "A – 6 x 2 power clean at 75%.\nB – 3 x 3 hang power clean at 65% of power clean.",
    ),
    ("Thrusters 95/65\n18-14-10\nfor time", "for time: 18-14-10 thruster at 95/65 (kg or lb?)."),
    ("peso muerto 4x4 con 1,5 veces el peso corporal", "4 x 4 deadlift at 1.5 x body mass."),
    (
        "for time:\n10 rope climbs 15 ft\n100 single unders after each climb",
        "for time: 10 rope climb at 15 ft, 100 single-under (after each rep).",
    ),
    (
        "Buy-in 1 km row, 3 rounds: 10 dips, 8 lunges per side; cash-out 50 double unders",
        "buy-in: 1 km row; then 3 rounds: 10 dip, 8/side lunge; then cash-out: 50 double-under.",
    ),
]


@pytest.mark.parametrize(("text", "board"), BOARDS, ids=[text.splitlines()[0] for text, _ in BOARDS])
def test_what_was_understood_reads_like_a_board(text: str, board: str) -> None:
    """Texts as a person sees them once they are read."""
    reading = read(text)
    assert reading.canonical == board
    assert read(board).tree == reading.tree


def test_a_long_part_is_laid_out_one_block_a_line() -> None:
    """A short part stays on its line."""
    text = "Strength: back squat 5x5 @ 90 kg\n\nEMOM 15: 1) 12 cal bike 2) 10 T2B 3) 8 DB snatch 22.5/15 kg"
    assert read(text).board.splitlines() == [
        "Strength – 5 x 5 back squat at 90 kg.",
        "every minute for 15 min:",
        "  minute 1 of 3: 12 cal bike;",
        "  minute 2 of 3: 10 toes to bar;",
        "  minute 3 of 3: 8 dumbbell snatch at 22.5/15 kg.",
    ]


def test_an_own_movement_has_its_own_name_in_the_exact_form() -> None:
    """The names of a squad's own movements are read as well as the shipped ones."""
    own = catalogue_with(OWN)
    reading = read("3 rounds: 5 davit hauls, 10 burpees", catalogue=own)
    assert reading.canonical == "3 rounds: 5 davit haul, 10 burpee."
    assert read(reading.canonical, catalogue=own).tree == reading.tree
    assert read_exact(reading.canonical, CATALOGUE) is None


def test_the_grammar_has_one_meaning_for_a_text(caplog: pytest.LogCaptureFixture) -> None:
    """LALR(1) tables without a conflict: the rules are unambiguous."""
    level = lark.logger.level
    lark.logger.setLevel(logging.DEBUG)
    lark.logger.addHandler(caplog.handler)
    try:
        lark.Lark(grammar_of(CATALOGUE), parser="lalr", debug=True)
    finally:
        lark.logger.removeHandler(caplog.handler)
        lark.logger.setLevel(level)
    assert [record.message for record in caplog.records if "onflict" in record.message] == []


@pytest.mark.parametrize(
    "text",
    [
        "10 flurbles.",
        "5 x 5 back squat at 100 kg",
        "for time for time: 10 burpee.",
        "cap 5 min, cap 6 min: 10 burpee.",
        "10 burpee at 5 cal.",
        "10 kg burpee.",
        "10 burpee at 60-50 cm.",
        "10 deadlift at 80 kg from 20 kg.",
        "every 5 kg: 10 burpee.",
        "AMRAP 2:30 s: 10 burpee.",
        "same at 20 kg.",
        "We will start with 10 burpees.",
        ".",
        "",
    ],
)
def test_what_is_not_in_the_exact_form_is_left_to_the_reader(text: str) -> None:
    """Anything that does not follow the rules from end to end is free text."""
    assert read_exact(text, CATALOGUE) is None


def test_free_text_with_a_full_stop_is_still_read() -> None:
    """A full stop makes no exact form of a free text."""
    assert [row.movement for row in read("Bring gloves. 10 burpees, then 3 push-ups.").efforts] == ["burpee", "push_up"]
