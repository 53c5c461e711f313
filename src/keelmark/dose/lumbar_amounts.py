"""How often, and for how long, an effort loads the lower back."""

from __future__ import annotations

import polars as pl

from keelmark.catalogue import Catalogue, Figure, Movement
from keelmark.catalogue.posture import Family, PostureTable

__all__ = ["ENDS", "RATES", "amount_columns", "cycle_rates", "families_of", "family_of"]

ENDS = ("", "_low", "_high")
_MEASURES = ("reps", "distance_m", "calories", "duration_s")
"""Amounts in the order in which they are used; the first that is given and can be turned into cycles counts."""

RATES = tuple(f"by_{measure}" for measure in _MEASURES)
"""Columns of the central rates in `cycle_rates`."""

_ONE = Figure(value=1.0, low=1.0, high=1.0, evidence="derived")
_Rate = tuple[float, float, float] | None


def family_of(movement: str, catalogue: Catalogue, postures: PostureTable) -> Family | str | None:
    """The posture family of a movement, the reason why it has none, or None when nobody has said.

    A squad's own movement that is `like` a shipped one takes its posture.
    """
    entry = catalogue.movements.get(movement)
    for name in (movement, *(entry.like if entry else ())):
        if name in postures.family_of:
            return postures.family_of[name]
        if name in postures.unloaded:
            return postures.unloaded[name]
    return None


def families_of(
    movements: pl.Series, catalogue: Catalogue, postures: PostureTable
) -> tuple[dict[str, Family], tuple[str, ...]]:
    """Movements of a log with a posture, and those about which nobody has said anything."""
    loading: dict[str, Family] = {}
    silent: list[str] = []
    for name in movements.unique().sort():
        found = family_of(name, catalogue, postures)
        if isinstance(found, Family):
            loading[name] = found
        elif found is None:
            silent.append(name)
    return loading, tuple(silent)


def cycle_rates(families: dict[str, Family], catalogue: Catalogue) -> pl.DataFrame:
    """How often one rep, metre, calorie or second of each movement loads the back.

    Parameters
    ----------
    families : dict of movement to Family
        Movements that load the back.
    catalogue : Catalogue
        Paces and rates of the movements.

    Returns
    -------
    DataFrame
        `movement`, `by_<measure>` with `_low` and `_high` for each measure (empty where it cannot be turned into
        cycles), and `held_by_time`: seconds of this movement are held still, each set being one cycle.
    """
    schema: dict[str, pl.DataType | type[pl.DataType]] = {"movement": pl.String, "held_by_time": pl.Boolean}
    schema |= {f"by_{measure}{end}": pl.Float64 for measure in _MEASURES for end in ENDS}
    rows = []
    for name, family in families.items():
        movement = catalogue.movements.get(name)
        by_time = _by_time(movement, family)
        held = family.static and by_time is None and family.cycles_per_metre is None
        row: dict[str, object] = {"movement": name, "held_by_time": held}
        rates: dict[str, _Rate] = {
            "reps": _bounds(family.cycles_per_rep or _ONE),
            "distance_m": _bounds(family.cycles_per_metre),
            "calories": _times(movement.metres_per_calorie if movement else None, family.cycles_per_metre),
            "duration_s": (1.0, 1.0, 1.0) if held else by_time,
        }
        for measure, rate in rates.items():
            row |= {f"by_{measure}{end}": rate and rate[place] for place, end in enumerate(ENDS)}
        rows.append(row)
    return pl.DataFrame(rows, schema=schema)


def amount_columns(ends: tuple[str, ...] = ENDS) -> tuple[list[pl.Expr], list[pl.Expr]]:
    """Expressions for efforts joined with `cycle_rates`, to be applied one list after the other.

    `times` (cycles, or seconds where held) and `held`; then `cycles`, which counts each held set once. Each with
    bounds.
    """
    sets = pl.col("sets").cast(pl.Float64)
    shares = {"": pl.lit(1.0), "_low": pl.col("share_low"), "_high": pl.col("share_high")}
    times = [
        (pl.coalesce(pl.col(measure) * pl.col(f"by_{measure}{end}") for measure in _MEASURES) * sets * share).alias(
            f"times{end}"
        )
        for end, share in shares.items()
        if end in ends
    ]
    held = pl.col("held_by_time") & pl.col("reps").is_null() & pl.col("duration_s").is_not_null()
    cycles = [pl.when("held").then(sets).otherwise(f"times{end}").alias(f"cycles{end}") for end in ends]
    return [*times, held.fill_null(False).alias("held")], cycles


def _by_time(movement: Movement | None, family: Family) -> _Rate:
    """A movement counted in reps goes by its own pace; others by the rate of their family."""
    if movement and movement.seconds_per_rep and "reps" in movement.measures:
        one = movement.seconds_per_rep
        return 1 / one.value, 1 / one.high, 1 / one.low
    return _bounds(family.cycles_per_second)


def _bounds(figure: Figure | None) -> _Rate:
    return (figure.value, figure.low, figure.high) if figure else None


def _times(one: Figure | None, other: Figure | None) -> _Rate:
    if one is None or other is None:
        return None
    return one.value * other.value, one.low * other.low, one.high * other.high
