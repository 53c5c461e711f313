"""Strategies that make trees of every shape the reader knows."""

from __future__ import annotations

from hypothesis import strategies as st

from keelmark.catalogue import shipped_catalogue
from keelmark.notation.tree import Amount, Group, Height, Load, Prescription, Quantity, Scaled, Section, Station

MOVEMENTS = sorted(shipped_catalogue().movements)
UNITS = {
    "reps": ("rep",),
    "distance_m": ("m", "km", "mi", "yd", "ft"),
    "calories": ("cal",),
    "duration_s": ("s", "min", "h"),
}

figures = st.one_of(st.integers(1, 2000).map(float), st.sampled_from([0.5, 2.5, 22.5, 60.96, 72.125, 1 / 3, 1609.344]))
pairs = st.builds(Quantity, figures, st.none() | figures)
ranges = st.builds(lambda low, more: Quantity(low, top=low + more), figures, st.integers(1, 5).map(float))
quantities = st.one_of(pairs, ranges)
steps = st.lists(quantities, min_size=1, max_size=6).map(tuple)
movements = st.sampled_from(MOVEMENTS)


@st.composite
def amounts(draw: st.DrawFn) -> Amount:
    measure = draw(st.sampled_from(sorted(UNITS)))
    unit = draw(st.sampled_from(UNITS[measure]))
    is_open = draw(st.booleans())
    figures_given = draw(steps) if not is_open else draw(st.one_of(st.just(()), steps))
    continues = bool(figures_given) and draw(st.booleans())
    return Amount(
        measure, unit, figures_given, draw(st.integers(1, 12)), draw(st.sampled_from([1, 2])), continues, is_open
    )


loads = st.builds(
    Load,
    steps,
    st.sampled_from(["kg", "lb", "percent", "bodyweight", "", "pood"]),
    st.integers(0, 3),
    st.booleans(),
    st.one_of(st.none(), st.just("result"), movements),
)
heights = st.builds(Height, quantities, st.sampled_from(["cm", "in", "ft", "m", ""]))
options = st.builds(
    Scaled,
    st.none() | movements,
    st.sampled_from([1.0, 2.0, 0.5, 3.0]),
    st.none() | amounts(),
    st.none() | loads,
    st.none() | heights,
)
whens = st.sampled_from(
    ["", "after_rep", "after_set", "between_sets", "each_break", "each_minute", "each_minute_later"]
)
stations = st.builds(
    Station,
    movements,
    st.none() | amounts(),
    st.none() | loads,
    st.none() | heights,
    st.none() | heights,
    whens,
    st.sampled_from(["", "each", "alternating"]),
    st.none() | st.sampled_from([6.0, 7.5, 9.0]),
    st.none() | options,
    st.booleans(),
    st.sampled_from(["", "2", "fortgeschritten"]),
)


@st.composite
def groups(draw: st.DrawFn) -> Group:
    slots = tuple(sorted(draw(st.sets(st.integers(1, 6), max_size=3))))
    held = draw(st.lists(stations, min_size=0 if slots else 1, max_size=4))
    role = draw(st.sampled_from(["", "buy_in", "cash_out"]))
    scheme = draw(st.none() | amounts())
    return Group(tuple(held), draw(st.integers(1, 30)), scheme, role, slots, max(slots, default=0))


seconds = st.none() | st.integers(10, 7200).map(float)
sections = st.builds(
    Section,
    st.lists(groups(), min_size=1, max_size=3).map(tuple),
    st.sampled_from(["work", "for_time", "amrap", "every", "intervals", "until_miss"]),
    st.sampled_from(["", "A", "2", "warm_up"]),
    seconds,
    seconds,
    st.none() | st.integers(1, 40),
    seconds,
    seconds,
    seconds,
    st.sampled_from(["", "split", "even", "turns", "own", "loose"]),
    st.integers(2, 6),
).map(lambda section: section if section.share else _alone(section))


def _alone(section: Section) -> Section:
    return Section(
        section.groups,
        section.kind,
        section.label,
        section.seconds,
        section.window,
        section.windows,
        section.work,
        section.rest,
        section.cap,
    )


prescriptions = st.builds(Prescription, st.lists(sections, min_size=1, max_size=4).map(tuple))
