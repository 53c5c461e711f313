"""Calendar labels: stretches of days with a name."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

from keelmark.contracts.records import CALENDAR_LABEL
from keelmark.ingest import LogOptions, read_labels
from tests.ingest.conftest import TODAY


def test_labels_with_their_verdicts(write: Callable[..., Path]) -> None:
    text = (
        "from,to,label,group\n2026-03-01,2026-03-14,storm fortnight,\n2026-04-05,2026-04-01,upside down,\n"
        "2026-05-01,2026-05-03,,\n2026-06-01,2026-06-02,regatta,early\n,,,\n2026-06-01,2026-06-02,regatta,early\n"
    )
    one = read_labels(write(text, "labels.csv"), options=LogOptions(today=TODAY))
    assert one.rows["verdict"].to_list() == [
        "accepted",
        "quarantined",
        "quarantined",
        "accepted",
        "blank",
        "duplicate",
    ]
    assert one.rows["reasons"].to_list()[1:3] == [["bad_period"], ["missing_label"]]
    assert one.labels.select("date_from", "date_to", "label", "group").rows() == [
        (dt.date(2026, 3, 1), dt.date(2026, 3, 14), "storm fortnight", None),
        (dt.date(2026, 6, 1), dt.date(2026, 6, 2), "regatta", "early"),
    ]
    assert sum(one.counts.values()) == 2 * one.counts["rows"]
    CALENDAR_LABEL.check(one.labels, where="test")
