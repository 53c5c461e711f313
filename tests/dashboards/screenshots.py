"""Pictures of all pages over the demo, day and night, wide and narrow.

python -m tests.dashboards.screenshots FOLDER [PAGE ...]
"""

from __future__ import annotations

import argparse
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Literal

from playwright.sync_api import Browser

from keelmark.service import Squad, load_demo
from tests.dashboards.browsing import Watched, browser, served, watch
from tests.dashboards.standing import settled

SPIKE = "week=2026-W23&channel=jump_contacts&athlete=tove"
PAGES = {
    "squad": "/",
    "squad-storm": "/?week=2026-W06&channel=lumbar_moment",
    "squad-numbers": "/?channel=jump_contacts&show=numbers&weeks=12",
    "athlete": f"/athlete?{SPIKE}",
    "programme": "/programme",
    "log": "/log",
    "check-ins": "/check-ins",
    "hand-over": f"/hand-over?{SPIKE}",
    "brief-squad": "/brief?week=2026-W23&show=squad",
    "brief-athlete": f"/brief?{SPIKE}",
    "methods": "/methods",
    "settings": "/settings",
    "care": "/care?show=now",
}
DOOR = {
    "sign-in": "/sign-in",
    "account": "/account",
    "accounts": "/accounts",
    "accounts-change": "/accounts?of=2",
    "account-settings": "/settings",
}
"""Pages of a squad with accounts, taken as its owner once the first is left behind."""
OWNER, PASSWORD = "Rowena", "four dry ropes on deck"
SCHEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")
WIDTHS = {"wide": 1440, "narrow": 390}


def take(squad: Squad, folder: Path, wanted: list[str]) -> list[str]:
    """One picture per page, colour scheme and width; gives what the browser complained of."""
    folder.mkdir(parents=True, exist_ok=True)
    with served(squad) as home, browser() as running:
        complaints = _walk(running, home, folder, {name: path for name, path in PAGES.items() if _is(name, wanted)})
    door = {name: path for name, path in DOOR.items() if _is(name, wanted)}
    if door:
        squad.accounts.add(OWNER, "owner", PASSWORD)
        squad.accounts.add("Tove", "athlete", "mustard on a rope ladder", athlete_id="tove")
        with served(squad) as home, browser() as running:
            complaints += _walk(running, home, folder, door)
    return complaints


def _is(name: str, wanted: list[str]) -> bool:
    return not wanted or name in wanted


def _walk(running: Browser, home: str, folder: Path, pages: dict[str, str]) -> list[str]:
    """Load each page once for a colour scheme and take it at each width."""
    complaints = []
    for scheme in SCHEMES:
        context = running.new_context(viewport={"width": 1440, "height": 900}, color_scheme=scheme)
        watched = watch(context.new_page(), home)
        outside = True
        for name, path in pages.items():
            if outside and name in DOOR and name != "sign-in":
                _sign_in(watched)
                outside = False
            watched.visit(path)
            for width_name, width in WIDTHS.items():
                watched.page.set_viewport_size({"width": width, "height": 900})
                watched.page.wait_for_load_state("networkidle")
                settled(watched.page)
                watched.page.wait_for_timeout(700)
                target = folder / f"{name}-{scheme}-{width_name}.png"
                watched.page.screenshot(path=str(target), full_page=True)
        context.close()
        complaints += [f"{scheme}: {line}" for line in watched.complaints + watched.outside]
    return complaints


def _sign_in(watched: Watched) -> None:
    watched.visit("/sign-in")
    watched.page.get_by_label("Your name here").fill(OWNER)
    watched.page.get_by_label("Password").fill(PASSWORD)
    watched.page.get_by_role("button", name="Sign in").click()
    watched.page.get_by_role("button", name="Sign out").first.wait_for()
    watched.settle()


def main() -> None:
    """Load the demo into a store of its own and take the pictures."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("folder", type=Path)
    asked.add_argument("pages", nargs="*", help="names of pages; all without any")
    options = asked.parse_args()
    with TemporaryDirectory() as place, Squad.open(f"sqlite:///{place}/demo.sqlite") as squad:
        load_demo(squad)
        for line in take(squad, options.folder, options.pages):
            print(line)


if __name__ == "__main__":
    main()
