"""What pages hand over as tables holds what they show; calendars hold nothing about anybody's body."""

from __future__ import annotations

import datetime as dt
import io
import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import icalendar
import polars as pl
import pytest

from keelmark.health import AREAS
from keelmark.service import Squad
from keelmark_dash.desk import Desk
from keelmark_dash.routing import visit
from keelmark_dash.sheets import athlete_sheet, methods_sheet

LOG = """date,athlete,movement,sets,reps,duration_s,load_kg
2026-03-02,Ada,deadlift,5,5,,80
2026-03-03,Ada,box jump,3,10,,
"""


@pytest.fixture(scope="module")
def ada(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Squad]:
    """One week of Ada's."""
    place = tmp_path_factory.mktemp("ada")
    (place / "log.csv").write_text(LOG, encoding="utf-8")
    (place / "roster.csv").write_text("name,body mass (kg),1RM deadlift (kg)\nAda,70,120\n", encoding="utf-8")
    with Squad.open(f"sqlite:///{place / 'squad.sqlite'}") as opened:
        opened.import_roster(place / "roster.csv")
        opened.import_log(place / "log.csv")
        yield opened


def taken(squad: Squad, channel: str, key: str) -> pl.DataFrame:
    """A sheet of the Athlete page as another program reads it, held against its own description."""
    here, _ = visit(Desk(squad), f"athlete=ada&week=2026-W10&channel={channel}")
    sheet = athlete_sheet(here, key)
    frame = pl.read_csv(io.BytesIO(sheet.csv), infer_schema_length=None)
    assert [field["name"] for field in json.loads(sheet.schema_json)["fields"]] == frame.columns
    return frame


def test_landings_and_hinge_lifts_are_those_of_the_log(ada: Squad) -> None:
    """Derived: 3 x 10 jumps are 30 landings or more; 5 x 5 at 80 kg against a maximum of 120 kg."""
    landings = taken(ada, "jump_contacts", "mechanics")
    assert landings["low"].sum() <= 30 <= landings["high"].sum()
    lifts = taken(ada, "high_rep", "mechanics")
    assert lifts.select("movement", "sets", "reps", "load_kg", "maximum_kg").rows() == [("deadlift", 5, 5, 80, 120)]


def test_levels_of_compression_hold_fewer_reps_the_higher_they_are(ada: Squad) -> None:
    levels = taken(ada, "lumbar_compression", "mechanics")
    assert levels["level"].is_sorted()
    assert levels["reps"].is_sorted(descending=True)
    assert levels["reps"].max() > 0


def test_ratios_of_a_short_record_are_withheld_with_their_reason(ada: Squad) -> None:
    ratios = taken(ada, "tonnage", "ratios")
    row = ratios.filter(pl.col("week") == "2026-W10").row(0, named=True)
    assert row["ratio_coupled"] is None
    assert row["gate"]


def test_an_audit_is_taken_away_number_by_number() -> None:
    quiet = pl.DataFrame([{"squad": "own", "frequency": "once a week", "judged": 200, "above": 7}])
    steadiness = pl.DataFrame([{"squad": "own", "scatter": 0.2, "mark": 3}])
    none = pl.DataFrame()
    audit = SimpleNamespace(quiet=quiet, steadiness=steadiness, notices=none, planted=none, named=none, ramps=none)
    squad: Any = SimpleNamespace(kept_audit=lambda: SimpleNamespace(audit=audit))
    here: Any = SimpleNamespace(squad=squad)
    rows = pl.read_csv(io.BytesIO(methods_sheet(here, "audit").csv)).rows()
    assert rows == [
        ("quiet", "own", "frequency once a week", "judged", 200.0),
        ("quiet", "own", "frequency once a week", "above", 7.0),
        ("steadiness", "own", "scatter 0.2", "mark", 3.0),
    ]
    squad.kept_audit = lambda: None
    assert methods_sheet(here, "audit").frame.is_empty()


def test_calendars_hold_no_word_about_anybody_s_body(demo_file: Path, tmp_path: Path) -> None:
    """With answers and a complaint on record; names, areas and answers are looked for in every text of the file."""
    place = tmp_path / "demo.sqlite"
    shutil.copy(demo_file, place)
    with Squad.open(f"sqlite:///{place}") as squad:
        stamp = dt.datetime(2026, 6, 14, tzinfo=dt.UTC)
        squad.set_label(dt.date(2026, 6, 6), dt.date(2026, 6, 7), "Regatta")
        squad.ahead.mean("tonnage", dt.date(2026, 6, 15), 2, 3000.0, 0.05)
        squad.ahead.agree("tove", "jump_contacts", 40.0, agreed_with="Maren", date_from=dt.date(2026, 6, 15))
        told = squad.check_ins("tove")
        assert told["area"].drop_nulls().len() > 0
        data = squad.ahead.calendar(Desk(squad).season().labels, stamp=stamp)
        names = squad.season().athletes["name"].to_list()
    events = icalendar.Calendar.from_ical(data).walk("VEVENT")
    words = " ".join(str(event.get(part, "")) for event in events for part in ("summary", "description", "location"))
    assert "Named days" in words
    assert "Regatta" not in words
    assert "Tonnage" in words
    banned = [
        *names,
        "Maren",
        *(area.label for area in AREAS),
        *told["answers"].drop_nulls(),
        "pain",
        "complaint",
    ]
    assert [one for one in banned if one.lower() in words.lower()] == []
