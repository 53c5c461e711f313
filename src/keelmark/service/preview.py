"""Uploads that have been read but not yet accepted."""

from __future__ import annotations

import secrets
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Lock

import polars as pl

from keelmark.contracts.errors import RefusedInput
from keelmark.service.bringing import Read

__all__ = ["Preview", "Previews"]

_KEPT = 8


@dataclass(frozen=True, slots=True)
class Preview:
    """What a file would bring: rows by verdict, the verdict on each row, warnings, and the token to accept it with.

    `unknown_names` counts the rows of each movement name that means nothing yet.
    """

    token: str
    file: str
    counts: dict[str, int]
    rows: pl.DataFrame
    warnings: list[str]
    unknown_names: dict[str, int] = field(default_factory=dict)

    @property
    def ready(self) -> bool:
        """Whether there is anything to store."""
        return self.counts["accepted"] > 0


class Previews:
    """The last few uploads that were read; an older one has to be dropped again."""

    def __init__(self) -> None:
        self._read: OrderedDict[str, Read] = OrderedDict()
        self._former: set[str] = set()
        self._lock = Lock()

    def keep(self, read: Callable[[Path], Read], data: bytes, name: str) -> Preview:
        """Read an upload under the last part of its name, and keep the reading."""
        with TemporaryDirectory() as folder:
            path = Path(folder) / _plain_name(name)
            path.write_bytes(data)
            reading = read(path)
        token = secrets.token_urlsafe(16)
        with self._lock:
            self._read[token] = reading
            while len(self._read) > _KEPT:
                self._read.popitem(last=False)
        told = reading.log.unknown_names
        return Preview(token, reading.file, reading.counts, reading.rows, reading.warnings, told)

    def again(self, token: str, read: Callable[[Path], Read]) -> Preview:
        """Read the upload of a token once more in another way; the former reading can no longer be stored.

        It can still be read again: whoever changes two choices quickly asks for both by the token on the page.
        """
        with self._lock:
            former = _there(self._read.get(token))
        preview = self.keep(read, former.log.original, former.file)
        with self._lock:
            self._former = {token, *self._former} & self._read.keys()
        return preview

    def take(self, token: str) -> Read:
        """The reading of a token, once."""
        with self._lock:
            return _there(None if token in self._former else self._read.pop(token, None))


def _there(reading: Read | None) -> Read:
    if reading is None:
        raise RefusedInput(
            "this preview is no longer there",
            where="upload",
            wanted="one of the last few files that were dropped",
            remedy="drop the file again",
        )
    return reading


def _plain_name(name: str) -> str:
    last = Path(name.replace("\\", "/")).name
    return "".join(c for c in last if c.isprintable())[-120:] or "upload"
