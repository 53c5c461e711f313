"""Drawn seasons: nothing changes in them, they are the same for the same number, and rules are quietened by them."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import polars as pl
import pytest

from keelmark.contracts.frames import DAILY_DOSE
from keelmark.marks import Audit, AuditPlan, MarkSettings, audit, squad_record
from keelmark.marks.audit import quietened
from keelmark.marks.settings import RATES
from keelmark.marks.tallies import notice_tally, plants, ramped
from keelmark.marks.unchanged import Record, draw_weeks, reference_weeks
from keelmark.marks.watch import Plant, ratio_on_any_day, watch
from tests.marks.squad import CHANNELS, MONDAY, unchanging_squad

WEEKS = 20
SMALL = AuditPlan(weeks=36, quiet=3, changed=2, ramps=2, reference=2)
NO_WEEKS = pl.DataFrame(schema={"athlete_id": pl.String, "week": pl.String})
NO_DAYS = pl.DataFrame(schema={"athlete_id": pl.String, "date": pl.Date})


def daily(people: int = 6, weeks: int = WEEKS) -> pl.DataFrame:
    amounts, _ = unchanging_squad(3, people, weeks)
    day, athlete, channel = np.nonzero(amounts)
    value = amounts[day, athlete, channel]
    rows = pl.DataFrame(
        {
            "athlete_id": [f"a{who}" for who in athlete],
            "date": [MONDAY + timedelta(days=int(number)) for number in day],
            "channel": [CHANNELS[place] for place in channel],
            "value": value,
            "low": value,
            "high": value,
        }
    ).with_columns(efforts=pl.lit(1, pl.Int64), unknown=pl.lit(0, pl.Int64))
    return DAILY_DOSE.check(rows, where="test")


def record(days: pl.DataFrame | None = None, left_out: pl.DataFrame = NO_WEEKS) -> Record:
    found = squad_record(daily() if days is None else days, left_out, NO_DAYS)
    assert found is not None
    return found


@pytest.fixture(scope="module")
def found() -> Audit:
    return audit(record(), plan=SMALL)


def test_drawn_days_are_days_of_the_record_on_the_same_weekday() -> None:
    source = record()
    drawn = draw_weeks(source, 30, np.random.default_rng(0))
    for weekday in range(7):
        known = {tuple(day) for day in source.amounts[weekday::7].T.round(9).tolist()}
        assert known
        for pair in range(0, len(source.pairs.athlete), 7):
            own = set(source.amounts[weekday::7, pair].round(9).tolist())
            assert set(drawn.days[:, weekday, pair].round(9).tolist()) <= own


def test_all_who_have_a_day_on_record_copy_the_same_one() -> None:
    """A session that everybody did on one day only comes back for everybody at once."""
    rows = [
        {"athlete_id": f"a{who}", "date": MONDAY + timedelta(days=7 * week), "channel": "tonnage",
         "value": 100.0 + week, "low": 100.0 + week, "high": 100.0 + week, "efforts": 1, "unknown": 0}
        for who in range(5) for week in range(10)
    ]  # fmt: skip
    drawn = draw_weeks(record(DAILY_DOSE.build(rows)), 40, np.random.default_rng(1))
    assert (drawn.days[:, 0] == drawn.days[:, 0, :1]).all()
    assert len(set(drawn.days[:, 0, 0].tolist())) > 5


def test_weeks_left_out_are_never_drawn_from() -> None:
    days = daily()
    heavy = days.with_columns(
        value=pl.when(pl.col("date") < MONDAY + timedelta(days=7)).then(1e9).otherwise("value"), high=pl.lit(None)
    )
    heavy = DAILY_DOSE.check(heavy.with_columns(high=pl.col("value")), where="test")
    out = heavy.select("athlete_id", week=pl.lit((MONDAY).strftime("%G-W%V"))).unique()
    assert draw_weeks(record(heavy, out), 60, np.random.default_rng(0)).value.max() < 1e8
    assert draw_weeks(record(heavy), 60, np.random.default_rng(0)).value.max() > 1e8


def test_nobody_with_enough_on_record_gives_no_record() -> None:
    assert squad_record(daily(weeks=7), NO_WEEKS, NO_DAYS) is None
    assert squad_record(DAILY_DOSE.empty(), NO_WEEKS, NO_DAYS) is None


def test_the_same_number_gives_the_same_audit_and_another_one_another(found: Audit) -> None:
    again, other = audit(record(), plan=SMALL), audit(record(), plan=replace(SMALL, number=2))
    for name in ("quiet", "notices", "planted", "steadiness", "named", "ramps"):
        assert getattr(again, name).equals(getattr(found, name))
    assert not other.quiet.equals(found.quiet)


def test_marks_hold_the_chosen_share_in_drawn_seasons(found: Audit) -> None:
    """0.05 is what was chosen; a few thousand weeks of six people scatter about it."""
    own = found.quiet.filter(pl.col("squad") == "own")
    assert own["above"].sum() / own["judged"].sum() == pytest.approx(0.05, abs=0.012)


def test_a_doubled_week_of_steady_work_three_times_a_week_is_found(found: Audit) -> None:
    """At least nine in ten, as promised; a reference squad whose sessions scatter by 0.35 on the log scale."""
    doubled = found.planted.filter(
        (pl.col("squad") == "reference") & (pl.col("change") == 1.0) & (pl.col("frequency") == "three times a week")
    )
    assert doubled["planted"].sum() > 30
    assert doubled["mark"].sum() / doubled["planted"].sum() >= 0.9


def test_a_larger_change_is_found_more_often(found: Audit) -> None:
    share = found.planted.group_by("squad", "change").agg(pl.col("mark").sum() / pl.col("planted").sum())
    for _, rows in share.sort("change").group_by("squad"):
        assert rows["mark"].is_sorted()
        assert rows["mark"][0] > 0.05


def test_a_slow_ramp_is_found_while_a_ratio_mostly_misses_it(found: Audit) -> None:
    """A steady growth of 8 % holds a 7:28 ratio at 4 / (1 + 1.08^-1 + 1.08^-2 + 1.08^-3) = 1.118 (derived)."""
    reference = {row["rule"]: row for row in found.ramps.filter(pl.col("squad") == "reference").to_dicts()}
    assert reference["notice"]["ramps"] == reference["ratio"]["ramps"] == 8
    assert 4 / sum(1.08**-week for week in range(4)) == pytest.approx(1.118, abs=5e-4)


def test_named_weeks_are_told_less_of_than_the_same_weeks_without_a_name(found: Audit) -> None:
    """Tapers and overloads of the whole squad: no taper speaks, and a named overload lies above less often."""
    rows = {(row["squad"], row["name"], row["said"]): row for row in found.named.to_dicts()}
    for squad in ("own", "reference"):
        taper, named, plain = (rows[squad, *key] for key in (("taper", True), ("overload", True), ("overload", False)))
        assert taper["with_any"] == 0
        assert named["judged"] == plain["judged"] > 0
        assert named["above"] < plain["above"] / 2
        assert named["with_any"] <= plain["with_any"]


def test_steadier_work_is_found_more_often_and_nothing_more_than_could_be(found: Audit) -> None:
    for _, rows in found.steadiness.sort("scatter").group_by("squad"):
        share = (rows["notice"] / rows["planted"]).to_list()
        assert share[0] >= share[-1]
        assert rows["most"].is_sorted(descending=True)
        # By chance a share of so few weeks lies up to three standard errors above.
        error = 3 * (rows["most"] * (1 - rows["most"]) / rows["planted"]).sqrt() + 0.02
        assert (rows["notice"] / rows["planted"] <= rows["most"] + error).all()


def test_planting_leaves_all_else_as_it_was() -> None:
    drawn = reference_weeks(40, np.random.default_rng(0))
    seen = watch(drawn, MarkSettings(), changes=(1.0,))
    put = plants(drawn, False, np.random.default_rng(1))
    assert len(put) == 28
    before, after = (np.asarray(weeks.columns["value"]) for weeks in (seen.single, seen.cases[0]))
    assert (drawn.value == before).all()
    week, pair = put[0].week, put[0].pair
    assert after[week, pair] - before[week, pair] == pytest.approx(before[:, pair].mean())
    changed = seen.with_plants(0, put)
    places = set(zip(*(place.tolist() for place in np.nonzero(changed.above != seen.above)), strict=True))
    assert places <= {(plant.week, plant.pair) for plant in put}
    grown, ramps = ramped(drawn, np.random.default_rng(1))
    assert len(ramps) == 4
    assert grown[29, ramps[0].pair] == pytest.approx(1.08**2 * before[29, ramps[0].pair])


def test_a_week_that_is_asked_about_is_judged_as_if_it_alone_had_happened() -> None:
    """One heavy week really drawn, and the same week only asked about, get the same tail and lie above alike."""
    drawn = reference_weeks(30, np.random.default_rng(2))
    value = drawn.value.copy()
    value[20, 5] += value[:, 5].mean()
    really, asked = watch(drawn, MarkSettings(), value), watch(drawn, MarkSettings(), changes=(1.0,))
    given = [np.asarray(one.columns["tail"])[20, 5] for one in (really.single, asked.cases[0])]
    assert given[0] == pytest.approx(given[1])
    assert given[0] < np.asarray(asked.single.columns["tail"])[20, 5]
    assert really.above[20, 5] == asked.with_plants(0, [Plant(20, 5)]).above[20, 5]


def test_a_rule_over_budget_is_quietened_until_it_keeps_within_it() -> None:
    """Weeks that are judged by far too narrow a share: every one of them stands out until the rate is small.

    A rate is lowered by a fifth at a time: 1 / 0.8 = 1.25.
    """
    drawn = reference_weeks(40, np.random.default_rng(0))
    watched = watch(drawn, MarkSettings())
    watched = replace(watched, slow=watched.slow.clear())
    loud = replace(watched, weeks=_loud(40, each_week=0.02))
    usual = MarkSettings()
    assert notice_tally(drawn, loud, usual)["week"] == 32
    quiet = quietened([(drawn, loud), (drawn, loud)], usual)
    assert quiet.week_rate < 0.02 <= 1.25 * quiet.week_rate < RATES["week"]
    assert notice_tally(drawn, loud, quiet)["week"] == 0
    assert quietened([(drawn, watched), (drawn, watched)], usual).slow_rate == RATES["slow"]


def _loud(weeks: int, each_week: float) -> pl.DataFrame:
    rows = [
        {"athlete_id": "athlete 1", "week": f"w{number:02d}", "channel": "tonnage", "tail": each_week, "expected": 1.0,
         "value": 2.0, "place": "above", "q_value": each_week, "monday": MONDAY + timedelta(days=7 * number)}
        for number in range(8, weeks)
    ]  # fmt: skip
    return pl.DataFrame(rows)


def test_the_ratio_on_any_day_counts_windows_that_end_on_each_day_of_the_week() -> None:
    """One day of work in the first of five weeks: 4 x 1 > 1.5 x 1 in all windows that hold it (derived)."""
    drawn = reference_weeks(5, np.random.default_rng(0), people=1)
    drawn.days[:] = 0.0
    drawn.days[0, 3] = 1.0
    assert ratio_on_any_day(drawn)[:, 0].tolist() == [True, True, False, False, False]
