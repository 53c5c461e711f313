"""`keelmark read --explain`: the mechanics of a session, rep by rep."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from keelmark.cli.main import main

Run = Callable[..., tuple[int, str, str]]


def explain(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, text: str, *options: str
) -> tuple[int, str, str]:
    """Exit code, what was printed and what was said beside it."""
    file = tmp_path / "session.txt"
    file.write_text(text, encoding="utf-8")
    monkeypatch.setattr("sys.argv", ["keelmark", "read", str(file), "--explain", *options])
    monkeypatch.setenv("COLUMNS", "200")
    with pytest.raises(SystemExit) as left:
        raise SystemExit(main())
    printed = capsys.readouterr()
    return int(left.value.code or 0), printed.out, printed.err


@pytest.fixture
def told(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """A session explained with some options."""
    return lambda text, *options: explain(tmp_path, capsys, monkeypatch, text, *options)


def test_prints_postures_figures_totals_and_what_widens_them(told: Run) -> None:
    code, out, _ = told("5x5 deadlift 100 kg\n600 m run", "--bodyweight", "80", "--stature", "178", "--sex", "male")
    assert code == 0
    for words in ("Slow pull from the floor", "N m", "Lumbar peak", "widens it:", "ask:", "not counted: run"):
        assert words in out
    assert "assumed" not in out


def test_says_what_it_assumes_of_a_body_it_does_not_know(told: Run) -> None:
    _, out, _ = told("5x5 deadlift 100 kg")
    assert "assumed: body mass not on record" in out
    assert "assumed: stature not on record" in out


def test_gives_the_same_as_numbers(told: Run) -> None:
    _, out, _ = told("5x5 deadlift 100 kg", "--bodyweight", "80", "--json")
    (rep,) = json.loads(out)["reps"]
    assert rep["moment_low"] < rep["moment"] < rep["moment_high"]
    assert rep["cycles"] == 25  # derived: 5 sets of 5 reps
    totals = {row["channel"]: row for row in json.loads(out)["totals"]}
    assert totals["lumbar_compression"]["value"] == pytest.approx(25 * rep["compression"] / 1000)  # derived: reps x kN


def test_a_body_that_is_known_better_has_a_narrower_interval(told: Run) -> None:
    widths = []
    for options in ((), ("--bodyweight", "80", "--stature", "178", "--sex", "male")):
        _, out, _ = told("5x5 deadlift 100 kg", "--json", *options)
        (rep,) = json.loads(out)["reps"]
        widths.append(rep["compression_high"] - rep["compression_low"])
    assert widths[1] < widths[0]


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--bodyweight", "7"), "body mass 7 kg"),
        (("--bodyweight", "700"), "body mass 700 kg"),
        (("--stature", "70"), "inches times 2.54"),
        (("--sex", "tall"), "female or male"),
    ],
)
def test_refuses_a_body_that_cannot_be(told: Run, options: tuple[str, ...], words: str) -> None:
    code, _, err = told("5x5 deadlift 100 kg", *options)
    assert code == 2
    assert words in err


def test_a_load_above_any_lift_ever_done_is_told_and_not_reckoned_with(told: Run) -> None:
    code, out, _ = told("5x5 deadlift 900 kg", "--bodyweight", "80")
    assert code == 1
    assert "900 kg is more than anybody lifts" in out
    assert "Nothing in this text is counted" in out
