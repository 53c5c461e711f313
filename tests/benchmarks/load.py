"""200 people checking in and 20 coaches reading at once, on this machine alone.

    python -m tests.benchmarks.load [--seconds 600] [--postgresql] [--people 200] [--coaches 20] [--open]

The pages run in a process of their own behind the server that ships. Everybody has an account and signs in first, one
after another, unless `--open` leaves accounts out. Then each person tells a week every ten seconds, each coach opens a
page every two. Printed are answers, errors, times, the memory of the server, and whether the goals were kept; it ends
with 1 when one was missed.
"""

from __future__ import annotations

import argparse
import contextlib
import random
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import psutil

from keelmark.service import Squad, load_demo
from keelmark_dash import create_app
from keelmark_dash.access.callback_names import callback_names
from tests.benchmarks.browser import Browser
from tests.faults.web import _answered, _asked, _show

__all__ = ["Load", "main", "run"]

_SERVE = """
import sys
from keelmark.service import Squad
from keelmark_dash.serve import bind, serve_forever
with Squad.open(sys.argv[1]) as squad:
    squad.season()
    server, address = bind(squad)
    print(address, flush=True)
    serve_forever(server)
"""
PERSON_EVERY_S, COACH_EVERY_S = 10.0, 2.0
PASSWORD = "four dry ropes on deck"
GOAL_P95_MS, GOAL_GROWTH = 500.0, 0.05
PAGES = ("/", "/athlete", "/check-ins", "/methods")


@dataclass
class Load:
    """What came of it: times in milliseconds by kind of visitor, errors, memory in MB, and check-ins that came."""

    times: dict[str, list[float]] = field(default_factory=lambda: {"sign-in": [], "check-in": [], "page": []})
    errors: list[str] = field(default_factory=list)
    memory: list[float] = field(default_factory=list)
    kept: int = 0

    def told(self) -> str:
        """As a table of Markdown."""
        lines = ["| kind | answers | p50, ms | p95, ms | longest, ms |", "| --- | ---: | ---: | ---: | ---: |"]
        for kind, times in self.times.items():
            if not times:
                continue
            cuts = statistics.quantiles(times, n=100) if len(times) > 1 else [0.0] * 99
            longest = max(times)
            lines.append(f"| {kind} | {len(times):,} | {cuts[49]:.0f} | {cuts[94]:.0f} | {longest:.0f} |")
        ends = f"memory of the server {self.memory[0]:.0f} MB at the start, {self.memory[-1]:.0f} MB at the end"
        goals = [f"{'kept  ' if kept else 'MISSED'} {goal}" for goal, kept in self.goals().items()]
        return "\n".join([*lines, f"{len(self.errors)} errors; {ends}", *self.errors[:5], *goals])

    def goals(self) -> dict[str, bool]:
        """Each goal, and whether it was kept."""
        p95 = max(statistics.quantiles(times, n=100)[94] if len(times) > 1 else 0.0 for times in self.times.values())
        quarter = max(1, len(self.memory) // 4)
        settled = statistics.mean(self.memory[quarter : 2 * quarter] or self.memory)
        grown = statistics.mean(self.memory[-quarter:]) / settled - 1
        return {
            "every question is answered without an error": not self.errors and all(
                self.times[one] for one in ("check-in", "page")
            ),
            f"each check-in that was answered is kept ({self.kept:,})": (
                self.kept == len(self.times["check-in"]) - sum(one.startswith("check-in") for one in self.errors)
            ),
            f"p95 under {GOAL_P95_MS:.0f} ms (found {p95:.0f})": p95 < GOAL_P95_MS,
            f"memory of the last quarter at most {GOAL_GROWTH:.0%} above the second (found {grown:+.1%})":
                grown <= GOAL_GROWTH,
        }  # fmt: skip


@contextlib.contextmanager
def _served(address: str) -> Iterator[tuple[str, psutil.Process]]:
    with subprocess.Popen([sys.executable, "-c", _SERVE, address], stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        home = process.stdout.readline().strip().removeprefix("http://").rstrip("/")
        try:
            yield home, psutil.Process(process.pid)
        finally:
            process.terminate()


def _prepared(
    address: str, people: int, coaches: int, *, accounts: bool
) -> tuple[dict[str, Any], list[tuple[str, str]]]:
    """Fill the store; give a check-in as the page asks it, and whom and which week each may tell."""
    with Squad.open(address) as squad, tempfile.TemporaryDirectory() as folder:
        load_demo(squad)
        more = people - squad.season().athletes.height
        roster = Path(folder) / "more.csv"
        roster.write_text("name\n" + "".join(f"Crew {number}\n" for number in range(more)), encoding="utf-8")
        if more > 0:
            squad.import_roster(roster)
        season = squad.season()
        app = create_app(squad)
        _answered(app, app.server.test_client())
        output = next(one for one, name in callback_names(app).items() if name == "pages.check_ins:_keep")
        question = _asked(app, output, lambda: None)
        question["inputs"][0]["value"] = 1
        week = season.weeks[-1]
        known = [(key, week) for key in season.athletes["athlete_id"].to_list()[:people]]
        if accounts:
            squad.accounts.add("Owner", "owner", PASSWORD)
            for number in range(coaches):
                squad.accounts.add(f"Coach {number}", "coach", PASSWORD)
            for athlete, _week in known:
                squad.accounts.add(f"Crew {athlete}", "athlete", PASSWORD, athlete_id=athlete)
        return question, known


def run(address: str, *, seconds: float, people: int, coaches: int, accounts: bool = True) -> Load:
    """Let them all in for some seconds."""
    question, known = _prepared(address, people, coaches, accounts=accounts)
    load, lock, over = Load(), threading.Lock(), threading.Event()
    with Squad.open(address) as squad:
        before = squad.check_ins().height
    with _served(address) as (home, server):
        load.memory.append(server.memory_info().rss / 1024**2)

        def ask(kind: str, asking: Callable[[], str | None]) -> float:
            began = time.perf_counter()
            fault = asking()
            took = time.perf_counter() - began
            with lock:
                load.times[kind].append(took * 1000)
                load.errors.extend([f"{kind}: {fault}"] if fault else [])
            return took

        def let_in(kind: str, number: int) -> Browser:
            browser = Browser(home)
            if accounts:
                name = f"Coach {number}" if kind == "page" else f"Crew {known[number % len(known)][0]}"
                ask("sign-in", lambda: browser.sign_in(name, PASSWORD))
            return browser

        def visit(kind: str, number: int, every: float, browser: Browser) -> None:
            draw = random.Random(number)
            over.wait(draw.random() * every)
            while not over.is_set():
                asked = _said(question, *known[number % len(known)]) if kind == "check-in" else _page(draw, known)
                over.wait(max(0.0, every - ask(kind, lambda asked=asked: browser.ask(asked))))
            browser.close()

        kinds = [("check-in", number, PERSON_EVERY_S) for number in range(people)]
        kinds += [("page", number, COACH_EVERY_S) for number in range(coaches)]
        visitors = [(kind, number, every, let_in(kind, number)) for kind, number, every in kinds]
        threads = [threading.Thread(target=visit, args=one, daemon=True) for one in visitors]
        for thread in threads:
            thread.start()
        ends = time.monotonic() + seconds
        while (left := ends - time.monotonic()) > 0:
            over.wait(min(1.0, left))
            load.memory.append(server.memory_info().rss / 1024**2)
        over.set()
        for thread in threads:
            thread.join(90)
        load.memory.append(server.memory_info().rss / 1024**2)
    with Squad.open(address) as squad:
        load.kept = squad.check_ins().height - before
    return load


def _said(question: dict[str, Any], athlete: str, week: str) -> dict[str, Any]:
    state = [{**question["state"][0], "value": {"athlete": athlete, "week": week}}, *question["state"][1:]]
    return {**question, "state": state}


def _page(draw: random.Random, known: list[tuple[str, str]]) -> dict[str, Any]:
    athlete, week = draw.choice(known)
    return _show(draw.choice(PAGES), f"?athlete={athlete}&week={week}")


@contextlib.contextmanager
def _place(postgresql: bool) -> Iterator[str]:
    with tempfile.TemporaryDirectory(prefix="keelmark-load-", ignore_cleanup_errors=True) as folder:
        if not postgresql:
            yield f"sqlite:///{folder}/squad.db"
            return
        import pgserver

        server = pgserver.get_server(folder)
        try:
            yield server.get_uri()
        finally:
            server.cleanup()


def main() -> int:
    """Run it as asked and print what came of it."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--seconds", type=float, default=600.0)
    options.add_argument("--people", type=int, default=200)
    options.add_argument("--coaches", type=int, default=20)
    options.add_argument("--postgresql", action="store_true")
    options.add_argument("--open", action="store_true", help="without accounts")
    asked = options.parse_args()
    with _place(asked.postgresql) as address:
        load = run(address, seconds=asked.seconds, people=asked.people, coaches=asked.coaches,
                   accounts=not asked.open)  # fmt: skip
    print(f"{'PostgreSQL' if asked.postgresql else 'SQLite'}, {asked.people} people, {asked.coaches} coaches, "
          f"{asked.seconds:.0f} s, {'without' if asked.open else 'with'} accounts")  # fmt: skip
    print(load.told())
    return 0 if all(load.goals().values()) else 1


if __name__ == "__main__":
    sys.exit(main())
