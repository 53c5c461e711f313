"""A built wheel and an editable install hold the same things and do the same things."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The project built as a wheel, with the build tools of the test environment."""
    out = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(out), str(ROOT)]
    subprocess.run(command, check=True, capture_output=True)
    return next(out.glob("*.whl"))


@pytest.fixture(scope="module")
def unpacked(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel installed into an empty folder, beside nothing of the checkout."""
    target = tmp_path_factory.mktemp("site")
    command = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--target", str(target), str(wheel)]
    subprocess.run(command, check=True, capture_output=True)
    return target


def ask(folder: Path | None, cwd: Path, *arguments: str) -> str:
    """What `python -m keelmark` prints, from the unpacked wheel or from the editable install."""
    environment = {**os.environ, "KEELMARK_DB": f"sqlite:///{cwd / 'ask.sqlite'}"}
    if folder:
        environment["PYTHONPATH"] = str(folder)
    command = [sys.executable, "-m", "keelmark", *arguments]
    done = subprocess.run(command, cwd=cwd, env=environment, check=True, capture_output=True, text=True)
    return done.stdout


def test_the_wheel_holds_both_packages_their_data_and_their_types(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    wanted = {
        "keelmark/py.typed",
        "keelmark/catalogue/languages/pt.toml",
        "keelmark/demo/log.csv",
        "keelmark_dash/app.py",
    }
    assert wanted <= names
    assert any(name.startswith("keelmark_dash/assets/") for name in names)
    assert any(name.startswith("keelmark/store/") and "versions" in name for name in names)


def test_the_wheel_holds_every_file_that_git_keeps_under_the_packages(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    for package in (ROOT / "src" / "keelmark", ROOT / "dashboards" / "keelmark_dash"):
        for path in package.rglob("*"):
            if path.is_file() and "__pycache__" not in path.parts:
                assert str(Path(package.name) / path.relative_to(package)) in names


def test_the_wheel_is_what_runs_when_it_is_asked(unpacked: Path, tmp_path: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": str(unpacked)}
    command = [sys.executable, "-c", "import keelmark, keelmark_dash; print(keelmark.__file__, keelmark_dash.__file__)"]
    done = subprocess.run(command, cwd=tmp_path, env=environment, check=True, capture_output=True, text=True)
    assert done.stdout.count(str(unpacked)) == 2


def test_the_demo_gives_the_same_figures_from_the_wheel_and_from_the_checkout(unpacked: Path, tmp_path: Path) -> None:
    (tmp_path / "wheel").mkdir()
    (tmp_path / "checkout").mkdir()
    from_wheel = json.loads(ask(unpacked, tmp_path / "wheel", "demo", "--check", "--json"))
    from_checkout = json.loads(ask(None, tmp_path / "checkout", "demo", "--check", "--json"))
    assert from_wheel["figures"] == from_checkout["figures"]
    assert from_wheel["athletes"] == 26


def test_the_constraints_name_every_library_the_project_asks_for() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = project["dependencies"] + project["optional-dependencies"]["test"]
    pinned = (ROOT / "constraints.txt").read_text(encoding="utf-8")
    for line in asked:
        name = re.split(r"[\[>]", line)[0]
        assert f"\n{name}==" in "\n" + pinned, f"{name} is asked for but not pinned"
