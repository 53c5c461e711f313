"""All movements together, and the tables that later stages join on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cached_property

import polars as pl

from keelmark.catalogue.heights import HeightKind, kind_of_height
from keelmark.catalogue.model import Evidence, Figure, Movement
from keelmark.catalogue.names import NameIndex
from keelmark.catalogue.posture import PostureTable, shipped_postures

__all__ = ["Catalogue"]

_AMOUNTS = (("rep", "per_rep"), ("m", "per_metre"), ("s", "per_second"))
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
            for _, table in _AMOUNTS:
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

    @cached_property
    def exposures(self) -> pl.DataFrame:
        """What one unit of each movement adds to each exposure, one row per movement, unit and exposure.

        Columns: `movement`; `per` ("rep", "m", "s" or "kcal"); `exposure`; `value`, `low`, `high` (exposure per unit).
        A row per "kcal" is the row per "m" times `metres_per_calorie`, bounds times bounds. Use one unit for an
        effort: the units of a movement describe the same work and do not add up.
        """
        rows = [
            (movement.name, per, exposure, figure.value, figure.low, figure.high)
            for movement in self.movements.values()
            for per, table in _AMOUNTS
            for exposure, figure in getattr(movement, table).items()
        ]
        rows += [
            (movement.name, "kcal", exposure, at.value * rate.value, at.low * rate.low, at.high * rate.high)
            for movement in self.movements.values()
            if (rate := movement.metres_per_calorie) is not None
            for exposure, at in movement.per_metre.items()
        ]
        schema = {"movement": pl.String, "per": pl.String, "exposure": pl.String}
        return pl.DataFrame(rows, schema={**schema, **_bounds("")}, orient="row")

    @cached_property
    def traits(self) -> pl.DataFrame:
        """What is known of each movement besides its exposures, one row per movement.

        Columns: `movement`, `category`, `implement`, `load`, `landing_class`, `high_rep`, `first_measure`,
        `rep_maximum_of`; then point, `_low` and `_high` of `rep_maximum_share`, `body_mass_share` (share of body mass),
        `seconds_per_rep` (s), `metres_per_calorie` (m per kcal) and `metres_per_second` (m/s); null where not stated.
        """
        columns: dict[str, pl.DataType | type[pl.DataType]] = {
            "movement": pl.String,
            "category": pl.String,
            "implement": pl.String,
            "load": pl.String,
            "landing_class": pl.String,
            "high_rep": pl.Boolean,
            "first_measure": pl.String,
            "rep_maximum_of": pl.String,
        }
        for rate in ("rep_maximum_share", *_RATES):
            columns |= _bounds(rate)
        rows = [_trait_row(movement) for movement in self.movements.values()]
        return pl.DataFrame(rows, schema=columns, orient="row")

    @cached_property
    def swap_table(self) -> pl.DataFrame:
        """Each swap: `movement`, `to`, `measure`, and `value`, `low`, `high` amounts of it for one of the original.

        Both are counted in `measure`, the usual one of the original.
        """
        rows = [
            (name, swap.to, movement.measures[0], swap.ratio.value, swap.ratio.low, swap.ratio.high)
            for name, movement in self.movements.items()
            for swap in movement.swaps
        ]
        schema = {"movement": pl.String, "to": pl.String, "measure": pl.String}
        return pl.DataFrame(rows, schema={**schema, **_bounds("")}, orient="row")


def _bounds(name: str) -> Mapping[str, type[pl.DataType]]:
    point, prefix = (name, f"{name}_") if name else ("value", "")
    return {point: pl.Float64, f"{prefix}low": pl.Float64, f"{prefix}high": pl.Float64}


def _trait_row(movement: Movement) -> tuple[object, ...]:
    maximum = movement.rep_maximum
    shares = [maximum.share if maximum else None, *(getattr(movement, rate) for rate in _RATES)]
    return (
        movement.name,
        movement.category,
        movement.implement,
        movement.load,
        movement.landing_class,
        movement.high_rep,
        movement.measures[0],
        maximum.of if maximum else None,
        *(part for figure in shares for part in _parts(figure)),
    )


def _parts(figure: Figure | None) -> tuple[float | None, float | None, float | None]:
    return (figure.value, figure.low, figure.high) if figure else (None, None, None)
