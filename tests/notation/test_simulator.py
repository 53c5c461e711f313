"""Totals against an independent simulation that does each session rep by rep."""

from collections import Counter

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.notation import simulator

from keelmark.notation import read

WORDS = {
    "reps": [
        ("burpee", "{n} burpees"),
        ("push_up", "{n} push-ups"),
        ("air_squat", "{n} air squats"),
        ("sit_up", "{n} sit-ups"),
        ("toes_to_bar", "{n} T2B"),
    ],
    "calories": [("row", "{n} cal row"), ("air_bike", "{n} cal air bike")],
    "distance_m": [("run", "{n} m run"), ("ski_erg", "{n} m ski")],
}


@st.composite
def station_lists(draw: st.DrawFn, most: int = 4, only: str | None = None) -> list[tuple[str, int, str, str]]:
    """Stations as movement, amount, measure and words, each movement once."""
    chosen = draw(
        st.lists(
            st.sampled_from([(m, *w) for m, ws in WORDS.items() for w in ws if only in (None, m)]),
            min_size=1,
            max_size=most,
            unique_by=lambda c: c[1],
        )
    )
    made = []
    for measure, movement, words in chosen:
        amount = draw(st.integers(1, 40)) * (50 if measure == "distance_m" else 1)
        made.append((movement, amount, measure, words.format(n=amount)))
    return made


def done(text: str, result: str | None) -> Counter[str]:
    totals: Counter[str] = Counter()
    for row in read(text, {"result": result}).efforts:
        totals[row.movement] += row.amount * row.sets
    return totals


def plain(stations: list[tuple[str, int, str, str]]) -> list[tuple[str, int, str]]:
    return [station[:3] for station in stations]


def units_in(stations: list[tuple[str, int, str, str]]) -> int:
    return sum(amount if measure != "distance_m" else 1 for _, amount, measure, _ in stations)


@settings(max_examples=50, deadline=None)
@given(station_lists(most=4), st.integers(0, 12), st.data(), st.sampled_from([", ", "\n", " + "]))
def test_amrap(stations, rounds: int, data, separator: str) -> None:
    """Rounds plus units of an AMRAP, whatever is in it."""
    if len(stations) == 1:
        return
    partial = data.draw(st.integers(0, units_in(stations) - 1))
    text = "AMRAP 12:\n" + separator.join(station[3] for station in stations)
    assert done(text, f"{rounds}+{partial}") == +simulator.amrap(plain(stations), rounds, partial)


@settings(max_examples=50, deadline=None)
@given(station_lists(), st.integers(2, 6), st.data())
def test_rounds_for_time_with_a_cap(stations, rounds: int, data) -> None:
    """Rounds stopped by the cap after so many units."""
    units = data.draw(
        st.integers(1, rounds * units_in(stations) - 1) if rounds * units_in(stations) > 1 else st.just(1)
    )
    text = f"{rounds} rounds for time, cap 10 min\n" + "\n".join(station[3] for station in stations)
    assert done(text, f"cap {units} reps") == simulator.rounds_for_time(plain(stations), rounds, units)


@settings(max_examples=37, deadline=None)
@given(station_lists(), st.integers(2, 8))
def test_rounds_done(stations, rounds: int) -> None:
    """Rounds for time, all of them done."""
    text = f"{rounds} rounds for time:\n" + "\n".join(station[3] for station in stations)
    assert done(text, "12:34") == simulator.rounds_for_time(plain(stations), rounds, None)


@settings(max_examples=37, deadline=None)
@given(st.lists(st.integers(1, 60), min_size=3, max_size=5), st.booleans(), st.data())
def test_ladder(rungs: list[int], capped: bool, data) -> None:
    """A ladder of any rungs, all of it or cut by the cap."""
    units = data.draw(st.integers(1, 2 * sum(rungs) - 1)) if capped else None
    text = "For time:\n" + "-".join(map(str, rungs)) + "\nburpees\nsit-ups"
    expected = simulator.ladder(["burpee", "sit_up"], rungs, units)
    assert done(text, f"cap {units} reps" if capped else "9:59") == expected


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 5), st.integers(1, 4), st.integers(1, 400))
def test_ladder_without_an_end(first: int, step: int, units: int) -> None:
    """A ladder that goes on, by its total."""
    rungs = "-".join(str(first + n * step) for n in range(3))
    text = f"AMRAP 10: {rungs}-...\nburpees\nsit-ups"
    assert done(text, f"total {units} reps") == simulator.open_ladder(["burpee", "sit_up"], first, step, units)


@settings(max_examples=30, deadline=None)
@given(station_lists(most=4, only="reps"), st.integers(1, 8))
def test_minutes_in_turn(stations, turns: int) -> None:
    """Minutes that take turns."""
    total = turns * len(stations)
    lines = "\n".join(f"min {n}: {station[3]}" for n, station in enumerate(stations, start=1))
    assert done(f"EMOM {total}\n{lines}", None) == simulator.minutes(plain(stations), total)
