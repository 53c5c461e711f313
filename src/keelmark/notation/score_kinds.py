"""What a score can say: its kind, and the figures that belong to it."""

from __future__ import annotations

from dataclasses import dataclass, field

__all__ = ["Score"]


@dataclass(slots=True)
class Score:
    """One score; `kind` says which of the others are meant, from `time` and `rounds` to `loads` and `in_round`.

    `values` are the figures of a list, in kg for loads where a unit was written; `by_movement` amounts named outright.
    `uniform` marks one load for all sets. `each` holds one score for each open station of a section, in order. `lists`
    holds figures by the movement named in front of them, `rows` those of each round. `load` is what was chosen to
    lift, `of` the movement in front of a colon,
    `rise` by how much each set is heavier than the one before, `breaks` how often the work was broken off, `missed`
    how many sets were tried and not lifted.
    """

    kind: str
    rounds: int = 0
    reps: float = 0.0
    seconds: float = 0.0
    values: list[float] = field(default_factory=list)
    pairs: list[tuple[float, float]] = field(default_factory=list)
    by_movement: dict[str, float] = field(default_factory=dict)
    own: bool = False
    label: str = ""
    doubtful: bool = False
    capped: bool = False
    unit: str = ""
    partial: list[tuple[str, float | None]] = field(default_factory=list)
    each: list[Score] = field(default_factory=list)
    uniform: bool = False
    lists: dict[str, list[float]] = field(default_factory=dict)
    rows: list[list[float]] = field(default_factory=list)
    load: float | None = None
    of: str = ""
    breaks: int | None = None
    missed: int = 0
    rise: float = 0.0
