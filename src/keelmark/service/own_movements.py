"""A squad's own movements: checked, kept in its store, and used with the shipped ones from then on."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from keelmark.catalogue import Catalogue, catalogue_with, shipped_catalogue
from keelmark.contracts.text_file import read_text_file
from keelmark.store import Store

__all__ = ["OWN_MOVEMENTS", "squad_catalogue"]

OWN_MOVEMENTS = "own_movements"
"""The setting that holds them: file name to text."""


def squad_catalogue(store: Store, brought: Sequence[Path] = ()) -> Catalogue:
    """The shipped movements with those that the squad has kept and those brought now.

    Parameters
    ----------
    store : Store
        Where the squad's own movement files are kept, by file name.
    brought : paths
        Files to keep from now on; one of the same name takes the place of an earlier one.
    """
    kept: dict[str, str] = store.settings().get(OWN_MOVEMENTS, {})
    texts = {**kept, **{path.name: read_text_file(path, wanted="a TOML file in UTF-8") for path in brought}}
    if not texts:
        return shipped_catalogue()
    catalogue = catalogue_with(texts)
    if texts != kept:
        store.set_setting(OWN_MOVEMENTS, texts)
    return catalogue
