"""All movements together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from functools import cached_property

from keelmark.catalogue.heights import HeightKind, kind_of_height
from keelmark.catalogue.model import Evidence, Figure, Movement
from keelmark.catalogue.names import NameIndex
from keelmark.catalogue.posture import PostureTable, shipped_postures

__all__ = ["Catalogue"]

_AMOUNTS = ("per_rep", "per_metre", "per_second")
_RATES = ("body_mass_share", "seconds_per_rep", "metres_per_calorie", "metres_per_second")


class Catalogue:
    """All movements by canonical name, and the index of the names that people write for them.

    Parameters
    ----------
    movements : dict of str to Movement
        By canonical name.
    names : NameIndex
        What people call them.
    own_postures : PostureTable, optional
        A squad's own postures, laid over the shipped ones.
    """

    def __init__(
        self, movements: dict[str, Movement], names: NameIndex, own_postures: PostureTable | None = None
    ) -> None:
        self.movements = movements
        self.names = names
        self._own_postures = own_postures

    def __getitem__(self, name: str) -> Movement:
        return self.movements[name]

    def __contains__(self, name: object) -> bool:
        return name in self.movements

    def __iter__(self) -> Iterator[str]:
        return iter(self.movements)

    def __len__(self) -> int:
        return len(self.movements)

    @cached_property
    def postures(self) -> PostureTable:
        """How each movement holds trunk and load: the shipped table with the squad's own entries over it."""
        shipped = shipped_postures()
        return shipped if self._own_postures is None else shipped.with_own(self._own_postures)

    def height_kind(self, name: str) -> HeightKind:
        """What a height written beside a movement stands for, with its bounds."""
        return kind_of_height(name, lambda asked: self.movements[asked].like if asked in self.movements else ())

    def opposing(self, name: str) -> tuple[str, ...]:
        """Movements of the opposing pattern: those that this one names and those that name this one, sorted."""
        named = set(self.movements[name].opposes)
        naming = {other.name for other in self.movements.values() if name in other.opposes}
        return tuple(sorted(named | naming))

    def figures(self) -> Iterator[tuple[str, str, Figure]]:
        """Each number of the catalogue as movement, field and figure."""
        for movement in self.movements.values():
            for rate in _RATES:
                figure = getattr(movement, rate)
                if figure is not None:
                    yield movement.name, rate, figure
            for table in _AMOUNTS:
                for exposure, figure in getattr(movement, table).items():
                    yield movement.name, f"{table}.{exposure}", figure
            for swap in movement.swaps:
                yield movement.name, f"swaps.{swap.to}", swap.ratio
            if movement.rep_maximum is not None:
                yield movement.name, "rep_maximum.share", movement.rep_maximum.share

    def evidence_tally(self) -> dict[Evidence, int]:
        """How many numbers rest on each kind of evidence."""
        counts = Counter(figure.evidence for _, _, figure in self.figures())
        return {"published": counts["published"], "derived": counts["derived"], "judgement": counts["judgement"]}
