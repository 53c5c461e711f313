"""External loads per rep, in the many ways people write them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from keelmark.ingest.cells import Cell
from keelmark.ingest.values.measures import TO_KG, parse_amount, split_unit
from keelmark.ingest.values.numbers import NUMBER, DecimalMark, parse_number
from keelmark.ingest.values.parsed import Parsed
from keelmark.ingest.words import plain, spoken

__all__ = ["Load", "parse_load"]

_PAIR = re.compile(rf"([12])\s*[x×*]\s*({NUMBER}.*)", re.IGNORECASE)
_TIMES = re.compile(rf"({NUMBER})\s*[x×*]\s*(.+)", re.IGNORECASE)
_PLUS = re.compile(r"(.+?)\s*([+\-−])\s*(\d.*)")
_PERCENT = re.compile(rf"\s*{NUMBER}\s*%.*")
_CHOICE = re.compile(rf"{NUMBER}\s*[^\d/]*\s*[/–-]\s*{NUMBER}.*")


@dataclass(frozen=True, slots=True)
class Load:
    """Kilograms on top of the body; None is body weight only; `of_body_mass` asks for that many body masses."""

    kg: float | None
    of_body_mass: float | None = None


def parse_load(cell: Cell, unit: str | None, mark: DecimalMark | None) -> Parsed[Load]:
    """A load per rep; `unit` is that of the column.

    `2x16` is one in each hand and makes 32; `BW` carries nothing; `BW+10` carries 10.

    Returns
    -------
    Parsed
        Reasons: `lb_in_kg_column` and `kg_in_lb_column` (both with the converted value), `ambiguous_load` (two loads
        in one cell), `relative_load` (a percentage), `non_numeric_load`, `ambiguous_number`. Note `no_unit`.
    """
    if not isinstance(cell, str):
        return _external(parse_amount(cell, unit, TO_KG, mark))
    text = cell.strip()
    if _is_body_weight(text):
        return Parsed(Load(None))
    if (found := _PLUS.fullmatch(text)) and _is_body_weight(found[1]):
        sign = -1.0 if found[2] != "+" else 1.0
        return _times(_quantity(found[3], unit, mark), sign)
    if (found := _TIMES.fullmatch(text)) and _is_body_weight(found[2]):
        factor = parse_number(found[1], mark)
        return Parsed(Load(None, of_body_mass=factor.value), factor.reasons, factor.notes)
    if found := _PAIR.fullmatch(text):
        return _times(_quantity(found[2], unit, mark), float(found[1]))
    if _PERCENT.fullmatch(text):
        return Parsed(reasons=("relative_load",))
    if _TIMES.fullmatch(text) or _CHOICE.fullmatch(text):
        return Parsed(reasons=("ambiguous_load",))
    return _quantity(text, unit, mark)


def _quantity(text: str, unit: str | None, mark: DecimalMark | None) -> Parsed[Load]:
    parts = split_unit(text)
    if parts is None:
        return Parsed(reasons=("non_numeric_load",))
    read = _external(parse_amount(text, unit, TO_KG, mark))
    own = parts[1]
    if own and unit and own != unit and not read.reasons:
        return Parsed(read.value, (f"{own}_in_{unit}_column",), read.notes)
    return read


def _times(load: Parsed[Load], factor: float) -> Parsed[Load]:
    if load.value is None or load.value.kg is None:
        return load
    return Parsed(Load(load.value.kg * factor), load.reasons, load.notes)


def _external(number: Parsed[float]) -> Parsed[Load]:
    if number.value is None:
        reason = "ambiguous_number" if "ambiguous_number" in number.reasons else "non_numeric_load"
        return Parsed(reasons=(reason,))
    return Parsed(Load(number.value), number.reasons, number.notes)


def _is_body_weight(text: str) -> bool:
    return plain(text) in spoken("body_weight")
