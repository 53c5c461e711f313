"""Whether, in this squad, complaints were told more often after weeks with more work. Never about one person."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl
from numpy.typing import NDArray
from scipy.stats import t as student

from keelmark.contracts.small_groups import NOT_SHOWN, shown_of
from keelmark.health.areas import AREA_GROUPS
from keelmark.health.episodes import weeks_said
from keelmark.health.lagged import LAGS, WeeksAtStake, own_steps, weeks_at_stake
from keelmark.health.recurrent import Fit, event_rate, recurrent_hazard

__all__ = [
    "LEAST_ATHLETES", "LEAST_COMPLAINTS", "LEAST_WITH_COMPLAINTS", "PAIRS", "PRIOR_SD", "Association", "LagRatio",
    "association", "shrunk",
]  # fmt: skip

PAIRS: tuple[tuple[str, str], ...] = (
    ("back", "lumbar_moment"),
    ("shoulders", "overhead_reps"),
    ("hands and elbows", "grip_s"),
    ("knees, ankles and feet", "jump_contacts"),
    ("any part of the body", "session_load"),
)
"""What is asked: areas that are counted together, and the one channel they are set beside. Nothing is searched."""

LEAST_COMPLAINTS = 30
"""New complaints below which nothing is shown: ten for each lag (Peduzzi et al. J Clin Epidemiol 1996;49:1373-1379)."""

LEAST_ATHLETES = 15
"""Athletes below which nothing is shown. With as many, the intervals hold their promise on made-up squads in which
nothing is connected; the tests count it."""

LEAST_WITH_COMPLAINTS = 8
"""Athletes with a new complaint below which nothing is shown: fewer would tell about persons; a judgement."""

PRIOR_SD = float(np.log(2.0) / 1.96)
"""How far log rate ratios are expected from none before looking: 19 of 20 between a half and twice; a judgement."""

_CONFIDENCE = 0.975
"""Upper end of a 95 % interval."""


@dataclass(frozen=True, slots=True)
class LagRatio:
    """Rate of new complaints after a week one usual step higher, over the rate after a usual week."""

    lag: int
    ratio: float
    low: float
    high: float

    @property
    def stands_out(self) -> bool:
        """Whether the interval leaves out no connection."""
        return self.low > 1.0 or self.high < 1.0


@dataclass(frozen=True, slots=True)
class Association:
    """One question asked of the squad: the answer, or why there is none.

    `ratios` are shrunk towards none; `by_calendar` is the same question with complaints set only against those of the
    same calendar week, which takes out what touched everybody at once.
    """

    areas: str
    channel: str
    athletes: int
    athletes_with_complaints: int
    weeks: int
    left_out: int
    complaints: int
    ratios: tuple[LagRatio, ...]
    by_calendar: tuple[LagRatio, ...]

    @property
    def withheld(self) -> str | None:
        """Why nothing is shown; None when it is. Counts over fewer than five people are left out here too."""
        short = [
            shown_of(people, f"{found} of {least} {words}", f"too few {words} ({NOT_SHOWN})")
            for found, least, people, words in (
                (self.complaints, LEAST_COMPLAINTS, self.athletes_with_complaints, "new complaints"),
                (self.athletes, LEAST_ATHLETES, self.athletes, "athletes with answers and known weeks"),
                (
                    self.athletes_with_complaints,
                    LEAST_WITH_COMPLAINTS,
                    self.athletes_with_complaints,
                    "athletes with a new complaint",
                ),
            )
            if found < least
        ]
        return "so far there are " + ", ".join(short) if short else None

    @property
    def agree(self) -> bool:
        """Whether the two ways of counting say the same of every lag that stands out."""
        pairs = zip(self.ratios, self.by_calendar, strict=True)
        return all((one.ratio > 1.0) == (other.ratio > 1.0) for one, other in pairs if one.stands_out)


def association(check_ins: pl.DataFrame, weekly: pl.DataFrame) -> list[Association]:
    """The fixed questions, asked of the whole squad together.

    Scope: it describes this squad's past weeks. Order is not cause, a straight line is assumed, and nothing follows
    for one person. Below the stated numbers nothing is worked out.

    Parameters
    ----------
    check_ins : DataFrame
        CHECK_IN table of the whole squad.
    weekly : DataFrame
        WEEKLY_FIGURE table of the whole squad.

    Returns
    -------
    list of Association
        One for each of `PAIRS`.
    """
    said = weeks_said(check_ins)
    return [_asked(areas, channel, said, weekly) for areas, channel in PAIRS]


def _asked(areas: str, channel: str, said: pl.DataFrame, weekly: pl.DataFrame) -> Association:
    rows = weeks_at_stake(said, AREA_GROUPS[areas], own_steps(weekly, channel))
    counted = Association(
        areas, channel, rows.athletes, rows.athletes_with_complaints, len(rows.began), rows.left_out, rows.complaints,
        (), (),
    )  # fmt: skip
    if counted.withheld is not None:
        return counted
    return Association(
        areas, channel, rows.athletes, rows.athletes_with_complaints, len(rows.began), rows.left_out, rows.complaints,
        _ratios(_rates(rows), rows.athletes), _ratios(_hazards(rows), rows.athletes),
    )  # fmt: skip


def _rates(rows: WeeksAtStake) -> Fit:
    fit = event_rate(rows.began, rows.steps, rows.person)
    return Fit(fit.coefficients[:-1], fit.covariance[:-1, :-1])


def _hazards(rows: WeeksAtStake) -> Fit:
    week = rows.week.astype(np.float64)
    fit = recurrent_hazard(week, week + 1.0, rows.began, rows.steps, rows.person)
    return Fit(fit.coefficients, fit.covariance * rows.athletes / _freedom(rows.athletes))


def _freedom(athletes: int) -> int:
    """What few athletes leave after as many lags and a level; for the interval, and for an error not yet corrected."""
    return athletes - len(LAGS) - 1


def _ratios(fit: Fit, athletes: int) -> tuple[LagRatio, ...]:
    middle, covariance = shrunk(fit)
    away = student.ppf(_CONFIDENCE, _freedom(athletes)) * np.sqrt(np.diag(covariance))
    low, high = np.exp(middle - away), np.exp(middle + away)
    return tuple(
        LagRatio(lag, float(ratio), float(below), float(above))
        for lag, ratio, below, above in zip(LAGS, np.exp(middle), low, high, strict=True)
    )


def shrunk(fit: Fit, prior_sd: float = PRIOR_SD) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Coefficients drawn towards zero, the more so the less is known: a normal prior around zero.

    Parameters
    ----------
    fit : Fit
        Log ratios with their covariance.
    prior_sd : float
        Standard deviation of the log ratios before looking.

    Returns
    -------
    arrays
        Middle and covariance: V = (C^-1 + I / s^2)^-1 and V C^-1 b.

    Notes
    -----
    Greenland S. Int J Epidemiol 2006;35(3):765-775, doi:10.1093/ije/dyi312: information-weighted averaging.
    """
    information = np.linalg.inv(fit.covariance)
    covariance = np.linalg.inv(information + np.eye(len(fit.coefficients)) / prior_sd**2)
    return np.asarray(covariance @ information @ fit.coefficients), np.asarray(covariance, dtype=np.float64)
