"""One piece of work: the figures of one bucket, from its Parquet files to a Parquet file."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.dose import daily_dose
from keelmark.dose.amounts import AMOUNT_COLUMNS, daily_amounts
from keelmark.engine.partitions import Tables, read_part
from keelmark.engine.place import Place
from keelmark.load import LoadSettings, weekly_figures
from keelmark.load.plain import plain_figures

__all__ = ["Done", "Work", "figures_file", "figures_of_part", "work_on"]

_PLAIN_COLUMNS = {"efforts": AMOUNT_COLUMNS, "sessions": ("athlete_id",), "rep_maxima": ("athlete_id",)}
"""Columns that point amounts follow from; all of the other tables."""


@dataclass(frozen=True, slots=True)
class Work:
    """What is the same for every bucket: where from, where to, and by which rules.

    `files` names how many files each bucket has. With `plain`, weekly figures of point amounts alone, see
    `plain_figures`; else all of `weekly_figures`.
    """

    source: str
    target: str
    files: Mapping[int, int]
    catalogue: Catalogue
    settings: LoadSettings
    plain: bool = False


@dataclass(frozen=True, slots=True)
class Done:
    """What came of a bucket: efforts read, rows written, and the SHA-256 of its file."""

    bucket: int
    efforts: int
    rows: int
    digest: str


def work_on(work: Work, bucket: int) -> Done:
    """Work one bucket out and write its file; done twice, it writes the same bytes over the same name."""
    efforts = 0
    found: list[pl.DataFrame] = []
    for tables in read_part(work.source, bucket, work.files[bucket], _PLAIN_COLUMNS if work.plain else {}):
        efforts += tables.efforts.height
        found.extend(figures_of_part(work, tables))
    frame = pl.concat(found) if found else pl.DataFrame()
    content = Place(work.target).put_frame(figures_file(bucket), frame)
    return Done(bucket, efforts, frame.height, hashlib.sha256(content).hexdigest())


def figures_file(bucket: int) -> str:
    """Where the figures of a bucket lie."""
    return f"weekly/bucket={bucket:05d}/part-00000.parquet"


def figures_of_part(work: Work, tables: Tables) -> Iterator[pl.DataFrame]:
    """Weekly figures of one part's athletes, from the same functions that a squad's own pages use."""
    if not work.plain:
        daily = daily_dose(tables.efforts, tables.sessions, tables.athletes, tables.rep_maxima, work.catalogue)
        yield weekly_figures(daily, tables.athletes, tables.day_states, work.settings)
        return
    efforts = tables.efforts.select(AMOUNT_COLUMNS)
    if work.settings.until is not None:
        efforts = efforts.filter(pl.col("date") <= work.settings.until)
    amounts = daily_amounts(efforts, work.catalogue)
    for frame in plain_figures(amounts, tables.athletes, tables.day_states, work.settings):
        yield frame.with_columns(pl.col("athlete_id", "channel").cast(pl.String))
