"""Files that the command line writes: never over another one, and readable by their owner only."""

from __future__ import annotations

import os
from pathlib import Path

from keelmark.contracts.errors import SettingError

__all__ = ["write_new_file"]


def write_new_file(path: Path, content: bytes) -> None:
    """Write a file that is not there yet.

    Raises
    ------
    SettingError
        When a file lies there, or it cannot be written.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    except FileExistsError as error:
        raise SettingError(
            "a file lies there already",
            where=str(path),
            wanted="a name that is free",
            remedy="choose another name, or move the old file away",
        ) from error
    except OSError as error:
        raise SettingError(
            f"the file cannot be written ({error.strerror})",
            where=str(path),
            wanted="a folder that may be written to",
            remedy="choose another folder",
        ) from error
    with os.fdopen(handle, "wb") as file:
        file.write(content)
