"""Easing in after a gap: four weekly steps as shares of what was usual before it. A proposal, never a clearance."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import polars as pl

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark.contracts.errors import RefusedInput
from keelmark.contracts.frames import WEEKLY_FIGURE
from keelmark.health.gaps import Gap
from keelmark.load.calendar import monday_of
from keelmark.load.windows import ENOUGH_KNOWN

__all__ = ["PATTERNS", "PROPOSED_SHARES", "SOURCE", "ReturnPlan", "Step", "Usual", "propose_return", "usual_before"]

PROPOSED_SHARES = (0.5, 0.7, 0.8, 0.9)
"""Reductions by 50, 30, 20 and 10 % in weeks 1 to 4. That the rule bears these four figures is published and was read
in a secondary copy; that they are taken week by week from a reference amount is from memory."""

SOURCE = (
    "Caterisano A, Decker D, Snyder B, et al. Strength Cond J 2019;41(3):1-23, doi:10.1519/SSC.0000000000000477: "
    "50, 30, 20 and 10 % less in weeks 1 to 4 (week by week: from memory). The guideline speaks of college athletes' "
    "conditioning and starts from their largest amount on file. Here the athlete's own usual week before the gap takes "
    "its place, which is less, and lifting, jumping and grip are treated alike: that is a judgement."
)

PATTERNS = (
    "session_load", "hip_hinge_reps", "knee_reps", "vertical_pull", "vertical_push", "horizontal_pull",
    "horizontal_push", "overhead_reps", "jump_contacts", "foot_strikes", "grip_s",
)  # fmt: skip
"""Channels that a plan is made of: what a coach can write down, no computed body load."""

WEEKS_BEFORE = 8
"""How far back from the gap usual weeks are taken; a judgement."""
LEAST_WEEKS = 4
"""Well-known weeks that a usual amount rests on; fewer give none; a judgement."""


@dataclass(frozen=True, slots=True)
class Usual:
    """An athlete's usual week of one channel before a gap: median, smallest and largest of the weeks it rests on."""

    amount: float
    low: float
    high: float
    weeks: int


@dataclass(frozen=True, slots=True)
class Step:
    """One week of a plan: its share of the usual amounts, and amounts by channel where they are set by hand."""

    monday: date
    share: float
    by_hand: Mapping[str, float]

    def amount(self, channel: str, usual: Usual) -> float:
        """The week's amount of a channel, in its unit."""
        return self.by_hand.get(channel, self.share * usual.amount)


@dataclass(frozen=True, slots=True)
class ReturnPlan:
    """Four weeks after a gap, the amounts they are shares of, where the shares come from, and who looks again when.

    It describes work on paper. Whether somebody may train is decided by a doctor or physiotherapist, not here.
    """

    athlete_id: str
    gap_first: date
    gap_last: date
    unlogged: int
    usual: Mapping[str, Usual]
    steps: tuple[Step, ...]
    source: str = SOURCE
    owner: str | None = None
    review_date: date | None = None
    note: str | None = None

    def edited(
        self,
        *,
        shares: Sequence[float] | None = None,
        amounts: Mapping[tuple[int, str], float] | None = None,
        owner: str | None = None,
        review_date: date | None = None,
        note: str | None = None,
    ) -> ReturnPlan:
        """The plan as somebody wants it; what is left out stays as it is.

        Parameters
        ----------
        shares : sequence of 4 float, optional
            Share of the usual amounts in each week, 0 to 1.5.
        amounts : mapping, optional
            All amounts set by hand, by number of the week (0 to 3) and channel, in the channel's unit.
        owner, review_date, note : optional
            Who sees to it, when it is looked at again, and a remark; an empty text clears what stood there.

        Raises
        ------
        RefusedInput
            When there are not four shares, a share or an amount is out of bounds, or a channel is not in the plan.
        """
        chosen = [step.share for step in self.steps] if shares is None else list(shares)
        _check_shares(chosen, len(self.steps))
        by_hand = [step.by_hand for step in self.steps] if amounts is None else self._by_hand(amounts)
        steps = tuple(
            replace(step, share=share, by_hand=own)
            for step, share, own in zip(self.steps, chosen, by_hand, strict=True)
        )
        return replace(
            self,
            steps=steps,
            owner=self.owner if owner is None else owner.strip() or None,
            review_date=self.review_date if review_date is None else review_date,
            note=self.note if note is None else note.strip() or None,
        )

    def _by_hand(self, amounts: Mapping[tuple[int, str], float]) -> list[Mapping[str, float]]:
        weeks: list[dict[str, float]] = [{} for _ in self.steps]
        for (place, channel), amount in amounts.items():
            _check_amount(place, channel, amount, self)
            weeks[place][channel] = amount
        return list(weeks)


def usual_before(weekly: pl.DataFrame, athlete_id: str, day: date) -> dict[str, Usual]:
    """What was usual for an athlete in the weeks before a day, by channel of `PATTERNS`.

    Scope: the last `WEEKS_BEFORE` whole weeks before the day of which three quarters are known; channels with fewer
    than `LEAST_WEEKS` such weeks, or of which the median week holds nothing, are left out.

    Parameters
    ----------
    weekly : DataFrame
        WEEKLY_FIGURE table.
    athlete_id : str
        Whose.
    day : date
        First day of the gap.
    """
    before = monday_of(day)
    own = WEEKLY_FIGURE.check(weekly, where="usual weeks").filter(
        pl.col("athlete_id") == athlete_id,
        pl.col("channel").is_in(list(PATTERNS)),
        pl.col("monday") < before,
        pl.col("monday") >= before - timedelta(weeks=WEEKS_BEFORE),
        pl.col("known_days") >= ENOUGH_KNOWN * 7,
        pl.col("value").is_not_null(),
    )
    value = pl.col("value")
    told = own.group_by("channel").agg(
        amount=value.median(), low=value.min(), high=value.max(), weeks=pl.len().cast(pl.Int64)
    )
    enough = {
        row["channel"]: Usual(row["amount"], row["low"], row["high"], row["weeks"])
        for row in told.filter(pl.col("weeks") >= LEAST_WEEKS, pl.col("amount") > 0).iter_rows(named=True)
    }
    return {channel: enough[channel] for channel in PATTERNS if channel in enough}


def propose_return(gap: Gap, weekly: pl.DataFrame) -> ReturnPlan:
    """Four steps after a gap, the first in the first whole week after it.

    Parameters
    ----------
    gap : Gap
        As `gaps` finds it.
    weekly : DataFrame
        WEEKLY_FIGURE table.
    """
    back = gap.last + timedelta(days=1)
    first = back if back.weekday() == 0 else monday_of(back) + timedelta(weeks=1)
    steps = tuple(Step(first + timedelta(weeks=place), share, {}) for place, share in enumerate(PROPOSED_SHARES))
    usual = usual_before(weekly, gap.athlete_id, gap.first)
    return ReturnPlan(gap.athlete_id, gap.first, gap.last, gap.unlogged, usual, steps)


def _check_shares(shares: Sequence[float], wanted: int) -> None:
    if len(shares) != wanted:
        raise _refused(f"{len(shares)} shares were given", f"{wanted} shares, one for each week")
    for share in shares:
        if not 0.0 <= share <= 1.5:
            raise _refused(f"{share:g} is the share of a week", "a share from 0 to 1.5 of the usual amount")


def _check_amount(place: int, channel: str, amount: float, plan: ReturnPlan) -> None:
    if not 0 <= place < len(plan.steps):
        raise _refused(f"week {place + 1} is not in the plan", f"a week from 1 to {len(plan.steps)}")
    if channel not in plan.usual:
        known = ", ".join(CHANNEL_BY_KEY[key].label for key in plan.usual) or "none: too few known weeks"
        raise _refused(f"“{channel}” is not in the plan", f"one of {known}")
    if not 0.0 <= amount < float("inf"):
        raise _refused(f"{amount:g} is not an amount", "a number from 0 up")


def _refused(found: str, wanted: str) -> RefusedInput:
    return RefusedInput(found, where="return plan", wanted=wanted, remedy="change it and save the plan again")
