"""Which input widens a lumbar figure most, and which question would narrow it."""

from __future__ import annotations

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.catalogue.posture import PostureTable
from keelmark.contracts.errors import SettingError
from keelmark.contracts.frames import ATHLETE, EFFORT
from keelmark.dose.lumbar import LUMBAR_CHANNELS, described_pairs, dose_of_reps
from keelmark.dose.lumbar_amounts import families_of
from keelmark.dose.lumbar_inputs import INPUT_LABELS, INPUTS
from keelmark.dose.lumbar_rows import loading_rows, movement_table
from keelmark.dose.lumbar_tasks import PAIR_KEY, Draws, bounds_of_tasks
from keelmark.mechanics.draws import DRAWS

__all__ = ["QUESTIONS", "WIDTH_SCHEMA", "width_by_input"]

QUESTIONS: dict[str, str] = {
    "mass": "What does the athlete weigh?",
    "stature": "How tall is the athlete?",
    "start_height_cm": "At what height did the bar start?",
    "deficit_cm": "How high was the platform?",
    "seconds": "How long did one rep take?",
    "inclination_deg": "How far did the trunk lean? A picture from the side shows it.",
    "load_forward_m": "How far in front of the body was the load? A picture from the side shows it.",
    "thigh_deg": "How deep was it?",
    "thigh_share": "How wide was the stance?",
    "amount": "How many reps, strokes or steps was it?",
}
"""What one can ask a coach or an athlete, by input. The other inputs are properties of bodies or of the movement."""

WIDTH_SCHEMA = pl.Schema({"input": pl.String, "label": pl.String, "narrows": pl.Float64, "question": pl.String})


def width_by_input(
    efforts: pl.DataFrame,
    athletes: pl.DataFrame,
    catalogue: Catalogue,
    channel: str = "lumbar_moment",
    *,
    postures: PostureTable | None = None,
    draws: int = DRAWS,
) -> pl.DataFrame:
    """By how much the width of a figure would shrink if one input were known exactly.

    Scope: one input at a time; the shares do not add up to 1, because inputs multiply. Efforts whose load or amount is
    not known are left out: they leave the upper bound open whatever else is known.

    Parameters
    ----------
    efforts : DataFrame
        `EFFORT` table, for example the efforts behind one athlete's week.
    athletes, catalogue, postures
        As for `lumbar_daily`.
    channel : str
        One of the lumbar channels.
    draws : int
        Number of draws.

    Raises
    ------
    SettingError
        When the channel is not a lumbar one.

    Returns
    -------
    DataFrame
        `WIDTH_SCHEMA`, largest first: `input`, `label` in words, `narrows` (share of the width that would go, 0 to 1)
        and the `question` to ask, empty where nobody can answer one. No row where the figure has no width.
    """
    if channel not in LUMBAR_CHANNELS:
        raise SettingError(
            f"channel {channel}",
            where="width of a lumbar figure",
            wanted=", ".join(LUMBAR_CHANNELS),
            remedy="choose one of these",
        )
    efforts = EFFORT.check(efforts, where="width of a lumbar figure")
    loading, silent = families_of(efforts["movement"], catalogue, postures or catalogue.postures)
    movements = movement_table(loading, silent, catalogue)
    rows = (
        loading_rows(efforts.with_row_index("effort").lazy(), movements).collect().filter(pl.col("missing").is_null())
    )
    if rows.is_empty():
        return pl.DataFrame(schema=WIDTH_SCHEMA)
    pairs = described_pairs(
        rows.select(PAIR_KEY).unique(maintain_order=True), ATHLETE.check(athletes, where="width"), loading
    )
    placed = rows.join(pairs.select(*PAIR_KEY, "pair", "measured"), on=PAIR_KEY, how="left", nulls_equal=True)

    tasks = placed.select("pair", load_kg="load_used").unique().sort("pair", "load_kg")
    free = bounds_of_tasks(pairs, tasks, Draws(draws))

    def width(frozen: str | None = None, exact: bool = False) -> float:
        bounds = free if frozen is None else _with_one_known(free, pairs, tasks, frozen, draws)
        return _width(placed, bounds, channel, exact)

    wide = [name for name in INPUTS if (pairs[f"{name}_low"] < pairs[f"{name}_high"]).any()]
    whole = width()
    if whole <= 0:
        return pl.DataFrame(schema=WIDTH_SCHEMA)
    found = [(name, INPUT_LABELS[name], 1 - width(name) / whole, QUESTIONS.get(name)) for name in wide]
    found.append(("amount", "number of reps or their equivalent", 1 - width(exact=True) / whole, QUESTIONS["amount"]))
    table = pl.DataFrame(found, schema=WIDTH_SCHEMA, orient="row").with_columns(pl.col("narrows").clip(0.0, 1.0))
    return table.filter(pl.col("narrows") > 0.005).sort("narrows", descending=True)


def _with_one_known(
    free: pl.DataFrame, pairs: pl.DataFrame, tasks: pl.DataFrame, frozen: str, draws: int
) -> pl.DataFrame:
    """The bounds with one input held still; only the pairs in which it has a width are worked out again."""
    touched = pairs.filter(pl.col(f"{frozen}_low") < pl.col(f"{frozen}_high"))
    numbers = touched.select("pair", new=pl.int_range(pl.len()).cast(pairs.schema["pair"]))
    asked = tasks.join(numbers, on="pair").select("load_kg", pair="new").sort("pair", "load_kg")
    again = bounds_of_tasks(touched.with_columns(pair=numbers["new"]), asked.select("pair", "load_kg"),
                            Draws(draws, (frozen,)))  # fmt: skip
    back = again.rename({"pair": "new"}).join(numbers, on="new").select(free.columns)
    return pl.concat([free.join(numbers, on="pair", how="anti"), back])


def _width(rows: pl.DataFrame, bounds: pl.DataFrame, channel: str, exact: bool) -> float:
    """Upper less lower bound of the channel over all rows."""
    joined = rows.join(bounds.rename({"load_kg": "load_used"}), on=["pair", "load_used"], how="left")
    if exact:
        joined = joined.with_columns(
            pl.col(name).alias(f"{name}{end}") for name in ("times", "cycles") for end in ("_low", "_high")
        )
    fed = joined.filter(~pl.col("measured")) if channel in ("lumbar_moment", "lumbar_peak") else joined
    peak = channel == "lumbar_peak"
    ends = [fed.select(dose_of_reps(channel, end).alias("dose")) for end in ("_low", "_high")]
    low, high = (float(end.select(pl.max("dose") if peak else pl.sum("dose")).item() or 0.0) for end in ends)
    return high - low
