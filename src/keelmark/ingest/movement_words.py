"""What is said about a movement's written name: unknown, several in one cell, or a word for more than one."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable

from keelmark.catalogue import Catalogue
from keelmark.ingest.warnings import FileWarning, counted
from keelmark.ingest.words import cell_words, plain

__all__ = ["about_generic_words", "loaded_choices", "name_hint"]

_BETWEEN = re.compile(r"\s*[+,;/&|\n]\s*")


def name_hint(text: str, catalogue: Catalogue) -> str:
    """How to go on with a name that is not in the catalogue, as the end of a sentence."""
    if plain(text) in cell_words("states"):
        return "; this says what the day was, so keep it in a list of days (columns date, athlete, state)"
    parts = [part for part in _BETWEEN.split(text) if part]
    if len(parts) > 1 and all(catalogue.names.find(part) for part in parts):
        return "; the cell names several movements, and each needs a row of its own"
    near = [catalogue.names.label(name) for name in catalogue.names.nearest(text)]
    return f"; near names are {', '.join(near)}" if near else ""


def loaded_choices(text: str, catalogue: Catalogue) -> str:
    """The loaded movements that a word could be which is otherwise read as one without a load; else empty."""
    could_be = catalogue.names.doubt(text)
    found = catalogue.names.find(text)
    if could_be is None or found is None or catalogue[found].load == "needs":
        return ""
    return ", ".join(catalogue.names.label(name) for name in could_be if catalogue[name].load == "needs")


def about_generic_words(texts: Iterable[str], catalogue: Catalogue) -> list[FileWarning]:
    """One warning for each word among accepted rows that several movements go by."""
    told = []
    for text, count in Counter(" ".join(text.split()) for text in texts).items():
        could_be, found = catalogue.names.doubt(text), catalogue.names.find(text)
        if could_be is None or found is None:
            continue
        others = [catalogue.names.label(name) for name in could_be if name != found]
        sentence = (
            f"{text} ({counted(count, 'row')}) is read as {catalogue.names.label(found)}; it could also be "
            f"{', '.join(others)}. Write the movement itself to be sure."
        )
        told.append(FileWarning("generic_movement", sentence))
    return told
