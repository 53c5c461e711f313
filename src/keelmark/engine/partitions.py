"""A squad's tables in parts: Parquet files by bucket of athletes, so that each part can be worked on alone.

Athletes of one training group lie in one bucket, because a missing day is told from what the others of the group did;
those without a group form one together, as they do in the figures.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from types import MappingProxyType
from typing import Literal

import polars as pl

from keelmark.contracts.errors import SettingError
from keelmark.contracts.frames import ATHLETE, DAY_STATE, EFFORT, REP_MAXIMUM, SESSION
from keelmark.contracts.schema import FrameSchema
from keelmark.engine.place import Place

__all__ = ["Manifest", "Tables", "bucket_of", "read_manifest", "read_part", "write_partitions"]

QuietDays = Literal["unlogged", "rest"]
MANIFEST = "parts.json"
_FORMAT = 2
_SCHEMAS: dict[str, FrameSchema] = {
    "athletes": ATHLETE, "efforts": EFFORT, "sessions": SESSION, "rep_maxima": REP_MAXIMUM, "day_states": DAY_STATE,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Tables:
    """What figures are worked out from, each of its own schema."""

    athletes: pl.DataFrame
    efforts: pl.DataFrame
    sessions: pl.DataFrame
    rep_maxima: pl.DataFrame
    day_states: pl.DataFrame


@dataclass(frozen=True, slots=True)
class Manifest:
    """What lies in a folder of parts.

    Parameters
    ----------
    buckets : tuple of int
        Numbers of the buckets with any athletes.
    efforts : tuple of int
        How many efforts lie in each of them.
    files : tuple of int
        In how many files each table of a bucket lies.
    last : date or None
        Last day that can be known; the same for all parts.
    quiet_days : str
        What a day without a record means, as in `LoadSettings`.
    week_day : int
        ISO weekday that closes the week.
    """

    buckets: tuple[int, ...]
    efforts: tuple[int, ...]
    files: tuple[int, ...]
    last: date | None
    quiet_days: QuietDays = "unlogged"
    week_day: int = 7


def bucket_of(group: str | None, buckets: int) -> int:
    """The bucket of a training group: the same on every machine and in every release."""
    return zlib.crc32((group or "").encode()) % buckets


def write_partitions(
    tables: Tables | Iterator[Tables],
    address: str,
    *,
    buckets: int = 64,
    last: date | None,
    quiet_days: QuietDays = "unlogged",
    week_day: int = 7,
) -> Manifest:
    """Write tables in parts.

    Parameters
    ----------
    tables : Tables or iterator of Tables
        All of a squad, or of many squads one after another; no training group may be spread over two of them.
    address : str
        An empty folder, by path or fsspec address.
    buckets : int
        How many parts to aim at; a part is what one worker holds in memory.
    last : date or None
        Last day that can be known.
    quiet_days : "unlogged" or "rest"
        What a day without a record means.
    week_day : int
        ISO weekday that closes the week.

    Raises
    ------
    SettingError
        When something is in the folder already.
    """
    place = Place(address)
    if not place.empty():
        raise SettingError(
            f"{address} is not empty",
            where="folder for parts",
            wanted="a folder with nothing in it",
            remedy="give another folder, or remove this one first",
        )
    efforts: dict[int, int] = {}
    files: dict[int, int] = {}
    for some in (tables,) if isinstance(tables, Tables) else tables:
        for bucket, part in _split(some, buckets):
            for name in _SCHEMAS:
                place.put_frame(_file(name, bucket, files.get(bucket, 0)), getattr(part, name))
            efforts[bucket] = efforts.get(bucket, 0) + part.efforts.height
            files[bucket] = files.get(bucket, 0) + 1
    order = sorted(files)
    efforts_of, files_of = (tuple(of[bucket] for bucket in order) for of in (efforts, files))
    found = Manifest(tuple(order), efforts_of, files_of, last, quiet_days, week_day)
    told = {"format": _FORMAT, **asdict(found), "last": last and last.isoformat()}
    place.write(MANIFEST, json.dumps(told).encode())
    return found


def read_manifest(address: str) -> Manifest:
    """What lies in a folder of parts.

    Raises
    ------
    SettingError
        When the folder holds no parts, or those of another release.
    """
    told = json.loads(Place(address).read(MANIFEST))
    if told.get("format") != _FORMAT:
        raise SettingError(
            f"the parts have format {told.get('format')}",
            where=address,
            wanted=f"parts of format {_FORMAT}",
            remedy="write the parts again with this release",
        )
    last = told["last"] and date.fromisoformat(told["last"])
    buckets, efforts, files = (tuple(told[name]) for name in ("buckets", "efforts", "files"))
    return Manifest(buckets, efforts, files, last, told["quiet_days"], told["week_day"])


def read_part(
    address: str, bucket: int, files: int, columns: Mapping[str, Sequence[str]] = MappingProxyType({})
) -> Iterator[Tables]:
    """The tables of one bucket, one after another as they were written; a training group is whole in one of them.

    Parameters
    ----------
    address : str
        Folder of parts, by path or fsspec address.
    bucket, files : int
        Number of the bucket, and how many files the manifest names for it.
    columns : mapping of str to names, optional
        Columns to read of a table; all of those that are not named.

    Raises
    ------
    SettingError
        When a file is missing.
    """
    place = Place(address)
    for number in range(files):
        yield Tables(**{name: place.frame(_file(name, bucket, number), columns=columns.get(name)) for name in _SCHEMAS})


def _file(table: str, bucket: int, number: int) -> str:
    return f"{table}/bucket={bucket:05d}/part-{number:05d}.parquet"


def _split(tables: Tables, buckets: int) -> Iterator[tuple[int, Tables]]:
    """Tables of each bucket; efforts sorted by athlete and day, otherwise in the order of their rows."""
    athletes = ATHLETE.check(tables.athletes, where="parts")
    of_group = {group: bucket_of(group, buckets) for group in athletes["group"].unique()}
    group = pl.col("group").replace_strict(of_group, default=None, return_dtype=pl.Int64)
    placed = athletes.select(
        "athlete_id", bucket=pl.when(pl.col("group").is_null()).then(of_group.get(None)).otherwise(group)
    )
    tables_of: dict[str, dict[int, pl.DataFrame]] = {}
    for name, schema in _SCHEMAS.items():
        frame = schema.check(getattr(tables, name), where="parts")
        with_bucket = frame.join(placed, on="athlete_id", how="left", maintain_order="left")
        order = ["athlete_id", "date"] if "date" in frame.columns else ["athlete_id"]
        with_bucket = with_bucket.with_columns(pl.col("bucket").fill_null(bucket_of(None, buckets)))
        with_bucket = with_bucket.sort(order, maintain_order=True)
        parts = with_bucket.partition_by("bucket", as_dict=True, include_key=False)
        tables_of[name] = {int(key[0]): part for key, part in parts.items()}
    for bucket in sorted(set().union(*tables_of.values())):
        chosen = {name: tables_of[name].get(bucket, schema.empty()) for name, schema in _SCHEMAS.items()}
        yield bucket, Tables(**chosen)
