"""What the catalogue states about a movement, and the rules an entry must keep."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator

from keelmark.contracts.channels import EXPOSURES

__all__ = ["Category", "Evidence", "Figure", "Implement", "LandingClass", "Movement", "RepMaximum", "Swap"]

Evidence = Literal["published", "derived", "judgement"]
LandingClass = Literal["none", "low", "moderate", "high"]
Category = Literal[
    "weightlifting", "powerlifting", "dumbbell_kettlebell", "gymnastics", "plyometric", "monostructural", "odd_object",
    "core", "accessory", "mobility",
]  # fmt: skip
Implement = Literal[
    "none", "barbell", "dumbbell", "kettlebell", "medicine_ball", "sandbag", "stone", "log", "yoke", "sled", "tyre",
    "plate", "machine", "band", "rope", "vest", "bag", "hammer",
]  # fmt: skip
Name = Annotated[str, Field(pattern=r"^[a-z0-9]+(_[a-z0-9]+)*$")]


class _Entry(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Figure(_Entry):
    """One number with its range and its evidence."""

    value: float
    low: float
    high: float
    evidence: Evidence
    source: str | None = None

    @model_validator(mode="after")
    def _ordered_and_sourced(self) -> Figure:
        if not self.low <= self.value <= self.high:
            message = f"low {self.low}, value {self.value} and high {self.high} are not in rising order"
            raise ValueError(message)
        if self.evidence == "published" and not self.source:
            message = "evidence is published but no source is named"
            raise ValueError(message)
        return self


class Swap(_Entry):
    """A movement that may stand in for another: `ratio` reps of it for one rep of the original."""

    to: Name
    ratio: Figure


class RepMaximum(_Entry):
    """Where a one-repetition maximum for this movement comes from, and its share of the parent lift's."""

    of: Name
    share: Figure


class Movement(_Entry):
    """What one rep, metre, second or calorie of a movement does to each exposure.

    `measures` lists the amounts a coach may write for it, the usual one first. `load` says whether it is done with an
    external load: a movement that `needs` one and has none in the log is of unknown load, never of zero load.
    """

    name: Name
    category: Category
    implement: Implement
    load: Literal["needs", "may", "never"]
    measures: tuple[Literal["reps", "distance_m", "duration_s", "calories"], ...] = Field(min_length=1)
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

    @field_validator("per_rep", "per_metre", "per_second")
    @classmethod
    def _known_exposures(cls, value: dict[str, Figure]) -> dict[str, Figure]:
        for key, figure in value.items():
            if key not in EXPOSURES:
                message = f"{key} is not an exposure; known: {', '.join(EXPOSURES)}"
                raise ValueError(message)
            if figure.low < 0:
                message = f"{key} has a negative bound {figure.low}"
                raise ValueError(message)
        return value

    @model_validator(mode="after")
    def _landing_fits_contacts(self) -> Movement:
        lands = any("jump_contacts" in table for table in (self.per_rep, self.per_metre, self.per_second))
        if lands != (self.landing_class != "none"):
            message = (
                f"landing_class is {self.landing_class} but jump_contacts are {'stated' if lands else 'not stated'}"
            )
            raise ValueError(message)
        if self.high_rep and self.rep_maximum is None:
            message = "high_rep is true but rep_maximum is missing"
            raise ValueError(message)
        return self
