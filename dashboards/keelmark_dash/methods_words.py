"""How each figure is made, in words: formula, unit, source, and what kind of evidence it rests on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from keelmark.contracts.channels import Channel

__all__ = ["EVIDENCE_WORDS", "FIGURES", "MEANINGS", "NOT_DONE", "FigureNote", "channel_note"]

Kind = Literal["published", "derived", "judgement"]

EVIDENCE_WORDS: dict[str, str] = {
    "published": "published",
    "derived": "worked out from published figures or from geometry",
    "judgement": "our judgement, with a wide range",
}


@dataclass(frozen=True, slots=True)
class FigureNote:
    """One figure: what it is, how it is made, and where that comes from. `code` names the function that makes it."""

    title: str
    meaning: str
    formula: str
    unit: str
    source: str
    evidence: Kind
    code: str


FIGURES: tuple[FigureNote, ...] = (
    FigureNote(
        "Amount of a week",
        "The days of one kind of work added up, Monday to Sunday. A peak is not added up: the largest day stands for "
        "the week. A day without a record is never counted as zero. With fewer than three quarters of the days known "
        "no figure is given, only what is on record.",
        "week = sum of its known days + the mean of what the missing ones may have held",
        "of the channel",
        "ISO 8601 for weeks; the rest is arithmetic",
        "derived",
        "keelmark.load.weekly.weekly_figures",
    ),
    FigureNote(
        "Missing days",
        "Each missing day is drawn 24 times. Whether the athlete trained is drawn from how often that was so on such "
        "a weekday. What was done is drawn from the mean of the training group that day, times how this athlete "
        "compared with the group on other days. Each figure is worked out for each draw; its range holds nine in ten "
        "of them. The lower bound of an amount is what is on record, so a lost record widens a week and never makes "
        "it look like rest.",
        "day = trained or not × group's mean of the day × a ratio of the athlete to the group on another day",
        "of the channel",
        "Rubin DB (1987), Multiple Imputation for Nonresponse in Surveys; Benson LC et al. (2021), J Sports Sci Med "
        "20:188-196, on the session's mean",
        "published",
        "keelmark.load.imputation.missing_days",
    ),
    FigureNote(
        "Session load",
        "How hard the whole session felt, from 0 to 10, times its length.",
        "load = rating × minutes",
        "AU",
        "Foster C et al. (2001), J Strength Cond Res 15(1):109-115",
        "published",
        "keelmark.dose.session_load.session_load",
    ),
    FigureNote(
        "Last 7 days to the last 28",
        "Mean day of a week over the mean day of four weeks. In the coupled form the four weeks contain the week; in "
        "the uncoupled form they are the 21 days before it. Both describe change; neither says what is good.",
        "coupled = mean of 7 days / mean of 28 days; uncoupled = mean of 7 days / mean of the 21 days before",
        "no unit",
        "Impellizzeri FM et al. (2020), J Athl Train 55(9):893-901, on what such ratios can and cannot say",
        "published",
        "keelmark.load.ratios.quotient",
    ),
    FigureNote(
        "Weighted ratio",
        "The same with older days fading out, N of 7 over N of 28.",
        "E(today) = λ × today + (1 − λ) × E(yesterday), λ = 2 / (N + 1)",
        "no unit",
        "Williams S et al. (2017), Br J Sports Med 51(3):209-210",
        "published",
        "keelmark.load.ewma.ewma",
    ),
    FigureNote(
        "Monotony",
        "How much alike the days of a week were. A week whose days are all equal has none.",
        "monotony = mean day / standard deviation of the days",
        "no unit",
        "Foster C (1998), Med Sci Sports Exerc 30(7):1164-1168",
        "published",
        "keelmark.load.monotony.monotony",
    ),
    FigureNote(
        "Strain",
        "A week's amount times its monotony.",
        "strain = week × monotony",
        "of the channel",
        "Foster C (1998), Med Sci Sports Exerc 30(7):1164-1168",
        "published",
        "keelmark.load.monotony.strain",
    ),
    FigureNote(
        "Usual range and marks",
        "What an athlete's own past weeks lead one to expect, with a lower and an upper mark. After each week the "
        "marks move a little, so that in the long run the share of weeks above the upper mark is the share that the "
        "squad chose. New athletes start from the squad's weeks, drawn towards their own as these come in. A mixed "
        "model fitted to the demo foretells a newcomer's next week 1 to 5 % better, and takes far too long to fit "
        "each week.",
        "α(next) = α + γ (chosen share − 1 if the week lay beyond the mark, else 0)",
        "of the channel",
        "Gibbs I, Candès E (2021), Adaptive conformal inference under distribution shift, NeurIPS 34",
        "published",
        "keelmark.marks.adaptive.next_level",
    ),
    FigureNote(
        "Notices",
        "What the whole squad did in a week is taken off first, so that a heavy programme is one notice and an athlete "
        "who departs alone stands out. An athlete with all kinds of work is then one comparison: the most unusual of "
        "them, placed among the weeks that this squad has had. Steady work, of which a doubled week can be told from "
        "chance, counts more in it than work that comes and goes. The rate of false notices is held down over all "
        "athletes of the week; the audit below measures it, and how much could be found at best.",
        "weight = a⁻¹ × normal tail at d/2 + c/d; smallest share / weight of an athlete among past athlete-weeks; then "
        "Benjamini-Hochberg over the athletes",
        "share",
        "Benjamini Y, Hochberg Y (1995), J R Stat Soc B 57(1):289-300; Roeder K, Wasserman L (2009), Statist Sci "
        "24(4):398-413",
        "published",
        "keelmark.marks.discoveries.adjusted_by_athlete",
    ),
    FigureNote(
        "Weeks with a name",
        "A name in the calendar moves what is expected of a week. An amount that is written with it counts, such as "
        "“taper 60 %”. Without one, a taper or a holiday is at first taken to hold half of the usual amount. For a "
        "deload it is 0.6, for a competition or a test 0.8, for an overload 1.3, for a week of illness 0.3. The "
        "squad's own weeks of that name take its place as they come. What is uncertain about it widens the "
        "range, and the week after is widened too. A "
        "notice needs a week beyond both that range and the one without a name.",
        "expected = (1 + share of days × (√part − 1))² × usual",
        "of the channel",
        "Bosquet L et al. (2007), Med Sci Sports Exerc 39(8):1358-65, for tapers (from memory); the rest as stated",
        "judgement",
        "keelmark.marks.named_weeks.NameEffects",
    ),
    FigureNote(
        "Slow rises",
        "The middle of the last four weeks against the middle of weeks 9 to 24 before, judged by the steps that the "
        "others of the squad made. It finds work that grows by a little every week, which single weeks do not show.",
        "step = middle half of 4 weeks − middle half of 16 weeks, on the scale of square roots",
        "of the channel",
        "judgement; how soon it finds a rise is measured in the audit",
        "judgement",
        "keelmark.marks.slow_rise.slow_rises",
    ),
    FigureNote(
        "Second reckoning",
        "A level that drifts from week to week, fitted to one athlete alone, with the interval for the next week. It "
        "stands beside the mark for comparison and gives no notice.",
        "week = level + scatter; level = level before + drift",
        "of the channel",
        "Durbin J, Koopman SJ (2012), Time Series Analysis by State Space Methods, 2nd ed.; fitted by statsmodels",
        "published",
        "keelmark.marks.second_opinion.second_opinion",
    ),
    FigureNote(
        "Severity of a complaint",
        "Four answers about one week: joining in, amount, performance, and how much it was felt. Who could not join in "
        "counts in full for amount and performance. What each answer is worth is from memory.",
        "severity = sum of four options worth 0, 8, 17 or 25",
        "0 to 100",
        "Clarsen B et al. (2013), Br J Sports Med 47(8):495-502; (2020), Br J Sports Med 54(7):390-396; own wording",
        "published",
        "keelmark.health.answers.severity",
    ),
    FigureNote(
        "Complaints after weeks of more work",
        "How many times as often new complaints were told in this squad, one to three weeks after a week that was one "
        "usual step higher. The rows of one athlete are taken together, the figure is drawn towards 1, and nothing is "
        "shown while little is known.",
        "log rate = level + sum over lags of b × steps; b drawn towards 0",
        "times",
        "Liang KY, Zeger SL (1986), Biometrika 73(1):13-22; Mancl LA, DeRouen TA (2001), Biometrics 57(1):126-134",
        "published",
        "keelmark.health.recurrent.event_rate",
    ),
    FigureNote(
        "Amounts after a gap",
        "After 14 days or more without training on record: the median of the well-known weeks among the eight before "
        "the gap, times a share that can be changed.",
        "amount = usual week × 50, 70, 80, 90 %",
        "of the channel",
        "Caterisano A et al. (2019), Strength Cond J 41(3):1-23; the usual week in place of the largest is a judgement",
        "judgement",
        "keelmark.health.return_plan.propose_return",
    ),
)

MEANINGS: dict[str, str] = {
    "extension_moment": "The turning force that the back extensors answer at the lowest lumbar joint. It is taken at "
    "the instant that loads the joint most. Two weights turn it, each by its reach: trunk, head and arms, and the "
    "load. A factor stands for speed.",
    "compression": "The force along the trunk at the same joint: the pull of the extensors plus the weight above it.",
    "shear": "The force across the trunk at the same joint.",
    "traction": "What hanging does to the same joint.",
    "spine_damage_per_rep": "Reps weighted by how many cycles spine segments bore in a laboratory at that share of "
    "their strength. Living tissue heals and adapts, so the sum, the lumbar fatigue index, only ranks weeks of one "
    "athlete. Most barbell reps lie beyond the end of the law's fit: each counts as one at that end, and the index of "
    "such a week has no upper bound.",
    "tendon_share": "How hard the hands hold; with the cycles that finger tendons bore in a laboratory it makes the "
    "grip tendon index, which only ranks weeks of one athlete.",
    "capacity": "45 reps at half of the maximum are one and a half full sets. A load above the maximum on record "
    "counts as one rep to the set, and that is said where it stands. Above 10 to 12 reps the formula is stretched "
    "beyond what it was made for.",
    "landing_force_ratio": "Landings are counted by class: low, moderate and high, each with the forces measured under "
    "the feet in such landings. Both feet together count once; a step down is not a landing from a jump.",
    "running_energy": "Energy of running. Calories of machines are taken as the machine shows them, in a channel of "
    "their own.",
}
"""What some formulas of the mechanics are for, by the name of the function."""

NOT_DONE: tuple[str, ...] = (
    "It does not diagnose, and it does not predict injury. No figure here is a chance of getting hurt.",
    "It draws no line that is right for everybody. Marks come from one athlete's own weeks.",
    "It does not measure bodies. Lumbar figures are estimates of load from what was written down, not of harm.",
    "It does not know work outside the log, sleep, food, stress, age of an old complaint, or how well a rep was done.",
    "It does not count a day without a record as rest.",
    "It does not say who may train. That is for a doctor, a physiotherapist, the coach and the athlete.",
)

_SUMMED = "each effort's reps, metres, seconds or calories times what the catalogue says one of them adds"
_HOW: dict[str, str] = {
    "session_load": "rating × minutes",
    "tonnage": "reps × load",
    "energy_run": "body mass × distance × about 1 kcal per kg and km",
    "energy_machine": "calories as shown, or metres / metres per calorie of that machine",
    "lumbar_moment": "moment of each rep × the time it loads the back",
    "lumbar_peak": "largest moment of any rep",
    "lumbar_compression": "compression of each rep, added up",
    "lumbar_compression_2": "square of the whole compression of each rep, added up",
    "lumbar_fatigue": "reps / laboratory cycles at the moment of the rep, capped at the end of the law's fit",
    "high_rep": "reps / reps that one set can hold at that load",
    "grip_fatigue": "sum of holds / laboratory cycles at that stress",
}


def channel_note(channel: Channel) -> str:
    """How a channel's daily amount is made, in a few words."""
    if channel.key in _HOW:
        return _HOW[channel.key]
    if channel.key.endswith("_kg"):
        return "reps × external load"
    return _SUMMED
