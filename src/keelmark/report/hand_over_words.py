"""What a hand-over says, in plain words kept in one place."""

from __future__ import annotations

__all__ = [
    "ALLOWED", "FIELDS", "FOOT", "LIMITED", "NOT_YET", "NO_COMPLAINT", "OPENING", "PURPOSE", "SLIP_OPENING",
    "SLIP_TITLE", "VERDICTS", "WORK_NOTE",
]  # fmt: skip

PURPOSE = "hand-over"
"""What the consent behind such a paper is called."""

FIELDS: dict[str, str] = {
    "load": "twelve weeks of training, by kind of work",
    "changes": "what changed most in the last four weeks",
    "coverage": "how much of it is on record",
    "complaints": "what was told about the body, week by week",
    "limits": "what is agreed for training at present",
}
"""What can be handed over; each is agreed to for itself."""

OPENING = "For the physiotherapist or doctor. It tells what was done in training, as far as it was written down."
WORK_NOTE = (
    "A week, on average, from what is on record. In brackets: what the true figure lies between. "
    "Small bars are the twelve weeks, oldest first; an empty box is a week that is not known."
)
NO_COMPLAINT = "Nothing was told about the body in these weeks."
FOOT = "Made by keelmark on {day}. It holds what the person named above agreed to, and nothing else."

SLIP_TITLE = "Return slip"
SLIP_OPENING = (
    "Please say what training may be. Please leave out what you found and why: the coach needs the limits only."
)
ALLOWED, LIMITED, NOT_YET = "allowed", "limited", "not yet"
VERDICTS: dict[str, str] = {
    ALLOWED: "Training as before",
    LIMITED: "Training with limits",
    NOT_YET: "No training yet",
}
"""The three answers of a return slip."""
