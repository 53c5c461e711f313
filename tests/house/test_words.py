"""Nothing a user can see speaks of a fragile body, of permission to train, or of the machine it was made on."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.house.banned_phrases import BANNED, FOUND

ROOT = Path(__file__).resolve().parents[2]
NAMES_THAT_SAY_NOTHING = {
    "utils.py",
    "util.py",
    "helpers.py",
    "helper.py",
    "common.py",
    "misc.py",
    "base.py",
    "manager.py",
}
CODE = sorted([*ROOT.glob("src/**/*.py"), *ROOT.glob("dashboards/**/*.py")])
TEXTS = sorted(
    path
    for pattern in (
        "src/**/*.toml",
        "dashboards/**/*.js",
        "dashboards/**/*.css",
        "data/**/*.csv",
        "data/**/*.md",
        "*.md",
    )
    for path in ROOT.glob(pattern)
)


def strings(path: Path) -> Iterator[tuple[int, str]]:
    """Every string in a Python file with its line; not the docstrings, which only engineers read."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    docstrings = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docstrings:
            yield node.lineno, node.value


def test_there_is_something_to_read() -> None:
    assert len(CODE) > 30
    assert len(TEXTS) > 10


@pytest.mark.parametrize("path", CODE, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_banned_phrase_in_code(path: Path) -> None:
    found = [(line, text) for line, text in strings(path) if BANNED.search(text)]
    assert not found, f"{path}: {found}"


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_banned_phrase_in_texts(path: Path) -> None:
    found = [line for line in path.read_text(encoding="utf-8").splitlines() if BANNED.search(line)]
    assert not found, f"{path}: {found}"


def test_the_pattern_would_find_what_it_looks_for() -> None:
    assert all(BANNED.search(sentence) for sentence in FOUND)
    assert not BANNED.search("knee raises above the usual range")


def test_no_room_has_a_name_that_says_nothing() -> None:
    assert not [path for path in CODE if path.name in NAMES_THAT_SAY_NOTHING]


def test_the_top_level_holds_only_what_was_agreed() -> None:
    agreed = {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "src",
        "dashboards",
        "tests",
        "data",
        "LICENSE",
        "constraints.txt",
    }
    built = {"dist", "build"}
    assert {path.name for path in ROOT.iterdir() if not path.name.startswith(".")} - built == agreed


def test_the_constraints_hold_hashes_and_no_addresses() -> None:
    text = (ROOT / "constraints.txt").read_text(encoding="utf-8")
    assert "://" not in text
    packages = re.findall(r"^[a-z0-9].*==.*$", text, flags=re.MULTILINE)
    assert len(packages) > 50
    assert all(line.endswith("\\") for line in packages)
