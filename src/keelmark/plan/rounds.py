"""How many rounds of an open clock to expect: as the board says, from earlier results, or from the catalogue's paces.

A note such as `Goal: 6 rounds` or `(expect 5 to 7 rounds)` belongs to the open clock above it, or to the one that
begins below it. It is told to athletes and stands in the text, so that versions and calendar files carry it along.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from keelmark.notation.tree import Prescription, Section
from keelmark.plan.pace import Span

__all__ = ["OPEN_CLOCKS", "Pace", "with_expected", "without_expected", "work_share", "written_rounds"]

OPEN_CLOCKS = ("amrap",)
_IN_TURNS = ("split", "even", "turns")


@dataclass(frozen=True, slots=True)
class Pace:
    """How fast somebody went under open clocks, as a multiple of the catalogue's paces, with the least and the most.

    `results` is how many scores it rests on; `whose` is own, or squad where an athlete has too few.
    """

    value: float
    low: float
    high: float
    results: int
    whose: str

    def of(self, rounds: Span) -> Span:
        """Rounds by the catalogue's paces made into rounds of this pace."""
        return Span(rounds.value * self.value, rounds.value * self.low, rounds.value * self.high)


def work_share(section: Section) -> float:
    """Share of the clock that one person works: all of it, or a part where a team goes in turns."""
    return 1.0 / section.people if section.share in _IN_TURNS and section.people > 1 else 1.0


def written_rounds(text: str, tree: Prescription) -> dict[int, Span]:
    """Rounds that a text tells to expect, by number of the part.

    Parameters
    ----------
    text : str
        Whiteboard text of one session.
    tree : Prescription
        The same text as read.
    """
    found = {}
    for match in _expected().finditer(text):
        part = _part_of(text, match.start(), tree)
        low = float(match["low"].replace(",", "."))
        high = float(match["high"].replace(",", ".")) if match["high"] else low
        if part is not None and 0 < low <= high:
            found[part] = Span((low + high) / 2, low, high)
    return found


def with_expected(text: str, tree: Prescription, part: int, rounds: float | None) -> str:
    """The text with a line that says how many rounds of a part to expect; without one when nothing is given.

    Parameters
    ----------
    text, tree
        As for `written_rounds`.
    part : int
        Number of a part with an open clock.
    rounds : float or None
        Rounds of one athlete, or of one team where a team goes in turns.
    """
    ends = [station.end for group in tree.sections[part].groups for station in group.stations]
    end = text.find("\n", max(ends))
    end = len(text) if end < 0 else end
    said = "" if rounds is None else f"\nGoal: {rounds:g} rounds"
    old = next((found for found in _expected().finditer(text) if _part_of(text, found.start(), tree) == part), None)
    if old is None or old.start() < end:
        text = text[:end] + said + text[end:]
        return text if old is None else _without(text, old)
    text = _without(text, old)
    return text[:end] + said + text[end:]


def without_expected(text: str) -> str:
    """The text with spaces in place of what is expected, so that everything else keeps its place."""
    return _expected().sub(lambda match: " " * len(match.group()), text)


def _without(text: str, match: re.Match[str]) -> str:
    """Text without a note, and without the line that it leaves empty."""
    before, after = text[: match.start()], text[match.end() :]
    if not before.rpartition("\n")[2].strip() and not after.partition("\n")[0].strip():
        return before.rstrip("\n") + after
    return before.rstrip(" ") + after


def _part_of(text: str, place: int, tree: Prescription) -> int | None:
    """The open part that a note belongs to: the one whose work is on the same line or just above, else the next one."""
    spans = [
        (number, station.start, station.end)
        for number, section in enumerate(tree.sections)
        if section.kind in OPEN_CLOCKS
        for group in section.groups
        for station in group.stations
    ]
    line = text.rfind("\n", 0, place) + 1
    above = text[:line].rstrip()
    begins = above.rfind("\n") + 1
    alone = not text[line:place].strip(" \t(–-")
    near = [number for number, start, end in spans if alone and start < len(above) and end > begins]
    if near:
        return near[-1]
    later = [number for number, start, _ in spans if start >= line]
    return later[0] if later else (spans[-1][0] if spans else None)


@cache
def _expected() -> re.Pattern[str]:
    given = tomllib.loads((files("keelmark.plan.words") / "expected.toml").read_text(encoding="utf-8"))
    expect, rounds, to = ("|".join(map(re.escape, given[kind])) for kind in ("expect", "rounds", "to"))
    figure = r"\d+(?:[.,]\d+)?"
    span = rf"(?P<low>{figure})(?:\s*(?:{to})\s*(?P<high>{figure}))?"
    return re.compile(rf"\(?\b(?:{expect})\s*:?\s+{span}\s*(?:{rounds})\b\)?", re.I)
