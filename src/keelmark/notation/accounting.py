"""Account for every character of a text: understood, a comment, or part of an issue."""

from __future__ import annotations

from dataclasses import dataclass

from keelmark.notation.issues import Issue
from keelmark.notation.items import Item

__all__ = ["Stretch", "account"]

_COMMENT = frozenset(
    ["word", "letter", "other", "blank", "bullet", "stop", "query", "pace", "manner", "remark", "vague", "newline"]
)


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of the text, `start` to before `end`, and what became of it: understood, comment or issue."""

    start: int
    end: int
    kind: str


def account(text: str, items: list[Item], muted: list[tuple[int, int]], issues: list[Issue]) -> list[Stretch]:
    """The whole text in stretches that follow one another without a gap."""
    if not text:
        return []
    kinds = ["comment"] * len(text)
    for item in items:
        if item.kind not in _COMMENT:
            kinds[item.start : item.end] = ["understood"] * (item.end - item.start)
    for start, end in muted:
        kinds[start:end] = ["comment"] * (end - start)
    for issue in issues:
        if issue.level != "note" and not (issue.start == 0 and issue.end >= len(text)):
            end = min(issue.end, len(text))
            kinds[issue.start : end] = ["issue"] * max(0, end - issue.start)
    return _joined(text, kinds)


def _joined(text: str, kinds: list[str]) -> list[Stretch]:
    """Neighbours of one kind together; blanks go with what stands before them."""
    stretches: list[Stretch] = []
    start, current = 0, kinds[0]
    for at, kind in enumerate(kinds):
        if text[at].isspace() or kind == current:
            continue
        stretches.append(Stretch(start, at, current))
        start, current = at, kind
    stretches.append(Stretch(start, len(text), current))
    return [stretch for stretch in stretches if stretch.end > stretch.start]
