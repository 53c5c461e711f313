"""The names that a squad's own entries bring along, per language."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from keelmark.catalogue.entries import Entry
from keelmark.catalogue.names import NameIndex
from keelmark.catalogue.wording import LANGUAGES

__all__ = ["check_own_names", "spoken_with", "without_names"]

_Spoken = dict[str, dict[str, list[str]]]


def without_names(entry: Entry) -> Entry:
    """The entry without its names, as the movement model knows it."""
    return replace(entry, fields={key: value for key, value in entry.fields.items() if key != "names"})


def spoken_with(shipped: _Spoken, own: Mapping[str, Entry]) -> _Spoken:
    """The shipped names with those of a squad's own entries behind them, or first where none shipped.

    An own movement goes by its canonical name too, whether or not other names are given.

    Raises
    ------
    CatalogueError
        When names are no lists of text, or their language is not one that keelmark reads.
    """
    spoken = {language: dict(names) for language, names in shipped.items()}
    for name, entry in own.items():
        for language, written in _names(entry).items():
            spoken[language][name] = [*spoken[language].get(name, []), *written]
        spoken["en"].setdefault(name, [])
    return spoken


def check_own_names(own: Mapping[str, Entry], names: NameIndex) -> None:
    """Check that no other movement has a name that a squad's own entry brings.

    Raises
    ------
    CatalogueError
        At the first entry with a name that is taken.
    """
    for claim in names.claims:
        movement, holder = (claim.movement, claim.other) if claim.movement in own else (claim.other, claim.movement)
        if movement in own:
            path = ["names", claim.language]
            raise own[movement].error(
                f'the name "{claim.name}" belongs to {holder} already',
                path if claim.language in _names(own[movement]) else [],
                wanted="names that no other movement has in that language",
                remedy=f"take the name out, or write the entry as [{holder}] to put it in place of that movement",
            )


def _names(entry: Entry) -> dict[str, list[str]]:
    names = entry.fields.get("names", {})
    if not isinstance(names, dict):
        raise _wrong_names(entry, ["names"])
    for language, written in names.items():
        listed = isinstance(written, list) and all(isinstance(text, str) and text.strip() for text in written)
        if language not in LANGUAGES or not listed:
            raise _wrong_names(entry, ["names", language])
    return names


def _wrong_names(entry: Entry, path: list[str]) -> Exception:
    return entry.error(
        f"{'.'.join(path)} does not list names in a language that keelmark reads",
        path,
        wanted=f"a list of names under one of {', '.join(LANGUAGES)}",
        remedy='write it as names.en = ["first name", "second name"]',
    )
