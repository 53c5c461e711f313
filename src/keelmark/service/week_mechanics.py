"""What stands behind one athlete's week: the mechanics of the back, full sets of hinge lifts, landings by class."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, cast

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.dose.hanging import hanging_efforts
from keelmark.dose.high_rep import high_rep_details
from keelmark.dose.landings import landings_daily
from keelmark.dose.lumbar import lumbar_reps
from keelmark.dose.lumbar_levels import (
    POWERS,
    powers_in_words,
    rank_by_power,
    reps_above_levels,
    reps_beyond_fit,
)
from keelmark.dose.lumbar_width import width_by_input
from keelmark.service.kept import Kept
from keelmark.service.runs import Runs

__all__ = ["BackWeek", "Hanging", "WeekMechanics"]

_DRAWS = 500
"""Enough to order the inputs by what they widen; the bounds of the figures themselves come from all draws."""


@dataclass(frozen=True, slots=True)
class Hanging:
    """Time spent hanging from the hands, and the largest pull at the lowest lumbar joint, each with bounds.

    `seconds_high` is None where the amount of an effort is not known.
    """

    seconds: float
    seconds_low: float
    seconds_high: float | None
    newtons: float
    newtons_low: float
    newtons_high: float


@dataclass(frozen=True, slots=True)
class BackWeek:
    """What stands behind the lumbar figures of one week, but for the width.

    `powers` says where the powers of compression place the week differently, `ranked` among how many weeks (0 when the
    week has no known figure). `levels` holds `level` [body weights], `reps`, `low`, `high`, `unknown` (efforts).
    `assumptions` are sentences about the body. `not_known` holds `movement`, `reason` and `efforts`. `beyond_fit`
    counts reps beyond the end of the fatigue law's fit, reps that may lie beyond it, and all reps known. `hanging` is
    None in a week without a hang.
    """

    powers: str | None
    ranked: int
    levels: pl.DataFrame
    assumptions: tuple[str, ...]
    not_known: pl.DataFrame
    beyond_fit: tuple[float, float, float]
    hanging: Hanging | None


class WeekMechanics:
    """The mechanics of athletes' weeks, each worked out when first asked for and kept as long as the season.

    Parameters
    ----------
    kept : Kept
        Tables of the season.
    catalogue : Catalogue
        The squad's own.
    weekly : DataFrame
        `WEEKLY_FIGURE` table of the season.
    """

    def __init__(self, kept: Kept, catalogue: Catalogue, weekly: pl.DataFrame) -> None:
        self._kept = kept
        self._catalogue = catalogue
        self._own_weeks = Runs(weekly, "athlete_id")
        self._own_efforts = Runs(kept.efforts, "athlete_id")
        self._told: dict[tuple[str, ...], Any] = {}

    def back(self, athlete_id: str, week: str) -> BackWeek:
        """Powers, levels, assumptions and what is not known of the lumbar figures of a week."""
        return cast(BackWeek, self._once(("back", athlete_id, week), lambda: self._back(athlete_id, week)))

    def width(self, athlete_id: str, week: str, channel: str) -> pl.DataFrame:
        """Which inputs widen a lumbar figure of a week: `WIDTH_SCHEMA`, largest first.

        Raises
        ------
        SettingError
            When the channel is not a lumbar one.
        """
        return self._table(
            ("width", athlete_id, week, channel),
            lambda: width_by_input(
                self._efforts(athlete_id, week), self._athlete(athlete_id), self._catalogue, channel, draws=_DRAWS
            ),
        )

    def high_rep(self, athlete_id: str, week: str) -> pl.DataFrame:
        """Efforts of hinge lifts of a week with what their capacities rest on; columns of `high_rep_details`."""
        own = self._own_efforts.of(athlete_id)
        details = self._table(
            ("high_rep", athlete_id), lambda: high_rep_details(own, self._kept.rep_maxima, self._catalogue)
        )
        return details.filter(_in_week(week)).sort("date", "effort")

    def landings(self, athlete_id: str, week: str) -> pl.DataFrame:
        """Landings of a week by class: `kind`, `contacts`, `low`, `high`, `force_low`, `force_high` [body weights]."""
        return self._table(
            ("landings", athlete_id, week),
            lambda: (
                landings_daily(self._efforts(athlete_id, week), self._catalogue)
                .group_by("kind")
                .agg(
                    contacts=pl.when(pl.col("contacts").count() > 0).then(pl.col("contacts").sum()),
                    low=pl.col("low").sum(),
                    high=pl.when(pl.col("high").null_count() == 0).then(pl.col("high").sum()),
                    force_low=pl.col("force_low").first(),
                    force_high=pl.col("force_high").first(),
                )
                .sort(pl.col("force_high").fill_null(0.0))
            ),
        )

    def _back(self, athlete_id: str, week: str) -> BackWeek:
        athlete, efforts = self._athlete(athlete_id), self._efforts(athlete_id, week)
        reps = lumbar_reps(efforts, athlete, self._catalogue, rep_maxima=self._kept.rep_maxima)
        powers, ranked = self._powers(athlete_id, week)
        levels = reps_above_levels(reps, athlete).group_by("level").agg(
            pl.col("reps").sum(),
            pl.col("low").sum(),
            high=pl.when(pl.col("high").null_count() == 0).then(pl.col("high").sum()),
            unknown=pl.col("unknown").sum(),
        )  # fmt: skip
        sentences = dict.fromkeys(line for row in reps["assumptions"].drop_nulls() for line in row)
        missing = reps.filter(pl.col("missing").is_not_null())
        return BackWeek(
            powers=powers,
            ranked=ranked,
            levels=levels.sort("level"),
            assumptions=tuple(sentences),
            not_known=missing.group_by("movement", reason="missing").agg(efforts=pl.len()).sort("movement", "reason"),
            beyond_fit=reps_beyond_fit(reps),
            hanging=_hanging(hanging_efforts(efforts, athlete, self._catalogue)),
        )

    def _powers(self, athlete_id: str, week: str) -> tuple[str | None, int]:
        own = self._own_weeks.of(athlete_id)
        ranks = rank_by_power(own.select("athlete_id", "week", "channel", "value")).filter(pl.col("week") == week)
        complete = ranks.drop_nulls(list(POWERS))
        if complete.is_empty():
            return None, 0
        row = complete.row(0, named=True)
        return powers_in_words({key: row[key] for key in POWERS}, row["weeks"]), row["weeks"]

    def _athlete(self, athlete_id: str) -> pl.DataFrame:
        return self._kept.athletes.filter(pl.col("athlete_id") == athlete_id)

    def _efforts(self, athlete_id: str, week: str) -> pl.DataFrame:
        return self._own_efforts.of(athlete_id).filter(_in_week(week))

    def _table(self, key: tuple[str, ...], work: Callable[[], pl.DataFrame]) -> pl.DataFrame:
        return cast(pl.DataFrame, self._once(key, work))

    def _once(self, key: tuple[str, ...], work: Callable[[], Any]) -> Any:
        if key not in self._told:
            self._told[key] = work()
        return self._told[key]


def _hanging(rows: pl.DataFrame) -> Hanging | None:
    if rows.is_empty():
        return None
    value, low, high = (float(rows[f"seconds{end}"].sum()) for end in ("", "_low", "_high"))
    pull = rows.select(pl.max("newtons", "newtons_high"), pl.min("newtons_low")).row(0, named=True)
    return Hanging(value, low, None if rows["seconds_high"].null_count() else high, **pull)


def _in_week(week: str) -> pl.Expr:
    return pl.col("date").dt.strftime("%G-W%V") == week
