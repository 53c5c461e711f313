"""The tree while it is being built: the same shapes, still open to change."""

from __future__ import annotations

from dataclasses import dataclass, field

from keelmark.notation.tree import Amount, Height, Load, Quantity, Scaled

__all__ = ["GroupDraft", "SectionDraft", "StationDraft"]


@dataclass(slots=True)
class StationDraft:
    """A station that may still be given its amount, load or height."""

    movement: str
    start: int
    end: int
    line: int
    amount: Amount | None = None
    load: Load | None = None
    height: Height | None = None
    start_height: Height | None = None
    when: str = ""
    side: str = ""
    rpe: float | None = None
    scaled: Scaled | None = None
    word: str = ""
    generic: bool = False
    implement: str = ""
    per_hand: bool = False
    joined: str = ""
    words_sets: bool = False
    rise: tuple[float, str] | tuple[float, str, int] | None = None
    start_load: Load | None = None
    dropped: bool = False
    own: bool = False
    loose: bool = False
    uncounted: bool = False
    effortless: bool = False
    needs_load: bool = False
    builds: bool = False
    unvested: bool = False
    odd_words: tuple[int, int] | None = None
    skill: bool = False
    same: str = ""
    nothing: bool = False
    segment: int = 0
    told_times: bool = False
    in_calories: bool = False
    parts: tuple[float, ...] = ()
    after_every: float = 0.0
    after_sets: int = 0
    between_rounds: bool = False
    is_hold: bool = False
    after_way: float = 0.0
    opens_round: bool = False
    tied_to: str = ""
    ahead: bool = False
    own_listed: bool = False
    stands_for: StationDraft | None = None
    level: str = ""


@dataclass(slots=True)
class GroupDraft:
    """A group that is still being filled."""

    stations: list[StationDraft] = field(default_factory=list)
    rounds: int = 1
    scheme: Amount | None = None
    scheme_at: tuple[int, int] = (0, 0)
    role: str = ""
    slots: tuple[int, ...] = ()
    parity: str = ""
    per_side: bool = False
    load: Load | None = None
    implement: str = ""
    bare: list[Amount] = field(default_factory=list)
    inline: int = -1
    closed: bool = False
    dropped: bool = False
    resting: bool = False
    rest: float = 0.0
    commas: bool = False
    load_for_all: Load | None = None
    start_load: Load | None = None
    rise: tuple[float, str] | tuple[float, str, int] | None = None
    ones: bool = False
    waves: bool = False
    range: Quantity | None = None


@dataclass(slots=True)
class SectionDraft:
    """A section that is still being filled."""

    kind: str = "work"
    label: str = ""
    groups: list[GroupDraft] = field(default_factory=list)
    seconds: float | None = None
    clock: float | None = None
    window: float | None = None
    windows: int | None = None
    work: float | None = None
    rest: float | None = None
    cap: float | None = None
    alternate: bool = False
    continues: bool = False
    headed: bool = False
    start: int = 0
    end: int = 0
    emom: bool = False
    share: str = ""
    numbered: bool = False
    repeats: int = 1
    dropped: bool = False
    ladder: bool = False
    around: bool = False
    rounds_ahead: int = 1
    paused: bool = False
    grows: float = 0.0

    @property
    def fresh(self) -> bool:
        """Nothing to do in it yet."""
        return not any(group.stations or group.slots or group.parity or group.bare for group in self.groups)
