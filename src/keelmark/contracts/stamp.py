"""What made a figure: the program and the version of its rules, as they stand on everything that is taken away."""

from __future__ import annotations

from functools import cache
from importlib.metadata import version

__all__ = ["RULE_VERSION", "stamp"]

RULE_VERSION = "5"
"""Grows whenever the same records would give other figures, or a notice other words; kept with every decision."""


@cache
def stamp() -> str:
    """`keelmark 0.1.0, rules 5`: the same records under the same stamp give the same figures."""
    return f"keelmark {version('keelmark')}, rules {RULE_VERSION}"
