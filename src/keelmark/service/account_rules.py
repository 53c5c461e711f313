"""What an account and a guest's link may be: names, roles, and what a link shows for how long."""

from __future__ import annotations

import unicodedata
from collections.abc import Set as AbstractSet

from keelmark.contracts.errors import SettingError
from keelmark.service.person import ATHLETE, GUEST, GUEST_FIELDS, ROLES

__all__ = ["LINK_DAYS", "LONGEST_NAME", "check_link", "check_role", "checked_name", "name_key"]

LINK_DAYS = (1, 30)
LONGEST_NAME = 60


def name_key(name: str) -> str:
    """A name as it is compared: without accents of typing, case and doubled spaces."""
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def checked_name(name: str) -> str:
    """A name as it is shown; refused when it is empty, too long or cannot be seen."""
    shown = " ".join(unicodedata.normalize("NFC", name).split())
    if not shown or len(shown) > LONGEST_NAME or not shown.isprintable():
        raise SettingError(
            "the name is empty, too long or holds signs that cannot be seen",
            where="name",
            wanted=f"1 to {LONGEST_NAME} letters and signs",
            remedy="use the name that the person is called by",
        )
    return shown


def check_role(role: str, athlete_id: str | None) -> None:
    """Refuse a role that has no account, and one that is bound to an athlete where it must not be."""
    if role not in ROLES or role == GUEST:
        raise SettingError(
            f"there is no account of a {role!r}",
            where="role",
            wanted="owner, coach, programmer or athlete",
            remedy="choose one of these; a guest gets a link instead of an account",
        )
    if (role == ATHLETE) != (athlete_id is not None):
        raise SettingError(
            "an athlete's account names no athlete" if role == ATHLETE else f"a {role} is bound to an athlete",
            where="athlete",
            wanted="the athlete's key for an athlete, and none for anybody else",
            remedy="name the athlete for an athlete's account, and nobody for any other",
        )


def check_link(chosen: AbstractSet[str], days: int) -> None:
    """Refuse a guest's link that shows nothing, shows what there is not, or lasts too long."""
    if not chosen or not chosen <= set(GUEST_FIELDS):
        raise SettingError(
            "nothing to show" if not chosen else f"there is no field {sorted(chosen - set(GUEST_FIELDS))[0]!r}",
            where="fields",
            wanted="one or more of " + ", ".join(GUEST_FIELDS),
            remedy="choose what the guest may see",
        )
    if not LINK_DAYS[0] <= days <= LINK_DAYS[1]:
        raise SettingError(
            f"{days} days were given",
            where="days",
            wanted=f"{LINK_DAYS[0]} to {LINK_DAYS[1]} days",
            remedy="make another link when this one is over",
        )
