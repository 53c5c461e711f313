"""The mechanics of a session as sentences and tables to read in a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.rounding import told, told_alone, told_at_least

if TYPE_CHECKING:
    import polars as pl

    from keelmark.dose.lumbar_explain import Explanation

__all__ = ["amounts_table", "printed"]

Piece = tuple[Any, str]
"""A table or a sentence, and its style."""

_MANY = {
    "rep": "reps", "contact": "contacts", "strike": "strikes", "cycle": "cycles", "capacity": "full sets",
    "index": "index points",
}  # fmt: skip
_ONE = {"capacity": "full set", "index": "index point"}
_COUNTED = ("rep", "contact", "strike", "cycle")
_SAME = ("movement", "load_used", "height_cm", "bar_from_cm", "missing", "held", "counted")
"""Efforts of a block that agree in these are told together."""
_IN_SHORT = ("lumbar_moment", "lumbar_peak", "lumbar_compression")


def printed(found: Explanation) -> Iterator[Piece]:
    """The back, block by block and over the whole session, and what the figures rest on."""
    yield "\nWhat the lower back did, rep by rep", "bold"
    if found.reps.is_empty():
        yield "Nothing in this text is counted as loading the lower back.", ""
    else:
        yield from _blocks(found)
    yield from _beyond_law(found.beyond_fit)
    for row in found.reps.filter(found.reps["missing"].is_not_null()).iter_rows(named=True):
        yield f"not known: {row['missing']} ({row['name']})", ""
    for movement, reason in found.not_counted:
        yield f"not counted: {movement.replace('_', ' ')}. {reason}", ""
    for sentence in found.assumptions:
        yield f"assumed: {sentence}", ""
    for line in _width_lines(found.narrowing):
        yield line, ""


def _blocks(found: Explanation) -> Iterator[Piece]:
    """The reps of each block with what it adds up to, then the whole session."""
    for rows in found.reps.partition_by("block", maintain_order=True):
        block = rows["block"][0]
        own = found.totals.filter(found.totals["block"] == block)
        if own.height:
            yield f"Block {block}" if block.isdigit() else block[:1].upper() + block[1:], "bold"
        for same in rows.partition_by(_SAME, maintain_order=True):
            yield from _movement(same)
        if own.height:
            yield _in_short(own), ""
    yield amounts_table(found.totals.filter(found.totals["block"].is_null()), "whole session"), ""


def _movement(same: pl.DataFrame) -> Iterator[Piece]:
    """What was done, in which posture, and what one rep of it asked."""
    from rich.padding import Padding
    from rich.text import Text

    row = same.row(0, named=True)
    yield f"{row['name']}: {', '.join(_done(same, row))}", ""
    lines = [row["posture"] or "Posture not known"]
    if row["lean"] is not None:
        lines[0] += f": leans {_figure(row, 'lean')} degrees"
        if row["load_used"]:
            lines[0] += f", load {_figure(row, 'reach_cm')} cm in front of the joint"
    asked = [
        f"{words} {_figure(row, name, divisor)} {unit}"
        for words, name, divisor, unit in (
            ("moment", "moment", 1, "N m"),
            ("compression", "compression", 1000, "kN"),
            ("shear", "shear", 1000, "kN"),
        )
        if row[name]
    ]
    if asked:
        lines.append(f"{'held' if row['held'] else 'one rep'}: {', '.join(asked)}")
    for line in lines:
        yield Padding(Text(line), (0, 0, 0, 4)), ""


def _done(same: pl.DataFrame, row: dict[str, Any]) -> Iterator[str]:
    yield _amount_done(same, row)
    if row["missing"] == "load":
        yield "load not known"
    elif row["load_used"]:
        yield f"{told_alone(row['load_used'])} kg"
    if row["bar_from_cm"] is not None:
        yield f"bar from {told_alone(row['bar_from_cm'])} cm"
    if row["height_cm"] is not None:
        yield f"height {told_alone(row['height_cm'])} cm"


def _amount_done(same: pl.DataFrame, row: dict[str, Any]) -> str:
    """Reps of all rungs together with the rungs, seconds held, or how often the back was loaded on the way."""
    ends = [same[f"{'times' if row['held'] else 'cycles'}{end}"] for end in ("", "_low", "_high")]
    if any(end.null_count() for end in ends):
        return "amount not known"
    value, low, high = (float(end.sum()) for end in ends)
    text = told(value, low, high, whole=True)
    bounds = f" ({text.low} to {text.high})" if low < high else ""
    if row["held"]:
        return f"{text.value} s held{bounds}"
    if not row["counted"]:
        return f"about {text.value} strokes or steps{bounds}"
    rungs = [f"{rung:g}" for rung in same["cycles"]]
    if len(rungs) > 4:
        rungs = [*rungs[:2], "...", rungs[-1]]
    made = f" ({' + '.join(rungs)})" if len(rungs) > 1 and not bounds else ""
    return f"{text.value} {'rep' if text.value == '1' else 'reps'}{bounds}{made}"


def _figure(row: dict[str, Any], name: str, divisor: float = 1) -> str:
    """A figure with its bounds, the upper one open when it is not known."""
    value, low, high = (None if row[f"{name}{end}"] is None else row[f"{name}{end}"] / divisor
                        for end in ("", "_low", "_high"))  # fmt: skip
    if high is None and low is not None:
        return f"at least {told(value or low, low, None).low}"
    text = told(value or 0.0, low, high)
    return text.value if low == high else f"{text.value} ({text.low or 'open'} to {text.high or 'open'})"


def amounts_table(totals: pl.DataFrame, title: str) -> Any:
    """Totals of some channels: `channel`, `value`, `low`, `high`."""
    from rich.table import Table

    table = Table(title, "amount", "between")
    for row in totals.iter_rows(named=True):
        table.add_row(CHANNEL_BY_KEY[row["channel"]].label, *_amount(row))
    return table


def _amount(row: dict[str, Any]) -> tuple[str, str]:
    unit = CHANNEL_BY_KEY[row["channel"]].unit
    whole = unit in _COUNTED
    if row["value"] is None:
        return "not known", f"{told_at_least(row['low'], whole=whole) if row['low'] >= 0.001 else 0} and open"
    text = told(row["value"], row["low"], row["high"], whole=whole)
    at_least = "at least " if text.high is None and text.low == text.value else ""
    bounds = f"{text.low} and {text.high or 'open'}"
    if row["low"] == row["high"]:
        bounds = "as much as the law counts" if row["channel"] == "grip_fatigue" else "exact"
    words = _ONE.get(unit, unit) if text.value == "1" else _MANY.get(unit, unit)
    return f"{at_least}{text.value} {words}", bounds


def _in_short(totals: pl.DataFrame) -> str:
    """What a block adds up to, in one line: the summed moment, the largest one, the summed compression."""
    words = []
    for row in totals.filter(totals["channel"].is_in(_IN_SHORT)).iter_rows(named=True):
        amount, bounds = _amount(row)
        words.append(f"{CHANNEL_BY_KEY[row['channel']].label.lower()} {amount} ({bounds.replace(' and ', ' to ')})")
    return "adds up to: " + "; ".join(words) + "\n"


def _beyond_law(beyond_fit: tuple[float, float, float]) -> Iterator[Piece]:
    surely, perhaps, known = beyond_fit
    if perhaps:
        many = f"{surely:.0f}" if round(surely) == round(perhaps) else f"{surely:.0f} to {perhaps:.0f}"
        said = (
            f"fatigue index: {many} of {known:.0f} reps lie beyond the end of the law's fit; each counts as one at "
            "that end, which leaves the index open upwards"
        )
        if 2 * surely > known:
            said += "; as most do so, it is nearly a count of heavy reps"
        yield said, ""


def _width_lines(narrowing: pl.DataFrame) -> list[str]:
    lines = [
        f"widens it: {row['label']}, about {round(20 * row['narrows']) * 5} % of the width"
        for row in narrowing.head(3).iter_rows(named=True)
    ]
    questions = narrowing["question"].drop_nulls()
    return [*lines, f"ask: {questions[0]}"] if len(questions) else lines
