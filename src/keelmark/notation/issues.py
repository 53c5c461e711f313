"""Issues: what is doubtful or wrong in a text, where, what was understood and what is wanted."""

from __future__ import annotations

import tomllib
from collections import defaultdict
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from keelmark.catalogue import Catalogue

__all__ = ["CODES", "Issue", "issue_of"]

CODES: dict[str, str] = {
    "line_too_long": "error",
    "missing_reps": "error",
    "unknown_movement": "error",
    "negative_number": "error",
    "implausible_reps": "error",
    "implausible_load": "error",
    "implausible_percent": "error",
    "implausible_height": "warning",
    "ladder_mismatch": "error",
    "contradictory_total": "error",
    "result_conflict": "warning",
    "ambiguous_result": "warning",
    "unread_result": "warning",
    "missing_result": "warning",
    "ambiguous_unit": "warning",
    "ambiguous_load": "warning",
    "ambiguous_sides": "warning",
    "ambiguous_movement": "warning",
    "missing_one_rm": "warning",
    "missing_bodyweight": "warning",
    "shared_work_split": "warning",
    "uneven_rotation": "warning",
    "unquantified_work": "warning",
    "level_not_told": "warning",
    "no_work_found": "warning",
    "read_as": "note",
    "unread_word": "note",
    "passed_over": "note",
    "load_not_told": "note",
    "load_not_usual": "warning",
    "load_range": "note",
    "empty_bar": "note",
}


@dataclass(frozen=True, slots=True)
class Issue:
    """One doubt, with its place in the text.

    Attributes
    ----------
    code : str
        One of CODES.
    level : {"error", "warning", "note"}
        An error leaves the work out; a warning uses what is certain; a note only tells.
    start, end : int
        First character of its place and the one after the last.
    line, column : int
        The same place, counted from 1.
    message : str
        Found, wanted and understood in one line.
    understood, wanted : str
        What is done with it meanwhile, and what would be read without a doubt.
    nearest : tuple of str
        Movement names most like the word, where no movement was known.
    picture : str
        The line with carets below the place.
    """

    code: str
    level: str
    start: int
    end: int
    line: int
    column: int
    message: str
    understood: str
    wanted: str
    nearest: tuple[str, ...]
    picture: str

    def plain(self) -> dict[str, Any]:
        """The issue as plain values."""
        return {
            "code": self.code,
            "level": self.level,
            "line": self.line,
            "column": self.column,
            "message": self.message,
            "understood": self.understood,
            "wanted": self.wanted,
            "nearest": list(self.nearest),
            "picture": self.picture,
        }


def issue_of(
    code: str, start: int, end: int, data: dict[str, str], text: str, catalogue: Catalogue, lookups: bool = True
) -> Issue:
    """The issue for a finding: its message, line, column, picture and the nearest names."""
    before = text.count("\n", 0, start)
    begin = text.rfind("\n", 0, start) + 1
    stop = text.find("\n", start)
    stop = len(text) if stop < 0 else stop
    line = text[begin:stop]
    width = max(1, min(end, stop) - start)
    words = defaultdict(str, {key: _shown(key, value) for key, value in data.items()})
    parts = _messages()[code]
    found, wanted, understood = (parts[name].format_map(words) for name in ("found", "wanted", "understood"))
    nearest: tuple[str, ...] = ()
    if code == "unknown_movement" and lookups:
        nearest = tuple(catalogue.names.nearest(data.get("word", "")[:60]))
    message = f"{found}. Wanted: {wanted}. {understood[0].upper()}{understood[1:]}."
    if nearest:
        message += f" Nearest names: {', '.join(name.replace('_', ' ') for name in nearest)}."
    picture = f"{_window(line, start - begin, width)}"
    return Issue(
        code, CODES[code], start, end, before + 1, start - begin + 1, message, understood, wanted, nearest, picture
    )


def _window(line: str, at: int, width: int) -> str:
    """The line, cut to 100 characters around the place, and carets below it."""
    first = max(0, at - 40) if len(line) > 100 else 0
    shown = line[first : first + 100].replace("\t", " ")
    return f"{shown}\n{' ' * (at - first)}{'^' * min(width, 100)}"


def _shown(key: str, value: str) -> str:
    if key == "lengths":
        return f": {value} of them"
    if key == "gap":
        return f": {value} is missing"
    return value.replace("_", " ") if key in ("movement", "choices") else value


@cache
def _messages() -> dict[str, dict[str, str]]:
    return tomllib.loads((files("keelmark.notation") / "words" / "messages.toml").read_text(encoding="utf-8"))
