"""How each movement holds trunk and load at the instant that loads the back most, or why it does not load it."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from importlib.resources import files
from typing import Annotated, Any, Literal, TypeVar

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from keelmark.catalogue.model import Figure
from keelmark.contracts.errors import CatalogueError
from keelmark.contracts.toml_text import read_toml

__all__ = ["POSTURE_TABLES", "Family", "Hands", "Kind", "PostureTable", "Unloaded", "read_postures", "shipped_postures"]

POSTURE_TABLES = ("family", "unloaded", "hands")
"""Names of the lists of tables that hold postures in a TOML file."""

Kind = Literal["stated", "pull", "squat", "published"]
HeightRole = Literal["none", "deficit", "box", "drop"]
Name = Annotated[str, Field(pattern=r"^[a-z0-9]+(_[a-z0-9]+)*$")]
Model = TypeVar("Model", bound=BaseModel)

_NEEDED: dict[str, tuple[str, ...]] = {
    "stated": ("inclination_deg", "dynamic"),
    "pull": ("start_height_cm", "shank_tilt_deg", "shoulder_ahead_m", "dynamic"),
    "squat": ("thigh_deg", "shank_tilt_deg", "dynamic"),
    "published": ("compression_n", "reference_mass_kg"),
}


_BELIEVED: dict[str, tuple[float, float]] = {
    "inclination_deg": (-30, 120),
    "shank_tilt_deg": (-30, 60),
    "thigh_deg": (-60, 90),
    "shoulder_ahead_m": (-0.4, 0.4),
    "load_forward_m": (-0.6, 1.2),
    "load_along": (0, 3),
    "arm_drop": (0.3, 1),
    "thigh_share": (0.3, 1),
    "start_height_cm": (0, 150),
    "deficit_cm": (0, 60),
    "load_share": (0, 6),
    "body_load_share": (0, 3),
    "upper_share": (0, 1),
    "dynamic": (0.5, 12),
    "compression_n": (0, 30_000),
    "reference_mass_kg": (20, 300),
    "seconds": (0.05, 120),
    "mean_share": (0, 1),
    "cycles_per_rep": (0, 100),
    "cycles_per_metre": (0, 20),
    "cycles_per_second": (0, 20),
}
"""Bounds between which figures of a posture are believed, wide on purpose (judgement); what lies outside is most often
in another unit."""


class _Entry(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Family(_Entry):
    """A way of holding the trunk and the load, and the movements that share it.

    `kind` says where the trunk inclination comes from: `stated` as a figure, `pull` from the bar's height and the
    lengths of the limbs, `squat` from the height of the hip and the lengths of the limbs, `published` when measured
    compression is taken instead of a moment. `cycles_per_rep` counts how often one written rep loads the back;
    carries, strokes and holds state cycles per metre or second. `seconds` is the time of one cycle and `mean_share`
    the mean moment over that time as a share of its peak.
    """

    name: Name
    label: str
    instant: str
    kind: Kind
    movements: tuple[Name, ...] = Field(min_length=1)
    arms: Literal["hanging", "at_chest", "overhead"] = "hanging"
    inclination_deg: Figure | None = None
    shank_tilt_deg: Figure | None = None
    shoulder_ahead_m: Figure | None = None
    arm_drop: Figure | None = None
    thigh_share: Figure | None = None
    thigh_deg: Figure | None = None
    start_height_cm: Figure | None = None
    deficit_cm: Figure | None = None
    height_role: HeightRole = "none"
    load_along: Figure | None = None
    load_forward_m: Figure | None = None
    load_share: Figure | None = None
    body_load_share: Figure | None = None
    upper_share: Figure | None = None
    dynamic: Figure | None = None
    impact: bool = False
    compression_n: Figure | None = None
    reference_mass_kg: Figure | None = None
    seconds: Figure
    mean_share: Figure
    static: bool = False
    cycles_per_rep: Figure | None = None
    cycles_per_metre: Figure | None = None
    cycles_per_second: Figure | None = None
    note: str | None = None

    @model_validator(mode="after")
    def _complete(self) -> Family:
        missing = [name for name in _NEEDED[self.kind] if getattr(self, name) is None]
        if missing:
            message = f"kind {self.kind} needs {', '.join(missing)}"
            raise ValueError(message)
        for name, figure in self.figures().items():
            least, most = _BELIEVED[name]
            if not least <= figure.low <= figure.high <= most:
                message = (
                    f"{name} of {figure.low:g} to {figure.high:g} is not believed: it lies between {least:g} and "
                    f"{most:g}; check its unit"
                )
                raise ValueError(message)
        return self

    def figures(self) -> dict[str, Figure]:
        """Every figure of the family that is stated, by field."""
        return {name: value for name, value in self if isinstance(value, Figure)}


class Unloaded(_Entry):
    """Movements that are not counted as loading the lumbar spine, and why."""

    reason: str = Field(min_length=10)
    movements: tuple[Name, ...] = Field(min_length=1)


class Hands(_Entry):
    """Movements in which the hands hold a share of body mass besides the load, and whether the body hangs from them."""

    label: str
    body_share: Figure
    hangs: bool = False
    movements: tuple[Name, ...] = Field(min_length=1)


class PostureTable:
    """Posture families by movement, the movements that have none with the reason, and what hands hold."""

    def __init__(self, families: Iterable[Family], unloaded: Iterable[Unloaded], hands: Iterable[Hands] = ()) -> None:
        self.hands = {movement: group for group in hands for movement in group.movements}
        self.families: dict[str, Family] = {}
        for family in families:
            self._name(family)
        self.family_of: dict[str, Family] = {}
        self.unloaded: dict[str, str] = {}
        for family in self.families.values():
            for movement in family.movements:
                self._claim(movement, family.name)
                self.family_of[movement] = family
        for group in unloaded:
            for movement in group.movements:
                self._claim(movement, "the movements that do not load the back")
                self.unloaded[movement] = group.reason

    def __contains__(self, movement: object) -> bool:
        return movement in self.family_of or movement in self.unloaded

    def hands_of(self, movement: str, like: Iterable[str] = ()) -> Hands | None:
        """What the hands hold in a movement; a squad's own movement takes it from what it is like."""
        return next((self.hands[name] for name in (movement, *like) if name in self.hands), None)

    @property
    def movements(self) -> frozenset[str]:
        """Every movement that the table says something about."""
        return frozenset(self.family_of) | frozenset(self.unloaded) | frozenset(self.hands)

    def with_own(self, own: PostureTable) -> PostureTable:
        """This table with a squad's own entries over it: a movement that they name goes by them alone.

        Parameters
        ----------
        own : PostureTable
            Families, unloaded movements and hands of the squad.

        Raises
        ------
        CatalogueError
            When an own family has the name of one that is here already.
        """
        merged = PostureTable((), ())
        for family in (*self.families.values(), *own.families.values()):
            merged._name(family)
        told = own.family_of.keys() | own.unloaded.keys()
        merged.family_of = {key: held for key, held in self.family_of.items() if key not in told} | own.family_of
        merged.unloaded = {key: why for key, why in self.unloaded.items() if key not in told} | own.unloaded
        merged.hands = self.hands | own.hands
        return merged

    def _name(self, family: Family) -> None:
        if family.name in self.families:
            raise CatalogueError(
                f"there are two posture families called {family.name}",
                where="posture table",
                wanted="a name of its own for each family",
                remedy="give one of them another name; its movements go by the squad's own entry",
            )
        self.families[family.name] = family

    def _claim(self, movement: str, claimant: str) -> None:
        if movement not in self:
            return
        holder = (
            self.family_of[movement].name if movement in self.family_of else "the movements that do not load the back"
        )
        raise CatalogueError(
            f"{movement} is listed under {holder} and again under {claimant}",
            where="posture table",
            wanted="each movement in one place",
            remedy="delete one of the two",
        )


def read_postures(texts: Iterable[tuple[str, str]], under: PostureTable | None = None) -> PostureTable:
    """A posture table from TOML texts, each with the name of its file.

    Parameters
    ----------
    texts : iterable of (file, text)
        Lists `[[family]]`, `[[unloaded]]` and `[[hands]]`.
    under : PostureTable, optional
        Families that an entry may be `like`; it takes from there what it does not state itself.

    Raises
    ------
    CatalogueError
        When an entry is not complete, a figure is not in order, or a movement stands in two places.
    """
    families: list[Family] = []
    unloaded: list[Unloaded] = []
    hands: list[Hands] = []
    for file, text in texts:
        try:
            data = read_toml(text)
        except ValueError as error:
            raise CatalogueError(
                f"not TOML: {error}", where=file, wanted="a posture file", remedy="mend the line named"
            ) from error
        families += [_validated(Family, _filled(entry, under, file), file) for entry in data.get("family", [])]
        unloaded += [_validated(Unloaded, entry, file) for entry in data.get("unloaded", [])]
        hands += [_validated(Hands, entry, file) for entry in data.get("hands", [])]
    return PostureTable(families, unloaded, hands)


@cache
def shipped_postures() -> PostureTable:
    """The posture table inside the package."""
    folder = files("keelmark.catalogue") / "postures"
    entries = sorted((entry for entry in folder.iterdir() if entry.name.endswith(".toml")), key=lambda e: e.name)
    return read_postures((entry.name, entry.read_text(encoding="utf-8")) for entry in entries)


def _filled(entry: dict[str, Any], under: PostureTable | None, file: str) -> dict[str, Any]:
    """The entry with what it takes from the family that it is like."""
    if "like" not in entry:
        return entry
    known = under.families if under else {}
    if entry["like"] not in known:
        raise CatalogueError(
            f"like names {entry['like']!r}, which is no posture family",
            where=f"{file}, family {entry.get('name', '')}".strip(),
            wanted=f"one of {', '.join(sorted(known)) or 'none: there are no families to be like'}",
            remedy="mend the spelling, or state the figures and take the line out",
        )
    taken = known[entry["like"]].model_dump(exclude={"name", "movements"}, exclude_none=True)
    return taken | {key: value for key, value in entry.items() if key != "like"}


def _validated(model: type[Model], entry: dict[str, Any], file: str) -> Model:
    try:
        return model.model_validate(entry)
    except ValidationError as error:
        first = error.errors()[0]
        field = f" ({'.'.join(str(part) for part in first['loc'])})" if first["loc"] else ""
        raise CatalogueError(
            f"{first['msg'].removeprefix('Value error, ')}{field}",
            where=f"{file}, {model.__name__.lower()} {entry.get('name', '')}".strip(),
            wanted="a complete entry with believable figures in rising order",
            remedy="mend that field",
        ) from error
