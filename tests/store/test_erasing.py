"""Somebody is erased: nothing of theirs is left in any table, original or file, and nobody else loses anything."""

from __future__ import annotations

import hashlib
import io
import json
import re
import zipfile
import zlib
from datetime import UTC, datetime, timedelta
from pathlib import Path

import openpyxl
import polars as pl
import pytest
import sqlalchemy as sa

from keelmark.contracts.errors import StoreError
from keelmark.contracts.frames import ATHLETE, DAY_STATE
from keelmark.contracts.records import IMPORT_ROW
from keelmark.store import Store, verify
from keelmark.store.erasing import Subject, traces
from keelmark.store.redaction import NOTE, Person, redacted
from keelmark.store.whole_tables import kept_tables, read_table
from tests.store.made import MONDAY, effort, efforts, rep_maximum, session, sessions

LOG = 'date,name,movement,note\n2026-01-05,Quennell,deadlift,"two\nlines"\n2026-01-05,Bo,squat,with Quennell\n'
TIMES = datetime(2026, 1, 10, tzinfo=UTC)
FAR = datetime(2199, 1, 1, tzinfo=UTC)
HOLDS_A_PERSON = frozenset({
    "account", "account_session", "athlete", "consent", "day_state", "decision", "effort", "guardian", "guest_link",
    "health_agreed_limit", "health_check_in", "health_complaint_decision", "health_limit", "health_return_plan", "look",
    "person", "planned_amount", "recovery_code", "rep_maximum", "second_step", "session", "sign_in", "taken_back",
})  # fmt: skip
"""Tables of which rows go with a person; the archive of one person holds them too (tests/service/test_telling.py)."""
HOLDS_NOBODY = frozenset({
    "access_secret", "calendar_label", "erasure", "import", "import_row", "original", "planned_ramp", "planned_week",
    "setting", "setting_change", "store_mark", "trail",
})  # fmt: skip
"""Tables whose rows stay when somebody goes: a person is taken out of their words and bytes."""


def filled(store: Store) -> None:
    """Two people with something in every kind of table; Quennell is the one who goes."""
    squad = ATHLETE.build([{"athlete_id": "quennell", "name": "Quennell"}, {"athlete_id": "bo", "name": "Bo"}])
    rows = IMPORT_ROW.build(
        [
            {"row": 1, "line": 2, "verdict": "accepted", "cells": "2026-01-05 | Quennell | deadlift | two lines"},
            {"row": 2, "line": 4, "verdict": "accepted", "cells": "2026-01-05 | Bo | squat | with Quennell"},
            {"row": 3, "line": 5, "verdict": "quarantined", "cells": "x | QUENNELL | squat | ",
             "messages": ["the nearest name is Quennell"], "reasons": ["unknown_date"], "remedy": "ask Quennell"},
        ]
    )  # fmt: skip
    store.save_import(
        kind="log", file="Quennell and Bo.csv", sha256=hashlib.sha256(LOG.encode()).hexdigest(), original=LOG.encode(),
        rows=rows, athletes=squad,
        efforts=efforts(
            effort("quennell", source_row=1, source_line=3, text="2026-01-05 | Quennell"),
            effort("bo", source_row=2, source_line=4, text="with Quennell"),
        ),
        sessions=sessions(
            session("quennell", note="tired"),
            session("bo", note="carried with Quennell", whiteboard="row, Quennell counts"),
        ),
        rep_maxima=pl.concat([rep_maximum(100, athlete="quennell"), rep_maximum(90, athlete="bo")]),
    )  # fmt: skip
    days = [{"athlete_id": key, "date": MONDAY + timedelta(days=1), "state": "rest"} for key in ("quennell", "bo")]
    store.set_day_states(DAY_STATE.build(days))
    for key in ("quennell", "bo"):
        store.record_check_in(key, "2026-W02", scale_id="s", answers={}, area="knee", severity=10.0)
        store.record_health_limit(key, "no jumps", MONDAY)
        store.record_agreed_limit(key, "tonnage", 100.0, MONDAY, agreed_with="Maren")
        store.record_return_plan(key, MONDAY, MONDAY, steps={"usual": {}}, source="s")
        store.record_complaint_decision(key, "knee", MONDAY, option="o", figures={}, rule_version="1")
        store.record_decision(f"{key}:2026-W02:tonnage", figures={"athlete_id": key}, rule_version="1", reason="talk")
        store.record_consent(key, "hand-over", given_by="Anna", given_to="Maren", fields=["load"], given_on=MONDAY)
        account = store.add_account(key.title(), key, "athlete", key, "hash")
        store.open_session(f"session {key}", ends_at=FAR, account_id=account)
        store.begin_sign_in(key, "192.0.2.1", since=TIMES, forget=TIMES, limits=(5, 5, 5))
        store.begin_second_step(account, b"sealed")
        store.confirm_second_step(account, [f"code {key}"], keep=f"session {key}")
        store.note_looks([key], "account:9", "Carys", "coach", "complaints", MONDAY)
        store.note_guardian(key, "Gwen", TIMES.date())
        store.add_guest_link(f"token {key}", key, "Maren", "load", TIMES, account)
    both = [{"athlete_id": key, "date": MONDAY + timedelta(days=2), "state": "ill"} for key in ("quennell", "bo")]
    store.undo_import(store.set_day_states(DAY_STATE.build(both)))
    store.undo_import(store.set_label(MONDAY, MONDAY, "Quennell's birthday"))
    each = {"quennell": {"tonnage": 900.0}, "bo": {"tonnage": 800.0}}
    store.record_planned_week(MONDAY, "Mon\nas Quennell likes it", {"tonnage": 850.0}, each, lighter_share=0.6)
    store.record_decision("bo:2026-W02:squat", figures={}, rule_version="1", athlete_view="as Quennell said")


def cells_of(store: Store) -> dict[str, str]:
    """Every cell of every table as one text per table; originals unpacked."""
    told = {}
    with store._reading() as connection:
        for table in kept_tables(connection):
            frame = read_table(connection, table)
            packed = frame["packed"].to_list() if table.name == "original" else []
            text = json.dumps(frame.select(pl.exclude(pl.Binary)).rows(), default=str, ensure_ascii=False)
            told[table.name] = text + "".join(zlib.decompress(one).decode("latin-1") for one in packed)
    return told


def without(found: dict[str, str]) -> dict[str, str]:
    return {name: text for name, text in found.items() if "quennell" in text.casefold()}


def test_every_table_is_said_to_hold_a_person_or_nobody(store: Store) -> None:
    """A table of tomorrow fails here until somebody has thought of whose rows it holds."""
    with store._reading() as connection:
        found = {table.name: table for table in kept_tables(connection)}
    assert set(found) == HOLDS_A_PERSON | HOLDS_NOBODY
    assert HOLDS_NOBODY.isdisjoint(name for name, table in found.items() if "athlete_id" in table.c)
    of_account = {key.parent.table.name for table in found.values() for key in table.foreign_keys
                  if key.column.table.name == "account"}  # fmt: skip
    assert of_account <= HOLDS_A_PERSON


def test_rows_go_from_every_table_that_holds_a_person(store: Store) -> None:
    """`filled` has to hold a row of Quennell's in each of them, and each loses it."""
    filled(store)
    assert set(store.erase_athlete("quennell").rows) == HOLDS_A_PERSON


def test_nothing_is_left_in_any_table_or_original(store: Store) -> None:
    filled(store)
    done = store.erase_athlete("quennell")
    assert without(cells_of(store)) == {}
    assert done.rows["effort"] == 1
    assert done.rows["decision"] == 1
    assert done.rows["account"] == 1
    assert done.rows["health_check_in"] == 1
    assert done.blanked_rows == 2
    assert (done.redacted_originals, done.dropped_originals) == (1, 0)
    assert not done.name_shared
    assert done.rewritten


def test_nobody_elses_rows_are_lost(store: Store) -> None:
    filled(store)
    with store._reading() as connection:
        before = {table.name: read_table(connection, table) for table in kept_tables(connection)}
    store.erase_athlete("quennell")
    with store._reading() as connection:
        for table in kept_tables(connection):
            if "athlete_id" not in table.c:
                continue
            old = before[table.name].filter(pl.col("athlete_id") == "bo")
            new = read_table(connection, table).filter(pl.col("athlete_id") == "bo")
            words = [name for name, dtype in old.schema.items() if dtype == pl.String]
            masked = old.with_columns(pl.col(words).str.replace_all("Quennell", "·" * 8, literal=True))
            assert new.equals(masked), table.name
    assert [verdict for verdict in verify(store) if verdict.faults] == []
    assert store.efforts()["athlete_id"].to_list() == ["bo"]
    account = store.account_named("bo")
    assert account is not None
    assert store.second_step(account.account_id) is not None
    assert store.recovery_codes_left(account.account_id) == 1
    assert [one.token_hash for one in store.sessions_of(account.account_id)] == ["session bo"]
    assert len(store.sign_in_tries("bo")) == 1


def test_a_name_with_an_accent_is_found_in_lists_of_words(store: Store) -> None:
    """Databases keep lists as JSON, where a letter may stand as its number."""
    store.save_athletes(ATHLETE.build([{"athlete_id": "zoe", "name": "Zoë"}, {"athlete_id": "bo", "name": "Bo"}]))
    rows = IMPORT_ROW.build([{"row": 1, "verdict": "quarantined", "cells": "x | Bo", "messages": ["nearest is Zoë"]}])
    store.save_import(kind="log", file="a.csv", sha256=hashlib.sha256(b"x").hexdigest(), original=b"x", rows=rows)
    store.undo_import(store.set_label(MONDAY, MONDAY, "Zoë is away"))
    store.erase_athlete("zoe")
    assert store.import_rows("2")["messages"].to_list() == [["nearest is ···"]]
    store.redo_import("3")
    assert store.labels()["label"].to_list() == ["··· is away"]


def test_the_original_keeps_its_lines_and_the_others_rows(store: Store) -> None:
    filled(store)
    store.erase_athlete("quennell")
    told = store.original("1").decode()
    assert told == "date,name,movement,note\n,,,\n\n2026-01-05,Bo,squat,with ········\n"
    assert told.count("\n") == LOG.count("\n")
    assert store.imports()["sha256"][0] == hashlib.sha256(told.encode()).hexdigest()


def test_verdicts_stay_with_empty_cells(store: Store) -> None:
    filled(store)
    store.erase_athlete("quennell")
    rows = store.import_rows("1")
    assert rows["verdict"].to_list() == ["accepted", "accepted", "quarantined"]
    assert rows["cells"].to_list() == [None, "2026-01-05 | Bo | squat | with ········", None]
    assert rows["messages"].to_list()[2] is None


def test_nothing_stays_in_the_file_itself(tmp_path: Path) -> None:
    """Every byte of the database and of its log files is searched, free pages among them."""
    place = tmp_path / "squad.db"
    with Store.open(place) as store:
        filled(store)
        assert re.search(rb"(?i)quennell", _bytes(tmp_path))
        store.erase_athlete("quennell")
        assert not re.search(rb"(?i)quennell", _bytes(tmp_path))
        assert re.search(rb"no jumps", _bytes(tmp_path)), "the other's rows are still there"


def _bytes(folder: Path) -> bytes:
    return b"".join(file.read_bytes() for file in folder.iterdir())


def test_the_record_of_it_tells_how_much_and_not_who(store: Store) -> None:
    filled(store)
    store.erase_athlete("quennell")
    (kept,) = store.erasures()
    assert kept.rows["effort"] == 1
    assert "quennell" not in json.dumps(dict(kept.rows)).casefold()
    newest = store.trail(last=1)[0]
    assert newest.did["effort"]["removed"] == 1


def test_the_same_file_brought_again_brings_nobody_back(store: Store) -> None:
    filled(store)
    store.erase_athlete("quennell")
    with pytest.raises(StoreError, match="not in the squad"):
        store.erase_athlete("quennell")
    again = store.save_import(
        kind="log", file="again.csv", sha256=hashlib.sha256(LOG.encode()).hexdigest(), original=LOG.encode()
    )
    assert again.repeated
    assert without(cells_of(store)) == {}


def test_a_name_that_somebody_else_bears_is_left_in_words(store: Store) -> None:
    """Two people of one name: rows go by key; words with the name may be about the other one."""
    both = ATHLETE.build([{"athlete_id": "a1", "name": "Ada"}, {"athlete_id": "a2", "name": "Ada Marie"}])
    store.save_athletes(both)
    store.record_check_in("a1", "2026-W02", scale_id="s", answers={}, area="knee")
    store.set_label(MONDAY, MONDAY, "Ada's birthday")
    done = store.erase_athlete("a1")
    assert done.name_shared
    assert done.words == 0
    assert store.athletes()["name"].to_list() == ["Ada Marie"]
    assert store.labels()["label"].to_list() == ["Ada's birthday"]


def test_a_short_key_takes_no_other_key_with_it(store: Store) -> None:
    store.save_athletes(ATHLETE.build([{"athlete_id": "bo", "name": "Bo"}, {"athlete_id": "bob", "name": "Bob"}]))
    for key in ("bo", "bob", "b_"):
        store.record_decision(f"{key}:2026-W02:tonnage", figures={}, rule_version="1")
    store.erase_athlete("bo")
    assert store.decisions()["notice_id"].to_list() == ["bob:2026-W02:tonnage", "b_:2026-W02:tonnage"]
    assert store.athletes()["athlete_id"].to_list() == ["bob"]


def test_when_something_would_be_left_nothing_is_changed(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    filled(store)
    before = cells_of(store)
    monkeypatch.setattr("keelmark.store.erasing._mask_words", lambda *_: 0)
    with pytest.raises(StoreError, match=r"would be left in .*session\.note"):
        store.erase_athlete("quennell")
    assert cells_of(store) == before


def test_the_search_finds_what_it_looks_for(store: Store) -> None:
    filled(store)
    with store._reading() as connection:
        found = traces(connection, Subject.of(connection, "quennell"))
    for place in ("effort.athlete_id", "session.note", "decision.notice_id", "original.packed", "import.file"):
        assert place in found


def test_consents_are_kept_and_taken_back(store: Store) -> None:
    store.save_athletes(ATHLETE.build([{"athlete_id": "bo", "name": "Bo"}]))
    key = store.record_consent(
        "bo", "hand-over", given_by="Bo", given_to="Maren", fields=["load", "limits"], given_on=MONDAY
    )
    (row,) = store.consents("bo").rows(named=True)
    assert (row["fields"], row["given_on"], row["withdrawn_at"]) == (["load", "limits"], MONDAY, None)
    store.withdraw_consent(key)
    assert store.consents("bo")["withdrawn_at"].null_count() == 0
    with pytest.raises(StoreError, match="no consent '1' that stands"):
        store.withdraw_consent(key)
    with pytest.raises(StoreError, match="not in the squad"):
        store.record_consent("nobody", "hand-over", given_by="x", fields=[], given_on=MONDAY)


# Originals of other kinds

WHO = Person("quennell", "Quennell")


def left(content: bytes, **more: object) -> bytes:
    return zlib.decompress(redacted(zlib.compress(content), WHO, **more).packed)  # type: ignore[arg-type]


def test_a_workbook_keeps_its_rows() -> None:
    book = openpyxl.Workbook()
    for row in (["name", "kg", "note"], ["Quennell", 100, "tired"], ["Bo", 90, "with Quennell"]):
        book.active.append(row)
    book.properties.creator = "Quennell"
    buffer = io.BytesIO()
    book.save(buffer)
    told = openpyxl.load_workbook(io.BytesIO(left(buffer.getvalue()))).active
    assert [[cell.value for cell in row] for row in told.iter_rows()] == [
        ["name", "kg", "note"], [None, None, None], ["Bo", 90, "with ········"],
    ]  # fmt: skip
    assert b"Quennell" not in b"".join(
        zipfile.ZipFile(io.BytesIO(left(buffer.getvalue()))).read(name)
        for name in zipfile.ZipFile(io.BytesIO(left(buffer.getvalue()))).namelist()
    )


def test_a_parquet_file_keeps_its_rows() -> None:
    frame = pl.DataFrame({"name": ["quennell ", "Bo"], "kg": [100.0, 90.0], "note": ["tired", "QUENNELL!"]})
    buffer = io.BytesIO()
    frame.write_parquet(buffer)
    told = pl.read_parquet(io.BytesIO(left(buffer.getvalue())))
    assert told.rows() == [(None, None, None), ("Bo", 90.0, "········!")]


def test_a_score_sheet_with_its_texts_keeps_its_places() -> None:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr("scores/scores.csv", "athlete,result\nquennell,12\nbo,14\n")
        archive.writestr("texts/2026-01-05.txt", '3 rounds:\n24" box jump\nQuennell starts\n')
    with zipfile.ZipFile(io.BytesIO(left(buffer.getvalue()))) as archive:
        assert archive.read("scores/scores.csv") == b"athlete,result\n,\nbo,14\n"
        assert archive.read("texts/2026-01-05.txt").decode() == '3 rounds:\n24" box jump\n········ starts\n'


def test_lines_are_taken_out_that_are_known_to_be_theirs() -> None:
    """A row whose name was read as somebody by a roster's other spelling."""
    assert left(b"who;kg\nQ.;100\nBo;90\n", lines=frozenset({2})) == b"who;kg\n;\nBo;90\n"


def test_other_encodings_are_kept() -> None:
    text = "name,note\r\nQuennell,müde\r\nBo,müde\r\n"
    for encoding in ("cp1252", "utf-16", "utf-8-sig"):
        assert left(text.encode(encoding)).decode(encoding) == "name,note\r\n,\r\nBo,müde\r\n"


def test_a_file_that_cannot_be_told_apart_goes_as_a_whole() -> None:
    """A column of its own per person, a broken workbook, and a file of one person."""
    assert left(b"date,Quennell,Bo\n2026-01-05,100,90\n") == NOTE.encode()
    assert left(b"PK\x03\x04 broken") == NOTE.encode()
    assert left(b"date,kg\n2026-01-05,100\n", whole=True) == NOTE.encode()


def test_a_file_without_them_stays_as_it_is() -> None:
    content = b"name,note\nBo,Quennells\n"
    found = redacted(zlib.compress(content), WHO)
    assert not found.changed
    assert zlib.decompress(found.packed) == content


def test_accents_and_case_do_not_hide_a_row() -> None:
    found = redacted(zlib.compress("name,kg\nZOE,1\nzoë,2\nBo,3\n".encode()), Person("zoe", "Zoë"))
    assert zlib.decompress(found.packed).decode() == "name,kg\n,\n,\nBo,3\n"


def test_sqlite_says_when_another_program_keeps_the_file_open(tmp_path: Path) -> None:
    with Store.open(tmp_path / "squad.db", wait_s=0.1) as store:
        filled(store)
        other = sa.create_engine(f"sqlite:///{tmp_path / 'squad.db'}")
        with other.connect() as connection:
            connection.exec_driver_sql("BEGIN")
            connection.exec_driver_sql("SELECT count(*) FROM effort").fetchall()
            assert not store.erase_athlete("quennell").rewritten
        other.dispose()
        assert store.write_anew()
        assert not re.search(rb"(?i)quennell", _bytes(tmp_path))
