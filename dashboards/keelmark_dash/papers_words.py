"""What the pages about papers and rights say, in plain words kept in one place."""

from __future__ import annotations

__all__ = [
    "ANOTHER_AGREES", "ARCHIVE_NOTE", "BRIEF_NOTE", "ERASED", "EVERYBODY_WORDS", "HAND_OVER_NOTE", "MINORS",
    "NOTHING_AGREED", "NOTHING_STANDS", "QUIET_NOTE", "SAVED", "SLIP_NOTE", "SLIP_SAVED", "WHO_ERASES",
]  # fmt: skip

HAND_OVER_NOTE = (
    "One page for a physiotherapist or doctor. Ask the athlete first: what may be shown, and to whom. What they "
    "agree to is kept with the day, and only that is on the page."
)
MINORS = "For somebody under age the guardian agrees. Who that is stands on the athlete's own page."
ANOTHER_AGREES = "Somebody else agrees for this athlete by now. Load the page again, then ask them."
SLIP_NOTE = (
    "Type in what the slip says. Limits stand for the days you give, and the planner passes none of the amounts. "
    "Leave out what was found: there is no field for it."
)
SLIP_SAVED = "The slip is kept."
NOTHING_AGREED = "Nothing has been handed over so far."
NOTHING_STANDS = "No limits stand at present."
BRIEF_NOTE = "One page for the coach, one for each athlete. Nothing that people say about their bodies is on them."
EVERYBODY_WORDS = "Save everybody's papers (ZIP)"
SAVED = "The papers are in your downloads."
QUIET_NOTE = "Words to send, one message each. They ask; they press nobody. Send them as you like: nothing leaves here."
ARCHIVE_NOTE = (
    "One ZIP file with every table of this person: work, figures, answers, limits, consents, and who has looked. "
    "It opens in any spreadsheet."
)
WHO_ERASES = "Everything can be erased by {name}, and by the owner of this squad; nobody else may do it."
ERASED = "Everything of this person is erased."
