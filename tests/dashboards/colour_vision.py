"""How different two colours look, to eyes of every kind: colour vision without one kind of cone, and a difference."""

from __future__ import annotations

import math

import numpy as np

__all__ = ["VISIONS", "difference", "lab", "seen"]

VISIONS: dict[str, list[list[float]]] = {
    "all three cones": [[1, 0, 0], [0, 1, 0], [0, 0, 1]],
    "protanopia": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "deuteranopia": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    "tritanopia": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
}
"""Matrices on linear RGB at severity 1.0: Machado, Oliveira and Fernandes, A Physiologically-based Model for Simulation
of Color Vision Deficiency, IEEE Transactions on Visualization and Computer Graphics 15 (2009), 1291-1298,
https://doi.org/10.1109/TVCG.2009.113, table of the matrices for protanomaly, deuteranomaly and tritanomaly."""

_TO_XYZ = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)
"""Linear sRGB to CIE XYZ under D65: IEC 61966-2-1."""
_WHITE = _TO_XYZ @ np.ones(3)
_FAR = 25.0**7


def seen(colour: str, vision: str) -> np.ndarray:
    """Linear RGB of a colour written as #rrggbb, as an eye of that kind tells it apart."""
    parts = np.array([int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)])
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    return np.clip(np.array(VISIONS[vision]) @ linear, 0, 1)


def lab(linear: np.ndarray) -> tuple[float, float, float]:
    """CIE L*a*b* of linear RGB (CIE 15)."""
    share = _TO_XYZ @ linear / _WHITE
    x, y, z = np.where(share > (6 / 29) ** 3, np.cbrt(share), share / (3 * (6 / 29) ** 2) + 4 / 29)
    return float(116 * y - 16), float(500 * (x - y)), float(200 * (y - z))


def difference(one: tuple[float, float, float], other: tuple[float, float, float]) -> float:
    """CIEDE2000 of two colours in L*a*b*; about 1 is the least that can be told apart side by side.

    Equations and test data: Sharma, Wu and Dalal, The CIEDE2000 color-difference formula, Color Research and
    Application 30 (2005), 21-30, https://doi.org/10.1002/col.20070.
    """
    (l1, a1, b1), (l2, a2, b2) = one, other
    chroma = (math.hypot(a1, b1) + math.hypot(a2, b2)) / 2
    grey = 0.5 * (1 - math.sqrt(chroma**7 / (chroma**7 + _FAR)))
    a1, a2 = (1 + grey) * a1, (1 + grey) * a2
    c1, c2 = math.hypot(a1, b1), math.hypot(a2, b2)
    h1, h2 = (math.degrees(math.atan2(b, a)) % 360 for a, b in ((a1, b1), (a2, b2)))
    turn = 0.0 if c1 * c2 == 0 else (h2 - h1 + 180) % 360 - 180
    hue = h1 + h2 if c1 * c2 == 0 else (h1 + turn / 2) % 360
    light, rich = (l1 + l2) / 2, (c1 + c2) / 2
    wave = (
        1
        - 0.17 * math.cos(math.radians(hue - 30))
        + 0.24 * math.cos(math.radians(2 * hue))
        + 0.32 * math.cos(math.radians(3 * hue + 6))
        - 0.20 * math.cos(math.radians(4 * hue - 63))
    )
    of_light = (l2 - l1) / (1 + 0.015 * (light - 50) ** 2 / math.sqrt(20 + (light - 50) ** 2))
    of_chroma = (c2 - c1) / (1 + 0.045 * rich)
    of_hue = 2 * math.sqrt(c1 * c2) * math.sin(math.radians(turn / 2)) / (1 + 0.015 * rich * wave)
    bend = math.sin(math.radians(60 * math.exp(-(((hue - 275) / 25) ** 2))))
    together = -bend * 2 * math.sqrt(rich**7 / (rich**7 + _FAR)) * of_chroma * of_hue
    return math.sqrt(of_light**2 + of_chroma**2 + of_hue**2 + together)
