"""Sets told in rows of figures: `reps: 5 5 3 3 1` above `kg: 90 105 120 130 140`, a column for each set."""

from __future__ import annotations

from dataclasses import dataclass, replace

from keelmark.notation.items import Item
from keelmark.notation.lexicon import Lexicon

__all__ = ["read_set_columns"]

_BETWEEN = frozenset(["cell", "comma", "slash", "sslash", "dash", "sdash", "semicolon"])
_LABELS = {"reps_word": "reps", "sets": "number_of_set", "rpe": "rest", "rest": "rest", "percent": "load"}
_MOST = 20


@dataclass(slots=True)
class _Row:
    """One row: what it holds, its unit, its figures, and the movement that its label names."""

    column: str
    unit: Item | None
    figures: list[Item]
    named: Item | None


def read_set_columns(items: list[Item], lexicon: Lexicon) -> list[Item]:
    """The items with rows of reps and of loads, one figure for each set, as one ladder and its loads.

    Parameters
    ----------
    items : list of Item
        As they come out of the words.
    lexicon : Lexicon
        Whose headers of columns name the rows.
    """
    edges = [at for at, item in enumerate(items) if item.kind == "newline"]
    if not edges or not any(item.kind == "reps_word" or lexicon.columns.get(item.word) == "reps" for item in items):
        return items
    lines = list(zip([0, *(at + 1 for at in edges)], [*edges, len(items)], strict=True))
    for place, line in enumerate(lines[:-1]):
        rows: list[_Row] = []
        for start, end in lines[place : place + 4]:
            row = _row(items[start:end], lexicon)
            if row is None or (rows and len(row.figures) != len(rows[0].figures)):
                break
            rows.append(row)
        made = _ladder(items, line[0], rows)
        if made:
            return [*items[: line[0]], *made, *items[lines[place + len(rows) - 1][1] :]]
    return items


def _row(line: list[Item], lexicon: Lexicon) -> _Row | None:
    """A label, at most with a movement in front, and at least two figures behind it."""
    first = next((at for at, item in enumerate(line) if _is_figure(line, at)), len(line))
    label, behind = line[:first], line[first:]
    figures = [item for item in behind if item.kind == "number"]
    rest = [item for item in behind if item.kind != "number" and item.kind not in _BETWEEN]
    unit = rest[-1] if rest and rest[-1] is line[-1] and rest[-1].kind in ("mass", "percent") else None
    if not 2 <= len(figures) <= _MOST or len(rest) > (unit is not None) or not 1 <= len(label) <= 8:
        return None
    column = _column(label, lexicon)
    if not column:
        return None
    named = [item for item in label if item.kind == "movement"]
    if len(named) > 1:
        return None
    return _Row(column, unit or _unit_of(label, lexicon), figures, named[0] if named else None)


def _is_figure(line: list[Item], at: int) -> bool:
    behind = line[at + 1].kind if at + 1 < len(line) else ""
    return line[at].kind == "number" and behind != "rep_max"


def _column(label: list[Item], lexicon: Lexicon) -> str:
    for item in label:
        column = _LABELS.get(item.kind) or lexicon.columns.get(item.word, "")
        if column in ("reps", "load", "rest", "number_of_set"):
            return column
    return ""


def _unit_of(label: list[Item], lexicon: Lexicon) -> Item | None:
    for item in label:
        if item.kind == "percent":
            return item
        unit = lexicon.units.get(item.word)
        if unit is not None and unit.measure == "mass":
            return Item("mass", item.start, item.end, unit, item.word)
    return None


def _ladder(items: list[Item], start: int, rows: list[_Row]) -> list[Item]:
    """`movement 5-5-3-3-1 @ 90-105-120-130-140 kg`; nothing where no reps are told or two rows tell the same."""
    columns = [row.column for row in rows]
    reps = next((row for row in rows if row.column == "reps"), None)
    load = next((row for row in rows if row.column == "load"), None)
    if reps is None or load is None or columns.count("reps") > 1 or columns.count("load") > 1:
        return []
    made = [row.named for row in rows if row.named is not None][:1]
    if not made and not _named_above(items, start):
        return []
    made += [*_dashed(reps.figures), Item("at", load.figures[0].start, load.figures[0].start)]
    made += _dashed(load.figures)
    if load.unit is not None:
        end = load.figures[-1].end
        made.append(load.unit if load.unit.start >= end else replace(load.unit, start=end, end=end))
    return made


def _named_above(items: list[Item], start: int) -> bool:
    """A movement stands on the line above."""
    for item in reversed(items[: max(0, start - 1)]):
        if item.kind == "newline":
            return False
        if item.kind == "movement":
            return True
    return False


def _dashed(figures: list[Item]) -> list[Item]:
    out: list[Item] = []
    for place, item in enumerate(figures):
        if place:
            out.append(Item("dash", item.start, item.start, None, "", (), False))
        out.append(replace(item, spaced=not place))
    return out
