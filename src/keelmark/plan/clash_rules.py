"""The clash rules as they stand in the data file, checked when they are read."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.errors import SettingError

__all__ = ["SENSITIVITY", "ClashRule", "Demand", "rules_from", "shipped_rules"]

SENSITIVITY: dict[str, float] = {"few": 1.5, "usual": 1.0, "many": 0.7}
"""By how much the amounts of all demands are multiplied (judgement)."""

_PLACES = frozenset({"together", "block", "session"})


@dataclass(frozen=True, slots=True)
class Demand:
    """What a piece of work asks: the amount of some channels, or seconds at some movements, from which it counts."""

    key: str
    words: str
    unit: str
    most: float
    channels: tuple[str, ...] = ()
    movements: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ClashRule:
    """A pair of pieces of work that get in each other's way, where they may stand, and why, in words."""

    key: str
    first: tuple[Demand, ...]
    then: Demand
    places: frozenset[str]
    hours: float
    share: float
    reason: str


@cache
def shipped_rules() -> tuple[ClashRule, ...]:
    """The rules inside the package."""
    return rules_from((files("keelmark.plan.words") / "clashes.toml").read_text(encoding="utf-8"), "clashes.toml")


def rules_from(text: str, name: str) -> tuple[ClashRule, ...]:
    """Rules from the text of a file.

    Raises
    ------
    SettingError
        When the text is not TOML, or a rule names a demand, channel or place that does not exist.
    """
    try:
        given = tomllib.loads(text)
        demands = {key: _demand(key, entry) for key, entry in given["demands"].items()}
        return tuple(_rule(key, entry, demands) for key, entry in given["rules"].items())
    except (tomllib.TOMLDecodeError, KeyError, TypeError, ValueError) as error:
        raise SettingError(
            f"{error.__class__.__name__}: {error}",
            where=f"clash rules {name}",
            wanted="tables [demands.NAME] and [rules.NAME] as in the shipped file",
            remedy="mend the entry that is named",
        ) from error


def _demand(key: str, entry: Mapping[str, Any]) -> Demand:
    channels, movements = tuple(entry.get("channels", ())), tuple(entry.get("movements", ()))
    for channel in channels:
        if channel not in CHANNEL_BY_KEY:
            raise ValueError(f"demand {key} names the channel {channel}, which does not exist")
    if bool(channels) == bool(movements):
        raise ValueError(f"demand {key} has to name either channels or movements")
    return Demand(key, entry["words"], entry["unit"], float(entry["most"]), channels, movements)


def _rule(key: str, entry: Mapping[str, Any], demands: Mapping[str, Demand]) -> ClashRule:
    places = frozenset(entry["places"])
    if not places <= _PLACES:
        raise ValueError(f"rule {key} names a place other than {', '.join(sorted(_PLACES))}")
    first = tuple(demands[name] for name in entry["first"])
    return ClashRule(
        key,
        first,
        demands[entry["then"]],
        places,
        float(entry["hours"]),
        float(entry.get("share", 1.0)),
        entry["reason"],
    )
