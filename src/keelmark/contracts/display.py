"""In which languages and units things can be shown."""

from __future__ import annotations

__all__ = ["LANGUAGES", "LOAD_UNITS"]

LANGUAGES = {"en": "English", "de": "German", "es": "Spanish", "fr": "French", "pt": "Portuguese"}
LOAD_UNITS = {"kg": "kilograms", "lb": "pounds"}
