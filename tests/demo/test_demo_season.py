"""The demo season is what its story says, told by plain Python from the files themselves."""

from __future__ import annotations

import csv
import subprocess
import sys
from collections import Counter, defaultdict
from datetime import date, timedelta
from functools import cache
from importlib.util import module_from_spec, spec_from_file_location
from itertools import pairwise
from pathlib import Path
from statistics import mean, median
from types import ModuleType

import pytest

from keelmark.catalogue import shipped_catalogue
from keelmark.health import QUESTIONS, checked_answers
from keelmark.ingest import LogOptions, read_log, read_roster

DEMO = Path(__file__).parents[2] / "data" / "demo"
FILES = ("roster.csv", "log.csv", "days.csv", "labels.csv", "check_ins.csv")
Row = dict[str, str]


def _story() -> ModuleType:
    spec = spec_from_file_location("demo_story", DEMO / "story.py")
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


STORY = _story()


@cache
def _rows(name: str) -> list[Row]:
    with (DEMO / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@cache
def _good_rows() -> list[Row]:
    """Rows of the log without those that the story calls dirty."""
    rows = list(_rows("log.csv"))
    for place, _ in sorted(STORY.DIRTY):
        rows[place + _dirty_before(place)] = {}
    return [row for row in rows if row]


def _dirty_before(place: int) -> int:
    return sum(other < place for other, _ in STORY.DIRTY)


def _day(week: int, weekday: int = 0) -> date:
    return STORY.FIRST_MONDAY + timedelta(weeks=week - 1, days=weekday)


def _week(row: Row) -> int:
    return (date.fromisoformat(row["date"]) - STORY.FIRST_MONDAY).days // 7 + 1


def _rows_of(name: str, weeks: range | tuple[int, ...]) -> list[Row]:
    return [row for row in _good_rows() if row["name"] == name and _week(row) in weeks]


def _days_with_a_state() -> dict[str, dict[date, str]]:
    states: dict[str, dict[date, str]] = defaultdict(dict)
    for row in _rows("days.csv"):
        first, last = date.fromisoformat(row["from"]), date.fromisoformat(row["to"])
        for offset in range((last - first).days + 1):
            day = first + timedelta(days=offset)
            assert day not in states[row["name"]], "one state for a day"
            states[row["name"]][day] = row["state"]
    return states


def test_the_generator_writes_the_same_bytes_again(tmp_path: Path) -> None:
    subprocess.run([sys.executable, str(DEMO / "generate.py"), str(tmp_path)], check=True)
    for name in FILES:
        assert (tmp_path / name).read_bytes() == (DEMO / name).read_bytes(), name


def test_the_files_are_small_enough_to_ship() -> None:
    assert sum((DEMO / name).stat().st_size for name in FILES) < 2_500_000


def test_the_log_reads_with_nothing_lost_but_its_slips() -> None:
    roster = read_roster(DEMO / "roster.csv", catalogue=shipped_catalogue())
    assert roster.athletes.height == 26
    options = LogOptions(today=STORY.LAST_DAY)
    reading = read_log(DEMO / "log.csv", catalogue=shipped_catalogue(), roster=roster.athletes, options=options)
    rows = len(_rows("log.csv"))
    assert reading.counts == {
        "rows": rows, "accepted": rows - 10, "duplicate": 2, "blank": 1, "other": 0, "quarantined": 7,
    }  # fmt: skip
    told = reading.rows.filter(reading.rows["verdict"] == "quarantined")["reasons"].to_list()
    assert told == [
        ["unknown_athlete"], ["negative_load"], ["date_out_of_range"], ["unknown_movement"], ["non_numeric_reps"],
        ["rpe_out_of_range"], ["unknown_athlete"],
    ]  # fmt: skip
    assert reading.sessions["session_rpe"].null_count() == 0
    assert reading.sessions["duration_min"].null_count() == 0
    assert set(reading.efforts["load_basis"]) == {"external", "none"}


def test_the_season_has_the_size_it_says() -> None:
    assert len(_rows("log.csv")) == pytest.approx(18_000, rel=0.05)
    assert max(_week(row) for row in _good_rows()) == min(STORY.WEEKS, 40) == 40
    by_evening = defaultdict(set)
    for row in _good_rows():
        by_evening[row["name"]].add((row["date"], row["session"]))
    assert 2.5 <= mean(len(evenings) for evenings in by_evening.values()) / 40 <= 4.5


def test_each_day_is_trained_or_told_of_but_for_the_planted_gaps() -> None:
    states = _days_with_a_state()
    trained = defaultdict(set)
    for row in _good_rows():
        trained[row["name"]].add(date.fromisoformat(row["date"]))
    unknown: Counter[str] = Counter()
    for person in STORY.CREW:
        first = _day(person.joined_week)
        days = [first + timedelta(days=n) for n in range((STORY.LAST_DAY - first).days + 1)]
        assert not trained[person.name] & states[person.name].keys()
        assert min(trained[person.name] | states[person.name].keys()) == first
        unknown[person.name] = sum(day not in trained[person.name] | states[person.name].keys() for day in days)
    for name, weeks in STORY.GAPS.items():
        assert unknown[name] >= 7 * len(weeks)
        assert not _rows_of(name, weeks)
        assert not [day for day in states[name] if (day - STORY.FIRST_MONDAY).days // 7 + 1 in weeks]
    others = [count for name, count in unknown.items() if name not in STORY.GAPS and name != STORY.PATCHY]
    assert max(others) <= 8
    assert unknown[STORY.PATCHY] >= 15


def test_people_who_are_away_or_ill_log_nothing() -> None:
    for name, state, first, last, _ in STORY.ABSENCES:
        days = {_day(*first) + timedelta(days=n) for n in range((_day(*last) - _day(*first)).days + 1)}
        assert not [row for row in _good_rows() if row["name"] == name and date.fromisoformat(row["date"]) in days]
        assert {_days_with_a_state()[name][day] for day in days} == {state}


def test_new_people_start_when_they_join() -> None:
    joined = {person.name: _day(person.joined_week) for person in STORY.CREW}
    assert sorted(name for name, day in joined.items() if day > STORY.FIRST_MONDAY) == ["Yusuf", "Zofia"]
    for row in _good_rows():
        assert date.fromisoformat(row["date"]) >= joined[row["name"]]


def _landings(rows: list[Row]) -> float:
    """Landings with one for each jump and two for each depth jump, as the catalogue counts them."""
    each = {"box jump": 1, "hurdle jump": 1, "broad jump": 1, "tuck jump": 1, "depth jump": 2}
    return sum(each.get(row["movement"], 0) * int(row["sets"]) * int(row["reps"] or 0) for row in rows)


def test_tove_jumps_four_times_as_much_as_ever_in_the_last_week() -> None:
    usual = [_landings(_rows_of("Tove", (week,))) for week in range(1, 40)]
    last = _landings(_rows_of("Tove", (40,)))
    assert last > 4 * max(usual)
    assert median(usual) > 0
    others = [_landings(_rows_of(person.name, (40,))) for person in STORY.CREW if person.name != "Tove"]
    assert max(others) < last / 3


def _hinge_kg(rows: list[Row]) -> float:
    hinges = {"deadlift", "romanian deadlift", "good morning", "power clean", "power snatch"}
    return sum(int(row["sets"]) * int(row["reps"]) * float(row["load_kg"]) for row in rows if row["movement"] in hinges)


def _session_load(rows: list[Row]) -> float:
    evenings = {(row["date"], row["session"]): float(row["session_rpe"]) * int(row["session_min"]) for row in rows}
    return sum(evenings.values())


def test_signe_s_back_works_harder_while_the_evenings_feel_the_same() -> None:
    before, after = range(9, 17), range(32, 41)
    per_week = {
        (what.__name__, weeks): what(_rows_of("Signe", weeks)) / len(weeks)
        for what in (_hinge_kg, _session_load)
        for weeks in (before, after)
    }
    assert per_week["_hinge_kg", after] > 2 * per_week["_hinge_kg", before]
    assert per_week["_session_load", after] == pytest.approx(per_week["_session_load", before], rel=0.15)


def test_the_rise_is_slow() -> None:
    fours = [_hinge_kg(_rows_of("Signe", range(week, week + 4))) for week in range(19, 38, 4)]
    assert all(later < 1.75 * earlier for earlier, later in pairwise(fours))
    assert fours[-1] > 1.7 * fours[0]


def test_the_storm_brings_lifting_that_no_programme_asked_for() -> None:
    duty = [row for row in _good_rows() if row["session"] == "call-out"]
    assert {_week(row) for row in duty} == set(STORY.STORM_WEEKS)
    assert {row["movement"] for row in duty} == {
        "rope pull",
        "casualty carry",
        "farmers carry",
        "sandbag over shoulder",
    }
    evenings = Counter(_week(row) for row in _good_rows() if row["session"] != "call-out")
    assert max(evenings[22], evenings[23]) < 0.75 * median(evenings.values())


def test_the_planned_weeks_are_heavy_for_the_all_weather_crew_alone() -> None:
    groups = {person.name: person.group for person in STORY.CREW}
    sets = defaultdict(list)
    for row in _good_rows():
        if row["block"] == "strength":
            sets[groups[row["name"]], _week(row) in STORY.PLANNED_WEEKS].append(int(row["sets"]))
    assert mean(sets["all-weather", True]) > 1.5 * mean(sets["all-weather", False])
    assert mean(sets["inshore", True]) < 1.1 * mean(sets["inshore", False])


def test_labels_cover_what_was_planned_and_not_the_spike() -> None:
    labels = {row["label"]: (row["from"], row["to"], row["group"]) for row in _rows("labels.csv")}
    # Derived from the calendar: week 17 of a season that starts on 2025-09-01 starts on 2025-12-22, and so on.
    assert labels == {
        "holidays": ("2025-12-22", "2026-01-04", ""),
        "storm fortnight": ("2026-01-26", "2026-02-08", ""),
        "planned heavy weeks": ("2026-03-09", "2026-03-22", "all-weather"),
        "competition block": ("2026-04-13", "2026-05-10", ""),
    }


def test_loads_stay_below_what_each_person_can_lift_once() -> None:
    maxima = {row["name"]: row for row in _rows("roster.csv")}
    for row in _good_rows():
        column = f"{row['movement']} 1RM kg"
        if row["load_kg"] and maxima[row["name"]].get(column):
            assert float(row["load_kg"]) < float(maxima[row["name"]][column])


def test_what_the_crew_say_of_their_weeks_can_all_be_read() -> None:
    rows = _rows("check_ins.csv")
    for row in rows:
        options = {question.key: int(row[question.key]) if row[question.key] else None for question in QUESTIONS}
        checked_answers(options, row["area"] or None)
    told = {(row["name"], row["week"]): row["area"] for row in rows}
    assert told["Tove", "2026-W23"] == "knee"
    assert [told["Signe", f"2026-W{week}"] for week in (16, 17, 18, 19)] == ["lumbosacral"] * 4
    assert told["Marek", "2026-W09"] == "chest"
    assert not {("Callum", week) for week in ("2025-W49", "2025-W50")} & set(told)
    well = sum(not row["area"] for row in rows) / len(rows)
    assert 0.8 < well < 0.95
