"""Which questions are asked, what they add up to, and what is refused."""

from __future__ import annotations

from itertools import product

import pytest

from keelmark.contracts.errors import RefusedInput
from keelmark.health import ALL_WELL, AREAS, QUESTIONS, Answers, asked_after, checked_answers, is_substantial, severity

# Derived from four options worth 0, 8, 17 and 25 (the values are from memory): the only totals there are.
TOTALS = {
    0, 8, 16, 17, 24, 25, 32, 33, 34, 41, 42, 49, 50, 51, 58, 59, 66, 67, 68, 75, 76, 83, 84, 92, 100,
}  # fmt: skip


def every_way_to_answer() -> list[Answers]:
    ways = [Answers(0)]
    ways += [Answers(first, *rest) for first in (1, 2) for rest in product(range(4), repeat=3)]
    ways += [Answers(3, symptoms=symptoms) for symptoms in range(4)]
    return ways


def test_only_the_known_totals_come_out() -> None:
    assert {severity(answers) for answers in every_way_to_answer()} <= TOTALS


def test_every_total_of_four_options_is_known() -> None:
    """Derived: 4^4 sums of 0, 8, 17, 25."""
    assert {sum(options) for options in product((0, 8, 17, 25), repeat=4)} == TOTALS


@pytest.mark.parametrize(
    ("answers", "total"),
    [
        (ALL_WELL, 0),
        (Answers(1, 1, 1, 1), 32),
        (Answers(2, 2, 0, 1), 42),
        (Answers(3, symptoms=3), 100),
        (Answers(3, symptoms=0), 75),
        (Answers(2, 3, 1, 0), 50),
    ],
)
def test_totals_worked_by_hand(answers: Answers, total: int) -> None:
    """Derived: 8+8+8+8, 17+17+0+8, 25+25+25+25, 25+25+25+0, 17+25+8+0."""
    assert severity(answers) == total


def test_one_tap_is_enough_when_all_is_well() -> None:
    assert asked_after(0) == ()
    assert checked_answers({"taking_part": 0}, None) == ALL_WELL


def test_who_could_not_join_in_is_asked_only_how_it_felt() -> None:
    assert asked_after(3) == ("symptoms",)
    assert checked_answers({"taking_part": 3, "amount": None, "symptoms": 2}, "knee") == Answers(3, symptoms=2)


def test_everybody_else_is_asked_all_four() -> None:
    assert asked_after(1) == asked_after(2) == ("amount", "performance", "symptoms")
    assert [question.key for question in QUESTIONS] == ["taking_part", *asked_after(1)]


@pytest.mark.parametrize(
    ("answers", "area", "found"),
    [
        ({}, None, "“Could you join in this week\\?” is not answered"),
        ({"taking_part": 4}, "knee", "is answered with “4”"),
        ({"taking_part": 1, "amount": 1, "performance": 1}, "knee", "“How much did you feel it\\?” is not answered"),
        ({"taking_part": 0, "symptoms": 1}, None, "“symptoms” is answered, but it is not asked here"),
        ({"taking_part": 3, "amount": 1, "symptoms": 1}, "knee", "“amount” is answered, but it is not asked here"),
        ({"taking_part": 0}, "knee", "“knee” is named, but all is well"),
        ({"taking_part": 3, "symptoms": 1}, None, "no part of the body is chosen"),
        ({"taking_part": 3, "symptoms": 1}, "keel", "“keel” is no part of the list"),
    ],
)
def test_what_is_incomplete_or_contradicts_itself_is_refused(
    answers: dict[str, int | None], area: str | None, found: str
) -> None:
    with pytest.raises(RefusedInput, match=f"^check-in: .*{found}.*Wanted: .*What to do: answer the open question"):
        checked_answers(answers, area)


@pytest.mark.parametrize(
    ("answers", "substantial"),
    [
        (ALL_WELL, False),
        (Answers(1, 1, 1, 3), False),
        (Answers(2, 2, 0, 1), True),
        (Answers(1, 0, 2, 1), True),
        (Answers(3, symptoms=0), True),
    ],
)
def test_substantial_means_clearly_less_or_missed(answers: Answers, substantial: bool) -> None:
    """Clarsen 2013: moderate or severe reductions in participation or performance, or time loss (published)."""
    assert is_substantial(answers) is substantial


def test_the_areas_are_the_twenty_of_the_consensus() -> None:
    """Bahr et al. 2020, list from memory: 2 of head and neck, 6 of the arm, 4 of the trunk, 6 of the leg, 2 others."""
    counted = {
        region: sum(area.region == region for area in AREAS) for region in dict.fromkeys(a.region for a in AREAS)
    }
    assert counted == {"Head and neck": 2, "Arm": 6, "Trunk": 4, "Leg": 6, "Elsewhere": 2}
    assert len({area.key for area in AREAS}) == 20
