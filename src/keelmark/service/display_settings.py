"""What a squad can choose about how things are shown; no figure changes with any of it."""

from __future__ import annotations

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.display import HEIGHT_UNITS, LANGUAGES, LOAD_UNITS
from keelmark.contracts.emergency import EMERGENCY_NUMBERS
from keelmark.service.setting import Setting

__all__ = ["DISPLAY_KEYS", "DISPLAY_SETTINGS"]

DISPLAY_SETTINGS: tuple[Setting, ...] = (
    Setting(
        "channels_shown",
        [],
        "kinds of work that pages offer; none stands for all",
        "a list of kinds of work",
        lambda value: isinstance(value, list) and all(isinstance(one, str) and one in CHANNEL_BY_KEY for one in value),
    ),
    Setting(
        "load_unit",
        "kg",
        "unit in which loads and their sums are shown; files to take away stay in kilograms",
        "kg or lb",
        lambda value: isinstance(value, str) and value in LOAD_UNITS,
    ),
    Setting(
        "height_unit",
        "cm",
        "unit in which heights, such as that of a box, are shown",
        "cm or in",
        lambda value: isinstance(value, str) and value in HEIGHT_UNITS,
    ),
    Setting(
        "language",
        "en",
        "language of movement names and of messages to athletes",
        "one of " + ", ".join(LANGUAGES),
        lambda value: isinstance(value, str) and value in LANGUAGES,
    ),
    Setting(
        "country",
        "",
        "country whose emergency number stands on the care cards; empty names the usual ones",
        "a country code such as gb, or nothing",
        lambda value: isinstance(value, str) and (value == "" or value in EMERGENCY_NUMBERS),
    ),
)
DISPLAY_KEYS = frozenset(setting.key for setting in DISPLAY_SETTINGS)
