"""What the names of the calendar let one expect: the part of usual work that a taper, a camp or a holiday holds.

A name is read for its kind, and for an amount where the coach wrote one (`taper 60 %`, `overload +30 %`). What a kind
is taken to hold before this squad has shown it is a starting point, wide on either side.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

__all__ = ["KINDS", "NameMeaning", "name_meaning"]

START_SPREAD = 0.2
"""How far a named week may lie from what its kind is taken to hold, on the square-root scale (judgement)."""
OWN_NAME_SPREAD = 0.6
"""The same for a name that says nothing but that the week was to be another (judgement): amounts up to four times."""
SAID_SPREAD = 0.1
"""The same where the coach wrote the amount (judgement)."""

KINDS: dict[str, tuple[float, tuple[str, ...]]] = {
    "taper": (0.5, ("taper", "tapering", "peaking")),
    "deload": (0.6, ("deload", "deloading", "unload", "unloading", "light", "lighter", "easy", "recovery")),
    "overload": (1.3, ("overload", "overreach", "overreaching", "heavy", "heavier", "loading", "camp")),
    "competition": (0.8, ("competition", "competitions", "contest", "race", "races", "match", "meet")),
    "test": (0.8, ("test", "tests", "testing")),
    "holiday": (0.5, ("holiday", "holidays", "vacation", "break")),
    "travel": (0.5, ("travel", "travelling", "trip")),
    "ill": (0.3, ("ill", "illness", "sick", "flu")),
}
"""Part of the usual amount that a whole week of each kind is taken to hold at first, and words that name it.

Half of the usual amount in a taper: volume cut by 41 to 60 % in the meta-analysis of Bosquet L et al. Med Sci Sports
Exerc 2007;39(8):1358-65 (from memory). The others are judgement."""

_AMOUNT = re.compile(r"([+\-−])?\s?(\d{1,3})\s?%")
_LEAST, _MOST = 0.05, 6.0


@dataclass(frozen=True, slots=True)
class NameMeaning:
    """What a name of the calendar lets one expect.

    Parameters
    ----------
    key : str
        Names with the same key are taken to mean the same and teach one another.
    amount : float
        Part of the usual amount of a whole week.
    spread : float
        How far such a week may lie from it, on the square-root scale.
    kind : str or None
        The kind that was read in it.
    """

    key: str
    amount: float
    spread: float
    kind: str | None


def name_meaning(name: str) -> NameMeaning:
    """What a name lets one expect before the squad has shown it.

    A name without a known word is a kind of its own: the usual amount, give or take a great deal.

    >>> name_meaning("Taper 60 %").amount, name_meaning("camp, +30 %").amount, name_meaning("storm").kind
    (0.6, 1.3, None)
    """
    plain = " ".join(name.casefold().split())
    words = set(re.findall(r"[^\W\d_]+", plain))
    kind = next((key for key, (_, known) in KINDS.items() if words & set(known)), None)
    said = _said(plain)
    if said is not None:
        return NameMeaning(f"{kind or plain}={said:g}", said, SAID_SPREAD, kind)
    if kind is None:
        return NameMeaning(plain, 1.0, OWN_NAME_SPREAD, None)
    return NameMeaning(kind, KINDS[kind][0], START_SPREAD, kind)


def _said(name: str) -> float | None:
    """The amount that is written in a name, as a part of the usual one."""
    found = _AMOUNT.search(name)
    if found is None:
        return None
    sign, share = found.group(1), int(found.group(2)) / 100
    amount = share if sign is None else 1 + share if sign == "+" else 1 - share
    return amount if _LEAST <= amount <= _MOST else None
