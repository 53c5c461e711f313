"""Tables as CSV files that other programs read back as they were, and that no spreadsheet carries out."""

from __future__ import annotations

import csv
import io
from datetime import UTC, date, datetime

import duckdb
import pandas as pd
import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelmark.contracts.errors import FrameError
from keelmark.contracts.schema import Column, FrameSchema
from keelmark.report import csv_bytes, guarded, unguarded

TABLE = FrameSchema(
    "Made up",
    "one column of each type",
    (
        Column("words", pl.String, "", "text", optional=True),
        Column("amount", pl.Float64, "kg", "a figure", optional=True),
        Column("count", pl.Int64, "", "a whole figure", optional=True),
        Column("day", pl.Date, "", "a day", optional=True),
        Column("moment", pl.Datetime("us", "UTC"), "UTC", "a moment", optional=True),
        Column("yes", pl.Boolean, "", "true or false", optional=True),
        Column("kind", pl.Enum(["one", "other"]), "", "one of two", optional=True),
        Column("many", pl.List(pl.String), "", "a list", optional=True),
    ),
)
DANGEROUS = ("=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx", "\nx", "＝1", "＋1", "－1", "＠x")
"""What begins a formula in a spreadsheet: OWASP, CSV Injection (=, +, -, @, tab, CR, LF, also in full width)."""


def file_of(**row: object) -> bytes:
    return csv_bytes(TABLE.build([row]), TABLE)


def cells(content: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")))


def test_lines_end_as_rfc_4180_says_and_cells_with_signs_of_their_own_are_quoted() -> None:
    """RFC 4180, section 2: CRLF after each record; quotes doubled inside quotes; commas and line ends quoted."""
    content = file_of(words='a "quick", brown\r\nfox')
    assert content.startswith(b"\xef\xbb\xbfwords,amount,count,day,moment,yes,kind,many\r\n")
    assert content.endswith(b'"a ""quick"", brown\r\nfox",,,,,,,\r\n')
    assert cells(content)[1][0] == 'a "quick", brown\r\nfox'


def test_each_type_stands_as_it_is_told() -> None:
    content = file_of(
        words="Zoë", amount=0.1, count=-3, day=date(2026, 3, 9), moment=datetime(2026, 3, 9, 7, 30, tzinfo=UTC),
        yes=True, kind="other", many=["a", "é,"],
    )  # fmt: skip
    assert cells(content)[1] == [
        "Zoë", "0.1", "-3", "2026-03-09", "2026-03-09T07:30:00.000000Z", "true", "other", '["a", "é,"]',
    ]  # fmt: skip


@pytest.mark.parametrize("text", DANGEROUS)
def test_text_that_begins_a_formula_is_made_harmless(text: str) -> None:
    written = cells(file_of(words=text))[1][0]
    assert written == f"'{text}"
    assert unguarded(written) == text


@pytest.mark.parametrize("text", ["", "'tis", "a=b", "Bo", "5-10-15", "½", " =1"])
def test_other_text_stands_as_it_is(text: str) -> None:
    assert guarded(text) == text
    assert cells(file_of(words=text))[1][0] == text


@given(st.text(alphabet=st.sampled_from("'=+-@\t\r\n＝aé ,\""), max_size=12))
def test_the_guard_can_be_taken_away_again(text: str) -> None:
    assert unguarded(guarded(text)) == text
    assert guarded(text)[:1] not in tuple("=+-@\t\r\n＝＋－＠")


def test_numbers_stay_numbers() -> None:
    """A negative number begins with a minus sign and is no text; other programs read the column as numbers."""
    content = csv_bytes(TABLE.build([{"amount": -12.5, "count": -1}, {"amount": 1e-9, "count": 2}]), TABLE)
    told = pd.read_csv(io.BytesIO(content))
    assert told["amount"].tolist() == [-12.5, 1e-9]
    assert told["count"].tolist() == [-1, 2]


def test_other_programs_read_the_file(tmp_path: object) -> None:
    from pathlib import Path

    file = Path(str(tmp_path)) / "made-up.csv"
    file.write_bytes(file_of(words="São, Tomé", amount=2.5, day=date(2026, 3, 9)))
    found = duckdb.sql(f"SELECT words, amount, day FROM read_csv('{file}')").fetchall()
    assert found == [("São, Tomé", 2.5, date(2026, 3, 9))]
    assert pl.read_csv(file)["words"].to_list() == ["São, Tomé"]


def test_nothing_known_is_an_empty_cell_and_an_empty_text_is_quoted() -> None:
    assert file_of(words=None).splitlines()[1] == b",,,,,,,"
    assert file_of(words="").splitlines()[1] == b'"",,,,,,,'


def test_a_table_of_another_shape_is_refused() -> None:
    with pytest.raises(FrameError, match="export of Made up"):
        csv_bytes(pl.DataFrame({"words": ["a"]}), TABLE)
