"""Reading a club's training log: every row ends in exactly one of five ways."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import polars as pl

from keelmark.catalogue import Catalogue
from keelmark.ingest.body import Body
from keelmark.ingest.cells import as_text
from keelmark.ingest.checks import Checked, check_rows
from keelmark.ingest.columns import Column, Reader, constant_column, parse_columns
from keelmark.ingest.duplicates import DuplicateKind, find_duplicates
from keelmark.ingest.efforts import build_efforts, build_sessions, session_keys
from keelmark.ingest.evidence import date_rule, decimal_marks
from keelmark.ingest.header import Header
from keelmark.ingest.kinds import settle_kinds
from keelmark.ingest.names import column_names
from keelmark.ingest.opened import open_file
from keelmark.ingest.options import LogOptions
from keelmark.ingest.partly_days import days_with_rows_aside
from keelmark.ingest.people import People, people_from_names
from keelmark.ingest.reasons import Finding
from keelmark.ingest.source import Source
from keelmark.ingest.tellings import file_warnings, row_notes
from keelmark.ingest.units import settle_units
from keelmark.ingest.verdicts import VERDICTS, repairable, verdict_rows
from keelmark.ingest.warnings import FileWarning
from keelmark.ingest.years import fill_down, fill_years

__all__ = ["LogReading", "read_log"]

REQUIRED = (("date", "athlete", "movement"), ("date", "athlete", "session_rpe", "session_min"))


@dataclass(frozen=True, slots=True)
class LogReading:
    """What came of a log.

    `efforts` and `sessions` hold the accepted rows, `athletes` the people they belong to, `rows` the verdict on every
    row below the header, `day_states` the days of which a row was put aside. `original` is the file as it was, `sha256`
    its fingerprint; the first 16 digits stand as import_id until a store gives its own. `unknown_names` counts the rows
    of each name that no movement has.
    """

    file: str
    sha256: str
    original: bytes
    athletes: pl.DataFrame
    efforts: pl.DataFrame
    sessions: pl.DataFrame
    day_states: pl.DataFrame
    rows: pl.DataFrame
    warnings: tuple[FileWarning, ...]
    form: dict[str, str]
    unknown_names: dict[str, int]

    @property
    def counts(self) -> dict[str, int]:
        """Rows read and how many ended in each way."""
        found = Counter(self.rows["verdict"].to_list())
        return {"rows": self.rows.height, **{verdict: found[verdict] for verdict in VERDICTS}}

    def as_json(self) -> dict[str, Any]:
        """The reading as plain data, for a machine."""
        counts = self.counts
        duplicates = self.rows.filter(pl.col("verdict") == "duplicate")
        quarantined = self.rows.filter(pl.col("verdict") == "quarantined")
        return {
            "file": self.file,
            "rows": counts["rows"],
            "accepted": counts["accepted"],
            "duplicates": duplicates.select("row", "of_row").to_dicts(),
            "blank": counts["blank"],
            "other": counts["other"],
            "quarantined": quarantined.select("row", "line", "reasons", "remedy").to_dicts(),
        }


def read_log(
    path: Path | str,
    *,
    catalogue: Catalogue,
    roster: pl.DataFrame | None = None,
    mapping: Path | str | None = None,
    options: LogOptions | None = None,
) -> LogReading:
    """Read a training log from CSV, XLSX or Parquet.

    Nothing is stored and nothing is lost: each row below the header is accepted, a duplicate, blank, another kind of
    line, or quarantined with its reasons.

    Parameters
    ----------
    path : path
        The file; its kind is told by content.
    catalogue : Catalogue
        The movements that count as known.
    roster : ATHLETE frame, optional
        Who is known. Without it every name counts as a person.
    mapping : path, optional
        A TOML file that says which column means what.
    options : LogOptions, optional
        How to read what the file leaves open.

    Returns
    -------
    LogReading

    Raises
    ------
    RefusedInput
        When the file cannot be used at all.
    """
    options = options or LogOptions()
    required = [tuple(kind for kind in kinds if kind != "athlete" or not options.athlete) for kinds in REQUIRED]
    opened = open_file(path, column_names("columns"), required, options, mapping, rows_needed=True)
    source, form, body = opened.source, opened.form, opened.body
    header, kind_warnings = settle_kinds(opened.header, body)
    people = People(roster) if roster is not None else _everybody(header, body, options)
    dates = date_rule(header, body, options)
    reader = Reader(options, dates, decimal_marks(header, body, options), people, catalogue)
    columns = parse_columns(header, body, reader)
    if "athlete" not in columns and options.athlete:
        columns["athlete"] = constant_column("athlete", options.athlete, len(body.data), reader)
    if options.fill_down_dates:
        fill_down(columns["date"])
    fill_years(columns["date"], dates)
    unit_warnings = settle_units(columns, people, options)
    findings = check_rows(Checked(columns, len(body.data), options, people, catalogue))
    return _judge(
        source, form, header, body, columns, findings, reader, [*kind_warnings, *unit_warnings], roster is None
    )


def _everybody(header: Header, body: Body, options: LogOptions) -> People:
    if "athlete" not in header.columns:
        return people_from_names([options.athlete or ""])
    place = header.columns["athlete"].index
    return people_from_names([text for index in body.data if (text := as_text(body.rows[index][place]).strip())])


def _judge(
    source: Source,
    form: dict[str, str],
    header: Header,
    body: Body,
    columns: dict[str, Column],
    findings: dict[int, list[Finding]],
    reader: Reader,
    warnings: list[FileWarning],
    without_roster: bool,
) -> LogReading:
    kept = [at for at in range(len(body.data)) if at not in findings or _repaired(findings[at], reader.options)]
    duplicates: dict[int, tuple[int, DuplicateKind]] = {}
    if reader.options.identical_rows == "duplicate":
        duplicates = find_duplicates(
            (index, body.rows[index], body.texts[index]) for index in (body.data[at] for at in kept)
        )
    accepted = [at for at in kept if body.data[at] not in duplicates]
    import_id = source.sha256[:16]
    ids, labels = session_keys(columns, accepted)
    efforts = build_efforts(columns, body, accepted, ids, import_id, reader.catalogue)
    sessions, clashes = build_sessions(columns, accepted, ids, labels, import_id)
    notes = row_notes(columns, accepted, findings, reader.catalogue)
    told = file_warnings(
        header, body, columns, reader, form, accepted, without_roster=without_roster, duplicates=len(duplicates)
    )
    rows = verdict_rows(body, set(kept), findings, duplicates, notes)
    athletes = reader.people.frame
    if without_roster:
        athletes = athletes.filter(pl.col("athlete_id").is_in(sessions["athlete_id"].unique().to_list()))
    return LogReading(
        source.name,
        source.sha256,
        source.data,
        athletes,
        efforts,
        sessions,
        days_with_rows_aside(columns, findings, set(findings) - set(kept), athletes["athlete_id"].to_list()),
        rows,
        (*told, *warnings, *clashes),
        form,
        _unknown_names(findings),
    )


def _unknown_names(findings: dict[int, list[Finding]]) -> dict[str, int]:
    """Names of movements that nothing was found for, the most frequent first."""
    met = (" ".join(one.cell.split()) for found in findings.values() for one in found if one.code == "unknown_movement")
    return dict(Counter(met).most_common())


def _repaired(findings: list[Finding], options: LogOptions) -> bool:
    return options.accept_repairs and repairable(findings)
