"""A change of an amount in words."""

from __future__ import annotations

from keelmark.contracts.channels import CHANNEL_BY_KEY

__all__ = ["change_words"]


def change_words(channel: str, change: float) -> str:
    """A change of a channel's amount, in its unit: `Grip −80 s`, `Tonnage +1,200 kg`."""
    known = CHANNEL_BY_KEY[channel]
    figure = f"{abs(change):,.0f}" if abs(change) >= 100 else f"{abs(change):.3g}"
    return f"{known.label} {'−' if change < 0 else '+'}{figure} {known.unit}"
