"""What looks readable but could mean two things: told or set aside, never guessed."""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Callable

import pytest
import xlsxwriter

from keelmark.catalogue import Catalogue
from keelmark.contracts.errors import RefusedInput
from keelmark.ingest import LogReading, read_roster
from tests.ingest.conftest import codes, reasons

Read = Callable[..., LogReading]
KG_PER_LB = 0.45359237  # exact by definition: international yard and pound agreement, 1959


def texts(one: LogReading, code: str) -> list[str]:
    return [warning.text for warning in one.warnings if warning.code == code]


@pytest.mark.parametrize("title", ["Unit", "Einheit", "Weight in"])
def test_a_column_of_kg_and_lb_is_the_unit_of_bare_loads(read: Read, title: str) -> None:
    one = read(
        f"date,athlete,movement,sets,reps,weight,{title}\n2026-03-04,Ada,back squat,3,10,100,lb\n"
        "2026-03-04,Ada,bench press,5,5,50,KG\n2026-03-04,Bo,deadlift,1,5,200,\n"
        "2026-03-04,Bo,front squat,1,5,20,stone\n2026-03-04,Bo,pull-up,1,5,,\n2026-03-04,Bo,push press,1,5,60 kg,\n"
    )
    assert one.efforts["load_kg"].to_list() == [pytest.approx(100 * KG_PER_LB), 50.0, None, 60.0]
    assert reasons(one) == {3: ["unknown_unit"], 4: ["unknown_unit"]}
    assert one.rows["remedy"][2] == "write kg or lb beside the load"
    assert texts(one, "read_as_load_unit") == [f"Column {title} is read as the unit of the loads."]
    assert "load_unit_assumed" not in codes(one)


def test_a_column_called_unit_that_holds_crews_is_no_unit_of_load(read: Read) -> None:
    one = read("date,athlete,movement,sets,reps,weight (kg),Unit\n2026-03-04,Ada,deadlift,3,5,100,Blue watch\n")
    assert one.counts["accepted"] == 1
    assert texts(one, "column_not_used") == ["These columns are not used: Unit."]


def test_lengths_are_no_unit_of_a_load(read: Read) -> None:
    one = read("date,athlete,movement,sets,reps,weight,weight unit\n2026-03-04,Ada,deadlift,3,5,100,cm\n")
    assert reasons(one) == {1: ["unknown_unit"]}


def test_a_word_for_several_movements_is_told(read: Read) -> None:
    one = read("date,athlete,movement,sets,reps\n2026-03-04,Ada,squats,3,10\n2026-03-05,Ada,squats,3,10\n")
    assert one.efforts["movement"].to_list() == ["air_squat", "air_squat"]
    assert texts(one, "generic_movement") == [
        "squats (2 rows) is read as air squat; it could also be back squat, front squat, overhead squat, goblet squat. "
        "Write the movement itself to be sure."
    ]


@pytest.mark.parametrize("word", ["squat", "Kniebeuge"])
def test_a_loaded_word_for_several_movements_is_set_aside(read: Read, word: str) -> None:
    one = read(f"date,athlete,movement,sets,reps,load_kg\n2026-03-04,Ada,{word},5,5,80\n2026-03-05,Ada,{word},5,5,\n")
    assert reasons(one) == {1: ["unclear_movement"]}
    assert "write which one it was: back squat, front squat" in one.rows["remedy"][0]
    assert one.efforts["load_kg"].to_list() == [None]


def test_several_movements_in_one_cell_are_named_as_such(read: Read) -> None:
    one = read("date,athlete,movement,sets,reps\n2026-03-04,Ada,deadlift + push press,3,5\n")
    assert reasons(one) == {1: ["unknown_movement"]}
    assert one.rows["remedy"][0].endswith("the cell names several movements, and each needs a row of its own")


def test_a_rest_day_among_the_movements_is_no_movement(read: Read) -> None:
    one = read("date,athlete,movement,sets,reps\n2026-03-04,Ada,rest,,\n2026-03-05,Ada,deadlift,3,5\n")
    assert "this says what the day was" in one.rows["remedy"][0]
    assert "near names" not in one.rows["remedy"][0]


def test_two_people_of_one_first_name_are_not_made_one(read: Read) -> None:
    one = read(
        "Date,First name,Last name,Exercise,Sets,Reps,Weight (kg)\n2026-03-02,Ida,Berg,deadlift,3,5,100\n"
        "2026-03-02,Ida,Holm,deadlift,3,5,120\n2026-03-02,Bo,Lund,deadlift,3,5,120\n2026-03-03,Bo,,deadlift,3,5,120\n"
    )
    assert reasons(one) == {1: ["same_first_name"], 2: ["same_first_name"]}
    assert one.efforts["athlete_id"].to_list() == ["bo", "bo"]


def test_a_formula_is_nobody(read: Read) -> None:
    one = read("date,athlete,movement,sets,reps\n2026-03-04,=A1,deadlift,3,5\n")
    assert reasons(one) == {1: ["formula_as_text"]}


def test_a_mark_beside_body_weight_is_no_minus(read: Read) -> None:
    one = read("date,athlete,movement,sets,reps,load_kg\n2026-03-04,Ada,pull-up,3,5,BW/10\n")
    assert reasons(one) == {1: ["non_numeric_load"]}


def test_a_hidden_sheet_is_told_and_not_read(read: Read) -> None:
    stream = io.BytesIO()
    with xlsxwriter.Workbook(stream) as book:
        for number, name in enumerate(("Season", "Old")):
            sheet = book.add_worksheet(name)
            sheet.write_row(0, 0, ["Date", "Athlete", "Movement", "Sets", "Reps", "Load (kg)"])
            sheet.write_row(1, 0, ["2026-03-04", "Ada", "deadlift", 1, 5, 100 + number])
        sheet.hide()
    one = read(stream.getvalue(), name="log.xlsx")
    assert one.efforts["load_kg"].to_list() == [100]
    assert texts(one, "hidden_sheet") == ["Hidden sheets are not read: Old."]
    assert read(stream.getvalue(), name="log.xlsx", sheet="Old").efforts["load_kg"].to_list() == [101]


@pytest.mark.parametrize(
    ("written", "cm"),
    # derived: 5 x 30.48 + 7 x 2.54 = 170.18; 6 x 30.48 + 1 x 2.54 = 185.42; 5 x 30.48 + 10.5 x 2.54 = 179.07
    [('5\'7""', 170.18), ("6 ft 1 in", 185.42), ("5′10.5″", 179.07), ("6'1", 185.42)],
)
def test_a_stature_in_feet_and_inches(
    write: Callable[..., object], catalogue: Catalogue, written: str, cm: float
) -> None:
    one = read_roster(write(f'Name,Height\nIda,"{written}"\n', "roster.csv"), catalogue)  # type: ignore[arg-type]
    assert one.athletes["stature_cm"].to_list() == [pytest.approx(cm)]


def test_a_stature_of_feet_alone_is_refused(write: Callable[..., object], catalogue: Catalogue) -> None:
    with pytest.raises(RefusedInput, match="100 to 250 cm"):
        read_roster(write("Name,Height\nIda,9'9\n", "roster.csv"), catalogue)  # type: ignore[arg-type]


def test_dates_that_nothing_decides_name_the_option(read: Read) -> None:
    one = read("date,athlete,movement,sets,reps\n3/2/2026,Ada,deadlift,3,5\n")
    assert one.rows["remedy"][0].startswith("say with --day-first or --month-first")
    assert read("date,athlete,movement,sets,reps\n3/2/2026,Ada,deadlift,3,5\n", day_first=False).efforts[
        "date"
    ].to_list() == [dt.date(2026, 3, 2)]
