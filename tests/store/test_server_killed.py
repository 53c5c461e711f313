"""A database server that is killed in the middle of a write comes back with all that was acknowledged, and no half."""

from __future__ import annotations

import contextlib
import tempfile
import threading
import time
from pathlib import Path

import psutil
import pytest

from keelmark.contracts.errors import StoreError
from keelmark.store import Store, verify
from tests.store.made import effort, efforts, save, squad


@pytest.mark.slow
def test_the_server_is_killed_while_it_writes() -> None:
    pgserver = pytest.importorskip("pgserver", reason="PostgreSQL is part of keelmark's test extra")
    with tempfile.TemporaryDirectory(prefix="keelmark-pg-", ignore_cleanup_errors=True) as folder:
        server = pgserver.get_server(folder)
        address = server.get_uri()
        with Store.open(address, wait_s=5.0) as store:
            store.save_athletes(squad("bo"))
            kept = _write_until_killed(store, Path(folder))
        for left in (Path(folder) / "postmaster.pid", *Path(folder).glob(".s.PGSQL*")):
            left.unlink(missing_ok=True)
        server.ensure_postgres_running()
        with Store.open(server.get_uri(), wait_s=5.0) as store:
            found = store.efforts().height
            assert found % 200 == 0, "no import is there by halves"
            assert found in (200 * kept, 200 * (kept + 1)), "every acknowledged import is there"
            assert [fault for verdict in verify(store) for fault in verdict.faults] == []
            save(store, "afterwards", efforts=efforts(effort(load=1.0, block="afterwards")))
            assert store.efforts().height == found + 1
        server.cleanup()


def _write_until_killed(store: Store, folder: Path) -> int:
    """Import after import, until the server is gone; how many were acknowledged."""
    began = threading.Event()

    def kill() -> None:
        began.wait(60)
        time.sleep(0.35)
        master = psutil.Process(int((folder / "postmaster.pid").read_text().split()[0]))
        for process in (master, *master.children(recursive=True)):
            with contextlib.suppress(psutil.NoSuchProcess):
                process.kill()

    killer = threading.Thread(target=kill)
    killer.start()
    kept, told = 0, ""
    try:
        for number in range(10_000):
            rows = [effort(load=float(load), block=f"{number}") for load in range(200)]
            save(store, f"import {number}", efforts=efforts(*rows))
            kept += 1
            began.set()
    except StoreError as error:
        told = error.found
    finally:
        began.set()
        killer.join(60)
    assert kept < 10_000
    assert "the database server does not answer" in told
    return kept
