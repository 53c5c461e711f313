"""Issues: what is doubtful or wrong in a text, where, what was understood and what is wanted."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from keelmark.catalogue import Catalogue

__all__ = ["CODES", "Issue", "issue_of"]

CODES: dict[str, str] = {
    "missing_reps": "error", "unknown_movement": "error", "negative_number": "error", "implausible_reps": "error",
    "implausible_load": "error", "implausible_percent": "error", "ladder_mismatch": "error", "contradictory_total": "error",
    "result_conflict": "warning", "ambiguous_result": "warning", "missing_result": "warning", "ambiguous_unit": "warning",
    "ambiguous_load": "warning", "ambiguous_sides": "warning", "ambiguous_movement": "warning", "missing_one_rm": "warning",
    "missing_bodyweight": "warning", "shared_work_split": "warning", "uneven_rotation": "warning", "unquantified_work": "warning",
    "no_work_found": "warning",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Issue:
    """One doubt, with its place in the text."""

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
            "code": self.code, "level": self.level, "line": self.line, "column": self.column, "message": self.message,
            "understood": self.understood, "wanted": self.wanted, "nearest": list(self.nearest),
        }  # fmt: skip


def issue_of(code: str, start: int, end: int, data: dict[str, str], text: str, catalogue: Catalogue) -> Issue:
    """The issue for a finding, with its message, line, column and picture."""
    before = text.count("\n", 0, start)
    begin = text.rfind("\n", 0, start) + 1
    stop = text.find("\n", start)
    line = text[begin : len(text) if stop < 0 else stop]
    picture = line + "\n" + " " * (start - begin) + "^" * max(1, min(end, begin + len(line)) - start)
    return Issue(code, CODES[code], start, end, before + 1, start - begin + 1, code, "", "", (), picture)


@cache
def _messages() -> dict[str, dict[str, str]]:
    return tomllib.loads((files("keelmark.notation") / "words" / "messages.toml").read_text(encoding="utf-8"))
