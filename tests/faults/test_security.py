"""No weakness of weight in the code, advisories are compared with what is pinned, and all parts can be listed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from packaging.version import Version

from tests import security


def test_bandit_finds_nothing_of_weight(capsys: pytest.CaptureFixture[str]) -> None:
    assert security.code() == 0, capsys.readouterr().out


def _advisory(folder: Path, **affected: object) -> None:
    one = {"id": "X-1", "summary": "odd", "affected": [{"package": {"name": "Some_Lib"}, **affected}]}
    (folder / "x.json").write_text(json.dumps(one), encoding="utf-8")


@pytest.mark.parametrize(
    ("events", "holds"),
    [
        ([{"introduced": "0"}, {"fixed": "2.0"}], True),
        ([{"introduced": "0"}, {"fixed": "1.5"}], False),
        ([{"introduced": "1.6"}], False),
        ([{"introduced": "1.0"}, {"last_affected": "1.5"}], True),
        ([{"introduced": "0"}, {"fixed": "1.0"}, {"introduced": "1.4"}, {"fixed": "1.6"}], True),
    ],
)
def test_an_advisory_is_held_against_the_pinned_version(tmp_path: Path, events: list[object], holds: bool) -> None:
    _advisory(tmp_path, ranges=[{"type": "ECOSYSTEM", "events": events}])
    found = list(security.advisories_that_apply(tmp_path, {"some-lib": Version("1.5")}))
    assert found == (["X-1: some-lib 1.5: odd"] if holds else [])


def test_a_folder_without_advisories_is_no_clean_bill(tmp_path: Path) -> None:
    assert security.libraries(str(tmp_path)) == 2


def test_the_list_of_parts_names_every_pinned_library_and_stays_the_same(tmp_path: Path) -> None:
    for name in ("a.json", "b.json"):
        assert security.parts(str(tmp_path / name)) == 0
    text = (tmp_path / "a.json").read_text(encoding="utf-8")
    assert text == (tmp_path / "b.json").read_text(encoding="utf-8")
    listed = {part["name"].lower().replace("_", "-") for part in json.loads(text)["components"]}
    assert listed == set(security.pinned((security.ROOT / "constraints.txt").read_text(encoding="utf-8")))
