"""What a whiteboard text prescribes, as a tree: sections, groups that are done round by round, stations.

Places in the text (`start`, `end`) take no part in comparing two trees.
"""

from __future__ import annotations

from dataclasses import dataclass, field

__all__ = [
    "CM_OF",
    "TRAINING_MAX",
    "Amount",
    "Group",
    "Height",
    "Load",
    "Prescription",
    "Quantity",
    "Scaled",
    "Section",
    "Station",
]

CM_OF = {"cm": 1.0, "in": 2.54, "ft": 30.48, "m": 100.0}
"""Centimetres in the units of a height."""


TRAINING_MAX = "training_max"
"""What a percentage is of, where it is of a training maximum that the text does not give."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """One figure: for the heavier standard, for the lighter one where it differs, and the upper end of a range."""

    value: float
    lighter: float | None = None
    top: float | None = None

    def of(self, standard: str) -> float:
        """The figure for a standard."""
        return self.lighter if standard == "lighter" and self.lighter is not None else self.value


@dataclass(frozen=True, slots=True)
class Amount:
    """How much of a movement: per set, in the unit as written.

    `steps` holds one figure, or one for each set or rung. `continues` marks a ladder that goes on. `open` marks work
    whose amount only the score tells. `sides` is 2 where the figure is for each side.
    """

    measure: str = "reps"
    unit: str = "rep"
    steps: tuple[Quantity, ...] = ()
    sets: int = 1
    sides: int = 1
    continues: bool = False
    open: bool = False


@dataclass(frozen=True, slots=True)
class Load:
    """What is lifted, carried or worn.

    `steps` as for an amount. `unit` is kg, lb, percent, bodyweight, or empty when none was written. `count` is the
    number of implements. `of` names what a percentage is of: a movement, `result` for what was lifted before, or
    `training_max`.
    """

    steps: tuple[Quantity, ...]
    unit: str
    count: int = 1
    added: bool = False
    of: str | None = None


@dataclass(frozen=True, slots=True)
class Height:
    """Height of a box, target, rope, drop or deficit, or of the bar at the start, in the unit as written."""

    value: Quantity
    unit: str


@dataclass(frozen=True, slots=True)
class Scaled:
    """What stands in for a station in the scaled option; what is None stays as written.

    `more` holds what is done beside it, as in three pull-ups and three dips for each muscle-up.
    """

    movement: str | None = None
    ratio: float = 1.0
    amount: Amount | None = None
    load: Load | None = None
    height: Height | None = None
    more: tuple[Scaled, ...] = ()


@dataclass(frozen=True, slots=True)
class Station:
    """One movement to do.

    `when` is empty for a place in the round, `after_rep`, `after_set` or `between_sets` for work tied to the station
    before it, `each_break` for work at each break in it, which the score tells. `each_minute` is for work that
    interrupts from the start and `each_minute_later` from the first full minute.
    `own` marks work that each person of a team does in full. `level` names the one level of the session that it is
    for, by its number or name; empty is for all.
    """

    movement: str
    amount: Amount | None = None
    load: Load | None = None
    height: Height | None = None
    start_height: Height | None = None
    when: str = ""
    side: str = ""
    rpe: float | None = None
    scaled: Scaled | None = None
    own: bool = False
    level: str = ""
    start: int = field(default=0, compare=False)
    end: int = field(default=0, compare=False)
    doubtful: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class Group:
    """Stations that are done together, `rounds` times; `scheme` gives the count of stations without their own.

    `role` is empty, `buy_in` or `cash_out`. `slots` are the minutes or windows of the rotation that it fills, in
    which `of_slots` is the length of the rotation.
    """

    stations: tuple[Station, ...] = ()
    rounds: int = 1
    scheme: Amount | None = None
    role: str = ""
    slots: tuple[int, ...] = ()
    of_slots: int = 0


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the session with one clock and one score.

    `kind` is work, for_time, amrap, every, intervals or until_miss. `seconds` is the length of an AMRAP or the total of
    windows, `window` the length of one of them, `work` and `rest` the halves of an interval. `share` says how a team of
    `people` does it: empty, split, even, turns, own, or loose where only the size of the team tells.
    """

    groups: tuple[Group, ...] = ()
    kind: str = "work"
    label: str = ""
    seconds: float | None = None
    window: float | None = None
    windows: int | None = None
    work: float | None = None
    rest: float | None = None
    cap: float | None = None
    share: str = ""
    people: int = 1


@dataclass(frozen=True, slots=True)
class Prescription:
    """A whole session."""

    sections: tuple[Section, ...] = ()
