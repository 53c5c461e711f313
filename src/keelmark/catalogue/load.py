"""Read the movement catalogue that ships with the package, and a squad's own additions to it."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from importlib.resources import files
from pathlib import Path

from pydantic import ValidationError

from keelmark.catalogue.catalogue import Catalogue
from keelmark.catalogue.entries import Entry, EntryFile, resolve
from keelmark.catalogue.model import Movement
from keelmark.catalogue.names import NameIndex
from keelmark.catalogue.own_names import check_own_names, spoken_with, without_names
from keelmark.catalogue.own_postures import own_postures
from keelmark.catalogue.references import check_references
from keelmark.catalogue.refusal import refusal
from keelmark.catalogue.wording import LANGUAGES
from keelmark.contracts.errors import CatalogueError

__all__ = ["catalogue_with", "load_catalogue", "shipped_catalogue"]


@cache
def shipped_catalogue() -> Catalogue:
    """The catalogue inside the package."""
    return _build(())


def load_catalogue(own: Sequence[Path] = ()) -> Catalogue:
    """The shipped catalogue with a squad's own movements added, or put in place of shipped ones.

    Parameters
    ----------
    own : sequence of Path
        TOML files of a squad, one table per movement; of two entries for one movement the later file's counts. An
        entry of a name that ships replaces it whole; with `like = ["that_name"]` it keeps all that it does not state
        itself. `names.en = ["...", ...]` gives the names that people write for it, per language. Lists `[[family]]`,
        `[[unloaded]]` and `[[hands]]` in the same files state postures; a movement named there goes by them alone.

    Returns
    -------
    Catalogue
        All movements, checked together.

    Raises
    ------
    CatalogueError
        When a file or an entry is inconsistent: file, line, field, what was wanted and what to do. Nothing is loaded.
    """
    return catalogue_with({str(path): _read_own(path) for path in own})


def catalogue_with(own: Mapping[str, str]) -> Catalogue:
    """The shipped catalogue with a squad's own movements, from the texts of its files.

    Parameters
    ----------
    own : mapping of str to str
        File name, as messages shall show it, to TOML text; the rules are those of `load_catalogue`.
    """
    return _build([EntryFile(label, text) for label, text in own.items()]) if own else shipped_catalogue()


def _build(own_files: Sequence[EntryFile]) -> Catalogue:
    patterns = _shipped_file("patterns.toml").entries()
    shipped = _shipped_entries()
    named: dict[str, Entry] = {}
    for file in own_files:
        named |= file.entries()
    own = {name: without_names(entry) for name, entry in named.items()}

    def parent(asking: Entry, name: str) -> Entry | None:
        if asking is own.get(asking.name) and name in own and name != asking.name:
            return own[name]
        return shipped.get(name) or patterns.get(name)

    entries = {**shipped, **own}
    movements = {name: _movement(entry, resolve(entry, parent)) for name, entry in entries.items()}
    check_references(movements, entries)
    names = NameIndex(spoken_with(_shipped_names(), named))
    check_own_names(named, names)
    return Catalogue(movements, names, own_postures(own_files, movements.keys()))


def _movement(entry: Entry, fields: Mapping[str, object]) -> Movement:
    try:
        return Movement.model_validate(fields)
    except ValidationError as error:
        raise refusal(entry, error) from error


def _shipped_file(name: str) -> EntryFile:
    return EntryFile(name, (files("keelmark.catalogue") / name).read_text(encoding="utf-8"))


def _shipped_entries() -> dict[str, Entry]:
    folder = files("keelmark.catalogue") / "movements"
    entries: dict[str, Entry] = {}
    for name in sorted(file.name for file in folder.iterdir()):
        for key, entry in _shipped_file(f"movements/{name}").entries().items():
            if key in entries:
                raise entry.error(
                    f"{key} stands in {entries[key].file.label} as well",
                    [],
                    wanted="each movement once",
                    remedy="take one of the two entries out",
                )
            entries[key] = entry
    return entries


def _shipped_names() -> dict[str, dict[str, list[str]]]:
    folder = files("keelmark.catalogue") / "languages"
    return {
        language: tomllib.loads((folder / f"{language}.toml").read_text(encoding="utf-8")) for language in LANGUAGES
    }


def _read_own(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else "not UTF-8 text"
        raise CatalogueError(
            f"the file cannot be read: {reason}",
            where=str(path),
            wanted="a TOML file in UTF-8 with one table per movement",
            remedy="check the path, the permissions and the encoding",
        ) from error
