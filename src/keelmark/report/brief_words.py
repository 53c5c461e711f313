"""What the weekly papers say, in plain words kept in one place."""

from __future__ import annotations

__all__ = [
    "ATHLETE_ABOUT", "BY_CHANCE", "CARE", "COACH_ABOUT", "FOOT", "NOTHING_STANDS_OUT", "NOT_SAID", "NO_HEALTH",
    "OPEN_DAYS",
]  # fmt: skip

COACH_ABOUT = "For the coach. What the squad did, who is quiet, and what stands out."
ATHLETE_ABOUT = "For you. What you did, beside what you mostly do."
OPEN_DAYS = "A day without a record is not a rest day: figures of these people are left open."
NOTHING_STANDS_OUT = "Nothing stands out this week. That is no all-clear: only logged training is looked at."
BY_CHANCE = "Some weeks lie above their marks by chance alone."
NO_HEALTH = "What people say about their bodies is not on this paper. It stands on the Check-ins page."
NOT_SAID = (
    "Above the usual range means more than you mostly do. It does not mean too much. "
    "Within the usual range does not mean that all is well."
)
CARE = (
    "If something is wrong with you or somebody else, read the card “Get medical help now” or “Get it checked soon”. "
    "Both stand on every page of keelmark. In an emergency call the emergency number first."
)
FOOT = "Made by keelmark on {day}."
