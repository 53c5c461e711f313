"""Every error keelmark raises on purpose.

KeelmarkError
 ├── AccessError       somebody asked for what is not theirs to see or to change
 ├── CatalogueError    an entry of the movement catalogue, shipped or a squad's own, is inconsistent
 ├── FrameError        a table does not have the columns its schema asks for
 ├── RefusedInput      a file or text cannot be used at all; nothing was stored
 ├── StoreError        the store cannot be opened, read or written; nothing was half done
 ├── SettingError      an option or a setting has a value that cannot be used
 └── MechanicsError    a body, load or posture outside what the formulas can describe

A message has four parts, so that the reader can act on it: what was found, where, what was wanted, what to do.
"""

from __future__ import annotations

__all__ = [
    "AccessError",
    "CatalogueError",
    "FrameError",
    "KeelmarkError",
    "MechanicsError",
    "RefusedInput",
    "SettingError",
    "StoreError",
]


class KeelmarkError(Exception):
    """The root of all errors raised on purpose.

    Parameters
    ----------
    found : str
        What was found, in plain words.
    where : str
        File, row, line, column, field or option.
    wanted : str
        What would have been accepted.
    remedy : str
        What the reader can do about it.
    """

    def __init__(self, found: str, *, where: str, wanted: str, remedy: str) -> None:
        self.found = found
        self.where = where
        self.wanted = wanted
        self.remedy = remedy
        super().__init__(f"{where}: {found}. Wanted: {wanted}. What to do: {remedy}.")


class AccessError(KeelmarkError):
    """Somebody asked for what is not theirs to see or to change."""


class CatalogueError(KeelmarkError):
    """An entry of the movement catalogue, shipped or a squad's own, is inconsistent."""


class FrameError(KeelmarkError):
    """A table does not have the columns its schema asks for."""


class RefusedInput(KeelmarkError):  # noqa: N818  (what happens to the input is the name)
    """A file or text cannot be used at all; nothing was stored."""


class StoreError(KeelmarkError):
    """The store cannot be opened, read or written; nothing was half done."""


class SettingError(KeelmarkError):
    """An option or a setting has a value that cannot be used."""


class MechanicsError(KeelmarkError):
    """A body, load or posture lies outside what the formulas can describe."""
