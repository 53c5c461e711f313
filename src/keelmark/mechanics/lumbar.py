"""Moment, compression and shear at the lowest lumbar joint: sagittal, at the instant that loads the back most."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["EXTENSOR_ARM_M", "GRAVITY", "compression", "extension_moment", "shear", "traction"]

Array = NDArray[np.floating[Any]]

GRAVITY = 9.81
"""Acceleration of free fall [m/s2]."""

EXTENSOR_ARM_M = (0.05, 0.06, 0.07)
"""Arm of the back extensors about the lowest lumbar joints [m]: low, central, high. The classic single-muscle figure is
5 cm (published, Gungor 2013, who calls it over-simple); 5 to 7 cm from imaging (Jorgensen 2001, means from memory)."""


def extension_moment(upper_mass: Array, upper_arm: Array, load: Array, load_arm: Array, dynamic: Array) -> Array:
    """Moment that the back extensors must balance.

    Scope: quasi-static; speed enters only through the dynamic factor. Sagittal: twisting is not described.

    Parameters
    ----------
    upper_mass, load : array [kg]
        Mass above the joint; external load.
    upper_arm, load_arm : array [m]
        Horizontal distance of each from the joint.
    dynamic : array
        Factor for acceleration, 1 when held still.

    Returns
    -------
    array [N m]

    Notes
    -----
    M = g (m_upper d_upper + L d_load) k

    References
    ----------
    Statics of one joint.
    """
    return GRAVITY * (upper_mass * upper_arm + load * load_arm) * dynamic


def compression(
    moment: Array, extensor_arm: Array, upper_mass: Array, load: Array, inclination: Array, axial: Array
) -> Array:
    """Force that presses the lowest lumbar joint along the trunk.

    Scope: one extensor pulling along the trunk; belly pressure and co-contraction are left out, the first lowers and
    the second raises the figure.

    Parameters
    ----------
    moment : array [N m]
        Extension moment.
    extensor_arm : array [m]
        Arm of the back extensors, 0.05 to 0.07.
    upper_mass, load : array [kg]
        Mass above the joint; external load.
    inclination : array [rad]
        Trunk inclination from vertical.
    axial : array
        Factor on the weight itself: 1 except for landings, where the whole body is braked.

    Returns
    -------
    array [N]

    Notes
    -----
    C = M / r + n g (m_upper + L) cos(theta)

    References
    ----------
    Statics of one joint with one muscle. Arm of the extensors: Gungor C, dissertation, Auburn University 2013;
    Jorgensen MJ et al. Clin Biomech 2001;16:182-193 (means from memory).
    """
    return moment / extensor_arm + axial * GRAVITY * (upper_mass + load) * np.cos(inclination)


def shear(upper_mass: Array, load: Array, inclination: Array, axial: Array) -> Array:
    """Force across the trunk at the joint before muscles are counted (reaction shear).

    Scope: extensors that run obliquely take part of it up; a rounded back lets them take less. Posterior shear, as in a
    swing, is not described.

    Parameters
    ----------
    upper_mass, load : array [kg]
        Mass above the joint; external load.
    inclination : array [rad]
        Trunk inclination from vertical.
    axial : array
        Factor on the weight, as in `compression`.

    Returns
    -------
    array [N]

    Notes
    -----
    S = n g (m_upper + L) sin(theta)

    References
    ----------
    Statics of one joint.
    """
    return axial * GRAVITY * (upper_mass + load) * np.sin(inclination)


def traction(body_mass: Array, upper_share: Array, body_share: Array) -> Array:
    """Force with which hanging pelvis and legs pull the lowest lumbar joint apart.

    Scope: hanging still from the hands. Swinging raises the pull, muscles that hold the trunk together take it up; it
    is told beside compression and never taken off it.

    Parameters
    ----------
    body_mass : array [kg]
        Body mass.
    upper_share : array
        Share of body mass above the joint.
    body_share : array
        Share of the body that hangs from the hands, 1 when the feet are free.

    Returns
    -------
    array [N]

    Notes
    -----
    T = g max(b - s, 0) m, with b the share that hangs and s the share above the joint.

    References
    ----------
    Statics of a hanging body; shares of mass from de Leva 1996.
    """
    return GRAVITY * np.maximum(body_share - upper_share, 0.0) * body_mass
