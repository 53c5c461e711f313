"""What a squad may choose about its marks and notices."""

from __future__ import annotations

from dataclasses import dataclass

from keelmark.contracts.errors import SettingError

__all__ = ["MarkSettings"]


@dataclass(frozen=True, slots=True)
class MarkSettings:
    """Choices behind the marks and notices.

    Parameters
    ----------
    share : float
        Long-run share of usual weeks above the upper mark, and below the lower one; above 0 and below 0.5.
    budget : int
        Notices shown first in a week, for the whole squad.
    false_discovery : float
        Rate at which notices may be false, taken over all athletes, channels and both rules of a week; above 0 and
        below 1. While nothing has changed in the squad, at most this share of weeks has any notice.
    """

    share: float = 0.05
    budget: int = 3
    false_discovery: float = 0.10

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
        if not 0.0 < self.false_discovery < 1.0:
            raise SettingError(
                f"{self.false_discovery:g} is not a rate",
                where="setting false_discovery",
                wanted="a number above 0 and below 1",
                remedy="use 0.1 for at most about one false notice in ten",
            )
