"""Options of `keelmark plan` as they are typed, read or refused."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from keelmark.contracts.errors import SettingError
from keelmark.plan import DAY_NAMES, PATTERNS, SENSITIVITY, Limit
from keelmark.service.week_plan import SPANS, Plan

__all__ = ["WhatIf", "agreed_limit", "attendance", "check_choices", "chosen_session", "intended", "what_if"]

OWN = "own"
_WORDS = {"every day": "every day", "mwf": "Monday, Wednesday, Friday", "weekend": "weekend"}


@dataclass(frozen=True, slots=True)
class WhatIf:
    """One athlete's week otherwise: the words as typed, who, days trained or None, and the letter of a version."""

    words: str
    athlete_id: str
    days: Collection[int] | None
    version: str


def check_choices(sensitivity: str, span: str) -> None:
    """Refuse a sensitivity or a span that does not exist.

    Raises
    ------
    SettingError
        Naming the option.
    """
    for option, chosen, known in (("--sensitivity", sensitivity, SENSITIVITY), ("--span", span, SPANS)):
        if chosen not in known:
            raise _refused(option, chosen, ", ".join(known), "choose one of these")


def attendance(written: str) -> Collection[int] | None:
    """Days of a pattern of attendance, 0 Monday; None for everybody's own days.

    Raises
    ------
    SettingError
        When it is no pattern.
    """
    if written == OWN:
        return None
    if written not in _WORDS:
        raise _refused("--days", written, ", ".join((OWN, *_WORDS)), "choose one of these")
    return PATTERNS[_WORDS[written]]


def chosen_session(written: str, plan: Plan) -> str:
    """The key of a session.

    Raises
    ------
    SettingError
        When the week has no such session.
    """
    keys = [session.key for session in plan.week.sessions]
    if written not in keys:
        raise SettingError(
            f"{written!r} is not a session of this week",
            where="option --explain",
            wanted=", ".join(keys),
            remedy="choose one of these",
        )
    return written


def intended(written: str) -> tuple[tuple[str, str], float]:
    """An intended balance such as `vertical_push:vertical_pull=0.5`.

    Raises
    ------
    SettingError
        When it has no number.
    """
    pair, _, ratio = written.partition("=")
    one, _, other = pair.partition(":")
    try:
        return (one.strip(), other.strip()), float(ratio.replace(",", "."))
    except ValueError as error:
        wanted = "two channels and a ratio such as vertical_push:vertical_pull=0.5"
        raise _refused("--intend", written, wanted, "write the ratio as a number") from error


def agreed_limit(written: str, plan: Plan) -> Limit:
    """An agreed limit such as `wren:jump_contacts=120`.

    Raises
    ------
    SettingError
        When it has no number, or nobody is called that.
    """
    what, _, amount = written.partition("=")
    name, _, channel = what.partition(":")
    try:
        most = float(amount.replace(",", "."))
    except ValueError as error:
        wanted = "a name, a channel and an amount such as wren:jump_contacts=120"
        raise _refused("--limit", written, wanted, "write the amount as a number") from error
    return Limit(plan.person(name).athlete_id, channel.strip(), most)


def what_if(written: str, plan: Plan) -> WhatIf:
    """A question such as `wren: skip wed`, `wren: on mon fri`, `wren: B` or `wren: skip wed, B`.

    Raises
    ------
    SettingError
        When it cannot be read, or nobody is called that.
    """
    name, _, asked = written.partition(":")
    person = plan.person(name)
    coming: set[int] | None = None
    version, mode = "", ""
    for word in asked.replace(",", " ").split():
        day = next((at for at, known in enumerate(DAY_NAMES) if known[:3].lower() == word[:3].lower()), None)
        if word.lower() in ("skip", "on"):
            mode = word.lower()
            coming = set(person.days) if mode == "skip" else set()
        elif day is not None and mode and coming is not None:
            (coming.discard if mode == "skip" else coming.add)(day)
        elif len(word) == 1 and word.isalpha() and not version:
            version = word.upper()
        else:
            wanted = "a name and what would be otherwise, such as wren: skip wed, or wren: on mon fri, or wren: B"
            raise _refused("--what-if", written, wanted, f"leave out or mend {word!r}")
    if coming is None and not version:
        wanted = "a name and what would be otherwise, such as wren: skip wed, or wren: on mon fri, or wren: B"
        raise _refused("--what-if", written, wanted, "say behind the colon what would be otherwise")
    return WhatIf(written, person.athlete_id, coming, version)


def _refused(option: str, written: str, wanted: str, remedy: str) -> SettingError:
    return SettingError(f"{written!r} was given", where=f"option {option}", wanted=wanted, remedy=remedy)
