"""How many repetitions tissue bore in the laboratory at a given share of its strength. For ranking only."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
import polars as pl
from numpy.typing import NDArray

__all__ = [
    "FIT_END",
    "MOMENT_CAP",
    "SPINE_CYCLES",
    "STRENGTH_KN",
    "damage",
    "share_of_strength_from_compression",
    "share_of_strength_from_moment",
    "spine_cycles",
    "spine_damage_per_rep",
    "tendon_cycles",
]

Number = TypeVar("Number", NDArray[np.float64], pl.Expr)

SPINE_CYCLES = 902_416.0
"""Cycles the fitted law extrapolates to at no load (Gallagher 2017)."""

STRENGTH_KN = 6.0
"""Ultimate strength of an average lumbar spine in compression [kN] (Gallagher 2017)."""

FIT_END = 70.0
"""End of the range to which the law was fitted [% of strength]; larger shares count as this one."""

MOMENT_CAP = (0.162 * FIT_END - 0.32) / 0.038
"""Moment that stands for the end of the fit [N m]."""


def spine_cycles(share_of_strength: Number) -> Number:
    """Cycles a lumbar motion segment bore in the laboratory.

    Scope: cadaver segments, fitted between 20 and 70 % of ultimate strength (about 6 kN). Living tissue repairs itself.

    Parameters
    ----------
    share_of_strength : array or expression [%]
        Compression in percent of ultimate strength.

    Returns
    -------
    same kind [cycle]

    Notes
    -----
    N = 902416 exp(-0.162 S)

    References
    ----------
    Gallagher S, Sesek RF, Schall MC, Huangfu R. Applied Ergonomics 2017;63:142-150, doi:10.1016/j.apergo.2017.04.016.
    """
    return SPINE_CYCLES * _exp(-0.162 * share_of_strength)


def share_of_strength_from_moment(moment: Number) -> Number:
    """Share of strength that the moment form of the law stands for.

    Parameters
    ----------
    moment : array or expression [N m]
        Moment of the load about the lumbar spine.

    Returns
    -------
    same kind [%]

    Notes
    -----
    S = (0.038 M + 0.32) / 0.162

    References
    ----------
    Follows from Zelik KE et al. Appl Ergon 2022;99:103619, eq. 1 (secondary copy), set equal to `spine_cycles`.
    """
    return (0.038 * moment + 0.32) / 0.162


def share_of_strength_from_compression(compression_kn: Number) -> Number:
    """Compression as a share of the strength of an average lumbar spine.

    Parameters
    ----------
    compression_kn : array or expression [kN]
        Compression of the rep.

    Returns
    -------
    same kind [%]

    Notes
    -----
    S = 100 C / 6 kN

    References
    ----------
    Gallagher S et al. Applied Ergonomics 2017;63:142-150 (secondary copy).
    """
    return 100.0 * compression_kn / STRENGTH_KN


def spine_damage_per_rep(share_of_strength: Number, cap: float = FIT_END) -> Number:
    """Share of the laboratory cycles that one rep uses up.

    Scope: meant for moderate moments (the authors urge caution above 100 N m); beyond the fitted range it explodes, so
    the share of strength is capped. Good for ranking one athlete's weeks, for nothing else.

    Parameters
    ----------
    share_of_strength : array or expression [%]
        From moment or compression; negative counts as none.
    cap : float [%]
        Larger shares count as this one.

    Returns
    -------
    same kind [index per rep]

    Notes
    -----
    D = 1 / N(S); with S from the moment this is D = exp(0.038 M + 0.32) / 902416.

    References
    ----------
    Zelik KE, Nurse CA, Schall MC, Sesek RF, Marino MC, Gallagher S. Appl Ergon 2022;99:103619, eq. 1 (secondary copy);
    Gallagher S et al. 2017 for the constant.
    """
    return 1.0 / spine_cycles(share_of_strength.clip(0.0, cap))


def tendon_cycles(share_of_strength: float) -> float:
    """Cycles a finger extensor tendon bore in the laboratory.

    Parameters
    ----------
    share_of_strength : float [%]
        Stress in percent of ultimate tensile strength, 0 to 100.

    Returns
    -------
    float [cycle]

    Notes
    -----
    S = 101.25 - 14.83 log10 N, solved for N.

    References
    ----------
    Schechtman H, Bader DL. J Biomech 1997;30(8):829-835.
    """
    return float(10.0 ** ((101.25 - share_of_strength) / 14.83))


def damage(reps: NDArray[np.float64], cycles: NDArray[np.float64]) -> float:
    """Sum of the shares used up, by the linear rule of Palmgren and Miner.

    Parameters
    ----------
    reps, cycles : array [rep], [cycle]
        Reps done and cycles borne at each level.

    Returns
    -------
    float [index]

    Notes
    -----
    D = sum(n_i / N_i)

    References
    ----------
    Palmgren 1924 and Miner 1945 (from memory); used so by Gallagher S et al. 2017.
    """
    return float(np.sum(np.asarray(reps) / np.asarray(cycles)))


def _exp(power: Number) -> Number:
    return power.exp() if isinstance(power, pl.Expr) else np.exp(power)
