"""Pictures of all pages over the demo, day and night, wide and narrow.

python -m tests.dashboards.screenshots FOLDER [PAGE ...]
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from keelmark.service import Squad, load_demo
from tests.dashboards.browsing import browser, served, watch

SPIKE = "week=2026-W23&channel=jump_contacts&athlete=tove"
PAGES = {
    "squad": "/",
    "squad-storm": "/?week=2026-W06&channel=lumbar_moment",
    "squad-numbers": "/?channel=jump_contacts&show=numbers&weeks=12",
    "athlete": f"/athlete?{SPIKE}",
    "programme": "/programme",
    "log": "/log",
    "check-ins": "/check-ins",
    "methods": "/methods",
    "care": "/care?show=now",
}
WIDTHS = {"wide": 1440, "narrow": 390}


def take(squad: Squad, folder: Path, wanted: list[str]) -> list[str]:
    """One picture per page, colour scheme and width; gives what the browser complained of."""
    folder.mkdir(parents=True, exist_ok=True)
    complaints = []
    with served(squad) as home, browser() as running:
        for scheme in ("light", "dark"):
            for width_name, width in WIDTHS.items():
                context = running.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme)
                watched = watch(context.new_page(), home)
                for name, path in PAGES.items():
                    if wanted and name not in wanted:
                        continue
                    watched.visit(path)
                    watched.page.wait_for_timeout(1500 if name == "methods" else 400)
                    target = folder / f"{name}-{scheme}-{width_name}.png"
                    watched.page.screenshot(path=str(target), full_page=True)
                context.close()
                complaints += [f"{scheme} {width_name}: {line}" for line in watched.complaints + watched.outside]
    return complaints


def main(folder: Path, wanted: list[str]) -> None:
    """Load the demo into a store of its own and take the pictures."""
    with TemporaryDirectory() as place, Squad.open(f"sqlite:///{place}/demo.sqlite") as squad:
        load_demo(squad)
        for line in take(squad, folder, wanted):
            print(line)


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
