"""Nobody asks without end: so much at once, then so much a second, for each visitor alone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from dash import Dash

from keelmark.service import Squad
from keelmark_dash import create_app
from keelmark_dash.access import CALLBACKS
from keelmark_dash.access.pace import COSTLY, Pace, Paces
from tests.access.conftest import sign_in
from tests.access.questions import ask, outputs_of, question
from tests.store.made import save, squad

PASSWORD = "lantern under the table"


class Clock:
    """Seconds that are set by hand."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


def test_an_allowance_runs_out_and_fills_up_for_each_visitor_alone() -> None:
    """Derived: 3 at once; 0.5 a second bring one more after 2 s, and never more than 3."""
    clock = Clock()
    pace = Pace(3, 0.5, clock)
    assert [pace.admits("one") for _ in range(4)] == [True, True, True, False]
    assert pace.admits("two")
    clock.now = 2.0
    assert [pace.admits("one") for _ in range(2)] == [True, False]
    clock.now = 1_000.0
    assert [pace.admits("one") for _ in range(4)] == [True, True, True, False]


def test_it_remembers_so_many_visitors_and_no_more() -> None:
    pace = Pace(2, 1.0, Clock())
    for number in range(25_000):
        pace.admits(str(number))
    assert len(pace._left) <= 10_000


def test_what_costs_much_is_named_rightly() -> None:
    assert set(CALLBACKS) >= COSTLY


@pytest.fixture
def app(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Dash]:
    """Pages whose visitors ask all at once, however slow the machine is."""
    monkeypatch.setattr("keelmark_dash.access.gate.Paces", lambda: Paces(Clock()))
    with Squad.open(f"sqlite:///{tmp_path / 'small.db'}") as opened:
        save(opened._store, athletes=squad("bo"))
        opened.accounts.add("Rowena", "owner", PASSWORD)
        yield create_app(opened)


def test_the_pages_refuse_whoever_asks_without_end_and_nobody_else(app: Dash) -> None:
    client: Any = app.server.test_client()
    assert sign_in(client, "Rowena", PASSWORD).status_code == 303
    codes = [client.get("/account").status_code for _ in range(1_201)]
    assert (codes[0], codes[-1]) == (200, 429)
    assert codes == sorted(codes)
    assert "Wait a minute" in client.get("/account").get_data(as_text=True)
    assert client.get("/assets/page.css").status_code == 200, "files are handed out all the same"
    assert app.server.test_client().get("/sign-in").status_code == 200, "others go on"


def test_what_costs_much_is_held_to_a_slower_pace(app: Dash) -> None:
    client: Any = app.server.test_client()
    sign_in(client, "Rowena", PASSWORD)
    asked = question(app, outputs_of(app)["parts.take_away:_draw"])
    codes = [ask(client, asked).status_code for _ in range(61)]
    assert 429 not in codes[:60]
    assert codes[60] == 429
    assert client.get("/account").status_code == 200, "everything else goes on"
