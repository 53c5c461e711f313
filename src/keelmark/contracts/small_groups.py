"""One rule for figures that tell about a body: a count or rate over fewer than five people is not shown to a group.

With so few, those who know the squad could tell who is meant. Lists in which a coach reads each person by name are no
figures over a group, and do not fall under it.
"""

from __future__ import annotations

__all__ = ["LEAST_PEOPLE", "NOT_SHOWN", "shown_of"]

LEAST_PEOPLE = 5
"""People below which no figure about health over a group is shown (common practice, no source)."""

NOT_SHOWN = "fewer than five people, not shown"


def shown_of(people: int, words: str, instead: str = NOT_SHOWN) -> str:
    """Words that hold a figure about health over a group, or the sentence that stands in their place.

    Parameters
    ----------
    people : int
        How many people the figure is about; none is fewer than five, too.
    words : str
        What would be shown.
    instead : str
        What is shown where there are too few, if it has to name the figure; it holds `NOT_SHOWN`.
    """
    return words if people >= LEAST_PEOPLE else instead
