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
    """Seals secrets in the age format for the holder of a key; without a key they are kept as they are.

    Parameters
    ----------
    keys : pyrage.x25519.Identity
        What opens them again. The first one seals; the others open what was sealed before it came.
    """

    def __init__(self, *keys: pyrage.x25519.Identity) -> None:
        self._keys = keys

    def close(self, secret: bytes) -> bytes:
        """The secret as it is kept."""
        return bytes(pyrage.encrypt(secret, [self._keys[0].to_public()])) if self._keys else secret

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
            if self._keys:
                return bytes(pyrage.decrypt(kept, list(self._keys)))
        except pyrage.DecryptError as error:
            raise _shut("another key than the one it was sealed with was given") from error
        raise _shut("no key was given")


def new_key() -> str:
    """A key, made at random: the text of a file for `KEELMARK_KEY_FILE`."""
    return f"{pyrage.x25519.Identity.generate()}\n"


def seal_of_this_machine() -> Seal:
    """The seal with the keys of the file that `KEELMARK_KEY_FILE` names; without one nothing is sealed.

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
        keys = [pyrage.x25519.Identity.from_str(one) for one in lines if one.startswith("AGE-SECRET-KEY-")]
        if not keys:
            raise ValueError("no key")
        return Seal(*keys)
    except (OSError, ValueError, pyrage.IdentityError) as error:
        raise SettingError(
            "the file holds no key that can be read",
            where=KEY_FILE,
            wanted="a file with an age identity, as keelmark accounts new-key makes it",
            remedy="name the right file, or make a key if this store has never had one",
        ) from error


def _shut(found: str) -> SettingError:
    return SettingError(
        f"a secret of this store is sealed and {found}",
        where=KEY_FILE,
        wanted="the file with the key that this store was served with before",
        remedy="hand that file in; if it is lost, replace the secrets: keelmark accounts renew-secrets",
    )
