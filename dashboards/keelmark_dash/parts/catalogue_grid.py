"""The movement catalogue to browse: every number with its range, its evidence and its source."""

from __future__ import annotations

from typing import Any

import dash_ag_grid as dag

from keelmark.catalogue import Catalogue, Figure
from keelmark_dash.shown_as import movement_words

__all__ = ["catalogue_grid", "catalogue_rows"]

_COLUMNS: tuple[tuple[str, str, int], ...] = (
    ("movement", "Movement", 220),
    ("field", "What it says", 240),
    ("value", "Value", 100),
    ("range", "Range", 150),
    ("evidence", "Evidence", 120),
    ("source", "Source", 420),
)
_TAB_LEADS_OUT = "params.event.key === 'Tab'"
"""Arrow keys walk the cells; the tab key leads out of them, see grid.js."""


def catalogue_grid(name: str) -> dag.AgGrid:
    """The grid; rows are asked for a screenful at a time, and each column can be searched."""
    return dag.AgGrid(
        id=name,
        columnDefs=[
            {
                "field": field,
                "headerName": title,
                "width": width,
                "minWidth": width if field == "source" else 90,
                "flex": int(field == "source"),
            }
            for field, title, width in _COLUMNS
        ],
        defaultColDef={
            "resizable": True,
            "sortable": False,
            "suppressHeaderMenuButton": True,
            "filter": "agTextColumnFilter",
            "floatingFilter": True,
            "suppressFloatingFilterButton": True,
            "suppressKeyboardEvent": {"function": _TAB_LEADS_OUT},
            "filterParams": {"filterOptions": ["contains"], "maxNumConditions": 1, "debounceMs": 250},
        },
        rowModelType="infinite",
        dashGridOptions={
            "cacheBlockSize": 60,
            "maxBlocksInCache": 4,
            "rowHeight": 40,
            "headerHeight": 44,
            "floatingFiltersHeight": 48,
            "ensureDomOrder": True,
            "suppressMovableColumns": True,
            "enableCellTextSelection": True,
        },
        className="ag-theme-alpine catalogue-grid",
    )


def catalogue_rows(catalogue: Catalogue, filters: dict[str, Any] | None = None) -> list[dict[str, str]]:
    """Numbers of the catalogue as rows of the grid.

    Parameters
    ----------
    catalogue : Catalogue
        The squad's movements.
    filters : dict, optional
        As the grid sends it: per column what its cells must contain.
    """
    wanted = {field: str(said.get("filter", "")).casefold() for field, said in (filters or {}).items()}
    rows = (_row(*entry) for entry in catalogue.figures())
    return [row for row in rows if all(text in row.get(field, "").casefold() for field, text in wanted.items())]


def _row(movement: str, field: str, figure: Figure) -> dict[str, str]:
    return {
        "movement": movement_words(movement),
        "field": _field(field),
        "value": f"{figure.value:g}",
        "range": f"{figure.low:g} to {figure.high:g}" if figure.low != figure.high else "exact",
        "evidence": figure.evidence,
        "source": figure.source or "",
    }


def _field(field: str) -> str:
    table, _, exposure = field.partition(".")
    words = table.replace("_", " ")
    return f"{exposure.replace('_', ' ')}, {words}" if exposure else words
