"""The table of reasons: whole sentences, plain words, nothing that a row can be set aside for left out."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import keelmark.ingest
from keelmark.ingest.reasons import REASONS, Finding, message, remedy
from keelmark.ingest.warnings import ROW_NOTES

FOLDER = Path(keelmark.ingest.__file__).parent
CODES_ON_THE_WAY = {"not_a_number", "not_a_volume"}
"""Faults of a cell that get the name of their column before anybody sees them."""


@pytest.mark.parametrize("code", list(REASONS))
def test_every_reason_is_a_whole_sentence(code: str) -> None:
    text = message(Finding(0, code, "Col", "the cell", "the hint"), row=3, line=5)
    assert text.startswith("row 3, line 5, column Col: ")
    assert ". Wanted: " in text
    assert ". What to do: " in text
    assert text.endswith(".")
    assert "{" not in text
    assert remedy(Finding(0, code, cell="x", hint="y"))


@pytest.mark.parametrize("code", list(REASONS))
def test_every_reason_is_given_somewhere_in_the_package(code: str) -> None:
    texts = "".join(path.read_text(encoding="utf-8") for path in FOLDER.rglob("*.py") if path.name != "reasons.py")
    built = {"lb_in_kg_column", "kg_in_lb_column"}
    assert f'"{code}"' in texts or code in built


def test_every_code_used_for_a_cell_is_in_the_table() -> None:
    texts = "".join(path.read_text(encoding="utf-8") for path in FOLDER.rglob("*.py"))
    used = {code for group in re.findall(r"reasons=\(([^)]*)\)", texts) for code in re.findall(r'"(\w+)"', group)}
    assert used - CODES_ON_THE_WAY - {"unknown"} <= set(REASONS)
    assert len(used) > 5


def test_a_missing_cell_reads_well() -> None:
    text = message(Finding(0, "bad_date", "date", ""), row=3, line=3)
    assert text == (
        "row 3, column date: an empty cell is not a day. Wanted: a day such as 2026-03-14, 14.03.2026 or 14 Mar 2026. "
        "What to do: write the date of the training day."
    )


def test_every_note_of_a_row_is_explained() -> None:
    texts = "".join(path.read_text(encoding="utf-8") for path in FOLDER.rglob("*.py") if path.name != "warnings.py")
    for code in ROW_NOTES:
        assert f'"{code}"' in texts
