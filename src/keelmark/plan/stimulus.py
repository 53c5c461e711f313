"""How far a changed session lies from the one that was meant: pattern, amount and relative load, row by row."""

from __future__ import annotations

import math

from keelmark.catalogue import Catalogue
from keelmark.notation import WorkDone
from keelmark.plan.pace import seconds_of
from keelmark.plan.session_work import SessionWork

__all__ = ["distance_from_intent"]

OTHER_MOVEMENT = 0.1
"""Cost of any other movement, before what it does differently (judgement)."""
OTHER_HEIGHT = 0.1
"""Cost of another height of box, target or bar (judgement)."""
LOAD_TAKEN_AWAY = 0.5
"""Cost of work with a load where none was meant, or the other way round (judgement)."""
_NOT_A_PATTERN = frozenset({"grip_s", "hand_contacts", "step_downs"})


def distance_from_intent(meant: SessionWork, changed: SessionWork, catalogue: Catalogue) -> float:
    """Distance of a changed session from the one that was meant; 0 where nothing changed.

    Each row of work counts by its share of the working time and by being a row at all, half and half, so that few heavy
    reps are not lost beside a long run. Its distance is how far its working time moved (natural
    log of the ratio), how far its load moved (likewise), and how much of its pattern another movement leaves out or
    adds. So 0.2 is about a fifth less work throughout. The weights are a judgement; the order of versions rests on
    them, no figure of load does.

    Parameters
    ----------
    meant, changed : SessionWork
        The same session before and after edits, for the same reader, with as many rows.
    catalogue : Catalogue
        Paces and exposures.
    """
    times = [_time(row.work, catalogue) for row in meant.rows]
    total = sum(times) or 1.0
    return sum(
        (time / total + 1 / len(times)) / 2 * _row_distance(before.work, after.work, catalogue)
        for time, before, after in zip(times, meant.rows, changed.rows, strict=True)
    )


def _row_distance(before: WorkDone, after: WorkDone, catalogue: Catalogue) -> float:
    one, other = _time(before, catalogue), _time(after, catalogue)
    far = abs(math.log(other / one)) if one > 0 and other > 0 else 0.0
    if before.movement != after.movement:
        taken_away = LOAD_TAKEN_AWAY if bool(before.load_kg) != bool(after.load_kg) else 0.0
        return far + taken_away + OTHER_MOVEMENT + _pattern_distance(before.movement, after.movement, catalogue)
    if before.load_kg and after.load_kg:
        far += abs(math.log(after.load_kg / before.load_kg))
    elif bool(before.load_kg) != bool(after.load_kg):
        far += LOAD_TAKEN_AWAY
    if (before.height_cm, before.start_height_cm) != (after.height_cm, after.start_height_cm):
        far += OTHER_HEIGHT
    return far


def _pattern_distance(one: str, other: str, catalogue: Catalogue) -> float:
    """Share of the exposures of two movements that only one of them has."""
    first, second = (_exposures(name, catalogue) for name in (one, other))
    return len(first ^ second) / len(first | second) if first | second else 0.0


def _exposures(name: str, catalogue: Catalogue) -> set[str]:
    movement = catalogue[name]
    return {*movement.per_rep, *movement.per_metre, *movement.per_second} - _NOT_A_PATTERN


def _time(row: WorkDone, catalogue: Catalogue) -> float:
    time = seconds_of(row, catalogue)
    return time.value if time is not None else row.amount * row.sets
