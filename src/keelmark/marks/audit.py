"""The audit: how often the rules speak when nothing has changed, and how soon they find what has."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
import polars as pl

from keelmark.marks.named_audit import named_tally
from keelmark.marks.settings import RATES, MarkSettings
from keelmark.marks.steadiness import classes, most_found, steadiness_plants, steadiness_tally
from keelmark.marks.tallies import FREQUENCIES, notice_tally, planted_tally, plants, quiet_tally, ramp_tally, ramped
from keelmark.marks.unchanged import DrawnWeeks, Record, draw_weeks, reference_weeks
from keelmark.marks.watch import Watched, watch

__all__ = ["A_MONTH", "EXTENTS", "SIZES", "Audit", "AuditPlan", "audit"]

WEEKS_A_MONTH = 365.25 / 12 / 7
A_MONTH = 1.0
"""False notices that a squad may get in a month, both rules together, after the budget."""
SIZES = (0.5, 1.0, 2.0)
"""Planted weeks: this much of a usual week comes on top."""
EXTENTS = ("one", "whole")
"""Of one kind of work, or of all that the athlete does."""
DOUBLED = SIZES.index(1.0)
ROUNDS = 8
"""Times that each of the changed seasons is gone through with doubled weeks for the table by scatter."""
NAMED = 4
"""Quiet seasons into which planned weeks are put."""
STEP = 0.8
"""A rule over budget has its rate lowered to this part of it, and again."""
_STEPS = 40
_CELLS = 3_000_000


@dataclass(frozen=True, slots=True)
class AuditPlan:
    """How much is drawn. `number` fixes all that is drawn: the same number and record give the same audit.

    `quiet` and `ramps` count the drawn seasons of `weeks` weeks with nothing changed, and with work that grows slowly;
    `reference` those of the made-up squad, of each kind. In the first `changed` of the quiet ones each week is also
    looked at as if one athlete had had a heavy week.
    """

    number: int = 1
    weeks: int = 52
    quiet: int = 16
    changed: int = 10
    ramps: int = 6
    reference: int = 4

    def for_pairs(self, pairs: int) -> AuditPlan:
        """Fewer seasons for a squad so large that they would take long."""
        share = min(1.0, _CELLS / (self.weeks * max(1, pairs) * (self.quiet + self.changed + self.ramps)))
        fewer = {name: max(2, round(share * getattr(self, name))) for name in ("quiet", "changed", "ramps")}
        return replace(self, **fewer)


@dataclass(frozen=True, slots=True)
class Audit:
    """What was measured.

    Parameters
    ----------
    plan : AuditPlan
        What was drawn.
    athletes : int
        Athletes of the squad with enough on record to be drawn from.
    rates : dict
        Rates of the rules `week` and `slow` after the audit; below the usual rate where a rule was quietened.
    quiet : DataFrame
        By squad (`own`, `reference`) and frequency: pairs, relative scatter of weeks; athlete-channel-weeks judged and
        above, well above; ratio_judged and ratio (coupled 7:28 above 1.5 on Sunday, work done twice a week or more);
        any_day_judged and any_day (on any day of the week, however seldom the work is done).
    notices : DataFrame
        By squad and rule (`week`, `slow`, `both`, `first`, `ratio`, `cusum`): weeks looked at, weeks with any, told,
        told a month.
    planted : DataFrame
        By squad, change, extent (`one` kind of work, or the athlete's `whole` week) and frequency: planted weeks, those
        judged, found by the mark, by a notice, by the ratio.
    steadiness : DataFrame
        Doubled weeks of one kind of work done three times a week or more, by squad and relative scatter of weeks (the
        lower end of its class): pairs; planted, judged, found by the mark, by a notice, by the ratio; `most`, the share
        that a rule which knows each athlete's weeks could find with as many false notices.
    named : DataFrame
        Weeks that the whole squad was meant to train otherwise, by squad, name and whether the calendar `said` so: see
        `named_tally`.
    ramps : DataFrame
        By squad and rule (`notice`, `ratio`, `cusum`): ramps, found within 8, 12 and 16 weeks, median weeks of those
        found.
    before : dict
        Notices a month, at the usual rate, of each rule that was quietened.
    """

    plan: AuditPlan
    athletes: int
    rates: dict[str, float]
    quiet: pl.DataFrame
    notices: pl.DataFrame
    planted: pl.DataFrame
    steadiness: pl.DataFrame
    named: pl.DataFrame
    ramps: pl.DataFrame
    before: dict[str, float]


@dataclass(frozen=True, slots=True)
class _Squad:
    """One of the squads that are drawn, and how many seasons of each kind."""

    name: str
    draw: Callable[[np.random.Generator], DrawnWeeks]
    quiet: int
    changed: int
    ramps: int


def audit(
    record: Record,
    settings: MarkSettings | None = None,
    plan: AuditPlan | None = None,
    progress: Callable[[str], None] = lambda _: None,
) -> Audit:
    """Measure the rules on drawn seasons of a squad, and of a made-up squad for reference.

    Parameters
    ----------
    record : Record
        What the squad did.
    settings : MarkSettings, optional
        Share above the mark and budget; the rates are found anew from the usual one.
    plan : AuditPlan, optional
        How much is drawn.
    progress : function of str
        Told what is being drawn.
    """
    plan = (plan or AuditPlan()).for_pairs(len(record.pairs.athlete))
    usual = replace(settings or MarkSettings(), week_rate=RATES["week"], slow_rate=RATES["slow"])
    own = _Squad("own", lambda random: draw_weeks(record, plan.weeks, random), plan.quiet, plan.changed, plan.ramps)
    made_up = _Squad("reference", lambda random: reference_weeks(plan.weeks, random), *[plan.reference] * 3)
    quiet = {squad.name: list(_quiet(squad, usual, plan, progress)) for squad in (own, made_up)}
    chosen = quietened(quiet["own"], usual)
    rates = {"week": chosen.week_rate, "slow": chosen.slow_rate}
    at_first = _notices("own", quiet["own"], usual)
    return Audit(
        plan=plan,
        athletes=len(record.pairs.athletes),
        rates=rates,
        quiet=pl.concat([_quiet_table(name, seasons) for name, seasons in quiet.items()]),
        notices=pl.concat([_notices(name, seasons, chosen) for name, seasons in quiet.items()]),
        planted=pl.concat(
            [
                _planted(squad, quiet[squad.name], size, extent, chosen, plan)
                for squad in (own, made_up)
                for extent in EXTENTS
                for size in range(len(SIZES))
            ]
        ),
        steadiness=pl.concat(
            [_steadiness(squad, quiet[squad.name], chosen, plan, progress) for squad in (own, made_up)]
        ),
        named=pl.concat([_named(squad, quiet[squad.name], chosen, plan, progress) for squad in (own, made_up)]),
        ramps=pl.concat([_ramps(squad, chosen, plan, progress) for squad in (own, made_up)]),
        before={
            rule: at_first.filter(pl.col("rule") == rule)["a_month"].item()
            for rule in rates
            if rates[rule] < RATES[rule]
        },
    )


def _randoms(plan: AuditPlan, squad: _Squad, kind: int, count: int) -> Iterator[np.random.Generator]:
    """One source of chance for each season, whatever the number of the other seasons."""
    for season in range(count):
        yield np.random.default_rng([plan.number, ("own", "reference").index(squad.name), kind, season])


def _quiet(
    squad: _Squad, settings: MarkSettings, plan: AuditPlan, progress: Callable[[str], None]
) -> Iterator[tuple[DrawnWeeks, Watched]]:
    for number, random in enumerate(_randoms(plan, squad, 0, squad.quiet)):
        progress(f"Drawing seasons in which nothing changes: {number + 1} of {squad.quiet}")
        drawn = squad.draw(random)
        yield drawn, watch(drawn, settings, changes=SIZES if number < squad.changed else ())


def quietened(seasons: list[tuple[DrawnWeeks, Watched]], usual: MarkSettings) -> MarkSettings:
    """The settings with the rate of a rule lowered by a fifth as often as it takes to keep within the budget.

    A rule is over budget while it speaks in more weeks than its usual rate, beyond what chance explains (two standard
    errors), or while it is the louder of the two and both together bring more than `A_MONTH` notices a month.
    """
    settings = usual
    for _ in range(_STEPS):
        tallies = pl.DataFrame([notice_tally(*season, settings) for season in seasons])
        over = [rule for rule in ("week", "slow") if _too_often(tallies, rule)]
        a_month = np.sum(tallies["first"].to_numpy()) / np.sum(tallies["weeks"].to_numpy()) * WEEKS_A_MONTH
        if a_month > A_MONTH:
            over.append("week" if tallies["week"].sum() >= tallies["slow"].sum() else "slow")
        if not over:
            break
        settings = replace(
            settings,
            week_rate=settings.week_rate * (STEP if "week" in over else 1),
            slow_rate=settings.slow_rate * (STEP if "slow" in over else 1),
        )
    return settings


def _too_often(tallies: pl.DataFrame, rule: str) -> bool:
    share = (tallies[f"{rule}_any"] / tallies["weeks"]).to_numpy()
    error = share.std(ddof=1) / np.sqrt(len(share)) if len(share) > 1 else 0.0
    return bool(share.mean() - 2 * error > RATES[rule])


def _quiet_table(name: str, seasons: list[tuple[DrawnWeeks, Watched]]) -> pl.DataFrame:
    tallies = pl.concat([quiet_tally(*season) for season in seasons])
    summed = tallies.group_by("frequency", maintain_order=True).agg(
        pl.col("pairs", "scatter").fill_nan(None).mean(), pl.exclude("frequency", "pairs", "scatter").sum()
    )
    return summed.select(pl.lit(name).alias("squad"), pl.all()).filter(pl.col("any_day_judged") > 0)


def _notices(name: str, seasons: list[tuple[DrawnWeeks, Watched]], settings: MarkSettings) -> pl.DataFrame:
    tallies = pl.DataFrame([notice_tally(*season, settings) for season in seasons]).sum()
    weeks = tallies["weeks"].item()
    return pl.DataFrame(
        [
            {
                "squad": name,
                "rule": rule,
                "weeks": weeks,
                "with_any": tallies[f"{rule}_any"].item(),
                "told": tallies[rule].item(),
                "a_month": tallies[rule].item() / weeks * WEEKS_A_MONTH,
            }
            for rule in ("week", "slow", "both", "first", "ratio", "cusum")
        ]
    )


def _planted(
    squad: _Squad,
    seasons: list[tuple[DrawnWeeks, Watched]],
    size: int,
    extent: str,
    settings: MarkSettings,
    plan: AuditPlan,
) -> pl.DataFrame:
    found, whole = [], extent == "whole"
    kind = 1 + EXTENTS.index(extent)
    for (drawn, watched), random in zip(seasons, _randoms(plan, squad, kind, squad.changed), strict=False):
        put = plants(drawn, whole, random)
        found.append(planted_tally(drawn, watched.with_plants(size, put), settings, put, whole))
    table = pl.concat(found).group_by("frequency").agg(pl.all().sum())
    order = pl.col("frequency").cast(pl.Enum(FREQUENCIES))
    named = {"squad": squad.name, "change": SIZES[size], "extent": extent}
    return table.sort(order).select(*[pl.lit(value).alias(name) for name, value in named.items()], pl.all())


def _steadiness(
    squad: _Squad,
    seasons: list[tuple[DrawnWeeks, Watched]],
    settings: MarkSettings,
    plan: AuditPlan,
    progress: Callable[[str], None],
) -> pl.DataFrame:
    progress("Planting doubled weeks in steady and in changing work")
    weeks = [drawn for drawn, _ in seasons]
    kind = classes(weeks)
    most = most_found(weeks, kind, SIZES[DOUBLED], A_MONTH / WEEKS_A_MONTH)
    found = [
        steadiness_tally(drawn, watched.with_plants(DOUBLED, put), settings, put, kind)
        for (drawn, watched), random in zip(seasons, _randoms(plan, squad, 9, squad.changed), strict=False)
        for put in (steadiness_plants(kind, plan.weeks, random) for _ in range(ROUNDS))
    ]
    summed = pl.concat(found).group_by("scatter").agg(pl.all().sum())
    joined = summed.join(most, on="scatter", how="inner").sort("scatter")
    counts = ("pairs", "planted", "judged", "mark", "notice", "ratio")
    return joined.select(pl.lit(squad.name).alias("squad"), "scatter", *counts, "most")


def _named(
    squad: _Squad,
    seasons: list[tuple[DrawnWeeks, Watched]],
    settings: MarkSettings,
    plan: AuditPlan,
    progress: Callable[[str], None],
) -> pl.DataFrame:
    progress("Planning tapers and overloads, with and without a name in the calendar")
    found = [
        named_tally(drawn, settings, random)
        for (drawn, _), random in zip(seasons, _randoms(plan, squad, 10, min(NAMED, len(seasons))), strict=False)
    ]
    summed = pl.concat(found).group_by("name", "said", maintain_order=True).agg(pl.all().sum())
    return summed.sort("name", "said", descending=[True, False]).select(pl.lit(squad.name).alias("squad"), pl.all())


def _ramps(squad: _Squad, settings: MarkSettings, plan: AuditPlan, progress: Callable[[str], None]) -> pl.DataFrame:
    found = []
    for number, random in enumerate(_randoms(plan, squad, 1 + len(EXTENTS), squad.ramps)):
        progress(f"Planting slow ramps: {number + 1} of {squad.ramps}")
        drawn = squad.draw(random)
        value, put = ramped(drawn, random)
        found.append(ramp_tally(drawn, watch(drawn, settings, value), settings, put))
    weeks = pl.concat(found)
    return pl.DataFrame(
        [
            {
                "squad": squad.name,
                "rule": rule,
                "ramps": weeks.height,
                **{f"within_{limit}": int((weeks[rule] <= limit).sum() or 0) for limit in (8, 12, 16)},
                "median_weeks": weeks[rule].median(),
            }
            for rule in ("notice", "ratio", "cusum")
        ],
        schema_overrides={"median_weeks": pl.Float64},
    )
