"""What a squad may choose about its marks and notices."""

from __future__ import annotations

from dataclasses import dataclass

from keelmark.contracts.errors import SettingError

__all__ = ["RATE", "MarkSettings"]

RATE = 0.05
"""Rate at which notices of one rule may be false, unless an audit has lowered it."""


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
    week_rate: float = RATE
    slow_rate: float = RATE

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
        for name, rate in (("week_rate", self.week_rate), ("slow_rate", self.slow_rate)):
            if not 0.0 < rate < 1.0:
                raise SettingError(
                    f"{rate:g} is not a rate",
                    where=f"setting {name}",
                    wanted="a number above 0 and below 1",
                    remedy=f"use {RATE:g} for at most about one false notice in {round(1 / RATE)}",
                )
