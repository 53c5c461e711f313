"""Bringing files into the store: read first, then store whole or not at all."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.ingest import (
    LogOptions,
    LogReading,
    RosterReading,
    read_day_states,
    read_labels,
    read_log,
    read_roster,
)
from keelmark.ingest.partly_days import PUT_ASIDE
from keelmark.store import ImportOutcome, Store

__all__ = ["Brought", "Read", "read", "store", "store_days", "store_labels", "store_roster"]


@dataclass(frozen=True, slots=True)
class Read:
    """A log that was read, with the roster it was read against, before anything is stored."""

    log: LogReading
    roster: RosterReading | None
    options: LogOptions
    mapping: str | None

    @property
    def file(self) -> str:
        """Name of the log."""
        return self.log.file

    @property
    def counts(self) -> dict[str, int]:
        """Rows by verdict."""
        return self.log.counts

    @property
    def rows(self) -> pl.DataFrame:
        """The verdict on each row, as the ingest gives it."""
        return self.log.rows

    @property
    def warnings(self) -> list[str]:
        """What is told about the log and its roster although they can be used."""
        of_roster = [f"{self.roster.file}: {warning.text}" for warning in self.roster.warnings] if self.roster else []
        return [*of_roster, *(warning.text for warning in self.log.warnings)]


@dataclass(frozen=True, slots=True)
class Brought:
    """A log that was read, and what became of it in the store."""

    reading: Read
    outcome: ImportOutcome

    def as_json(self) -> dict[str, Any]:
        """Counts and rows for a machine, with what the store made of them."""
        stored = {
            "import_id": self.outcome.import_id,
            "repeated": self.outcome.repeated,
            "efforts_stored": 0 if self.outcome.repeated else self.outcome.efforts,
            "already_stored": self.outcome.already_stored,
        }
        return {**self.reading.log.as_json(), "warnings": self.reading.warnings, **stored}


def read(
    store: Store,
    catalogue: Catalogue,
    path: Path,
    roster: Path | None,
    mapping: Path | None,
    options: LogOptions | None,
    progress: Callable[[str], None],
) -> Read:
    """Read a log against a roster file, else against the squad as stored, else taking every name as a person.

    People left over from an undone import, because they told something of themselves, are no squad to read against.
    """
    options = options or LogOptions()
    people = None
    if roster is not None:
        progress(f"Reading {roster.name}")
        people = read_roster(roster, catalogue, options=options)
    known = people.athletes if people else store.athletes()
    if people is None and not store.squad_is_listed():
        known = known.clear()
    progress(f"Reading {path.name}")
    log = read_log(
        path, catalogue=catalogue, roster=None if known.is_empty() else known, mapping=mapping, options=options
    )
    return Read(log, people, options, None if mapping is None else mapping.read_text(encoding="utf-8"))


def store(store: Store, reading: Read) -> Brought:
    """Store a log and, in the same transaction, the people and maxima of its roster."""
    log, roster = reading.log, reading.roster
    outcome = store.save_import(
        kind="log",
        file=log.file,
        sha256=log.sha256,
        original=log.original,
        rows=log.rows,
        counts=log.counts,
        options={
            "reading": repr(reading.options),
            "mapping": reading.mapping,
            "roster": roster.sha256 if roster else None,
        },
        efforts=log.efforts,
        sessions=log.sessions,
        day_states=pl.concat([log.day_states, _mended(store.day_states(), log)]),
        athletes=roster.athletes if roster else log.athletes,
        rep_maxima=roster.rep_maxima if roster else None,
    )
    return Brought(reading, outcome)


def _mended(standing: pl.DataFrame, log: LogReading) -> pl.DataFrame:
    """Days of which a row was put aside before and which this log tells without one: what was said is taken back."""
    key = ["athlete_id", "date"]
    told = log.efforts.select(key).unique().join(log.day_states, on=key, how="anti")
    partly = standing.filter(pl.col("state") == "partly", pl.col("note") == PUT_ASIDE)
    mended = partly.join(told, on=key, how="semi", maintain_order="left")
    return mended.with_columns(state=pl.lit("unlogged").cast(standing.schema["state"]), note=pl.lit(None, pl.String))


def store_roster(store: Store, catalogue: Catalogue, path: Path, options: LogOptions | None) -> ImportOutcome:
    """Read a list of people with their maxima and store it."""
    people = read_roster(path, catalogue, options=options)
    return store.save_import(
        kind="roster",
        file=people.file,
        sha256=people.sha256,
        original=path.read_bytes(),
        athletes=people.athletes,
        rep_maxima=people.rep_maxima,
    )


def store_days(store: Store, path: Path, options: LogOptions | None) -> ImportOutcome:
    """Read what is known of days without training and store it."""
    days = read_day_states(path, store.athletes(), options=options)
    return store.save_import(
        kind="days",
        file=days.file,
        sha256=days.sha256,
        original=path.read_bytes(),
        rows=days.rows,
        counts=days.counts,
        day_states=days.day_states,
    )


def store_labels(store: Store, path: Path, options: LogOptions | None) -> ImportOutcome:
    """Read calendar labels and store them."""
    labels = read_labels(path, options=options)
    return store.save_import(
        kind="labels",
        file=labels.file,
        sha256=labels.sha256,
        original=path.read_bytes(),
        rows=labels.rows,
        counts=labels.counts,
        labels=labels.labels,
    )
