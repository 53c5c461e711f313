"""What one unit of each amount adds to each channel, as small matrices."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
import polars as pl
from numpy.typing import NDArray

from keelmark.contracts.channels import CHANNELS
from keelmark.dose.routes import MEASURES

__all__ = ["LOADS", "Units", "units_of"]

LOADS = ("needs", "may", "never")
"""Whether a movement is done with an external load, as the catalogue says."""

Array = NDArray[np.float64]
Numbers = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Units:
    """Matrices over the kinds of efforts (a movement with the amounts given for it) and the channels that they feed.

    Parameters
    ----------
    channels : tuple of str
        Channels that any kind feeds, in the order of the contract.
    kinds : int
        Number of kinds.
    counts : array, shape (3 x kinds, channel)
        What an effort of a kind, with its load carried, none or not known, counts for: 1 where it feeds the channel,
        `unknown_unit` where it should feed it by something that is not known, else 0.
    units : dict
        Shape (kind, channel) by measure, bound and whether it is multiplied by the load; columns that feed nothing
        are left out, with the numbers of those that stay.
    """

    unknown_unit: ClassVar[float] = float(2**26)

    channels: tuple[str, ...]
    kinds: int
    counts: Array
    units: dict[tuple[str, str, bool], tuple[Numbers, Array]]

    def matrix(self, measure: str, bound: str, times_load: bool) -> tuple[Numbers, Array]:
        """Channels fed by a measure, and what one unit of it adds to them."""
        return self.units[measure, bound, times_load]


def units_of(routes: pl.DataFrame, kinds: int) -> Units:
    """Lay out the routes of a log.

    Parameters
    ----------
    routes : DataFrame
        `route_table` with `kind`, the number of each movement with its given amounts.
    kinds : int
        Number of kinds.
    """
    present = set(routes["channel"])
    channels = tuple(channel.key for channel in CHANNELS if channel.key in present)
    place = pl.col("channel").replace_strict({key: n for n, key in enumerate(channels)}, return_dtype=pl.Int64)
    placed = routes.with_columns(place=place)
    shape = (kinds, len(channels))
    return Units(channels, kinds, _counts(placed, shape), _units(placed, shape))


def _units(placed: pl.DataFrame, shape: tuple[int, int]) -> dict[tuple[str, str, bool], tuple[Numbers, Array]]:
    kind, place = (placed[name].to_numpy() for name in ("kind", "place"))
    measured, loaded = placed["measure"].to_list(), placed["times_load"].to_numpy()
    of = np.array([MEASURES.index(measure) if measure else -1 for measure in measured])
    found = {}
    for number, measure in enumerate(MEASURES):
        for times_load in (False, True):
            rows = (of == number) & (loaded == times_load)
            columns = np.unique(place[rows])
            for bound in ("value", "low", "high"):
                matrix = np.zeros(shape)
                matrix[kind[rows], place[rows]] = placed[f"unit_{bound}"].to_numpy()[rows]
                found[measure, bound, times_load] = (columns, np.ascontiguousarray(matrix[:, columns]))
    return found


def _counts(placed: pl.DataFrame, shape: tuple[int, int]) -> Array:
    """Reps without a load are a known tonnage of zero, and so is work that is never counted in reps."""
    known = pl.col("measure").is_not_null()
    tonnage = pl.col("channel") == "tonnage"
    no_tonnage = tonnage & (pl.col("unit_high") == 0).fill_null(False)
    lost = pl.lit(Units.unknown_unit)
    by_route = pl.when(known).then(1.0).otherwise(lost)
    in_kg = pl.col("times_load")
    rows = placed.select(
        "kind",
        "place",
        carried=pl.when(no_tonnage).then(1.0).otherwise(by_route),
        none=pl.when(~in_kg).then(by_route).when(tonnage).then(1.0).otherwise(0.0),
        unknown=pl.when(~in_kg).then(by_route).when(no_tonnage).then(1.0).otherwise(lost),
    )
    counts = np.zeros((shape[0], 3, shape[1]))
    for state, name in enumerate(("carried", "none", "unknown")):
        counts[rows["kind"].to_numpy(), state, rows["place"].to_numpy()] = rows[name].to_numpy()
    return counts.reshape(3 * shape[0], shape[1])
