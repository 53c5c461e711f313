"""Taking a file's bytes safely: small enough, whole, unchanged while read."""

from __future__ import annotations

import hashlib
import io
import os
import zipfile
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from keelmark.contracts.errors import RefusedInput

__all__ = ["Source", "read_source", "text_source"]

MAX_UNPACKED_BYTES = 1024 * 1024 * 1024
MAX_UNPACKED_RATIO = 200
RATIO_COUNTS_FROM = 50 * 1024 * 1024
MEGABYTE = 1024 * 1024

Kind = Literal["text", "xlsx", "parquet"]


@dataclass(frozen=True, slots=True)
class Source:
    """A file's bytes, its fingerprint and what kind of file it is, told by content and not by name."""

    path: Path
    data: bytes
    sha256: str
    kind: Kind

    @property
    def name(self) -> str:
        """File name without folder."""
        return self.path.name


def read_source(path: Path, max_bytes: int) -> Source:
    """The bytes of a file, once they are known to be whole.

    Raises
    ------
    RefusedInput
        When the file is missing, empty, too large, changes while read, or unpacks to an unreasonable size.
    """
    before = _stat(path)
    if before.st_size > max_bytes:
        raise RefusedInput(
            f"the file has {before.st_size / MEGABYTE:.0f} MB",
            where=path.name,
            wanted=f"at most {max_bytes / MEGABYTE:.0f} MB",
            remedy="split the file by year or by athlete and read the parts one after another",
        )
    data = _bytes(path)
    after = _stat(path)
    if (before.st_size, before.st_mtime_ns) != (after.st_size, after.st_mtime_ns) or len(data) != before.st_size:
        raise _changed(path)
    if not data.strip():
        raise RefusedInput(
            "the file is empty",
            where=path.name,
            wanted="a header line and at least one row",
            remedy="save the table again and check that the rows are in it",
        )
    digest = hashlib.sha256(data).hexdigest()
    if hashlib.sha256(_bytes(path)).hexdigest() != digest:
        raise _changed(path)
    return Source(path, data, digest, _kind(path, data))


def text_source(name: str, data: bytes) -> Source:
    """Text that was typed and never stood in a file."""
    return Source(Path(name), data, hashlib.sha256(data).hexdigest(), "text")


def _changed(path: Path) -> RefusedInput:
    return RefusedInput(
        "the file changed while it was being read",
        where=path.name,
        wanted="a file that nobody writes to during the import",
        remedy="close it in other programs, wait until it is copied or synchronised, and try again",
    )


def _stat(path: Path) -> os.stat_result:
    try:
        found = path.stat()
    except OSError as error:
        raise RefusedInput(
            "the file cannot be found or opened",
            where=str(path),
            wanted="a file that exists and may be read",
            remedy="check the path and the right to read it",
        ) from error
    if not path.is_file():
        raise RefusedInput(
            "this is not a file", where=str(path), wanted="one CSV, XLSX or Parquet file", remedy="name the file itself"
        )
    return found


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise RefusedInput(
            f"the file cannot be read ({error.strerror})",
            where=str(path),
            wanted="a file that may be read",
            remedy="check the right to read it",
        ) from error


def _kind(path: Path, data: bytes) -> Kind:
    if data[:4] == b"PAR1":
        return "parquet"
    if data[:4] == b"PK\x03\x04":
        _check_archive(path, data)
        return "xlsx"
    if data[:8] == b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1":
        raise RefusedInput(
            "this is an old binary workbook (.xls) or one locked with a password",
            where=path.name,
            wanted="CSV, XLSX without a password, or Parquet",
            remedy="open it and save it as .xlsx without a password",
        )
    if path.suffix.lower() in {".xlsx", ".xlsm", ".parquet"}:
        raise RefusedInput(
            f"the name ends in {path.suffix} but the content is something else",
            where=path.name,
            wanted="the content that the name promises",
            remedy="save the table again, or rename the file if it is plain text",
        )
    return "text"


def _check_archive(path: Path, data: bytes) -> None:
    """Compare declared and real unpacked sizes before anything parses the workbook."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            entries = archive.infolist()
            if "xl/workbook.xml" not in {entry.filename for entry in entries}:
                raise _not_a_workbook(path)
            declared = sum(entry.file_size for entry in entries)
            if _too_much(declared, len(data)) or _too_much(_unpacked(archive, len(data)), len(data)):
                raise RefusedInput(
                    f"the workbook has {len(data) / MEGABYTE:.1f} MB but unpacks to far more than a log would",
                    where=path.name,
                    wanted=f"at most {MAX_UNPACKED_BYTES // MEGABYTE} MB unpacked, "
                    f"and at most {MAX_UNPACKED_RATIO} times its size",
                    remedy="copy the table into a new workbook, or save it as CSV",
                )
            _refuse_entities(archive, path)
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError, OSError, ValueError) as error:
        raise _not_a_workbook(path) from error


def _refuse_entities(archive: zipfile.ZipFile, path: Path) -> None:
    """Spreadsheet programs never declare a document type; one who does may make a few bytes grow without end."""
    for entry in archive.infolist():
        if not entry.filename.lower().endswith((".xml", ".rels")):
            continue
        with archive.open(entry) as stream:
            head = stream.read(4096).replace(b"\x00", b"").upper()
        if b"<!DOCTYPE" in head or b"<!ENTITY" in head:
            raise RefusedInput(
                f"the part {entry.filename} declares a document type of its own",
                where=path.name,
                wanted="an XLSX workbook as spreadsheet programs save it",
                remedy="open it in a spreadsheet program and save it again as .xlsx or .csv",
            )


def _too_much(unpacked: int, packed: int) -> bool:
    if unpacked > MAX_UNPACKED_BYTES:
        return True
    return unpacked > RATIO_COUNTS_FROM and unpacked > MAX_UNPACKED_RATIO * packed


def _unpacked(archive: zipfile.ZipFile, packed: int) -> int:
    total = 0
    for entry in archive.infolist():
        with archive.open(entry) as stream:
            while chunk := stream.read(MEGABYTE):
                total += len(chunk)
                if _too_much(total, packed):
                    return total
    return total


def _not_a_workbook(path: Path) -> RefusedInput:
    return RefusedInput(
        "the file is packed like a workbook but is not one, or it is damaged",
        where=path.name,
        wanted="an XLSX workbook with at least one sheet",
        remedy="open it in a spreadsheet program and save it again as .xlsx or .csv",
    )
