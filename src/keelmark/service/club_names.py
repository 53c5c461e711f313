"""Names that a club has for known movements: told once, used for every file and whiteboard from then on."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping

from keelmark.catalogue import Catalogue, catalogue_with
from keelmark.contracts.errors import SettingError
from keelmark.service.own_movements import OWN_MOVEMENTS
from keelmark.store import Store

__all__ = ["CLUB_NAMES", "club_names", "learn_names"]

CLUB_NAMES = "club names.toml"
"""Under this name they stand among the squad's own movement files."""


def club_names(store: Store) -> dict[str, str]:
    """The club's written names with the movement that each means."""
    kept = tomllib.loads(store.settings().get(OWN_MOVEMENTS, {}).get(CLUB_NAMES, ""))
    return {written: movement for movement, entry in kept.items() for written in entry["names"]["en"]}


def learn_names(store: Store, catalogue: Catalogue, names: Mapping[str, str]) -> Catalogue:
    """Keep names for movements that are known already; gives the catalogue that knows them.

    Parameters
    ----------
    store : Store
        Where they are kept.
    catalogue : Catalogue
        The movements known so far.
    names : mapping of str to str
        Written name to movement.

    Raises
    ------
    SettingError
        When there is no such movement, or a name cannot be told apart from what is known.
    """
    for written, movement in names.items():
        if movement not in catalogue:
            raise _refused(f"there is no movement {movement!r}", "a movement of the squad", "choose one from the list")
        known = catalogue.names.owner(written)
        if known is not None and known != movement:
            label = catalogue.names.label(known)
            raise _refused(f"“{written}” is a name of {label}", "a name that means nothing yet", "choose another name")
    everything = {**club_names(store), **names}
    by_movement: dict[str, list[str]] = {}
    for written, movement in everything.items():
        by_movement.setdefault(movement, []).append(written)
    files = {**store.settings().get(OWN_MOVEMENTS, {}), CLUB_NAMES: _toml(by_movement)}
    learned = catalogue_with(files)
    for written, movement in names.items():
        if learned.names.find(written) != movement:
            raise _refused(f"“{written}” cannot be told apart from other names", "a name of letters", "mend the file")
    store.set_setting(OWN_MOVEMENTS, files)
    return learned


def _toml(by_movement: Mapping[str, list[str]]) -> str:
    entries = [
        f'[{movement}]\nlike = ["{movement}"]\nnames.en = [{", ".join(json.dumps(name) for name in written)}]\n'
        for movement, written in sorted(by_movement.items())
    ]
    return "\n".join(entries)


def _refused(found: str, wanted: str, remedy: str) -> SettingError:
    return SettingError(found, where="names of movements", wanted=wanted, remedy=remedy)
