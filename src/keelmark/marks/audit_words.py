"""Words of the audit that the command line and the page Methods share."""

from __future__ import annotations

from typing import Any

from keelmark.marks.steadiness import SCATTERS

__all__ = ["MOST_NOTICES", "NAMED_WORDS", "STEADINESS_WORDS", "named_words", "scatter_words", "share_words"]

STEADINESS_WORDS = (
    "The more a kind of work changes from week to week by itself, the less a doubled week stands out. The last column "
    "is the most that notices could find. They are those of a rule that knew what each athlete's weeks are like and "
    "looked at the amount of the week. It spent the whole budget of one false notice a month on work of that line. "
    "Where this lies below nine in ten, no such rule finds nine in ten. More weeks lie above the mark, because the "
    "mark is passed more often by chance."
)
MOST_NOTICES = "the most notices could find"
NAMED_WORDS = (
    "Tapers to half of the usual amount and overloads to one and a half of it, planned for the whole squad. Each is "
    "looked at with and without a name in the calendar. A name moves what is expected of the week, by what weeks of "
    "that name have held."
)

_MANY = 1000
"""From here on a tenth of a percent is more than chance alone moves by much."""


def share_words(count: int, of: int) -> str:
    """A share in percent, with one decimal only where a thousand or more were counted.

    >>> share_words(49, 1000), share_words(49, 100), share_words(0, 0)
    ('4.9 %', '49 %', 'not given')
    """
    if not of:
        return "not given"
    return f"{100 * count / of:.1f} %" if of >= _MANY else f"{100 * count / of:.0f} %"


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
