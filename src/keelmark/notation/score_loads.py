"""Scores that tell loads: one for all sets, pairs of reps and load, so many sets at each."""

from __future__ import annotations

from collections.abc import Callable

from keelmark.notation.items import Item
from keelmark.notation.score_kinds import Score

__all__ = ["is_for_all", "loads_told", "mass_of", "says_loads"]

_BESIDE = frozenset(["word", "at", "of", "with", "wearing", "manner", "each"])
_ALL_SETS = frozenset(
    ["all", "across", "straight", "alle", "alles", "todas", "todos", "todo", "toutes", "tous", "tout"]
)
_LOAD_WORDS = frozenset(["loads", "weights", "lasten", "gewichte", "cargas", "pesos", "charges", "poids", "bars"])
_LIGHTEST = 15
"""A figure in front of sets and reps that is at least so much is a load."""


def loads_told(items: list[Item]) -> Score | None:
    """The loads of a score, or None where it tells none outright."""
    readers: tuple[Callable[[list[Item]], Score | None], ...] = (_one_for_all, _sets_at_each, _pairs, _of_so_many)
    return next((score for score in (reader(items) for reader in readers) if score is not None), None)


def mass_of(items: list[Item]) -> str:
    """The unit of mass that is written, or nothing."""
    return next((item.value.name for item in items if item.kind == "mass"), "")


def is_for_all(items: list[Item]) -> bool:
    """Does a word say that it holds for every set?"""
    return any(item.word in _ALL_SETS or "per_set" in item.roles for item in items)


def says_loads(items: list[Item], roles: set[str]) -> bool:
    """Do words say that the figures are loads?"""
    return (
        any(item.kind == "at" or "at" in item.roles for item in items)
        or bool(roles & {"single", "double", "triple", "top_set", "build"})
        or any(item.word in _LOAD_WORDS for item in items)
    )


def _one_for_all(items: list[Item]) -> Score | None:
    """`4x5 at 80 kg`, `5x3@120`, `120x3x5`: one load for all sets."""
    plain = [item for item in items if item.kind not in _BESIDE]
    kinds = [item.kind for item in plain]
    if kinds[:4] == ["number", "times", "number", "number"] and kinds[4:] in ([], ["mass"]):
        told = kinds[4:] or any(item.kind == "at" or "at" in item.roles for item in items)
        if told and plain[3].value >= _LIGHTEST:
            return Score("loads", values=[plain[3].value], unit=mass_of(items), uniform=True)
    behind = [kind for kind in kinds[1:] if kind != "mass"]
    if kinds[:1] == ["number"] and behind == ["times", "number", "times", "number"] and plain[0].value >= _LIGHTEST:
        counts = [item.value for item in plain[1:] if item.kind == "number"]
        if max(counts) <= 20:
            return Score("loads", values=[plain[0].value], unit=mass_of(items), uniform=True)
    return None


def _sets_at_each(items: list[Item]) -> Score | None:
    """`3 sets at 120, 2 at 130`: the load of so many sets."""
    if not any("sets" in item.roles for item in items):
        return None
    plain = [item for item in items if item.kind not in ("sets", "word", "comma", "and", "mass", "then", "plus", "of")]
    kinds = ["at" if item.kind == "at" or "at" in item.roles else item.kind for item in plain]
    if len(kinds) < 3 or len(kinds) % 3 or kinds != ["number", "at", "number"] * (len(kinds) // 3):
        return None
    counts, loads = [item.value for item in plain[::3]], [item.value for item in plain[2::3]]
    if any(not count.is_integer() or not 0 < count <= 20 for count in counts):
        return None
    values = [load for count, load in zip(counts, loads, strict=True) for _ in range(int(count))]
    return Score("loads", values=values, unit=mass_of(items))


def _pairs(items: list[Item]) -> Score | None:
    """`5x80, 3x90 kg` and `3@85`: reps and load of each set."""
    found: list[tuple[float, float]] = []
    at = 0
    while at + 2 < len(items):
        if items[at].kind == "number" and items[at + 1].kind in ("times", "at") and items[at + 2].kind == "number":
            found.append((items[at].value, items[at + 2].value))
            at += 3
        else:
            at += 1
    if found and all(first > second for first, second in found) and all(first >= 20 for first, _ in found):
        found = [(second, first) for first, second in found]
    if not found:
        return None
    return Score("loads", values=[load for _, load in found], pairs=found, unit=mass_of(items))


def _of_so_many(items: list[Item]) -> Score | None:
    """`120 for all five`: one load, and how many sets it was for."""
    numbers = [item.value for item in items if item.kind == "number"]
    if len(numbers) != 2 or not is_for_all(items) or numbers[1] > 20 or numbers[0] < _LIGHTEST:
        return None
    return Score("loads", values=numbers[:1], unit=mass_of(items), uniform=True)
