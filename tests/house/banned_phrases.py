"""Phrases that nothing a user sees may hold, as patterns, and sentences that show what they would find."""

from __future__ import annotations

import re

__all__ = ["BANNED", "FOUND"]

BANNED = re.compile(
    r"injury risk|risk of injury|danger zone|sweet spot|safe limit|overloaded|\bworn\b|\bunstable\b"
    r"|cleared to train|you should stop|traffic light|injury[- ]prone|\bunsafe (?:load|week)\b",
    re.IGNORECASE,
)
FOUND = ("She is in the Danger Zone", "injury risk 40 %")
