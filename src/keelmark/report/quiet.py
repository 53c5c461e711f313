"""A few kind words for somebody whose days are not on record, ready to be sent; they ask, and press nobody."""

from __future__ import annotations

import tomllib
from datetime import date
from functools import cache
from importlib.resources import files
from typing import Any

from keelmark.contracts.errors import SettingError

__all__ = ["LANGUAGES", "quiet_message"]

LANGUAGES = ("en", "de", "es", "fr", "pt")


def quiet_message(name: str, monday: date, missing: int, language: str = "en") -> str:
    """A message to one person.

    Parameters
    ----------
    name : str
        First name.
    monday : date
        First day of the week.
    missing : int
        Days of it without a record, 1 to 7.
    language : str
        One of `LANGUAGES`.

    Raises
    ------
    SettingError
        When there are no such words.
    """
    if language not in LANGUAGES:
        raise SettingError(
            f"there is no message in {language!r}",
            where="language",
            wanted="one of " + ", ".join(LANGUAGES),
            remedy="choose one of these",
        )
    words = _messages()[language]
    kind = "none" if missing == 7 else "one" if missing == 1 else "some"
    days = words["days"].format(count=missing)
    first = words["date"].format(day=monday.day, month=words["months"][monday.month - 1])
    return str(words[kind]).format(name=name, monday=first, days=days)


@cache
def _messages() -> dict[str, dict[str, Any]]:
    return tomllib.loads(files("keelmark.report").joinpath("messages.toml").read_text(encoding="utf-8"))
