"""Laws that hold for any log: every row has one verdict, and the way a log is written does not change what it says."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from pathlib import Path

import polars as pl
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from keelmark.catalogue import Catalogue
from keelmark.ingest import LogOptions, LogReading, read_log
from keelmark.ingest.verdicts import VERDICTS
from tests.ingest.conftest import TODAY, people

HEADER = ["date", "athlete", "slot", "movement", "sets", "reps", "load_kg", "distance_m", "rpe", "notes"]
ROSTER = people("Ada", "Bo", "Zoë")

dates = st.one_of(
    st.dates().map(str),
    st.sampled_from(
        [
            "",
            "2026-02-29",
            "yesterday",
            "7 Feb",
            "03.04.2026",
            "3/4/2026",
            "13/4/2026",
            "46085",
            "2026-03-04",
            "Week 3 sum",
        ]
    ),
)
cells = [
    dates,
    st.sampled_from(["Ada", "bo ", "ZOË", "Zoe", "", "Guest", "Ada?"]),
    st.sampled_from(["am", "pm", ""]),
    st.sampled_from(["deadlift", "Pull-Up", "row", "", "hopping about", "box jump"]),
    st.sampled_from(["1", "3", "", "x", "0", "-1"]),
    st.sampled_from(["5", "10", "", "x", "8-10", "-3", "5555", "nan", "5,5,5"]),
    st.sampled_from(["42.5", "42,5", "", "BW", "2x16", "95 lb", "-20", "9000", "70%", "1.000", "inf"]),
    st.sampled_from(["", "250", "2.000", "5 km", "-1"]),
    st.sampled_from(["", "7", "7,5", "11", "0", "hard"]),
    st.text(st.characters(codec="utf-8", exclude_characters="\x00", exclude_categories=["Cs", "Cc"]), max_size=12),
]
whole_rows = st.tuples(*cells).map(list)
other_rows = st.one_of(
    st.just([]),
    st.just([""] * len(HEADER)),
    st.just(["Total", "", "", "", "12"] + [""] * 5),
    st.just(HEADER),
    st.lists(st.sampled_from(["a", "", "1"]), min_size=1, max_size=14),
)
rows_of_a_log = st.lists(st.one_of(whole_rows, whole_rows, other_rows), min_size=1, max_size=25)


def text_of(rows: list[list[str]], delimiter: str = ",") -> str:
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, delimiter=delimiter, lineterminator="\r\n")
    writer.writerows([HEADER, *rows])
    return stream.getvalue()


def read_text(path: Path, content: bytes, catalogue: Catalogue, **options: object) -> LogReading:
    path.write_bytes(content)
    settings_ = LogOptions(today=TODAY, **options)  # type: ignore[arg-type]
    return read_log(path, catalogue=catalogue, roster=ROSTER, options=settings_)


dirty = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@dirty
@given(rows=rows_of_a_log, repairs=st.booleans())
@example(rows=[["2026-03-04", "Ada", "am", "row", "1", "", "", "2.000", "", '"']], repairs=False)
def test_every_row_ends_in_exactly_one_way(
    tmp_path: Path, catalogue: Catalogue, rows: list[list[str]], repairs: bool
) -> None:
    one = read_text(tmp_path / "log.csv", text_of(rows).encode(), catalogue, accept_repairs=repairs)
    counts = one.counts
    assert counts["rows"] == len(rows) == one.rows.height
    assert counts["rows"] == sum(counts[verdict] for verdict in VERDICTS)
    assert one.rows["verdict"].null_count() == 0
    assert one.rows["row"].to_list() == list(range(1, len(rows) + 1))
    quarantined = one.rows.filter(pl.col("verdict") == "quarantined")
    assert (quarantined["reasons"].list.len() > 0).all()
    assert (quarantined["remedy"].str.len_chars() > 0).all()
    assert one.rows.filter(pl.col("verdict") != "quarantined")["reasons"].list.len().sum() == 0
    firsts = one.rows.filter(pl.col("verdict") == "duplicate")
    accepted = set(one.rows.filter(pl.col("verdict") == "accepted")["row"])
    assert set(firsts["of_row"]) <= accepted
    assert (firsts["of_row"] < firsts["row"]).all()
    assert set(one.efforts["source_row"]) <= accepted
    plain = one.as_json()
    named = len(plain["duplicates"]) + len(plain["quarantined"])
    assert plain["accepted"] + plain["blank"] + plain["other"] + named == plain["rows"]


@dirty
@given(rows=rows_of_a_log)
def test_reading_twice_gives_the_same(tmp_path: Path, catalogue: Catalogue, rows: list[list[str]]) -> None:
    content = text_of(rows).encode()
    one, two = (read_text(tmp_path / "log.csv", content, catalogue) for _ in range(2))
    assert one.sha256 == two.sha256
    assert one.efforts.equals(two.efforts)
    assert one.rows.equals(two.rows)


@dirty
@given(content=st.binary(max_size=400))
def test_any_bytes_are_read_or_refused(tmp_path: Path, catalogue: Catalogue, content: bytes) -> None:
    """Whatever follows a good header, reading either ends with a verdict on every row or refuses the file."""
    head = (",".join(HEADER) + "\n").encode()
    try:
        one = read_text(tmp_path / "log.csv", head + content, catalogue)
    except Exception as error:
        assert type(error).__name__ == "RefusedInput"  # noqa: PT017
        return
    assert sum(one.counts[verdict] for verdict in VERDICTS) == one.counts["rows"]


@dataclass(frozen=True)
class Line:
    """One clean row, before anybody decides how to write it."""

    day: str
    athlete: str
    movement: str
    sets: int
    reps: int
    load: float
    rpe: float

    def written(self, *, comma: bool, style: str) -> list[str]:
        year, month, day = self.day.split("-")
        date = {"iso": self.day, "points": f"{day}.{month}.{year}", "slashes": f"{day}/{month}/{year}"}[style]
        figures = [f"{self.load:.1f}", f"{self.rpe:.1f}"]
        load, rpe = (figure.replace(".", ",") if comma else figure for figure in figures)
        return [date, self.athlete, "am", self.movement, str(self.sets), str(self.reps), load, "", rpe, "fine"]


clean_lines = st.builds(
    Line,
    day=st.dates(TODAY.replace(year=2025), TODAY).map(str),
    athlete=st.sampled_from(["Ada", "Bo", "Zoë"]),
    movement=st.sampled_from(["deadlift", "back squat", "pull-up"]),
    sets=st.integers(1, 10),
    reps=st.integers(1, 100),
    load=st.integers(1, 400).map(lambda halves: halves / 2),
    rpe=st.integers(2, 20).map(lambda halves: halves / 2),
)


@dirty
@given(
    lines=st.lists(clean_lines, min_size=1, max_size=15),
    delimiter=st.sampled_from([",", ";", "\t", "|"]),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"]),
    comma=st.booleans(),
    style=st.sampled_from(["iso", "points", "slashes"]),
    newline=st.sampled_from(["\r\n", "\n", "\r"]),
)
def test_the_way_a_log_is_written_does_not_change_what_it_says(
    tmp_path: Path,
    catalogue: Catalogue,
    lines: list[Line],
    delimiter: str,
    encoding: str,
    comma: bool,
    style: str,
    newline: str,
) -> None:
    plain = text_of([line.written(comma=False, style="iso") for line in lines]).encode()
    varied = text_of([line.written(comma=comma, style=style) for line in lines], delimiter).replace("\r\n", newline)
    wanted = read_text(tmp_path / "plain.csv", plain, catalogue)
    found = read_text(tmp_path / "varied.csv", varied.encode(encoding), catalogue, day_first=True)
    assert wanted.counts["accepted"] + wanted.counts["duplicate"] == len(lines)
    assert found.efforts.drop("import_id", "text").equals(wanted.efforts.drop("import_id", "text"))
    assert found.sessions.drop("import_id").equals(wanted.sessions.drop("import_id"))
