"""Words of the audit that the command line and the page Methods share."""

from __future__ import annotations

from typing import Any

from keelmark.marks.steadiness import SCATTERS

__all__ = ["NAMED_WORDS", "STEADINESS_WORDS", "named_words", "scatter_words"]

STEADINESS_WORDS = (
    "The more a kind of work changes from week to week by itself, the less a doubled week stands out. The last column "
    "is the most that could be found: by a rule that knew what each athlete's weeks are like, looked at the amount of "
    "the week, and spent the whole budget of one false notice a month on work of that line. Where it lies below nine "
    "in ten, no such rule finds nine in ten."
)
NAMED_WORDS = (
    "Tapers to half of the usual amount and overloads to one and a half of it, planned for the whole squad, with and "
    "without a name in the calendar. A name moves what is expected of the week, by what weeks of that name have held."
)


def scatter_words(start: float) -> str:
    """The class of scatter that begins here: `less than 15 %`, `15 to 20 %`, `50 % or more`."""
    place = SCATTERS.index(start)
    if place == 0:
        return f"less than {100 * SCATTERS[1]:.0f} %"
    if place == len(SCATTERS) - 1:
        return f"{100 * start:.0f} % or more"
    return f"{100 * start:.0f} to {100 * SCATTERS[place + 1]:.0f} %"


def named_words(row: dict[str, Any]) -> str:
    """The kind of planned week: `taper, named`."""
    return f"{row['name']}, {'named' if row['said'] else 'not named'}"
