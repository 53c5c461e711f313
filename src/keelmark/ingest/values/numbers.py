"""Numbers written with a comma or a point, with or without marks between thousands."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Mapping
from typing import Literal

from keelmark.ingest.values.parsed import Parsed

__all__ = ["NUMBER", "DecimalMark", "decimal_evidence", "decimal_mark", "parse_number"]

DecimalMark = Literal["comma", "point"]

NUMBER = r"[-+−]?\d[\d.,'’ \u00a0\u202f]*(?:[eE][-+]?\d+)?"
_WHOLE = re.compile(rf"\s*({NUMBER})\s*")
_GROUPED = re.compile(r"\d{1,3}([ '’\u00a0\u202f])\d{3}(?:\1\d{3})*(?:[.,]\d+)?")
_GROUP_MARKS = re.compile(r"[ '’\u00a0\u202f]")
_EXPONENT = re.compile(r"[-+]?\d+(?:[.,]\d+)?[eE][-+]?\d+")
CLEAR_SHARE = 0.8


def decimal_evidence(text: str) -> DecimalMark | None:
    """The decimal mark that this number must have, or None when both readings are possible or it has no mark.

    Both marks: the last one is decimal. One mark several times: it parts thousands. One mark once: decimal unless
    exactly three digits follow one to three digits that do not start with zero.
    """
    body = text.strip().lstrip("+-−")
    comma, point = body.count(","), body.count(".")
    if comma and point:
        return "comma" if body.rfind(",") > body.rfind(".") else "point"
    if not comma and not point:
        return None
    mark, other = (",", "point") if comma else (".", "comma")
    if body.count(mark) > 1:
        return "point" if other == "point" else "comma"
    before, after = body.split(mark)
    if len(after) == 3 and 1 <= len(before) <= 3 and not before.startswith("0"):
        return None
    return "comma" if mark == "," else "point"


def decimal_mark(texts: Mapping[str, int]) -> DecimalMark | None:
    """The decimal mark of a column, when four fifths of its clear numbers agree; `texts` says how often each stands."""
    counts: Counter[DecimalMark] = Counter()
    for text, often in texts.items():
        if mark := decimal_evidence(text):
            counts[mark] += often
    if not counts:
        return None
    mark, count = counts.most_common(1)[0]
    return mark if count >= CLEAR_SHARE * counts.total() else None


def parse_number(text: str, mark: DecimalMark | None) -> Parsed[float]:
    """A number from text, `mark` being the decimal mark of its column.

    Returns
    -------
    Parsed
        Reason `not_a_number`, or `ambiguous_number` where 1.500 may be one and a half or fifteen hundred; note
        `dot_decimal` or `comma_decimal` where the number breaks with its column.
    """
    if not _WHOLE.fullmatch(text):
        return Parsed(reasons=("not_a_number",))
    body = text.strip().replace("−", "-")
    if _EXPONENT.fullmatch(body):
        return _finite(body.replace(",", "."), ())
    if _GROUP_MARKS.search(body):
        if not _GROUPED.fullmatch(body.lstrip("+-")):
            return Parsed(reasons=("not_a_number",))
        body = _GROUP_MARKS.sub("", body)
    if not re.search(r"[.,]", body):
        return _finite(body, ())
    own = decimal_evidence(body)
    if own is None and mark is None:
        return Parsed(reasons=("ambiguous_number",))
    used = own or mark
    decimal, thousands = (",", ".") if used == "comma" else (".", ",")
    if not _well_grouped(body.lstrip("+-"), decimal, thousands):
        return Parsed(reasons=("not_a_number",))
    notes: tuple[str, ...] = ()
    if own and mark and own != mark:
        notes = ("dot_decimal",) if own == "point" else ("comma_decimal",)
    return _finite(body.replace(thousands, "").replace(decimal, "."), notes)


def _well_grouped(body: str, decimal: str, thousands: str) -> bool:
    whole, _, rest = body.partition(decimal)
    groups = whole.split(thousands)
    if decimal in rest or thousands in rest or (decimal in body and not rest):
        return False
    return len(groups) == 1 or (1 <= len(groups[0]) <= 3 and all(len(group) == 3 for group in groups[1:]))


def _finite(body: str, notes: tuple[str, ...]) -> Parsed[float]:
    try:
        value = float(body)
    except ValueError:
        return Parsed(reasons=("not_a_number",))
    return Parsed(value, notes=notes) if math.isfinite(value) else Parsed(reasons=("not_a_number",))
