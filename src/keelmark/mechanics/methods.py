"""Every formula of this package as a row for the Methods page, read from the docstring that stands beside the code."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from keelmark.mechanics.anthropometry import body_of, upper_body_centre, upper_body_share
from keelmark.mechanics.energy import running_energy
from keelmark.mechanics.fatigue import (
    damage,
    share_of_strength_from_compression,
    share_of_strength_from_moment,
    spine_cycles,
    spine_damage_per_rep,
    tendon_cycles,
)
from keelmark.mechanics.free_body import slanted_extensor
from keelmark.mechanics.geometry import pull_inclination, squat_inclination
from keelmark.mechanics.grip import grip_capacity_share, tendon_share
from keelmark.mechanics.landing import landing_force_ratio, landing_speed
from keelmark.mechanics.lifting_equation import lifting_index, recommended_weight
from keelmark.mechanics.lumbar import compression, extension_moment, shear, traction
from keelmark.mechanics.rep_maximum import capacity, maximum_brzycki, maximum_epley, reps_possible

__all__ = ["OCCUPATIONAL_CONTEXT", "Method", "methods"]

Evidence = Literal["published", "derived", "judgement"]


@dataclass(frozen=True, slots=True)
class Method:
    """One formula: what it gives, where it does not apply, unit, equation, source and how well it is founded."""

    key: str
    subject: str
    title: str
    scope: str
    unit: str
    equation: str
    source: str
    evidence: Evidence


_FORMULAS: tuple[tuple[str, Callable[..., object], Evidence], ...] = (
    ("Body", body_of, "judgement"),
    ("Body", upper_body_share, "derived"),
    ("Body", upper_body_centre, "derived"),
    ("Posture", pull_inclination, "derived"),
    ("Posture", squat_inclination, "derived"),
    ("Lower back", extension_moment, "published"),
    ("Lower back", compression, "published"),
    ("Lower back", shear, "published"),
    ("Lower back", traction, "derived"),
    ("Fatigue laws", spine_cycles, "published"),
    ("Fatigue laws", share_of_strength_from_moment, "published"),
    ("Fatigue laws", share_of_strength_from_compression, "published"),
    ("Fatigue laws", spine_damage_per_rep, "published"),
    ("Fatigue laws", tendon_cycles, "published"),
    ("Fatigue laws", damage, "published"),
    ("Grip", grip_capacity_share, "judgement"),
    ("Grip", tendon_share, "judgement"),
    ("High-rep lifting", maximum_epley, "published"),
    ("High-rep lifting", maximum_brzycki, "published"),
    ("High-rep lifting", reps_possible, "published"),
    ("High-rep lifting", capacity, "derived"),
    ("Landings", landing_speed, "derived"),
    ("Landings", landing_force_ratio, "published"),
    ("Energy", running_energy, "published"),
    ("Checks from outside", slanted_extensor, "published"),
    ("Checks from outside", recommended_weight, "published"),
    ("Checks from outside", lifting_index, "published"),
)

OCCUPATIONAL_CONTEXT = (
    "For work, not for training: the lifting equation recommends at most 23 kg for the best of lifts; screening values "
    "for compression at work are 3400 N and 6400 N (NIOSH 1981 and 1991). They were made for whole working days of "
    "people who did not choose the load. They say nothing about what one athlete may lift, and nobody is compared "
    "with them here."
)


def methods() -> tuple[Method, ...]:
    """All formulas of the mechanics, by subject.

    Returns
    -------
    tuple of Method
        In the order of the Methods page.
    """
    return tuple(_method(subject, function, evidence) for subject, function, evidence in _FORMULAS)


def _method(subject: str, function: Callable[..., object], evidence: Evidence) -> Method:
    text = inspect.getdoc(function) or ""
    head, sections = _sections(text)
    title, _, rest = head.partition("\n\n")
    return Method(
        key=function.__name__,
        subject=subject,
        title=_flat(title),
        scope=re.sub(r"^Scope: ", "", _flat(rest)),
        unit=_unit(sections.get("Returns", "")),
        equation=_flat(sections.get("Notes", "")),
        source=_flat(sections.get("References", "")),
        evidence=evidence,
    )


def _sections(text: str) -> tuple[str, dict[str, str]]:
    """The opening of a docstring, and its underlined sections."""
    parts = re.split(r"\n*^(\w+)\n-+\n", text, flags=re.MULTILINE)
    return parts[0].strip(), {name: body.strip("\n") for name, body in zip(parts[1::2], parts[2::2], strict=True)}


def _unit(returns: str) -> str:
    found = re.search(r"\[([^\]]+)\]", returns)
    return found.group(1) if found else ""


def _flat(text: str) -> str:
    return " ".join(text.split())
