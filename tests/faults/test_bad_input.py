"""Bad input of every kind is refused in words or taken as it should be; nothing crashes, nothing passes wrongly."""

from __future__ import annotations

import pytest

from keelmark.contracts.errors import RefusedInput
from tests.faults.collections import KINDS
from tests.faults.table import table
from tests.faults.tally import Case, Ending, Tally


@pytest.mark.parametrize("kind", KINDS)
def test_every_case_ends_as_it_should(kind: str) -> None:
    tally = KINDS[kind](full=False)
    assert tally.tried
    assert tally.wrong == []


def _raise(error: BaseException) -> object:
    raise error


def test_each_way_of_ending_is_told_from_the_others() -> None:
    refusal = RefusedInput("a", where="b", wanted="c", remedy="d")
    empty = RefusedInput("a", where="b", wanted="c", remedy=" ")
    tally = Tally("kind").add_all(
        [
            Case("refused", lambda: _raise(refusal), True),
            Case("taken", lambda: 1),
            Case("passed", lambda: 1, True),
            Case("refused without words", lambda: _raise(empty)),
            Case("crashed", lambda: _raise(KeyError("x"))),
        ]
    )
    assert [tally.endings[ending] for ending in Ending] == [1, 1, 2, 1]
    assert len(tally.wrong) == 3
    assert table([tally]).splitlines()[-2:] == ["| kind | 5 | 1 | 1 | 2 | 1 |", "| all | 5 | 1 | 1 | 2 | 1 |"]
