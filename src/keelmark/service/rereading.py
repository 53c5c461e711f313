"""Stored whiteboards read again: with the body masses, maxima, movements and the reader of today.

What was stored stays as it was read until somebody asks. Reading again takes the imports out that read otherwise and
puts one in their place that holds all their sessions, in one write; its archive keeps the files and the former rows, so
that taking it back restores what stood before.
"""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.contracts.errors import RefusedInput
from keelmark.contracts.frames import ATHLETE, DAY_STATE, EFFORT, SESSION
from keelmark.ingest import read_boards, read_whiteboards, unpack_boards
from keelmark.service.own_movements import OWN_MOVEMENTS
from keelmark.store import ImportOutcome, Store

__all__ = ["ChangedSession", "changed_sessions", "may_have_changed", "read_again", "take_back"]

_PLACE = ("order", "import_id", "source_row", "source_line", "text_start", "text_end", "text")
_WORK = [name for name in EFFORT.names if name not in _PLACE]
_AGAIN = "again.json"
_FRAMES = {"efforts": EFFORT, "sessions": SESSION, "day_states": DAY_STATE}
READ_AGAIN = "Whiteboards read again"
AS_BEFORE = "Whiteboards as they were read before"


@dataclass(frozen=True, slots=True)
class ChangedSession:
    """A session that reads otherwise today: EFFORT rows that would go and EFFORT rows that would come."""

    import_id: str
    session: dict[str, object]
    before: pl.DataFrame
    after: pl.DataFrame


@dataclass(frozen=True, slots=True)
class _Rows:
    """Efforts, sessions and day states that belong together."""

    efforts: pl.DataFrame
    sessions: pl.DataFrame
    day_states: pl.DataFrame


@dataclass(frozen=True, slots=True)
class _Reread:
    """One import with what it holds, what it would hold, and the difference."""

    import_id: str
    original: bytes
    held: _Rows
    fresh: _Rows
    changed: list[ChangedSession]


def changed_sessions(store: Store, catalogue: Catalogue) -> list[ChangedSession]:
    """Sessions of stored whiteboards that read otherwise today, oldest import first.

    Parameters
    ----------
    store : Store
        Holds the whiteboards with their score sheets as they came, and what is known of the people by now.
    catalogue : Catalogue
        The movements of today.
    """
    return [session for one in _rereads(store, catalogue) for session in one.changed]


def may_have_changed(store: Store) -> bool:
    """Whether people, maxima or movements came in after a whiteboard that stands; it may read otherwise then."""
    standing = store.imports().filter(pl.col("undone_at").is_null())
    boards = standing.filter(pl.col("kind") == "whiteboard")
    oldest = boards["created_at"].min()
    if not isinstance(oldest, datetime):
        return False
    told = pl.col("kind").is_in(["roster"]) | pl.col("file").is_in(["people", "one-repetition maxima"])
    later = standing.filter(told & (pl.col("created_at") > oldest))
    moved = (change for change in store.setting_changes() if change.key == OWN_MOVEMENTS)
    return later.height > 0 or any(change.created_at > oldest for change in moved)


def read_again(store: Store, catalogue: Catalogue) -> ImportOutcome | None:
    """Put today's reading in the place of every import that reads otherwise; None where there is none.

    A session that cannot be read any more stays as it was.
    """
    found = [one for one in _rereads(store, catalogue) if one.changed]
    if not found:
        return None
    rows = _together([_with_what_cannot_be_read(one) for one in found])
    before = {one.import_id: one.held for one in found}
    original = _archive([sheet for one in found for sheet in _sheets(one.original)], before)
    return _save(store, READ_AGAIN, original, rows, [one.import_id for one in found])


def take_back(store: Store, import_id: str) -> ImportOutcome | None:
    """Restore what stood before whiteboards were read again; None where the import is of another kind."""
    kinds = dict(store.imports().select("import_id", pl.col("kind").cast(pl.String)).iter_rows())
    before = _before(store.original(import_id)) if kinds.get(import_id) == "whiteboard" else []
    if not before:
        return None
    original = _archive(list(_sheets(store.original(import_id))), {})
    return _save(store, AS_BEFORE, original, _together(before), [import_id])


def _rereads(store: Store, catalogue: Catalogue) -> Iterator[_Reread]:
    standing = store.imports().filter(pl.col("kind") == "whiteboard", pl.col("undone_at").is_null())
    athletes, maxima = store.athletes(), store.rep_maxima()
    for import_id in standing["import_id"]:
        original = store.original(import_id)
        held = _Rows(*store.brought(import_id))
        fresh = _together([_read(sheet, catalogue, athletes, maxima) for sheet in _sheets(original)])
        yield _Reread(import_id, original, held, fresh, list(_changed(import_id, held, fresh)))


def _read(sheet: bytes, catalogue: Catalogue, athletes: pl.DataFrame, maxima: pl.DataFrame) -> _Rows:
    with TemporaryDirectory() as folder:
        kept = unpack_boards(sheet, Path(folder))
        try:
            found = read_whiteboards(
                kept.scores, read_boards(kept.texts, kept.options), catalogue=catalogue, athletes=athletes,
                rep_maxima=maxima, mapping=kept.mapping, options=kept.options,
            )  # fmt: skip
        except RefusedInput:  # as after somebody was taken out of it: what is stored stays
            return _Rows(EFFORT.empty(), SESSION.empty(), DAY_STATE.empty())
    return _Rows(found.efforts, found.sessions, found.day_states)


def _changed(import_id: str, held: _Rows, fresh: _Rows) -> Iterator[ChangedSession]:
    partly = [set(rows.day_states.select("athlete_id", "date").iter_rows()) for rows in (held, fresh)]
    before, after = (_by_session(rows.efforts) for rows in (held, fresh))
    for session in fresh.sessions.iter_rows(named=True):
        key, day = session["session_id"], (session["athlete_id"], session["date"])
        old, new = before.get(key, EFFORT.empty()), after.get(key, EFFORT.empty())
        gone, come = (
            one.join(other, on=_WORK, how="anti", nulls_equal=True) for one, other in ((old, new), (new, old))
        )
        if gone.height or come.height or old.height != new.height or (day in partly[0]) != (day in partly[1]):
            yield ChangedSession(import_id, session, gone, come)


def _by_session(efforts: pl.DataFrame) -> dict[str, pl.DataFrame]:
    return {str(key[0]): rows for key, rows in efforts.group_by("session_id", maintain_order=True)}


def _with_what_cannot_be_read(one: _Reread) -> _Rows:
    """Today's rows, and the former ones of sessions that are not read any more."""
    lost = one.held.sessions.join(one.fresh.sessions, on="session_id", how="anti")
    days = one.held.day_states.join(lost, on=["athlete_id", "date"], how="semi")
    kept = _Rows(one.held.efforts.join(lost, on="session_id", how="semi"), lost, days)
    return _together([one.fresh, kept])


def _together(parts: list[_Rows]) -> _Rows:
    """All rows, each session once: where several parts hold one, as the last of them has it."""
    seen: set[str] = set()
    efforts, sessions = [], []
    for part in reversed(parts):
        fresh = part.sessions.filter(~pl.col("session_id").is_in(list(seen)))
        seen.update(fresh["session_id"])
        sessions.append(fresh)
        efforts.append(part.efforts.join(fresh, on="session_id", how="semi", maintain_order="left"))
    states = pl.concat([DAY_STATE.empty(), *(part.day_states for part in parts)])
    return _Rows(
        pl.concat([EFFORT.empty(), *reversed(efforts)]),
        pl.concat([SESSION.empty(), *reversed(sessions)]),
        states.unique(["athlete_id", "date"], keep="last", maintain_order=True),
    )


def _save(store: Store, name: str, original: bytes, rows: _Rows, instead_of: list[str]) -> ImportOutcome:
    names = store.athletes().select("athlete_id", "name").join(rows.sessions, on="athlete_id", how="semi")
    count = rows.sessions.height
    return store.save_import(
        kind="whiteboard", file=name, sha256=hashlib.sha256(original).hexdigest(), original=original,
        counts={"rows": count, "accepted": count, "duplicate": 0, "blank": 0, "other": 0, "quarantined": 0},
        options={"instead of": instead_of}, efforts=rows.efforts, sessions=rows.sessions,
        day_states=rows.day_states, athletes=ATHLETE.build(names.to_dicts()), instead_of=instead_of,
    )  # fmt: skip


def _archive(sheets: list[bytes], before: dict[str, _Rows]) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_STORED) as archive:
        told = {"sheets": len(sheets), "before": list(before)}
        archive.writestr(zipfile.ZipInfo(_AGAIN), json.dumps(told))
        for number, sheet in enumerate(sheets):
            archive.writestr(zipfile.ZipInfo(f"sheets/{number}.zip"), sheet)
        for import_id, rows in before.items():
            for name in _FRAMES:
                written = io.BytesIO()
                getattr(rows, name).write_parquet(written)
                archive.writestr(zipfile.ZipInfo(f"before/{import_id}/{name}.parquet"), written.getvalue())
    return packed.getvalue()


def _sheets(original: bytes) -> Iterator[bytes]:
    """The archives of single score sheets in the original of an import; none where the original was removed."""
    if not _is_archive(original):
        return
    with zipfile.ZipFile(io.BytesIO(original)) as archive:
        if _AGAIN not in archive.namelist():
            yield original
            return
        for number in range(json.loads(archive.read(_AGAIN))["sheets"]):
            yield archive.read(f"sheets/{number}.zip")


def _is_archive(original: bytes) -> bool:
    return zipfile.is_zipfile(io.BytesIO(original))


def _before(original: bytes) -> list[_Rows]:
    if not _is_archive(original):
        return []
    with zipfile.ZipFile(io.BytesIO(original)) as archive:
        told = json.loads(archive.read(_AGAIN)) if _AGAIN in archive.namelist() else {"before": []}
        return [
            _Rows(*(_frame(archive.read(f"before/{import_id}/{name}.parquet"), name) for name in _FRAMES))
            for import_id in told["before"]
        ]


def _frame(data: bytes, name: str) -> pl.DataFrame:
    """Rows as they were kept; those of somebody who was taken out since have no athlete."""
    schema = _FRAMES[name]
    rows = pl.read_parquet(io.BytesIO(data)).filter(pl.col("athlete_id").is_not_null())
    return schema.check(rows.cast(schema.polars), where="former reading of a whiteboard")
