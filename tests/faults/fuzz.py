"""Fuzz a reader of files, guided by what its code does: `python -m tests.faults.fuzz csv|xlsx [-runs=100000]`.

Needs atheris, which is not among the test requirements; Hypothesis draws such files in the suite without it. A file is
a good one with pieces put in, left out or written over; of a workbook its parts, so that it still is one. Anything but
a reading or a refusal in words ends the run with the bytes that led to it. The number of runs is told at the end.
"""

from __future__ import annotations

import io
import sys
import tempfile
import zipfile
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["keelmark.ingest"]):
    from keelmark.ingest import read_log

from keelmark.catalogue import load_catalogue
from keelmark.contracts.errors import KeelmarkError
from tests.faults.doors import LOG, as_xlsx, tables
from tests.faults.hostile import BOOK, DATES, FIGURES, SHEET, SIGNS, STRINGS
from tests.faults.tally import unfit_for_eyes

_CATALOGUE = load_catalogue()
_PIECES = (
    *(text[:60].encode("utf-8", "replace") for text in (*SIGNS, *FIGURES, *DATES)),
    b",", b";", b"\t", b'"', b"\n", b"\r", b"\xff\xfe", b"</c>", b'<c r="B2">', b"<v>", b't="s"', b"&#0;",
    b"<!DOCTYPE x [",
)  # fmt: skip
_GOOD = LOG.encode()
with zipfile.ZipFile(io.BytesIO(as_xlsx(list(tables(LOG))))) as _archive:
    _PARTS = {name: _archive.read(name) for name in _archive.namelist()}
_FOLDER = Path(tempfile.mkdtemp(prefix="keelmark-fuzz-"))


def changed(good: bytes, source: atheris.FuzzedDataProvider) -> bytes:
    """A good text with a few changes."""
    content = good
    for _ in range(source.ConsumeIntInRange(1, 6)):
        at = source.ConsumeIntInRange(0, len(content))
        if source.ConsumeBool():
            piece = _PIECES[source.ConsumeIntInRange(0, len(_PIECES) - 1)]
        else:
            piece = source.ConsumeBytes(source.ConsumeIntInRange(0, 8))
        left_out = source.ConsumeIntInRange(0, 12)
        content = content[:at] + piece + content[at + left_out :]
    return content


def _csv(data: bytes) -> bytes:
    return changed(_GOOD, atheris.FuzzedDataProvider(data))


def _xlsx(data: bytes) -> bytes:
    source = atheris.FuzzedDataProvider(data)
    part = (SHEET, STRINGS, BOOK, "xl/styles.xml")[source.ConsumeIntInRange(0, 3)]
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_STORED) as archive:
        for name, content in _PARTS.items():
            archive.writestr(name, changed(content, source) if name == part else content)
    whole = stream.getvalue()
    return changed(whole, source) if source.ConsumeIntInRange(0, 9) == 0 else whole


def main() -> None:
    """Fuzz the kind that is named."""
    kind = sys.argv[1] if len(sys.argv) > 1 else ""
    make = {"csv": _csv, "xlsx": _xlsx}.get(kind)
    if make is None:
        sys.exit(str(__doc__))
    path = _FOLDER / f"log.{kind}"

    def one_input(data: bytes) -> None:
        path.write_bytes(make(data))
        try:
            read_log(path, catalogue=_CATALOGUE)
        except KeelmarkError as refusal:
            if fault := unfit_for_eyes(refusal):
                raise AssertionError(fault) from refusal

    asked = [word for word in sys.argv[2:] if word.startswith("-")]
    runs = [] if any(word.startswith("-runs=") for word in asked) else ["-runs=100000"]
    atheris.Setup(
        [sys.argv[0], "-max_len=240", "-len_control=0", f"-artifact_prefix={_FOLDER}/", *runs, *asked], one_input
    )
    atheris.Fuzz()


if __name__ == "__main__":
    main()
