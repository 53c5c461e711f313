"""What a table between two stages looks like, and the check at each door."""

from __future__ import annotations

from dataclasses import dataclass

import polars as pl

from keelmark.contracts.errors import FrameError

__all__ = ["Column", "FrameSchema"]


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its name, type, unit and meaning. A column that is not `optional` never holds a null."""

    name: str
    dtype: pl.DataType | type[pl.DataType]
    unit: str
    meaning: str
    optional: bool = False

    @property
    def type_name(self) -> str:
        """The type in words, as the documentation shows it."""
        return _type_name(self.dtype)


@dataclass(frozen=True, slots=True)
class FrameSchema:
    """A named table and its columns, the one place where they are defined."""

    name: str
    meaning: str
    columns: tuple[Column, ...]

    @property
    def names(self) -> list[str]:
        """Column names in order."""
        return [column.name for column in self.columns]

    @property
    def polars(self) -> pl.Schema:
        """The same schema as polars knows it."""
        return pl.Schema({column.name: column.dtype for column in self.columns})

    def empty(self) -> pl.DataFrame:
        """A table of this shape with no rows."""
        return pl.DataFrame(schema=self.polars)

    def build(self, rows: list[dict[str, object]]) -> pl.DataFrame:
        """A checked table from plain rows; a key that a row leaves out becomes null."""
        return self.check(pl.DataFrame(rows, schema=self.polars), where=f"rows for {self.name}")

    def check(self, frame: pl.DataFrame, *, where: str) -> pl.DataFrame:
        """Return the frame with its columns in schema order, or say what is wrong.

        Raises
        ------
        FrameError
            When a column is missing, unexpected, of another type, or null where it must not be.
        """
        self._check_names(frame, where)
        self._check_types(frame, where)
        self._check_nulls(frame, where)
        return frame.select(self.names)

    def markdown(self) -> str:
        """The table of columns as it stands in the documentation."""
        head = f"**{self.name}**: {self.meaning}\n\n"
        head += "| column | type | unit | may be empty | meaning |\n|---|---|---|---|---|\n"
        lines = [
            f"| `{c.name}` | {_type_name(c.dtype)} | {c.unit} | {'yes' if c.optional else 'no'} | {c.meaning} |"
            for c in self.columns
        ]
        return head + "\n".join(lines) + "\n"

    def _check_names(self, frame: pl.DataFrame, where: str) -> None:
        missing = [name for name in self.names if name not in frame.columns]
        extra = [name for name in frame.columns if name not in self.names]
        if missing or extra:
            raise FrameError(
                f"columns missing: {missing or 'none'}, unexpected: {extra or 'none'}",
                where=f"{where}, table {self.name}",
                wanted=f"exactly {', '.join(self.names)}",
                remedy="build the table from its schema in keelmark.contracts.frames",
            )

    def _check_types(self, frame: pl.DataFrame, where: str) -> None:
        for column in self.columns:
            found = frame.schema[column.name]
            if found != column.dtype:
                raise FrameError(
                    f"column {column.name} has type {found}",
                    where=f"{where}, table {self.name}",
                    wanted=f"type {_type_name(column.dtype)}",
                    remedy="cast the column before handing the table on",
                )

    def _check_nulls(self, frame: pl.DataFrame, where: str) -> None:
        required = [column.name for column in self.columns if not column.optional]
        if frame.is_empty() or not required:
            return
        counts = frame.select(pl.col(required).null_count()).row(0, named=True)
        empty = {name: count for name, count in counts.items() if count}
        if empty:
            raise FrameError(
                f"empty values in {empty}",
                where=f"{where}, table {self.name}",
                wanted="a value in every row of these columns",
                remedy="quarantine such rows before this door",
            )


def _type_name(dtype: pl.DataType | type[pl.DataType]) -> str:
    if isinstance(dtype, pl.Enum):
        return "one of " + ", ".join(dtype.categories)
    return str(dtype() if isinstance(dtype, type) else dtype)
