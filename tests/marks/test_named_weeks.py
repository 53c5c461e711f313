"""Names of the calendar move what is expected, with an uncertainty that the squad's own named weeks narrow.

Expected values are what the names say, or arithmetic on them.
"""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import polars as pl
import pytest

from keelmark.contracts.records import CALENDAR_LABEL
from keelmark.marks import marks
from keelmark.marks.adaptive import error_bound
from keelmark.marks.labels import labelled_weeks
from keelmark.marks.week_names import KINDS, OWN_NAME_SPREAD, SAID_SPREAD, START_SPREAD, name_meaning
from tests.marks.squad import MONDAY, athletes, week, weekly

PEOPLE = [f"a{who}" for who in range(8)]
WEEKS = 40


def squad(number: int = 0, held: dict[int, float] | None = None) -> pl.DataFrame:
    """Eight people who do about the same each week, in two kinds of work; some weeks hold a part of it."""
    random = np.random.default_rng(number)
    part = np.ones(WEEKS)
    for place, amount in (held or {}).items():
        part[place] = amount
    return weekly(
        {
            (who, channel): (part * size * random.lognormal(0, 0.12, WEEKS)).tolist()
            for who in PEOPLE
            for channel, size in (("tonnage", 9000.0), ("jump_contacts", 200.0))
        }
    )


def labels(*named: tuple[int, str], days: int = 7) -> pl.DataFrame:
    rows = []
    for place, (number, name) in enumerate(named):
        monday = MONDAY + timedelta(days=7 * number)
        rows.append(
            {"label_id": str(place), "date_from": monday, "date_to": monday + timedelta(days=days - 1), "label": name}
        )
    return CALENDAR_LABEL.build(rows)


def of_week(frame: pl.DataFrame, number: int, channel: str = "tonnage") -> pl.DataFrame:
    return frame.filter(pl.col("week") == week(number), pl.col("channel") == channel)


@pytest.mark.parametrize(
    ("name", "kind", "amount"),
    [
        ("Taper", "taper", 0.5),
        ("planned heavy weeks", "overload", 1.3),
        ("Competition block", "competition", 0.8),
        ("deload", "deload", 0.6),
        ("test week", "test", 0.8),
        ("holidays", "holiday", 0.5),
        ("travel", "travel", 0.5),
        ("ill", "ill", 0.3),
        ("taper 60 %", "taper", 0.6),
        ("overload +30 %", "overload", 1.3),
        ("boat refit, \u221220%", None, 0.8),
    ],
)
def test_names_are_read_for_their_kind_and_their_amount(name: str, kind: str | None, amount: float) -> None:
    """Amounts that are written are taken; the others are the module's starting points."""
    found = name_meaning(name)
    assert (found.kind, found.amount) == (kind, pytest.approx(amount))
    assert found.spread == (SAID_SPREAD if "%" in name else START_SPREAD)


def test_every_name_that_the_page_offers_is_a_kind() -> None:
    assert {"overload", "taper", "competition", "deload", "test", "holiday", "travel", "ill"} == set(KINDS)
    assert all(name_meaning(kind).kind == kind for kind in KINDS)


def test_an_unknown_name_leaves_the_amount_open_on_either_side() -> None:
    found = name_meaning("storm fortnight")
    assert (found.key, found.amount, found.spread) == ("storm fortnight", 1.0, OWN_NAME_SPREAD)


def test_a_written_amount_moves_what_is_expected() -> None:
    """`taper 60 %`: 0.6 of what is expected without the name, in both kinds of work, and a mark on either side."""
    plain, named = marks(squad()), marks(squad(), labels=labels((30, "taper 60 %")))
    for channel in ("tonnage", "jump_contacts"):
        before, moved = of_week(plain, 30, channel), of_week(named, 30, channel)
        assert (moved["expected"] / before["expected"]).to_list() == pytest.approx([0.6] * 8, rel=1e-6)
        assert (moved["upper"] > moved["expected"]).all()
        assert (moved["upper"] < before["expected"]).all()


def test_a_named_day_moves_a_seventh_of_it() -> None:
    """One day of seven at half: 1 + (sqrt(0.5) - 1) / 7 on the square-root scale (derived)."""
    plain, named = marks(squad()), marks(squad(), labels=labels((30, "holiday"), days=1))
    ratio = (of_week(named, 30)["expected"] / of_week(plain, 30)["expected"]).to_list()
    assert ratio == pytest.approx([(1 + (0.5**0.5 - 1) / 7) ** 2] * 8, rel=1e-6)


def test_what_tapers_hold_is_learnt_from_the_squads_own() -> None:
    """Four tapers to three quarters; the fifth is expected near that, and in a narrower range than the first."""
    when = (14, 18, 22, 26, 34)
    held = dict.fromkeys(when, 0.75)
    named = marks(squad(3, held), labels=labels(*[(number, "taper") for number in when]))
    usual = marks(squad(3, held))
    share = [float((of_week(named, n)["expected"] / of_week(usual, n)["expected"]).mean()) for n in when]
    width = [float((of_week(named, n)["upper"] / of_week(named, n)["expected"]).mean()) for n in when]
    assert share[0] == pytest.approx(0.5, rel=1e-6)
    assert share[-1] == pytest.approx(0.75, abs=0.08)
    assert width[-1] < width[0]
    assert set(of_week(named, 34)["place"]) <= {"within", "above", "below"}


def test_usual_amounts_after_a_taper_are_those_before_it() -> None:
    held = dict.fromkeys((20, 21), 0.5)
    named = marks(squad(1, held), labels=labels((20, "taper"), (21, "taper")))
    assert of_week(named, 23)["expected"].mean() == pytest.approx(9000.0, rel=0.08)
    assert marks(squad(1, held)).filter(pl.col("week") == week(22))["plain_tail"].is_null().all()


def test_the_week_after_has_a_wider_range_around_the_usual_amount() -> None:
    plain, named = marks(squad(2)), marks(squad(2), labels=labels((30, "taper")))
    after, usual = of_week(named, 31), of_week(plain, 31)
    assert after["expected"].mean() == pytest.approx(usual["expected"].mean(), rel=0.03)
    assert (after["upper"] > usual["upper"]).all()
    assert after["plain_tail"].is_not_null().all()


def test_the_share_above_keeps_its_bound_with_named_weeks_among_them() -> None:
    """Gibbs & Candes 2021, proposition 4.1, over all judged weeks of each athlete, the named ones included."""
    when = range(8, WEEKS, 4)
    named = marks(squad(5, dict.fromkeys(when, 0.4)), labels=labels(*[(n, "taper 80 %") for n in when]))
    judged = named.filter(pl.col("tail").is_not_null())
    above = judged.group_by("athlete_id", "channel").agg(
        pl.col("place").is_in(["above", "well_above"]).mean().alias("share"), pl.len().alias("weeks")
    )
    for share, weeks in above.select("share", "weeks").iter_rows():
        assert abs(share - 0.05) <= error_bound(weeks, 0.05)


def test_a_largest_day_is_not_moved_by_a_lighter_week() -> None:
    random = np.random.default_rng(4)
    frame = weekly({(who, "lumbar_peak"): random.lognormal(5, 0.1, WEEKS).tolist() for who in PEOPLE})
    plain, named = marks(frame), marks(frame, labels=labels((30, "taper")))
    moved = of_week(named, 30, "lumbar_peak")["expected"] / of_week(plain, 30, "lumbar_peak")["expected"]
    assert moved.to_list() == pytest.approx([1.0] * 8)


def test_the_label_with_most_days_of_a_week_counts_and_its_days_are_told() -> None:
    frame = weekly({("a", "tonnage"): [1.0] * 6})
    two = pl.concat([labels((2, "travel"), days=2), labels((2, "camp"), days=6).with_columns(label_id=pl.lit("x"))])
    found = labelled_weeks(two, athletes("a"), frame).sort("week")
    assert found.select("week", "label", "after").rows() == [(week(2), "camp", False), (week(3), "camp", True)]
    assert found["share"].to_list() == pytest.approx([6 / 7, 6 / 7])
