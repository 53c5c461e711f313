"""Readings as effort rows, and a season's texts with its score sheet."""

from datetime import date

import pytest

from keelmark.contracts.errors import RefusedInput
from keelmark.contracts.frames import EFFORT, SESSION
from keelmark.notation import Context, ScoreRow, read, season_work, split_season, to_efforts_frame

DAY = date(2026, 3, 14)
SEASON = """2026-03-14
AMRAP 10: 10 push-ups, 15 sit-ups

Montag, 16.03.2026
Deadlift 3x5 @ 80 %
3 rounds: 10 toes-to-bar (2 knee raises per toes-to-bar if scaled)
"""


def test_reading_becomes_effort_rows() -> None:
    """Amounts per set, bounds as shares, the words they came from."""
    text = "3 x 8-10 romanian deadlift @ 70 kg\n12 burpees"
    frame = to_efforts_frame(read(text), athlete_id="mara", date=DAY, session_id="s1", import_id="i1")
    assert frame.columns == EFFORT.names
    first, second = frame.row(0, named=True), frame.row(1, named=True)
    assert (first["sets"], first["reps"], first["load_kg"], first["load_basis"]) == (3, 9.0, 70.0, "external")
    assert first["share_low"] == pytest.approx(8 / 9)
    assert first["share_high"] == pytest.approx(10 / 9)
    assert first["source"] == "score"
    assert text[second["text_start"] : second["text_end"]] == second["text"] == "12 burpees"
    assert (second["load_kg"], second["load_basis"]) == (None, "none")


def test_unknown_load_is_never_none_carried() -> None:
    """A lift without a load is of unknown load."""
    frame = to_efforts_frame(read("5x5 back squat"), athlete_id="a", date=DAY, session_id="s", import_id="i")
    assert frame["load_basis"].to_list() == ["unknown"]


def test_stopped_in_a_round_has_bounds() -> None:
    """Stopped in round 3: two rounds are sure, the third is anything from nothing to all of it."""
    frame = to_efforts_frame(
        read("5 rounds for time: 10 burpees", {"result": "stopped in round 3"}),
        athlete_id="a",
        date=DAY,
        session_id="s",
        import_id="i",
    )
    low = sum(r["sets"] * r["reps"] * r["share_low"] for r in frame.iter_rows(named=True))
    high = sum(r["sets"] * r["reps"] * r["share_high"] for r in frame.iter_rows(named=True))
    assert (low, high) == (20.0, 30.0)


def test_season_text_is_cut_at_its_dates() -> None:
    """A line with nothing but a date begins a day."""
    days = split_season(SEASON)
    assert list(days) == [date(2026, 3, 14), date(2026, 3, 16)]
    assert days[date(2026, 3, 14)] == "AMRAP 10: 10 push-ups, 15 sit-ups"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("10 burpees\n2026-03-14\n", "before the first date"),
        ("2026-02-30\nx", "no day of the calendar"),
        ("2026-03-14\na\n14.03.2026\nb", "comes twice"),
    ],
)
def test_season_text_that_cannot_be_cut(text: str, says: str) -> None:
    """What is wrong is said with its line."""
    with pytest.raises(RefusedInput, match=says):
        split_season(text)


def test_season_with_scores() -> None:
    """Each line of the sheet is read from the text of its day, in its own version; others are refused with a reason."""
    who = Context(one_rm={"deadlift": 100.0})
    scores = [
        ScoreRow(date(2026, 3, 14), "mara", who, "rx", "4+12", 7.0),
        ScoreRow(date(2026, 3, 16), "mara", who, "scaled", None, 6.0),
        ScoreRow(date(2026, 3, 16), "jonas", who, "toes to bar -> hanging knee raise"),
        ScoreRow(date(2026, 3, 15), "jonas", who),
        ScoreRow(date(2026, 3, 16), "mara", who),
        ScoreRow(date(2026, 3, 14), "ida", who, "sideways"),
    ]
    work = season_work(split_season(SEASON), scores, import_id="i1")
    assert SESSION.check(work.sessions, where="test").height == 3
    rows = {(r["athlete_id"], r["movement"]): r for r in work.efforts.iter_rows(named=True)}
    assert rows["mara", "push_up"]["version"] == "as_written"
    mara = work.efforts.filter((work.efforts["athlete_id"] == "mara") & (work.efforts["movement"] == "push_up"))
    assert sum(mara["sets"] * mara["reps"]) == 50
    assert (rows["mara", "hanging_knee_raise"]["version"], rows["jonas", "hanging_knee_raise"]["version"]) == (
        "scaled",
        "swapped",
    )
    assert rows["mara", "deadlift"]["load_kg"] == 80.0
    assert [reason.split(" ")[0] for _, reason in work.refused] == ["no", "a", "the"]
    assert work.unscored == []
