"""Names of movements in a file that mean nothing yet: a coach picks what each means, and it is kept for next time."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
from dash import dcc, html

from keelmark.catalogue import Catalogue
from keelmark_dash import ids
from keelmark_dash.parts.fields import choose_one
from keelmark_dash.parts.table import table
from keelmark_dash.words import count, number

__all__ = ["LEARN", "MEANS", "NAMES", "unknown_names"]

LEARN, NAMES = (ids.named(ids.LOG, part) for part in ("learn", "names"))
MEANS = "means"
_SHOWN = 12
_NEAREST = 4


def unknown_names(names: dict[str, int], catalogue: Catalogue) -> list[Any]:
    """A line for each name with the rows it stands in and a choice of movements, the nearest first."""
    if not names:
        return []
    shown = dict(list(names.items())[:_SHOWN])
    everything = sorted(catalogue, key=catalogue.names.label)
    heads = [("Name in the file", "text"), ("Rows", "figure"), ("Means", "words")]
    body = [
        [html.Strong(written), number(rows), _choice(place, written, catalogue, everything)]
        for place, (written, rows) in enumerate(shown.items())
    ]
    left = len(names) - len(shown)
    return [
        html.Div(
            [
                table(f"{count(len(names), 'name')} that keelmark does not know", heads, body, stack=True),
                *([html.P(f"{count(left, 'more name')} follow once these are settled.", className="soft")]
                  if left else []),
                html.P("Pick what a name means. It is kept for the next file, and for whiteboards. A name left open "
                       "keeps its rows aside.", className="soft"),
                html.Div(dmc.Button("Keep these names and read again", id=LEARN, variant="default"),
                         className="answers"),
                dcc.Store(id=NAMES, data=list(shown)),
            ],
            className="unknown-names",
        )
    ]  # fmt: skip


def _choice(place: int, written: str, catalogue: Catalogue, everything: list[str]) -> Any:
    near = catalogue.names.nearest(written, _NEAREST)
    groups = [("Nearest", near), ("All movements", [name for name in everything if name not in near])]
    data = [
        {"group": title, "items": [{"value": name, "label": catalogue.names.label(name)} for name in names]}
        for title, names in groups
        if names
    ]
    return choose_one(
        ids.each(ids.LOG, MEANS, place), f"What {written} means", data, None, search=True,
        placeholder="not known", clearable=True, className="means",
    )  # fmt: skip
