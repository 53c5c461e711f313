"""A season cut down to one athlete: the same tables with nobody else's rows."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import replace
from threading import Lock
from typing import TYPE_CHECKING

import polars as pl

from keelmark.service.kept import Kept
from keelmark.service.runs import Runs

if TYPE_CHECKING:
    from keelmark.service.season import Season

__all__ = ["NarrowSeasons"]

_OF_SEASON = ("daily", "weekly", "marks", "notices")
_OF_KEPT = ("athletes", "rep_maxima", "efforts", "sessions", "day_states")


class NarrowSeasons:
    """Seasons of single athletes, each cut out of the whole one when first asked for.

    Parameters
    ----------
    season : Season
        The whole one. The tables of the others are slices of its tables.
    """

    _MOST = 600

    def __init__(self, season: Season) -> None:
        self._season = season
        self._figures = {name: Runs(getattr(season, name), "athlete_id") for name in _OF_SEASON}
        self._kept = {name: Runs(getattr(season.kept, name), "athlete_id") for name in _OF_KEPT}
        self._cut: OrderedDict[str, Season] = OrderedDict()
        self._lock = Lock()

    def of(self, athlete_id: str) -> Season:
        """The season with the rows of one athlete only; of imports only those that brought any, uncounted."""
        with self._lock:
            if athlete_id not in self._cut:
                self._cut[athlete_id] = self._made(athlete_id)
                while len(self._cut) > self._MOST:
                    self._cut.popitem(last=False)
            self._cut.move_to_end(athlete_id)
            return self._cut[athlete_id]

    def _made(self, athlete_id: str) -> Season:
        whole = self._season.kept
        own = {name: runs.of(athlete_id) for name, runs in self._kept.items()}
        groups = own["athletes"]["group"].drop_nulls().to_list()
        brought = set(own["efforts"]["import_id"]) | set(own["sessions"]["import_id"])
        imports = whole.imports.filter(pl.col("import_id").is_in(sorted(brought))).with_columns(counts=pl.lit("{}"))
        labels = whole.labels.filter(pl.col("group").is_null() | pl.col("group").is_in(groups))
        return replace(
            self._season,
            kept=Kept(whole.revision, labels=labels, imports=imports, **own),
            daily=self._figures["daily"].of(athlete_id),
            weekly=self._figures["weekly"].of(athlete_id),
            marks=self._figures["marks"].of(athlete_id),
            notices=self._figures["notices"].of(athlete_id),
        )
