"""A change of an amount, and how far a change lies from what was meant, in words."""

from __future__ import annotations

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.rounding import told_alone

__all__ = ["change_words", "cost_words"]

COSTS = ((0.1, "hardly a change"), (0.25, "a small change"), (0.5, "a clear change"))
LARGEST = "another session"
"""Words for a distance from what was meant (judgement)."""
COUNTED = frozenset({"kg", "rep", "cycle", "contact"})
"""Units that are counted from the text. Everything else is an estimate, of which two digits are told."""


def change_words(channel: str, change: float) -> str:
    """A change of a channel's amount, in its unit: `Grip −80 s`, `Tonnage +1,200 kg`, `Grip tendon index −0.00042`."""
    known = CHANNEL_BY_KEY[channel]
    amount = abs(change) if known.unit in COUNTED else float(f"{abs(change):.2g}")
    unit = "" if known.unit in known.label.lower() else f" {known.unit}"
    return f"{known.label} {'−' if change < 0 else '+'}{told_alone(amount)}{unit}"


def cost_words(cost: float) -> str:
    """How far a change lies from what was meant: `a small change (0.12)`; 0.2 is about a fifth less work throughout."""
    size = next((words for most, words in COSTS if cost < most), LARGEST)
    return f"{size} ({cost:.2f})"
