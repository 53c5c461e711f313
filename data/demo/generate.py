"""Write the demo season: roster.csv, log.csv, days.csv, labels.csv and check_ins.csv, from the story told in story.py.

Run it with `python data/demo/generate.py`; it writes the same bytes each time. Another folder may be named as argument.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import check_ins
import numpy as np
import story

COLUMNS = (
    "date", "name", "session", "block", "movement", "sets", "reps", "load_kg", "height_cm", "distance_m", "duration_s",
    "calories", "rpe", "session_rpe", "session_min", "note",
)  # fmt: skip
AMOUNTS = ("reps", "distance_m", "duration_s", "calories")
Row = dict[str, object]


class Chance:
    """Chance for one person, always the same: each person has a stream of numbers of his or her own."""

    def __init__(self, stream: int) -> None:
        self._numbers = np.random.Generator(np.random.PCG64([20250901, stream]))

    def happens(self, share: float) -> bool:
        """True in that share of cases."""
        return float(self._numbers.random()) < share

    def between(self, low: int, high: int) -> int:
        """A whole number, both ends included."""
        return low + int(float(self._numbers.random()) * (high - low + 1))

    def near(self, value: float, spread: float) -> float:
        """A figure around a value, never further off than 1.5 spreads."""
        return value + spread * (sum(float(self._numbers.random()) for _ in range(3)) - 1.5)


def day_of(week: int, weekday: int) -> date:
    """The day of a week of the season."""
    return story.FIRST_MONDAY + timedelta(weeks=week - 1, days=weekday)


def week_name(week: int) -> str:
    """A week of the season as an ISO week."""
    year, number, _ = day_of(week, 0).isocalendar()
    return f"{year}-W{number:02d}"


def to_step(value: float, step: float) -> float:
    """A figure as it would be written: the nearest whole step."""
    return int(value / step + 0.5) * step


def maximum(person: story.Person, lift: str) -> float:
    """What somebody can lift once, in kg."""
    return to_step(story.MAXIMA[lift][person.sex] * person.strength * person.body_mass_kg, 2.5)


class Season:
    """One person's season: sessions, days off, and days of which nothing is known."""

    def __init__(self, person: story.Person, stream: int) -> None:
        self.person = person
        self.chance = Chance(stream)
        self.heavier = 0 if person.standard == "heavier" else 1
        self.rows: list[Row] = []
        self.off: dict[date, tuple[str, str]] = {}
        self.unknown: set[date] = set()
        for name, state, first, last, note in story.ABSENCES:
            if name == person.name:
                self._stay_away(day_of(*first), day_of(*last), state, note)
        for week in range(person.joined_week, story.WEEKS + 1):
            self._live(week)

    def _stay_away(self, first: date, last: date, state: str, note: str) -> None:
        for offset in range((last - first).days + 1):
            self.off[first + timedelta(days=offset)] = (state, note)

    def _live(self, week: int) -> None:
        forgotten = week in story.GAPS.get(self.person.name, ())
        for title, (weekday, minutes, strength) in story.EVENINGS.items():
            day = day_of(week, weekday)
            if day in self.off or not self.chance.happens(self._comes(title, week)):
                continue
            if day == story.RELAY_DAY:
                self._relay(day)
            else:
                self._evening(day, week, title, minutes, strength[week % 2])
            self._perhaps_unwritten(day)
        if week in story.STORM_WEEKS:
            self._call_outs(week)
        if (self.person.name, week) == (story.SPIKE, story.SPIKE_WEEK):
            for weekday in story.SPIKE_DAYS:
                self._jump(day_of(week, weekday))
        if forgotten:
            week_days = {day_of(week, weekday) for weekday in range(7)}
            self.unknown |= week_days
            self.rows = [row for row in self.rows if row["date"] not in week_days]

    def _comes(self, title: str, week: int) -> float:
        share = self.person.keen * (story.WEDNESDAY_SHARE if title.startswith("Wednesday") else 1.0)
        if week in story.HOLIDAY_WEEKS:
            share *= 0.25
        if week in story.STORM_WEEKS:
            share *= 0.55
        return share

    def _perhaps_unwritten(self, day: date) -> None:
        share = story.PATCHY_SHARE if self.person.name == story.PATCHY else story.FORGOTTEN_SHARE
        if self.chance.happens(share):
            self.unknown.add(day)
            self.rows = [row for row in self.rows if row["date"] != day]

    def _evening(
        self, day: date, week: int, title: str, minutes: int, lifts: tuple[tuple[str, str, float], ...]
    ) -> None:
        sets, reps, share, rounds = story.WAVE[(week - 1) % 4]
        share *= self._ease_in(week) * (1 + 0.05 * week / story.WEEKS)
        feeling = self.chance.near(6.4 + 0.5 * (rounds - 4), 1.4)
        if week in story.PLANNED_WEEKS and self.person.group == story.PLANNED_GROUP:
            sets, rounds, feeling = sets + 3, rounds + 2, feeling + 0.9
        if week in story.COMPETITION_WEEKS:
            sets, rounds, feeling = sets - 1, rounds + 2, feeling + 0.5
        extra = self._extra_pulls(week, title)
        if extra:
            rounds -= 1
        start = len(self.rows)
        for lift, counted_from, factor in lifts:
            self._lift(day, lift, sets, reps, share * factor, counted_from)
        for jump, jump_sets, jump_reps, heights in story.JUMPS.get(title, ())[week % 2 :][:1]:
            height: Row = {"height_cm": heights[self.heavier]} if heights else {}
            self._write(day, "jumps", jump, jump_sets - (sets < 4), reps=jump_reps, **height)
        for lift, extra_sets, extra_reps, extra_share in extra:
            self._lift(day, lift, extra_sets, extra_reps, extra_share, "deadlift", block="accessory")
        parts = story.MIXED[title]
        self._mixed(day, parts[week % len(parts)], rounds, self._ease_in(week))
        self._rate(start, title, feeling, minutes)

    def _ease_in(self, week: int) -> float:
        if self.person.joined_week == 1:
            return 1.0
        return min(1.0, 0.6 + 0.05 * (week - self.person.joined_week))

    def _extra_pulls(self, week: int, title: str) -> list[tuple[str, int, int, float]]:
        step = week - story.SLOW_RISE_FROM
        if self.person.name != story.SLOW_RISE or step < 0 or title.startswith("Wednesday"):
            return []
        return [("romanian deadlift", 2 + step // 5, 7 + step // 5, 0.36 + 0.007 * step)]

    def _lift(
        self, day: date, lift: str, sets: int, reps: int, share: float, counted_from: str, block: str = "strength"
    ) -> None:
        load = to_step(maximum(self.person, counted_from) * self.chance.near(share, 0.03), 2.5)
        rpe = min(9.5, max(5.0, to_step(self.chance.near(4.0 + 4.2 * share + 0.12 * reps, 1.0), 0.5)))
        self._write(day, block, lift, sets, reps=reps, load_kg=load, rpe=rpe)

    def _mixed(self, day: date, parts: tuple[story.Part, ...], rounds: int, ease: float) -> None:
        rounds = max(2, int(self.chance.near(rounds * ease, 1.0) + 0.5))
        for movement, column, amount, loads, heights in parts:
            amount = max(1, int(amount * (0.8 + 0.2 * ease) + 0.5))
            cells: Row = {column: amount}
            if loads:
                cells["load_kg"] = loads[self.heavier]
            if heights:
                cells["height_cm"] = heights[self.heavier]
            self._write(day, "mixed", movement, rounds, **cells)

    def _relay(self, day: date) -> None:
        start = len(self.rows)
        for movement, column, times, amount, loads in story.RELAY:
            cells: Row = {column: amount}
            if loads:
                cells["load_kg"] = loads[self.heavier]
            self._write(day, "relay", movement, times, **cells)
        self._rate(start, "harbour relay", self.chance.near(8.5, 0.8), 75)

    def _call_outs(self, week: int) -> None:
        for number in range(self.chance.between(*story.CALL_OUTS_EACH) // 2 + week % 2):
            day = day_of(week, self.chance.between(0, 6))
            if any(row["date"] == day and row["session"] == "call-out" for row in self.rows):
                continue
            start = len(self.rows)
            for movement, column, times, amount, loads in story.CALL_OUT:
                if number == 0 or self.chance.happens(0.7):
                    cells: Row = {column: amount, "load_kg": loads[self.heavier]}
                    self._write(day, "on duty", movement, self.chance.between(*times), **cells)
            if len(self.rows) > start:
                note = story.CALL_OUT_NOTES[day.toordinal() % len(story.CALL_OUT_NOTES)]
                self._rate(start, "call-out", self.chance.near(7.0, 2.0), 30 * self.chance.between(2, 6), note)

    def _jump(self, day: date) -> None:
        start = len(self.rows)
        for movement, sets, reps, height in story.SPIKE_WORK:
            self._write(day, "own work", movement, sets, reps=reps, height_cm=height)
        self._rate(start, "own jumping", self.chance.near(6.0, 0.5), 35, story.SPIKE_NOTE)

    def _write(self, day: date, block: str, movement: str, sets: int, **cells: object) -> None:
        row: Row = {"date": day, "name": self.person.name, "block": block, "movement": movement, "sets": sets}
        self.rows.append(row | cells)

    def _rate(self, start: int, title: str, feeling: float, minutes: int, note: str | None = None) -> None:
        rating = min(10.0, max(2.0, to_step(feeling, 0.5)))
        length = int(to_step(self.chance.near(minutes, 8), 5))
        self.rows[start]["note"] = note
        for row in self.rows[start:]:
            row |= {"session": title, "session_rpe": rating, "session_min": length}

    def days_off(self) -> Iterator[tuple[date, date, str, str]]:
        """Stretches of days without training, in order; days of which nothing is known belong to none."""
        trained = {row["date"] for row in self.rows}
        first = day_of(self.person.joined_week, 0)
        days = [first + timedelta(days=n) for n in range((story.LAST_DAY - first).days + 1)]
        known = [(day, *self.off.get(day, ("rest", ""))) for day in days if day not in trained | self.unknown]
        stretch: tuple[date, date, str, str] | None = None
        for day, state, note in known:
            if stretch and (stretch[2:], stretch[1]) == ((state, note), day - timedelta(days=1)):
                stretch = (stretch[0], day, state, note)
                continue
            if stretch:
                yield stretch
            stretch = (day, day, state, note)
        if stretch:
            yield stretch


def log_rows(seasons: list[Season]) -> list[list[str]]:
    """All rows of the log by day and name, with the dirty ones in their places."""
    rows = sorted(
        (row for season in seasons for row in season.rows), key=lambda row: (row["date"], row["name"], row["session"])
    )
    cells = [{column: _text(row.get(column)) for column in COLUMNS} for row in rows]
    for place, slip in sorted(story.DIRTY, key=lambda dirty: -dirty[0]):
        blank = slip.get("date") == "" and slip.get("name") == ""
        cells.insert(place, dict.fromkeys(COLUMNS, "") if blank else cells[place - 1] | slip)
    return [[row[column] for column in COLUMNS] for row in cells]


def roster_rows() -> Iterator[list[str]]:
    """The crew with maxima."""
    for person in story.CREW:
        joined = day_of(person.joined_week, 0)
        maxima = [
            "" if (person.name, lift) in story.NOT_TESTED else _text(maximum(person, lift)) for lift in story.MAXIMA
        ]
        yield [*map(_text, person[:6]), _text(joined), _text(max(joined, story.TESTED)), *maxima]


def label_rows() -> Iterator[list[str]]:
    """Stretches of the season with a name."""
    for first, last, label, group in story.LABELS:
        yield [_text(day_of(first, 0)), _text(day_of(last, 6)), label, group]


def _text(value: object) -> str:
    if value is None:
        return ""
    return f"{value:g}" if isinstance(value, float) else str(value)


def write(path: Path, heads: list[str], rows: list[list[str]]) -> None:
    """Write one file."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(heads)
        writer.writerows(rows)


def main(folder: Path) -> None:
    """Write the five files."""
    seasons = [Season(person, stream) for stream, person in enumerate(story.CREW)]
    heads = ["name", "group", "sex", "body_mass_kg", "stature_cm", "standard", "joined", "1RM tested"]
    write(folder / "roster.csv", [*heads, *(f"{lift} 1RM kg" for lift in story.MAXIMA)], list(roster_rows()))
    write(folder / "log.csv", list(COLUMNS), log_rows(seasons))
    days = [[s.person.name, *map(_text, stretch)] for s in seasons for stretch in s.days_off()]
    write(folder / "days.csv", ["name", "from", "to", "state", "note"], days)
    write(folder / "labels.csv", ["from", "to", "label", "group"], list(label_rows()))
    chances = [Chance(1000 + stream) for stream in range(len(story.CREW))]
    write(folder / "check_ins.csv", list(check_ins.COLUMNS), check_ins.rows(week_name, chances))


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
