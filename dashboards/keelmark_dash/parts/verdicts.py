"""What became of the rows of a file: counts, and every row that was not accepted with its reason and remedy."""

from __future__ import annotations

from typing import Any

import polars as pl
from dash import html

from keelmark_dash.parts.table import table
from keelmark_dash.words import count, number

__all__ = ["counts_line", "verdict_tables"]

_ROWS_SHOWN = 200
_ORDER = (
    ("accepted", "accepted"),
    ("duplicate", "already there or twice in the file"),
    ("blank", "blank"),
    ("quarantined", "set aside"),
    ("other", "of another kind, such as sum lines"),
)


def counts_line(counts: dict[str, int]) -> html.Dl:
    """How many rows were read, and how many of them ended where."""
    total = sum(counts.get(key, 0) for key, _ in _ORDER)
    pairs = [("rows read", total), *((words, counts.get(key, 0)) for key, words in _ORDER)]
    return html.Dl([html.Div([html.Dt(words), html.Dd(number(value))]) for words, value in pairs], className="counts")


def verdict_tables(rows: pl.DataFrame) -> list[Any]:
    """Tables of the rows set aside and of the duplicates; empty when every row was accepted."""
    aside = rows.filter(pl.col("verdict").is_in(["quarantined", "other"]))
    twice = rows.filter(pl.col("verdict") == "duplicate")
    parts: list[Any] = []
    if aside.height:
        heads = [
            ("Row", "figure"),
            ("Line", "figure"),
            ("Why", "words"),
            ("What to do", "words"),
            ("As it stands", "words"),
        ]
        body = [
            [
                str(row["row"]),
                _place(row["line"]),
                "; ".join(row["reasons"] or []).replace("_", " "),
                row["remedy"] or "",
                row["cells"] or "",
            ]
            for row in aside.head(_ROWS_SHOWN).iter_rows(named=True)
        ]
        parts.append(table(f"{count(aside.height, 'row')} set aside, none of them lost", heads, body, stack=True))
        parts += _more(aside.height)
    if twice.height:
        heads = [("Row", "figure"), ("Line", "figure"), ("Repeats row", "figure")]
        body = [
            [str(row["row"]), _place(row["line"]), _place(row["of_row"])]
            for row in twice.head(_ROWS_SHOWN).iter_rows(named=True)
        ]
        shown = [table("Duplicates", heads, body, hide_caption=True), *_more(twice.height)]
        parts.append(html.Details([html.Summary(f"{count(twice.height, 'duplicate row')}"), *shown]))
    return parts


def _more(rows: int) -> list[Any]:
    if rows <= _ROWS_SHOWN:
        return []
    return [html.P(f"The first {_ROWS_SHOWN} are shown. The command line lists all {number(rows)}.", className="soft")]


def _place(value: int | None) -> str:
    return "" if value is None else str(value)
