"""How long each part of a session took, where the text or the score says so."""

from __future__ import annotations

from keelmark.notation.score_kinds import Score
from keelmark.notation.tree import Prescription, Section

__all__ = ["clocks_of"]


def clocks_of(tree: Prescription, scores: list[Score]) -> tuple[float | None, ...]:
    """Seconds on the clock of each section; None where nobody says.

    A part with a set length took that long. A part for time took what the score says, where one such part and one such
    score stand alone and the cap did not end it.

    Parameters
    ----------
    tree : Prescription
        What is prescribed.
    scores : list of Score
        What the athlete wrote.
    """
    for_time = [section for section in tree.sections if section.kind == "for_time"]
    times = [score for score in scores if score.kind == "time" and score.seconds > 0]
    told = times[0].seconds if len(for_time) == 1 and len(times) == 1 and not times[0].capped else None
    return tuple(told if section.kind == "for_time" else _set_length(section) for section in tree.sections)


def _set_length(section: Section) -> float | None:
    if section.kind == "amrap":
        return section.seconds
    if section.kind == "every":
        return section.seconds or _times(section.window, section.windows)
    if section.kind == "intervals":
        halves = None if section.work is None else section.work + (section.rest or 0.0)
        return section.seconds or _times(halves, section.windows)
    return None


def _times(window: float | None, windows: int | None) -> float | None:
    return None if window is None or windows is None else window * windows
