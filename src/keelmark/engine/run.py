"""Figures of a whole folder of parts by the engine that was asked for."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from keelmark.catalogue import Catalogue
from keelmark.contracts.errors import SettingError
from keelmark.engine.local import on_threads
from keelmark.engine.on_dask import on_dask
from keelmark.engine.partitions import Manifest, read_manifest
from keelmark.engine.place import Place
from keelmark.engine.work import Done, Work, work_on
from keelmark.load import LoadSettings

__all__ = ["ENGINES", "Outcome", "run_figures"]

ENGINES = ("local", "dask")
SUMMARY = "figures.json"

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a run wrote; `done` is sorted by bucket."""

    efforts: int
    rows: int
    done: tuple[Done, ...]


def run_figures(
    source: str,
    target: str,
    catalogue: Catalogue,
    *,
    engine: str = "local",
    scheduler: str | None = None,
    workers: int | None = None,
    plain: bool = False,
    settings: LoadSettings | None = None,
    progress: Progress = lambda done, of: None,
) -> Outcome:
    """Work the figures of a folder of parts out and write them: a Parquet file for each bucket, `figures.json` last.

    Parameters
    ----------
    source : str
        Folder of parts, see `write_partitions`; a path or fsspec address that every worker can read.
    target : str
        Folder for the figures, which every worker can write; without a finished run in it.
    catalogue : Catalogue
        Holds every movement of the efforts.
    engine : "local" or "dask"
        Threads of this machine, or a Dask cluster.
    scheduler : str, optional
        Address of a running Dask scheduler.
    workers : int, optional
        Threads, or worker processes where no scheduler is given.
    plain : bool
        Point amounts alone.
    settings : LoadSettings, optional
        Choices; what quiet days mean, the weekday and the last day are taken from the parts.
    progress : function of two int
        Told how many buckets are done, and how many there are.

    Raises
    ------
    SettingError
        When the engine is not known, the folder holds no parts or others than its manifest tells, or the target holds a
        finished run.
    """
    if engine not in ENGINES:
        raise SettingError(
            f"{engine!r} is not an engine",
            where="option --engine",
            wanted=" or ".join(ENGINES),
            remedy="leave it out for threads of this machine",
        )
    manifest = read_manifest(source)
    if Place(target).holds(SUMMARY):
        raise SettingError(
            f"{target} holds the figures of a finished run",
            where="folder for figures",
            wanted="a folder without figures",
            remedy="give another folder, or remove this one first",
        )
    files = dict(zip(manifest.buckets, manifest.files, strict=True))
    work = Work(source, target, files, catalogue, _settings(settings or LoadSettings(), manifest), plain)
    done: list[Done] = []
    progress(0, len(manifest.buckets))
    for one in _started(engine, work, manifest, scheduler, workers):
        done.append(one)
        progress(len(done), len(manifest.buckets))
    outcome = Outcome(sum(one.efforts for one in done), sum(one.rows for one in done), tuple(sorted(done, key=_bucket)))
    _all_there(outcome, manifest, source)
    told = {"rows": outcome.rows, "efforts": outcome.efforts, "files": {one.bucket: one.digest for one in outcome.done}}
    Place(target).write(SUMMARY, json.dumps(told).encode())
    return outcome


def _started(engine: str, work: Work, manifest: Manifest, scheduler: str | None, workers: int | None) -> Iterator[Done]:
    if engine == "dask":
        return on_dask(work, _largest_first(manifest), scheduler, workers)
    return on_threads(partial(work_on, work), _largest_first(manifest), workers)


def _all_there(outcome: Outcome, manifest: Manifest, source: str) -> None:
    """Every effort that the manifest counts was read, bucket by bucket."""
    told = dict(zip(manifest.buckets, manifest.efforts, strict=True))
    read = {one.bucket: one.efforts for one in outcome.done}
    odd = sorted(bucket for bucket in told if read.get(bucket) != told[bucket])
    if odd:
        raise SettingError(
            f"part {odd[0]} holds {read.get(odd[0], 0):,} efforts",
            where=source,
            wanted=f"{told[odd[0]]:,} efforts, as the folder's parts.json counts them",
            remedy="write the parts again with `keelmark parts`",
        )


def _largest_first(manifest: Manifest) -> list[int]:
    """So that no worker is left alone with a large bucket at the end."""
    return [bucket for _, bucket in sorted(zip(manifest.efforts, manifest.buckets, strict=True), reverse=True)]


def _settings(settings: LoadSettings, manifest: Manifest) -> LoadSettings:
    return replace(settings, until=manifest.last, quiet_days=manifest.quiet_days, week_day=manifest.week_day)


def _bucket(done: Done) -> int:
    return done.bucket
