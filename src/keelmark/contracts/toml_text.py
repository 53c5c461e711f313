"""TOML that somebody wrote, read without letting a few signs take all of a machine's memory."""

from __future__ import annotations

import tomllib
from typing import Any

__all__ = ["LONGEST_LINE", "read_toml"]

LONGEST_LINE = 1_000
"""Signs in one line; a key of very many parts takes memory by the square of their number."""


def read_toml(text: str) -> dict[str, Any]:
    """The table of a TOML text.

    Raises
    ------
    ValueError
        When the text is not TOML, or a line is longer than anybody writes, or it is nested too deeply.
    """
    for number, line in enumerate(text.splitlines(), start=1):
        if len(line) > LONGEST_LINE:
            raise ValueError(f"line {number} has more than {LONGEST_LINE:,} signs")
    try:
        return tomllib.loads(text)
    except RecursionError as error:
        raise ValueError("it is nested too deeply") from error
