"""What is said about check-ins, complaints and return plans, in neutral words kept in one place."""

from __future__ import annotations

from datetime import date

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.health.association import Association, LagRatio
from keelmark.health.return_plan import ReturnPlan

__all__ = [
    "COMPLAINT_OPTIONS", "NEVER_ONE_PERSON", "ORDER_IS_NOT_CAUSE", "PLAN_IS_A_PROPOSAL", "STATE_WORDS", "USUAL_STEP",
    "ahead", "asked_words", "gap_words", "lag_words", "ratio_words",
]  # fmt: skip

ORDER_IS_NOT_CAUSE = (
    "What came first need not have brought what came after: order is not cause. Sleep, work, illness and much else "
    "are not on this page."
)
NEVER_ONE_PERSON = (
    "This is about the squad as a whole and its past weeks. It says nothing about one person, nothing about next week, "
    "and nothing about cause."
)
USUAL_STEP = "One usual step is how far an athlete's own weeks mostly lie from that athlete's middle week."
PLAN_IS_A_PROPOSAL = (
    "A proposal to talk about, never a clearance. It cannot know why there was a gap. After illness, injury or an "
    "operation a doctor or physiotherapist decides what may be done."
)

COMPLAINT_OPTIONS = (
    "Leave training as planned and ask again next week",
    "Less of one kind of work for a while",
    "Other movements in its place",
    "Talk it over before the next session",
    "See a doctor or physiotherapist",
)
"""What can be decided; none of them changes a plan by itself."""

STATE_WORDS: dict[str, str] = {
    "new": "new this week",
    "persisting": "still there",
    "resolved": "over",
    "no_answer": "no answer since",
}

_WORK = {"overhead_reps": "overhead reps", "grip_s": "grip time"}
_LAGS = {1: "one week", 2: "two weeks", 3: "three weeks"}


def lag_words(lag: int) -> str:
    """`one week later`."""
    return f"{_LAGS[lag]} later"


def ratio_words(ratio: LagRatio) -> str:
    """`1.21 times (0.92 to 1.60)`."""
    return f"{ratio.ratio:.2f} times ({ratio.low:.2f} to {ratio.high:.2f})"


def ahead(asked: Association) -> str:
    """What is asked: `Back, after weeks with more lumbar loading`."""
    label = CHANNEL_BY_KEY[asked.channel].label
    work = _WORK.get(asked.channel, f"{label[:1].lower()}{label[1:]}")
    return f"{asked.areas[:1].upper()}{asked.areas[1:]}, after weeks with more {work}"


def asked_words(asked: Association) -> str:
    """The answer in plain words, or why there is none."""
    if asked.withheld is not None:
        return f"Nothing is shown yet: {asked.withheld}."
    out = [ratio for ratio in asked.ratios if ratio.stands_out]
    if not out:
        return "The figures fit with no connection: every interval holds 1."
    told = "; ".join(_told(ratio) for ratio in out)
    agreed = (
        "Counted within each calendar week, the direction is the same."
        if asked.agree
        else "Counted within each calendar week, the direction is another: do not build on it."
    )
    return f"New complaints were told {told}. {agreed}"


def _told(ratio: LagRatio) -> str:
    how = "more often" if ratio.ratio > 1 else "less often"
    return f"{how} {lag_words(ratio.lag)}: {ratio_words(ratio)} per usual step"


def gap_words(plan: ReturnPlan) -> str:
    """The gap that a plan follows, and what is not known of it."""
    days = (plan.gap_last - plan.gap_first).days + 1
    text = f"No training stands on record from {_day(plan.gap_first)} to {_day(plan.gap_last)}, {days} days."
    if not plan.unlogged:
        return text
    nothing = "nothing at all is" if plan.unlogged == days else f"of {plan.unlogged} of these days nothing is"
    return f"{text} But {nothing} known: if there was training, write it down and this goes away."


def _day(day: date) -> str:
    return f"{day.day} {day:%B}"
