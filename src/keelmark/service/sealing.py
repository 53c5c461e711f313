"""Secrets that the store holds, sealed with a key that lies outside it."""

from __future__ import annotations

import os
from pathlib import Path

import pyrage

from keelmark.contracts.errors import SettingError

__all__ = ["KEY_FILE", "Seal", "new_key", "seal_of_this_machine"]

KEY_FILE = "KEELMARK_KEY_FILE"
"""The environment variable that names the file with the key, as a safe for secrets hands it to a program."""
_SEALED = b"age-encryption.org/v1"


class Seal:
    """Seals secrets in the age format for the holder of one key; without a key they are kept as they are.

    Parameters
    ----------
    key : pyrage.x25519.Identity or None
        What opens them again.
    """

    def __init__(self, key: pyrage.x25519.Identity | None = None) -> None:
        self._key = key

    @property
    def seals(self) -> bool:
        """Whether there is a key."""
        return self._key is not None

    def close(self, secret: bytes) -> bytes:
        """The secret as it is kept."""
        return secret if self._key is None else bytes(pyrage.encrypt(secret, [self._key.to_public()]))

    def open(self, kept: bytes) -> bytes:
        """The secret that was kept.

        Raises
        ------
        SettingError
            When it is sealed and the key is missing or another one.
        """
        if not kept.startswith(_SEALED):
            return kept
        try:
            if self._key is not None:
                return bytes(pyrage.decrypt(kept, [self._key]))
        except pyrage.DecryptError as error:
            raise _shut("another key than the one it was sealed with was given") from error
        raise _shut("no key was given")


def new_key() -> str:
    """A key, made at random: the text of a file for `KEELMARK_KEY_FILE`."""
    return f"{pyrage.x25519.Identity.generate()}\n"


def seal_of_this_machine() -> Seal:
    """The seal with the key of the file that `KEELMARK_KEY_FILE` names; without one nothing is sealed.

    Raises
    ------
    SettingError
        When the file cannot be read or holds no key.
    """
    place = os.environ.get(KEY_FILE)
    if not place:
        return Seal()
    try:
        lines = Path(place).read_text(encoding="ascii").split()
        return Seal(pyrage.x25519.Identity.from_str(next(one for one in lines if one.startswith("AGE-SECRET-KEY-"))))
    except (OSError, UnicodeDecodeError, StopIteration, pyrage.IdentityError) as error:
        raise SettingError(
            "the file holds no key that can be read",
            where=KEY_FILE,
            wanted="a file with one age identity, as keelmark accounts new-key makes it",
            remedy="name the right file, or make a key if this store has never had one",
        ) from error


def _shut(found: str) -> SettingError:
    return SettingError(
        f"a secret of this store is sealed and {found}",
        where=KEY_FILE,
        wanted="the file with the key that this store was served with before",
        remedy="hand that file in; if it is lost, replace the secrets: keelmark accounts renew-secrets",
    )
