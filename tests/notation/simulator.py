"""An independent, slow account of a session: every rep is done one at a time, under a clock that only counts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import count, islice


def one_by_one(stations: list[tuple[str, int, str]]) -> Iterator[tuple[str, str]]:
    """Units of a round: a rep or a calorie each, a distance or a time at once."""
    for movement, amount, measure in stations:
        if measure in ("reps", "calories"):
            for _ in range(amount):
                yield movement, measure
        else:
            yield movement, measure


def amrap(stations: list[tuple[str, int, str]], rounds: int, partial: int) -> Counter[str]:
    """Done after so many rounds and units, unit by unit."""
    amounts = {movement: amount for movement, amount, _ in stations}
    done: Counter[str] = Counter()
    units = (unit for _ in count() for unit in one_by_one(stations))
    per_round = sum(1 for _ in one_by_one(stations))
    for movement, measure in islice(units, rounds * per_round + partial):
        done[movement] += 1 if measure in ("reps", "calories") else amounts[movement]
    return done


def rounds_for_time(stations: list[tuple[str, int, str]], rounds: int, units: int | None) -> Counter[str]:
    """A number of rounds, cut short after so many units."""
    amounts = {movement: amount for movement, amount, _ in stations}
    done: Counter[str] = Counter()
    for number, (movement, measure) in enumerate(unit for _ in range(rounds) for unit in one_by_one(stations)):
        if units is not None and number >= units:
            break
        done[movement] += 1 if measure in ("reps", "calories") else amounts[movement]
    return done


def ladder(movements: list[str], rungs: list[int], units: int | None) -> Counter[str]:
    """Each rung for each movement in turn, cut short after so many reps."""
    done: Counter[str] = Counter()
    number = 0
    for rung in rungs:
        for movement in movements:
            for _ in range(rung):
                if units is not None and number >= units:
                    return done
                done[movement] += 1
                number += 1
    return done


def open_ladder(movements: list[str], first: int, step: int, units: int) -> Counter[str]:
    """A ladder that goes on, cut short after so many reps."""
    done: Counter[str] = Counter()
    number = 0
    for rung in count(first, step):
        for movement in movements:
            for _ in range(rung):
                if number >= units:
                    return done
                done[movement] += 1
                number += 1
    raise AssertionError


def minutes(stations: list[tuple[str, int, str]], total: int) -> Counter[str]:
    """One station each minute, in turn, until the clock is out."""
    done: Counter[str] = Counter()
    for minute in range(total):
        movement, amount, _ = stations[minute % len(stations)]
        done[movement] += amount
    return done
