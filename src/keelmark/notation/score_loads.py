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
    readers: tuple[Callable[[list[Item]], Score | None], ...] = (
        _of_numbered_sets,
        _one_for_all,
        _sets_at_each,
        _reps_at_one,
        _for_so_many,
        _stepped,
        _pairs,
        _of_so_many,
    )
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


def _of_numbered_sets(items: list[Item]) -> Score | None:
    """`sets 1-3 80, sets 4-5 85 kg`: the load of the sets told by their numbers."""
    values: list[float] = []
    at = 0
    while at < len(items):
        if items[at].kind in ("comma", "and", "then", "semicolon", "mass", "slash", "sslash", "word"):
            at += 1
            continue
        run = _run_of_sets(items, at)
        if run is None or run[0] != len(values) + 1:
            return None
        first, last, at = run
        values += [items[at - 1].value] * (last - first + 1)
    return Score("loads", values=values, unit=mass_of(items)) if len(values) > 1 else None


def _run_of_sets(items: list[Item], at: int) -> tuple[int, int, int] | None:
    """The first and last number of some sets, and the place behind their load."""
    if "sets" not in items[at].roles or at + 2 >= len(items) or items[at + 1].kind != "number":
        return None
    first = last = items[at + 1].value
    at += 2
    if items[at].kind in ("dash", "sdash", "to", "and") and at + 2 < len(items) and items[at + 1].kind == "number":
        last = items[at + 1].value
        at += 2
    while at < len(items) and (items[at].kind in ("at", "colon", "equals") or "at" in items[at].roles):
        at += 1
    fits = at < len(items) and items[at].kind == "number" and 0 < first <= last <= 20
    return (int(first), int(last), at + 1) if fits and float(first).is_integer() and float(last).is_integer() else None


def _reps_at_one(items: list[Item]) -> Score | None:
    """`5, 5, 5, 4, 3 @ 80 kg`, `80 kg: 5/5/5/4/3`: the reps of each set at one load."""
    plain = [item for item in items if item.kind not in ("word", "reps_word", "mass")]
    marks = [at for at, item in enumerate(plain) if item.kind in ("at", "colon") or "at" in item.roles]
    if len(marks) != 1:
        return None
    ahead, behind = _numbers_of(plain[: marks[0]]), _numbers_of(plain[marks[0] + 1 :])
    reps, load = (ahead, behind) if len(behind or []) == 1 else (behind, ahead)
    if reps is None or load is None or len(load) != 1 or len(reps) < 2 or load[0] <= max(reps) or max(reps) > 30:
        return None
    if mass_of(items) == "" and load[0] < _LIGHTEST:
        return None
    return Score("loads", values=load * len(reps), pairs=[(count, load[0]) for count in reps], unit=mass_of(items))


def _numbers_of(items: list[Item]) -> list[float] | None:
    """The figures of a list, or None where something else stands between them."""
    found: list[float] = []
    for item in items:
        if item.kind == "number":
            found.append(item.value)
        elif item.kind in ("commas", "dots"):
            found.extend(item.value)
        elif item.kind not in ("comma", "slash", "sslash", "dash", "and"):
            return None
    return found


def _for_so_many(items: list[Item]) -> Score | None:
    """`80 kg for 3, then 85 for 2`: a load, and for how many sets."""
    plain = [item for item in items if item.kind not in ("word", "comma", "and", "mass", "then", "sets", "semicolon")]
    kinds = [item.kind for item in plain]
    if len(kinds) < 6 or kinds != ["number", "for_word", "number"] * (len(kinds) // 3):
        return None
    loads, counts = [item.value for item in plain[::3]], [item.value for item in plain[2::3]]
    if min(loads) < _LIGHTEST or max(counts) > 20 or any(not count.is_integer() for count in counts):
        return None
    values = [load for load, count in zip(loads, counts, strict=True) for _ in range(int(count))]
    return Score("loads", values=values, unit=mass_of(items))


def _stepped(items: list[Item]) -> Score | None:
    """`60 to 80 in 5s`, `started at 60, +5 each set`: loads that rise by the same each time."""
    plain = [item for item in items if item.kind not in ("word", "comma", "mass", "sets", "a", "at")]
    numbers = [item.value for item in plain if item.kind == "number"]
    kinds = [item.kind for item in plain]
    if len(numbers) == 3 and kinds[:3] == ["number", "to", "number"]:
        first, last, step = numbers
        count = (last - first) / step + 1 if step else 0.0
        if first >= _LIGHTEST and last > first and 2 <= count <= 20 and count.is_integer():
            return Score("loads", values=[first + n * step for n in range(int(count))], unit=mass_of(items))
    rises = any(item.kind in ("plus", "add") for item in plain) and any(
        "per_set" in item.roles or "each" in item.roles or "start_at" in item.roles for item in plain
    )
    if len(numbers) == 2 and rises and numbers[0] >= _LIGHTEST and 0 < numbers[1] <= numbers[0] / 2:
        return Score("loads", values=numbers[:1], rise=numbers[1], unit=mass_of(items))
    return None


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
    if not found or (len(found) == 1 and found[0][1] < _LIGHTEST and any("done" in item.roles for item in items)):
        return None
    return Score("loads", values=[load for _, load in found], pairs=found, unit=mass_of(items))


def _of_so_many(items: list[Item]) -> Score | None:
    """`120 for all five`: one load, and how many sets it was for."""
    numbers = [item.value for item in items if item.kind == "number"]
    if len(numbers) != 2 or not is_for_all(items) or numbers[1] > 20 or numbers[0] < _LIGHTEST:
        return None
    return Score("loads", values=numbers[:1], unit=mass_of(items), uniform=True)
