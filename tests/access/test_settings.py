"""Each choice takes effect, is written down, and what does not fit changes nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from keelmark.contracts.emergency import EMERGENCY_NUMBERS
from keelmark.contracts.errors import KeelmarkError, SettingError
from keelmark.service import Squad
from keelmark.service.display_settings import DISPLAY_SETTINGS
from keelmark_dash.care_words import CARDS, cards
from keelmark_dash.desk import Desk
from keelmark_dash.effort_words import done, movement
from keelmark_dash.parts.settings_fields import FIELD_KEYS, field, value_of
from keelmark_dash.shown_as import load_words, show_as
from tests.store.made import effort, efforts, save, squad


@pytest.fixture
def small(tmp_path: Path) -> Squad:
    opened = Squad.open(f"sqlite:///{tmp_path / 'small.db'}")
    save(opened._store, athletes=squad("bo"), efforts=efforts(effort(), effort(movement="clean", load=60.0)))
    return opened


def row(**more: object) -> dict[str, object]:
    return effort(distance_m=None, duration_s=None, calories=None, **more)


def test_a_load_is_shown_in_pounds(small: Squad) -> None:
    """Derived: 100 kg / 0.45359237 kg = 220.46 lb, shown whole from 100 up."""
    small.set_setting("load_unit", "lb")
    Desk(small).season()
    assert load_words(100.0) == "220 lb"
    assert done(row()) == "3 × 5 reps at 220 lb"
    small.set_setting("load_unit", "kg")
    Desk(small).season()
    assert load_words(100.0) == "100 kg"


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
    other = {"channels_shown": ["tonnage"], "load_unit": "lb", "language": "de", "country": "gb"}[key]
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
    [("load_unit", "stone"), ("language", "xx"), ("country", "atlantis"), ("channels_shown", ["luck"]),
     ("channels_shown", "tonnage"), ("notice_budget", 0), ("share_above", 0.9), ("week_day", 8), ("no such", 1)],
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
