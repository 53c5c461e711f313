"""Lines longer than any whiteboard's: they are set aside and told, so that no input takes long to read."""

from __future__ import annotations

import re

from keelmark.notation.desk import Finding

__all__ = ["LONGEST_LINE", "without_long_lines"]

LONGEST_LINE = 4_000
"""Characters of the longest line that is read."""
_LINE = re.compile(r"[^\n\r\v\f\x1c-\x1e\x85\u2028\u2029]+")


def without_long_lines(text: str) -> tuple[str, list[Finding]]:
    """The text with blanks in the place of each line that is too long, and a finding for each of those.

    Every other line stays where it is and is read.
    """
    if len(text) <= LONGEST_LINE:
        return text, []
    found: list[Finding] = []
    for line in _LINE.finditer(text):
        start, end = line.span()
        if end - start > LONGEST_LINE:
            signs = {"signs": f"{end - start:,}", "most": f"{LONGEST_LINE:,}"}
            found.append(Finding("line_too_long", start, end, signs))
    for finding in found:
        text = text[: finding.start] + " " * (finding.end - finding.start) + text[finding.end :]
    return text, found
