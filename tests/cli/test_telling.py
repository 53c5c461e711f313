"""Papers, hand-overs, archives and erasing, as they are typed."""

from __future__ import annotations

import io
import json
import os
import stat
import zipfile
from collections.abc import Callable
from pathlib import Path

import pypdf
import pytest

from keelmark.cli import main

Run = Callable[..., tuple[int, str, str]]
LOG = "date,athlete,movement,sets,reps,load_kg\n" + "".join(
    f"2026-03-{day:02d},{name},deadlift,5,5,100\n" for day in (2, 4, 6, 9, 11, 13) for name in ("Ada", "Bo")
)


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Run:
    """Type a command in a squad of two; gives exit code, what it printed, and what it printed as a complaint."""
    monkeypatch.setenv("KEELMARK_DB", f"sqlite:///{tmp_path / 'squad.sqlite'}")
    monkeypatch.setenv("COLUMNS", "160")

    def typed(*words: object) -> tuple[int, str, str]:
        monkeypatch.setattr("sys.argv", ["keelmark", *map(str, words)])
        with pytest.raises(SystemExit) as left:
            main()
        told = capsys.readouterr()
        return int(left.value.code or 0), told.out, told.err

    log = tmp_path / "log.csv"
    log.write_text(LOG, encoding="utf-8")
    assert typed("ingest", log)[0] == 0
    return typed


def test_one_command_writes_the_papers_of_the_whole_squad(run: Run, tmp_path: Path) -> None:
    code, out, err = run("brief", "--week", "2026-W11", "--to", tmp_path / "papers", "--as", "both")
    assert code == 0
    assert out == f"6 papers are in {tmp_path / 'papers'}.\n"
    assert "Writing papers" in err or err.strip() == "", "a bar on a terminal, nothing else"
    names = {path.name for path in (tmp_path / "papers").iterdir()}
    people = ("squad", "ada", "bo")
    assert names == {f"2026-W11-{who}.{ending}" for who in people for ending in ("pdf", "html")}
    for path in (tmp_path / "papers").glob("*.pdf"):
        assert len(pypdf.PdfReader(path).pages) == 1
        assert stat.S_IMODE(path.stat().st_mode) == 0o600 or os.name == "nt"


def test_one_athletes_paper_alone(run: Run, tmp_path: Path) -> None:
    code, out, _ = run("brief", "--athlete", "ADA", "--to", tmp_path / "papers", "--json")
    assert (code, json.loads(out)) == (0, [str(tmp_path / "papers" / "2026-W11-ada.pdf")])


def test_papers_never_go_over_an_existing_file(run: Run, tmp_path: Path) -> None:
    assert run("brief", "--to", tmp_path / "papers")[0] == 0
    code, _, err = run("brief", "--to", tmp_path / "papers")
    assert code == 2
    assert "a file lies there already" in err
    assert "do:" in err


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (("brief", "--week", "2026-W40"), "is not a week with figures"),
        (("brief", "--as", "docx"), "'docx' is no kind of paper"),
        (("brief", "--athlete", "Nobody"), "nobody is called 'Nobody'"),
    ],
)
def test_what_cannot_be_written_is_refused_in_four_parts(
    run: Run, tmp_path: Path, words: tuple[str, ...], found: str
) -> None:
    code, out, err = run(*words, "--to", tmp_path / "papers")
    assert (code, out) == (2, "")
    for part in (found, "wanted:", "do:"):
        assert part in err
    assert not (tmp_path / "papers").exists()


def test_a_hand_over_keeps_the_consent(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "paper.pdf"
    words = (
        "--agreed-by",
        "Ada",
        "--shown-to",
        "Maren",
        "--agreed-on",
        "2026-03-16",
        "--show",
        "load",
        "--ask",
        "May she row?",
    )
    code, out, _ = run("handover", "Ada", "--to", file, *words)
    assert code == 0
    assert "the consent is kept" in out
    text = pypdf.PdfReader(file).pages[0].extract_text()
    assert "Ada agreed on 16 March 2026 that Maren may see" in " ".join(text.split())
    assert "May she row?" in text
    assert run("athlete", "export", "Ada", "--to", tmp_path / "ada.zip")[0] == 0
    with zipfile.ZipFile(tmp_path / "ada.zip") as archive:
        assert b"Maren" in archive.read("consents.csv")


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (("--to", "paper.txt"), "the file ends in '.txt'"),
        (("--to", "paper.pdf", "--agreed-on", "yesterday"), "'yesterday' is no day"),
        (("--to", "paper.pdf", "--show", "diary"), "“diary” cannot be handed over"),
    ],
)
def test_a_hand_over_that_cannot_be_made_is_refused(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], found: str
) -> None:
    monkeypatch.chdir(tmp_path)
    code, _, err = run("handover", "Ada", "--agreed-by", "Ada", "--shown-to", "Maren", "--show", "load", *words)
    assert code == 2
    assert found in err
    assert not list(tmp_path.glob("paper.*"))


def test_an_archive_holds_one_person(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "ada.zip"
    code, out, _ = run("athlete", "export", "ada", "--to", file, "--json")
    assert code == 0
    assert json.loads(out)["bytes"] == file.stat().st_size
    with zipfile.ZipFile(io.BytesIO(file.read_bytes())) as archive:
        efforts = archive.read("efforts.csv").decode("utf-8-sig").splitlines()
    assert len(efforts) == 1 + 6
    assert not any(",bo," in line or line.startswith("bo,") for line in efforts)


def test_somebody_is_erased_once_the_name_is_typed(run: Run) -> None:
    code, _, err = run("athlete", "erase", "Ada", "--sure", "Bo")
    assert code == 2
    assert "'Bo' was typed" in err
    code, out, _ = run("athlete", "erase", "Ada", "--sure", "Ada", "--json")
    done = json.loads(out)
    assert code == 0
    assert done["rows"]["effort"] == 6
    assert done["rewritten"]
    assert run("athlete", "export", "Ada", "--to", "x.zip")[0] == 2
    assert run("store", "verify")[0] == 0
    code, out, _ = run("athlete", "tidy")
    assert (code, out) == (0, "The file is written anew.\n")
