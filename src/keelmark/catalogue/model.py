"""What the catalogue states about a movement, and the rules an entry must keep."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator
from pydantic_core import PydanticCustomError

from keelmark.contracts.channels import EXPOSURES

__all__ = [
    "RULE", "Category", "Evidence", "Figure", "Implement", "LandingClass", "Measure", "Movement", "Name", "RepMaximum",
    "Swap",
]  # fmt: skip

Evidence = Literal["published", "derived", "judgement"]
LandingClass = Literal["none", "low", "moderate", "high"]
Measure = Literal["reps", "distance_m", "duration_s", "calories"]
Category = Literal[
    "weightlifting", "powerlifting", "dumbbell_kettlebell", "gymnastics", "plyometric", "monostructural", "odd_object",
    "core", "accessory", "mobility",
]  # fmt: skip
Implement = Literal[
    "none", "barbell", "dumbbell", "kettlebell", "medicine_ball", "sandbag", "stone", "log", "yoke", "sled", "tyre",
    "plate", "machine", "band", "rope", "vest", "bag", "hammer",
]  # fmt: skip
Name = Annotated[str, Field(pattern=r"^[a-z0-9]+(_[a-z0-9]+)*$")]

RULE = "rule"
"""The type of an error from a rule of this module; its context holds `found`, `wanted`, `remedy` and `field`."""

_FIGURE_ROW = ("value", "low", "high", "evidence", "source")


def _broken(found: str, *, wanted: str, remedy: str, field: str = "") -> PydanticCustomError:
    return PydanticCustomError(RULE, "{found}", {"found": found, "wanted": wanted, "remedy": remedy, "field": field})


class _Entry(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class Figure(_Entry):
    """One number with its range and its evidence.

    In TOML it is a row `[value, low, high, evidence, source]`; a table with these keys is read as well.
    """

    value: float
    low: float
    high: float
    evidence: Evidence
    source: str | None = None

    @model_validator(mode="before")
    @classmethod
    def _from_row(cls, written: object) -> object:
        if not isinstance(written, list | tuple):
            return written
        if not 4 <= len(written) <= len(_FIGURE_ROW):
            raise _broken(
                f"a figure row has {len(written)} parts",
                wanted="a row [value, low, high, evidence, source]",
                remedy="write the number as such a row; only a published figure must name its source",
            )
        return dict(zip(_FIGURE_ROW, written, strict=False))

    @model_validator(mode="after")
    def _ordered_and_sourced(self) -> Figure:
        if not self.low <= self.value <= self.high:
            raise _broken(
                f"low {self.low:g}, value {self.value:g} and high {self.high:g} are not in rising order",
                wanted="low at most value, and value at most high",
                remedy="put the three numbers right; a row begins with the value",
            )
        if self.evidence == "published" and not self.source:
            raise _broken(
                "evidence is published but no source is named",
                wanted="a published figure with its source",
                remedy="name the source as the last part of the row, or write judgement",
            )
        return self


class Swap(_Entry):
    """A movement that may stand in for another: `ratio` amounts of it for one of the original.

    The amounts are counted in the usual measure of the original, its first. In TOML a swap is a line
    `swaps.hanging_knee_raise = [2, 1, 2, ...]` with the ratio as a figure.
    """

    to: Name
    ratio: Figure


class RepMaximum(_Entry):
    """Where a one-repetition maximum comes from when this lift was never tested: its share of another lift's.

    A lift that is tested itself names itself, with share 1.
    """

    of: Name
    share: Figure


class Movement(_Entry):
    """What one rep, metre, second or calorie of a movement does to each exposure.

    `measures` lists the amounts a coach may write for it, the usual one first. `load` says whether it is done with an
    external load: a movement that `needs` one and has none in the log is of unknown load, never of zero load.
    `seconds_per_rep` and `metres_per_second` turn a bare time into reps and metres, so their ranges are wide.
    `like` names the patterns and movements from which the entry took what it does not state itself.
    """

    name: Name
    like: tuple[Name, ...] = ()
    category: Category
    implement: Implement
    load: Literal["needs", "may", "never"]
    measures: tuple[Measure, ...] = Field(min_length=1)
    body_mass_share: Figure
    landing_class: LandingClass = "none"
    per_rep: dict[str, Figure] = Field(default_factory=dict)
    per_metre: dict[str, Figure] = Field(default_factory=dict)
    per_second: dict[str, Figure] = Field(default_factory=dict)
    seconds_per_rep: Figure | None = None
    metres_per_calorie: Figure | None = None
    metres_per_second: Figure | None = None
    opposes: tuple[Name, ...] = ()
    swaps: tuple[Swap, ...] = ()
    rep_maximum: RepMaximum | None = None
    high_rep: bool = False

    @field_validator("swaps", mode="before")
    @classmethod
    def _swaps_by_name(cls, written: object) -> object:
        return [{"to": to, "ratio": ratio} for to, ratio in written.items()] if isinstance(written, dict) else written

    @field_validator("per_rep", "per_metre", "per_second")
    @classmethod
    def _known_exposures(cls, value: dict[str, Figure]) -> dict[str, Figure]:
        for key, figure in value.items():
            if key not in EXPOSURES:
                raise _broken(
                    f"{key} is not an exposure",
                    wanted=f"one of {', '.join(EXPOSURES)}",
                    remedy="mend the spelling, or take the line out",
                    field=key,
                )
            if figure.low < 0:
                raise _broken(
                    f"{key} has a negative bound {figure.low:g}",
                    wanted="amounts of zero or more",
                    remedy="raise the lower bound to zero or more",
                    field=key,
                )
        return value

    @field_validator("seconds_per_rep", "metres_per_calorie", "metres_per_second")
    @classmethod
    def _above_zero(cls, value: Figure | None) -> Figure | None:
        if value is not None and value.low <= 0:
            raise _broken(
                f"the lower bound {value.low:g} is not above zero",
                wanted="a rate above zero",
                remedy="raise the lower bound above zero",
            )
        return value

    @field_validator("body_mass_share")
    @classmethod
    def _share_of_one_body(cls, value: Figure) -> Figure:
        if not 0 <= value.low <= value.high <= 1:
            raise _broken(
                f"the range {value.low:g} to {value.high:g} leaves 0 to 1",
                wanted="a share of body mass from 0 to 1",
                remedy="put the range right",
            )
        return value

    @model_validator(mode="after")
    def _landing_fits_contacts(self) -> Movement:
        lands = any("jump_contacts" in table for table in (self.per_rep, self.per_metre, self.per_second))
        if lands != (self.landing_class != "none"):
            raise _broken(
                f"landing_class is {self.landing_class} but jump_contacts are {'stated' if lands else 'not stated'}",
                wanted="a landing class low, moderate or high exactly where jump_contacts are stated",
                remedy="state both, or neither",
                field="landing_class",
            )
        return self

    @model_validator(mode="after")
    def _high_rep_has_a_maximum(self) -> Movement:
        if self.high_rep and self.rep_maximum is None:
            raise _broken(
                "high_rep is true but rep_maximum is missing",
                wanted="the lift whose maximum the reps are counted against",
                remedy="add rep_maximum, or leave high_rep out",
                field="high_rep",
            )
        return self

    @model_validator(mode="after")
    def _each_measure_reaches_the_exposures(self) -> Movement:
        if not (self.per_rep or self.per_metre or self.per_second):
            return self
        by_time = (
            self.per_second or (self.per_rep and self.seconds_per_rep) or (self.per_metre and self.metres_per_second)
        )
        routes: dict[Measure, tuple[object, str]] = {
            "reps": (self.per_rep, "per_rep"),
            "distance_m": (self.per_metre, "per_metre"),
            "duration_s": (by_time, "per_second, seconds_per_rep with per_rep, or metres_per_second with per_metre"),
            "calories": (self.per_metre and self.metres_per_calorie, "metres_per_calorie with per_metre"),
        }
        for measure in self.measures:
            reached, needed = routes[measure]
            if not reached:
                raise _broken(
                    f"{measure} is a measure but nothing turns it into exposures",
                    wanted=needed,
                    remedy=f"state it, or take {measure} out of measures",
                    field="measures",
                )
        return self
