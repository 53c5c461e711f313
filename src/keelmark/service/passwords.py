"""Passwords: what may be one, how it is kept, and how it is checked without telling whether the account exists."""

from __future__ import annotations

import base64
import secrets
import unicodedata
from functools import cache
from threading import BoundedSemaphore

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from zxcvbn import zxcvbn
from zxcvbn.frequency_lists import FREQUENCY_LISTS

from keelmark.contracts.errors import SettingError
from keelmark.service.breached import is_breached

__all__ = [
    "LONGEST", "SHORTEST", "check_new_password", "first_password", "hash_password", "needs_renewal", "verify_password",
]  # fmt: skip

SHORTEST, LONGEST = 12, 128
_LEAST_GUESSES = 8.0
"""Guesses that a password must withstand, as a power of ten."""
_OF_ITS_OWN = 6
"""Letters and figures that a password must hold beside words that stand near it."""
_LOOKED_AT = 72
_COMMON = frozenset(FREQUENCY_LISTS["passwords"])
_REMEDY = "take three or four words that do not belong together"

_hasher = PasswordHasher()
_AT_ONCE = BoundedSemaphore(2)
"""Each check takes 64 MiB; many at once wait for one another."""


def check_new_password(password: str, *about: str) -> None:
    """Refuse a password that is short, common, or made of what everybody knows about its owner.

    Parameters
    ----------
    password : str
        As typed.
    about : str
        Words that say nothing new: the account's name, the squad's.

    Raises
    ------
    SettingError
        Saying what is wrong with it, never repeating it.
    """
    text = _as_read(password)
    if not SHORTEST <= len(text) <= LONGEST:
        raise _refused(f"it has {len(text)} signs")
    if text.casefold() in _COMMON:
        raise _refused("it stands in lists of common passwords")
    if is_breached(text):
        raise _refused("it stands in the list of passwords that were stolen elsewhere")
    if _of_its_own(text, about) < _OF_ITS_OWN:
        raise _refused("it is made of names and words that everybody here knows, and is guessed quickly")
    found = zxcvbn(text[:_LOOKED_AT], user_inputs=[word for word in about if word] + ["keelmark"])
    if float(found["guesses_log10"]) < _LEAST_GUESSES:
        raise _refused("it is made of common words, names or rows of keys, and is guessed quickly")


def _of_its_own(text: str, about: tuple[str, ...]) -> int:
    """How many letters and figures stay when all words that stand near are left out, the longest first."""
    left = text.casefold()
    words = {word for phrase in about for word in (phrase.casefold(), *phrase.casefold().split()) if len(word) > 1}
    for word in sorted(words | {"keelmark"}, key=len, reverse=True):
        left = left.replace(word, " ")
    return sum(sign.isalnum() for sign in left)


def first_password() -> str:
    """A first password, made at random: 80 bits as four groups of letters and figures."""
    drawn = base64.b32encode(secrets.token_bytes(10)).decode().lower()
    return "-".join(drawn[at : at + 4] for at in range(0, len(drawn), 4))


def hash_password(password: str) -> str:
    """The password as it is kept: argon2id with the parameters of RFC 9106 for little memory."""
    with _AT_ONCE:
        return _hasher.hash(_as_read(password))


def verify_password(kept: str | None, password: str) -> bool:
    """Whether a password is the kept one; without a kept one the same work is done and the answer is no."""
    nobodys = _nobodys()
    with _AT_ONCE:
        try:
            return _hasher.verify(kept or nobodys, _as_read(password[: 4 * LONGEST])) and kept is not None
        except (VerificationError, InvalidHashError):
            return False


def needs_renewal(kept: str) -> bool:
    """Whether a password was kept with weaker parameters than those of today."""
    return _hasher.check_needs_rehash(kept)


@cache
def _nobodys() -> str:
    return _hasher.hash("nobody's")


def _as_read(password: str) -> str:
    """One spelling of letters with accents, whatever keyboard they were typed on."""
    return unicodedata.normalize("NFC", password)


def _refused(found: str) -> SettingError:
    return SettingError(
        found,
        where="password",
        wanted=f"{SHORTEST} to {LONGEST} signs that are hard to guess",
        remedy=_REMEDY,
    )
