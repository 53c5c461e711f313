"""Movement entries as they stand in a TOML file, before and after they take over from one another.

A file holds one table per movement, named by the movement. An entry with `like = ["hinge", "barbell"]` takes what it
does not state itself from these patterns and movements; the later one counts where both state something.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from keelmark.catalogue.posture import POSTURE_TABLES
from keelmark.contracts.errors import CatalogueError
from keelmark.contracts.toml_text import read_toml

__all__ = ["Entry", "EntryFile", "resolve"]

_TABLES = ("per_rep", "per_metre", "per_second")
_AT_LINE = re.compile(r"\(at line (\d+), column (\d+)\)")
_DECLARED = re.compile(r"\('(\w+)',\)")


@dataclass(frozen=True)
class EntryFile:
    """A TOML file of entries: the name to show, and its text, in which lines are found again."""

    label: str
    text: str

    def entries(self) -> dict[str, Entry]:
        """Its entries by name; lists of postures stand beside them and are read elsewhere.

        Raises
        ------
        CatalogueError
            When the text is not TOML, or something else than a table stands at its top.
        """
        try:
            content = read_toml(self.text)
        except ValueError as error:
            raise _not_toml(self.label, self.text, str(error)) from error
        content = {key: value for key, value in content.items() if not _is_postures(key, value)}
        for key, value in content.items():
            if not isinstance(value, dict):
                raise CatalogueError(
                    f"{key} stands outside of any entry",
                    where=f"{self.label}, line {self._line_of_key([key], 0, None)}, field {key}",
                    wanted="each movement as a table named by it, such as [toes_to_bar]",
                    remedy="put the line under the movement that it belongs to",
                )
        return {name: Entry(name, fields, self) for name, fields in content.items()}

    def line(self, name: str, path: list[str]) -> int:
        """The line, from 1, on which a field of an entry stands; the entry's own line when the field has none."""
        start, stop = self._span(name)
        return self._line_of_key(path, start, stop) if path else start + 1

    def _span(self, name: str) -> tuple[int, int | None]:
        header = re.compile(rf'^\s*\[\s*"?{re.escape(name)}"?\s*\]')
        lines = self.text.splitlines()
        start = next((i for i, line in enumerate(lines) if header.match(line)), 0)
        other = re.compile(rf'^\s*\[(?!\s*"?{re.escape(name)}"?\s*[.\]])')
        stop = next((i for i in range(start + 1, len(lines)) if other.match(lines[i])), None)
        return start, stop

    def _line_of_key(self, path: list[str], start: int, stop: int | None) -> int:
        lines = self.text.splitlines()[start:stop]
        words = [part for part in path if not part.isdigit()]
        for depth in range(len(words), 0, -1):
            dotted = r'"?\s*\.\s*"?'.join(map(re.escape, words[:depth]))
            for pattern in (rf'^\s*"?{dotted}"?\s*[=.]', rf'\b{re.escape(words[depth - 1])}"?\s*='):
                found = next((i for i, line in enumerate(lines) if re.search(pattern, line)), None)
                if found is not None:
                    return start + found + 1
        return start + 1


@dataclass(frozen=True)
class Entry:
    """One table of a file: the movement's name, its fields as written, and the file."""

    name: str
    fields: Mapping[str, object]
    file: EntryFile

    def error(self, found: str, path: list[str], *, wanted: str, remedy: str) -> CatalogueError:
        """The refusal of this entry, with file, line and field."""
        field = f", field {'.'.join(path)}" if path else ""
        where = f"{self.file.label}, line {self.file.line(self.name, path)}, entry {self.name}{field}"
        return CatalogueError(found, where=where, wanted=wanted, remedy=remedy)


def _is_postures(key: str, value: object) -> bool:
    return key in POSTURE_TABLES and isinstance(value, list)


def resolve(
    entry: Entry, parent: Callable[[Entry, str], Entry | None], under_way: tuple[Entry, ...] = ()
) -> dict[str, object]:
    """The fields of an entry with all that it takes over from the patterns and movements it is like.

    Parameters
    ----------
    entry : Entry
        The entry as written.
    parent : callable
        Gives, for an entry and a name in its `like`, the entry of that name, or None when there is none.
    under_way : tuple of Entry
        Entries that are being resolved and lead to this one.

    Returns
    -------
    dict
        The fields; `name` is the entry's own, `like` is what it states itself.

    Raises
    ------
    CatalogueError
        When `like` names nothing that exists, or leads back to the entry.
    """
    like = entry.fields.get("like", [])
    if not isinstance(like, list) or not all(isinstance(name, str) for name in like):
        raise entry.error(
            f"like is {like!r}",
            ["like"],
            wanted="a list of names of patterns and movements",
            remedy='write it as a list, such as like = ["toes_to_bar"]',
        )
    taken: dict[str, object] = {}
    path = (*under_way, entry)
    for name in like:
        source = parent(entry, name)
        if source is None:
            raise entry.error(
                f"like names {name}, which is neither a pattern nor a movement",
                ["like"],
                wanted="the name of a pattern or of a movement of the catalogue",
                remedy="mend the spelling, or take the name out",
            )
        if any(source is other for other in path):
            raise entry.error(
                f"like leads back to itself: {' -> '.join(other.name for other in (*path, source))}",
                ["like"],
                wanted="entries that take over from one another in one direction",
                remedy="take one of the names out of like",
            )
        taken = _merged(taken, resolve(source, parent, path))
    if "name" in entry.fields:
        raise entry.error(
            "the field name is stated",
            ["name"],
            wanted="the name in the brackets only",
            remedy="take the line out",
        )
    own = {**entry.fields, "name": entry.name, "like": like}
    return _merged(taken, own)


def _merged(under: Mapping[str, object], over: Mapping[str, object]) -> dict[str, object]:
    merged = {**under, **over}
    for table in _TABLES:
        below, above = under.get(table), over.get(table)
        if isinstance(below, dict) and isinstance(above, dict):
            merged[table] = {**below, **above}
    return merged


def _not_toml(label: str, text: str, message: str) -> CatalogueError:
    place = _AT_LINE.search(message)
    line = place.group(1) if place else str(len(text.splitlines()) or 1)
    reason = (
        _DECLARED.sub(r"\1", _AT_LINE.sub("", message))
        .replace("(at end of document)", "at the end of the file")
        .strip()
        .rstrip(".")
    )
    return CatalogueError(
        f"not TOML: {reason[:1].lower()}{reason[1:]}",
        where=f"{label}, line {line}",
        wanted="a TOML file with one table per movement",
        remedy="mend this line; text values stand in double quotes, lists in square brackets",
    )
