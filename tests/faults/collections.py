"""All that is tried, by kind; a kind gives its tally, in a short form for each change and a full one for the table."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from functools import partial
from itertools import islice
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.faults import breakdowns, hostile, web
from tests.faults.doors import DOORS, Door, brought, crew, good_cases
from tests.faults.hazards import HAZARDS
from tests.faults.hostile import DATES, FIGURES, SIGNS
from tests.faults.tally import Case, Ending, Tally

__all__ = ["KINDS", "PROCESSES"]

Cases = Callable[..., Iterator[Case]]
_SHORT_EVERY = 23
_BYTES = (
    b"\x00",
    b"\xff",
    b"\xef\xbb\xbf",
    b'"',
    b",",
    b";",
    b"\n",
    b"\r",
    b"\t",
    b"|",
    b"[",
    b"{",
    b"=",
    b"<!DOCTYPE x>",
)


def _by_hand(kind: str, cases: Cases, *, full: bool) -> Tally:
    tally = Tally(kind)
    with crew() as opened, tempfile.TemporaryDirectory() as folder:
        tried = (
            cases(opened, Path(folder), large=full) if cases is hostile.tables_of_text else cases(opened, Path(folder))
        )
        tally.add_all(tried if full or cases is good_cases else islice(tried, 0, None, _SHORT_EVERY))
    return tally


def _changed(good: bytes, steps: list[tuple[int, int, bytes]]) -> bytes:
    """A good file with pieces put in, left out, repeated or written over."""
    content = good
    for kind, place, piece in steps:
        at = place % (len(content) + 1)
        if kind == 0:
            content = content[:at] + piece + content[at:]
        elif kind == 1:
            content = content[:at] + content[at + len(piece) + 1 :]
        elif kind == 2:
            content = content[:at] + content[max(0, at - 40) : at] * 3 + content[at:]
        else:
            content = content[:at] + piece + content[at + len(piece) :]
    return content


_PIECES = st.sampled_from([*_BYTES, *(text[:300].encode("utf-8", "replace") for text in (*SIGNS, *FIGURES, *DATES))])
_STEPS = st.lists(
    st.tuples(st.integers(0, 3), st.integers(0, 2**20), _PIECES | st.binary(max_size=12)), min_size=1, max_size=8
)


def _drawn(door: Door, *, full: bool) -> Tally:
    """Files drawn by Hypothesis from a good one; a wrong ending is made as small as it can be and raised."""
    tally = Tally(f"drawn: {door.name}")
    with crew() as opened, tempfile.TemporaryDirectory() as folder:

        @settings(max_examples=300 if full else 12, database=None, derandomize=True, deadline=None,
                  suppress_health_check=list(HealthCheck))  # fmt: skip
        @given(steps=_STEPS)
        def _try(steps: list[tuple[int, int, bytes]]) -> None:
            content = _changed(door.good, steps)
            ending = tally.add(Case(ascii(content[:120]), brought(door, opened, Path(folder), content)))
            assert ending in (Ending.REFUSED, Ending.TAKEN), tally.wrong[-1]

        try:
            _try()
        except AssertionError as error:
            tally.wrong.append(str(error))
    return tally


_WRITTEN: dict[str, Cases] = {
    "good files": good_cases,
    "other kinds of files": hostile.any_door,
    "tables as text": hostile.tables_of_text,
    "workbooks": hostile.workbooks,
    "Parquet tables": hostile.parquets,
    "TOML files": hostile.tomls,
    "texts": hostile.texts,
    "calendars": hostile.calendars,
    "backups": hostile.archives,
}
KINDS: dict[str, Callable[..., Tally]] = {
    **{kind: partial(_by_hand, kind, cases) for kind, cases in _WRITTEN.items()},
    **{f"drawn: {door.name}": partial(_drawn, door) for door in DOORS},
    **HAZARDS,
    "failing disks (SQLite)": breakdowns.disks,
    "lost lines (PostgreSQL)": breakdowns.lines,
    "writers at once": breakdowns.writers,
    "clocks that jump": breakdowns.clocks,
    "addresses": web.addresses,
    "questions to the pages": web.questions,
    "drawn: questions to the pages": web.drawn_questions,
}
"""Kind to the function that tries it; `full=True` tries every case."""

PROCESSES: dict[str, Callable[..., Tally]] = {"killed processes (SQLite)": breakdowns.kills}
"""Kinds that take minutes: the table shows them, and the suite tries them in tests of their own."""
