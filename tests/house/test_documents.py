"""What is written about keelmark is what keelmark is."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.house.write_tables import DOCUMENT, with_tables

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
WITHIN = ("accounts add", "athlete export", "athlete erase", "store backup", "store restore", "store verify")
COMMANDS = (
    "demo", "serve", "ingest", "roster", "days", "labels", "check-ins", "imports", "undo", "redo", "whiteboards",
    "figures", "audit", "read", "plan", "limits", "ahead", "brief", "handover", "athlete", "accounts", "store",
)  # fmt: skip


def test_the_tables_in_the_document_are_those_of_the_code() -> None:
    text = DOCUMENT.read_text(encoding="utf-8")
    assert text == with_tables(text), "run python -m tests.house.write_tables"


def test_every_picture_of_the_readme_is_there() -> None:
    pictures = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", README) + re.findall(r'<img src="([^"]+)"', README)
    assert len(pictures) >= 4
    assert not [picture for picture in pictures if not (ROOT / picture).is_file()]


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_and_stands_in_the_readme(command: str) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "keelmark", command, "--help"], check=True, capture_output=True, text=True
    )
    assert len(done.stdout) > 100
    assert f"keelmark {command}" in README


def test_every_option_that_the_readme_names_exists() -> None:
    helps = "".join(
        subprocess.run(
            [sys.executable, "-m", "keelmark", *command.split(), "--help"],
            check=True, capture_output=True, text=True, env={"COLUMNS": "200", "PATH": ""},
        ).stdout
        for command in (*COMMANDS, *WITHIN)
    )  # fmt: skip
    for option in set(re.findall(r"keelmark [^`\n]*?(--[a-z-]+)", README)):
        assert option in helps or option == "--help", option


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    title, job, *_ = README.split("\n\n")
    assert title == "# keelmark"
    assert len(job.split()) > 60
    assert not job.startswith(("#", "-", "!"))
