"""The rows of a list of people, column by column; every cell that cannot be read is told, and refuses the list."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from keelmark.contracts.errors import RefusedInput
from keelmark.ingest.body import Body
from keelmark.ingest.cells import Cell, as_text
from keelmark.ingest.columns import Column, parse_column
from keelmark.ingest.evidence import date_rule, decimal_marks
from keelmark.ingest.header import ColumnUse, Header
from keelmark.ingest.options import LogOptions
from keelmark.ingest.values.measures import parse_amount
from keelmark.ingest.values.parsed import Parsed
from keelmark.ingest.warnings import FileWarning
from keelmark.ingest.words import cell_words, plain

__all__ = ["REMEDY", "RosterRows"]

_MOST_TOLD = 20
REMEDY = "correct the roster and read it again; nothing was stored"


class _Fault(NamedTuple):
    """A cell that cannot be read: its line, column and text, what was wanted, and what to do."""

    line: int
    title: str
    cell: str
    wanted: str
    remedy: str

    @property
    def found(self) -> str:
        return f"the cell is '{self.cell}'" if self.cell else "the cell is empty"


class RosterRows:
    """The data rows of a roster, column by column; cells that cannot be read are gathered, and refuse the file."""

    def __init__(self, header: Header, body: Body, options: LogOptions, file: str) -> None:
        self.header, self.body, self.options, self.file = header, body, options, file
        self.dates = date_rule(header, body, options)
        self.marks = decimal_marks(header, body, options)
        self.warnings: list[FileWarning] = []
        self.faults: list[_Fault] = []

    def lines(self, position: int) -> int:
        """The physical line of a data row."""
        return self.body.lines[self.body.data[position]]

    def column(self, use: ColumnUse, parse: Callable[[Cell], Parsed[Any]], wanted: str) -> Column:
        """Values of one column."""
        cells = [self.body.rows[index][use.index] for index in self.body.data]
        column = parse_column("", use.title, cells, parse)
        for position in column.faults:
            self.refuse(position, use.title, as_text(cells[position]), wanted)
        return column

    def kind(self, kind: str, parse: Callable[[Cell], Parsed[Any]], wanted: str) -> list[Any]:
        """Values of one kind, all None when the roster has no such column."""
        use = self.header.columns.get(kind)
        return self.column(use, parse, wanted).values if use else [None] * len(self.body.data)

    def words(self, kind: str, table: str, wanted: str) -> list[Any]:
        """Values of one kind that come from a fixed list of words."""
        return self.kind(kind, lambda cell: _word(cell, table), wanted)

    def measure(
        self, kind: str, factors: dict[str, float], bare: str, bounds: tuple[float, float], check: str
    ) -> list[Any]:
        """Values of a kind with a unit, within bounds; a bare figure is read in the unit `bare` and that is told."""
        use = self.header.columns.get(kind)
        if use is None:
            return [None] * len(self.body.data)
        wanted = f"{bounds[0]:g} to {bounds[1]:g} {bare}"
        column = self.column(use, lambda cell: parse_amount(cell, use.unit, factors, self.marks.of(kind)), wanted)
        if column.notes:
            text = f"Column {use.title} has no unit and is read as {bare}. Write {use.title} ({bare}) to be sure."
            self.warnings.append(FileWarning(f"{kind}_unit_assumed", text))
        for position, value in enumerate(column.values):
            if value is not None and not bounds[0] <= value <= bounds[1]:
                self.refuse(position, use.title, as_text(column.cells[position]), wanted, f"{check}; {REMEDY}")
        return column.values

    def refuse(self, position: int, title: str, cell: str, wanted: str, remedy: str = REMEDY) -> None:
        """Note a cell that refuses the roster."""
        self.faults.append(_Fault(self.lines(position), title, cell, wanted, remedy))

    def check(self) -> None:
        """Refuse the roster when a cell of it could not be read; with several, each of them is told."""
        faults = sorted(self.faults)
        if not faults:
            return
        if len(faults) == 1:
            only = faults[0]
            where = f"{self.file}, line {only.line}, column {only.title}"
            raise RefusedInput(only.found, where=where, wanted=only.wanted, remedy=only.remedy)
        told = [f"line {one.line}, column {one.title}: {one.found}, wanted {one.wanted}" for one in faults[:_MOST_TOLD]]
        more = f"; and {len(faults) - _MOST_TOLD} more" if len(faults) > _MOST_TOLD else ""
        raise RefusedInput(
            f"{len(faults)} cells cannot be read. {'; '.join(told)}{more}",
            where=self.file,
            wanted="a roster in which each cell can be read",
            remedy=REMEDY,
        )


def _word(cell: Cell, table: str) -> Parsed[str]:
    found = cell_words(table).get(plain(as_text(cell)))
    return Parsed(found) if found else Parsed(reasons=("unknown",))
