"""One score by itself: a time, rounds, reps, loads, or amounts by movement."""

from __future__ import annotations

import re

from keelmark.notation.items import Item, items_of
from keelmark.notation.lexicon import Lexicon
from keelmark.notation.score_kinds import Score
from keelmark.notation.score_lists import chosen, listed
from keelmark.notation.score_loads import is_for_all, loads_told, mass_of, says_loads
from keelmark.notation.score_words import as_clock, is_rough, short_of, without_misses

__all__ = ["CHAIN", "named_amounts", "one_score"]

_REPS = frozenset(["reps_word", "total", "dnf", "cap"])
_LIST_COMMA = re.compile(r"(?<=[0-9]),(?=[0-9])")
CHAIN = re.compile(r"[0-9.]+(?:,[0-9.]+){2,}")
"""Three figures or more with nothing but commas between: a list, no decimals."""


def one_score(text: str, lexicon: Lexicon) -> Score | None:
    """The score that a result, or a part of it, tells; None where it tells none."""
    if ", " not in text:
        text = CHAIN.sub(lambda found: _LIST_COMMA.sub(", ", found.group()), text)
    items, missed = without_misses(list(items_of(text, lexicon)))
    if len(items) > 2 and items[0].kind == "movement" and items[1].kind == "colon":
        score = one_score(text[items[1].end :], lexicon)
        if score is not None and score.kind not in ("by_name", "named"):
            score.of = items[0].value
            return score
    named = listed(items, text) or chosen(items) or short_of(items)
    if named is not None:
        return named
    kinds = [item.kind for item in items]
    roles = {role for item in items for role in item.roles}
    numbers = _numbers(items)
    if re.fullmatch(r"\s*[0-9]+\s+[0-9]/[0-9]\s*(?:[a-zA-Z]+)?\s*", text):
        return Score("unclear", reps=numbers[0])
    clocks = [item.value for item in items if item.kind == "clock"]
    if re.search(r"(?<![0-9:])[0-9]+:[6-9][0-9](?![0-9:])", text):
        return Score("unclear", reps=numbers[0])
    own = "own" in roles or "each_person" in roles
    if any("own" in item.roles and _ends_in_rounds(item, lexicon) for item in items) or _full_ones(items, roles):
        roles.add("rounds")
    capped = bool({"cap", "dnf"} & roles)
    score = _clocked(items, kinds, roles, numbers, clocks)
    if score is None:
        score = _counted(items, kinds, roles, numbers, lexicon)
    if score is not None:
        score.own, score.capped = own, capped
        score.uniform = score.uniform or is_for_all(items)
        score.missed = missed
        if score.kind == "rounds" and is_rough(items):
            score.doubtful = True
        elif score.kind == "number":
            score.seconds = as_clock(text)
    return score


def _full_ones(items: list[Item], roles: set[str]) -> bool:
    """`7 full, 4 push-ups into the eighth`: whole rounds, though nobody says so."""
    first = [item for item in items[:3] if item.kind not in ("word", "letter")]
    full = len(first) > 1 and first[0].kind == "number" and "done" in first[1].roles and " " not in first[1].word
    return full and "rounds" not in roles and "total" not in roles and sum(i.kind == "number" for i in items) > 1


def _ends_in_rounds(item: Item, lexicon: Lexicon) -> bool:
    """`my rounds: 7`, `mes tours : 7`."""
    last = lexicon.role(item.word.split()[-1:], 0, None) if " " in item.word else None
    return last is not None and "rounds" in last[1]


def _numbers(items: list[Item]) -> list[float]:
    found: list[float] = []
    for item in items:
        if item.kind == "number":
            found.append(item.value)
        elif item.kind in ("commas", "dots"):
            found.extend(item.value)
    return found


def _clocked(
    items: list[Item], kinds: list[str], roles: set[str], numbers: list[float], clocks: list[float]
) -> Score | None:
    if (
        clocks
        and "plus" not in kinds
        and "rounds" not in roles
        and not (roles & {"in_round", "through_round", "after_round"})
    ):
        if numbers and roles & _REPS:
            return Score("reps", reps=numbers[-1], seconds=clocks[0])
        mass = next((item.value.factor for item in items if item.kind == "mass"), None)
        load = numbers[0] * mass if mass is not None and len(numbers) == 1 else None
        return Score("time", seconds=clocks[0], values=clocks, load=load)
    minutes = [item for item in items if item.kind == "time"]
    if "plus" in kinds:
        return None
    if len(minutes) == 1 and len(numbers) > 1 and ("comma" in kinds or "commas" in kinds) and "movement" not in kinds:
        factor = minutes[0].value.factor
        return Score("list", values=[number * factor for number in numbers])
    if minutes and numbers and not (roles & (_REPS | {"rounds"})) and "movement" not in kinds:
        seconds = sum(
            number * unit
            for number, unit in zip(numbers, [item.value.factor for item in minutes] + [1.0], strict=False)
        )
        return Score("time", seconds=seconds, values=[seconds])
    if "squote" in kinds and numbers and len(numbers) <= 2 and "movement" not in kinds:
        seconds = 60 * numbers[0] + (numbers[1] if len(numbers) > 1 else 0)
        return Score("time", seconds=seconds, values=[seconds])
    return None


def _counted(
    items: list[Item], kinds: list[str], roles: set[str], numbers: list[float], lexicon: Lexicon
) -> Score | None:
    if not numbers:
        return Score("done") if "done" in roles or "for_time" in roles else None
    if "into_rung" in roles:
        return Score("into_rung", rounds=int(min(numbers[-1], 1e9)), reps=sum(numbers[:-1]))
    if "through_round" in roles or "after_round" in roles or "in_round" in roles:
        return _by_round(items, roles, numbers)
    return (
        _of_movements(items, kinds, roles, numbers)
        or loads_told(items)
        or _in_rounds(items, kinds, roles, numbers)
        or _in_units(items, roles, numbers)
        or _bare(roles, numbers)
    )


def _of_movements(items: list[Item], kinds: list[str], roles: set[str], numbers: list[float]) -> Score | None:
    """Rounds and what was done of the next, or amounts, each with its movement."""
    if "movement" not in kinds:
        return None
    rounds = "rounds" in roles or ("plus" in kinds and len(numbers) > 1)
    if rounds and _begins_with_rounds(items):
        partial = _partial(items)
        first = int(min(numbers[0], 1e9))
        return Score("rounds", rounds=first, reps=0.0 if partial else sum(numbers[1:]), partial=partial)
    return named_amounts(items)


def _in_rounds(items: list[Item], kinds: list[str], roles: set[str], numbers: list[float]) -> Score | None:
    """`7 + 12`, `7 rounds`, `7 or 8 rounds`."""
    first = int(min(numbers[0], 1e9))
    if "plus" in kinds and len(numbers) == 1 and "rounds" not in roles:
        return Score("unclear", reps=numbers[0])
    if "rounds" in roles and "or" in roles and len(numbers) == 2 and "plus" not in kinds:
        return Score("rounds", rounds=int(min(*numbers, 1e9)), doubtful=True)
    if "plus" in kinds or ("rounds" in roles and len(numbers) > 1):
        rest = _without_place(_with_lengths_as_one(items, numbers))
        return Score("rounds", rounds=first, reps=sum(rest), values=numbers)
    if "rounds" in roles:
        return Score("rounds", rounds=first, reps=0.0, doubtful=not numbers[0].is_integer())
    return None


def _in_units(items: list[Item], roles: set[str], numbers: list[float]) -> Score | None:
    """Loads, calories or distances; nothing where it is one of two or what a cap left."""
    if "or" in roles and len(numbers) == 2:
        return Score("unclear", reps=numbers[0])
    if len(numbers) == 1 and roles & {"cap", "dnf"}:
        return Score("reps", reps=numbers[0])
    if any(item.kind == "mass" for item in items) or says_loads(items, roles):
        return Score("loads", values=numbers, unit=mass_of(items))
    if any(item.kind == "length" for item in items):
        return Score("unclear", reps=numbers[0])
    if any(item.kind == "energy" for item in items):
        return Score("calories", values=numbers) if len(numbers) == 1 else Score("list", values=numbers, unit="cal")
    metres = next((item.value.factor for item in items if item.kind == "distance"), None)
    if metres is None:
        return None
    values = [number * metres for number in numbers]
    return Score("distance", values=values) if len(numbers) == 1 else Score("list", values=values, unit="m")


def _bare(roles: set[str], numbers: list[float]) -> Score:
    """Figures that say nothing of what they count, or reps."""
    if len(numbers) > 1:
        return Score("list", values=numbers)
    return Score("reps" if roles & _REPS else "number", reps=numbers[0])


def _with_lengths_as_one(items: list[Item], numbers: list[float]) -> list[float]:
    """`8 rounds + 200 m + 6`: a distance counts for one, as the work of a round does."""
    lengths = [
        items[at].value
        for at in range(1, len(items) - 1)
        if items[at].kind == "number" and items[at + 1].kind == "distance" and items[at - 1].kind != "at"
    ]
    return [1.0 if number in lengths and number >= 50 else number for number in numbers]


def _without_place(numbers: list[float]) -> list[float]:
    """`12 full minutes + 8 reps in minute 13`: the last figure says where, and counts nothing."""
    return numbers[1:2] if len(numbers) == 3 and numbers[2] == numbers[0] + 1 else numbers[1:]


def _begins_with_rounds(items: list[Item]) -> bool:
    """The first figure counts rounds, not reps of a movement."""
    place = next(at for at, item in enumerate(items) if item.kind == "number")
    behind = items[place + 1 : place + 4]
    return bool(behind) and (behind[0].kind == "plus" or any("rounds" in item.roles for item in behind))


def _by_round(items: list[Item], roles: set[str], numbers: list[float]) -> Score:
    """`stopped in round 3`, `made it through minute 8, then 11 reps`, `got 5 reps in minute 9`."""
    kind = "through" if "through_round" in roles else ("in_round" if "in_round" in roles else "rounds")
    at = next((n for n, item in enumerate(items) if not _ROUND_ROLES.isdisjoint(item.roles)), 0)
    behind = [n for n, item in enumerate(items) if n > at and item.kind == "number"]
    place = items[behind[0]].value if behind else numbers[0]
    others = list(numbers)
    others.remove(place)
    if kind == "in_round" and place - 1 in others and len(others) == 2:
        others.remove(place - 1)
    return Score(kind, rounds=int(min(place, 1e9)), reps=sum(others))


_ROUND_ROLES = frozenset(["through_round", "after_round", "in_round"])


def _partial(items: list[Item]) -> list[tuple[str, float | None]]:
    """`2 rounds + row + 7 push press`: what was done of the round begun."""
    found: list[tuple[str, float | None]] = []
    number: float | None = None
    started = False
    for item in items:
        if item.kind == "plus" or "rounds" in item.roles:
            started, number = True, None
        elif item.kind == "number" and started:
            number = item.value
        elif item.kind == "movement" and started:
            found.append((item.value, number))
            number = None
    return [*found, ("", number)] if found and number is not None else found


def named_amounts(items: list[Item]) -> Score | None:
    """`45 swings, 60 push-ups`: amounts by movement."""
    found: dict[str, float] = {}
    number: float | None = None
    way = False
    plain = "plus" not in [item.kind for item in items] and not any("rounds" in item.roles for item in items)
    for item in items:
        if item.kind == "number":
            number = item.value
        elif item.kind == "distance" and number is not None:
            number, way = number * item.value.factor, True
        elif item.kind in ("movement", "energy") and number is not None:
            found[item.value if item.kind == "movement" else "calories"] = number
            number, way = None, False
        elif item.kind in ("comma", "and", "plus", "semicolon") and way and number is not None:
            found["distance_m"] = number
            number, way = None, False
    if way and number is not None:
        found["distance_m"] = number
    return Score("named", by_movement=found) if found and plain else None
