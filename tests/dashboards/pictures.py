"""The README's pictures, taken of the demo.

python -m tests.dashboards.pictures [FOLDER]
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import Page

from keelmark.service import Squad, load_demo
from tests.dashboards.browsing import browser, served, watch

FOLDER = Path(__file__).resolve().parents[2] / "data" / "pictures"
BOARD = "A) Deadlift 5x3 @ 80 %\nB) AMRAP 12\n8 toes to bar\n12 box jmps 60/50 cm\n10 kettlebell swings 24/16 kg\n"
WIDE, PHONE = (1440, 1100), (390, 844)


def _as_it_opens(page: Page) -> None:
    page.wait_for_timeout(800)


def _write_a_board(page: Page) -> None:
    page.locator("textarea").first.fill(BOARD)
    page.wait_for_timeout(4_000)


def _put_in_an_example(page: Page) -> None:
    page.get_by_role("button", name="Put in an example").click()
    page.locator("table").first.wait_for(timeout=20_000)
    page.wait_for_timeout(3_000)


PICTURES: dict[str, tuple[str, tuple[int, int], Callable[[Page], None]]] = {
    "squad-light-wide": ("/?week=2026-W23&channel=jump_contacts", WIDE, _as_it_opens),
    "log-light-wide": ("/log", WIDE, _write_a_board),
    "athlete-light-narrow": ("/athlete?athlete=signe&week=2026-W09&channel=lumbar_moment", PHONE, _as_it_opens),
    "programme-light-wide": ("/programme", WIDE, _put_in_an_example),
}


def main(folder: Path) -> None:
    """Load the demo into a store of its own and take each picture."""
    folder.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory() as place, Squad.open(f"sqlite:///{place}/demo.sqlite") as squad:
        load_demo(squad)
        with served(squad) as home, browser() as running:
            for name, (path, (width, height), prepare) in PICTURES.items():
                context = running.new_context(viewport={"width": width, "height": height}, color_scheme="light")
                watched = watch(context.new_page(), home)
                watched.visit(path)
                prepare(watched.page)
                watched.page.screenshot(path=str(folder / f"{name}.png"))
                context.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER)
