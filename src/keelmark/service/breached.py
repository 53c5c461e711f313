"""Passwords that were stolen elsewhere, looked up in a file on this machine; nothing is asked of another."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

from keelmark.contracts.errors import SettingError

__all__ = ["BREACHED_FILE", "is_breached"]

BREACHED_FILE = "KEELMARK_BREACHED_PASSWORDS"
"""Names the file: SHA-1 digests in hexadecimal, sorted, one a line; a count may follow each after a colon."""
_DIGITS = 40
_LONGEST_LINE = 128


def is_breached(password: str) -> bool:
    """Whether a password stands in the file; without a file no.

    Raises
    ------
    SettingError
        When the file cannot be read.
    """
    place = os.environ.get(BREACHED_FILE)
    if not place:
        return False
    wanted = hashlib.sha1(password.encode(), usedforsecurity=False).hexdigest().upper().encode()
    try:
        return _stands_in(Path(place), wanted)
    except OSError as error:
        raise SettingError(
            "the list of stolen passwords cannot be read",
            where=BREACHED_FILE,
            wanted="a file of sorted SHA-1 digests, one a line",
            remedy="name the right file, or leave the variable out",
        ) from error


def _stands_in(file: Path, wanted: bytes) -> bool:
    """Halve the file until the line that would hold the digest is near; the file may have any size."""
    low, high = 0, file.stat().st_size
    with file.open("rb") as lines:
        while high - low > _LONGEST_LINE:
            middle = (low + high) // 2
            lines.seek(middle)
            lines.readline()
            if lines.readline()[:_DIGITS].upper() <= wanted:
                low = middle
            else:
                high = middle
        lines.seek(max(0, low - _LONGEST_LINE))
        near = lines.read(4 * _LONGEST_LINE)
    return any(line[:_DIGITS].upper() == wanted for line in near.split(b"\n"))
