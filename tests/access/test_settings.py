"""Each choice takes effect, is written down, and what does not fit changes nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from keelmark.contracts.display import kept_value, shown_value
from keelmark.contracts.emergency import EMERGENCY_NUMBERS
from keelmark.contracts.errors import KeelmarkError, SettingError
from keelmark.service import Squad
from keelmark.service.display_settings import DISPLAY_SETTINGS
from keelmark_dash.care_words import CARDS, cards
from keelmark_dash.desk import Desk
from keelmark_dash.effort_words import done, movement
from keelmark_dash.figures.weeks import weeks_chart
from keelmark_dash.parts.settings_fields import FIELD_KEYS, field, value_of
from keelmark_dash.readings import athlete_weeks
from keelmark_dash.shown_as import show_as
from keelmark_dash.words import amount, cell_words, channel_of, span, unit_beside, usual_range
from tests.store.made import effort, efforts, save, squad


@pytest.fixture
def small(tmp_path: Path) -> Squad:
    opened = Squad.open(f"sqlite:///{tmp_path / 'small.db'}")
    save(opened._store, athletes=squad("bo"), efforts=efforts(effort(), effort(movement="clean", load=60.0)))
    return opened


def row(**more: object) -> dict[str, object]:
    return effort(distance_m=None, duration_s=None, calories=None, **more)


def test_a_load_and_its_sums_are_shown_in_pounds(small: Squad) -> None:
    """Derived: 100 kg / 0.45359237 kg = 220.46 lb, shown whole from 100 up; 1000 and 3000 kg are 2204.6 and 6613.9 lb.

    The interval of 1000 to 3000 kg is 4409 lb wide; half of it is 2205, so thousands are told and bounds go outwards.
    """
    small.set_setting("load_unit", "lb")
    _ = Desk(small).squad
    assert done(row()) == "3 × 5 reps at 220 lb"
    assert amount(100.0, "kg") == "220 lb"
    assert amount(2000.0, "kg", 1000.0, 3000.0) == "4\u202f000 lb"
    assert span(2000.0, 1000.0, 3000.0, "kg") == "2\u202f000 to 7\u202f000"
    assert usual_range(1000.0, 3000.0, "kg") == "2\u202f205 to 6\u202f614 lb"
    assert unit_beside("Tonnage", "kg") == "lb"
    assert "2\u202f205 lb" in cell_words("Bo", "2026-W10", 1000.0, "within", (None, 3000.0), "kg", 7)
    small.set_setting("load_unit", "kg")
    _ = Desk(small).squad
    assert amount(100.0, "kg") == "100 kg"


def test_a_height_is_shown_in_inches_and_what_is_typed_is_kept_in_kilograms(small: Squad) -> None:
    """Derived: 60 cm / 2.54 cm = 23.62 in; 100 lb x 0.45359237 = 45.359237 kg."""
    show_as({"load_unit": "lb", "height_unit": "in"}, small.catalogue)
    assert amount(60.0, "cm") == "23.6 in"
    assert kept_value(100.0, "kg") == pytest.approx(45.359237)
    assert kept_value(shown_value(72.5, "kg"), "kg") == pytest.approx(72.5)
    assert amount(40, "rep") == "40 reps"
    show_as({}, small.catalogue)
    assert (amount(60.0, "cm"), kept_value(100.0, "kg")) == ("60 cm", 100.0)


def test_a_chart_is_drawn_in_the_unit_that_is_shown(small: Squad) -> None:
    weeks = athlete_weeks(Desk(small).season(), "bo", "tonnage")
    last = weeks["week"][-1]
    kilograms = weeks_chart(weeks, channel_of("tonnage"), last, scheme="light")
    show_as({"load_unit": "lb"}, small.catalogue)
    pounds = weeks_chart(weeks, channel_of("tonnage"), last, scheme="light")
    show_as({}, small.catalogue)
    bars = [next(trace for trace in drawn.data if trace.type == "bar") for drawn in (kilograms, pounds)]
    assert list(bars[1].y) == pytest.approx([value / 0.45359237 for value in bars[0].y])
    assert pounds.layout.yaxis.title.text == "lb"
    assert " lb" in bars[1].hovertext[-1]
    assert " kg" not in bars[1].hovertext[-1]


def test_movements_are_named_in_the_language(small: Squad) -> None:
    show_as({"language": "de"}, small.catalogue)
    assert movement(row(movement="clean")) == "Umsetzen"
    show_as({"language": "en"}, small.catalogue)
    assert movement(row(movement="power_clean")) == "power clean"


def test_lists_offer_the_kinds_of_work_that_were_chosen(small: Squad) -> None:
    desk = Desk(small)
    everything = desk.season().channels
    small.set_setting("channels_shown", ["tonnage"])
    assert desk.season().channels == ["tonnage"]
    small.set_setting("channels_shown", [])
    assert desk.season().channels == everything


@pytest.mark.parametrize("setting", DISPLAY_SETTINGS, ids=lambda setting: setting.key)
def test_what_is_only_shown_otherwise_is_not_worked_out_anew(small: Squad, setting: object) -> None:
    key = setting.key  # type: ignore[attr-defined]
    other = {"channels_shown": ["tonnage"], "load_unit": "lb", "height_unit": "in", "language": "de", "country": "gb"}[
        key
    ]
    season = small.season()
    small.set_setting(key, other)
    assert small.season() is season
    small.set_setting("share_above", 0.1)
    assert small.season() is not season


def test_the_care_card_names_the_country_s_number() -> None:
    assert cards(None) == CARDS
    for code, (place, number) in EMERGENCY_NUMBERS.items():
        first = next(card for card in cards(code) if card.key == "now").what_to_do[0]
        assert number in first
        assert place in first
    assert EMERGENCY_NUMBERS["fr"][1] == EMERGENCY_NUMBERS["de"][1] == "112", "Directive (EU) 2018/1972, article 109"


@pytest.mark.parametrize(
    ("key", "value"),
    [("load_unit", "stone"), ("height_unit", "hand"), ("language", "xx"), ("country", "atlantis"),
     ("channels_shown", ["luck"]), ("channels_shown", "tonnage"),
     ("notice_budget", 0), ("share_above", 0.9), ("week_day", 8), ("no such", 1)],
)  # fmt: skip
def test_what_does_not_fit_changes_nothing(small: Squad, key: str, value: object) -> None:
    with pytest.raises(SettingError):
        small.set_setting(key, value)
    assert small.setting_changes() == []


def test_changes_are_written_down_with_author_and_both_values(small: Squad) -> None:
    small.set_setting("notice_budget", 5, who="Carys")
    small.set_setting("notice_budget", 5, who="Carys")
    small.set_setting("notice_budget", 2)
    told = [(one.key, one.old, one.new, one.who) for one in small.setting_changes()]
    assert told == [("notice_budget", 5, 2, None), ("notice_budget", None, 5, "Carys")]


def test_every_field_hands_back_what_it_was_given(small: Squad) -> None:
    chosen = small.settings()
    for key in FIELD_KEYS:
        control = field(key, chosen[key]).children[0]
        assert value_of(key, control.value) == chosen[key]
        small.check_setting(key, value_of(key, control.value))


def test_movements_of_one_s_own_are_known_at_once_and_stay_while_rows_need_them(small: Squad) -> None:
    text = '[bollard_heave]\nlike = ["deadlift"]\nnames.en = ["bollard heave"]\n'
    small.change_own_movements("own.toml", text, who="Carys")
    assert "bollard_heave" in small.catalogue
    assert small.own_movements() == {"own.toml": text}
    assert small.setting_changes()[0].who == "Carys"
    with pytest.raises(KeelmarkError):
        small.change_own_movements("broken.toml", "[no_such]\nlike = 3\n")
    assert list(small.own_movements()) == ["own.toml"]
    save(small._store, "more", athletes=squad("bo"), efforts=efforts(effort(movement="bollard_heave")))
    with pytest.raises(SettingError, match="logged rows use bollard_heave"):
        small.change_own_movements("own.toml", None)
    assert "bollard_heave" in small.catalogue
