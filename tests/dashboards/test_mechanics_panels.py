"""What stands below a figure of the body on the Athlete page, in words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from keelmark.service import Squad
from keelmark_dash.desk import Desk
from keelmark_dash.parts.mechanics_week import mechanics_panels
from keelmark_dash.routing import visit

LOG = """date,athlete,movement,sets,reps,duration_s,load_kg
2026-03-02,Ada,deadlift,5,5,,100
2026-03-02,Ada,dead hang,3,,40,
2026-03-03,Ada,depth jump,3,10,,
2026-03-04,Ada,deadlift,3,15,,60
"""


@pytest.fixture
def ada(tmp_path: Path) -> Iterator[Squad]:
    """One week of Ada's, who is said to lift 90 kg at the most."""
    log, roster = tmp_path / "log.csv", tmp_path / "roster.csv"
    log.write_text(LOG, encoding="utf-8")
    roster.write_text("name,body mass (kg),1RM deadlift (kg)\nAda,70,90\n", encoding="utf-8")
    with Squad.open(f"sqlite:///{tmp_path / 'squad.sqlite'}") as opened:
        opened.import_roster(roster)
        opened.import_log(log)
        yield opened


def said(squad: Squad, channel: str) -> str:
    """All words of the panel."""
    here, _ = visit(Desk(squad), f"athlete=ada&week=2026-W10&channel={channel}")
    return re.sub(r"\s+", " ", " ".join(re.findall(r"[A-Z'\"]?[^'\"]*", str(mechanics_panels(here)))))


def test_reps_beyond_the_fatigue_law_are_told_at_its_index_only(ada: Squad) -> None:
    assert "lie beyond the end of the law" in said(ada, "lumbar_fatigue")
    assert "leaves the index open upwards" in said(ada, "lumbar_fatigue")
    assert "lie beyond the end" not in said(ada, "lumbar_compression")


def test_hanging_is_told_beside_compression(ada: Squad) -> None:
    """Derived: 3 hangs of 40 s."""
    words = said(ada, "lumbar_compression")
    assert "120 s on the hands" in words
    assert "never taken off it" in words


def test_a_load_above_the_maximum_on_record_is_told_with_what_it_counts_for(ada: Squad) -> None:
    words = said(ada, "high_rep")
    assert "100 kg is above the maximum on record" in words
    assert "each rep counts as one full set at the most and each set as one at the least" in words


def test_landings_have_their_class_and_force(ada: Squad) -> None:
    assert "body weights" in said(ada, "jump_contacts")
