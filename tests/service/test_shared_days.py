"""A calendar goes to many: named days are told by their kind, and what tells of somebody's health stays at home."""

from __future__ import annotations

import datetime as dt

from keelmark.contracts.records import CALENDAR_LABEL
from keelmark.plan.calendar_file import NamedDays
from keelmark.service.shared_days import OF_NO_KIND, shared_days

FIRST, LAST = dt.date(2026, 3, 9), dt.date(2026, 3, 15)


def told(*names: str) -> list[NamedDays]:
    return shared_days(
        CALENDAR_LABEL.build(
            [
                {"label_id": str(at), "date_from": FIRST, "date_to": LAST, "label": name, "group": None}
                for at, name in enumerate(names)
            ]
        )
    )


def test_a_name_is_told_as_its_kind() -> None:
    assert told("taper, Tove's knee") == [NamedDays(FIRST, LAST, "Taper")]
    assert told("harbour knee week") == [NamedDays(FIRST, LAST, OF_NO_KIND)]


def test_days_of_illness_are_left_out() -> None:
    assert told("Flu in the crew", "Ill", "holidays") == [NamedDays(FIRST, LAST, "Holiday")]


def test_no_names_give_no_days() -> None:
    assert told() == []
