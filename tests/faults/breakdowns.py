"""Disks, lines and clocks that fail while a store is at work; afterwards it has to open, be sound and hold no half."""

from __future__ import annotations

import importlib.util
import random
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

from keelmark.contracts.errors import KeelmarkError
from keelmark.service.accounts import Accounts
from keelmark.service.signing_in import TRIES, WINDOW
from keelmark.store import Store, verify
from tests.faults.tally import Case, Ending, Tally
from tests.store.broken_line import broken_line
from tests.store.disk_shim import FAULTS, failing_disk
from tests.store.kills import WORKS, Place, first_store, kill_again_and_again, soundness_faults
from tests.store.made import day_state, effort, efforts, save, squad

__all__ = ["clocks", "disks", "kills", "lines", "writers"]

Breaking = Callable[[], AbstractContextManager[object]]
_ON_SERVERS = ("import", "import, then undo", "check-ins", "decision", "backup")
_MOMENTS = {True: 40, False: 2}


class _Worker:
    """Work that is tried under a fault, each time anew."""

    def __init__(self, place: Place) -> None:
        self.place = place
        self.number = 0

    def case(self, name: str, words: str, breaking: Breaking) -> Case:
        self.number += 1
        number, work = self.number, WORKS[name]
        if work.prepare:
            work.prepare(self.place, number)

        def do() -> object:
            with breaking():
                return work.do(self.place, number)

        def look(given: object) -> str | None:
            with Store.open(self.place.address) as store:
                faults = soundness_faults(store)
            if faults:
                return "; ".join(faults)
            try:
                there = work.is_there(self.place, number)
            except AssertionError as half:
                return str(half)
            taken = not isinstance(given, KeelmarkError)
            return "acknowledged, and not there" if taken and not there else None

        return Case(f"{name}: {words}", do, check=look)


def disks(*, full: bool) -> Tally:
    """A disk below SQLite that is full, broken, read-only or unreadable from some call on."""
    tally, draw = Tally("failing disks (SQLite)"), random.Random(5)
    with tempfile.TemporaryDirectory() as folder:
        place = Place(f"sqlite:///{folder}/squad.db", Path(folder))
        first_store(place)
        worker = _Worker(place)
        for fault in FAULTS:
            for name in WORKS:
                for at in _moments(_calls(worker, name, fault), draw, full=full):
                    words = f"{fault} from call {at}"
                    tally.add(worker.case(name, words, lambda fault=fault, at=at: failing_disk(fault, at)))
    return tally


def _calls(worker: _Worker, name: str, fault: str) -> int:
    """How many calls the work makes on a disk that is well."""
    seen: list[int] = []

    @contextmanager
    def counting() -> Iterator[object]:
        with failing_disk(fault) as disk:
            yield disk
        seen.append(disk.seen)

    worker.case(name, "", counting).do()
    return seen[0]


def _moments(calls: int, draw: random.Random, *, full: bool) -> list[int]:
    most = min(_MOMENTS[full], calls)
    return sorted({1, calls, *draw.sample(range(1, calls + 1), most)}) if full else [draw.randint(1, calls)]


def lines(*, full: bool) -> Tally:
    """A line to PostgreSQL that breaks at some message, before or after it is delivered."""
    tally, draw = Tally("lost lines (PostgreSQL)"), random.Random(6)
    if importlib.util.find_spec("pgserver") is None:
        return tally
    import pgserver

    with (
        tempfile.TemporaryDirectory(prefix="keelmark-pg-", ignore_cleanup_errors=True) as home,
        tempfile.TemporaryDirectory() as folder,
    ):
        server = pgserver.get_server(home)
        with broken_line(server.get_uri()) as line:
            worker = _Worker(Place(line.address, Path(folder)))
            first_store(worker.place)
            for name in _ON_SERVERS:
                line.mended()
                worker.case(name, "", _nothing).do()
                for at in _moments(line.sent, draw, full=full):
                    for delivered in (False, True):

                        @contextmanager
                        def breaking(at: int = at, delivered: bool = delivered) -> Iterator[object]:
                            try:
                                yield line.breaking(at, delivered=delivered)
                            finally:
                                line.mended()

                        words = f"cut {'after' if delivered else 'before'} message {at}"
                        tally.add(worker.case(name, words, breaking))
        server.cleanup()
    return tally


@contextmanager
def _nothing() -> Iterator[object]:
    yield None


def writers(*, full: bool) -> Tally:
    """Many who write to one store at once, on both kinds of file access: everybody's rows are there afterwards."""
    tally = Tally("writers at once")
    with tempfile.TemporaryDirectory() as folder:
        address = f"sqlite:///{folder}/squad.db"
        with Store.open(address) as store:
            store.save_athletes(squad("bo"))
        for turn in range(20 if full else 2):
            tally.add(
                Case(f"four writers, turn {turn}", lambda turn=turn: _four(address, turn), check=_counted(address))
            )
    return tally


def _four(address: str, turn: int) -> int:
    def write(name: str) -> None:
        with Store.open(address, wait_s=60.0) as store:
            for number in range(3):
                text = f"{turn} {name} {number}"
                save(store, text, efforts=efforts(effort(load=float(number), block=text)))

    threads = [threading.Thread(target=write, args=(name,)) for name in "abcd"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return 12 * (turn + 1)


def _counted(address: str) -> Callable[[object], str | None]:
    def look(wanted: object) -> str | None:
        with Store.open(address) as store:
            found = store.efforts().height
            faults = [fault for verdict in verify(store) for fault in verdict.faults]
        return "; ".join(faults) or (f"{found} of {wanted} rows are there" if found != wanted else None)

    return look


def kills(*, full: bool) -> Tally:
    """A process that is killed at any moment of its work; the suite does the same in `tests/store/test_kills.py`."""
    tally = Tally("killed processes (SQLite)")
    with tempfile.TemporaryDirectory() as folder:
        try:
            outcome = kill_again_and_again(f"sqlite:///{folder}/squad.db", 300 if full else 30, seed=20)
        except AssertionError as half:
            tally.wrong.append(str(half))
            return tally
    tally.endings[Ending.TAKEN] = sum(outcome.kills.values()) + outcome.after
    return tally


class _Clock:
    """A clock that somebody sets."""

    def __init__(self) -> None:
        self.now = datetime(2026, 3, 2, 9, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


def clocks(*, full: bool) -> Tally:
    """A clock that jumps between two writes, or while somebody is signed in."""
    tally = Tally("clocks that jump")
    jumps = [timedelta(days=days) for days in (-4_000, -400, -1, 1, 400, 4_000)]
    jumps += [timedelta(hours=hours) for hours in (-25, -1, 1, 25)]
    jumps += [timedelta(seconds=seconds) for seconds in (-1, 1)]
    for jump in jumps if full else jumps[::3]:
        tally.add(Case(f"{jump} between two writes", lambda jump=jump: _write_across(jump), check=_told))
        tally.add(Case(f"{jump} while signed in", lambda jump=jump: _sign_in_across(jump), check=_told))
    return tally


def _told(given: object) -> str | None:
    return given if isinstance(given, str) else None


def _write_across(jump: timedelta) -> str | None:
    """The later write counts, whatever the clock says; nothing is lost, and the trail holds."""
    clock = _Clock()
    with Store.open("sqlite://", clock=clock) as store:
        store.save_athletes(squad("bo"))
        store.set_day_states(day_state("ill"))
        clock.now += jump
        store.set_day_states(day_state("rest"))
        save(store, efforts=efforts(effort()))
        if store.day_states()["state"].to_list() != ["rest"] or store.efforts().height != 1:
            return "what was written last does not count"
        return "; ".join(soundness_faults(store)) or None


def _sign_in_across(jump: timedelta) -> str | None:
    """Wrong passwords before a jump do not shut anybody out for longer than they would have, and sessions end."""
    clock = _Clock()
    with Store.open("sqlite://", clock=clock) as store:
        accounts = Accounts(store, clock)
        accounts.add("Aled", "owner", _PASSWORD)
        token = accounts.sign_in("Aled", _PASSWORD, address="a")
        for _ in range(TRIES[0]):  # as wrong passwords are noted, without the work of a hash
            store.begin_sign_in("aled", "b", since=clock.now - WINDOW, forget=clock.now - WINDOW, limits=TRIES)
        clock.now += jump
        if jump >= timedelta(days=7) and accounts.person(token) is not None:
            return "a session outlives its time"
        if abs(jump) >= timedelta(hours=1) and accounts.sign_in("Aled", _PASSWORD, address="b") is None:
            return "shut out for longer than the window"
        return None


_PASSWORD = "gulls over the slipway at nine"
