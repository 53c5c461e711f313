"""The kinds of work that are kept apart, each with its unit.

A *dose* is how much work of one kind was done. An *exposure* is what one rep, metre, second or calorie of a movement
adds; the catalogue states it. Channels without an exposure of their own are computed from load, body size or ratings.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = [
    "CHANNELS",
    "CHANNEL_BY_KEY",
    "EXPOSURES",
    "OPPOSING_CHANNELS",
    "WATCHED_CHANNELS",
    "Channel",
    "ChannelGroup",
]

ChannelGroup = Literal["session", "back", "hips and knees", "shoulders", "hands", "landings"]


@dataclass(frozen=True, slots=True)
class Channel:
    """One kind of work.

    `gather` says how a day is made of its efforts and a week of its days: amounts add up, peaks do not. `watched` says
    whether its weeks may give a notice; energy is not watched, since the same work is watched in other channels.
    """

    key: str
    label: str
    unit: str
    group: ChannelGroup
    meaning: str
    gather: Literal["sum", "max"] = "sum"
    watched: bool = True


CHANNELS: tuple[Channel, ...] = (
    Channel("session_load", "Session load", "AU", "session", "session rating (0 to 10) times minutes"),
    Channel("tonnage", "Tonnage", "kg", "session", "reps times external load"),
    Channel(
        "energy_run",
        "Running energy",
        "kcal",
        "session",
        "net energy of running from distance and body mass, apart from what machines show",
        watched=False,
    ),
    Channel(
        "energy_machine",
        "Machine calories",
        "kcal",
        "session",
        "calories as rowing, skiing and cycling machines show them; metres are turned into the machine's calories",
        watched=False,
    ),
    Channel(
        "lumbar_moment",
        "Lumbar loading",
        "N m s",
        "back",
        "extension moment at the lowest lumbar joint, summed over the time each rep loads it",
    ),
    Channel("lumbar_peak", "Lumbar peak", "N m", "back", "largest extension moment of any rep", "max"),
    Channel(
        "lumbar_compression",
        "Lumbar compression",
        "kN rep",
        "back",
        "compression of each rep, summed (power 1)",
    ),
    Channel(
        "lumbar_compression_2",
        "Lumbar compression, squared",
        "kN² rep",
        "back",
        "compression of each rep squared, summed (power 2): few heavy reps weigh more",
    ),
    Channel(
        "lumbar_fatigue",
        "Lumbar fatigue index",
        "index",
        "back",
        "reps weighted by a published fatigue law; only for ranking weeks of one athlete",
    ),
    Channel(
        "spinal_flexion",
        "Spinal flexion",
        "cycle",
        "back",
        "reps that close the trunk: toes to bar, sit-ups, v-ups",
    ),
    Channel(
        "spinal_extension",
        "Spinal extension",
        "cycle",
        "back",
        "reps that open the trunk: back extensions, arch work",
    ),
    Channel(
        "high_rep",
        "High-rep lifting",
        "capacity",
        "back",
        "reps of one effort as a share of those one set could hold at that load, hinge-pattern lifts",
    ),
    Channel("hip_hinge_reps", "Hip hinge", "rep", "hips and knees", "loaded hip-dominant reps"),
    Channel("hip_hinge_kg", "Hip hinge tonnage", "kg", "hips and knees", "loaded hip-dominant reps times load"),
    Channel("knee_reps", "Knee dominant", "rep", "hips and knees", "squats, lunges and steps"),
    Channel("knee_kg", "Knee dominant tonnage", "kg", "hips and knees", "squats, lunges and steps times load"),
    Channel("hip_opening", "Hip opening", "rep", "hips and knees", "reps whose main action opens the hip"),
    Channel("hip_closing", "Hip closing", "rep", "hips and knees", "reps whose main action closes the hip"),
    Channel("two_legged", "Two-legged", "rep", "hips and knees", "leg reps with both feet planted together"),
    Channel("one_legged", "One-legged", "rep", "hips and knees", "leg reps on one leg or in a split stance"),
    Channel(
        "jump_contacts",
        "Jump contacts",
        "contact",
        "landings",
        "landings from jumps, both feet together count once; a step down does not count",
    ),
    Channel(
        "jump_contacts_high",
        "Jump contacts, high class",
        "contact",
        "landings",
        "landings of the high intensity class: drops and depth jumps",
    ),
    Channel("step_downs", "Step-downs", "contact", "landings", "steps down from a box"),
    Channel(
        "foot_strikes",
        "Foot strikes",
        "strike",
        "landings",
        "running and skipping, kept apart from jump contacts",
    ),
    Channel("overhead_reps", "Overhead", "rep", "shoulders", "arms locked out overhead under load, or inverted"),
    Channel("overhead_kg", "Overhead tonnage", "kg", "shoulders", "overhead reps times external load"),
    Channel("vertical_pull", "Vertical pull", "rep", "shoulders", "pull-ups, climbs"),
    Channel("vertical_push", "Vertical push", "rep", "shoulders", "presses overhead, handstand push-ups"),
    Channel("horizontal_pull", "Horizontal pull", "rep", "shoulders", "rows"),
    Channel("horizontal_push", "Horizontal push", "rep", "shoulders", "push-ups, bench presses"),
    Channel("grip_s", "Grip", "s", "hands", "seconds of hanging or holding"),
    Channel(
        "grip_fatigue",
        "Grip tendon index",
        "index",
        "hands",
        "gripping weighted by a published tendon fatigue law; only for ranking weeks of one athlete",
    ),
    Channel(
        "hand_contacts",
        "Hand contacts",
        "contact",
        "hands",
        "hands taking body weight on floor or wall, or catching the bar again",
    ),
)

CHANNEL_BY_KEY: dict[str, Channel] = {channel.key: channel for channel in CHANNELS}

WATCHED_CHANNELS: tuple[str, ...] = tuple(channel.key for channel in CHANNELS if channel.watched)

EXPOSURES: dict[str, str] = {
    "hip_hinge": "hip-dominant reps; with load they also feed hip hinge tonnage",
    "knee": "knee-dominant reps; with load they also feed knee dominant tonnage",
    "hip_opening": "reps that open the hip",
    "hip_closing": "reps that close the hip",
    "spinal_flexion": "reps that close the trunk",
    "spinal_extension": "reps that open the trunk",
    "two_legged": "leg reps on both legs",
    "one_legged": "leg reps on one leg or split",
    "jump_contacts": "landings from jumps; their class is the movement's landing class",
    "step_downs": "steps down from a box",
    "foot_strikes": "foot strikes of running or skipping",
    "overhead": "overhead lockouts or inverted reps; with load they also feed overhead tonnage",
    "vertical_pull": "vertical pulls",
    "vertical_push": "vertical pushes",
    "horizontal_pull": "horizontal pulls",
    "horizontal_push": "horizontal pushes",
    "grip_s": "seconds under grip",
    "hand_contacts": "hands taking body weight or catching the bar again",
}

OPPOSING_CHANNELS: tuple[tuple[str, str, str], ...] = (
    ("hip_opening", "hip_closing", "rep"),
    ("spinal_extension", "spinal_flexion", "cycle"),
    ("vertical_push", "vertical_pull", "rep"),
    ("horizontal_push", "horizontal_pull", "rep"),
    ("knee_reps", "hip_hinge_reps", "rep"),
    ("two_legged", "one_legged", "rep"),
)
