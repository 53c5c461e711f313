"""Every requirement is answered by tests that exist, or by a reason."""

from __future__ import annotations

import ast
import tomllib
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TABLE = tomllib.loads(Path(__file__).with_name("asvs.toml").read_text(encoding="utf-8"))
ASKED, LEVELS = TABLE["asked"], TABLE["levels"]


@cache
def _tests(file: str) -> frozenset[str]:
    tree = ast.parse((ROOT / file).read_text(encoding="utf-8"))
    return frozenset(node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))


@pytest.mark.parametrize("one", ASKED, ids=lambda one: one["number"])
def test_each_is_proved_by_tests_that_exist_or_has_a_reason(one: dict[str, object]) -> None:
    proof = one.get("proof", [])
    assert isinstance(proof, list)
    assert bool(proof) != bool(one.get("reason"))
    assert one["asks"]
    for named in proof:
        file, _, test = named.partition("::")
        found = _tests(file)
        assert (test in found) if test else any(name.startswith("test_") for name in found), named


def test_no_requirement_stands_twice() -> None:
    numbers = [one["number"] for one in ASKED]
    assert len(numbers) == len(set(numbers))
    assert numbers == sorted(numbers, key=lambda number: [int(part) for part in number.split(".")])


def test_every_requirement_of_levels_1_and_2_is_answered() -> None:
    """70 and 183 of them, as the published table counts."""
    level = {f"{section}.{place}": int(one) for section, told in LEVELS.items() for place, one in enumerate(told, 1)}
    assert [list(level.values()).count(one) for one in (1, 2)] == [70, 183]
    numbers = {one["number"] for one in ASKED}
    assert numbers <= set(level)
    assert {number for number, one in level.items() if one <= 2} <= numbers
