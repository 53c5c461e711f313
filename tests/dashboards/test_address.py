"""Page state in the address: read, completed, written back."""

from __future__ import annotations

from keelmark_dash.address import Address, settle

THERE = {
    "weeks": ["2026-W09", "2026-W10"],
    "channels": ["tonnage", "session_load"],
    "athletes": ["ada", "bram"],
    "groups": ["early"],
}


def test_an_address_says_the_same_after_reading_and_writing() -> None:
    text = "?week=2026-W10&channel=tonnage&athlete=ada"
    assert Address.parse(text).search() == text


def test_what_no_page_knows_is_left_out() -> None:
    assert Address.parse("?week=2026-W10&colour=red&__slots__=1").search() == "?week=2026-W10"


def test_a_bare_address_shows_the_latest_week_and_everybody() -> None:
    settled, remarks = settle(Address(), **THERE)
    assert (settled.week, settled.channel, settled.athlete, settled.group) == ("2026-W10", "session_load", "ada", "")
    assert (settled.weeks, settled.rows) == ("52", "1")
    assert remarks == []


def test_what_a_link_names_but_is_not_there_is_told() -> None:
    asked = Address(week="2031-W01", channel="tides", athlete="nobody", group="night")
    settled, remarks = settle(asked, **THERE)
    assert settled.week == "2026-W10"
    assert settled.group == ""
    assert remarks == [
        "This link names the week “2031-W01”, which is not here. Showing 2026-W10 instead.",
        "This link names the kind of work “tides”, which is not here. Showing session_load instead.",
        "This link names the athlete “nobody”, which is not here. Showing ada instead.",
        "This link names the group “night”, which is not here. Showing all.",
    ]


def test_an_empty_squad_settles_without_a_remark() -> None:
    settled, remarks = settle(Address(), weeks=[], channels=[], athletes=[], groups=[])
    assert (settled.week, settled.athlete, remarks) == ("", "", [])


def test_a_link_to_another_page_keeps_week_and_kind_of_work_but_not_the_page_of_rows() -> None:
    here = Address(week="2026-W10", channel="tonnage", rows="2", show="numbers")
    assert here.link("/athlete", athlete="ada") == "/athlete?week=2026-W10&channel=tonnage&athlete=ada"


def test_a_page_of_rows_that_is_no_number_becomes_the_first() -> None:
    for asked in ("-1", "0", "two", "1.5"):
        assert settle(Address(rows=asked), **THERE)[0].rows == "1"
