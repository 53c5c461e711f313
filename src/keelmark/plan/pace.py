"""How long written work takes, from the catalogue's paces, and how many rounds that makes of an open clock.

A text says nothing of an athlete's speed, so every time is wide. It is used where a text leaves the amount to the
score, and to name the time domain of a session; never to judge anybody.
"""

from __future__ import annotations

from typing import NamedTuple

from keelmark.catalogue import Catalogue, Figure
from keelmark.notation import WorkDone

__all__ = ["Span", "expected_rounds", "seconds_of"]

STEADY_SHARE = 1.5
"""Time of a round over the sum of its work: a third of the clock goes to changing over and breathing (judgement)."""


class Span(NamedTuple):
    """A figure with its low and high bound."""

    value: float
    low: float
    high: float

    def times(self, factor: float) -> Span:
        """All three multiplied."""
        return Span(self.value * factor, self.low * factor, self.high * factor)

    def plus(self, other: Span) -> Span:
        """Sum, bounds with bounds."""
        return Span(self.value + other.value, self.low + other.low, self.high + other.high)


def seconds_of(row: WorkDone, catalogue: Catalogue) -> Span | None:
    """Seconds that a row of work takes, all its sets together, without rest.

    Parameters
    ----------
    row : WorkDone
        Amounts per set.
    catalogue : Catalogue
        Paces of the movements.

    Returns
    -------
    Span or None
        Seconds; None where the catalogue states no pace for the amount.
    """
    movement = catalogue[row.movement]
    amount = row.amount * row.sets
    if row.measure == "duration_s":
        return Span(amount, amount, amount)
    if row.measure == "reps" and movement.seconds_per_rep is not None:
        return _span(movement.seconds_per_rep).times(amount)
    pace = movement.metres_per_second
    if pace is None:
        return None
    per_metre = Span(1 / pace.value, 1 / pace.high, 1 / pace.low)
    if row.measure == "distance_m":
        return per_metre.times(amount)
    if row.measure == "calories" and movement.metres_per_calorie is not None:
        metres = _span(movement.metres_per_calorie).times(amount)
        return Span(*(m * s for m, s in zip(metres, per_metre, strict=True)))
    return None


def expected_rounds(clock: float, rows: list[WorkDone], catalogue: Catalogue) -> Span | None:
    """Rounds that fit under a clock.

    Parameters
    ----------
    clock : float
        Length of the clock [s].
    rows : list of WorkDone
        The work of one round.
    catalogue : Catalogue
        Paces of the movements.

    Returns
    -------
    Span or None
        Rounds, not rounded; None where the time of a round is not known. The bounds are those of an athlete who is
        quick, or slow, at every movement.

    Notes
    -----
    rounds = clock / (1.5 x seconds of the round's work); the share is a judgement.
    """
    times = [seconds_of(row, catalogue) for row in rows]
    if not rows or any(time is None for time in times):
        return None
    total = Span(0.0, 0.0, 0.0)
    for time in times:
        total = total.plus(time or total)
    if total.low <= 0:
        return None
    share = STEADY_SHARE
    return Span(clock / (share * total.value), clock / (share * total.high), clock / total.low)


def _span(figure: Figure) -> Span:
    return Span(figure.value, figure.low, figure.high)
