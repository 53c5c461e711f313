"""The newest week is whole, or told to be not over."""

from __future__ import annotations

import datetime as dt

import pytest

from keelmark.contracts.frames import DAILY_DOSE, DAY_STATE
from keelmark.service import Squad
from keelmark.service.season import last_knowable

WEDNESDAY = dt.date(2026, 3, 4)
LOG = b"date,athlete,movement,sets,reps,load_kg\n2026-03-04,Ada,deadlift,5,5,100\n"


def day_with_work(day: dt.date) -> dict[str, object]:
    return {"athlete_id": "ada", "date": day, "channel": "tonnage", "value": 1.0, "low": 1.0, "high": 1.0,
            "efforts": 1, "unknown": 0}  # fmt: skip


@pytest.mark.parametrize(
    ("today", "until"),
    [
        (dt.date(2026, 11, 25), dt.date(2026, 3, 8)),
        (dt.date(2026, 3, 8), dt.date(2026, 3, 8)),
        (dt.date(2026, 3, 6), dt.date(2026, 3, 6)),
        (WEDNESDAY, WEDNESDAY),
        (dt.date(2026, 3, 2), WEDNESDAY),
    ],
)
def test_the_last_day_that_can_be_known(today: dt.date, until: dt.date) -> None:
    daily = DAILY_DOSE.build([day_with_work(WEDNESDAY)])
    assert last_knowable(daily, DAY_STATE.empty(), today) == until


def test_days_ahead_do_not_open_a_week() -> None:
    ahead = [{"athlete_id": "ada", "date": dt.date(2026, 4, 1), "state": "away"}]
    daily = DAILY_DOSE.build([day_with_work(WEDNESDAY)])
    assert last_knowable(daily, DAY_STATE.build(ahead), dt.date(2026, 3, 6)) == dt.date(2026, 3, 6)
    assert last_knowable(DAILY_DOSE.empty(), DAY_STATE.empty(), WEDNESDAY) is None


def test_the_days_of_the_newest_week_become_known_as_they_pass(squad: Squad, monkeypatch: pytest.MonkeyPatch) -> None:
    def known(today: dt.date) -> int:
        monkeypatch.setattr("keelmark.service.open_squad.OpenSquad._today", lambda _: today)
        found: int = squad.season().weekly.filter(channel="tonnage")["known_days"].item()
        return found

    squad.accept(squad.preview_log(LOG, "log.csv").token)
    squad.set_setting("quiet_days", "rest")
    assert known(dt.date(2026, 3, 5)) == 2
    assert known(dt.date(2026, 3, 6)) == 3
    assert known(dt.date(2026, 3, 20)) == 5
    assert known(dt.date(2027, 1, 1)) == 5
