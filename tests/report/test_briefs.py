"""The papers of a week: what is on record, what stands out, and nothing of anybody's body."""

from __future__ import annotations

import io
from datetime import date
from typing import Any

import pypdf
import pytest

from keelmark.contracts.errors import SettingError
from keelmark.contracts.words import SCOPE_LINE
from keelmark.report import (
    LANGUAGES,
    AthleteWeek,
    Paper,
    SquadWeek,
    athlete_brief,
    coach_brief,
    html_of,
    pdf_of,
    quiet_message,
)
from keelmark.report.erasure_words import erasure_lines
from tests.report.made import MOMENT

MONDAY = date(2026, 3, 2)
NOTICE: dict[str, Any] = {
    "headline": "Bo did 412 jump contacts.", "usual": "The usual range is 120 to 300.",
    "contributors": ["60 box jumps"],
    "not_known": "All seven days are on record.", "how_often": "About 1 week in 10.",
}  # fmt: skip
ROW = {"value": 412.0, "low": 380.0, "high": 450.0, "lower": 120.0, "upper": 300.0, "place": "above"}


def coach(**more: Any) -> Paper:
    said: dict[str, Any] = {"monday": MONDAY, "known": [("Bo", 5), ("Cy", 7)], "notices": [NOTICE], "above": {}}
    return coach_brief(SquadWeek(**(said | more)), made_on=date(2026, 3, 9))


def own(**more: Any) -> Paper:
    said: dict[str, Any] = {
        "name": "Bo", "monday": MONDAY, "known_days": 5, "figures": {"jump_contacts": ROW},
        "made": ("jump_contacts", ["60 box jumps on Tue 3 Mar"]),
    }  # fmt: skip
    return athlete_brief(AthleteWeek(**(said | more)), made_on=date(2026, 3, 9))


def test_the_coachs_paper_says_who_is_quiet_and_what_stands_out() -> None:
    html = html_of(coach(due=["9 March 2026, Bo, jump contacts: scale it"], named=["storm fortnight"]))
    for words in (
        "The squad, week 10: 2 to 8 March 2026", "1 of 2 people have every day", "Bo (5 of 7)",
        "Bo did 412 jump contacts.", "Mostly 60 box jumps.", "In the calendar: storm fortnight.",
        "9 March 2026, Bo, jump contacts: scale it", SCOPE_LINE, "Get medical help now",
        "It stands on the Check-ins page",
    ):  # fmt: skip
        assert words in html


def test_a_quiet_week_is_no_all_clear() -> None:
    assert "That is no all-clear" in html_of(coach(notices=[], known=[]))


def test_the_athletes_paper_stands_beside_the_own_range() -> None:
    """Derived: half of 380 to 450 is 35, so the rule of rounding tells 412 to the ten."""
    html = html_of(own())
    for words in (
        "Bo, week 10", "5 of 7 days are on record", "410 (380 to 450)", "120 to 300", "above the usual range",
        "What made most of it: jump contacts", "60 box jumps on Tue 3 Mar", SCOPE_LINE,
    ):  # fmt: skip
        assert words in html


def test_a_week_without_a_record_is_still_a_paper() -> None:
    html = html_of(own(known_days=0, figures={}, made=("session_load", [])))
    assert "0 of 7 days are on record" in html
    assert "<h2>What you did" not in html


def test_a_full_squads_week_is_one_page() -> None:
    names = [f"Name{number}" for number in range(40)]
    paper = coach(
        known=[(name, 3) for name in names], notices=[NOTICE] * 9, due=[f"due {number}" for number in range(20)],
        above=dict.fromkeys(("tonnage", "knee_reps", "jump_contacts", "grip_s", "overhead_reps"), names),
    )  # fmt: skip
    found = pypdf.PdfReader(io.BytesIO(pdf_of(paper, made_at=MOMENT)))
    assert len(found.pages) == 1
    text = " ".join(found.pages[0].extract_text().split())
    assert "and 28 more" in text
    assert "5 more on the Squad page." in text


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("missing", [1, 3, 7])
def test_messages_name_the_person_and_the_week_and_fill_everything_in(language: str, missing: int) -> None:
    told = quiet_message("Zoë", MONDAY, missing, language)
    assert "Zoë" in told
    assert "2" in told
    assert not set("{}") & set(told)
    assert ("3" in told) == (missing == 3)


def test_a_language_without_words_is_refused() -> None:
    with pytest.raises(SettingError, match="there is no message in 'xx'"):
        quiet_message("Bo", MONDAY, 1, "xx")


def test_an_erasure_is_told_with_what_it_cannot_reach() -> None:
    done = {
        "rows": {"effort": 3, "person": 1}, "blanked_rows": 3, "redacted_originals": 1, "dropped_originals": 0,
        "words": 2, "name_shared": True, "rewritten": False,
    }  # fmt: skip
    told = " ".join(erasure_lines(done))
    assert "Removed: 3 rows of work, 1 people." in told
    assert "backups" in told
    assert "another program has it open" in told
    assert "bears the same name" in told
