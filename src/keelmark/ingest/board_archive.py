"""A score sheet and its whiteboard texts in one archive, kept as they came, with how they were read."""

from __future__ import annotations

import datetime as dt
import io
import json
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass, fields
from pathlib import Path, PurePosixPath

from keelmark.ingest.options import LogOptions
from keelmark.ingest.source import Source

__all__ = ["UnpackedBoards", "pack_boards", "unpack_boards"]

_SCORES, _TEXTS, _HOW = "scores", "whiteboards", "how.json"
_AS_USUAL = LogOptions()
_NOT_KEPT = ("today",)


@dataclass(frozen=True, slots=True)
class UnpackedBoards:
    """Where the files of an archive lie, and how they were read when they came."""

    scores: Path
    texts: Path
    mapping: Path | None
    options: LogOptions


def pack_boards(sheet: Source, texts: Sequence[Source], options: LogOptions, mapping: str | None) -> bytes:
    """The sheet, its texts and how they are read in one archive, the same bytes for the same files.

    Parameters
    ----------
    sheet : Source
        The score sheet.
    texts : sequence of Source
        Files that hold the whiteboard texts.
    options : LogOptions
        How the files are read; kept where it is not as usual. The day of reading is not kept.
    mapping : str, optional
        Text of the file that says which column means what.
    """
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_STORED) as archive:
        for folder, one in ((_SCORES, sheet), *((_TEXTS, text) for text in texts)):
            archive.writestr(zipfile.ZipInfo(f"{folder}/{one.name}"), one.data)
        how = _how(options, mapping)
        if how:
            archive.writestr(zipfile.ZipInfo(_HOW), json.dumps(how, sort_keys=True))
    return packed.getvalue()


def unpack_boards(packed: bytes, folder: Path) -> UnpackedBoards:
    """Lay the files of an archive out in a folder.

    Parameters
    ----------
    packed : bytes
        As `pack_boards` gives them.
    folder : path
        An empty folder.
    """
    with zipfile.ZipFile(io.BytesIO(packed)) as archive:
        how = json.loads(archive.read(_HOW)) if _HOW in archive.namelist() else {}
        for name in archive.namelist():
            if name != _HOW:
                place = folder / PurePosixPath(name).parts[0] / PurePosixPath(name).name
                place.parent.mkdir(exist_ok=True)
                place.write_bytes(archive.read(name))
    mapping = None
    if "mapping" in how:
        mapping = folder / "mapping.toml"
        mapping.write_text(how["mapping"], encoding="utf-8")
    texts = list((folder / _TEXTS).iterdir())
    alone = len(texts) == 1 and texts[0].suffix.lower() not in (".txt", ".md", ".text")
    (scores,) = (folder / _SCORES).iterdir()
    return UnpackedBoards(scores, texts[0] if alone else folder / _TEXTS, mapping, _options(how.get("options", {})))


def _how(options: LogOptions, mapping: str | None) -> dict[str, object]:
    chosen = {
        field.name: getattr(options, field.name)
        for field in fields(LogOptions)
        if field.name not in _NOT_KEPT and getattr(options, field.name) != getattr(_AS_USUAL, field.name)
    }
    written = {name: value.isoformat() if isinstance(value, dt.date) else value for name, value in chosen.items()}
    how: dict[str, object] = {"options": written} if written else {}
    return how if mapping is None else {**how, "mapping": mapping}


def _options(kept: dict[str, object]) -> LogOptions:
    dates = {name: dt.date.fromisoformat(str(kept[name])) for name in ("earliest",) if name in kept}
    return LogOptions(**{**kept, **dates})  # type: ignore[arg-type]
