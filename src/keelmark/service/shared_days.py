"""Named days as a calendar that is shared may tell them: by their kind, never in words that somebody typed."""

from __future__ import annotations

import polars as pl

from keelmark.marks.week_names import name_meaning
from keelmark.plan.calendar_file import NamedDays

__all__ = ["OF_NO_KIND", "shared_days"]

OF_NO_KIND = "Named days"
_KEPT_BACK = "ill"


def shared_days(labels: pl.DataFrame) -> list[NamedDays]:
    """Named days for a calendar file; those that tell of somebody's health are left out.

    Parameters
    ----------
    labels : DataFrame
        `CALENDAR_LABEL` table. A name of a known kind (taper, holiday, competition ...) is told as that kind, any
        other as `OF_NO_KIND`: what was typed may be about somebody's body, and a calendar goes to many.
    """
    told = labels.select("date_from", "date_to", "label").iter_rows()
    kinds = [(first, last, name_meaning(label).kind) for first, last, label in told]
    return [
        NamedDays(first, last, kind.capitalize() if kind else OF_NO_KIND)
        for first, last, kind in kinds
        if kind != _KEPT_BACK
    ]
