"""What stands around a lumbar figure: the explanation, what widens it, levels in body weights, and the three powers."""

from __future__ import annotations

import polars as pl
import pytest

from keelmark.contracts.errors import SettingError
from keelmark.dose.lumbar import LUMBAR_CHANNELS, lumbar_efforts, lumbar_reps
from keelmark.dose.lumbar_explain import explain
from keelmark.dose.lumbar_levels import powers_in_words, rank_by_power, reps_above_levels
from keelmark.dose.lumbar_width import width_by_input
from tests.dose.bodies import CATALOGUE, crew
from tests.dose.squad import athletes, efforts

SESSION = efforts(
    {"movement": "deadlift", "sets": 3, "reps": 5.0, "load_kg": 100.0},
    {"movement": "toes_to_bar", "reps": 20.0, "order": 1},
    {"movement": "pull_up", "reps": 20.0, "order": 2},
    {"movement": "clean", "reps": 10.0, "load_basis": "unknown", "order": 3},
)


def test_an_explanation_shows_each_rep_with_its_posture_and_what_was_assumed() -> None:
    found = explain(SESSION, athletes("runa"), CATALOGUE)
    assert found.reps["movement"].to_list() == ["deadlift", "toes_to_bar", "clean"]
    assert found.reps["posture"][0] == "Slow pull from the floor"
    assert found.reps["missing"].to_list() == [None, None, "load"]
    assert [movement for movement, _ in found.not_counted] == ["pull_up"]
    assert found.assumptions[0] == "body mass not on record: 45 to 125 kg assumed"
    fields = {figure.field for figure in found.postures if figure.family == "floor_pull"}
    assert {"start_height_cm", "dynamic", "seconds"} <= fields
    assert "does not diagnose" in found.scope


def test_the_doses_of_an_explanation_are_those_of_the_day() -> None:
    found, direct = explain(SESSION, crew(), CATALOGUE).doses, lumbar_efforts(SESSION, crew(), CATALOGUE)
    for name in LUMBAR_CHANNELS:
        of_channel = direct.filter(pl.col("channel") == name)["value"].sum()
        assert found.filter(pl.col("channel") == name)["value"].sum() == pytest.approx(of_channel)


def test_other_athletes_are_passed_over() -> None:
    rows = pl.concat([SESSION, efforts({"movement": "deadlift", "reps": 99.0, "load_kg": 50.0, "athlete_id": "odd"})])
    assert explain(rows, crew(), CATALOGUE).reps.height == 3


def test_an_explanation_of_nothing_is_empty() -> None:
    found = explain(SESSION.clear(), crew(), CATALOGUE)
    assert found.reps.is_empty()
    assert found.narrowing.is_empty()


def test_the_time_of_a_rep_widens_the_summed_moment_most_and_has_a_question() -> None:
    found = width_by_input(SESSION, crew(), CATALOGUE)
    assert found["input"][0] == "seconds"
    assert found["question"][0] == "How long did one rep take?"
    assert found["narrows"].is_between(0, 1).all()
    assert found["narrows"].is_sorted(descending=True)


def test_a_body_on_record_widens_nothing_and_one_that_is_not_does() -> None:
    known, unknown = (
        width_by_input(SESSION, body, CATALOGUE)["input"].to_list() for body in (crew(), athletes("runa"))
    )
    assert "mass" not in known
    assert "mass" in unknown


def test_time_does_not_widen_compression() -> None:
    found = width_by_input(SESSION.head(1), crew(), CATALOGUE, "lumbar_compression")["input"].to_list()
    assert "seconds" not in found
    assert found[0] == "extensor_arm"


def test_a_partly_known_score_asks_for_the_reps() -> None:
    rows = efforts({"movement": "deadlift", "reps": 30.0, "load_kg": 60.0, "share_low": 0.1, "share_high": 1.0})
    assert "amount" in width_by_input(rows, crew(), CATALOGUE)["input"].to_list()


def test_only_lumbar_channels_have_inputs() -> None:
    with pytest.raises(SettingError, match="channel tonnage"):
        width_by_input(SESSION, crew(), CATALOGUE, "tonnage")


def test_reps_above_levels_of_body_weight() -> None:
    """Derived: body weight 785 N; 15 pulls lie between 4 and 12 times that, 20 toes-to-bar (2992 N) at 3.8."""
    reps = lumbar_reps(SESSION, crew(), CATALOGUE)
    found = reps_above_levels(reps, crew(), (1.0, 4.0, 12.0))
    assert found["level"].to_list() == [1.0, 4.0, 12.0]
    assert found["low"].is_sorted(descending=True)
    assert found["reps"].to_list() == [35.0, 15.0, 0.0]
    assert found["high"].null_count() == 3
    assert found["unknown"].to_list() == [1, 1, 1]


def week(name: str, **values: float) -> list[dict[str, object]]:
    return [
        {"athlete_id": "runa", "week": name, "channel": channel, "value": value} for channel, value in values.items()
    ]


def test_weeks_are_ranked_by_each_power() -> None:
    rows = [
        *week("2026-W10", lumbar_compression=100.0, lumbar_compression_2=200.0, lumbar_fatigue=0.1),
        *week("2026-W11", lumbar_compression=50.0, lumbar_compression_2=300.0, lumbar_fatigue=0.9),
        *week("2026-W11", tonnage=5000.0),
    ]
    found = rank_by_power(pl.DataFrame(rows))
    assert found["lumbar_compression"].to_list() == [1, 2]
    assert found["lumbar_fatigue"].to_list() == [2, 1]
    assert found["spread"].to_list() == [1, 1]
    assert found["weeks"].to_list() == [2, 2]


def test_powers_that_disagree_are_said_in_words() -> None:
    light = {"lumbar_compression": 2, "lumbar_compression_2": 5, "lumbar_fatigue": 14}
    heavy = {"lumbar_compression": 14, "lumbar_compression_2": 5, "lumbar_fatigue": 2}
    assert "number 2 of 20" in (powers_in_words(light, 20) or "")
    assert (powers_in_words(light, 20) or "").endswith("many lighter reps rather than few heavy ones.")
    assert (powers_in_words(heavy, 20) or "").endswith("few heavy reps rather than many lighter ones.")
    assert powers_in_words({"lumbar_compression": 3, "lumbar_compression_2": 4, "lumbar_fatigue": 5}, 20) is None
