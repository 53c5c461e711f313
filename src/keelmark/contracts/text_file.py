"""Reading a small text file that somebody wrote."""

from __future__ import annotations

from pathlib import Path

from keelmark.contracts.errors import RefusedInput

__all__ = ["read_text_file"]


def read_text_file(path: Path, *, wanted: str = "a text file in UTF-8") -> str:
    """The text of a file, without a byte order mark.

    Raises
    ------
    RefusedInput
        When the file is missing, cannot be read, or is not in UTF-8.
    """
    try:
        return path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise RefusedInput(
            f"the file cannot be read ({error.__class__.__name__})",
            where=str(path),
            wanted=wanted,
            remedy="check the file's name and save it as UTF-8",
        ) from error
