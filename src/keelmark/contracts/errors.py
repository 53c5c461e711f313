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

import re

__all__ = [
    "AccessError",
    "CatalogueError",
    "FrameError",
    "KeelmarkError",
    "MechanicsError",
    "RefusedInput",
    "SettingError",
    "StoreError",
    "shown",
]

_LONGEST = 1_200
_UNSEEN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200b-\u200f\u202a-\u202e\u2066-\u2069\ufeff\ud800-\udfff]")


def shown(text: str) -> str:
    """Words from a file as they may be shown: signs that nobody sees are spelled out, and the middle of too many cut.

    Otherwise a cell could turn the text around it, clear a terminal or fill a page.
    """
    if len(text) > _LONGEST:
        text = f"{text[: _LONGEST - 200]} … {text[-180:]}"
    return _UNSEEN.sub(lambda sign: f"\\u{ord(sign[0]):04x}", text)


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
        self.found, self.where, self.wanted, self.remedy = map(shown, (found, where, wanted, remedy))
        super().__init__(f"{self.where}: {self.found}. Wanted: {self.wanted}. What to do: {self.remedy}.")


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
