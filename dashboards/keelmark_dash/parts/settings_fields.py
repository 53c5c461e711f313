"""One field for each choice of a squad, with the sentence that says what it changes."""

from __future__ import annotations

from typing import Any

import dash_mantine_components as dmc
from dash import html

from keelmark.contracts.channels import CHANNELS
from keelmark.contracts.display import HEIGHT_UNITS, LANGUAGES, LOAD_UNITS
from keelmark.contracts.emergency import EMERGENCY_NUMBERS
from keelmark_dash import ids
from keelmark_dash.parts.fields import choose_one, choose_some
from keelmark_dash.settings_words import WORDS

__all__ = ["FIELD_KEYS", "field", "value_of"]

FIELD_KEYS = tuple(WORDS)
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_NO_COUNTRY = "none"
_OPTIONS: dict[str, list[dict[str, str]]] = {
    "week_day": [{"value": str(place), "label": day} for place, day in enumerate(_DAYS, start=1)],
    "load_unit": [{"value": key, "label": name} for key, name in LOAD_UNITS.items()],
    "height_unit": [{"value": key, "label": name} for key, name in HEIGHT_UNITS.items()],
    "language": [{"value": key, "label": name} for key, name in LANGUAGES.items()],
    "country": [
        {"value": _NO_COUNTRY, "label": "Several countries' numbers"},
        *(
            {"value": code, "label": f"{name.removeprefix('the ')}: {call}"}
            for code, (name, call) in sorted(EMERGENCY_NUMBERS.items(), key=lambda one: one[1][0].removeprefix("the "))
        ),
    ],
}


def field(key: str, chosen: Any) -> html.Div:
    """The field of a setting, holding what is chosen."""
    label, changes = WORDS[key]
    name = ids.named(ids.SETTINGS, key)
    if key == "share_above":
        control: Any = dmc.NumberInput(
            id=name, label=label, value=round(100 * chosen, 2), min=1, max=25, hideControls=True
        )
    elif key == "notice_budget":
        control = dmc.NumberInput(
            id=name, label=label, value=chosen, min=1, max=20, allowDecimal=False, hideControls=True
        )
    elif key == "channels_shown":
        data = [{"value": channel.key, "label": channel.label} for channel in CHANNELS]
        control = choose_some(name, label, data, list(chosen or []))
    else:
        search = key == "country"
        value = _NO_COUNTRY if key == "country" and not chosen else str(chosen)
        control = choose_one(name, label, _OPTIONS[key], value, search=search, allowDeselect=False)
    return html.Div([control, html.P(changes, className="soft")], className="setting")


def value_of(key: str, said: Any) -> Any:
    """What a field says, as the setting keeps it; something that does not fit is handed on to be refused."""
    if key == "share_above":
        return round(float(said) / 100, 4) if isinstance(said, (int, float)) else said
    if key == "week_day" and isinstance(said, str) and said.isdecimal():
        return int(said)
    if key == "country" and said == _NO_COUNTRY:
        return ""
    return said
