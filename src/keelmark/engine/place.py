"""Files in a folder of this machine or of an object store, by fsspec address."""

from __future__ import annotations

import io
import os
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from keelmark.contracts.errors import SettingError

if TYPE_CHECKING:
    import polars as pl

__all__ = ["Place"]


@dataclass(frozen=True, slots=True)
class Place:
    """A folder by address: a path, or `s3://…`, `gs://…`, `memory://…` and whatever else fsspec knows.

    A file is there whole or not at all: on this machine it is written beside its name and moved there, in an object
    store it appears when it is complete. On this machine only its owner can read it.
    """

    address: str

    def read(self, name: str) -> bytes:
        """The content of a file.

        Raises
        ------
        SettingError
            When it is not there.
        """
        files, root = self._files()
        try:
            with files.open(f"{root}/{name}", "rb") as file:
                return bytes(file.read())
        except FileNotFoundError as error:
            raise SettingError(
                f"{name} is not in {self.address}",
                where="partitioned figures",
                wanted="a folder that keelmark has written parts to",
                remedy="write the parts first with `keelmark parts`, or give the folder that holds them",
            ) from error

    def write(self, name: str, content: bytes) -> None:
        """Put a file there, over one of the same name."""
        files, root = self._files()
        if not self._here(files):
            files.pipe_file(f"{root}/{name}", content)
            return
        path = Path(root) / name
        _own_folder(path.parent)
        beside = path.with_name(f".{path.name}.{secrets.token_hex(6)}")
        descriptor = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        try:
            with os.fdopen(descriptor, "wb") as file:
                file.write(content)
            beside.replace(path)
        finally:
            beside.unlink(missing_ok=True)

    def holds(self, name: str) -> bool:
        """Whether there is such a file or folder."""
        files, root = self._files()
        return bool(files.exists(f"{root}/{name}"))

    def empty(self) -> bool:
        """Whether nothing is there yet."""
        files, root = self._files()
        return not files.exists(root) or not files.ls(root)

    def frame(self, name: str, columns: Sequence[str] | None = None) -> pl.DataFrame:
        """A Parquet file as a table; only some of its columns, if they are named."""
        import polars as pl

        return pl.read_parquet(io.BytesIO(self.read(name)), columns=None if columns is None else list(columns))

    def put_frame(self, name: str, frame: pl.DataFrame) -> bytes:
        """Write a table as a Parquet file; gives its content."""
        content = io.BytesIO()
        frame.write_parquet(content, compression="lz4", statistics=False)
        self.write(name, content.getvalue())
        return content.getvalue()

    def _files(self) -> tuple[Any, str]:
        import fsspec
        from fsspec.core import url_to_fs

        try:
            files, root = url_to_fs(self.address)
        except (ValueError, ImportError) as error:
            known = ", ".join(sorted({"file", "memory"} & set(fsspec.available_protocols())))
            raise SettingError(
                f"{self.address!r} cannot be opened: {error}",
                where="address of a folder",
                wanted=f"a path, or an address that fsspec knows ({known}, and others with their library installed)",
                remedy="use a path, or install the library that the message names on every machine",
            ) from error
        return files, str(root).rstrip("/")

    @staticmethod
    def _here(files: Any) -> bool:
        return "file" in (files.protocol if isinstance(files.protocol, tuple) else (files.protocol,))


def _own_folder(folder: Path) -> None:
    """Make a folder, and those above it that are missing, for its owner alone."""
    if not folder.exists():
        _own_folder(folder.parent)
        folder.mkdir(exist_ok=True, mode=0o700)
