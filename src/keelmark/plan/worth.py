"""Which versions cannot help an athlete: whatever else is chosen, the board as written is at least as good.

Such a version is left out before the solver begins. The optimum stays where it is, and what is left is solved sooner.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["worth_a_change"]

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]


def worth_a_change(
    cost: list[Array], dose: list[Array], mark: Array, limit: Array, peak: Mask, weight: float
) -> list[Mask]:
    """For each session, which versions may be part of one athlete's best choice; the board always may.

    Parameters
    ----------
    cost : list of arrays, shape (version,)
        Distance from what is meant; version 0 is the board, at 0.
    dose : list of arrays, shape (version, channel)
        What a version adds for the athlete; NaN where it is not known.
    mark, limit : arrays, shape (channel,)
        Upper marks and agreed limits; infinite where there is none.
    peak : bool array, shape (channel,)
        Channels that do not add up.
    weight : float
        Price of an amount of twice the mark.

    Notes
    -----
    Doing the board instead of a version saves its cost. It adds to a channel what the version takes off the board, and
    so to the price at most that share of the mark, and at most what lies above the mark when every other session asks
    the most it may. Where the saving is no less, and the version lowers nothing that is limited, it is left out.
    """
    known = [np.nan_to_num(table, nan=0.0) for table in dose]
    limited, priced = np.isfinite(limit), np.isfinite(mark) & (mark > 0)
    scale = np.where(priced, mark, np.inf)
    kept = [np.ones(len(one), dtype=bool) for one in cost]
    needed = [_lowers_a_limited(table, limited) for table in dose]
    while True:
        most = np.stack([table[keep].max(axis=0) for table, keep in zip(known, kept, strict=True)])
        changed = False
        for session, table in enumerate(known):
            others = np.where(peak, 0.0, most.sum(axis=0) - most[session])
            above = np.maximum((others + table[0]) / scale - 1.0, 0.0)
            spared = np.minimum(np.maximum(table[0] - table, 0.0) / scale, above)
            helps = needed[session] | (weight * spared.sum(axis=1) > cost[session])
            helps[0] = True
            changed = changed or bool((kept[session] & ~helps).any())
            kept[session] &= helps
        if not changed:
            return kept


def _lowers_a_limited(dose: Array, limited: Mask) -> Mask:
    """Versions that ask less than the board of something limited, or of which, or of the board, it is not known."""
    table = dose[:, limited]
    return np.asarray((~(table >= table[0])).any(axis=1), dtype=np.bool_)
