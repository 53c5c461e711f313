"""Count work instead of taking times: calls are the same on every machine, busy or not."""

from __future__ import annotations

from collections.abc import Callable
from cProfile import Profile

__all__ = ["calls"]


def calls(work: Callable[[], object]) -> int:
    """How many calls of functions, Python's own among them, some work makes.

    What one call does inside compiled code (a search in a text, a sum over a column) counts as one.
    """
    profile = Profile()
    profile.enable()
    try:
        work()
    finally:
        profile.disable()
    return sum(entry.callcount for entry in profile.getstats())
