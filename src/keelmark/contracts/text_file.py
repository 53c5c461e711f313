"""Reading a small text file that somebody wrote."""

from __future__ import annotations

from pathlib import Path

from keelmark.contracts.errors import RefusedInput

__all__ = ["LONGEST_TEXT", "plain_text", "read_text_file"]

LONGEST_TEXT = 1_000_000
"""Bytes of a text that somebody wrote by hand; a year of whiteboards has about a tenth of it."""


def read_text_file(path: Path, *, wanted: str = "a text file in UTF-8") -> str:
    """The text of a file, without a byte order mark.

    Raises
    ------
    RefusedInput
        When the file is missing, cannot be read, is longer than a text written by hand, or is not text in UTF-8.
    """
    try:
        with path.open("rb") as file:
            data = file.read(LONGEST_TEXT + 1)
    except OSError as error:
        raise _unreadable(error.__class__.__name__, str(path), wanted) from error
    return plain_text(data, where=str(path), wanted=wanted)


def plain_text(data: bytes, *, where: str, wanted: str = "a text in UTF-8") -> str:
    """Bytes as text, without a byte order mark.

    Raises
    ------
    RefusedInput
        When there are more of them than in a text written by hand, or they are not text in UTF-8.
    """
    if len(data) > LONGEST_TEXT:
        raise RefusedInput(
            f"the text is longer than {LONGEST_TEXT:,} bytes",
            where=where,
            wanted=f"{wanted} of at most {LONGEST_TEXT:,} bytes",
            remedy="check that this is the file meant, and split it",
        )
    if b"\x00" in data:
        raise _unreadable("it holds null bytes", where, wanted)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _unreadable(error.__class__.__name__, where, wanted) from error


def _unreadable(why: str, where: str, wanted: str) -> RefusedInput:
    return RefusedInput(
        f"the file cannot be read ({why})",
        where=where,
        wanted=wanted,
        remedy="check the file's name and save it as UTF-8",
    )
