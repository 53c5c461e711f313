"""A squad's own word on which column means what, for files whose names are not recognised."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from keelmark.contracts.errors import RefusedInput
from keelmark.contracts.text_file import read_text_file
from keelmark.contracts.toml_text import read_toml
from keelmark.ingest.names import UNITS_OF

__all__ = ["ColumnMapping", "read_mapping"]

EXAMPLE = '[columns] followed by lines such as date = "Tag" or load = { column = "Kilos", unit = "kg" }'


@dataclass(frozen=True, slots=True)
class ColumnMapping:
    """Kind to the name above the column, kind to unit, and the header's row number where given."""

    columns: dict[str, str]
    units: dict[str, str]
    header_row: int | None = None


def read_mapping(path: Path, kinds: list[str]) -> ColumnMapping:
    """Read a mapping file.

    Raises
    ------
    RefusedInput
        When it is not TOML, or names a kind or unit that does not exist.
    """
    try:
        content = read_toml(read_text_file(path))
    except ValueError as error:
        raise _refused(path, f"it cannot be read as TOML ({error})", EXAMPLE) from error
    table = content.get("columns")
    unknown = set(content) - {"columns", "header_row"}
    if not isinstance(table, dict) or not table or unknown:
        found = f"it has the entries {', '.join(content) or 'none'}"
        raise _refused(path, found, f"{EXAMPLE}; and, if need be, header_row = 4")
    columns: dict[str, str] = {}
    units: dict[str, str] = {}
    for kind, entry in table.items():
        if kind not in kinds:
            raise _refused(path, f"there is no kind of column named {kind}", f"one of {', '.join(sorted(kinds))}")
        columns[kind], unit = _entry(path, kind, entry)
        if unit is not None:
            units[kind] = unit
    header_row = content.get("header_row")
    if header_row is not None and (not isinstance(header_row, int) or header_row < 1):
        raise _refused(path, f"header_row is {header_row!r}", "the number of the row, from 1")
    return ColumnMapping(columns, units, header_row)


def _entry(path: Path, kind: str, entry: Any) -> tuple[str, str | None]:
    if isinstance(entry, str):
        return entry, None
    if not isinstance(entry, dict) or set(entry) - {"column", "unit"} or not isinstance(entry.get("column"), str):
        raise _refused(path, f"the entry for {kind} is {entry!r}", EXAMPLE)
    unit = entry.get("unit")
    if unit is not None and unit not in UNITS_OF.get(kind, ()):
        wanted = f"one of {', '.join(UNITS_OF[kind])}" if kind in UNITS_OF else f"no unit: {kind} has none"
        raise _refused(path, f"the unit of {kind} is {unit!r}", wanted)
    return entry["column"], unit


def _refused(path: Path, found: str, wanted: str) -> RefusedInput:
    return RefusedInput(found, where=f"mapping {path.name}", wanted=wanted, remedy="correct the mapping file")
