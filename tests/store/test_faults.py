"""A write that cannot be done says why, and leaves the store as it was."""

from __future__ import annotations

import multiprocessing
import os
import shutil
import sqlite3
import subprocess
import sys
import textwrap
from collections.abc import Callable
from pathlib import Path

import pytest
import sqlalchemy as sa

from keelmark.contracts.errors import StoreError
from keelmark.store import Store
from tests.store.conftest import new_postgresql_database
from tests.store.made import effort, efforts, save, squad


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A store with one import."""
    path = tmp_path / "squad.db"
    with Store.open(path) as store:
        save(store, athletes=squad("bo"), efforts=efforts(effort()))
    return path


def _many() -> dict[str, object]:
    return {"efforts": efforts(*(effort(load=float(load), text="deadlift " * 20) for load in range(1_000, 4_000)))}


def _hold_lock(address: str, held: object, release: object) -> None:
    with Store.open(address) as store:
        _write_while(store, lambda: (held.set(), release.wait(60)))  # type: ignore[attr-defined]


def test_a_store_that_another_process_is_writing_to(address: str) -> None:
    context = multiprocessing.get_context("spawn")
    held, release = context.Event(), context.Event()
    with Store.open(address, wait_s=0.2) as store:
        save(store, athletes=squad("bo"), efforts=efforts(effort()))
        other = context.Process(target=_hold_lock, args=(address, held, release))
        other.start()
        try:
            assert held.wait(60)
            with pytest.raises(StoreError, match=r"another program is writing to the store.*then try again"):
                save(store, "two", **_many())
            assert store.efforts().height == 1, "reading goes on while another program writes"
        finally:
            release.set()
            other.join(60)
        save(store, "two", **_many())
        assert store.efforts().height == 3_001


def test_two_writers_take_turns(address: str) -> None:
    context = multiprocessing.get_context("spawn")
    with Store.open(address) as store:
        store.save_athletes(squad("bo"))
        writers = [context.Process(target=_write_ten, args=(address, name)) for name in ("a", "b")]
        for writer in writers:
            writer.start()
        for writer in writers:
            writer.join(120)
        assert [writer.exitcode for writer in writers] == [0, 0]
        assert store.efforts().height == 20
        assert store.imports()["import_id"].to_list() == [str(number) for number in range(1, 22)]
        assert store.revision == 21


def _write_ten(address: str, name: str) -> None:
    with Store.open(address, wait_s=60.0) as store:
        for load in range(10):
            save(store, f"{name} {load}", efforts=efforts(effort(load=float(load), block=name)))


def test_the_same_file_dropped_by_two_at_once_is_stored_once(address: str) -> None:
    context = multiprocessing.get_context("spawn")
    with Store.open(address) as store:
        store.save_athletes(squad("bo"))
        barrier = context.Barrier(3)
        writers = [context.Process(target=_write_the_same, args=(address, barrier)) for _ in range(3)]
        for writer in writers:
            writer.start()
        for writer in writers:
            writer.join(120)
        assert [writer.exitcode for writer in writers] == [0, 0, 0]
        assert store.imports().height == 2
        assert store.efforts().height == 1


def _write_the_same(address: str, barrier: object) -> None:
    with Store.open(address, wait_s=60.0) as store:
        barrier.wait(60)  # type: ignore[attr-defined]
        save(store, efforts=efforts(effort()))


def test_a_store_that_may_only_be_read(file: Path) -> None:
    with Store.open(f"sqlite:///file:{file}?mode=ro&uri=true") as store:
        assert store.efforts().height == 1
        with pytest.raises(StoreError, match=r"the store may only be read.*name another store with --db"):
            save(store, "two", **_many())


@pytest.mark.skipif(os.geteuid() == 0, reason="the administrator may write to any file")
def test_a_file_without_the_right_to_write(file: Path) -> None:
    file.chmod(0o444)
    with Store.open(file) as store, pytest.raises(StoreError, match="the store may only be read"):
        save(store, "two", **_many())


def test_a_store_that_may_grow_no_further(file: Path) -> None:
    with Store.open(file) as store:
        pages = int(store._engine.raw_connection().cursor().execute("PRAGMA page_count").fetchone()[0])
        sa.event.listen(
            store._engine, "begin", lambda connection: connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")
        )
        before = store.revision
        with pytest.raises(StoreError, match=r"the disk is full.*make room on the disk"):
            save(store, "two", **_many())
        assert (store.revision, store.efforts().height) == (before, 1)


_FILL = """
    import resource, sys
    from keelmark.contracts.errors import StoreError
    from keelmark.store import Store
    from tests.store.made import save
    from tests.store.test_faults import _many
    with Store.open(sys.argv[1]) as store:
        resource.setrlimit(resource.RLIMIT_FSIZE, (300_000, 300_000))
        try:
            save(store, "two", **_many())
        except StoreError as error:
            print(error)
        else:
            print("stored")
"""


def test_a_disk_without_room(file: Path) -> None:
    pytest.importorskip("resource", reason="this system cannot limit the size of a file")
    root = Path(__file__).parents[2]
    done = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(_FILL), str(file)], cwd=root, capture_output=True, text=True, check=True
    )
    assert "the disk is full or cannot be written" in done.stdout
    with Store.open(file) as store:
        assert store.efforts().height == 1
        save(store, "two", **_many())
        assert store.efforts().height == 3_001


def test_a_writer_that_is_killed_leaves_no_half_import(file: Path) -> None:
    script = textwrap.dedent("""
        import os, signal, sys
        from keelmark.store import Store
        from keelmark.store import store as door
        from tests.store.made import save
        from tests.store.test_faults import _many
        with Store.open(sys.argv[1]) as store:
            door.ledger.write_counts = lambda *rest: os.kill(os.getpid(), signal.SIGKILL)
            save(store, "two", **_many())
    """)
    root = Path(__file__).parents[2]
    done = subprocess.run([sys.executable, "-c", script, str(file)], cwd=root, check=False)
    assert done.returncode < 0
    with Store.open(file) as store:
        assert store.efforts().height == 1
        assert store.imports().height == 1
    with sqlite3.connect(file) as plain:
        assert plain.execute("PRAGMA integrity_check").fetchone() == ("ok",)


def test_a_damaged_file_is_named(file: Path, tmp_path: Path) -> None:
    with sqlite3.connect(file) as plain:
        plain.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    damaged = tmp_path / "damaged.db"
    shutil.copy(file, damaged)
    with damaged.open("r+b") as handle:
        handle.seek(4096)
        handle.write(os.urandom(200_000))
    with pytest.raises(StoreError, match="not a database, or it is damaged"), Store.open(damaged) as store:
        store.efforts()


def test_a_server_that_goes_away_while_the_store_is_open(postgresql: str) -> None:
    admin = sa.create_engine(postgresql, isolation_level="AUTOCOMMIT")

    def cut_off() -> None:
        with admin.connect() as connection:
            connection.exec_driver_sql(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname LIKE 'squad_%%'"
            )

    for address in new_postgresql_database(postgresql):
        with Store.open(address) as store:
            store.save_athletes(squad("bo"))
            with pytest.raises(StoreError, match="the database server does not answer"):
                _write_while(store, cut_off)
            save(store, efforts=efforts(effort()))
            assert store.efforts().height == 1
    admin.dispose()


def _write_while(store: Store, something_happens: Callable[[], object]) -> None:
    with store._writing() as held:
        something_happens()
        held.execute(sa.text("DELETE FROM setting"))
