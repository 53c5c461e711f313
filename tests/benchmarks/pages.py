"""How quickly the pages answer with a large squad behind them, and how much travels.

    python -m tests.benchmarks.pages [--athletes 500] [--weeks 156] [--people 20] [--seconds 60] [--json FILE]

The pages run in a process of their own behind the server that ships, with accounts. A browser walks through all pages
as a coach and as an athlete; what it asked on the way is then asked again by many people at once, each with a session
of their own, other weeks, kinds of work and athletes, and a pause between two questions. Printed are the milliseconds
on the server of each callback (by the clock, and by the processor time of its own thread, which other programs on the
machine do not change), the first contentful paint with those people there, and what each page weighs when it is
opened for the first time. The made-up squad is kept in the user's cache folder and copied for each run.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl, urlencode

from playwright.sync_api import Browser

from keelmark.contracts.channels import WATCHED_CHANNELS
from keelmark.service import Squad
from keelmark_dash import create_app
from keelmark_dash.access import CALLBACKS
from keelmark_dash.access.callback_names import callback_names
from keelmark_dash.app import PAGES
from tests.benchmarks.large_squad import copy_of, large_store, with_figures
from tests.benchmarks.page_server import PASSWORD, Served, Visitor, serve_large
from tests.benchmarks.recorded_questions import first_paint, record, sign_in, weight
from tests.chromium import browser

__all__ = ["main"]

GIVE_WAY = 10
"""How far the visitors' programs stand back behind the server: they stand for machines of other people."""
PAUSE_S = 2.0
"""Mean pause of a person between two questions, drawn from an exponential distribution."""
GOAL_CALLBACK_MS, GOAL_PAINT_MS, GOAL_WEIGHT_MB = 100.0, 1500.0, 2.5
WRITING = ("_keep", "_save", "_decide", "_answer", "_undo", "_accept", "_erase", "_name", "_agree")


@dataclass
class Found:
    """What was measured: milliseconds by callback, errors, paint and weight by page."""

    wall: dict[str, list[float]] = field(default_factory=dict)
    own: dict[str, list[float]] = field(default_factory=dict)
    seen: dict[str, list[float]] = field(default_factory=dict)
    errors: list[str] = field(default_factory=list)
    paint: dict[str, float] = field(default_factory=dict)
    weight: dict[str, float] = field(default_factory=dict)
    more: dict[str, float] = field(default_factory=dict)

    def add(self, name: str, wall: float, own: float, seen: float) -> None:
        """Keep one answer's times."""
        for kept, took in ((self.wall, wall), (self.own, own), (self.seen, seen)):
            kept.setdefault(name, []).append(took)

    def as_json(self) -> dict[str, Any]:
        """Everything as plain values."""
        callbacks = {
            name: {
                "answers": len(times),
                **{
                    f"{kind}_p{share}_ms": round(_cut(kept[name], share), 1)
                    for kind, kept in (("server", self.wall), ("own", self.own), ("seen", self.seen))
                    for share in (50, 95)
                },
            }
            for name, times in sorted(self.wall.items())
        }
        return {
            "goals": {"callback_p95_ms": GOAL_CALLBACK_MS, "paint_ms": GOAL_PAINT_MS, "weight_mb": GOAL_WEIGHT_MB},
            "callbacks": callbacks,
            "not_asked": sorted(set(CALLBACKS) - set(callbacks)),
            "first_paint_ms": {path: round(took) for path, took in self.paint.items()},
            "weight_mb": {path: round(size, 2) for path, size in self.weight.items()},
            "errors": self.errors[:20],
            **{name: round(value, 2) for name, value in self.more.items()},
        }

    def told(self) -> str:
        """As tables of Markdown."""
        found = self.as_json()
        lines = ["| callback | answers | server p50 | server p95 | own p50 | own p95 | seen p95, ms |",
                 "| --- | ---: | ---: | ---: | ---: | ---: | ---: |"]  # fmt: skip
        for name, one in found["callbacks"].items():
            figures = (one[f"{kind}_ms"] for kind in ("server_p50", "server_p95", "own_p50", "own_p95", "seen_p95"))
            lines.append(f"| {name} | {one['answers']} | " + " | ".join(f"{figure:.0f}" for figure in figures) + " |")
        lines += ["", "| page | first contentful paint, ms | weight, MB |", "| --- | ---: | ---: |"]
        for path, size in found["weight_mb"].items():
            lines.append(f"| {path} | {found['first_paint_ms'].get(path, -1)} | {size} |")
        lines += [f"{name}: {value:.2f}" for name, value in self.more.items()]
        return "\n".join([*lines, *self.goals(), f"{len(self.errors)} errors", *self.errors[:5]])

    def goals(self) -> list[str]:
        """A line for each goal: what was found, and whether it is kept."""
        found = self.as_json()
        asked = {name: one["server_p95_ms"] for name, one in found["callbacks"].items()}
        every = [
            (f"server p95 of each callback under {GOAL_CALLBACK_MS:.0f} ms", asked, GOAL_CALLBACK_MS),
            (f"first contentful paint under {GOAL_PAINT_MS:.0f} ms", found["first_paint_ms"], GOAL_PAINT_MS),
            (f"weight under {GOAL_WEIGHT_MB:g} MB", found["weight_mb"], GOAL_WEIGHT_MB),
        ]
        return ["", *(_goal(words, figures, most) for words, figures, most in every)]


def _goal(words: str, figures: dict[str, float], most: float) -> str:
    over = [f"{name} {figure:g}" for name, figure in figures.items() if not 0 <= figure < most]
    largest = max(figures, key=lambda name: figures[name])
    kept = f"kept; the most is {figures[largest]:g}, {largest}"
    return f"{words}: " + (f"not kept: {', '.join(over)}" if over else kept)


def _cut(times: list[float], share: int) -> float:
    return statistics.quantiles(times, n=100, method="inclusive")[share - 1] if len(times) > 1 else times[0]


@dataclass(frozen=True)
class Cast:
    """Who comes: names of accounts of coaches and of athletes with their keys, weeks and athletes to look at."""

    coaches: list[str]
    athletes: list[tuple[str, str]]
    weeks: list[str]
    everybody: list[str]


def _cast(store: Path, people: int) -> Cast:
    with Squad.open(f"sqlite:///{store}") as squad:
        keys = squad._store.athletes().select("athlete_id", "name").rows()
        coaches = [f"Coach {number}" for number in range(max(1, people // 4))]
        squad.accounts.add("Owner", "owner", PASSWORD)
        for name in coaches:
            squad.accounts.add(name, "coach", PASSWORD)
        own = [(name, key) for key, name in keys[: people - len(coaches)]]
        for name, key in own:
            squad.accounts.add(name, "athlete", PASSWORD, athlete_id=key)
        weeks = sorted({f"{day:%G-W%V}" for day in squad._store.sessions(athlete=keys[0][0])["date"]})
        return Cast(coaches, own, weeks, [key for key, _ in keys])


def _names() -> dict[str, str]:
    """Names of the callbacks by output."""
    with tempfile.TemporaryDirectory() as folder, Squad.open(f"sqlite:///{folder}/empty.db") as squad:
        app = create_app(squad)
        app.server.test_client().get("/health")
        return callback_names(app)


def _varied(question: dict[str, Any], draw: random.Random, cast: Cast, whose: str | None) -> bytes:
    """The same question about another week, kind of work and athlete, wherever it names one."""
    chosen = {
        "week": draw.choice(cast.weeks[-60:]),
        "channel": draw.choice(WATCHED_CHANNELS),
        "athlete": whose or draw.choice(cast.everybody),
    }

    def swap(value: Any) -> Any:
        if isinstance(value, str) and value.startswith("?"):
            named = dict(parse_qsl(value.lstrip("?"))) | {"week": chosen["week"]}
            if draw.random() < 0.5:
                named["channel"] = chosen["channel"]
            return "?" + urlencode(named | ({"athlete": chosen["athlete"]} if "athlete" in named or not whose else {}))
        if isinstance(value, dict):
            return {key: chosen[key] if key in chosen and held else swap(held) for key, held in value.items()}
        return value

    parts = {}
    for part in ("inputs", "state"):
        parts[part] = [
            one | {"value": swap(one.get("value"))} if isinstance(one, dict) and one.get("property") != "value" else one
            for one in question.get(part, [])
        ]
    return json.dumps(question | parts).encode()


def _visit(
    visitor: Visitor, asked: list[dict[str, Any]], vary: Callable[[dict[str, Any]], bytes], draw: random.Random,
    over: threading.Event, keep: Callable[[str, Any], None],
) -> None:  # fmt: skip
    over.wait(draw.random() * PAUSE_S)
    while not over.is_set():
        question = draw.choice(asked)
        try:
            answer = visitor.ask("POST", "/_dash-update-component", vary(question))
        except OSError as error:
            keep(question["output"], error)
            visitor.connection = None
        else:
            keep(question["output"], answer)
        over.wait(draw.expovariate(1 / PAUSE_S))


def _ask_at_once(
    served: Served, cast: Cast, recorded: dict[bool, list[dict[str, Any]]], found: Found, over: threading.Event
) -> list[threading.Thread]:
    """Everybody comes in and begins to ask; gives their threads."""
    names, lock = _names(), threading.Lock()

    def keep(output: str, answer: Any) -> None:
        name = names.get(output, output)
        with lock:
            if isinstance(answer, Exception) or answer.status >= 400:
                found.errors.append(f"{name}: {answer if isinstance(answer, Exception) else answer.status}")
            else:
                found.add(name, answer.wall, answer.own, answer.seen)

    threads = []
    visitors = [(name, None) for name in cast.coaches] + [(name, key) for name, key in cast.athletes]
    for number, (name, whose) in enumerate(visitors):
        draw = random.Random(number)
        asked = recorded[whose is None]
        vary = _varier(draw, cast, whose)
        visitor = Visitor(served.home).sign_in(name)
        threads.append(threading.Thread(target=_visit, args=(visitor, asked, vary, draw, over, keep), daemon=True))
    for thread in threads:
        thread.start()
    return threads


def _varier(draw: random.Random, cast: Cast, whose: str | None) -> Callable[[dict[str, Any]], bytes]:
    return lambda question: _varied(question, draw, cast, whose)


def _may_be_repeated(question: dict[str, Any], names: dict[str, str]) -> bool:
    """Questions that write would set figures anew each time; they are measured when they are recorded only."""
    return not names.get(question.get("output", ""), "").endswith(WRITING)


def measure(athletes: int, weeks: int, people: int, seconds: float) -> Found:
    """Serve the squad, record, let everybody ask at once, and look at the pages meanwhile."""
    found = Found()
    with tempfile.TemporaryDirectory(prefix="keelmark-pages-") as folder:
        store = copy_of(with_figures(large_store(athletes, weeks)), Path(folder))
        cast = _cast(store, people)
        with serve_large(store) as served:
            os.nice(GIVE_WAY)
            with browser() as chromium:
                _measure(served, cast, chromium, seconds, found)
            found.more["memory of the server, MB"] = served.process.memory_info().rss / 1024**2
    every = [one for times in found.wall.values() for one in times]
    found.more["server p95 of all answers, ms"] = _cut(every, 95)
    return found


def _measure(served: Served, cast: Cast, chromium: Browser, seconds: float, found: Found) -> None:
    found.more["pages answer after, s"] = served.ready_s
    home, began = f"http://{served.home}", time.perf_counter()
    context = sign_in(chromium, home, cast.coaches[0])
    first_paint(context, f"{home}/")
    found.more["first figures after, s"] = served.ready_s + time.perf_counter() - began
    first_paint(context, f"{home}/programme")
    names = _names()
    recorded = {
        staff: [
            one
            for one in record(chromium, home, name, staff=staff, week=cast.weeks[-1])
            if _may_be_repeated(one, names)
        ]
        for staff, name in ((True, cast.coaches[0]), (False, cast.athletes[0][0]))
    }
    found.weight = {page.path: weight(context, home + page.path) for page in PAGES}
    over = threading.Event()
    threads = _ask_at_once(served, cast, recorded, found, over)
    ends = time.perf_counter() + seconds
    for page in PAGES:
        found.paint[page.path] = first_paint(context, home + page.path)
    over.wait(max(0.0, ends - time.perf_counter()))
    over.set()
    for thread in threads:
        thread.join(60)


def main() -> int:
    """Run it as asked and print what came of it."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--athletes", type=int, default=500)
    options.add_argument("--weeks", type=int, default=156)
    options.add_argument("--people", type=int, default=20)
    options.add_argument("--seconds", type=float, default=60.0)
    options.add_argument("--json", type=Path, help="where the figures are written as JSON")
    asked = options.parse_args()
    found = measure(asked.athletes, asked.weeks, asked.people, asked.seconds)
    print(f"{asked.athletes} athletes, {asked.weeks} weeks, {asked.people} people at once, {asked.seconds:.0f} s")
    print(found.told())
    if asked.json:
        asked.json.write_text(json.dumps(found.as_json(), indent=2) + "\n", encoding="utf-8")
    return 1 if found.errors else 0


if __name__ == "__main__":
    sys.exit(main())
