"""Who reads the whiteboard: the athlete's standard, body mass, maxima, option and result."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from keelmark.contracts.errors import SettingError

__all__ = ["Context"]


@dataclass(frozen=True, slots=True)
class Context:
    """What is known about the athlete who did the work.

    Parameters
    ----------
    standard : {"heavier", "lighter"}
        Which of two written loads is used.
    bodyweight_kg : float, optional
        Body mass in kg; None when not known.
    one_rm : dict of movement to float
        One-repetition maxima in kg, by canonical name.
    result : str, optional
        The score as written; None when none was given.
    option : {"as_written", "scaled"}
        Which version was done.
    team_size : int, optional
        Persons in the team, where the text does not say.
    swaps : dict of movement to movement
        Movements this athlete did in place of others, by canonical name.
    level, athlete : str, optional
        Kept for the record; they choose nothing.
    """

    standard: str = "heavier"
    bodyweight_kg: float | None = None
    one_rm: Mapping[str, float] = field(default_factory=dict)
    result: str | None = None
    option: str = "as_written"
    team_size: int | None = None
    swaps: Mapping[str, str] = field(default_factory=dict)
    level: str | None = None
    athlete: str | None = None

    def __post_init__(self) -> None:
        if self.standard not in ("heavier", "lighter"):
            raise SettingError(
                f'the standard is "{self.standard}"',
                where="context, field standard",
                wanted="heavier or lighter",
                remedy="name one of the two",
            )
        if self.option not in ("as_written", "scaled"):
            raise SettingError(
                f'the option is "{self.option}"',
                where="context, field option",
                wanted="as_written or scaled",
                remedy="name one of the two, or leave it out",
            )

    @classmethod
    def of(cls, given: Mapping[str, Any]) -> Context:
        """A context from plain values; what is not known to it is passed over."""
        known = {key: given[key] for key in cls.__dataclass_fields__ if given.get(key) is not None}
        return cls(**known)
