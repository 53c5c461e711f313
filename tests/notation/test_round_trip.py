"""The exact form of any tree reads back to the same tree."""

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.notation.trees import prescriptions

from keelmark.catalogue import shipped_catalogue
from keelmark.notation import read
from keelmark.notation.exact import read_exact
from keelmark.notation.render import render
from keelmark.notation.tree import Prescription

CATALOGUE = shipped_catalogue()


@settings(max_examples=75, deadline=None)
@given(prescriptions)
def test_generated_tree_reads_back(tree: Prescription) -> None:
    """Written in the exact form and read again, a tree is the same."""
    assert read_exact(render(tree), CATALOGUE) == tree


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


def test_exact_form_is_plain_to_read() -> None:
    """One text as a person sees it."""
    text = "For time (cap 14 min):\n24-18-12\nThrusters 40/27.5 kg\nBox jumps 24/20 in"
    assert (
        read(text).canonical
        == "for time; cap 840 s {scheme 24-18-12: thruster at 40/27.5 kg; box jump at height 24/20 in}"
    )


def test_text_with_braces_is_not_taken_for_the_exact_form() -> None:
    """Braces in free text do no harm."""
    assert [row.movement for row in read("10 burpees {really}").efforts] == ["burpee"]
    assert read_exact("work {10 flurbles}", CATALOGUE) is None
