"""The season strip as a table: names, links, one entry for the keyboard, nothing that could act as code."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest

from keelmark.contracts.channels import CHANNEL_BY_KEY
from keelmark_dash.address import Address
from keelmark_dash.desk import SeasonView
from keelmark_dash.parts.strip import strip
from keelmark_dash.readings import AthleteRow, Gauge, strip_rows
from tests.dashboards.made_up import SPIKE, week_names

ADDRESS = Address(week="2026-W02", channel="jump_contacts", weeks="52", rows="1")
WEEKS = ["2026-W01", "2026-W02", "2026-W03"]
CONTACTS = CHANNEL_BY_KEY["jump_contacts"]


class Links(HTMLParser):
    """All links of a drawing with their attributes, and the names of all elements."""

    def __init__(self, markup: str) -> None:
        super().__init__()
        self.links: list[dict[str, str | None]] = []
        self.names: set[str] = set()
        self.feed(markup)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.names.add(tag)
        if tag == "a":
            self.links.append(dict(attrs))


def row(name: str = "Ada", *gauges: Gauge | None) -> AthleteRow:
    known = Gauge(50, 20, 80, "within", rim=100)
    return AthleteRow(name.lower(), name, list(gauges) or [known, known, known], frozenset(WEEKS[1:]))


def test_each_cell_says_what_it_shows_and_leads_to_its_rows() -> None:
    cells = [link for link in Links(strip([row()], WEEKS, [""] * 3, CONTACTS, ADDRESS)).links if "aria-label" in link]
    assert len(cells) == 3
    assert cells[0]["aria-label"] == "Ada, week 1: 50 contacts, within the usual range 20 to 80"
    assert cells[0]["href"] == "/athlete?channel=jump_contacts&athlete=ada&week=2026-W01"


def test_only_the_chosen_week_of_the_first_row_is_in_the_tab_order() -> None:
    drawn = Links(strip([row(), row("Bram")], WEEKS, [""] * 3, CONTACTS, ADDRESS))
    cells = [link for link in drawn.links if "aria-label" in link]
    assert [link["tabindex"] for link in cells] == ["-1", "0", "-1", "-1", "-1", "-1"]


def test_somebody_missing_in_the_chosen_week_does_not_take_the_strip_out_of_the_tab_order() -> None:
    known = Gauge(50, 20, 80, "within", rim=100)
    rows = [row("Ada", known, None, known), row("Bram")]
    cells = [link for link in Links(strip(rows, WEEKS, [""] * 3, CONTACTS, ADDRESS)).links if "aria-label" in link]
    assert [link["tabindex"] for link in cells].count("0") == 1


@pytest.mark.parametrize("name", ["<img src=x onerror=alert(1)>", '"><script>alert(1)</script>', "Zoë & <b>Ada</b>"])
def test_a_name_is_only_ever_text(name: str) -> None:
    drawn = strip([row(name)], WEEKS, [name, "", ""], CONTACTS, ADDRESS)
    assert Links(drawn).names <= {"div", "table", "caption", "thead", "tbody", "tr", "th", "td", "a", "span", "svg",
                                  "rect", "path", "use"}  # fmt: skip


def test_a_week_with_nothing_of_it_is_no_gauge_and_says_why() -> None:
    drawn = strip([row("Ada", None, None, None)], WEEKS, [""] * 3, CONTACTS, ADDRESS)
    assert 'class="gauge"' not in drawn
    titles = re.findall(r'class="no-week" title="([^"]+)"', drawn)
    assert titles == [
        "Ada, week 1: not in the squad",
        "Ada, week 2: none of it on record",
        "Ada, week 3: none of it on record",
    ]


def test_numbers_take_the_place_of_gauges_with_their_signs() -> None:
    drawn = strip([row()], WEEKS, [""] * 3, CONTACTS, ADDRESS.with_(show="numbers"))
    assert 'class="gauge"' not in drawn
    assert drawn.count('href="#sign-within"') == 3
    assert re.findall(r'class="cell-figure">([^<]+)<', drawn) == ["50", "50", "50"]


def test_calendar_names_span_their_weeks() -> None:
    drawn = strip([row()], WEEKS, ["", "storm", "storm"], CONTACTS, ADDRESS)
    assert re.search(r'<th colspan="2" title="storm"[^>]*><span>storm</span></th>', drawn)


def test_the_spike_is_drawn_well_above_and_scales_its_own_row(season: SeasonView) -> None:
    weeks = week_names(40)
    athlete, channel, place = SPIKE
    rows = {row.athlete_id: row for row in strip_rows(season, ADDRESS.with_(channel=channel), weeks)}
    spike = rows[athlete].gauges[place]
    assert spike is not None
    assert spike.place == "well_above"
    assert spike.value == spike.rim
    assert {shown.rim for shown in rows[athlete].gauges if shown} == {spike.rim}
