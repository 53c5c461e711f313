"""What the marks and notices promise, measured on squads in which nothing changes, and beside a ratio rule.

Expected values are the promises themselves: the chosen share of weeks above the mark, the chosen rate of weeks with a
false notice, one false notice a month at most.
"""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest

from keelmark.contracts.channels import CHANNELS
from keelmark.marks import MarkSettings, marks
from keelmark.marks.family import alone_and_squad, family
from keelmark.marks.selection import NOTICE_WEEKS, selected
from keelmark.marks.slow_rise import slow_rises
from tests.marks.squad import unchanging_squad, week, weekly, weeks_of

SQUADS, WEEKS = 8, 40
WEEKS_A_MONTH = 365.25 / 12 / 7
NOT_LABELLED = pl.DataFrame(schema={"athlete_id": pl.String, "week": pl.String})
SETTINGS = MarkSettings()


@pytest.fixture(scope="module")
def quiet() -> list[tuple[pl.DataFrame, pl.DataFrame, pl.DataFrame]]:
    """Weekly figures, marks and slow rises of squads in which nothing changes."""
    found = []
    for number in range(SQUADS):
        figures = weekly(weeks_of(unchanging_squad(number, weeks=WEEKS)[0]))
        found.append((figures, marks(figures, SETTINGS), slow_rises(figures, NOT_LABELLED, SETTINGS.share)))
    return found


def test_the_share_of_weeks_above_the_mark_is_the_chosen_one(quiet: list[tuple[pl.DataFrame, ...]]) -> None:
    marked = pl.concat([frame for _, frame, _ in quiet]).filter(pl.col("tail").is_not_null())
    assert marked.height > 80_000
    assert marked["place"].is_in(["above", "well_above"]).mean() == pytest.approx(0.05, abs=0.005)
    assert (marked["place"] == "well_above").mean() == pytest.approx(0.005, abs=0.002)
    assert (marked["place"] == "below").mean() <= 0.05


@pytest.mark.parametrize("share", [0.1, 0.02, 0.01, 0.002])
def test_tails_are_true_far_out(quiet: list[tuple[pl.DataFrame, ...]], share: float) -> None:
    """Of weeks and of steps, a share no larger than a fifth above what the tail says, once weeks may give notices."""
    single = pl.concat([frame for _, frame, _ in quiet]).filter(pl.col("weeks") >= NOTICE_WEEKS)["tail"].drop_nulls()
    steps = pl.concat([frame for _, _, frame in quiet])["tail"]
    for tails in (single, steps):
        found = (tails <= share).mean()
        assert isinstance(found, float)
        assert 0.5 * share <= found <= 1.2 * share


def test_a_squad_in_which_nothing_changes_is_left_in_peace(quiet: list[tuple[pl.DataFrame, ...]]) -> None:
    """Weeks with any notice at the chosen rates, within two standard errors of a count; one a month at most."""
    weeks_with_any, notices = 0, 0
    for figures, marked, slow in quiet:
        mondays = figures.select("athlete_id", "week", "monday").unique()
        grown = marked.with_columns(value=figures["value"]).filter(
            pl.col("weeks") >= NOTICE_WEEKS, pl.col("tail").is_not_null()
        )
        grown = grown.join(mondays, on=["athlete_id", "week"], maintain_order="left")
        above = pl.when(pl.col("tail") <= SETTINGS.share).then(pl.lit("above")).otherwise(pl.lit("within"))
        steps = slow.with_columns(place=above).join(mondays, on=["athlete_id", "week"], maintain_order="left")
        grown = grown.with_columns(place=pl.col("place").cast(pl.String))
        single, rises = family(*alone_and_squad(grown)), family(steps, alone_and_squad(steps)[1])
        found = selected(single, rises, SETTINGS)
        weeks_with_any += found["week"].n_unique()
        notices += found["within_budget"].sum()
    looked_at = SQUADS * (WEEKS - NOTICE_WEEKS)
    rate = SETTINGS.week_rate + SETTINGS.slow_rate
    assert weeks_with_any / looked_at <= rate + 2 * (rate * (1 - rate) / looked_at) ** 0.5
    assert notices / looked_at * WEEKS_A_MONTH <= 1.0


def test_a_ratio_rule_on_the_same_weeks_speaks_several_times_as_often(quiet: list[tuple[pl.DataFrame, ...]]) -> None:
    """A coupled 7:28 ratio above 1.5 for work done at least twice a week."""
    said = judged = 0
    for number in range(SQUADS):
        days, _ = unchanging_squad(number, weeks=WEEKS)
        weeks = days.reshape(WEEKS, 7, *days.shape[1:])
        total, worked = weeks.sum(axis=1), (weeks > 0).sum(axis=1)
        for last in range(NOTICE_WEEKS, WEEKS):
            month = slice(last - 3, last + 1)
            often = worked[month].sum(axis=0) >= 8
            ratio = 4 * total[last][often] / total[month].sum(axis=0)[often]
            said, judged = said + int((ratio > 1.5).sum()), judged + int(often.sum())
    assert said / judged > 2 * 0.05


def found_spikes(scatter: float) -> float:
    """Share of doubled weeks found the same week, for work done three times a week with a given scatter per day."""
    found = []
    for number in range(6):
        random = np.random.default_rng(100 + number)
        people, channel = 20, CHANNELS[1].key
        days = random.lognormal(0, 0.3, (1, people, 1)) * random.lognormal(0, scatter, (30, people, 3))
        totals = 1000 * days.sum(axis=2)
        spiked = random.permutation(people)[:4]
        totals[25, spiked] += 3000 * np.median(totals[:, spiked], axis=0) / 3000
        marked = marks(weekly({(f"a{who:02d}", channel): totals[:, who].tolist() for who in range(people)}))
        of_week = marked.filter(
            (pl.col("week") == week(25)) & pl.col("athlete_id").is_in([f"a{who:02d}" for who in spiked])
        )
        found += of_week["place"].is_in(["above", "well_above"]).to_list()
    return float(np.mean(found))


def test_a_doubled_week_is_found_the_same_week() -> None:
    """Days that scatter by 35 % (log scale), done three times a week: weeks scatter by about 20 %."""
    assert found_spikes(0.35) >= 0.9
