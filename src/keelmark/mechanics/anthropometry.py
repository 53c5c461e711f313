"""How heavy and how long the parts of a body are, from body mass, stature and sex."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from keelmark.contracts.errors import MechanicsError

__all__ = [
    "ADULT_MASS_KG",
    "ADULT_STATURE_CM",
    "BODY_MASS_LIMITS_KG",
    "BODY_MASS_REMEDY",
    "DE_LEVA",
    "SEGMENT_LENGTHS",
    "STATURE_LIMITS_CM",
    "STATURE_REMEDY",
    "WINTER",
    "Arms",
    "Body",
    "Range",
    "Segment",
    "Sex",
    "body_of",
    "upper_body_centre",
    "upper_body_share",
]

Sex = Literal["female", "male"]
Arms = Literal["hanging", "at_chest", "overhead"]


@dataclass(frozen=True, slots=True)
class Segment:
    """Mass as a share of body mass; centre of mass as a share of segment length from its first end."""

    mass: float
    centre: float


@dataclass(frozen=True, slots=True)
class Range:
    """A central figure and the range it may lie in."""

    value: float
    low: float
    high: float

    @property
    def known(self) -> bool:
        """Whether the range has no width."""
        return self.low == self.high


WINTER: dict[str, Segment] = {
    "hand": Segment(0.006, 0.506),
    "forearm": Segment(0.016, 0.430),
    "upper_arm": Segment(0.028, 0.436),
    "forearm_and_hand": Segment(0.022, 0.682),
    "total_arm": Segment(0.050, 0.530),
    "foot": Segment(0.0145, 0.50),
    "leg": Segment(0.0465, 0.433),
    "thigh": Segment(0.100, 0.433),
    "foot_and_leg": Segment(0.061, 0.606),
    "total_leg": Segment(0.161, 0.447),
    "head_and_neck": Segment(0.081, 1.0),
    "thorax": Segment(0.216, 0.82),
    "abdomen": Segment(0.139, 0.44),
    "pelvis": Segment(0.142, 0.105),
    "trunk": Segment(0.497, 0.50),
    "trunk_head_neck": Segment(0.578, 0.66),
    "head_arms_trunk": Segment(0.678, 0.626),
    "thorax_and_abdomen": Segment(0.355, 0.63),
    "abdomen_and_pelvis": Segment(0.281, 0.27),
}
"""Winter DA. Biomechanics and Motor Control of Human Movement, 4th ed., Wiley 2009 (after Dempster); read in a
secondary copy. Centres are measured from the proximal end; the trunk's from the greater trochanter."""

DE_LEVA: dict[Sex, dict[str, Segment]] = {
    "male": {
        "head": Segment(0.0694, 0.5976),
        "trunk": Segment(0.4346, 0.4486),
        "upper_trunk": Segment(0.1596, 0.2999),
        "middle_trunk": Segment(0.1633, 0.4502),
        "lower_trunk": Segment(0.1117, 0.6115),
        "upper_arm": Segment(0.0271, 0.5772),
        "forearm": Segment(0.0162, 0.4574),
        "hand": Segment(0.0061, 0.7900),
        "thigh": Segment(0.1416, 0.4095),
        "shank": Segment(0.0433, 0.4395),
        "foot": Segment(0.0137, 0.4415),
    },
    "female": {
        "head": Segment(0.0668, 0.5894),
        "trunk": Segment(0.4257, 0.4151),
        "upper_trunk": Segment(0.1545, 0.2077),
        "middle_trunk": Segment(0.1465, 0.4512),
        "lower_trunk": Segment(0.1247, 0.4920),
        "upper_arm": Segment(0.0255, 0.5754),
        "forearm": Segment(0.0138, 0.4559),
        "hand": Segment(0.0056, 0.7474),
        "thigh": Segment(0.1478, 0.3612),
        "shank": Segment(0.0481, 0.4352),
        "foot": Segment(0.0129, 0.4014),
    },
}
"""de Leva P. Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters. J Biomech 1996;29(9):1223-1230;
read in a secondary copy."""

SEGMENT_LENGTHS: dict[str, float] = {
    "hip_to_shoulder": 0.288,
    "thigh": 0.245,
    "shank": 0.246,
    "foot": 0.152,
    "ankle_height": 0.039,
    "upper_arm": 0.186,
    "forearm": 0.146,
    "hand": 0.108,
    "hip_to_lowest_lumbar_joint": 0.055,
    "ankle_to_midfoot": 0.040,
}
"""Lengths as shares of stature. Drillis and Contini 1966 as printed in Winter 2009 (from memory), except the last two:
the lowest lumbar joint lies about 9 to 10 cm above the hip joint, and the ankle about a quarter of the foot from the
heel (judgement)."""

BODY_MASS_LIMITS_KG = (20.0, 300.0)
"""Body masses that are believed anywhere in keelmark [kg]; 7 and 700 are slips or other units (judgement)."""

STATURE_LIMITS_CM = (100.0, 250.0)
"""Statures that are believed anywhere in keelmark [cm]; 70 is one in inches (judgement)."""

BODY_MASS_REMEDY = "check the unit; pounds divided by 2.2046 are kilograms"
STATURE_REMEDY = "check the unit; inches times 2.54 are centimetres"

ADULT_MASS_KG: dict[Sex | None, Range] = {
    "female": Range(65.0, 45.0, 110.0),
    "male": Range(80.0, 55.0, 125.0),
    None: Range(72.5, 45.0, 125.0),
}
"""Range assumed for an adult who trains and whose body mass is not on record (judgement)."""

ADULT_STATURE_CM: dict[Sex | None, Range] = {
    "female": Range(166.0, 150.0, 182.0),
    "male": Range(178.0, 162.0, 196.0),
    None: Range(172.0, 150.0, 196.0),
}
"""Range assumed for an adult whose stature is not on record (judgement)."""

_LOWER_TRUNK_ABOVE_JOINT = Range(0.4, 0.0, 0.7)


@dataclass(frozen=True, slots=True)
class Body:
    """Body mass, stature and sex, each with a range where it is not known; `assumptions` says which were assumed."""

    mass_kg: Range
    stature_cm: Range
    upper_share: Range
    assumptions: tuple[str, ...]


def body_of(body_mass_kg: float | None, stature_cm: float | None, sex: Sex | None) -> Body:
    """The body of one athlete, with a stated adult range for each value that is missing.

    Scope: adults. A missing value is never replaced by a single figure: it becomes a range and is named in
    `assumptions`.

    Parameters
    ----------
    body_mass_kg : float or None
        Body mass [kg], 20 to 300.
    stature_cm : float or None
        Standing height [cm], 100 to 250.
    sex : "female", "male" or None
        Chooses the segment table; None spans both.

    Returns
    -------
    Body
        Ranges of mass [kg], stature [cm] and the share of body mass above the lowest lumbar joint.

    Raises
    ------
    MechanicsError
        When a value lies outside the limits: most often another unit.

    References
    ----------
    Ranges for values that are missing: judgement. Shares of mass: de Leva 1996 and Winter 2009.
    """
    assumptions = []
    mass = ADULT_MASS_KG[sex] if body_mass_kg is None else _checked_mass(body_mass_kg)
    if body_mass_kg is None:
        assumptions.append(f"body mass not on record: {mass.low:g} to {mass.high:g} kg assumed")
    stature = ADULT_STATURE_CM[sex] if stature_cm is None else _checked_stature(stature_cm)
    if stature_cm is None:
        assumptions.append(f"stature not on record: {stature.low:g} to {stature.high:g} cm assumed")
    if sex is None:
        assumptions.append("sex not on record: segment masses of both tables span the range")
    return Body(mass, stature, upper_body_share(sex), tuple(assumptions))


def upper_body_share(sex: Sex | None) -> Range:
    """Share of body mass that lies above the lowest lumbar joint.

    Scope: adults standing; the joint is taken to lie 0 to 70 % (central 40 %) down the lower trunk of de Leva's table,
    which begins at the navel. For men the central figure equals Winter's head, arms and trunk less pelvis (0.536).

    Parameters
    ----------
    sex : "female", "male" or None
        None spans both tables; the central figure is their mean.

    Returns
    -------
    Range
        Share of body mass, 0 to 1.

    Notes
    -----
    share = head + upper trunk + middle trunk + 2 (upper arm + forearm + hand) + f * lower trunk, f in 0 .. 0.7.

    References
    ----------
    de Leva P. J Biomech 1996;29(9):1223-1230, doi:10.1016/0021-9290(95)00178-6.
    """
    if sex is None:
        female, male = upper_body_share("female"), upper_body_share("male")
        return Range((female.value + male.value) / 2, min(female.low, male.low), max(female.high, male.high))
    table = DE_LEVA[sex]
    above = sum(table[name].mass for name in ("head", "upper_trunk", "middle_trunk"))
    above += 2 * sum(table[name].mass for name in ("upper_arm", "forearm", "hand"))
    lower, part = table["lower_trunk"].mass, _LOWER_TRUNK_ABOVE_JOINT
    return Range(above + part.value * lower, above + part.low * lower, above + part.high * lower)


def upper_body_centre(arms: Arms) -> float:
    """Centre of the mass above the lowest lumbar joint, along the trunk, as a share of joint-to-shoulder length.

    Scope: sagittal, straight trunk; the arms hang straight down from the shoulder, lie along the chest, or reach
    overhead in line with the trunk.

    Parameters
    ----------
    arms : "hanging", "at_chest" or "overhead"
        Where the arms are at the instant that loads the back most.

    Returns
    -------
    float
        Share of the length from the joint to the shoulder, 0.65 to 0.95.

    Notes
    -----
    Winter's head, arms and trunk (0.678 of body mass, 0.626 of hip-to-shoulder from the hip, arms at the sides) less
    pelvis (0.142, at 0.895 of an assumed 0.09 statures) and less both arms (0.100, at 0.530 of 0.332 statures below
    the shoulder) gives trunk and head; the arms are then put back where the posture has them.

    References
    ----------
    Winter DA. Biomechanics and Motor Control of Human Movement, 4th ed., Wiley 2009 (secondary copy).
    """
    hip_to_shoulder = SEGMENT_LENGTHS["hip_to_shoulder"]
    joint = SEGMENT_LENGTHS["hip_to_lowest_lumbar_joint"]
    arm_centre = WINTER["total_arm"].centre * (SEGMENT_LENGTHS["upper_arm"] + SEGMENT_LENGTHS["forearm"])
    arm_mass = 2 * WINTER["total_arm"].mass
    whole, pelvis = WINTER["head_arms_trunk"], WINTER["pelvis"]
    pelvis_height = 0.09 * (1 - pelvis.centre)
    first_moment = whole.mass * whole.centre * hip_to_shoulder - pelvis.mass * pelvis_height
    first_moment -= arm_mass * (hip_to_shoulder - arm_centre)
    core_mass = whole.mass - pelvis.mass - arm_mass
    core_height = first_moment / core_mass - joint
    length = hip_to_shoulder - joint
    arm_height = {"hanging": length, "at_chest": length - arm_centre / 2, "overhead": length + arm_centre}[arms]
    return (core_mass * core_height + arm_mass * arm_height) / (core_mass + arm_mass) / length


def _checked_mass(value: float) -> Range:
    low, high = BODY_MASS_LIMITS_KG
    if not low <= value <= high:
        raise MechanicsError(
            f"body mass {value:g} kg",
            where="body mass",
            wanted=f"{low:g} to {high:g} kg",
            remedy=BODY_MASS_REMEDY,
        )
    return Range(value, value, value)


def _checked_stature(value: float) -> Range:
    low, high = STATURE_LIMITS_CM
    if not low <= value <= high:
        raise MechanicsError(
            f"stature {value:g} cm",
            where="stature",
            wanted=f"{low:g} to {high:g} cm",
            remedy=STATURE_REMEDY,
        )
    return Range(value, value, value)
