"""What a squad can choose about how long personal data is kept, and whether somebody is asked first."""

from __future__ import annotations

from keelmark.service.setting import Setting

__all__ = ["PRIVACY_SETTINGS"]

_MONTHS = "a whole number of months from 1 to 240, or 0 for no end"


def _months(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= 240


PRIVACY_SETTINGS: tuple[Setting, ...] = (
    Setting(
        "ask_first",
        False,
        "whether answers about the body are kept only after the athlete, or a guardian, has agreed",
        "true or false",
        lambda value: isinstance(value, bool),
    ),
    Setting("keep_answers", 0, "how long answers about the body are kept", _MONTHS, _months),
    Setting("keep_looks", 0, "how long it is kept who has looked at health data", _MONTHS, _months),
    Setting("keep_left", 0, "how long somebody who has left the squad is kept", _MONTHS, _months),
)
