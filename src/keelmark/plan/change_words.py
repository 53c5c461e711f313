"""A change of an amount, and how far a change lies from what was meant, in words."""

from __future__ import annotations

from keelmark.contracts.channels import CHANNEL_BY_KEY

__all__ = ["change_words", "cost_words"]

COSTS = ((0.1, "hardly a change"), (0.25, "a small change"), (0.5, "a clear change"))
LARGEST = "another session"
"""Words for a distance from what was meant (judgement)."""


def change_words(channel: str, change: float) -> str:
    """A change of a channel's amount, in its unit: `Grip −80 s`, `Tonnage +1,200 kg`."""
    known = CHANNEL_BY_KEY[channel]
    figure = f"{abs(change):,.0f}" if abs(change) >= 100 else f"{abs(change):.3g}"
    return f"{known.label} {'−' if change < 0 else '+'}{figure} {known.unit}"


def cost_words(cost: float) -> str:
    """How far a change lies from what was meant: `a small change (0.12)`; 0.2 is about a fifth less work throughout."""
    size = next((words for most, words in COSTS if cost < most), LARGEST)
    return f"{size} ({cost:.2f})"
