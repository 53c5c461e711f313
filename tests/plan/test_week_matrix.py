"""What a week comes to: rounds under a clock, matrix, totals, unknown parts, attendance."""

from __future__ import annotations

import datetime as dt

import polars as pl
import pytest

from keelmark.catalogue import Catalogue
from keelmark.contracts.frames import SESSION
from keelmark.dose import daily_dose
from keelmark.notation import Context
from keelmark.plan import People
from keelmark.plan.doses import _effort_frame
from keelmark.plan.people import own_days
from keelmark.plan.session_work import session_work
from tests.plan.conftest import MONDAY, Planned, efforts

WEEK = (
    "Mon 8 June 2026\n5 x 5 deadlift 100/70 kg\n\nWed\n3 rounds for time\n10 pull-ups\n20 push-ups\n\n"
    "Sat\n8 x 3 box jumps 60/50 cm"
)


def _values(frame: pl.DataFrame) -> dict[tuple[str, str], float]:
    return {(row["session"], row["channel"]): row["value"] for row in frame.iter_rows(named=True)}


def test_the_matrix_holds_each_session_in_each_unit(planned: Planned) -> None:
    """Derived: 25 deadlifts of 100 kg are 2500 kg; 30 pull-ups hold on for 30 x 2 = 60 s; 24 jumps land 24 times."""
    week = planned(WEEK)
    values = _values(week.matrix(week.persons[0]))
    assert values["mon", "tonnage"] == pytest.approx(2500)
    assert values["mon", "hip_hinge_reps"] == pytest.approx(25)
    assert values["wed", "vertical_pull"] == pytest.approx(30)
    assert values["wed", "horizontal_push"] == pytest.approx(60)
    assert values["wed", "grip_s"] == pytest.approx(60)
    assert values["sat", "jump_contacts"] == pytest.approx(24)
    assert values["mon", "jump_contacts"] == 0
    lighter = _values(week.matrix(week.persons[1]))
    assert lighter["mon", "tonnage"] == pytest.approx(25 * 70)


def test_a_planned_dose_is_the_dose_of_the_same_work_once_logged(
    planned: Planned, catalogue: Catalogue, crew: People
) -> None:
    """The week's figures and those of the log come from the same formulas, for people with bodies and maxima."""
    week = planned(WEEK + "\nAMRAP 10\n10 kettlebell swings 24/16 kg\n200 m run", crew)
    for person in week.persons:
        for session in week.sessions:
            dose = week.dose(session, person)
            logged = _effort_frame([(dose.work, person)], MONDAY)
            daily = daily_dose(logged, SESSION.empty(), crew.athletes, crew.rep_maxima, catalogue)
            total = dose.total()
            for row in daily.filter(pl.col("channel") != "session_load").iter_rows(named=True):
                value, low, high, unknown = total.at(row["channel"])
                assert unknown == row["unknown"]
                assert value == pytest.approx(row["value"] or 0.0)
                assert low == pytest.approx(row["low"])
                assert high == pytest.approx(row["high"] if row["high"] is not None else float("inf"))


def test_an_open_clock_is_filled_at_the_catalogues_paces(catalogue: Catalogue) -> None:
    """Derived: 10 air squats at 1.7 s and 10 push-ups at 1.6 s are 33 s, times 1.5 49.5 s: 990 s hold 20 rounds."""
    work = session_work("AMRAP 990 s\n10 air squats\n10 push-ups", Context(), catalogue)
    (part,) = work.parts
    assert part.rounds is not None
    assert part.rounds.value == pytest.approx(20)
    assert part.rounds.low < 20 < part.rounds.high
    assert [row.work.amount * row.work.sets for row in work.rows] == pytest.approx([200, 200])
    assert work.rows[0].share_low == pytest.approx(part.rounds.low / 20)


def test_work_that_only_a_score_tells_is_named_and_not_counted(catalogue: Catalogue) -> None:
    text = "3 rounds:\nmax pull-ups\n20 sit-ups"
    work = session_work(text, Context(), catalogue)
    assert [text[start:end] for start, end in work.open_places] == ["max pull-ups"]
    assert {row.work.movement for row in work.rows} == {"sit_up"}


def test_a_percentage_without_a_maximum_is_unknown_and_never_zero(planned: Planned, crew: People) -> None:
    """Derived: 25 reps at 70 % of 160 kg are 2800 kg; of nobody's maximum they are not known."""
    week = planned("Mon 8 June 2026\n5 x 5 deadlift @ 70%", crew)
    rows = {
        person.name: week.matrix(person).filter(pl.col("channel") == "tonnage").row(0, named=True)
        for person in week.persons
    }
    assert rows["Bo"]["value"] == pytest.approx(2800)
    assert rows["Ada"]["value"] == pytest.approx(1750)
    assert (rows["Cy"]["value"], rows["Cy"]["low"], rows["Cy"]["high"], rows["Cy"]["unknown"]) == (None, 0, None, 1)


def test_usual_days_are_those_of_at_least_half_of_the_last_weeks() -> None:
    """Derived: in 8 weeks Mondays 8 times and Wednesdays 4 times are usual; Fridays 3 times are not."""
    first = dt.date(2026, 4, 6)
    days = [("ada", first + dt.timedelta(weeks=week)) for week in range(8)]
    days += [("ada", first + dt.timedelta(weeks=week, days=2)) for week in range(4)]
    days += [("ada", first + dt.timedelta(weeks=week, days=4)) for week in range(3)]
    assert own_days(efforts(days)) == {"ada": frozenset({0, 2})}


def test_a_week_counts_only_the_days_that_are_trained(planned: Planned) -> None:
    week = planned(WEEK)
    person = week.persons[0]
    assert week.week_of(person).of("tonnage") == pytest.approx(2500)
    assert week.week_of(person, days={2, 5}).of("tonnage") == 0
    assert week.week_of(person, texts={"mon": "5 x 5 deadlift 80/55 kg"}).of("tonnage") == pytest.approx(2000)


def test_peaks_do_not_add_up(planned: Planned) -> None:
    week = planned("Mon\n5 deadlift 100/70 kg\n\nThu\n5 deadlift 60/40 kg")
    person = week.persons[0]
    peaks = [week.dose(session, person).total().of("lumbar_peak") for session in week.sessions]
    assert peaks[0] > peaks[1] > 0
    assert week.week_of(person).of("lumbar_peak") == pytest.approx(peaks[0])
