"""A squad's own movements: checked, kept in its store, and used with the shipped ones from then on."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from keelmark.catalogue import Catalogue, catalogue_with, shipped_catalogue
from keelmark.contracts.errors import RefusedInput
from keelmark.store import Store

__all__ = ["squad_catalogue"]

_SETTING = "own_movements"


def squad_catalogue(store: Store, brought: Sequence[Path] = ()) -> Catalogue:
    """The shipped movements with those that the squad has kept and those brought now.

    Parameters
    ----------
    store : Store
        Where the squad's own movement files are kept, by file name.
    brought : paths
        Files to keep from now on; one of the same name takes the place of an earlier one.
    """
    kept: dict[str, str] = store.settings().get(_SETTING, {})
    texts = {**kept, **{path.name: _text(path) for path in brought}}
    if not texts:
        return shipped_catalogue()
    catalogue = catalogue_with(texts)
    if texts != kept:
        store.set_setting(_SETTING, texts)
    return catalogue


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise RefusedInput(
            f"the file cannot be read ({error.__class__.__name__})",
            where=str(path),
            wanted="a TOML file in UTF-8",
            remedy="check the file's name and save it as UTF-8",
        ) from error
