"""Rosters: who is in the squad, and what they can lift once."""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Callable
from pathlib import Path

import pytest
import xlsxwriter

from keelmark.catalogue import Catalogue
from keelmark.contracts.errors import RefusedInput
from keelmark.contracts.frames import ATHLETE, REP_MAXIMUM
from keelmark.ingest import LogOptions, RosterReading, read_roster
from tests.ingest.conftest import LOGS

Roster = Callable[..., RosterReading]


@pytest.fixture
def roster(write: Callable[..., Path], catalogue: Catalogue) -> Roster:
    def _roster(content: str | bytes, name: str = "roster.csv", **options: object) -> RosterReading:
        return read_roster(write(content, name), catalogue, options=LogOptions(**options))  # type: ignore[arg-type]

    return _roster


def test_names_alone_in_a_single_column(catalogue: Catalogue) -> None:
    one = read_roster(LOGS / "long_squad.roster.csv", catalogue)
    assert one.athletes.height == 40
    assert one.athletes["name"].to_list()[:3] == ["Zoë", "Søren", "Jürgen"]
    assert one.rep_maxima.height == 0
    assert one.warnings == ()


def test_a_full_english_roster(roster: Roster) -> None:
    one = roster(
        "id,name,group,sex,body mass (lb),height (in),standard,joined,left,1RM deadlift (kg),back squat 1RM kg,1RM "
        "date\n"
        "c1,Ada,early,f,154,67,lighter,2024-05-01,,140,110,2026-01-10\n"
        "c2,Bo,late,m,,,heavier,2025-02-01,2026-06-30,,150,\n"
    )
    ada, bo = one.athletes.iter_rows(named=True)
    assert (ada["athlete_id"], ada["name"], ada["group"], ada["sex"]) == ("c1", "Ada", "early", "female")
    assert ada["body_mass_kg"] == pytest.approx(154 * 0.45359237)
    assert ada["stature_cm"] == pytest.approx(67 * 2.54)
    assert (ada["standard"], bo["standard"]) == ("lighter", "heavier")
    assert (bo["joined"], bo["left"]) == (dt.date(2025, 2, 1), dt.date(2026, 6, 30))
    assert (bo["body_mass_kg"], bo["stature_cm"]) == (None, None)
    assert sorted(one.rep_maxima.rows()) == [
        ("c1", "back_squat", dt.date(2026, 1, 10), 110.0, "tested"),
        ("c1", "deadlift", dt.date(2026, 1, 10), 140.0, "tested"),
        ("c2", "back_squat", dt.date(2025, 2, 1), 150.0, "stated"),
    ]
    assert [warning.code for warning in one.warnings] == ["maxima_without_day"]
    ATHLETE.check(one.athletes, where="test")
    REP_MAXIMUM.check(one.rep_maxima, where="test")


@pytest.mark.parametrize(
    "text",
    [
        "Name;Gruppe;Geschlecht;Körpergewicht (kg);Größe (cm);Kreuzheben 1RM (kg)\nAnke;A;w;72,5;171;120\n",
        "Nombre;Grupo;Sexo;Peso corporal (kg);Estatura (cm);1RM peso muerto (kg)\nAnke;A;mujer;72,5;171;120\n",
        "Prénom;Groupe;Sexe;Poids de corps (kg);Taille (cm);1RM soulevé de terre (kg)\nAnke;A;femme;72,5;171;120\n",
        "Nome;Grupo;Sexo;Peso corporal (kg);Altura (m);1RM deadlift (kg)\nAnke;A;feminino;72,5;1,71;120\n",
    ],
    ids=["German", "Spanish", "French", "Portuguese"],
)
def test_other_languages(roster: Roster, text: str) -> None:
    one = roster(text)
    assert one.athletes.select("name", "group", "sex", "body_mass_kg", "stature_cm").rows() == [
        ("Anke", "A", "female", 72.5, pytest.approx(171.0))
    ]
    assert one.rep_maxima.select("movement", "load_kg").rows() == [("deadlift", 120.0)]
    assert [warning.code for warning in one.warnings] == ["maxima_without_day"]


def test_a_workbook(roster: Roster) -> None:
    stream = io.BytesIO()
    with xlsxwriter.Workbook(stream) as book:
        sheet = book.add_worksheet("Crew")
        sheet.write("A1", "Station crew 2026")
        sheet.write_row("A3", ["Name", "Body mass (kg)", "Joined", "1RM strict press (lb)"])
        sheet.write_row("A4", ["Ada", 70.5])
        sheet.write_datetime("C4", dt.datetime(2024, 5, 1), book.add_format({"num_format": "dd/mm/yyyy"}))
        sheet.write("D4", 100)
    one = roster(stream.getvalue(), "roster.xlsx")
    assert one.athletes["joined"].to_list() == [dt.date(2024, 5, 1)]
    assert one.rep_maxima.rows() == [("ada", "strict_press", dt.date(2024, 5, 1), pytest.approx(45.359237), "stated")]


def test_figures_without_a_unit_are_told(roster: Roster) -> None:
    one = roster("name,body mass,stature,deadlift 1RM\nAda,70,171,120\n")
    assert [warning.text for warning in one.warnings][:2] == [
        "Column body mass has no unit and is read as kg. Write body mass (kg) to be sure.",
        "Column stature has no unit and is read as cm. Write stature (cm) to be sure.",
    ]
    assert {warning.code for warning in one.warnings} >= {"load_unit_assumed", "maxima_without_day"}


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "name,group\nAda,A\nBo,A\n ADA ,B\n",
            "roster.csv: the name ADA stands twice, in lines 2 and 4. Wanted: every person once, under a name of "
            "their own. "
            "What to do: remove one of the rows, or tell the two apart, such as Anna B and Anna K, or add a column id.",
        ),
        (
            "id,name\n7,Ada\n7,Bo\n",
            "roster.csv: the id 7 stands twice, in lines 2 and 3. Wanted: every person once, under a name of their "
            "own. "
            "What to do: remove one of the rows, or tell the two apart, such as Anna B and Anna K.",
        ),
        (
            "name,group\nZoë,A\nZoe,A\n",
            "roster.csv: the names Zoë and Zoe, which differ only in marks, stand twice, in lines 2 and 3. Wanted: "
            "every person "
            "once, under a name of their own. What to do: remove one of the rows, or tell the two apart, such as "
            "Anna B and "
            "Anna K, or add a column id.",
        ),
        (
            "name,sex\nAda,perhaps\n",
            "roster.csv, line 2, column sex: the cell is 'perhaps'. Wanted: female or male, or an empty cell. "
            "What to do: correct the roster and read it again; nothing was stored.",
        ),
        (
            "name,body mass (kg)\nAda,700\n",
            "roster.csv, line 2, column body mass (kg): the cell is '700'. Wanted: 20 to 300 kg. "
            "What to do: check the unit; pounds divided by 2.2046 are kilograms; correct the roster and read it again; "
            "nothing was stored.",
        ),
        (
            "name,stature (cm)\nAda,70\n",
            "roster.csv, line 2, column stature (cm): the cell is '70'. Wanted: 100 to 250 cm. "
            "What to do: check the unit; inches times 2.54 are centimetres; correct the roster and read it again; "
            "nothing was stored.",
        ),
        (
            "name,joined,left\nAda,2026-05-01,2026-04-01\n",
            "roster.csv, line 2, column left: the cell is '2026-04-01'. Wanted: a day on or after 2026-05-01. "
            "What to do: correct the roster and read it again; nothing was stored.",
        ),
        (
            "name,group\n,A\n",
            "roster.csv, line 2, column name: the cell is empty. Wanted: a name. "
            "What to do: correct the roster and read it again; nothing was stored.",
        ),
        (
            "name,group\nAda,A,B\n",
            "roster.csv, line 2: the row has 3 cells, the header 2. Wanted: as many cells as the header has. "
            "What to do: correct the roster and read it again; nothing was stored.",
        ),
        (
            "name,group,sex\nAda\n",
            "roster.csv, line 2: the row is nobody's. Wanted: one row for each person and nothing else. "
            "What to do: correct the roster and read it again; nothing was stored.",
        ),
        (
            "name,1RM deadlift kg\nAda,much\n",
            "roster.csv, line 2, column 1RM deadlift kg: the cell is 'much'. Wanted: kilograms or pounds. "
            "What to do: correct the roster and read it again; nothing was stored.",
        ),
        (
            "name,1RM deadlift kg,deadlift 1RM (lb)\nAda,100,220\n",
            "roster.csv: the columns '1RM deadlift kg' and 'deadlift 1RM (lb)' both give maxima of deadlift. "
            "Wanted: one column for each movement. What to do: remove one of them.",
        ),
        (
            "name,group\n",
            "roster.csv: there is a header but nobody below it. Wanted: one row for each person. "
            "What to do: correct the roster and read it again; nothing was stored.",
        ),
    ],
)  # fmt: skip
def test_a_roster_is_taken_whole_or_not_at_all(roster: Roster, text: str, message: str) -> None:
    with pytest.raises(RefusedInput) as caught:
        roster(text)
    assert str(caught.value) == message


def test_each_cell_that_cannot_be_read_is_told(roster: Roster) -> None:
    with pytest.raises(RefusedInput) as caught:
        roster("name,standard,body mass kg,1RM deadlift (kg)\nAda,odd,60,100\n,lighter,much,9000\nBo,heavier,7,90\n")
    assert caught.value.found == (
        "5 cells cannot be read. line 2, column standard: the cell is 'odd', wanted heavier or lighter; "
        "line 3, column 1RM deadlift (kg): the cell is '9000', wanted up to 500 kg; "
        "line 3, column body mass kg: the cell is 'much', wanted 20 to 300 kg; "
        "line 3, column name: the cell is empty, wanted a name; "
        "line 4, column body mass kg: the cell is '7', wanted 20 to 300 kg"
    )
    assert caught.value.where == "roster.csv"
    many = "name,standard\n" + "".join(f"Ada {place},odd\n" for place in range(30))
    with pytest.raises(RefusedInput, match=r"30 cells cannot be read.*line 21, .*; and 10 more"):
        roster(many)


def test_a_maximum_of_an_unknown_movement(roster: Roster) -> None:
    with pytest.raises(RefusedInput, match="the column '1RM zzyzx' gives maxima of a movement that is not known"):
        roster("name,1RM zzyzx\nAda,100\n")


def test_no_names(roster: Roster) -> None:
    with pytest.raises(RefusedInput, match="no column for name was found; the columns are colour, group"):
        roster("colour,group\nred,A\n")
