"""Answers that were given elsewhere, brought as a file: whole or not at all, and once."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from keelmark.contracts.errors import RefusedInput
from keelmark.service.check_in_file import import_check_ins
from keelmark.store import Store
from tests.store.made import squad

HEAD = "week,name,area,taking_part,amount,performance,symptoms\n"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "squad.sqlite") as opened:
        opened.save_athletes(squad("bo", "ida"))
        yield opened


def brought(store: Store, folder: Path, text: str) -> int:
    path = folder / "answers.csv"
    path.write_text(text, encoding="utf-8")
    return import_check_ins(store, path, date(2026, 3, 2))


def test_rows_are_kept_with_their_severity(store: Store, tmp_path: Path) -> None:
    rows = "2026-W10,Bo,,0,,,\n2026-W10, IDA ,knee,3,,,2\n2026-W11,ida,knee,1,0,1,1\n"
    assert brought(store, tmp_path, HEAD + rows) == 3
    # Derived: 0, 25 + 25 + 25 + 17, 8 + 0 + 8 + 8.
    assert store.check_ins()["severity"].to_list() == [0.0, 92.0, 24.0]
    assert store.check_ins()["athlete_id"].to_list() == ["bo", "ida", "ida"]


def test_the_same_file_again_keeps_nothing_more(store: Store, tmp_path: Path) -> None:
    assert brought(store, tmp_path, HEAD + "2026-W10,Bo,,0,,,\n") == 1
    assert brought(store, tmp_path, HEAD + "2026-W10,Bo,,0,,,\n2026-W11,Bo,,0,,,\n") == 1
    assert store.check_ins().height == 2


@pytest.mark.parametrize(
    ("row", "found"),
    [
        ("2026-W10,Neptune,,0,,,", "nobody is called “Neptune”"),
        ("2026-W60,Bo,,0,,,", "“2026-W60” is not a week"),
        ("2026-W10,Bo,,well,,,", "“well” is no option"),
        ("2026-W10,Bo,,,,,", "is not answered"),
        ("2026-W10,Bo,keel,1,1,1,1", "“keel” is no part of the list"),
        ("2026-W10,Bo,knee,0,,,", "“knee” is named, but all is well"),
    ],
)
def test_one_bad_row_and_nothing_is_kept(store: Store, tmp_path: Path, row: str, found: str) -> None:
    with pytest.raises(RefusedInput) as refused:
        brought(store, tmp_path, f"{HEAD}2026-W10,Bo,,0,,,\n{row}\n")
    assert str(refused.value).startswith("answers.csv, line 3: ")
    assert found in str(refused.value)
    assert store.check_ins().is_empty()


def test_a_file_without_the_columns_is_refused(store: Store, tmp_path: Path) -> None:
    with pytest.raises(RefusedInput, match="columns missing: area, taking_part"):
        brought(store, tmp_path, "week,name,amount,performance,symptoms\n")


@pytest.mark.parametrize("mark", [";", "\t"])
def test_a_spreadsheets_own_way_of_writing_is_read(store: Store, tmp_path: Path, mark: str) -> None:
    """Semicolons or tabs, capitals in the first line, and spaces around cells."""
    text = "Week,Name,Area,Taking part,Amount,Performance,Symptoms\n 2026-W10 ,Bo, Knee ,1, 0,1 ,1\n"
    assert brought(store, tmp_path, text.replace(",", mark)) == 1
    # Derived: 8 + 0 + 8 + 8.
    assert store.check_ins().select("week", "area", "severity").row(0) == ("2026-W10", "knee", 24.0)
