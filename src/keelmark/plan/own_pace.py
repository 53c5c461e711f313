"""How fast athletes went under open clocks in sessions that were scored, against the catalogue's paces."""

from __future__ import annotations

import datetime as dt
from statistics import median

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.notation import Context, read
from keelmark.plan.pace import STEADY_SHARE, Span, seconds_of
from keelmark.plan.rounds import OPEN_CLOCKS, Pace, work_share

__all__ = ["paces_of"]

LOOKED_BACK = dt.timedelta(weeks=26)
LEAST_RESULTS = 3
"""Fewer scores than these say little of a pace (judgement)."""
NEWEST = 12
"""Scores of one athlete that are looked at, the newest ones (judgement)."""


def paces_of(
    sessions: pl.DataFrame, contexts: dict[str, Context], catalogue: Catalogue, before: dt.date
) -> dict[str, Pace]:
    """Each athlete's pace from own scores under open clocks; the squad's where an athlete has fewer than three.

    Parameters
    ----------
    sessions : DataFrame
        `SESSION` table; those with a whiteboard text and a result count.
    contexts : mapping of athlete to Context
        How each athlete reads a board.
    catalogue : Catalogue
        Paces of the movements.
    before : date
        Sessions from this day on are passed over, and those of more than half a year before it.

    Returns
    -------
    dict of athlete to Pace
        Athletes for whom there are scores to go by; nobody where the squad has fewer than three.

    Notes
    -----
    pace = 1.5 x seconds of the work done, by the catalogue / seconds on the clock; the median of the scores, with the
    least and the most. The share 1.5 is a judgement.
    """
    scored = sessions.filter(
        pl.col("whiteboard").is_not_null()
        & pl.col("result").is_not_null()
        & (pl.col("date") < before)
        & (pl.col("date") >= before - LOOKED_BACK)
    ).sort("date", descending=True)
    open_texts: dict[str, bool] = {}
    found: dict[str, list[float]] = {}
    rows = scored.select("athlete_id", "whiteboard", "result").iter_rows()
    for athlete_id, text, result in rows:
        context = contexts.get(athlete_id)
        if context is None or len(found.get(athlete_id, ())) >= NEWEST:
            continue
        if text not in open_texts:
            tree = read(text, Context(), catalogue).tree
            open_texts[text] = any(section.kind in OPEN_CLOCKS for section in tree.sections)
        if open_texts[text]:
            who = Context(context.standard, context.bodyweight_kg, context.one_rm, result=result)
            found.setdefault(athlete_id, []).extend(_paces(text, who, catalogue))
    everybody = [pace for own in found.values() for pace in own]
    if len(everybody) < LEAST_RESULTS:
        return {}
    squad = _pace(everybody, "squad")
    return {
        athlete_id: _pace(found[athlete_id], "own") if len(found.get(athlete_id, ())) >= LEAST_RESULTS else squad
        for athlete_id in contexts
    }


def _pace(found: list[float], whose: str) -> Pace:
    return Pace(median(found), min(found), max(found), len(found), whose)


def _paces(text: str, who: Context, catalogue: Catalogue) -> list[float]:
    """One figure for each open clock of a scored text whose work is wholly known."""
    reading = read(text, who, catalogue)
    if any(issue.level != "note" for issue in reading.issues):
        return []
    found = []
    for number, section in enumerate(reading.tree.sections):
        times: list[Span | None] = [seconds_of(row, catalogue) for row in reading.efforts if row.section == number]
        if section.kind not in OPEN_CLOCKS or not section.seconds or not times:
            continue
        known = [time.value for time in times if time is not None]
        if len(known) == len(times):
            found.append(STEADY_SHARE * sum(known) / (section.seconds * work_share(section)))
    return found
