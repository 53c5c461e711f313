"""Inside the dashboard imports go one way too: pages, parts, figures; figures and readings know nothing of pages."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import keelmark_dash

FOLDER = Path(keelmark_dash.__file__).parent
FORBIDDEN = {
    "figures": ("dash", "dash_mantine_components", "keelmark_dash.pages", "keelmark_dash.parts", "keelmark.service"),
    "parts": ("keelmark_dash.pages", "keelmark_dash.app", "keelmark.service", "plotly"),
    "pages": ("keelmark.store", "keelmark.cli", "keelmark_dash.app", "plotly"),
}


def imported(path: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
        elif isinstance(node, ast.Import):
            found |= {name.name for name in node.names}
    return found


@pytest.mark.parametrize("room", FORBIDDEN)
def test_a_room_does_not_reach_upwards(room: str) -> None:
    for path in (FOLDER / room).glob("*.py"):
        for module in imported(path):
            assert not any(module == name or module.startswith(name + ".") for name in FORBIDDEN[room]), (path, module)


def test_pages_do_not_know_one_another() -> None:
    for path in (FOLDER / "pages").glob("*.py"):
        own = f"keelmark_dash.pages.{path.stem}_"
        others = {module for module in imported(path) if module.startswith("keelmark_dash.pages.")}
        assert all(module.startswith(own) for module in others), (path, others)


def test_nothing_asks_another_host_for_anything() -> None:
    for path in [*FOLDER.rglob("*.css"), *FOLDER.rglob("*.js"), *FOLDER.rglob("*.py")]:
        text = path.read_text(encoding="utf-8")
        assert "https://" not in text, path
        assert "url(http" not in text, path
        assert "@import" not in text, path
