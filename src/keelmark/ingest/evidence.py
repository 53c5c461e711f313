"""What a file says about its own numbers and dates."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import dataclass

from keelmark.ingest.body import Body
from keelmark.ingest.cells import Cell
from keelmark.ingest.header import Header
from keelmark.ingest.options import LogOptions
from keelmark.ingest.values.dates import DateRule, day_first_evidence, in_sequence, parse_date, slash_parts
from keelmark.ingest.values.measures import split_unit
from keelmark.ingest.values.numbers import DecimalMark, decimal_mark

__all__ = ["FileMarks", "date_rule", "decimal_marks"]

NUMERIC_KINDS = (
    "sets", "reps", "reps_low", "reps_high", "load", "height", "distance", "duration", "calories", "rpe",
    "session_rpe", "session_min", "body_mass", "stature",
)  # fmt: skip
CLEARLY_MORE = 0.05


@dataclass(frozen=True, slots=True)
class FileMarks:
    """The decimal mark of each column, and the one of the file for columns that do not say."""

    by_kind: dict[str, DecimalMark]
    of_file: DecimalMark | None

    def of(self, kind: str) -> DecimalMark | None:
        """The decimal mark to read a column with."""
        return self.by_kind.get(kind) or self.of_file


def decimal_marks(header: Header, body: Body, options: LogOptions) -> FileMarks:
    """Each column decides for itself; one that cannot follows the rest of the file, then the delimiter.

    Cells are parted by semicolons where the comma is the decimal mark; so semicolons are the last evidence asked.
    """
    if options.decimal is not None:
        return FileMarks({}, options.decimal)
    by_kind: dict[str, DecimalMark] = {}
    everything: Counter[str] = Counter()
    for kind in NUMERIC_KINDS:
        if kind not in header.columns:
            continue
        texts = _numbers(_column(header, body, kind))
        everything += texts
        if mark := decimal_mark(texts):
            by_kind[kind] = mark
    return FileMarks(by_kind, decimal_mark(everything) or ("comma" if header.table.semicolons else None))


def date_rule(header: Header, body: Body, options: LogOptions, kind: str = "date") -> DateRule:
    """How dates such as 03/04/2026 are read.

    Asked in this order: the option; dates that can only be read one way; a header that is not English (day first);
    the order in which the rows run in time.
    """
    rule = DateRule(options.day_first, header.table.epoch_1904, serials_as_text=True)
    if options.day_first is not None or kind not in header.columns:
        return rule
    cells = _column(header, body, kind)
    texts = [cell for cell in cells if isinstance(cell, str)]
    if not any(slash_parts(text) for text in set(texts)):
        return rule
    decided = day_first_evidence(texts)
    if decided is None and not header.speaks_english:
        decided = True
    if decided is None:
        decided = _by_sequence(cells, rule)
    return DateRule(decided, rule.epoch_1904, rule.serials_as_text)


def _by_sequence(cells: list[Cell], rule: DateRule) -> bool | None:
    day_first = _days(cells, DateRule(True, rule.epoch_1904, True))
    month_first = _days(cells, DateRule(False, rule.epoch_1904, True))
    one, other = in_sequence(day_first), in_sequence(month_first)
    if abs(one - other) < CLEARLY_MORE or len(set(day_first)) < 3 or max(one, other) < 1 - CLEARLY_MORE:
        return None
    return one > other


def _days(cells: list[Cell], rule: DateRule) -> list[dt.date]:
    return [day for cell in cells if (day := parse_date(cell, rule).value) is not None]


def _column(header: Header, body: Body, kind: str) -> list[Cell]:
    place = header.columns[kind].index
    return [body.rows[index][place] for index in body.data]


def _numbers(cells: list[Cell]) -> Counter[str]:
    """The numbers with a mark among the texts of a column, without units, and how often each stands."""
    numbers: Counter[str] = Counter()
    for text, often in Counter(cell for cell in cells if isinstance(cell, str)).items():
        parts = split_unit(text.strip()) if "," in text or "." in text else None
        if parts:
            numbers[parts[0]] += often
    return numbers
