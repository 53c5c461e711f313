"""Handing over to a physiotherapist or doctor, and what comes back: consent, then the paper, then dated limits."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import partial

import polars as pl

from keelmark.contracts.errors import RefusedInput
from keelmark.health.areas import area_label
from keelmark.plan import Limit
from keelmark.report import HandOver
from keelmark.report.figures import in_full
from keelmark.report.hand_over_words import LIMITED, PURPOSE, VERDICTS
from keelmark.store import Store

__all__ = ["FROM_SLIP", "ReturnSlip", "keep_consent", "keep_slip", "limits_in_words"]

Write = Callable[[Callable[[], str]], str]
FROM_SLIP = "return slip, "
"""So begins the name of whom an amount was agreed with, where it came with a return slip."""


@dataclass(frozen=True, slots=True)
class ReturnSlip:
    """What a physiotherapist or doctor wrote on a return slip, as somebody typed it in.

    Parameters
    ----------
    athlete_id : str
        Whose.
    verdict : str
        `allowed`, `limited` or `not yet`.
    signed_by : str
        Who wrote it.
    date_from, date_to : date
        First and last day; without a last day it stands until the next slip.
    review_date : date, optional
        When it is looked at again.
    how : str
        What is left out or held back, in the words of the slip.
    most : mapping
        Amounts of a week that are not passed, by channel in its unit.
    """

    athlete_id: str
    verdict: str
    signed_by: str
    date_from: date
    date_to: date | None
    review_date: date | None
    how: str
    most: Mapping[str, float]

    def checked(self) -> ReturnSlip:
        """The same, if it can be kept.

        Raises
        ------
        RefusedInput
            When an answer, a name, the limits or the days do not fit together.
        SettingError
            When an amount cannot be used.
        """
        if self.verdict not in VERDICTS:
            raise _refused("no answer is chosen", "one of " + ", ".join(VERDICTS), "choose what the slip says")
        if not self.signed_by.strip():
            raise _refused("nobody is named", "who wrote the slip", "write the name that stands on it")
        if self.date_to is not None and self.date_to < self.date_from:
            raise _refused("it ends before it begins", "a last day on or after the first", "change one of the two days")
        if self.verdict == LIMITED and not self.how.strip() and not self.most:
            raise _refused("no limit is written", "what is limited, and how", "write it as it stands on the slip")
        if self.verdict != LIMITED and (self.how.strip() or self.most):
            raise _refused(
                f"limits are written, but the answer is “{VERDICTS[self.verdict]}”",
                "limits only together with “Training with limits”",
                "choose that answer, or take the limits out",
            )
        for channel, most in self.most.items():
            Limit(self.athlete_id, channel, most)
        return self

    @property
    def words(self) -> str:
        """The slip as one line that stands on its own."""
        what = self.how.strip() if self.verdict == LIMITED and self.how.strip() else VERDICTS[self.verdict]
        again = f"; looked at again on {in_full(self.review_date)}" if self.review_date else ""
        return f"{what} ({self.signed_by.strip()}{again})"


def keep_consent(store: Store, asked: HandOver) -> str:
    """Record what was agreed to, or find the same consent that stands already; gives its key."""
    standing = store.consents(asked.athlete_id).filter(
        pl.col("withdrawn_at").is_null(),
        pl.col("purpose") == PURPOSE,
        pl.col("given_by") == asked.given_by.strip(),
        pl.col("given_to") == asked.given_to.strip(),
        pl.col("given_on") == asked.given_on,
    )
    for row in standing.iter_rows(named=True):
        if set(row["fields"]) == set(asked.fields):
            return str(row["consent_id"])
    return store.record_consent(
        asked.athlete_id,
        PURPOSE,
        given_by=asked.given_by.strip(),
        given_to=asked.given_to.strip(),
        fields=asked.fields,
        given_on=asked.given_on,
    )


def keep_slip(store: Store, slip: ReturnSlip, today: date, write: Write) -> str:
    """Keep a return slip as dated limits; gives the key of the limit in words.

    Amounts are kept for the planner too, which passes none of them. Amounts of earlier slips without a last day are
    taken back once the new slip has begun; what was agreed otherwise stays. A slip that allows training is kept as a
    line as well, so that it can be seen since when.

    Parameters
    ----------
    slip : ReturnSlip
        As it was typed in.
    today : date
        The day it is.
    write : function
        Runs a write that no figure rests on.
    """
    slip.checked()
    if slip.date_from <= today:
        earlier = store.agreed_limits(slip.athlete_id).filter(
            pl.col("date_to").is_null(), pl.col("agreed_with").str.starts_with(FROM_SLIP)
        )
        for limit_id in earlier["limit_id"]:
            write(partial(store.withdraw_agreed_limit, limit_id))
    limit_id = write(
        lambda: store.record_health_limit(slip.athlete_id, slip.words, slip.date_from, date_to=slip.date_to)
    )
    for channel, most in slip.most.items():
        who = FROM_SLIP + slip.signed_by.strip()
        agree = partial(store.record_agreed_limit, slip.athlete_id, channel, most, slip.date_from)
        write(partial(agree, date_to=slip.date_to, agreed_with=who))
    return limit_id


def limits_in_words(limits: pl.DataFrame, day: date) -> list[str]:
    """Limits that stand on a day or come later, newest first; one without a last day stands until the next begins.

    Parameters
    ----------
    limits : DataFrame
        HEALTH_LIMIT table of one athlete.
    day : date
        The day looked at.
    """
    told, followed = [], False
    for row in reversed(limits.rows(named=True)):
        over = followed if row["date_to"] is None else row["date_to"] < day
        if not over:
            until = f" to {in_full(row['date_to'])}" if row["date_to"] else ""
            where = f"{area_label(row['area'])}: " if row["area"] else ""
            told.append(f"From {in_full(row['date_from'])}{until}: {where}{row['limit']}")
        followed |= row["date_from"] <= day
    return told


def _refused(found: str, wanted: str, remedy: str) -> RefusedInput:
    return RefusedInput(found, where="return slip", wanted=wanted, remedy=remedy)
