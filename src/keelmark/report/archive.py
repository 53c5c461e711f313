"""Tables in one ZIP file as a Frictionless Data Package: a CSV file and a Table Schema for each, and a README.

Data Package, Frictionless Data, version 1 (https://specs.frictionlessdata.io/data-package/).
"""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import polars as pl

from keelmark.contracts.schema import FrameSchema
from keelmark.contracts.stamp import stamp
from keelmark.report.csv_file import GUARD_RULE, csv_bytes
from keelmark.report.table_schema import table_schema

__all__ = ["Sheet", "data_package"]


@dataclass(frozen=True, slots=True)
class Sheet:
    """One table to be taken away: its file name without ending, its columns, its rows, and what names a row."""

    name: str
    schema: FrameSchema
    frame: pl.DataFrame
    key: tuple[str, ...] = ()

    @property
    def csv(self) -> bytes:
        """The rows as a CSV file."""
        return csv_bytes(self.frame, self.schema)

    @property
    def table_schema(self) -> dict[str, Any]:
        """What the columns are."""
        return table_schema(self.schema, key=self.key)

    @property
    def schema_json(self) -> bytes:
        """What the columns are, as a JSON file."""
        return _json(self.table_schema)


def data_package(
    name: str,
    title: str,
    sheets: Sequence[Sheet],
    *,
    about: str,
    made_at: datetime,
    files: Sequence[tuple[str, bytes]] = (),
) -> bytes:
    """Tables and files in one archive that other programs can read.

    Parameters
    ----------
    name : str
        Of the package: small letters, digits, `-`, `_` and `.`.
    title, about : str
        What it is, in one line and in a few.
    sheets : sequence of Sheet
        The tables; one without rows is there too, so that what is not kept can be seen.
    made_at : datetime
        The moment it is made. The same content at the same moment gives the same bytes.
    files : sequence of (str, bytes)
        Other files, by their path in the archive.

    Returns
    -------
    bytes
        A ZIP file.
    """
    resources, parts = [], []
    for sheet in sheets:
        content = sheet.csv
        resources.append(_resource(sheet, content))
        parts += [(f"{sheet.name}.csv", content), (f"{sheet.name}.schema.json", sheet.schema_json)]
    package = {
        "profile": "data-package",
        "name": name,
        "title": title,
        "description": about,
        "created": made_at.isoformat(timespec="seconds"),
        "createdBy": stamp(),
        "resources": resources,
    }
    readme = _readme(title, about, sheets, files).replace("\n", "\r\n")
    return _packed([("README.txt", readme.encode()), ("datapackage.json", _json(package)), *parts, *files], made_at)


def _resource(sheet: Sheet, content: bytes) -> dict[str, Any]:
    return {
        "profile": "tabular-data-resource",
        "name": sheet.name,
        "path": f"{sheet.name}.csv",
        "title": sheet.schema.name,
        "description": sheet.schema.meaning,
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "bytes": len(content),
        "hash": f"sha256:{hashlib.sha256(content).hexdigest()}",
        "dialect": {"delimiter": ",", "lineTerminator": "\r\n", "quoteChar": '"', "doubleQuote": True, "header": True},
        "schema": sheet.table_schema,
    }


def _readme(title: str, about: str, sheets: Sequence[Sheet], files: Sequence[tuple[str, bytes]]) -> str:
    lines = [title, "=" * len(title), "", about, "", "Tables", "------"]
    for sheet in sheets:
        rows = "1 row" if sheet.frame.height == 1 else f"{sheet.frame.height} rows"
        lines.append(f"{sheet.name}.csv, {rows}: {sheet.schema.meaning}")
    if files:
        lines += ["", "Other files", "-----------", *(path for path, _ in files)]
    lines += [
        "",
        "How to read them",
        "----------------",
        "The tables open in any spreadsheet. Text is UTF-8, cells are set apart by commas.",
        "Beside each table a file that ends in .schema.json says what each column means, and its unit.",
        "datapackage.json says the same for programs (Frictionless Data Package).",
        "An empty cell means: not known, or not told. It never means zero.",
        GUARD_RULE,
        f"Made with {stamp()}: the same records under the same rules give the same figures.",
        "",
    ]
    return "\n".join(lines)


def _packed(files: Sequence[tuple[str, bytes]], made_at: datetime) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for path, content in files:
            entry = zipfile.ZipInfo(path, made_at.timetuple()[:6])
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o600 << 16
            archive.writestr(entry, content)
    return buffer.getvalue()


def _json(value: dict[str, Any]) -> bytes:
    return (json.dumps(value, ensure_ascii=False, indent=2) + "\n").encode()
