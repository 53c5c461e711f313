"""Logs of other shapes: languages, delimiters, units, names, orders.

Every expected figure is derived from the cells shown.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

import pytest

from keelmark.ingest import LogReading
from keelmark.ingest.names import column_names
from tests.ingest.conftest import codes, people, reasons

Read = Callable[..., LogReading]


def test_french_semicolons(read: Read) -> None:
    one = read(
        "Date;Athlète;Séance;Mouvement;Séries;Répétitions;Charge (kg);Durée (s);RPE séance;Durée séance "
        "(min);Remarques\n"
        "03/02/2026;Zoé;matin;soulevé de terre;5;5;102,5;;7;60;\n"
        "03/02/2026;Zoé;matin;squat avant;3;8;60;;7;60;genou\n"
        "17/02/2026;Noé;soir;planche;3;;;45;6,5;75;\n"
    )
    assert one.efforts["load_kg"].to_list()[:2] == [102.5, 60.0]
    assert one.efforts["date"].to_list()[0] == dt.date(2026, 2, 3)
    assert one.sessions["session_rpe"].to_list()[0] == 7.0
    assert one.sessions["duration_min"].to_list()[0] == 60.0
    assert one.sessions["label"].to_list()[0] == "matin"
    assert one.sessions["note"].to_list()[0] == "genou"


def test_spanish_tabs(read: Read) -> None:
    one = read(
        "Fecha\tAtleta\tSesión\tEjercicio\tSeries\tRepeticiones\tCarga (kg)\tDistancia (km)\tTiempo\tRPE "
        "sesión\tMinutos\n"
        "3 de febrero de 2026\tIria\tmañana\tpeso muerto\t5\t5\t100,5\t\t\t7\t60\n"
        "4/2/2026\tIria\tmañana\tremo\t1\t\t\t2,5\t8:30\t8\t1:15\n"
    )
    lift, row = one.efforts.iter_rows(named=True)
    assert (lift["movement"], lift["load_kg"], lift["date"]) == ("deadlift", 100.5, dt.date(2026, 2, 3))
    assert (row["movement"], row["distance_m"], row["duration_s"]) == ("row", 2500.0, 510.0)
    assert one.sessions["duration_min"].to_list() == [60.0, 75.0]


def test_portuguese_bars(read: Read) -> None:
    one = read(
        "Data|Aluna|Treino|Exercício|Séries|Repetições|Carga kg|Lado|Observações\n"
        "05/03/2026|Inês|força|agachamento frontal|4|6|50|ambos|\n"
        "05/03/2026|Inês|força|supino|4|6|37,5||cansada\n"
    )
    assert one.efforts["movement"].to_list() == ["front_squat", "bench_press"]
    assert one.efforts["load_kg"].to_list() == [50.0, 37.5]
    assert one.efforts["side"].to_list() == ["both", None]
    assert one.efforts["date"].to_list() == [dt.date(2026, 3, 5)] * 2


def test_american_pounds_inches_and_months_first(read: Read) -> None:
    one = read(
        "Date,Athlete,Exercise,Sets,Reps,Weight (lbs),Box Height (in)\n"
        "3/4/2026,Ada,Deadlift,5,5,225,\n"
        "3/14/2026,Ada,Box jump,3,10,,24\n"
    )
    assert one.efforts["date"].to_list() == [dt.date(2026, 3, 4), dt.date(2026, 3, 14)]
    assert one.efforts["load_kg"].to_list() == [pytest.approx(225 * 0.45359237), None]
    assert one.efforts["height_cm"].to_list() == [None, pytest.approx(60.96)]


def test_a_file_whose_dates_decide_nothing_is_set_aside(read: Read) -> None:
    one = read(
        "date,athlete,movement,sets,reps,load_kg\n3/4/2026,Ada,deadlift,5,5,100\n5/5/2026,Ada,deadlift,5,5,100\n"
    )
    assert reasons(one) == {1: ["ambiguous_date"]}
    assert one.rows["messages"].to_list()[0] == [
        "row 1, line 2, column date: '3/4/2026' can be read day first or month first, and no other date in the "
        "file decides. "
        "Wanted: dates whose order is clear. What to do: say with --day-first or --month-first which comes first, "
        "or write dates as 2026-03-14."
    ]
    told = read("date,athlete,movement,sets,reps,load_kg\n3/4/2026,Ada,deadlift,5,5,100\n", day_first=True)
    assert told.efforts["date"].to_list() == [dt.date(2026, 4, 3)]


def test_the_order_of_the_rows_can_decide_the_order_of_day_and_month(read: Read) -> None:
    days = [
        "02/03/2026",
        "04/03/2026",
        "06/03/2026",
        "09/03/2026",
        "01/04/2026",
        "03/04/2026",
        "06/04/2026",
        "08/04/2026",
    ]
    body = "".join(f"{day},Ada,deadlift,5,5,100\n" for day in days)
    one = read("date,athlete,movement,sets,reps,load_kg\n" + body)
    assert one.efforts["date"].to_list()[:2] == [dt.date(2026, 3, 2), dt.date(2026, 3, 4)]


def test_a_load_without_a_unit_is_told_and_read_as_the_option_says(read: Read) -> None:
    text = (
        "date,athlete,movement,sets,reps,load\n2026-03-04,Ada,deadlift,5,5,100\n2026-03-04,Ada,back squat,5,5,95 lb\n"
    )
    one = read(text)
    assert one.efforts["load_kg"].to_list() == [100.0, pytest.approx(95 * 0.45359237)]
    assert [warning.text for warning in one.warnings if warning.code == "load_unit_assumed"] == [
        "Column load: 1 figure without a unit, read as kg. Put the unit into the column's name, such as load (kg)."
    ]
    assert read(text, load_unit="lb").efforts["load_kg"].to_list()[0] == pytest.approx(45.359237)


def test_a_column_for_the_unit(read: Read) -> None:
    one = read(
        "date,athlete,movement,sets,reps,weight,weight unit\n2026-03-04,Ada,deadlift,5,5,100,kg\n"
        "2026-03-04,Ada,back squat,5,5,100,lbs\n2026-03-04,Ada,front squat,5,5,100,stone\n"
    )
    assert one.efforts["load_kg"].to_list() == [100.0, pytest.approx(45.359237)]
    assert reasons(one) == {3: ["unknown_unit"]}
    assert "load_unit_assumed" not in codes(one)


def test_a_height_without_a_unit_is_left_unknown(read: Read) -> None:
    text = "date,athlete,movement,sets,reps,height\n2026-03-04,Ada,box jump,5,5,30\n2026-03-04,Ada,box jump,5,6,50 cm\n"
    one = read(text)
    assert one.efforts["height_cm"].to_list() == [None, 50.0]
    assert "height_without_unit" in codes(one)
    assert read(text, height_unit="in").efforts["height_cm"].to_list() == [pytest.approx(76.2), 50.0]


def test_load_basis_says_what_is_not_known(read: Read) -> None:
    one = read(
        "date,athlete,movement,sets,reps,load_kg\n2026-03-04,Ada,deadlift,5,5,\n2026-03-04,Ada,pull-up,5,5,\n"
        "2026-03-04,Ada,pull-up,5,5,BW+10\n2026-03-04,Ada,push-up,5,5,BW\n2026-03-04,Ada,deadlift,5,5,0\n"
    )
    assert one.efforts["load_basis"].to_list() == ["unknown", "none", "external", "none", "external"]
    assert one.rows["notes"].to_list()[4] == ["zero_load"]


def test_body_mass_multiples_need_a_body_mass(read: Read) -> None:
    text = "date,athlete,movement,sets,reps,load_kg\n2026-03-04,Ada,deadlift,1,5,1.5xBW\n"
    known = read(text, roster=people("Ada", body_mass_kg=70.0))
    assert known.efforts["load_kg"].to_list() == [105.0]
    assert reasons(read(text)) == {1: ["body_mass_unknown"]}


def test_sets_and_reps_in_one_column(read: Read) -> None:
    one = read(
        "date,athlete,movement,sets x reps,load_kg\n2026-03-04,Ada,deadlift,5x3,100\n2026-03-04,Ada,deadlift,x,100\n"
    )
    assert one.efforts.select("sets", "reps").rows() == [(5, 3.0)]
    assert reasons(one) == {2: ["non_numeric_reps"]}
    other = read(
        "date,athlete,movement,reps,load_kg\n2026-03-04,Ada,deadlift,5x3,100\n2026-03-05,Ada,deadlift,3x8,90\n"
    )
    assert other.efforts.select("sets", "reps").rows() == [(5, 3.0), (3, 8.0)]
    assert "reps_read_as_volume" in codes(other)


def test_one_row_for_each_set(read: Read) -> None:
    body = "".join(f"2026-03-04,Ada,deadlift,{number},5,100\n" for number in (1, 2, 3))
    body += "".join(f"2026-03-04,Ada,back squat,{number},8,60\n" for number in (1, 2))
    one = read("date,athlete,movement,set,reps,load_kg\n" + body)
    assert one.efforts["sets"].to_list() == [1] * 5
    assert "no_sets_column" in codes(one)


def test_a_column_set_that_does_not_count_up_says_how_many(read: Read) -> None:
    one = read(
        "date,athlete,movement,set,reps,load_kg\n2026-03-04,Ada,deadlift,5,5,100\n2026-03-04,Ada,back squat,3,8,60\n"
    )
    assert one.efforts["sets"].to_list() == [5, 3]
    assert "set_number_read_as_sets" in codes(one)


def test_equal_rows_without_a_column_for_sets(read: Read) -> None:
    text = "date,athlete,movement,reps,load_kg\n" + "2026-03-04,Ada,deadlift,5,100\n" * 3
    one = read(text)
    assert one.counts["duplicate"] == 2
    assert "identical_rows" in codes(one)
    assert read(text, identical_rows="separate").counts["accepted"] == 3


def test_ranges_of_reps(read: Read) -> None:
    text = "date,athlete,movement,sets,reps,load_kg\n2026-03-04,Ada,deadlift,3,8-10,100\n"
    assert reasons(read(text)) == {1: ["non_numeric_reps"]}
    one = read(text, rep_ranges="midpoint").efforts.row(0, named=True)
    assert (one["reps"], one["share_low"], one["share_high"]) == (9.0, 8 / 9, 10 / 9)
    columns = read("date,athlete,movement,sets,reps min,reps max\n2026-03-04,Ada,pull-up,3,8,10\n").efforts.row(
        0, named=True
    )
    assert (columns["reps"], columns["share_low"], columns["share_high"]) == (9.0, 8 / 9, 10 / 9)


def test_reps_without_sets_are_incomplete_where_there_is_a_column(read: Read) -> None:
    one = read("date,athlete,movement,sets,reps,distance_m\n2026-03-04,Ada,pull-up,,10,\n2026-03-04,Ada,row,,,2000\n")
    assert reasons(one) == {1: ["missing_sets"]}
    assert one.efforts["sets"].to_list() == [1]
    assert one.rows["notes"].to_list()[1] == ["sets_taken_as_one"]


def test_rows_that_only_rate_a_session(read: Read) -> None:
    one = read(
        "date,athlete,session,movement,sets,reps,session_rpe,session_min\n2026-03-04,Ada,pm,pull-up,3,10,,\n"
        "2026-03-04,Ada,pm,,,,7,60\n"
    )
    assert one.counts["accepted"] == 2
    assert one.efforts.height == 1
    assert one.sessions.select("session_rpe", "duration_min").rows() == [(7.0, 60.0)]


def test_a_log_of_sessions_alone(read: Read) -> None:
    one = read("day,who,session rpe,minutes\n2026-03-04,Ada,7,60\n2026-03-05,Ada,,60\n")
    assert one.efforts.height == 0
    assert one.sessions.select("session_rpe", "duration_min").rows() == [(7.0, 60.0)]
    assert reasons(one) == {2: ["missing_movement"]}


def test_different_ratings_in_one_session_are_not_chosen_between(read: Read) -> None:
    one = read("date,athlete,movement,reps,session rpe\n2026-03-04,Ada,pull-up,10,7\n2026-03-04,Ada,push-up,10,8\n")
    assert one.sessions["session_rpe"].to_list() == [None]
    assert "session_rpe_differs" in codes(one)


def test_a_duration_shared_by_the_whole_day_is_the_session(read: Read) -> None:
    one = read(
        "date,athlete,movement,reps,duration (min),session rpe\n2026-03-04,Ada,pull-up,10,60,7\n"
        "2026-03-04,Ada,push-up,10,60,7\n"
    )
    assert one.sessions["duration_min"].to_list() == [60.0]
    assert one.efforts["duration_s"].null_count() == 2
    assert "duration_read_as_session_min" in codes(one)


def test_version_and_side_words(read: Read) -> None:
    one = read(
        "date,athlete,movement,reps,version,side\n2026-03-04,Ada,pull-up,10,scaled,\n2026-03-04,Ada,push-up,10,,links\n"
        "2026-03-04,Ada,box jump,10,perhaps,\n2026-03-04,Ada,box jump,10,swapped,up\n"
    )
    assert one.efforts["version"].to_list() == ["scaled", "as_written"]
    assert one.efforts["side"].to_list() == [None, "left"]
    assert reasons(one) == {3: ["unknown_version"], 4: ["unknown_side"]}


def test_a_number_that_nothing_decides_is_set_aside(read: Read) -> None:
    text = "date,athlete,movement,distance_m\n2026-03-04,Ada,row,2.000\n2026-03-05,Ada,row,4.000\n"
    assert reasons(read(text)) == {1: ["ambiguous_number"], 2: ["ambiguous_number"]}
    assert read(text, decimal="comma").efforts["distance_m"].to_list() == [2000.0, 4000.0]
    assert read(text.replace(",", ";")).efforts["distance_m"].to_list() == [2000.0, 4000.0]


def test_a_short_row_and_a_long_row(read: Read) -> None:
    one = read(
        "date,athlete,movement,reps,notes\n2026-03-04,Ada,pull-up,10\n2026-03-04,Ada,pull-up,10,good, very\n"
        "2026-03-04,Ada,pull-up,10,good,,\n"
    )
    assert reasons(one) == {1: ["field_count"], 2: ["field_count"]}
    assert one.counts["accepted"] == 1
    assert one.rows["messages"].to_list()[1] == [
        "row 2, line 3: the row has 6 cells. Wanted: 5 cells, as many as the header. What to do: look for a "
        "missing or an "
        "extra delimiter; put cells that contain the delimiter in quotation marks."
    ]


def test_an_open_quotation_mark_costs_one_row_and_not_the_rest(read: Read) -> None:
    one = read(
        'date,athlete,movement,reps,notes\n2026-03-04,Ada,pull-up,10,"oops\n2026-03-05,Ada,pull-up,10,\n'
        '2026-03-06,Ada,pull-up,10,"two\nlines"\n2026-03-07,Ada,pull-up,10,\n'
    )
    assert reasons(one) == {1: ["open_quote"]}
    assert one.rows["line"].to_list() == [2, 3, 4, 6]
    assert [day.day for day in one.efforts["date"]] == [5, 6, 7]


@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_encodings_and_line_ends(read: Read, newline: str, encoding: str) -> None:
    lines = [
        "Datum;Name;Übung;Wdh;Last_kg",
        "04.03.2026;Jürgen;Frontkniebeuge;5;42,5",
        "05.03.2026;Zoë;Kreuzheben;5;62,5",
        "",
    ]
    one = read(newline.join(lines).encode(encoding))
    assert one.athletes["name"].to_list() == ["Jürgen", "Zoë"]
    assert one.efforts["load_kg"].to_list() == [42.5, 62.5]


def test_title_lines_above_the_header_of_a_text_file(read: Read) -> None:
    one = read("Station log,,,\nprinted 5 March,,,\n,,,\ndate,athlete,movement,reps\n2026-03-04,Ada,pull-up,10\n")
    assert one.rows.select("row", "line", "verdict").rows() == [(1, 5, "accepted")]


def test_a_mapping_file(read: Read, tmp_path: Path) -> None:
    mapping = tmp_path / "mapping.toml"
    mapping.write_text(
        '[columns]\ndate = "Wann"\nathlete = "Kürzel"\nmovement = "Was"\nreps = "Anz"\n'
        'load = { column = "Eisen", unit = "kg" }\n',
        encoding="utf-8",
    )
    one = read("Wann;Kürzel;Was;Anz;Eisen;Gewicht\n04.03.2026;Ada;Kreuzheben;5;102,5;70\n", mapping=mapping)
    assert one.efforts.select("movement", "reps", "load_kg").rows() == [("deadlift", 5.0, 102.5)]
    assert "load_unit_assumed" not in codes(one)


def test_names_of_people(read: Read) -> None:
    roster = people("Zoë", "Jörg", "Juno")
    one = read(
        "date,athlete,movement,reps\n2026-03-04,zoe,pull-up,1\n2026-03-04, JORG ,pull-up,2\n"
        "2026-03-04,Juno?,pull-up,3\n"
        "2026-03-04,Jun,pull-up,4\n2026-03-04,,pull-up,5\n",
        roster=roster,
    )
    assert one.efforts["athlete_id"].to_list() == ["zoë", "jörg"]
    assert reasons(one) == {3: ["unknown_athlete"], 4: ["unknown_athlete"], 5: ["missing_athlete"]}
    assert one.as_json()["quarantined"][0]["remedy"] == (
        "correct the name or add the person to the roster; the nearest name is Juno"
    )


def test_two_people_whose_names_differ_only_in_marks_are_told_apart(read: Read) -> None:
    one = read(
        "date,athlete,movement,reps\n2026-03-04,Zoë,pull-up,1\n2026-03-04,Zoe,pull-up,2\n2026-03-04,ZOÊ,pull-up,3\n",
        roster=people("Zoë", "Zoe"),
    )
    assert one.efforts["athlete_id"].to_list() == ["zoë", "zoe"]
    assert reasons(one) == {3: ["unknown_athlete"]}


def test_without_a_roster_slips_of_the_pen_are_told(read: Read) -> None:
    body = "".join(f"2026-03-{day:02d},Lena,pull-up,10\n" for day in range(1, 25)) + "2026-03-25,Lenna,pull-up,10\n"
    one = read("date,athlete,movement,reps\n" + body)
    assert one.counts["accepted"] == 25
    assert [warning.text for warning in one.warnings] == [
        "There is no column for sets; each row counts as one set.",
        "No roster was given: every name counts as a person, 2 in all.",
        "The name Lenna looks like Lena, which is far more frequent.",
    ]


def test_future_and_long_past_days(read: Read) -> None:
    one = read(
        "date,athlete,movement,reps\n2026-11-26,Ada,pull-up,1\n1999-12-31,Ada,pull-up,2\n1900-01-01,Ada,pull-up,3\n"
        "2026-11-25,Ada,pull-up,4\n"
    )
    assert reasons(one) == {row: ["date_out_of_range"] for row in (1, 2, 3)}
    assert one.rows["messages"].to_list()[0] == [
        "row 1, line 2, column date: '2026-11-26' lies outside 2000-01-01 to 2026-11-25. "
        "Wanted: a day in that range. What to do: correct the year."
    ]


def test_infinite_and_absurd_figures(read: Read) -> None:
    header = "date,athlete,movement,sets,reps,load_kg,distance_m,rpe\n"
    rows = [
        "nan,100,,",
        "5,inf,,",
        "5,1e300,,",
        "1e9,100,,",
        "5,100,1e99,",
        "5,100,,nan",
        "0,100,,",
        "2.5,100,,",
        "5,100,-5,",
        "5,500.1,,",
    ]
    one = read(header + "".join(f"2026-03-04,Ada,deadlift,3,{row}\n" for row in rows))
    assert reasons(one) == {
        1: ["non_numeric_reps"],
        2: ["non_numeric_load"],
        3: ["implausible_load"],
        4: ["implausible_reps"],
        5: ["implausible_distance"],
        6: ["non_numeric_rpe"],
        7: ["implausible_reps"],
        8: ["implausible_reps"],
        9: ["negative_distance"],
        10: ["implausible_load"],
    }


def test_all_reasons_of_a_row_are_told(read: Read) -> None:
    one = read("date,athlete,movement,sets,reps,load_kg,rpe\nyesterday,,hopping about wildly,x,-2,-5,11\n")
    assert reasons(one) == {
        1: [
            "bad_date",
            "missing_athlete",
            "unknown_movement",
            "non_numeric_sets",
            "negative_reps",
            "negative_load",
            "rpe_out_of_range",
        ]
    }
    assert len(one.rows["messages"].to_list()[0]) == 7


def test_repairs_are_taken_only_when_all_of_a_row_can_be_repaired(read: Read) -> None:
    text = (
        "date,athlete,movement,sets,reps,load_kg,rpe\n2026-03-04,Ada,deadlift,1,5,100 lb,7\n"
        "5 Mar,Ada,deadlift,1,5,100,7\n"
        "6 Mar,Ada,deadlift,1,5,200 lb,7\n7 Mar,Ada,deadlift,1,5,200 lb,11\n2026-03-08,Ada,deadlift,1,5,100,7\n"
    )
    strict, mended = read(text), read(text, accept_repairs=True)
    assert strict.counts["accepted"] == 1
    assert mended.efforts["date"].to_list() == [dt.date(2026, 3, day) for day in (4, 5, 6, 8)]
    assert mended.efforts["load_kg"].to_list() == [pytest.approx(45.359237), 100.0, pytest.approx(90.718474), 100.0]
    assert reasons(mended) == {4: ["date_without_year", "lb_in_kg_column", "rpe_out_of_range"]}
    assert mended.rows["notes"].to_list()[2] == ["year_filled", "converted"]
    assert strict.as_json()["quarantined"][0]["remedy"] == (
        "write 45.36 kg, or let pounds be converted (accept repairs)"
    )


def test_a_year_is_not_filled_in_across_a_gap_or_a_disagreement(read: Read) -> None:
    header = "date,athlete,movement,reps\n"
    far = read(header + "7 Feb,Ada,pull-up,5\n2026-08-01,Ada,pull-up,6\n", accept_repairs=True)
    torn = read(
        header + "2025-01-10,Ada,pull-up,6\n12 Jan,Ada,pull-up,5\n2026-01-14,Ada,pull-up,7\n", accept_repairs=True
    )
    turn = read(
        header + "2025-12-29,Ada,pull-up,6\n2 Jan,Ada,pull-up,5\n2026-01-05,Ada,pull-up,7\n", accept_repairs=True
    )
    assert reasons(far) == {1: ["date_without_year"]}
    assert reasons(torn) == {2: ["date_without_year"]}
    assert turn.efforts["date"].to_list()[1] == dt.date(2026, 1, 2)


def test_empty_dates_follow_the_one_above_only_when_asked(read: Read) -> None:
    text = "date,athlete,movement,reps\n2026-03-04,Ada,pull-up,5\n,Ada,push-up,5\n"
    assert reasons(read(text)) == {2: ["bad_date"]}
    assert read(text, fill_down_dates=True).efforts["date"].to_list() == [dt.date(2026, 3, 4)] * 2


def test_duplicates_of_a_row_set_aside_are_set_aside_too(read: Read) -> None:
    one = read(
        "date,athlete,movement,reps\n"
        + "2026-03-04,Ada,pull-up,x\n" * 2
        + "2026-03-04,Ada,pull-up,5\n2026-03-04, ADA,Pull-up ,5\n"
    )
    assert one.rows["verdict"].to_list() == ["quarantined", "quarantined", "accepted", "duplicate"]
    assert one.rows.select("of_row", "duplicate_kind").row(3) == (3, "normalised")


def test_marks_for_nothing(read: Read) -> None:
    one = read(
        "date,athlete,movement,sets,reps,load_kg,rpe\n2026-03-04,Ada,pull-up,3,5,-,n/a\n2026-03-04,Ada,push-up,3,5,–,\n"
    )
    assert one.efforts.select("load_kg", "rpe").rows() == [(None, None)] * 2


@pytest.mark.parametrize("table", ["columns", "roster", "day_states"])
def test_every_column_name_is_found_again(table: str) -> None:
    names = column_names(table)
    for kind, written in names.all_written().items():
        for name in written:
            meaning = names.meaning(name.upper())
            assert meaning is not None
            assert meaning.kind == kind, name


@pytest.mark.parametrize(
    ("title", "kind", "unit"),
    [
        ("load_kg", "load", "kg"),
        ("Last_kg", "load", "kg"),
        ("Distanz_m", "distance", "m"),
        ("Distance (m)", "distance", "m"),
        ("Weight [lbs]", "load", "lb"),
        ("Gewicht in kg", "load", "kg"),
        ("Peso (kg)", "load", "kg"),
        ("Box Height (in)", "height", "in"),
        ("Altura cajón cm", "height", "cm"),
        ("kg", "load", "kg"),
        ("Réps", "reps", None),
        ("Sätze", "sets", None),
        ("SÉRIES", "sets", None),
        ("sRPE", "session_rpe", None),
        ("Session-RPE", "session_rpe", None),
        ("Dauer (s)", "duration", "s"),
        ("Distância (km)", "distance", "km"),
        ("Bemerkung", "note", None),
        ("session duration (min)", "session_min", "min"),
    ],
)
def test_names_with_units(title: str, kind: str, unit: str | None) -> None:
    meaning = column_names("columns").meaning(title)
    assert meaning is not None
    assert (meaning.kind, meaning.unit) == (kind, unit)


def test_unused_columns_are_told(read: Read) -> None:
    one = read("date,athlete,movement,reps,mood,weather\n2026-03-04,Ada,pull-up,5,good,rain\n")
    assert "These columns are not used: mood, weather." in [warning.text for warning in one.warnings]


def test_a_weekday_column_beside_the_date(read: Read) -> None:
    one = read("Day,Date,Athlete,Exercise,Reps\nWed,04.03.2026,Ada,pull-up,5\n")
    assert one.efforts["date"].to_list() == [dt.date(2026, 3, 4)]
    assert "These columns are not used: Day." in [warning.text for warning in one.warnings]
    assert read("Day,Athlete,Exercise,Reps\n04.03.2026,Ada,pull-up,5\n").counts["accepted"] == 1


def test_plain_minutes_are_those_of_the_row_or_of_the_session(read: Read) -> None:
    rows = read("date,athlete,movement,minutes\n2026-03-04,Ada,row,20\n2026-03-04,Ada,plank,2\n")
    assert rows.efforts["duration_s"].to_list() == [1200.0, 120.0]
    assert "session_min_read_as_duration" in codes(rows)
    sessions = read("date,athlete,movement,reps,minutes,srpe\n2026-03-04,Ada,pull-up,5,60,7\n")
    assert sessions.sessions["duration_min"].to_list() == [60.0]


def test_the_log_of_one_person(read: Read) -> None:
    text = "date,movement,reps\n2026-03-04,pull-up,5\n2026-03-05,push-up,5\n"
    one = read(text, athlete="Ada")
    assert one.athletes["name"].to_list() == ["Ada"]
    assert one.efforts["athlete_id"].to_list() == ["ada", "ada"]
    stranger = read(text, athlete="Zed", roster=people("Ada"))
    assert reasons(stranger) == {1: ["unknown_athlete"], 2: ["unknown_athlete"]}


def test_lines_that_head_or_add_up_others(read: Read) -> None:
    one = read(
        "date,athlete,movement,sets,reps,notes\nWeek 9,,,,,\n2026-03-04,Ada,pull-up,3,5,total wreck\nKW 10,,,3,15,\n"
        ",Gesamt,,3,15,\n----,----,----,----,----,----\nSuma semana 3,,,3,,\n,,pull-up,3,5,total rest\n"
    )
    assert one.rows["verdict"].to_list() == ["other", "accepted", "other", "other", "other", "other", "quarantined"]


def test_two_columns_of_remarks(read: Read) -> None:
    one = read("date,athlete,movement,reps,notes,comments\n2026-03-04,Ada,pull-up,5,windy,sore\n")
    assert one.sessions["note"].to_list() == ["windy"]
    assert one.efforts["text"].to_list() == ["2026-03-04 | Ada | pull-up | 5 | windy | sore"]
    assert "These columns are not used: comments." in [warning.text for warning in one.warnings]


def test_intensity_is_a_load_only_with_a_unit(read: Read) -> None:
    one = read("date,athlete,movement,reps,intensity\n2026-03-04,Ada,deadlift,5,high\n")
    assert one.counts["accepted"] == 1
    two = read("date,athlete,movement,reps,intensity (kg)\n2026-03-04,Ada,deadlift,5,100\n")
    assert two.efforts["load_kg"].to_list() == [100.0]


def test_a_wrong_year_inside_the_plausible_range_is_told(read: Read) -> None:
    body = "".join(f"2026-03-{1 + n % 28:02d},Ada,pull-up,{n}\n" for n in range(1, 150)) + "2025-03-04,Ada,pull-up,5\n"
    one = read("date,athlete,movement,reps\n" + body)
    assert one.counts["accepted"] == 150
    assert [warning.text for warning in one.warnings if warning.code == "date_far_from_others"] == [
        "Row 150: more than 120 days from all other rows, counted all the same; check the year."
    ]


def test_rows_outside_membership_are_told(read: Read) -> None:
    roster = people("Ada", joined=dt.date(2026, 3, 1), left=dt.date(2026, 3, 31))
    body = "".join(f"2026-{month:02d}-05,Ada,pull-up,5\n" for month in (2, 3, 4))
    one = read("date,athlete,movement,reps\n" + body, roster=roster)
    assert one.counts["accepted"] == 3
    assert [warning.text for warning in one.warnings if warning.code == "outside_membership"] == [
        "Rows 1, 3: before the athlete joined or after they left, counted all the same."
    ]


def test_a_movement_left_alone_in_its_column_is_not_a_title(read: Read) -> None:
    one = read("date,athlete,movement,reps\n,,pull-up,\nBank holiday,,,\n2026-03-04,,,\n2026-03-04,Ada,pull-up,5\n")
    assert one.rows["verdict"].to_list() == ["quarantined", "other", "quarantined", "accepted"]


def test_a_spreadsheet_hint_for_the_delimiter(read: Read) -> None:
    one = read("sep=;\ndate;athlete;movement;reps\n2026-03-04;Ada;pull-up;5\n")
    assert one.rows.select("row", "line", "verdict").rows() == [(1, 3, "accepted")]


def test_a_column_time_is_the_time_of_day_or_of_the_work(read: Read) -> None:
    day = read("date,time,athlete,movement,reps\n2026-03-04,18:30,Ada,pull-up,5\n2026-03-05,07:15,Ada,pull-up,5\n")
    assert day.efforts["duration_s"].to_list() == [None, None]
    assert day.sessions["label"].to_list() == ["18:30", "07:15"]
    assert "Column time is read as the time of day." in [warning.text for warning in day.warnings]
    work = read("date,time,athlete,movement,distance_m\n2026-03-04,7:32,Ada,row,2000\n2026-03-05,7:28,Ada,row,2000\n")
    assert work.efforts["duration_s"].to_list() == [452.0, 448.0]
    short = read("date,time,athlete,movement,reps\n2026-03-04,18:30,Ada,pull-up,5\n2026-03-05,1:15,Ada,pull-up,5\n")
    assert short.efforts["duration_s"].to_list() == [1110.0, 75.0]


def test_a_weekday_before_a_day_without_a_year(read: Read) -> None:
    one = read("Datum;Name;Übung;Wdh\nMo 05.01.;Ada;Klimmzüge;5\nDi 06.01.2026;Ada;Klimmzüge;5\n", accept_repairs=True)
    assert one.efforts["date"].to_list() == [dt.date(2026, 1, 5), dt.date(2026, 1, 6)]
