"""Words that stand in more than one place, kept neutral: about work done, never about what a body can bear."""

from __future__ import annotations

__all__ = ["DAY_STATE_WORDS", "PLACE_WORDS", "SCOPE_LINE", "sentence"]

SCOPE_LINE = (
    "This describes logged training. It does not diagnose, predict or rule out injury. "
    "A doctor or physiotherapist decides about health questions; local rules and licensed practice come first."
)

PLACE_WORDS: dict[str, str] = {
    "below": "below the usual range",
    "within": "within the usual range",
    "above": "above the usual range",
    "well_above": "well above the usual range",
    "not_known": "not known",
}

DAY_STATE_WORDS: dict[str, str] = {
    "trained": "trained",
    "partly": "partly on record",
    "rest": "rest day",
    "unlogged": "no record",
    "ill": "ill",
    "travel": "travelling",
    "away": "away",
    "restricted": "training limited",
}


def sentence(written: str) -> str:
    """What somebody wrote, with a full stop unless it has an end of its own.

    >>> sentence("Too steep"), sentence("Too steep. "), sentence("Why not?")
    ('Too steep.', 'Too steep.', 'Why not?')
    """
    text = written.strip()
    return text if text.endswith((".", "!", "?", "…")) else f"{text}."
