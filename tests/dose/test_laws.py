"""Laws that any log must keep: sums, order, scale, and nothing unknown that turns into zero."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import polars as pl
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from polars.testing import assert_frame_equal

from keelmark.dose.daily import exposure_daily
from keelmark.dose.effort_dose import effort_doses
from tests.dose.squad import MONDAY, efforts, small_catalogue

CATALOGUE = small_catalogue()
KEY = ["athlete_id", "date", "channel"]


@st.composite
def effort_rows(draw: st.DrawFn) -> dict[str, Any]:
    load = draw(st.one_of(st.none(), st.floats(0.0, 200.0)))
    low = draw(st.floats(0.0, 1.0))
    return {
        "athlete_id": draw(st.sampled_from(["runa", "ebbe", "tove"])),
        "date": MONDAY + timedelta(days=draw(st.integers(0, 9))),
        "movement": draw(st.sampled_from(sorted(CATALOGUE))),
        "sets": draw(st.integers(1, 6)),
        "reps": draw(st.one_of(st.none(), st.integers(0, 60).map(float))),
        "distance_m": draw(st.one_of(st.none(), st.floats(0.0, 5000.0))),
        "duration_s": draw(st.one_of(st.none(), st.floats(0.0, 3600.0))),
        "calories": draw(st.one_of(st.none(), st.floats(0.0, 200.0))),
        "load_kg": load,
        "load_basis": "external" if load is not None else draw(st.sampled_from(["none", "unknown"])),
        "share_low": low,
        "share_high": draw(st.floats(max(low, 1.0), 1.5)),
    }


logs = st.lists(effort_rows(), min_size=1, max_size=25)


@given(logs)
@settings(max_examples=80, deadline=None)
def test_a_day_is_the_sum_of_its_efforts(rows: list[dict[str, Any]]) -> None:
    log = efforts(*rows)
    single = effort_doses(log, CATALOGUE).join(
        log.with_row_index("effort").select("effort", "athlete_id", "date"), on="effort"
    )
    expected = single.group_by(KEY).agg(
        value=pl.when(pl.col("value").count() > 0).then(pl.col("value").sum()),
        low=pl.col("low").sum(),
        high=pl.when(pl.col("high").null_count() == 0).then(pl.col("high").sum()),
        efforts=pl.col("value").count().cast(pl.Int64),
        unknown=pl.col("value").null_count().cast(pl.Int64),
    )
    found = exposure_daily(log, CATALOGUE)
    assert_frame_equal(found.sort(KEY), expected.sort(KEY), check_row_order=True, rel_tol=1e-9)


@given(logs)
@settings(max_examples=60, deadline=None)
def test_bounds_hold_the_value_and_unknown_parts_leave_them_open(rows: list[dict[str, Any]]) -> None:
    for row in exposure_daily(efforts(*rows), CATALOGUE).iter_rows(named=True):
        assert row["low"] >= 0
        assert (row["high"] is None) == (row["unknown"] > 0)
        assert (row["value"] is None) == (row["efforts"] == 0)
        if row["value"] is not None:
            assert row["low"] <= row["value"] * (1 + 1e-12)
        if row["high"] is not None:
            assert row["value"] <= row["high"] * (1 + 1e-12)


@given(logs)
@settings(max_examples=60, deadline=None)
def test_every_day_with_efforts_has_a_tonnage(rows: list[dict[str, Any]]) -> None:
    log = efforts(*rows)
    days = exposure_daily(log, CATALOGUE).filter(pl.col("channel") == "tonnage")
    assert days["efforts"].sum() + days["unknown"].sum() == log.height
    assert set(days.select("athlete_id", "date").rows()) == set(log.select("athlete_id", "date").rows())


@given(logs, st.randoms())
@settings(max_examples=40, deadline=None)
def test_the_order_of_the_log_does_not_matter(rows: list[dict[str, Any]], random: Any) -> None:
    shuffled = rows.copy()
    random.shuffle(shuffled)
    assert_frame_equal(
        exposure_daily(efforts(*shuffled), CATALOGUE), exposure_daily(efforts(*rows), CATALOGUE), rel_tol=1e-9
    )


@given(logs)
@settings(max_examples=40, deadline=None)
def test_twice_the_sets_are_twice_the_dose(rows: list[dict[str, Any]]) -> None:
    once = exposure_daily(efforts(*rows), CATALOGUE)
    twice = exposure_daily(efforts(*({**row, "sets": 2 * row["sets"]} for row in rows)), CATALOGUE)
    amounts = [pl.col(name) * 2 for name in ("value", "low", "high")]
    assert_frame_equal(twice, once.with_columns(amounts), rel_tol=1e-9)


@given(logs, logs)
@settings(max_examples=40, deadline=None)
def test_another_athlete_changes_nothing(rows: list[dict[str, Any]], others: list[dict[str, Any]]) -> None:
    own = [{**row, "athlete_id": "runa"} for row in rows]
    both = exposure_daily(efforts(*({**row, "athlete_id": "aud"} for row in others), *own), CATALOGUE)
    alone = exposure_daily(efforts(*own), CATALOGUE)
    assert_frame_equal(both.filter(pl.col("athlete_id") == "runa"), alone, rel_tol=1e-12)


@given(logs, st.integers(0, 24))
@settings(max_examples=60, deadline=None)
def test_forgetting_a_load_or_an_amount_never_lowers_the_upper_bound(rows: list[dict[str, Any]], at: int) -> None:
    """Reps of a movement that is never counted in reps are left out: they are a tonnage only while they are there."""
    at %= len(rows)
    movement = CATALOGUE[rows[at]["movement"]]
    assume("reps" in movement.measures or rows[at]["reps"] is None)
    forgotten: dict[str, Any] = dict.fromkeys(["reps", "distance_m", "duration_s", "calories"])
    if movement.load != "never":
        forgotten |= {"load_kg": None, "load_basis": "unknown"}
    vague = [*rows]
    vague[at] = {**rows[at], **forgotten}
    before = bounds(rows)
    for key, (low, high) in bounds(vague).items():
        if key in before:
            assert low <= before[key][0] * (1 + 1e-9)
            assert high is None or (before[key][1] is not None and high >= before[key][1] * (1 - 1e-9))


def bounds(rows: list[dict[str, Any]]) -> dict[tuple[Any, ...], tuple[Any, Any]]:
    table = exposure_daily(efforts(*rows), CATALOGUE)
    return {tuple(row[name] for name in KEY): (row["low"], row["high"]) for row in table.iter_rows(named=True)}


def test_long_logs_are_gathered_in_stretches(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = [
        {"movement": "deadlift", "reps": float(n), "load_kg": 50.0, "date": MONDAY + timedelta(days=n)}
        for n in range(9)
    ]
    whole = exposure_daily(efforts(*rows), CATALOGUE)
    monkeypatch.setattr("keelmark.dose.gather.CELLS_AT_ONCE", 2)
    assert exposure_daily(efforts(*rows), CATALOGUE).equals(whole)


def test_an_empty_log_has_no_days() -> None:
    assert exposure_daily(efforts(), CATALOGUE).is_empty()
    assert effort_doses(efforts(), CATALOGUE).is_empty()
