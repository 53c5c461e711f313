"""While newer figures are worked out for one, others go on reading the last ones; whoever wrote sees the newest."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from typing import Any

import pytest

from keelmark.service import Squad, open_squad
from keelmark.service.open_squad import last_figures_will_do
from keelmark.service.season import Season

LOG = b"date,athlete,movement,sets,reps,load_kg\n2026-03-02,Ada,deadlift,5,5,100\n"
LATER = LOG + b"2026-03-10,Ada,deadlift,5,5,100\n"
OF_TWO = LOG + b"2026-03-02,Bram,deadlift,5,5,100\n"


@pytest.fixture
def held_up(squad: Squad, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[Squad, Season, threading.Event]]:
    """A squad with figures, something newer written, and somebody who has it worked out; the event lets that go on."""
    squad.accept(squad.preview_log(LOG, "log.csv").token)
    last = squad.season()
    squad.accept(squad.preview_log(LATER, "later.csv").token)
    begun, go_on, compute = threading.Event(), threading.Event(), squad._compute

    def slowly(*given: Any) -> Season:
        begun.set()
        go_on.wait(30)
        return compute(*given)

    monkeypatch.setattr(squad, "_compute", slowly)
    monkeypatch.setattr(open_squad, "PATIENCE_S", 0.01)
    asker = threading.Thread(target=squad.season)
    asker.start()
    assert begun.wait(30)
    yield squad, last, go_on
    go_on.set()
    asker.join(30)


def test_readers_keep_the_last_figures_until_the_newer_ones_are_there(
    held_up: tuple[Squad, Season, threading.Event],
) -> None:
    squad, last, go_on = held_up
    with last_figures_will_do():
        assert squad.season() is last
    assert not squad.stands(last)
    go_on.set()
    newest = squad.season()  # waits: only the newest will do
    assert newest.weeks == ["2026-W10", "2026-W11"]
    assert squad.stands(newest)
    with last_figures_will_do():
        assert squad.season() is newest


def test_what_no_figure_rests_on_can_be_written_while_figures_are_worked_out(
    held_up: tuple[Squad, Season, threading.Event],
) -> None:
    squad, last, go_on = held_up
    squad.set_setting("load_unit", "lb")
    assert squad.settings()["load_unit"] == "lb"
    go_on.set()
    newest = squad.season()
    assert newest is not last
    squad.set_setting("load_unit", "kg")
    assert squad.season() is newest


def test_nobody_reads_the_last_figures_of_somebody_who_was_erased(squad: Squad) -> None:
    squad.accept(squad.preview_log(OF_TWO, "log.csv").token)
    assert "Bram" in squad.season().athletes["name"].to_list()
    squad.erase_athlete("bram", "Bram")
    with last_figures_will_do():
        assert squad.season().athletes["name"].to_list() == ["Ada"]
