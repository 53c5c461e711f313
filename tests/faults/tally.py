"""Trying a case and saying how it ended."""

from __future__ import annotations

import resource
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from enum import StrEnum

from keelmark.contracts.errors import KeelmarkError

__all__ = ["Case", "Ending", "Tally", "judged", "unfit_for_eyes", "unseen_in"]

LONGEST_S = 30.0
LARGEST_GROWTH = 3 * 1024**3
LONGEST_TOLD = 2_000
_UNSEEN_RANGES = ((0x00, 0x09), (0x0B, 0x20), (0x7F, 0xA0), (0x200B, 0x2010), (0x202A, 0x202F), (0x2066, 0x206A))
_UNSEEN = frozenset(chr(code) for first, end in _UNSEEN_RANGES for code in range(first, end)) | {"\ufeff"}


class Ending(StrEnum):
    """How a case ended."""

    REFUSED = "refused as told"
    TAKEN = "taken as it should be"
    PASSED = "wrongly passed"
    CRASHED = "crashes"


@dataclass(frozen=True, slots=True)
class Case:
    """Something to try.

    Parameters
    ----------
    name : str
        What it is, for whoever reads the table of what went wrong.
    do : function
        Tries it. What it raises on purpose counts as a refusal.
    must_refuse : bool
        Whether being taken is wrong.
    check : function, optional
        Looks at what `do` gave, or at the refusal, and says what is wrong with it, or nothing.
    """

    name: str
    do: Callable[[], object]
    must_refuse: bool = False
    check: Callable[[object], str | None] | None = None


@dataclass(slots=True)
class Tally:
    """How the cases of one kind ended, and what was wrong with those that ended badly."""

    kind: str
    endings: Counter[Ending] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)

    @property
    def tried(self) -> int:
        """All cases."""
        return self.endings.total()

    def add(self, case: Case) -> Ending:
        """Try a case and count how it ended."""
        ending, what = judged(case)
        self.endings[ending] += 1
        if ending in (Ending.PASSED, Ending.CRASHED):
            self.wrong.append(f"{self.kind} / {case.name}: {what}")
        return ending

    def add_all(self, cases: Iterable[Case]) -> Tally:
        """Try many."""
        for case in cases:
            self.add(case)
        return self


def judged(case: Case) -> tuple[Ending, str]:
    """Try a case: how it ended, and words for what went wrong."""
    began, room = time.monotonic(), _memory()
    try:
        given = case.do()
    except KeelmarkError as refusal:
        ending, given, what = Ending.REFUSED, refusal, unfit_for_eyes(refusal)
    except (KeyboardInterrupt, SystemExit):
        raise
    except BaseException as error:  # a panic of a compiled library is no Exception
        last = traceback.extract_tb(error.__traceback__)[-4:]
        places = " < ".join(f"{frame.filename.rpartition('/')[2]}:{frame.lineno}" for frame in reversed(last))
        return Ending.CRASHED, f"{type(error).__name__}: {str(error)[:200]} ({places})"
    else:
        ending, what = Ending.TAKEN, "taken, and should have been refused" if case.must_refuse else None
    what = what or (case.check(given) if case.check else None)
    if what:
        return Ending.PASSED, what
    if (took := time.monotonic() - began) > LONGEST_S:
        return Ending.CRASHED, f"took {took:.0f} s"
    if (grown := _memory() - room) > LARGEST_GROWTH:
        return Ending.CRASHED, f"took {grown / 1024**2:.0f} MB"
    return ending, ""


def _memory() -> int:
    """The most memory this process ever held, in bytes."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024


def unfit_for_eyes(refusal: KeelmarkError) -> str | None:
    """What is wrong with a refusal as something to read: a part missing, too long, or signs that nobody sees."""
    parts = {"found": refusal.found, "where": refusal.where, "wanted": refusal.wanted, "remedy": refusal.remedy}
    for name, text in parts.items():
        if not text.strip():
            return f"the refusal says nothing of {name}"
        if len(text) > LONGEST_TOLD:
            return f"the refusal's {name} has {len(text)} characters"
        if unseen := unseen_in(text):
            return f"the refusal's {name} holds {sorted(map(ascii, unseen))}"
        if "Traceback" in text:
            return f"the refusal's {name} shows the inside"
    return None


def unseen_in(text: str) -> set[str]:
    """Signs of a text that nobody sees, or that turn what stands after them."""
    return _UNSEEN & set(text)
