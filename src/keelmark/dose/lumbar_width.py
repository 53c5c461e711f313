"""Which input widens a lumbar figure most, and which question would narrow it."""

from __future__ import annotations

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.catalogue import Catalogue
from keelmark.catalogue.posture import PostureTable
from keelmark.contracts.errors import SettingError
from keelmark.contracts.frames import ATHLETE, EFFORT
from keelmark.dose.lumbar import LUMBAR_CHANNELS, described_pairs, dose_of_reps
from keelmark.dose.lumbar_amounts import families_of
from keelmark.dose.lumbar_inputs import INPUT_LABELS, INPUTS
from keelmark.dose.lumbar_rows import loading_rows, movement_table
from keelmark.dose.lumbar_tasks import PAIR_KEY, Draws, drawn_tasks
from keelmark.mechanics.draws import DRAWS

Array = NDArray[np.float64]

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

_AMOUNT = "amount"
_FIGURES_OF: dict[str, tuple[str, ...]] = {
    "lumbar_moment": ("impulse",),
    "lumbar_peak": ("moment",),
    "lumbar_compression": ("compression",),
    "lumbar_compression_2": ("compression",),
    "lumbar_fatigue": ("moment", "compression"),
}
"""Figures of one rep that each channel is made of."""

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

    wide = [name for name in INPUTS if (pairs[f"{name}_low"] < pairs[f"{name}_high"]).any()]
    widths = _widths(placed, pairs, wide, channel, Draws(draws))
    whole = widths.pop("")
    if whole <= 0:
        return pl.DataFrame(schema=WIDTH_SCHEMA)
    labels = {**INPUT_LABELS, _AMOUNT: "number of reps or their equivalent"}
    found = [(name, labels[name], 1 - width / whole, QUESTIONS.get(name)) for name, width in widths.items()]
    table = pl.DataFrame(found, schema=WIDTH_SCHEMA, orient="row").with_columns(pl.col("narrows").clip(0.0, 1.0))
    return table.filter(pl.col("narrows") > 0.005).sort("narrows", descending=True)


def _widths(rows: pl.DataFrame, pairs: pl.DataFrame, wide: list[str], channel: str, draws: Draws) -> dict[str, float]:
    """Upper less lower bound of the channel over all rows: as it stands (under ""), and with each input known."""
    fed = rows.filter(~pl.col("measured")) if channel in ("lumbar_moment", "lumbar_peak") else rows
    tasks = rows.select("pair", load_kg="load_used").unique().sort("pair", "load_kg")
    numbered = tasks.with_row_index("task").rename({"load_kg": "load_used"})
    fed = fed.join(numbered, on=["pair", "load_used"], how="left")
    bounds = _bounds_by_case(pairs, tasks, wide, _FIGURES_OF[channel], draws)
    place = fed["task"].to_numpy()
    cases = [_case(fed, name, {key: values[place] for key, values in found.items()}) for name, found in bounds.items()]
    exact = [pl.col(name).alias(f"{name}{end}") for name in ("times", "cycles") for end in ("_low", "_high")]
    cases.append(cases[0].with_columns(*exact, case=pl.lit(_AMOUNT)))
    gathered = pl.max if channel == "lumbar_peak" else pl.sum
    doses = pl.concat(cases).select("case", low=dose_of_reps(channel, "_low"), high=dose_of_reps(channel, "_high"))
    ends = doses.group_by("case", maintain_order=True).agg(gathered("low"), gathered("high"))
    return {name: (high or 0.0) - (low or 0.0) for name, low, high in ends.iter_rows()} or {"": 0.0}


def _case(fed: pl.DataFrame, name: str, bounds: dict[str, Array]) -> pl.DataFrame:
    return fed.select(
        "times", "times_low", "times_high", "cycles", "cycles_low", "cycles_high", "measured"
    ).with_columns(case=pl.lit(name), **{key: pl.Series(key, values) for key, values in bounds.items()})


def _bounds_by_case(
    pairs: pl.DataFrame, tasks: pl.DataFrame, wide: list[str], figures: tuple[str, ...], draws: Draws
) -> dict[str, dict[str, Array]]:
    """Bounds of one rep of each task, as they stand (under "") and with each input held at its central figure.

    All inputs are drawn once; a case changes one of them. Where that one has no width nothing is worked out again.
    """
    found = {
        case: {f"{figure}{end}": np.zeros(tasks.height) for figure in figures for end in ("_low", "_high")}
        for case in ("", *wide)
    }
    central = {name: pairs[name].to_numpy().astype(np.float32) for name in wide}
    for drawn in drawn_tasks(pairs, tasks, draws):
        free = drawn.tails(drawn.inputs, figures)
        for case, filled in found.items():
            tails = free
            if case and drawn.inputs[case].shape[1] > 1:
                known = {**drawn.inputs, case: central[case][drawn.pairs][:, None]}
                tails = drawn.tails(known, figures)
            for figure, (low, high) in tails.items():
                filled[f"{figure}_low"][drawn.tasks], filled[f"{figure}_high"][drawn.tasks] = low, high
    return found
