"""The number to call for an ambulance, by country.

112 works in every country of the European Union (Directive (EU) 2018/1972, Article 109). The others are those that the
countries' own authorities publish; from memory. Where a country has one number for ambulances and another for
everything, the one for ambulances comes first.
"""

from __future__ import annotations

__all__ = ["EMERGENCY_NUMBERS"]

_EU = (
    ("at", "Austria"), ("be", "Belgium"), ("bg", "Bulgaria"), ("hr", "Croatia"), ("cy", "Cyprus"), ("cz", "Czechia"),
    ("dk", "Denmark"), ("ee", "Estonia"), ("fi", "Finland"), ("fr", "France"), ("de", "Germany"), ("gr", "Greece"),
    ("hu", "Hungary"), ("ie", "Ireland"), ("it", "Italy"), ("lv", "Latvia"), ("lt", "Lithuania"), ("lu", "Luxembourg"),
    ("mt", "Malta"), ("nl", "the Netherlands"), ("pl", "Poland"), ("pt", "Portugal"), ("ro", "Romania"),
    ("sk", "Slovakia"), ("si", "Slovenia"), ("es", "Spain"), ("se", "Sweden"),
)  # fmt: skip

EMERGENCY_NUMBERS: dict[str, tuple[str, str]] = {
    **{code: (name, "112") for code, name in _EU},
    "ie": ("Ireland", "112 or 999"),
    "gb": ("the United Kingdom", "999 or 112"),
    "no": ("Norway", "113"),
    "ch": ("Switzerland", "144 or 112"),
    "is": ("Iceland", "112"),
    "us": ("the United States", "911"),
    "ca": ("Canada", "911"),
    "mx": ("Mexico", "911"),
    "br": ("Brazil", "192"),
    "au": ("Australia", "000"),
    "nz": ("New Zealand", "111"),
    "jp": ("Japan", "119"),
    "in": ("India", "112"),
    "za": ("South Africa", "112 from a mobile phone, or 10177"),
}
"""Country code: name as it stands in a sentence, and number."""
