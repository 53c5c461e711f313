"""What a squad may choose about its marks and notices."""

from __future__ import annotations

from dataclasses import dataclass

from keelmark.contracts.errors import SettingError

__all__ = ["RATES", "MarkSettings"]

RATES = {"week": 0.1, "slow": 0.03}
"""Rate at which notices of each rule may be false, unless an audit has lowered it. Together they bring a squad in which
nothing changes a notice in less than one week of five: less than one a month. A slow rise has several weeks to be found
in, and comes for several athletes at once where it is a false one, so its rate is the lower."""


@dataclass(frozen=True, slots=True)
class MarkSettings:
    """Choices behind the marks and notices.

    Parameters
    ----------
    share : float
        Long-run share of usual weeks above the upper mark, and below the lower one; above 0 and below 0.5.
    budget : int
        Notices shown first in a week, for the whole squad.
    week_rate, slow_rate : float
        Rate at which notices of single weeks, and of slow rises, may be false, taken over all athletes and channels
        of a week; above 0 and below 1. While nothing has changed in the squad, at most this share of weeks has any
        notice of the rule. An audit lowers the rate of a rule that speaks too often in a squad.
    """

    share: float = 0.05
    budget: int = 3
    week_rate: float = RATES["week"]
    slow_rate: float = RATES["slow"]

    def __post_init__(self) -> None:
        if not 0.0 < self.share < 0.5:
            raise SettingError(
                f"{self.share:g} is not a share of weeks",
                where="setting share",
                wanted="a number above 0 and below 0.5",
                remedy="use 0.05 for one week in twenty",
            )
        if self.budget < 1:
            raise SettingError(
                f"{self.budget} is not a number of notices",
                where="setting budget",
                wanted="a whole number from 1 up",
                remedy="use 3 to see the three most marked weeks first",
            )
        for rule, rate in (("week", self.week_rate), ("slow", self.slow_rate)):
            if not 0.0 < rate < 1.0:
                raise SettingError(
                    f"{rate:g} is not a rate",
                    where=f"setting {rule}_rate",
                    wanted="a number above 0 and below 1",
                    remedy=f"use {RATES[rule]:g}: a false notice in at most one week of {round(1 / RATES[rule])}",
                )
