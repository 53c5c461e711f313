"""Finding the header of a table and what its columns mean."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest

from rapidfuzz import process

from keelmark.contracts.errors import RefusedInput
from keelmark.ingest.cells import CellTable, as_text, is_empty
from keelmark.ingest.mapping import ColumnMapping
from keelmark.ingest.names import ColumnNames, Meaning
from keelmark.ingest.words import plain

__all__ = ["ColumnUse", "Header", "find_header"]

SEARCHED_ROWS = 60


@dataclass(frozen=True, slots=True)
class ColumnUse:
    """A column that is used: its place, its name, and what the name says of unit, language and firmness."""

    index: int
    title: str
    unit: str | None
    languages: frozenset[str]
    weak: bool = False


@dataclass(frozen=True, slots=True)
class Header:
    """The header of one table: which of its columns mean what, and where the data starts."""

    table: CellTable
    last_row: int
    width: int
    columns: dict[str, ColumnUse]
    titles: tuple[str, ...]

    @property
    def unused(self) -> list[str]:
        """Titles of the columns that mean nothing here."""
        taken = {use.index for use in self.columns.values()}
        return [title for index, title in enumerate(self.titles) if title and index not in taken]

    @property
    def speaks_english(self) -> bool:
        """True when every column that is used has an English name."""
        return all("en" in column.languages for column in self.columns.values())


@dataclass(frozen=True, slots=True)
class _Candidate:
    table: CellTable
    last_row: int
    titles: list[str]
    meanings: list[Meaning | None]

    @property
    def kinds(self) -> set[str]:
        return {meaning.kind for meaning in self.meanings if meaning}


def find_header(
    tables: Sequence[CellTable],
    names: ColumnNames,
    required: Sequence[tuple[str, ...]],
    *,
    where: str,
    mapping: ColumnMapping | None = None,
) -> Header:
    """The one header among the tables of a file.

    Parameters
    ----------
    required : sequence of tuple
        Each entry is met when all its kinds are there; the first entry that is met is enough.

    Raises
    ------
    RefusedInput
        When no table has the columns needed, more than one has, or two columns claim one meaning.
    """
    best = [_best_candidate(table, names, mapping) for table in tables]
    fitting = [found for found in best if found and any(set(kinds) <= found.kinds for kinds in required)]
    if len(fitting) > 1:
        raise RefusedInput(
            f"the sheets {', '.join(found.table.name for found in fitting)} all look like the table wanted",
            where=where,
            wanted="one table at a time",
            remedy="name the sheet with the option --sheet and read them one after another",
        )
    if not fitting:
        if mapping:
            _refuse_absent(mapping, [found for found in best if found], where)
        raise _not_found([found for found in best if found], names, required, where)
    return _settle(fitting[0], mapping, where)


def _best_candidate(table: CellTable, names: ColumnNames, mapping: ColumnMapping | None) -> _Candidate | None:
    best: _Candidate | None = None
    for index in range(min(SEARCHED_ROWS, len(table.rows))):
        if mapping and mapping.header_row and table.lines[index] not in (mapping.header_row, mapping.header_row - 1):
            continue
        for found in _candidates_at(table, index, names, mapping):
            if best is None or len(found.kinds) > len(best.kinds):
                best = found
    return best


def _candidates_at(table: CellTable, index: int, names: ColumnNames, mapping: ColumnMapping | None) -> list[_Candidate]:
    top = _header_cells(table, index)
    if not any(top):
        return []
    single = _candidate(table, index, [[title] for title in top], names, mapping)
    below = _header_cells(table, index + 1) if index + 1 < len(table.rows) else []
    if not _may_continue(table, index + 1, below, names):
        return [single]
    parents = _carried(top, below)
    pairs = list(zip_longest(parents, below, fillvalue=""))
    pair = _candidate(table, index + 1, [_title_choices(parent, child) for parent, child in pairs], names, mapping)
    with_units = sum(meaning.unit is not None for meaning in pair.meanings if meaning)
    units_alone = sum(meaning.unit is not None for meaning in single.meanings if meaning)
    better = len(pair.kinds) > len(single.kinds) or (pair.kinds == single.kinds and with_units > units_alone)
    return [pair] if better else [single]


def _header_cells(table: CellTable, index: int) -> list[str]:
    """The titles of a row, a merged title standing in every cell it covers."""
    row = table.rows[index]
    titles = ["" if is_empty(cell) else " ".join(as_text(cell).split()) for cell in row]
    for top, left, bottom, right in table.spans:
        if top <= index <= bottom and top < len(table.rows) and left < len(table.rows[top]):
            text = " ".join(as_text(table.rows[top][left]).split())
            for column in range(left, min(right + 1, len(titles))):
                titles[column] = titles[column] or text
    return titles


def _may_continue(table: CellTable, index: int, titles: list[str], names: ColumnNames) -> bool:
    """True when a row could be the second row of a header: some titles, all of them text, most of them known."""
    if not any(titles) or any(isinstance(cell, (int, float)) for cell in table.rows[index]):
        return False
    filled = [title for title in titles if title]
    known = sum(names.meaning(title) is not None or names.meaning(f"load ({title})") is not None for title in filled)
    return known >= 0.5 * len(filled)


def _carried(top: list[str], below: list[str]) -> list[str]:
    """Upper titles, each carried on over the empty cells to its right that have a title below them."""
    carried: list[str] = []
    last = ""
    for column, title in enumerate(top):
        under = below[column] if column < len(below) else ""
        last = title or (last if under else "")
        carried.append(last)
    return carried


def _title_choices(parent: str, child: str) -> list[str]:
    if not child or parent == child:
        return [parent]
    return [f"{parent} {child}", child, parent] if parent else [child]


def _candidate(
    table: CellTable, index: int, choices: list[list[str]], names: ColumnNames, mapping: ColumnMapping | None
) -> _Candidate:
    titles, meanings = [], []
    for options in choices:
        found = next(((title, meaning) for title in options if (meaning := names.meaning(title))), None)
        title, meaning = found or (options[0], None)
        mapped = _mapped(options, mapping)
        if mapped is not None:
            meaning = Meaning(mapped, _mapped_unit(mapped, mapping, meaning), False, frozenset({"en"}))
        elif mapping and meaning and meaning.kind in mapping.columns:
            meaning = None
        titles.append(title)
        meanings.append(meaning)
    return _Candidate(table, index, titles, meanings)


def _mapped(options: list[str], mapping: ColumnMapping | None) -> str | None:
    if mapping is None:
        return None
    written = {plain(option) for option in options}
    return next((kind for kind, title in mapping.columns.items() if plain(title) in written), None)


def _mapped_unit(kind: str, mapping: ColumnMapping | None, meaning: Meaning | None) -> str | None:
    if mapping and kind in mapping.units:
        return mapping.units[kind]
    return meaning.unit if meaning and meaning.kind == kind else None


def _settle(found: _Candidate, mapping: ColumnMapping | None, where: str) -> Header:
    columns: dict[str, ColumnUse] = {}
    for weak in (False, True):
        for index, meaning in enumerate(found.meanings):
            if meaning is None or meaning.weak != weak:
                continue
            use = ColumnUse(index, found.titles[index], meaning.unit, meaning.languages, weak)
            earlier = columns.get(meaning.kind)
            if earlier is None:
                columns[meaning.kind] = use
            elif meaning.kind == "note" and plain(use.title) != plain(earlier.title):
                continue
            elif not weak or earlier.weak:
                raise _claimed_twice(meaning.kind, earlier, use, where)
    if mapping:
        _refuse_absent(mapping, [found], where)
    width = len(found.titles)
    while width and not found.titles[width - 1]:
        width -= 1
    return Header(found.table, found.last_row, width, columns, tuple(found.titles))


def _refuse_absent(mapping: ColumnMapping, best: list[_Candidate], where: str) -> None:
    """Refuse a mapping that names columns which are in none of the tables."""
    found = max(best, key=lambda candidate: len(candidate.kinds), default=None)
    absent = [title for kind, title in mapping.columns.items() if found is None or kind not in found.kinds]
    if absent:
        titles = [title for title in found.titles if title] if found else []
        raise RefusedInput(
            f"the mapping names columns that are not there: {', '.join(absent)}",
            where=where,
            wanted=f"names among {', '.join(titles) or 'none'}",
            remedy="correct the mapping file",
        )


def _claimed_twice(kind: str, first: ColumnUse, second: ColumnUse, where: str) -> RefusedInput:
    return RefusedInput(
        f"the columns {first.title!r} (column {first.index + 1}) and {second.title!r} (column {second.index + 1}) "
        f"both mean {kind}",
        where=where,
        wanted=f"one column for {kind}",
        remedy=f"remove one of them, or say in a mapping file which one counts: [columns] {kind} = {first.title!r}",
    )


def _not_found(
    best: list[_Candidate], names: ColumnNames, required: Sequence[tuple[str, ...]], where: str
) -> RefusedInput:
    closest = max(best, key=lambda found: len(found.kinds), default=None)
    if closest is None:
        titles, missing = [], list(required[0])
    else:
        titles = [title for title in closest.titles if title]
        missing = [kind for kind in required[0] if kind not in closest.kinds]
    meant = (
        [title for title, meaning in zip(closest.titles, closest.meanings, strict=True) if meaning] if closest else []
    )
    free = [title for title in titles if title not in meant]
    understood = "; ".join(f"{kind}: {', '.join(names.written(kind))}" for kind in missing)
    hints = [hint for kind in missing if (hint := _look_alike(kind, free, names))]
    suggestion = f", for example {'; '.join(hints)}" if hints else ""
    return RefusedInput(
        f"no column for {', '.join(missing)} was found; the columns are {', '.join(titles) or 'none'}",
        where=where,
        wanted=f"a header row with {' and '.join(required[0])}; names understood include {understood}",
        remedy="rename the columns, or give a mapping file with the line [columns] and below it "
        f'a line for each column, such as {missing[0]} = "name of the column"{suggestion}',
    )


def _look_alike(kind: str, titles: list[str], names: ColumnNames) -> str | None:
    written = names.all_written().get(kind, [])
    scored = [(process.extractOne(plain(title), written), title) for title in titles if written]
    near = [(found[1], title) for found, title in scored if found and found[1] >= 75]
    return f'{kind} = "{max(near)[1]}"' if near else None
