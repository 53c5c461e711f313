"""The audit of a squad's own rules: what it found, what was promised, and which rule was quietened."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import polars as pl

from keelmark.contracts.channels import WATCHED_CHANNELS
from keelmark.contracts.errors import SettingError
from keelmark.marks import A_MONTH, Audit, AuditPlan, MarkSettings, audit, labelled_weeks, squad_record
from keelmark.marks.answer_words import RULE_WORDS
from keelmark.marks.settings import RATES
from keelmark.marks.unchanged import LEAST_RECORD
from keelmark.service.season import Season

__all__ = ["AuditReport", "Promise", "audit_season"]

THREE_TIMES = "three times a week"
POWER = 0.9
STEADY = 0.2
"""Work is steady whose weeks scatter by less than this."""
TABLES = ("quiet", "notices", "planted", "steadiness", "named", "ramps")
LEEWAY = 1.1
"""The share of weeks above the mark may exceed the chosen one by a tenth of it, for chance."""


@dataclass(frozen=True, slots=True)
class Promise:
    """Something the rules promise, in words, with what was measured."""

    promise: str
    wanted: str
    found: str
    kept: bool


@dataclass(frozen=True, slots=True)
class AuditReport:
    """An audit with the promises held against it."""

    audit: Audit
    promises: tuple[Promise, ...]
    quietened: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """The audit as plain values, the same for the same records, settings and number.

        Keys
        ----
        number, weeks, seasons : what was drawn; `seasons` of each kind
        athletes : athletes with enough on record
        rates : rate of false notices each rule is held to, `week` and `slow`
        quiet, notices, planted, steadiness, named, ramps : lists of rows, as the tables of `keelmark.marks.Audit`
        promises : list of promise, wanted, found, kept
        quietened : list of sentences
        """
        found, plan = self.audit, self.audit.plan
        return {
            "number": plan.number,
            "weeks": plan.weeks,
            "seasons": {name: getattr(plan, name) for name in ("quiet", "changed", "ramps", "reference")},
            "athletes": found.athletes,
            "rates": found.rates,
            **{name: getattr(found, name).to_dicts() for name in TABLES},
            "promises": [{name: getattr(p, name) for name in Promise.__slots__} for p in self.promises],
            "quietened": list(self.quietened),
        }


def audit_season(
    season: Season, settings: MarkSettings, plan: AuditPlan, progress: Callable[[str], None] = lambda _: None
) -> AuditReport:
    """Draw seasons in which nothing changes from a squad's record, and see what the rules say of them.

    Weeks with a calendar label and days of illness, travel and the like are not drawn from. Odd weeks that nobody
    named stay in, so that the rules are, if anything, made to look a little too talkative.

    Parameters
    ----------
    season : Season
        All figures of the squad.
    settings : MarkSettings
        The squad's choices.
    plan : AuditPlan
        How much is drawn, and the number that fixes what is drawn.
    progress : function of str
        Told what is being drawn.

    Raises
    ------
    SettingError
        When nobody has enough on record.
    """
    labels = labelled_weeks(season.kept.labels, season.athletes, season.weekly).filter(~pl.col("after"))
    away = season.day_states.filter(~pl.col("state").cast(pl.String).is_in(["rest", "trained", "partly", "unlogged"]))
    daily = season.daily.filter(pl.col("channel").is_in(WATCHED_CHANNELS))
    record = squad_record(daily, labels.select("athlete_id", "week"), away.select("athlete_id", "date"))
    if record is None:
        raise SettingError(
            f"nobody has {LEAST_RECORD} weeks of training on record",
            where="audit",
            wanted=f"at least one athlete with {LEAST_RECORD} weeks of training outside planned weeks",
            remedy="log some more weeks and run the audit again",
        )
    found = audit(record, settings, plan, progress)
    return AuditReport(found, tuple(_promises(found, settings)), tuple(_quietened(found)))


def _promises(found: Audit, settings: MarkSettings) -> list[Promise]:
    own = found.quiet.filter(pl.col("squad") == "own").select(pl.col("above").sum() / pl.col("judged").sum())
    above = float(own.item())
    first = found.notices.filter(pl.col("squad") == "own", pl.col("rule") == "first")["a_month"].item()
    doubled = found.planted.filter(
        pl.col("squad") == "reference", pl.col("change") == 1.0, pl.col("extent") == "one",
        pl.col("frequency") == THREE_TIMES,
    )  # fmt: skip
    power = float(doubled.select(pl.col("mark").sum() / pl.col("planted").sum()).item())
    whole = found.planted.filter(
        pl.col("squad") == "own", pl.col("change") == 1.0, pl.col("extent") == "whole",
        pl.col("frequency") == THREE_TIMES,
    )  # fmt: skip
    promises = [
        Promise(
            "Weeks above the mark when nothing has changed, in this squad",
            f"{100 * settings.share:.3g} %, give or take a tenth of it",
            f"{100 * above:.1f} %",
            above <= LEEWAY * settings.share,
        ),
        Promise(
            "False notices a month shown first, in this squad",
            f"at most {A_MONTH:g}",
            f"{first:.2f}",
            first <= A_MONTH,
        ),
        Promise(
            f"A doubled week of steady work done {THREE_TIMES} lies above its mark the same week, in the made-up squad",
            f"at least {100 * POWER:.0f} %",
            f"{100 * power:.0f} %",
            power >= POWER,
        ),
    ]
    if whole["planted"].sum():
        told = float(whole.select(pl.col("notice").sum() / pl.col("planted").sum()).item())
        promises.append(
            Promise(
                f"An athlete whose whole week is doubled, with work done {THREE_TIMES}, has a notice the same week, in "
                "this squad",
                f"at least {100 * POWER:.0f} %",
                f"{100 * told:.0f} %",
                told >= POWER,
            )
        )
    return [*promises, *_steady(found), _tapers(found)]


def _steady(found: Audit) -> list[Promise]:
    """One promise of notices of steady work, for this squad where it has any, else for the made-up one."""
    steady = found.steadiness.filter(pl.col("scatter") < STEADY)
    for squad, where in (("own", "in this squad"), ("reference", "in the made-up squad")):
        own = steady.filter(pl.col("squad") == squad)
        if own["planted"].sum():
            told = float(own.select(pl.col("notice").sum() / pl.col("planted").sum()).item())
            promise = (
                f"A doubled week of one kind of steady work, done {THREE_TIMES} or more, whose weeks scatter by less "
                f"than {100 * STEADY:.0f} %, has a notice the same week, {where}"
            )
            return [Promise(promise, f"at least {100 * POWER:.0f} %", f"{100 * told:.0f} %", told >= POWER)]
    return []


def _tapers(found: Audit) -> Promise:
    """Named tapers and the weeks after them are as quiet as any, within chance: two standard errors."""
    named = found.named.filter(pl.col("name") == "taper", "said")
    weeks = 2 * int(named["weeks"].sum())
    told = int(named.select(pl.col("with_any").sum() + pl.col("after_any").sum()).item())
    rate = sum(RATES.values())
    return Promise(
        "Weeks with any notice among tapers that the calendar names, and the weeks after them, in both squads",
        f"no more often than in other weeks, {100 * rate:.0f} %, but for chance",
        f"{told} of {weeks}",
        told <= weeks * rate + 2 * (weeks * rate * (1 - rate)) ** 0.5,
    )


def _quietened(found: Audit) -> list[str]:
    """One sentence for each rule that is held to a lower rate than usual."""
    return [
        f"{RULE_WORDS[rule].capitalize()} came {a_month:.1f} times a month with nothing changed, and were quietened: "
        f"the rate of false notices they are held to is {100 * found.rates[rule]:.2g} % "
        f"instead of {100 * RATES[rule]:.2g} %."
        for rule, a_month in found.before.items()
    ]
