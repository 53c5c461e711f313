"""Days of which a row was put aside: something was done that no effort tells of."""

from __future__ import annotations

from collections.abc import Collection, Iterable

import polars as pl

from keelmark.contracts.frames import DAY_STATE
from keelmark.ingest.columns import Column
from keelmark.ingest.reasons import Finding

__all__ = ["PUT_ASIDE", "days_with_rows_aside"]

PUT_ASIDE = "a row of this day was put aside"
"""Note of such a day."""
_STORED = frozenset({"score_stored_otherwise"})
"""Reasons of rows whose work is on record in another reading."""
_DAY_KNOWN = frozenset({"no_whiteboard", "which_whiteboard"})
"""Reasons told of the date, although the date itself is clear."""


def days_with_rows_aside(
    columns: dict[str, Column], findings: dict[int, list[Finding]], aside: Iterable[int], people: Collection[str]
) -> pl.DataFrame:
    """Days on which rows were put aside whose athlete and date can be told.

    Parameters
    ----------
    columns : dict
        Values by kind of column.
    findings : dict
        Why rows were put aside, by position among the data rows.
    aside : iterable of int
        Positions of the rows put aside.
    people : collection of str
        Athletes who will be known.

    Returns
    -------
    DataFrame
        `DAY_STATE` table of the state `partly`.
    """
    who, when = columns["athlete"], columns["date"]
    days = {
        (who.values[at], when.values[at]): None
        for at in aside
        if who.values[at] in people
        and when.values[at] is not None
        and not any(_elsewhere(one, (who.title, when.title)) for one in findings.get(at, ()))
    }
    return DAY_STATE.build(
        [{"athlete_id": athlete, "date": day, "state": "partly", "note": PUT_ASIDE} for athlete, day in sorted(days)]
    )


def _elsewhere(finding: Finding, of_day: tuple[str, str]) -> bool:
    """Whether a row's athlete or day is in doubt, or its work is on record already."""
    return finding.code in _STORED or (finding.column in of_day and finding.code not in _DAY_KNOWN)
