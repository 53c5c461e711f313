"""What the crew of the demo season say about their weeks. All of it is made up, and chance has no eye on the training.

Answers are places of options, from 0 for the least to 3 for the most; a question that was not asked stays empty.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Protocol

import story

__all__ = ["COLUMNS", "rows"]

COLUMNS = ("week", "name", "area", "taking_part", "amount", "performance", "symptoms")

ANSWERS_SHARE = 0.85
SELDOM, SELDOM_SHARE = ("Ronan", "Gethin"), 0.4
BEGINS_SHARE = 0.05
AREAS = (
    "lumbosacral", "lumbosacral", "shoulder", "shoulder", "knee", "knee", "wrist", "hand", "elbow", "lower_leg",
    "ankle", "thigh", "neck", "thoracic_spine",
)  # fmt: skip
LONGEST = 4

# First and last week, area, and the four answers of each week.
TOLD = {
    "Signe": (33, 36, "lumbosacral", ((1, 0, 0, 1), (1, 1, 1, 1), (1, 1, 1, 2), (1, 0, 1, 1))),
    "Tove": (40, 40, "knee", ((1, 1, 0, 2),)),
    "Marek": (26, 27, "chest", ((3, None, None, 2), (3, None, None, 1))),
}
QUIET = {"Callum": (14, 15), "Nadia": (25, 26), "Tove": (38,)}


class Chance(Protocol):
    """A stream of chance for one person."""

    def happens(self, share: float) -> bool:
        """True in that share of cases."""

    def between(self, low: int, high: int) -> int:
        """A whole number, both ends included."""


def rows(week_of: Callable[[int], str], chances: list[Chance]) -> list[list[str]]:
    """All answers by week and name; `week_of` names a week counted from 1, one stream of chance for each person."""
    told = [
        (week, person.name, answers)
        for person, chance in zip(story.CREW, chances, strict=True)
        for week, answers in _season(person, chance)
    ]
    ordered = sorted(told, key=lambda one: one[:2])
    return [
        [week_of(week), name, *("" if one is None else str(one) for one in answers)] for week, name, answers in ordered
    ]


def _season(person: story.Person, chance: Chance) -> Iterator[tuple[int, tuple[object, ...]]]:
    share = SELDOM_SHARE if person.name in SELDOM else ANSWERS_SHARE
    area, left = "", 0
    for week in range(person.joined_week, story.WEEKS + 1):
        if left == 0 and chance.happens(BEGINS_SHARE):
            area, left = AREAS[chance.between(0, len(AREAS) - 1)], chance.between(1, LONGEST)
        answers = _complaint(area, chance) if left else (None, 0, None, None, None)
        left = max(0, left - 1)
        answered = chance.happens(share) and week not in QUIET.get(person.name, ())
        fixed = _told(person.name, week)
        if fixed or answered:
            yield week, fixed or answers


def _complaint(area: str, chance: Chance) -> tuple[object, ...]:
    if chance.happens(0.06):
        return area, 3, None, None, chance.between(1, 3)
    taking_part = 2 if chance.happens(0.25) else 1
    return area, taking_part, chance.between(0, taking_part), chance.between(0, taking_part), chance.between(1, 2)


def _told(name: str, week: int) -> tuple[object, ...] | None:
    first, last, area, answers = TOLD.get(name, (0, -1, "", ()))
    return (area, *answers[week - first]) if first <= week <= last else None
