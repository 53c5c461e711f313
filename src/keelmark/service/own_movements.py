"""A squad's own movements: checked, kept in its store, and used with the shipped ones from then on."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from keelmark.catalogue import Catalogue, catalogue_with, shipped_catalogue
from keelmark.contracts.errors import SettingError
from keelmark.contracts.text_file import read_text_file
from keelmark.store import Store

__all__ = ["OWN_MOVEMENTS", "change_own_movements", "own_movements", "squad_catalogue"]

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


def own_movements(store: Store) -> dict[str, str]:
    """The squad's own movement files: name to text."""
    kept: dict[str, str] = store.settings().get(OWN_MOVEMENTS, {})
    return dict(kept)


def change_own_movements(store: Store, name: str, text: str | None, who: str | None = None) -> Catalogue:
    """Keep a movement file under a name, or drop it; gives the catalogue as it is from then on.

    Parameters
    ----------
    store : Store
        Where the files are kept.
    name : str
        The file's name; one of the same name is replaced.
    text : str or None
        TOML; None drops the file.
    who : str, optional
        Stands beside the change.

    Raises
    ------
    CatalogueError
        When the file is inconsistent; nothing is changed then.
    SettingError
        When rows in the store need a movement that would be gone.
    """
    texts = own_movements(store)
    texts.pop(name, None)
    if text is not None:
        texts[name] = text
    catalogue = catalogue_with(texts) if texts else shipped_catalogue()
    missing = sorted(key for key in store.efforts()["movement"].unique() if key not in catalogue)
    if missing:
        raise SettingError(
            f"logged rows use {', '.join(missing[:3])}, which would be gone",
            where=name,
            wanted="every movement that is logged",
            remedy="leave the file, or bring one that holds these movements as well",
        )
    store.set_setting(OWN_MOVEMENTS, texts, who)
    return catalogue
