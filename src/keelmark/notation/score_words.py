"""What words around the figures of a score do to them: sums left out, misses, rounds short of some, rough counts."""

from __future__ import annotations

import re

from keelmark.notation.items import Item
from keelmark.notation.score_kinds import Score

__all__ = ["as_clock", "is_rough", "short_of", "without_misses", "without_sums"]

_CLOCK = re.compile(r"\s*([0-9]{1,2})[.,]([0-5][0-9])\s*(?:min|h)?\.?\s*")
_SUM = re.compile(r"(?<=[0-9])\s*=\s*[0-9]+\s*(?:reps|total|cals?)?\s*$")
_EXACT = re.compile(r"^[^:0-9]*[0-9]+[^:0-9]*:\s*(?=[0-9]+\s*\+\s*[0-9]+\s*$)")


def without_sums(text: str) -> str:
    """`12, 10, 9, 8 = 39` and `just short of 8: 7 + 26`: only what is told figure by figure."""
    return _EXACT.sub("", _SUM.sub("", text) if "," in text or "+" in text or "/" in text else text)


def as_clock(text: str) -> float:
    """`14.30` as seconds, for a score that is a time; nought where it is none."""
    found = _CLOCK.fullmatch(text)
    return 60.0 * int(found[1]) + int(found[2]) if found else 0.0


def is_rough(items: list[Item]) -> bool:
    """`about 7 rounds`, `7 rounds and a bit`: a count that nobody can be sure of."""
    return any(item.kind == "about" or "about" in item.roles or "vague" in item.roles for item in items)


def short_of(items: list[Item]) -> Score | None:
    """`8 rounds minus 3 squats`: so many rounds but the last few of the last."""
    place = next((at for at, item in enumerate(items) if "less" in item.roles or item.word in _MINUS), None)
    numbers = [(at, item.value) for at, item in enumerate(items) if item.kind == "number"]
    if place is None or len(numbers) != 2 or not numbers[0][0] < place < numbers[1][0]:
        return None
    if not any("rounds" in item.roles for item in items[: numbers[1][0]]):
        return None
    return Score("rounds", rounds=int(numbers[0][1]), reps=-numbers[1][1])


_MINUS = frozenset(["minus", "menos", "moins", "weniger"])


def _marked_as_missed(items: list[Item]) -> set[int]:
    """Places of figures with a mark behind them, `165(f)`, `55x miss`, and of the marks."""
    found: set[int] = set()
    if sum(item.kind == "number" for item in items) < 2:
        return found
    for at, item in enumerate(items):
        here = at + 1
        while here < len(items) and items[here].kind in ("times", "open") and item.kind == "number":
            here += 1
        mark = items[here] if here < len(items) else None
        lettered = mark is not None and mark.kind == "letter" and mark.word == "f" and not mark.spaced
        said = mark is not None and "deduct" in mark.roles and here > at + 1
        if item.kind == "number" and (lettered or said):
            found.update(range(at, here + 1 + (here + 1 < len(items) and items[here + 1].kind == "close")))
    return found


def without_misses(items: list[Item]) -> tuple[list[Item], int]:
    """The items without each figure that was missed, `125, missed 130`, and how many were."""
    dropped = _marked_as_missed(items)
    for at, item in enumerate(items):
        if "deduct" not in item.roles or at in dropped:
            continue
        beside = [n for n in (at + 1, at - 1) if 0 <= n < len(items) and items[n].kind == "number"]
        dropped.update((at, *beside[:1]))
    kept = [item for at, item in enumerate(items) if at not in dropped]
    return kept, sum(items[at].kind == "number" for at in dropped)
