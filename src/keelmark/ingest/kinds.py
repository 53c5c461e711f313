"""Columns whose name leaves open what they hold: the cells decide, and the decision is told."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from dataclasses import replace

from keelmark.ingest.body import Body
from keelmark.ingest.cells import Cell, as_text, is_empty
from keelmark.ingest.header import ColumnUse, Header
from keelmark.ingest.values.counts import parse_volume
from keelmark.ingest.values.measures import TO_KG, parse_duration
from keelmark.ingest.warnings import FileWarning
from keelmark.ingest.words import cell_words, plain

__all__ = ["settle_kinds"]

CLEAR_SHARE = 0.8
MOSTLY = 0.5
EARLIEST_HOUR = 5
SESSION_SECONDS = 15 * 60.0


def settle_kinds(header: Header, body: Body) -> tuple[Header, list[FileWarning]]:
    """Give open columns the kind that their cells show.

    A column `set` holds the number of the set when it counts up within an athlete's movement of a day, else how many
    sets were done. Reps written as 5x3 without a column for sets hold both. A duration beside a session rating is the
    session's length when all rows of an athlete's day share it and it is a quarter of an hour or more. Plain minutes
    are the time of each row where there is no session rating, or where they differ within a session. A column `time`
    is the time of day when all its cells could be, from 5:00 to 23:59, and nearly all of those rows count reps.
    Beside loads without a unit, a column that holds kg and lb and next to nothing else is their unit.
    """
    header, warnings = _with_load_unit(header, body)
    for kind, becomes, shows, words in _OPEN:
        if kind not in header.columns or becomes in header.columns or not shows(header, body):
            continue
        use = header.columns[kind]
        if kind == "session_min" and use.unit is None:
            use = replace(use, unit="min")
        columns = {known: column for known, column in header.columns.items() if known != kind} | {becomes: use}
        header = replace(header, columns=columns)
        warnings.append(FileWarning(f"{kind}_read_as_{becomes}", f"Column {use.title} is read as {words}."))
    return header, warnings


def _with_load_unit(header: Header, body: Body) -> tuple[Header, list[FileWarning]]:
    load = header.columns.get("load")
    if load is None or load.unit is not None or "load_unit" in header.columns:
        return header, []
    free = {kind: use for kind, use in header.columns.items() if kind in ("session", "block")}
    taken = {use.index for use in header.columns.values()} - {use.index for use in free.values()}
    for index, title in enumerate(header.titles[: header.width]):
        if not title or index in taken or not _holds_load_units(body, index):
            continue
        kept = {kind: use for kind, use in header.columns.items() if use.index != index}
        use = ColumnUse(index, title, None, load.languages)
        told = FileWarning("read_as_load_unit", f"Column {title} is read as the unit of the loads.")
        return replace(header, columns=kept | {"load_unit": use}), [told]
    return header, []


def _holds_load_units(body: Body, index: int) -> bool:
    cells = [body.rows[row][index] for row in body.data if not is_empty(body.rows[row][index])]
    units = sum(cell_words("units").get(plain(as_text(cell).strip().rstrip("."))) in TO_KG for cell in cells)
    return units > 0 and units >= MOSTLY * len(cells)


def _is_number_of_sets(header: Header, body: Body) -> bool:
    return header.columns["set_number"].weak and not _counts_up(header, body)


def _counts_up(header: Header, body: Body) -> bool:
    keys = [header.columns[kind].index for kind in ("date", "athlete", "movement") if kind in header.columns]
    place = header.columns["set_number"].index
    last: tuple[tuple[str, ...], float] | None = None
    steps = fitting = 0
    for index in body.data:
        row = body.rows[index]
        number = _whole(row[place])
        if number is None:
            continue
        key = tuple(as_text(row[at]).strip().casefold() for at in keys)
        same = last is not None and last[0] == key
        steps += 1
        fitting += number == (last[1] + 1 if same and last else 1)
        last = (key, number)
    return steps > 0 and fitting >= CLEAR_SHARE * steps


def _whole(cell: Cell) -> float | None:
    text = as_text(cell).strip()
    return float(text) if text.isdigit() else None


def _holds_sets_and_reps(header: Header, body: Body) -> bool:
    if "sets" in header.columns:
        return False
    cells = _filled(header, body, "reps")
    return bool(cells) and sum(parse_volume(cell).value is not None for cell in cells) >= CLEAR_SHARE * len(cells)


def _is_session_length(header: Header, body: Body) -> bool:
    if "session_rpe" not in header.columns or "movement" not in header.columns:
        return False
    place, unit = header.columns["duration"].index, header.columns["duration"].unit or "min"
    keys = [header.columns[kind].index for kind in ("date", "athlete", "session", "slot") if kind in header.columns]
    days: dict[tuple[str, ...], set[float]] = {}
    several = 0
    for index in body.data:
        row = body.rows[index]
        seconds = parse_duration(row[place], unit, None, long=True).value
        if seconds is None:
            return False
        day = days.setdefault(tuple(as_text(row[at]).strip().casefold() for at in keys), set())
        several += bool(day)
        day.add(seconds)
    return several > 0 and all(len(day) == 1 and min(day) >= SESSION_SECONDS for day in days.values())


def _is_time_of_day(header: Header, body: Body) -> bool:
    use = header.columns["duration"]
    if not use.weak or use.unit is not None:
        return False
    rows = [body.rows[index] for index in body.data if not is_empty(body.rows[index][use.index])]
    counts = [header.columns[kind].index for kind in ("reps", "volume") if kind in header.columns]
    with_reps = sum(any(not is_empty(row[at]) for at in counts) for row in rows)
    return (
        bool(rows)
        and all(map(_may_be_clock, (row[use.index] for row in rows)))
        and with_reps >= CLEAR_SHARE * len(rows)
    )


def _may_be_clock(cell: Cell) -> bool:
    if isinstance(cell, dt.time):
        return cell.hour >= EARLIEST_HOUR and cell.second == 0
    found = re.fullmatch(r"(\d{1,2}):[0-5]\d(?:\s*[ap]m)?", as_text(cell).strip().lower())
    return found is not None and EARLIEST_HOUR <= int(found[1]) <= 23


def _is_length_of_each(header: Header, body: Body) -> bool:
    """True for a column of plain minutes without a session rating, or with times that differ within a session."""
    if not header.columns["session_min"].weak or "movement" not in header.columns:
        return False
    if "session_rpe" not in header.columns:
        return True
    place = header.columns["session_min"].index
    keys = [header.columns[kind].index for kind in ("date", "athlete", "session", "slot") if kind in header.columns]
    sessions: dict[tuple[str, ...], set[str]] = {}
    for index in body.data:
        row = body.rows[index]
        if not is_empty(row[place]):
            key = tuple(as_text(row[at]).strip().casefold() for at in keys)
            sessions.setdefault(key, set()).add(as_text(row[place]).strip())
    return any(len(times) > 1 for times in sessions.values())


def _filled(header: Header, body: Body, kind: str) -> list[Cell]:
    place = header.columns[kind].index
    return [body.rows[index][place] for index in body.data if not is_empty(body.rows[index][place])]


_OPEN: tuple[tuple[str, str, Callable[[Header, Body], bool], str], ...] = (
    ("set_number", "sets", _is_number_of_sets, "how many sets were done"),
    ("reps", "volume", _holds_sets_and_reps, "sets and reps together"),
    ("duration", "session_min", _is_session_length, "the length of the whole session"),
    ("duration", "slot", _is_time_of_day, "the time of day"),
    ("session_min", "duration", _is_length_of_each, "the time of each row, not of the whole session"),
)
