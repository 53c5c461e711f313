"""A backup holds everything, is whole or not there, and comes back the same in either kind of database."""

from __future__ import annotations

import io
import json
import os
import sqlite3
import stat
import zipfile
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import polars as pl
import pyrage
import pytest
import sqlalchemy as sa

from keelmark.contracts.errors import StoreError
from keelmark.store import Store, back_up, is_encrypted, move, read_backup, restore, verify
from keelmark.store.engine import make_engine
from keelmark.store.migrate import migrate, schema_of
from keelmark.store.whole_tables import content_digest
from tests.store.conftest import new_postgresql_database
from tests.store.made import day_state, effort, efforts, rep_maximum, save, session, sessions, squad, verdicts


@pytest.fixture(params=["to sqlite", "to postgresql"])
def other(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The address of a second, empty database."""
    if request.param == "to sqlite":
        yield f"sqlite:///{tmp_path / 'other.db'}"
        return
    yield from new_postgresql_database(request.getfixturevalue("postgresql"))


def fill(store: Store) -> None:
    """Something in every kind of column: lists, bytes, dates, moments, odd letters, empty text and nothing."""
    save(
        store,
        'a "log"\nwith, signs — ½ 🛟',
        athletes=squad("bo", "åse"),
        efforts=efforts(effort(load=0.1 + 0.2), effort(load=None, load_basis="unknown", text="")),
        sessions=sessions(session()),
        rows=verdicts({"verdict": "quarantined", "line": 2, "reasons": ["no_date"], "cells": ";x,y;"}),
    )
    undone = save(store, "two", efforts=efforts(effort("åse")))
    store.undo_import(undone.import_id)
    store.set_day_states(day_state("rest"))
    store.save_rep_maxima(rep_maximum(140.0))
    store.set_label(date(2026, 1, 5), date(2026, 1, 11), "holiday")
    store.set_setting("quiet_days", "rest")
    store.record_check_in("bo", "2026-W02", scale_id="own/1", answers={"taking part": 8}, severity=29.0)
    store.record_decision("n1", figures={"week": 1.5}, rule_version="3")


def assert_same(one: Store, two: Store) -> None:
    """All that can be asked of a store is answered alike."""
    for name in ("imports", "efforts", "sessions", "athletes", "rep_maxima", "day_states", "labels", "decisions"):
        assert getattr(one, name)().equals(getattr(two, name)()), name
    assert one.check_ins().equals(two.check_ins())
    assert one.settings() == two.settings()
    assert one.revision == two.revision
    for key in one.imports().filter(pl.col("kind") == "log")["import_id"]:
        assert one.original(key) == two.original(key)
        assert one.import_rows(key).equals(two.import_rows(key))


def test_what_comes_back_is_what_was_kept(address: str, other: str, tmp_path: Path) -> None:
    file = tmp_path / "squad.backup"
    with Store.open(address) as store:
        fill(store)
        made = back_up(store, file)
        assert not is_encrypted(file)
        assert restore(file, other) == made
        with Store.open(other) as brought:
            assert_same(store, brought)
            assert not [fault for verdict in verify(brought) for fault in verdict.faults]
            save(brought, "three", efforts=efforts(effort(load=70.0)))
            assert brought.efforts().height == 3, "the new store goes on where the old one stood"


def test_moving_proves_that_both_hold_the_same(address: str, other: str) -> None:
    with Store.open(address) as store:
        fill(store)
        moved = move(store, other)
        with Store.open(other) as arrived:
            assert_same(store, arrived)
            assert move(arrived, "sqlite://").tables == moved.tables


def test_every_table_of_the_store_is_in_the_backup(address: str, tmp_path: Path) -> None:
    with Store.open(address) as store:
        fill(store)
        held = {table.name: table.rows for table in back_up(store, tmp_path / "b.zip").tables}
        with store._reading() as connection:
            names = set(sa.inspect(connection).get_table_names()) - {"keelmark_schema"}
            counts = {n: connection.execute(sa.text(f'SELECT count(*) FROM "{n}"')).scalar_one() for n in names}
    assert held == counts
    assert counts["effort"] == 2
    assert counts["health_check_in"] == 1


def test_a_backup_is_of_one_moment_while_another_writes(address: str, tmp_path: Path) -> None:
    from keelmark.store import backup as module

    with Store.open(address) as store, Store.open(address) as busy, pytest.MonkeyPatch.context() as patch:
        fill(store)
        before = store.revision
        read, wrote = module.read_table, []

        def read_while_writing(connection: sa.Connection, table: sa.Table) -> pl.DataFrame:
            frame = read(connection, table)
            if not wrote:
                wrote.append(save(busy, "late", athletes=squad("cy"), efforts=efforts(effort("cy"))))
            return frame

        patch.setattr(module, "read_table", read_while_writing)
        made = back_up(store, tmp_path / "b.zip")
        assert wrote
        assert made.revision == before
        assert {table.name: table.rows for table in made.tables}["effort"] == 2
        assert store.efforts().height == 3


def test_an_encrypted_backup_opens_with_its_passphrase_and_without_keelmark(tmp_path: Path) -> None:
    file, words = tmp_path / "b.age", "seven slow gulls"
    with Store.open("sqlite://") as store:
        fill(store)
        back_up(store, file, passphrase=words)
        assert is_encrypted(file)
        with pytest.raises(StoreError, match="the backup is encrypted"):
            restore(file, tmp_path / "new.db")
        with pytest.raises(StoreError, match="cannot be decrypted"):
            restore(file, tmp_path / "new.db", passphrase="eight slow gulls")
        assert not (tmp_path / "new.db").exists()
        restore(file, tmp_path / "new.db", passphrase=words)
        with Store.open(tmp_path / "new.db") as brought:
            assert_same(store, brought)
    with zipfile.ZipFile(io.BytesIO(pyrage.passphrase.decrypt(file.read_bytes(), words))) as archive:
        assert json.loads(archive.read("manifest.json"))["format"] == "keelmark backup 1"
        rows = pl.read_parquet(io.BytesIO(archive.read("tables/effort.parquet")))
    assert rows["load_kg"].to_list() == [0.1 + 0.2, None]


@pytest.mark.skipif(os.name == "nt", reason="rights of files are kept otherwise there")
def test_only_its_owner_may_read_a_backup_and_a_store(tmp_path: Path) -> None:
    with Store.open(tmp_path / "squad.db") as store:
        fill(store)
        back_up(store, tmp_path / "b.zip")
        kept = list(tmp_path.iterdir())
    assert {stat.S_IMODE(file.stat().st_mode) for file in kept if file.exists()} == {0o600}


def test_a_file_that_lies_there_is_not_replaced(tmp_path: Path) -> None:
    file = tmp_path / "b.zip"
    file.write_text("something dear")
    with Store.open("sqlite://") as store, pytest.raises(StoreError, match="a file lies there already"):
        back_up(store, file)
    assert file.read_text() == "something dear"
    assert [found.name for found in tmp_path.iterdir()] == ["b.zip"]


def test_a_place_that_cannot_be_written(tmp_path: Path) -> None:
    with Store.open("sqlite://") as store, pytest.raises(StoreError, match="the backup cannot be written"):
        back_up(store, tmp_path / "no such folder" / "b.zip")


def test_restoring_over_something_that_is_kept_is_refused(address: str, tmp_path: Path) -> None:
    with Store.open("sqlite://") as store:
        fill(store)
        back_up(store, tmp_path / "b.zip")
    with Store.open(address) as kept:
        save(kept, athletes=squad("bo"), efforts=efforts(effort(), effort(), effort()))
    with pytest.raises(StoreError, match="something is kept there already"):
        restore(tmp_path / "b.zip", address)
    with Store.open(address) as kept:
        assert kept.efforts().height == 3


@pytest.fixture
def made(tmp_path: Path) -> Path:
    """A backup."""
    with Store.open("sqlite://") as store:
        fill(store)
        back_up(store, tmp_path / "b.zip")
    return tmp_path / "b.zip"


def test_no_single_flipped_bit_goes_unseen(made: Path, tmp_path: Path) -> None:
    whole = made.read_bytes()
    before = read_backup(made)
    silent = []
    for place in range(0, len(whole), max(1, len(whole) // 300)):
        made.write_bytes(whole[:place] + bytes([whole[place] ^ 0x10]) + whole[place + 1 :])
        try:
            if read_backup(made) != before:
                silent.append(place)
        except StoreError:
            pass
    assert not silent


@pytest.mark.parametrize("share", [0.0, 0.3, 0.9, 0.999])
def test_a_backup_that_was_cut_off_is_refused_and_nothing_is_made(
    made: Path, tmp_path: Path, address: str, share: float
) -> None:
    whole = made.read_bytes()
    made.write_bytes(whole[: int(share * len(whole))])
    with pytest.raises(StoreError, match="no backup, or it is damaged"):
        restore(made, address)
    engine = make_engine(sa.make_url(address), wait_s=1.0)
    assert schema_of(engine) is None


def test_a_table_that_was_changed_by_hand_is_refused(made: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(made) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    changed = pl.read_parquet(io.BytesIO(files["tables/effort.parquet"])).with_columns(reps=pl.col("reps") + 1)
    rows = io.BytesIO()
    changed.write_parquet(rows)
    files["tables/effort.parquet"] = rows.getvalue()
    with zipfile.ZipFile(made, "w") as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    with pytest.raises(StoreError, match="table effort is not what its digest says"):
        restore(made, tmp_path / "new.db")


def test_a_backup_of_a_newer_keelmark_is_refused(made: Path, tmp_path: Path) -> None:
    _rewrite_manifest(made, schema="9999")
    with pytest.raises(StoreError, match="made by a newer keelmark"):
        restore(made, tmp_path / "new.db")


def test_a_backup_of_an_older_keelmark_is_brought_to_the_present_schema(address: str, tmp_path: Path) -> None:
    old = tmp_path / "old.db"
    engine = make_engine(sa.make_url(f"sqlite:///{old}"), wait_s=1.0)
    migrate(engine, "0001")
    with engine.begin() as connection:
        connection.execute(sa.text("INSERT INTO person VALUES ('bo')"))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("keelmark.store.door.migrate", lambda _: None)
        with Store.open(old) as store:
            back_up(store, tmp_path / "b.zip")
    assert read_backup(tmp_path / "b.zip").schema == "0001"
    restore(tmp_path / "b.zip", address)
    with Store.open(address) as store, store._reading() as connection:
        assert connection.execute(sa.text("SELECT athlete_id FROM person")).scalars().all() == ["bo"]
        assert not [fault for verdict in verify(store) for fault in verdict.faults]


def _rewrite_manifest(file: Path, **changed: object) -> None:
    with zipfile.ZipFile(file) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    files["manifest.json"] = json.dumps(json.loads(files["manifest.json"]) | changed).encode()
    with zipfile.ZipFile(file, "w") as archive:
        for name, content in files.items():
            archive.writestr(name, content)


@pytest.mark.parametrize(
    ("left", "right"),
    [([""], [None]), (["a,b"], ["a"]), ([0.1 + 0.2], [0.3]), ([b"\x00"], [b""]), (["1"], [1]), ([1, 2], [2, 1])],
)
def test_different_content_has_a_different_digest(left: list[object], right: list[object]) -> None:
    assert content_digest(pl.DataFrame({"x": left})) != content_digest(pl.DataFrame({"x": right}))


# What `verify` finds


def _spoil(file: Path, statement: str) -> None:
    with sqlite3.connect(file) as plain:
        plain.execute("PRAGMA foreign_keys = OFF")
        plain.execute(statement)


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("UPDATE original SET packed = x'00'", "cannot be unpacked"),
        ("UPDATE original SET size = size + 1", "is not the file that was brought"),
        ("DELETE FROM effort WHERE import_id = 1 AND place = 0", "import 1 holds 1 efforts and promises 2"),
        ("DELETE FROM person WHERE athlete_id = 'bo'", "point to a athlete_id that is not there"),
        ("UPDATE keelmark_schema SET version_num = '0001'", "schema '0001' instead of"),
    ],
)
def test_verify_names_what_is_wrong(tmp_path: Path, statement: str, told: str) -> None:
    with Store.open(tmp_path / "squad.db") as store:
        fill(store)
        assert not [fault for verdict in verify(store) for fault in verdict.faults]
        _spoil(tmp_path / "squad.db", statement)
        assert told in " ".join(fault for verdict in verify(store) for fault in verdict.faults)
