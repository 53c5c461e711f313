"""What a session did beside pressing the back: full sets of hinge lifts, landings, hangs, and all other amounts."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from keelmark.cli.commands.mechanics_words import amounts_table
from keelmark.contracts.rounding import told

if TYPE_CHECKING:
    import polars as pl

    from keelmark.dose.lumbar_explain import Explanation

__all__ = ["printed_beside"]

Piece = tuple[Any, str]
"""A table or a sentence, and its style."""

_STATES = {
    "tested": "tested",
    "stated": "stated",
    "estimated": "estimated from recent sets",
    "stale": "more than half a year old",
}


def printed_beside(found: Explanation) -> Iterator[Piece]:
    """Tables and sentences in the order in which they are read."""
    yield from _high_rep(found)
    yield from _landings(found.landings)
    if found.beside.height:
        yield amounts_table(found.beside, "beside the back"), ""
    yield from _hanging(found.hanging)


def _high_rep(found: Explanation) -> Iterator[Piece]:
    from rich.table import Table

    rows = found.high_rep
    if rows.is_empty():
        return
    if rows["maximum_kg"].is_not_null().any():
        names = dict(found.reps.select("movement", "name").iter_rows())
        table = Table(
            "full sets of hinge lifts", "maximum on record", "one set could hold", "full sets", "reps a minute"
        )
        above = []
        for same in rows.partition_by("movement", "load_kg", "maximum_kg", maintain_order=True):
            row = same.row(0, named=True)
            lift = names.get(row["movement"], row["movement"].replace("_", " "))
            load = "load not known" if row["load_kg"] is None else f"{row['load_kg']:g} kg"
            table.add_row(f"{lift}, {load}", _maximum(row), _held(row), _sets(same), _pace(row))
            if row["above_maximum"]:
                above.append(f"{lift}: {load} is above the {row['maximum_kg']:g} kg on record")
        yield table, ""
        for line in above:
            yield f"warning: {line}; each rep counts as one full set at the most, each set at the least", "bold"
    if rows["reps_per_minute"].is_not_null().any():
        yield "reps a minute: over the whole clock of that part, pauses and other work included", ""
    if rows["extrapolated"].fill_null(False).any():
        yield "stretched: the formula was made for sets of up to about 12 reps", ""
    if rows["maximum_kg"].null_count():
        yield "full sets need a maximum: give it with --one-rm, such as --one-rm deadlift=150", ""


def _maximum(row: dict[str, Any]) -> str:
    if row["maximum_kg"] is None:
        return "not known"
    text = told(row["maximum_kg"], row["maximum_kg_low"], row["maximum_kg_high"])
    return f"{text.value} kg ({text.low} to {text.high}), {_STATES[row['state']]}"


def _held(row: dict[str, Any]) -> str:
    if row["reps_possible"] is None:
        return "not known"
    if row["above_maximum"]:
        return f"1 rep (1 to {row['reps_possible_high']:.0f})" if row["reps_possible_high"] > 1 else "1 rep"
    text = told(row["reps_possible"], row["reps_possible_low"], row["reps_possible_high"], whole=True)
    reps = "rep" if text.value == "1" else "reps"
    return f"{text.value} {reps} ({text.low} to {text.high})" + (", stretched" if row["extrapolated"] else "")


def _sets(same: pl.DataFrame) -> str:
    ends = [same[f"capacities{end}"] for end in ("", "_low", "_high")]
    if any(end.null_count() for end in ends):
        return "not known"
    text = told(*(float(end.sum()) for end in ends))
    return f"{text.value} ({text.low} to {text.high})"


def _pace(row: dict[str, Any]) -> str:
    return "not known" if row["reps_per_minute"] is None else f"{row['reps_per_minute']:.0f}"


def _landings(landings: pl.DataFrame) -> Iterator[Piece]:
    from rich.table import Table

    if landings.is_empty():
        return
    table = Table("landings", "contacts", "force under both feet")
    for row in landings.iter_rows(named=True):
        contacts = "not known"
        if row["contacts"] is not None:
            text = told(row["contacts"], row["low"], row["high"], whole=True)
            exact = row["low"] == row["high"]
            contacts = text.value if exact else f"{text.value} ({text.low} to {text.high or 'open'})"
        force = "not a landing from a jump"
        if row["force_low"] is not None:
            force = f"{row['force_low']:g} to {row['force_high']:g} body weights in such landings"
        table.add_row(row["kind"], contacts, force)
    yield table, ""


def _hanging(hanging: pl.DataFrame) -> Iterator[Piece]:
    for same in hanging.partition_by("movement", maintain_order=True):
        row = same.row(0, named=True)
        pull = told(row["newtons"], row["newtons_low"], row["newtons_high"])
        said = (
            f"hanging: {row['movement'].replace('_', ' ')}, {_time(same)}, legs and pelvis pulling the joint apart by "
            f"about {pull.value} N ({pull.low} to {pull.high})"
        )
        yield said, ""


def _time(same: pl.DataFrame) -> str:
    ends = [same[f"seconds{end}"] for end in ("", "_low", "_high")]
    if any(end.null_count() for end in ends):
        return "for a time that is not known"
    value, low, high = (float(end.sum()) for end in ends)
    text = told(value, low, high, whole=True)
    return f"{text.value} s" + ("" if low == high else f" ({text.low} to {text.high})")
