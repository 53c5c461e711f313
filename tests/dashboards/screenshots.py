"""Pictures of all pages, light and dark, wide and narrow: `python -m tests.dashboards.screenshots FOLDER`."""

from __future__ import annotations

import sys
from pathlib import Path

from tests.dashboards.browsing import browser, served, watch
from tests.dashboards.made_up import MadeUpSquad

PAGES = {
    "squad": "/",
    "squad-numbers": "/?channel=jump_contacts&show=numbers&weeks=12",
    "athlete": "/athlete?athlete=mara&channel=jump_contacts&week=2026-W18",
    "log": "/log",
    "methods": "/methods",
    "care": "/care?show=now",
}
WIDTHS = {"wide": 1440, "narrow": 390}


def take(folder: Path, wanted: list[str] | None = None) -> None:
    """One picture per page, colour scheme and width; prints what the browser complained of."""
    folder.mkdir(parents=True, exist_ok=True)
    with served(MadeUpSquad()) as home, browser() as running:
        for scheme in ("light", "dark"):
            for width_name, width in WIDTHS.items():
                context = running.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme)
                watched = watch(context.new_page(), home)
                for name, path in PAGES.items():
                    if wanted and name not in wanted:
                        continue
                    watched.visit(home + path)
                    watched.page.wait_for_timeout(300)
                    target = folder / f"{name}-{scheme}-{width_name}.png"
                    watched.page.screenshot(path=str(target), full_page=True)
                context.close()
                for line in watched.complaints + watched.outside:
                    print(scheme, width_name, line)


if __name__ == "__main__":
    take(Path(sys.argv[1]), sys.argv[2:])
