"""The store: one door to all that a squad has kept."""

from __future__ import annotations

import json
import zlib
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

import polars as pl
import sqlalchemy as sa

from keelmark.contracts.errors import StoreError
from keelmark.contracts.frames import ATHLETE, DAY_STATE, EFFORT, REP_MAXIMUM, SESSION
from keelmark.contracts.records import CALENDAR_LABEL, IMPORT, IMPORT_KINDS, IMPORT_ROW
from keelmark.contracts.schema import FrameSchema
from keelmark.store import ledger, people
from keelmark.store import schema as tables
from keelmark.store.brought import BroughtRecords, take_out
from keelmark.store.decisions import DecisionRecords
from keelmark.store.efforts import add_efforts, merged_sessions
from keelmark.store.health import HealthRecords
from keelmark.store.plans import PlanRecords
from keelmark.store.putting_back import put_back
from keelmark.store.rights import RightsRecords
from keelmark.store.rows import insert_frame, refuse_what_cannot_be_kept, select_frame, table_columns
from keelmark.store.second_steps import SecondStepRecords
from keelmark.store.settings import SettingRecords

__all__ = ["Store"]


class Store(
    BroughtRecords, HealthRecords, SecondStepRecords, PlanRecords, RightsRecords, SettingRecords, DecisionRecords
):
    """What a squad has kept: imports and their rows, people, days, labels, decisions and check-ins.

    Everything that is written is written whole or not at all, and each write makes `revision` grow. Use `Store.open`.
    """

    # Imports

    def save_import(
        self,
        *,
        kind: str,
        file: str,
        sha256: str,
        original: bytes,
        rows: pl.DataFrame | None = None,
        counts: Mapping[str, object] | None = None,
        options: Mapping[str, object] | None = None,
        efforts: pl.DataFrame | None = None,
        sessions: pl.DataFrame | None = None,
        athletes: pl.DataFrame | None = None,
        rep_maxima: pl.DataFrame | None = None,
        day_states: pl.DataFrame | None = None,
        labels: pl.DataFrame | None = None,
        instead_of: Sequence[str] = (),
    ) -> ledger.ImportOutcome:
        """Store what was read from one file or text, whole or not at all.

        The same bytes read with the same options are stored once: while the first import stands, a second one stores
        nothing and gives the first one's key. Efforts that an earlier import brought are kept but counted once; see
        `keelmark.store.efforts` for what counts as the same work.

        Parameters
        ----------
        kind : str
            One of keelmark.contracts.records.IMPORT_KINDS.
        file : str
            Name to show.
        sha256 : str
            Hash of `original`, which is kept as it came.
        rows : IMPORT_ROW frame
            The verdict on each row read.
        counts : mapping
            Rows by verdict.
        options : mapping
            What else decided how the bytes were read: column mapping, units, roster.
        efforts, sessions, athletes, rep_maxima, day_states, labels : frames
            What was read, each of its own schema. `import_id` of efforts and sessions and `label_id` are given anew
            by the store. In `athletes` an empty field is one that the file does not state; it clears nothing.
        instead_of : sequence of str
            Imports that are taken back in the same write.

        Raises
        ------
        StoreError
            When rows name unknown people, the bytes are not those of the hash, or the store cannot be written.
        """
        if kind not in IMPORT_KINDS:
            raise StoreError(
                f"'{kind}' is no kind of import",
                where=file,
                wanted=f"one of {', '.join(IMPORT_KINDS)}",
                remedy="name the kind that fits what was read",
            )
        brought = _checked(
            file,
            (IMPORT_ROW, None if rows is None else _without_code_0(rows)),
            (EFFORT, efforts), (SESSION, sessions), (ATHLETE, athletes), (REP_MAXIMUM, rep_maxima),
            (DAY_STATE, day_states), (CALENDAR_LABEL, labels),
        )  # fmt: skip
        key = ledger.content_key(kind, sha256, options)
        with self._reading() as connection:
            first = ledger.standing(connection, key)
        if first is not None:
            return _repeated(first)
        with self._writing() as connection:
            first = ledger.standing(connection, key)
            if first is not None:  # another program stored it meanwhile
                return _repeated(first)
            for former in instead_of:
                take_out(connection, former, self._clock())
            ledger.keep_original(connection, sha256, original)
            number = ledger.enter(connection, kind, file, self._clock(), sha256=sha256, key=key)
            insert_frame(connection, tables.import_row, brought["Import row"], import_id=number)
            return self._bring(connection, number, brought, dict(counts or {}), complete=False)

    def undo_import(self, import_id: str) -> None:
        """Take an import's rows out; its record, verdicts and original bytes stay, and importing again brings it back.

        The rows of an edit by hand are laid aside for `redo_import`.
        People whom it alone described stay known while other imports or check-ins hold rows of theirs.

        Raises
        ------
        StoreError
            When there is no such import, or it was undone before.
        """
        with self._writing() as connection:
            take_out(connection, import_id, self._clock())
            people.settle_people(connection)

    def redo_import(self, import_id: str) -> None:
        """Let an edit by hand that was undone stand again, as if it had not been; later edits go before it as ever.

        Raises
        ------
        StoreError
            When there is no such import, it stands, it came from a file, or its rows are no longer kept.
        """
        with self._writing() as connection:
            put_back(connection, import_id)

    def imports(self) -> pl.DataFrame:
        """All imports in the order in which they came, undone ones too: the IMPORT frame."""
        table = tables.imports
        return self._frame(sa.select(*table_columns(table, IMPORT)).order_by(table.c.import_id), IMPORT)

    def import_rows(self, import_id: str) -> pl.DataFrame:
        """The verdict on each row of an import: the IMPORT_ROW frame."""
        table = tables.import_row
        with self._reading() as connection:
            number = ledger.known(connection, import_id)
            query = (
                sa.select(*table_columns(table, IMPORT_ROW)).where(table.c.import_id == number).order_by(table.c.row)
            )
            return select_frame(connection, query.order_by(table.c.row), IMPORT_ROW)

    def original(self, import_id: str) -> bytes:
        """The bytes of an import as they came.

        Raises
        ------
        StoreError
            When there is no such import, or it was an edit by hand.
        """
        joined = tables.imports.join(tables.original)
        query = sa.select(tables.original.c.packed).select_from(joined)
        with self._reading() as connection:
            number = ledger.known(connection, import_id)
            packed = connection.execute(query.where(tables.imports.c.import_id == number)).scalar()
        if packed is None:
            raise StoreError(
                f"import '{import_id}' was an edit by hand",
                where="imports",
                wanted="an import of a file or text",
                remedy="nothing needs to be done: there is no original to show",
            )
        return zlib.decompress(packed)

    # Load data

    def efforts(self, athlete: str | None = None, since: date | None = None, until: date | None = None) -> pl.DataFrame:
        """Efforts of all imports that stand, each piece of work once: the EFFORT frame.

        Parameters
        ----------
        athlete : str, optional
            Only this athlete's.
        since, until : date, optional
            First and last day.
        """
        table = tables.effort
        query = _within(sa.select(*table_columns(table, EFFORT)).where(table.c.current), table, athlete, since, until)
        return self._frame(query, EFFORT).sort("athlete_id", "date", "session_id", "order", "import_id", "source_row")

    def sessions(
        self, athlete: str | None = None, since: date | None = None, until: date | None = None
    ) -> pl.DataFrame:
        """Sessions, one row each, with the value given last where imports differ: the SESSION frame."""
        table = tables.session
        query = _within(sa.select(*table_columns(table, SESSION)), table, athlete, since, until)
        return SESSION.check(merged_sessions(self._frame(query.order_by(table.c.import_id), SESSION)), where="sessions")

    def athletes(self) -> pl.DataFrame:
        """The squad: the ATHLETE frame."""
        with self._reading() as connection:
            return people.described_athletes(connection)

    def save_athletes(self, athletes: pl.DataFrame) -> str:
        """Record people by hand; each row says all there is, and an empty field clears what stood there."""
        return self._by_hand("people", (ATHLETE, athletes))

    def rep_maxima(self) -> pl.DataFrame:
        """One-repetition maxima, the one stored last for an athlete, movement and day: the REP_MAXIMUM frame."""
        return self._latest(tables.rep_maximum, REP_MAXIMUM, ["athlete_id", "movement", "date"])

    def save_rep_maxima(self, rep_maxima: pl.DataFrame) -> str:
        """Record one-repetition maxima by hand."""
        return self._by_hand("one-repetition maxima", (REP_MAXIMUM, rep_maxima))

    def day_states(self) -> pl.DataFrame:
        """What is known of days: the DAY_STATE frame.

        The state stored last for an athlete and day stands, but a day of which a part is missing stays so whatever the
        reason of the day is, until somebody takes that back.
        """
        table, key = tables.day_state, ["athlete_id", "date"]
        told = self._frame(sa.select(*table_columns(table, DAY_STATE)).order_by(table.c.import_id), DAY_STATE)
        last = told.unique(key, keep="last", maintain_order=True)
        missing = told.filter(pl.col("state").is_in(["partly", "unlogged"]))
        missing = missing.unique(key, keep="last", maintain_order=True).filter(pl.col("state") == "partly")
        return pl.concat([last.join(missing, on=key, how="anti"), missing]).sort(key)

    def set_day_states(self, day_states: pl.DataFrame) -> str:
        """Record by hand what is known of days; the state `unlogged` takes back what was said before."""
        return self._by_hand("days", (DAY_STATE, day_states))

    def labels(self) -> pl.DataFrame:
        """Calendar labels by first day: the CALENDAR_LABEL frame."""
        table = tables.calendar_label
        query = sa.select(*table_columns(table, CALENDAR_LABEL)).order_by(table.c.date_from, table.c.label_id)
        return self._frame(query, CALENDAR_LABEL)

    def set_label(self, date_from: date, date_to: date, label: str, group: str | None = None) -> str:
        """Give a stretch of days a name; undoing the import whose key is returned takes it away again."""
        row = {"label_id": "", "date_from": date_from, "date_to": date_to, "label": label, "group": group}
        return self._by_hand(f"label {label}", (CALENDAR_LABEL, CALENDAR_LABEL.build([row])))

    # How it is done

    def _latest(self, table: sa.Table, schema: FrameSchema, key: list[str]) -> pl.DataFrame:
        frame = self._frame(sa.select(*table_columns(table, schema)).order_by(table.c.import_id), schema)
        return frame.unique(key, keep="last", maintain_order=True).sort(key)

    def _by_hand(self, what: str, *frames: tuple[FrameSchema, pl.DataFrame | None]) -> str:
        brought = _checked(what, *frames)
        with self._writing() as connection:
            number = ledger.enter(connection, "hand", what, self._clock())
            return self._bring(connection, number, brought, {}, complete=True).import_id

    def _bring(
        self,
        connection: sa.Connection,
        number: int,
        brought: dict[str, pl.DataFrame],
        counts: dict[str, object],
        *,
        complete: bool,
    ) -> ledger.ImportOutcome:
        people.add_athletes(connection, number, brought["Athlete"], complete=complete)
        people.settle_people(connection)
        with_people = [brought[name] for name in ("Effort", "Session", "Rep maximum", "Day state")]
        named = pl.concat([frame["athlete_id"] for frame in with_people]).unique()
        people.refuse_unknown_people(connection, named, where=f"import '{number}'")
        insert_frame(connection, tables.session, brought["Session"].drop("import_id"), import_id=number)
        repeats, grown = add_efforts(connection, number, brought["Effort"])
        insert_frame(connection, tables.rep_maximum, brought["Rep maximum"], import_id=number)
        insert_frame(connection, tables.day_state, brought["Day state"], import_id=number)
        _insert_labels(connection, number, brought["Calendar label"])
        stored = {
            "athletes": brought["Athlete"].height,
            "sessions": brought["Session"].height,
            "efforts": brought["Effort"].height - repeats,
            "already_stored": repeats,
            "grown_sessions": grown,
            "rep_maxima": brought["Rep maximum"].height,
            "day_states": brought["Day state"].height,
            "labels": brought["Calendar label"].height,
        }
        ledger.write_counts(connection, number, {**counts, "stored": stored})
        return ledger.ImportOutcome(str(number), False, counts, stored["efforts"], repeats, grown)


def _within(
    query: sa.Select[Any], table: sa.Table, athlete: str | None, since: date | None, until: date | None
) -> sa.Select[Any]:
    if athlete is not None:
        query = query.where(table.c.athlete_id == athlete)
    if since is not None:
        query = query.where(table.c.date >= since)
    if until is not None:
        query = query.where(table.c.date <= until)
    return query


_BRINGABLE = (IMPORT_ROW, EFFORT, SESSION, ATHLETE, REP_MAXIMUM, DAY_STATE, CALENDAR_LABEL)


def _checked(where: str, *frames: tuple[FrameSchema, pl.DataFrame | None]) -> dict[str, pl.DataFrame]:
    brought = {schema.name: schema.empty() for schema in _BRINGABLE}
    for schema, frame in frames:
        if frame is not None:
            brought[schema.name] = schema.check(frame, where=where)
            refuse_what_cannot_be_kept(frame, where=where)
    return brought


def _without_code_0(rows: pl.DataFrame) -> pl.DataFrame:
    """Cells as they can be kept as text: databases hold no sign of code 0, so its picture stands for it."""
    return rows.with_columns(pl.col(pl.String).str.replace_all("\x00", "\N{SYMBOL FOR NULL}", literal=True))


def _insert_labels(connection: sa.Connection, number: int, labels: pl.DataFrame) -> None:
    for label in labels.filter(pl.col("date_to") < pl.col("date_from")).iter_rows(named=True):
        raise StoreError(
            f"label '{label['label']}' ends on {label['date_to']}, before it begins on {label['date_from']}",
            where=f"import '{number}'",
            wanted="a last day on or after the first",
            remedy="change one of the two days",
        )
    table = tables.calendar_label
    last = connection.execute(sa.select(sa.func.max(table.c.label_id))).scalar() or 0
    numbered = labels.with_columns((pl.int_range(pl.len()) + last + 1).alias("label_id"))
    insert_frame(connection, table, numbered, import_id=number)


def _repeated(first: sa.Row[int, str]) -> ledger.ImportOutcome:
    counts = json.loads(first.counts)
    stored = counts.pop("stored")
    return ledger.ImportOutcome(
        str(first.import_id), True, counts, stored["efforts"], stored["already_stored"], stored["grown_sessions"]
    )
