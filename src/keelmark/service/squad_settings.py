"""What a squad can choose: each setting with its default and its meaning, in one list."""

from __future__ import annotations

from collections.abc import Mapping

from keelmark.contracts.errors import SettingError
from keelmark.load import LoadSettings
from keelmark.marks import MarkSettings
from keelmark.marks.settings import RATES
from keelmark.service.display_settings import DISPLAY_SETTINGS
from keelmark.service.privacy_settings import PRIVACY_SETTINGS
from keelmark.service.setting import Setting

__all__ = ["SETTINGS", "Setting", "checked_setting", "load_settings", "mark_settings"]


SETTINGS: tuple[Setting, ...] = (
    Setting(
        "quiet_days",
        "unlogged",
        "what a day without any record means: not known, or rest in weeks that have records",
        "unlogged or rest",
        lambda value: value in ("unlogged", "rest"),
    ),
    Setting(
        "week_day",
        7,
        "weekday on which ratios are taken, 1 for Monday to 7 for Sunday",
        "a whole number from 1 to 7",
        lambda value: value in range(1, 8),
    ),
    Setting(
        "share_above",
        0.05,
        "share of an athlete's usual weeks that may lie above the upper mark",
        "a number from 0.01 to 0.25",
        lambda value: isinstance(value, float) and 0.01 <= value <= 0.25,
    ),
    Setting(
        "notice_budget",
        3,
        "notices shown first, per week; the others are one step away",
        "a whole number from 1 to 20",
        lambda value: value in range(1, 21),
    ),
    Setting(
        "week_rate",
        RATES["week"],
        "rate of false notices of single weeks; the audit lowers it where they come too often",
        f"a number above 0 and at most {RATES['week']:g}",
        lambda value: isinstance(value, float) and 0.0 < value <= RATES["week"],
    ),
    Setting(
        "slow_rate",
        RATES["slow"],
        "rate of false notices of slow rises; the audit lowers it where they come too often",
        f"a number above 0 and at most {RATES['slow']:g}",
        lambda value: isinstance(value, float) and 0.0 < value <= RATES["slow"],
    ),
    *DISPLAY_SETTINGS,
    *PRIVACY_SETTINGS,
)


def checked_setting(key: str, value: object) -> object:
    """The value if it fits the setting.

    Raises
    ------
    SettingError
        When there is no such setting or the value does not fit it.
    """
    for setting in SETTINGS:
        if setting.key == key:
            if setting.fits(value):
                return value
            raise SettingError(
                f"{value!r} was given",
                where=f"setting {key}",
                wanted=setting.wanted,
                remedy=f"choose {setting.meaning}",
            )
    raise SettingError(
        f"there is no setting {key!r}",
        where="settings",
        wanted="one of " + ", ".join(setting.key for setting in SETTINGS),
        remedy="use one of these names",
    )


def load_settings(chosen: Mapping[str, object]) -> LoadSettings:
    """Settings of the load figures."""
    picked = {key: chosen[key] for key in ("quiet_days", "week_day") if key in chosen}
    return LoadSettings(**picked)  # type: ignore[arg-type]


def mark_settings(chosen: Mapping[str, object]) -> MarkSettings:
    """Settings of the marks and notices."""
    names = {"share_above": "share", "notice_budget": "budget", "week_rate": "week_rate", "slow_rate": "slow_rate"}
    picked = {name: chosen[key] for key, name in names.items() if key in chosen}
    return MarkSettings(**picked)  # type: ignore[arg-type]
