"""Kill a program in the middle of its work, again and again, and look at what is left.

A second process does one piece of work after another on a store and tells when it begins and when it is told that the
work is done. It is killed (signal 9) at a moment drawn evenly over the time that such work takes. Then the store must
open, `verify` must find nothing, all that was acknowledged must be there, and what was under way must be there wholly
or not at all.
"""

from __future__ import annotations

import multiprocessing
import os
import random
import signal
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from pathlib import Path

import polars as pl

from keelmark.contracts.errors import StoreError
from keelmark.store import Store, back_up, read_backup, restore, verify
from keelmark.store.address import store_address
from keelmark.store.engine import make_engine
from keelmark.store.migrate import migrate, newest_schema, schema_of
from tests.store.made import day_state, effort, efforts, save, squad, verdicts

__all__ = ["WORKS", "Outcome", "Place", "Work", "first_store", "kill_again_and_again", "soundness_faults"]

_ROWS = 400
_TRIES_TO_LEARN = 3
_SOONER = 0.7
"""After a kill that came too late, the next ones of that kind of work come this much sooner."""


@dataclass
class Outcome:
    """Of each kind of work: kills that hit it under way, and those of them after which it was there; kills too late."""

    kills: Counter[str] = field(default_factory=Counter)
    kept: Counter[str] = field(default_factory=Counter)
    after: int = 0


@dataclass(frozen=True)
class Work:
    """One kind of work: doing it for the n-th time, whether it is there afterwards (or half, which raises), and what
    has to be there before."""

    do: Callable[[Place, int], object]
    is_there: Callable[[Place, int], bool]
    prepare: Callable[[Place, int], object] | None = None


@dataclass(frozen=True)
class Place:
    """A store, and a folder for the files that are made from it."""

    address: str
    folder: Path


# Each kind of work


def _import(place: Place, n: int) -> object:
    with Store.open(place.address) as store:
        rows = efforts(*(effort(load=float(load), block=f"import {n}") for load in range(_ROWS)))
        told = verdicts(*({"verdict": "accepted"} for _ in range(_ROWS)))
        return save(store, f"import {n}", efforts=rows, rows=told)


def _import_is_there(place: Place, n: int) -> bool:
    with Store.open(place.address) as store:
        efforts_kept = store.efforts().filter(block=f"import {n}").height
        mine = store.imports().filter(file=f"import {n}.csv")
        rows = sum(store.import_rows(key).height for key in mine["import_id"])
        originals = [store.original(key) for key in mine["import_id"]]
    return _all_or_nothing(
        {"efforts": efforts_kept == _ROWS, "verdicts": rows == _ROWS, "original": originals == [b"import %d" % n]},
        nothing=efforts_kept == rows == len(originals) == 0,
    )


def _check_in(place: Place, n: int) -> object:
    with Store.open(place.address) as store:
        said = [{"athlete_id": "bo", "week": f"week {n}", "scale_id": "own/1", "answers": {"n": i}} for i in range(5)]
        return store.record_check_ins(said)


def _check_in_is_there(place: Place, n: int) -> bool:
    with Store.open(place.address) as store:
        found = store.check_ins().filter(week=f"week {n}").height
    return _all_or_nothing({"check-ins": found == 5}, nothing=found == 0)


def _decision(place: Place, n: int) -> object:
    with Store.open(place.address) as store:
        return store.record_decision(f"notice {n}", figures={"week": float(n)}, rule_version="1", option="spread")


def _decision_is_there(place: Place, n: int) -> bool:
    with Store.open(place.address) as store:
        found = store.decisions().filter(notice_id=f"notice {n}").height
    return _all_or_nothing({"decision": found == 1}, nothing=found == 0)


def _days_then_undo(place: Place, n: int) -> object:
    with Store.open(place.address) as store:
        store.undo_import(save(store, f"undone {n}", day_states=day_state("ill"), efforts=efforts(effort())).import_id)


def _undo_is_there(place: Place, n: int) -> bool:
    with Store.open(place.address) as store:
        mine = store.imports().filter(file=f"undone {n}.csv")
        standing = mine.filter(pl.col("undone_at").is_null()).height
        states = store.day_states().height
    _must(states == standing, f"{states} days are ill and {standing} imports say so")
    if standing:  # killed between the two steps: the first is whole, and the second is made up for
        with Store.open(place.address) as store:
            store.undo_import(mine["import_id"][0])
        return False
    return mine.height == 1


def _backup(place: Place, n: int) -> object:
    with Store.open(place.address) as store:
        return back_up(store, place.folder / f"{n}.zip")


def _backup_is_there(place: Place, n: int) -> bool:
    file = place.folder / f"{n}.zip"
    if not file.exists():
        return False
    _must(read_backup(file).schema == newest_schema(), "the backup is of another schema")
    file.unlink()
    return True


def _restore(place: Place, n: int) -> object:
    return restore(place.folder / "first.zip", place.folder / f"restored {n}.db")


def _restore_is_there(place: Place, n: int) -> bool:
    file = place.folder / f"restored {n}.db"
    if not _has_schema(file):
        return False
    with Store.open(file) as store:
        _must(soundness_faults(store) == [], "the restored store is not sound")
        _must(store.efforts().height == 1, "the restored store is not whole")
    _remove(file)
    return True


def _old_store(place: Place, n: int) -> object:
    engine = make_engine(store_address(place.folder / f"old {n}.db"), wait_s=5.0)
    migrate(engine, "0001")
    return engine.dispose()


def _migrate(place: Place, n: int) -> object:
    return Store.open(place.folder / f"old {n}.db").close()


def _migrate_is_there(place: Place, n: int) -> bool:
    file = place.folder / f"old {n}.db"
    if not _has_schema(file):
        return False
    done = _schema(file) == newest_schema()
    with Store.open(file) as store:
        _must(soundness_faults(store) == [], "the store is not sound after its migration was begun again")
    _remove(file)
    return done


WORKS = {
    "import": Work(_import, _import_is_there),
    "import, then undo": Work(_days_then_undo, _undo_is_there),
    "check-ins": Work(_check_in, _check_in_is_there),
    "decision": Work(_decision, _decision_is_there),
    "backup": Work(_backup, _backup_is_there),
    "restore": Work(_restore, _restore_is_there),
    "migration": Work(_migrate, _migrate_is_there, _old_store),
}


# Killing


def kill_again_and_again(address: str, kills: int, seed: int, tell: Callable[[str], None] = lambda _: None) -> Outcome:
    """Kill the second process that many times and look at the store after each.

    Parameters
    ----------
    address : str
        Of an empty database.
    kills : int
        How many processes are killed; more, where otherwise less than half were hit under way.
    seed : int
        Of the order of work and the moments of the kills.

    Raises
    ------
    AssertionError
        Naming the kill, the work and what was found.
    """
    chance = random.Random(seed)
    outcome = Outcome()
    with tempfile.TemporaryDirectory(prefix="keelmark-kills-") as folder:
        place = Place(address, Path(folder))
        first_store(place)
        number = 0
        lasts = {name: _learn(place, name) for name in WORKS}
        while (hit := sum(outcome.kills.values())) + outcome.after < kills or hit < kills / 2:
            name = chance.choice(sorted(WORKS))
            number, late = number + 1, outcome.after
            _one_kill(place, name, number, chance.uniform(0.0, 1.15 * lasts[name]), outcome)
            if outcome.after > late:
                lasts[name] *= _SOONER
            tell(f"{sum(outcome.kills.values()) + outcome.after} of {kills}: {name}")
    return outcome


def first_store(place: Place) -> None:
    """A store with one import, and its backup, for the work to go on from."""
    with Store.open(place.address) as store:
        save(store, athletes=squad("bo"), efforts=efforts(effort()))
        back_up(store, place.folder / "first.zip")


def _learn(place: Place, name: str) -> float:
    """How long such work takes, in seconds; the most of a few times."""
    took = []
    for turn in range(_TRIES_TO_LEARN):
        number = -1 - turn
        with _worker(place, name, number) as ear:
            ear.recv()
            began = time.perf_counter()
            ear.recv()
            took.append(time.perf_counter() - began)
        _must(WORKS[name].is_there(place, number), f"{name} is not there although nobody was killed")
    return max(took)


def _one_kill(place: Place, name: str, number: int, after_s: float, outcome: Outcome) -> None:
    with _worker(place, name, number) as ear:
        ear.recv()  # it begins now
        acknowledged = ear.poll(after_s) and ear.recv() == "done"
    try:
        with Store.open(place.address) as store:
            faults = soundness_faults(store)
        _must(faults == [], "; ".join(faults))
        there = WORKS[name].is_there(place, number)
        _must(there or not acknowledged, "it was acknowledged and is not there")
    except (AssertionError, StoreError) as error:
        raise AssertionError(f"{name} number {number}, killed after {1000 * after_s:.1f} ms: {error}") from error
    if acknowledged:
        outcome.after += 1
    else:
        outcome.kills[name] += 1
        outcome.kept[name] += there


@contextmanager
def _worker(place: Place, name: str, number: int) -> Iterator[Connection]:
    """A process that does that work; it is killed at the end, whatever it is doing."""
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["tests.store.kills"])
    ear, mouth = context.Pipe(duplex=False)
    process = context.Process(target=_work, args=(place, name, number, mouth), daemon=True)
    process.start()
    mouth.close()
    try:
        yield ear
    finally:
        assert process.pid is not None
        os.kill(process.pid, signal.SIGKILL)
        process.join()
        ear.close()


def _work(place: Place, name: str, number: int, mouth: Connection) -> None:
    Store.open("sqlite://").close()  # what is loaded at first use is loaded before the clock runs
    if prepare := WORKS[name].prepare:
        prepare(place, number)
    mouth.send("begin")
    WORKS[name].do(place, number)
    mouth.send("done")
    time.sleep(60)


# Looking


def soundness_faults(store: Store) -> list[str]:
    """What `verify` finds wrong."""
    return [fault for verdict in verify(store) for fault in verdict.faults]


def _all_or_nothing(parts: dict[str, bool], *, nothing: bool) -> bool:
    missing = [name for name, whole in parts.items() if not whole]
    _must(nothing or not missing, f"half is there: {', '.join(missing)} missing")
    return not nothing


def _must(holds: bool, otherwise: str) -> None:
    if not holds:
        raise AssertionError(otherwise)


def _schema(file: Path) -> str | None:
    engine = make_engine(store_address(file), wait_s=5.0)
    try:
        return schema_of(engine)
    finally:
        engine.dispose()


def _has_schema(file: Path) -> bool:
    return file.exists() and _schema(file) is not None


def _remove(file: Path) -> None:
    for part in file.parent.glob(f"{file.name}*"):
        part.unlink()
