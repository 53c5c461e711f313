"""Heads: what opens a section or group, and what it says about clock, rounds and team."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.drafts import GroupDraft, SectionDraft, StationDraft
from keelmark.notation.items import Item
from keelmark.notation.labels import TITLES, Labels
from keelmark.notation.merging import seconds_of
from keelmark.notation.segments import Segment
from keelmark.notation.tree import Amount, Quantity

__all__ = ["HEADS", "Heads"]

HEADS = frozenset(
    [
        "amrap_head",
        "every_head",
        "rounds_head",
        "for_time",
        "not_for_time",
        "tabata",
        "interval_head",
        "cap_head",
        "team",
        "share",
        "in_turn",
        "own",
        "together",
        "solo",
        "buy_in",
        "cash_out",
        "chipper",
        "superset",
        "open_end",
        "each_person",
        "rest_mark",
        "rest",
        "repeat",
        "pairs",
    ]
)


_BESIDE_SETS = frozenset(["nsets", "of", "word", "with", "each", "done"])
_TURNS = frozenset(["in_turn", "share", "team"])


def _first_minute(items: list[Item], notes: list[list[Item]], window: float) -> str:
    """`every minute from 1:00 on` begins with the first full minute, `every minute` at once."""
    for note in notes:
        first = next((item for item in note if item.kind == "dur"), None)
        if first is not None and seconds_of(first) == window:
            return "each_minute_later"
    late = any("start_at" in item.roles for item in items)
    minutes = [item for item in items if item.kind == "dur" or (item.kind == "amount" and late)]
    return "each_minute_later" if late and any((seconds_of(item) or 0) >= 60 for item in minutes) else "each_minute"


class Heads(Labels):
    """Takes the heads out of a segment and lets them act."""

    def heads(self, segment: Segment) -> list[Item]:  # noqa: C901
        """Take the heads out of a segment and let them act; the rest is returned."""
        items = segment.items
        if not items:
            return items
        if items[0].kind == "timespan":
            self.new_section()
            self.pending_seconds = items[0].value or self.pending_seconds
            items = items[1:]
            if not items:
                return items
        items = self._minute_behind(items)
        if not items:
            return items
        items = self._labels(segment, items)
        if not items:
            return items
        if items and "then" in segment.before:
            self._then(segment, items)
        if items and items[0].kind in TITLES and self._is_title(segment, items):
            items = self._title(segment, items)
        elif items and len(items) == 1 and segment.strong and segment.after == "colon":
            items = self._title_of_same_name(items[0])
        kinds = {item.kind for item in items}
        if items and items[0].kind == "alternating" and self._in_windows() and self.section().fresh:
            self.section().alternate = True
            items = items[1:]
        if items and items[0].kind == "each" and "each_person" in items[0].roles and self.section().share:
            self.own_next = self.own_next or segment.content
            self.own_rest = self.own_rest or (len(items) == 1 and segment.after == "colon")
            items = items[1:]
            if not items:
                return items
        if (
            not segment.content
            and kinds <= {"dur", "total", "word", "for_word", "of", "and_so_on", "to", "repeat", "until"}
            and "dur" in kinds
            and self._set_total(items)
        ):
            return []
        if "slots" in kinds:
            section = self.section()
            turns = not segment.starts_line and items[0].kind == "slots" and section.kind == "every"
            if section.fresh and self._in_windows() and (kinds == {"slots"} or turns):
                section.alternate = True
            items = [item for item in items if item.kind != "slots"]
            if all(item.kind in ("word", "of", "rounds", "in_turn", "each") for item in items) and not segment.content:
                return []
            kinds.discard("slots")
        if self._stretch_of_clock(segment, items):
            return []
        if self._windows_times(segment, items):
            return []
        if self.interrupt and not segment.content and "dur" in kinds and not self.section().fresh:
            at_once = seconds_of(next(item for item in items if item.kind == "dur")) == 0
            self.interrupt = "each_minute" if at_once else "each_minute_later"
            return []
        if (
            not segment.content
            and self.section().fresh
            and kinds & _TURNS
            and kinds <= _TURNS | {"dur"}
            and "dur" in kinds
        ):
            self.section().clock = seconds_of(next(item for item in items if item.kind == "dur"))
        if (
            not segment.content
            and self.section().fresh
            and "dur" in kinds
            and (self._all_alone(items) or "running_clock" in kinds)
        ):
            time = next(item for item in items if item.kind == "dur")
            steps = time.value.steps[0]
            if steps.lighter is not None and steps.lighter < steps.value:
                unit = {"s": 1.0, "min": 60.0, "h": 3600.0}[time.value.unit]
                sets = time.value.sets if time.value.sets > 1 else None
                self._interval(
                    Item("interval_head", time.start, time.end, (sets, steps.value * unit, steps.lighter * unit))
                )
                return []
            self.pending_seconds = self.section().clock = seconds_of(time)
        if kinds == {"dur"} and "then" in segment.before and not segment.content and self._clock_follows(segment):
            self.now = None
            self.pending_seconds = seconds_of(items[0])
            return []
        if kinds.isdisjoint(HEADS):
            return self._loose(segment, items)
        return self._act(segment, items, kinds)

    def _clock_follows(self, segment: Segment) -> bool:
        """`Then twelve minutes, every minute: ...`: the time of what comes now."""
        following = self.segments[self.at + 1] if self.at + 1 < len(self.segments) else None
        if following is None or following.line != segment.line:
            return False
        return any(item.kind in ("every_head", "amrap_head") for item in following.items)

    def _stretch_of_clock(self, segment: Segment, items: list[Item]) -> bool:
        """`0-10 min: EMOM ...`: when it is done."""
        if len(items) != 1 or items[0].kind != "dur" or not segment.starts_line or segment.after != "colon":
            return False
        step = items[0].value.steps[0]
        if step.top is None or items[0].value.unit != "min" or not (step.value == 0 or self.timeline):
            return False
        self.now = None
        self.section()
        self.pending_seconds, self.timeline = (step.top - step.value) * 60, True
        return True

    def _windows_times(self, segment: Segment, items: list[Item]) -> bool:
        """`90 s x 8: 3 cleans`: eight windows of that length, where what follows has counts of its own."""
        if len(items) != 1:
            return False
        item = items[0]
        if item.kind != "dur" or item.value.sets < 2 or segment.after != "colon" or item.parts[:1] != ["sets"]:
            return False
        if not self.section().fresh or self.section().headed:
            return False
        behind = [later for later in self.segments[self.at + 1 : self.at + 6] if later.content]
        counted = any(other.kind in ("amount", "dist", "cals") for other in behind[0].items) if behind else False
        seconds = seconds_of(item)
        if not counted or seconds is None:
            return False
        self._every(Item("every_head", item.start, item.end, (seconds, None, item.value.sets, "every")), segment, items)
        return True

    def _loose(self, segment: Segment, items: list[Item]) -> list[Item]:
        """Set counts and remarks that stand alone."""
        if items and len(items) <= 6 and all(item.kind in _BESIDE_SETS for item in items):
            sets = next((item.value for item in items if item.kind == "nsets"), None)
            if sets is not None:
                last = self.last_station()
                group = self.current_group()
                if last is not None and last.amount is None and not group.closed and not segment.starts_line:
                    behind = [s for s in self.segments[self.at + 1 : self.at + 4] if s.line == segment.line]
                    if segment.after == "colon" and len(behind) > 1 and group.stations == [last] and group.rounds == 1:
                        group.rounds = sets
                        return []
                    return items
                self._rounds(sets, segment)
                return []
        if items and items[0].kind == "nsets" and self.trailing() and not segment.content and segment.starts_line:
            plain = {"nsets", "of", "word", "to", "letter", "amount", "dash", "each", "comma", "label", "part"}
            if {item.kind for item in items} <= plain and any(item.kind in ("to", "letter") for item in items):
                self._rounds(items[0].value, segment)
                return []
        if (
            items
            and items[0].kind == "nsets"
            and not segment.content
            and self.section().fresh
            and not any(item.kind in ("max", "amount", "dist", "dur", "cals", "per_side") for item in items)
        ):
            self._rounds(items[0].value, segment)
            return items[1:]
        if (
            len(items) >= 2
            and items[-1].kind == "amount"
            and items[-2].kind == "times"
            and not any(item.kind in ("load", "xload") for item in items)
            and not segment.content
            and self.section().fresh
        ) and len(items[-1].value.steps) == 1:
            self._rounds(int(items[-1].value.steps[0].value), segment)
            if any(item.kind == "complex" for item in items):
                self.current_group().inline = -2
            return []
        if (
            items
            and items[0].kind == "nsets"
            and any(item.kind == "per_side" for item in items)
            and not segment.content
        ):
            self._rounds(items[0].value, segment)
            return items[1:]
        if len(items) == 2 and items[0].kind == "amount" and items[1].kind == "times":
            self._rounds(int(items[0].value.steps[0].value), segment)
            return []
        return items

    def _act(self, segment: Segment, items: list[Item], kinds: set[str]) -> list[Item]:
        left: list[Item] = []
        self.alternating_here = any("alternating" in item.roles for item in items)
        result = self._each_head(segment, items, kinds, left)
        if segment.line == self.number_line and self.now is not None and self.now.headed:
            self.now.numbered = True
        return result

    def _each_head(self, segment: Segment, items: list[Item], kinds: set[str], left: list[Item]) -> list[Item]:  # noqa: C901
        for place, item in enumerate(items):
            kind = item.kind
            if kind not in HEADS:
                left.append(item)
            elif kind == "amrap_head":
                counted = any(other.kind in ("amount", "cals", "dist") for other in items[place + 1 :])
                if (
                    item.value is None
                    and segment.content
                    and not counted
                    and not (self.now and self.now.headed and self.now.fresh)
                ):
                    left.append(item)
                else:
                    now = self.now
                    again = (
                        now.windows if now is not None and now.kind == "intervals" and now.fresh and now.work else None
                    )
                    if again and now is not None and item.value is None:
                        now.kind, now.seconds, now.repeats = "amrap", now.work, min(again, 60)
                        now.work = now.rest = now.windows = None
                        continue
                    self._clocked("amrap", item)
                    self.section().seconds = item.value or self.pending_seconds
                    self.section().repeats = min(item.parts[0], 60) if item.parts else 1
            elif kind == "every_head":
                once = bool(left) and left[-1].kind == "amount" and left[-1].value.steps == (Quantity(1.0),)
                if once and self.section().fresh:
                    left.pop()
                self._every(item, segment, items)
            elif kind == "rounds_head":
                if item.value == 1 and ("every_head" in kinds or self._defines(items, place)):
                    continue
                if "times_word" in item.roles and self._times_of_station(item, items[:place], segment, left):
                    continue
                if isinstance(item.value, Quantity):
                    self._rounds(int(item.value.value), segment)
                    self.current_group().range = item.value
                else:
                    self._rounds(item.value, segment)
                if self.section().share and any(
                    "each" in other.roles or "each_person" in other.roles for other in segment.items
                ):
                    self.section().share = "own"
            elif kind == "repeat":
                if self.section().fresh:
                    self._rounds(item.value, segment)
                else:
                    self.repeat(item.value)
            elif kind in ("for_time", "chipper"):
                self._for_time(
                    item, any(other.kind == "movement" for other in items[:place]) or self._ends_line(segment)
                )
            elif kind == "tabata":
                section = self._clocked("intervals", item)
                section.work, section.rest, section.windows = (
                    section.work or 20.0,
                    section.rest or 10.0,
                    section.windows or 8,
                )
            elif kind == "interval_head":
                self._interval(item)
            elif kind == "cap_head":
                self.section().cap = item.value
            elif kind in ("rest", "rest_mark"):
                self._rest(item, segment, items)
                if not segment.content:
                    return []
                break
            else:
                self._team(item, segment, left)
            if kind in ("buy_in", "cash_out") and place == 0:
                group = self._role_group(kind)
                group.role = kind
        return [item for item in left if item.kind not in ("of",)] if len(left) == 1 else left

    def _ends_line(self, segment: Segment) -> bool:
        """`75 power snatches, for time.`: it speaks of what stands before it on the line."""
        last = self.last_station()
        alone = not segment.content and not segment.strong and segment.after in ("stop", "newline")
        return alone and last is not None and last.line == segment.line

    def _defines(self, items: list[Item], place: int) -> bool:
        """`1 lap = 12 cal ski + 8 burpees`: what a round is, not how many."""
        return place + 1 < len(items) and items[place + 1].kind == "equals"

    def _times_of_station(self, item: Item, before: list[Item], segment: Segment, left: list[Item]) -> bool:
        """`up the rope three times`, `hold a plank for a minute, three times`: of one movement, not of the round."""
        times = int(item.value) if isinstance(item.value, int) else 1
        named = any(other.kind == "movement" for other in before)
        last = self.last_station()
        stations = self._of_sentence()
        if named and not stations:
            counted = any(other.kind in ("amount", "dist", "dur", "cals") for other in before)
            value = times if counted else Amount(steps=(Quantity(float(times)),))
            left.append(Item("nsets" if counted else "amount", item.start, item.end, value))
            return True
        if named or segment.content or last is None or segment.starts_line:
            return False
        if last.amount is None and self.current_group().scheme is None and last.segment == self.at - 1:
            last.amount = Amount(steps=(Quantity(float(times)),))
            last.told_times = True
            return True
        others = any(station is not last for group in self.section().groups for station in group.stations)
        if stations == [last] and last.amount is not None and (others or last.told_times):
            last.amount = replace(last.amount, sets=last.amount.sets * max(1, times))
            return True
        return False

    def _of_sentence(self) -> list[StationDraft]:
        """The stations read since the last full stop or line end."""
        start = self.at
        while start > max(0, self.at - 12) and not self.segments[start].strong:
            start -= 1
        return [s for group in self.section().groups[-2:] for s in group.stations[-12:] if s.segment >= start]

    def _role_group(self, role: str) -> GroupDraft:
        section = self.section()
        if section.groups and not (section.groups[-1].stations or section.groups[-1].slots):
            return section.groups[-1]
        group = GroupDraft(role=role)
        section.groups.append(group)
        return group

    def _clocked(self, kind: str, item: Item) -> SectionDraft:
        """Open a section with a clock; at the end of a text it speaks of the stations before."""
        now = self.now
        if self.trailing() and now is not None and not now.headed:
            now.kind, now.headed = kind, True
            return now
        if now is not None and now.fresh and (not now.headed or now.kind == kind == "intervals"):
            now.kind, now.headed = kind, True
        elif now is not None and now.fresh and now.kind == "for_time":
            now.kind = kind
        elif now is not None and not now.headed and now.kind == "work" and self._head_behind_movement(now):
            now.kind, now.headed = kind, True
        else:
            now = SectionDraft(kind, headed=True, share=self.default_share)
            self.sections.append(now)
            self.now = now
        now.start, now.end = item.start, item.end
        return now

    def _head_behind_movement(self, now: SectionDraft) -> bool:
        """`Ring muscle-ups: 12 EMOM x 2`: the head follows the only movement, which has no amount yet."""
        stations = [station for group in now.groups for station in group.stations]
        same_line = self.segments[self.at].line == stations[-1].line if stations else False
        return len(stations) == 1 and stations[0].amount is None and same_line

    def _every(self, item: Item, segment: Segment, items: list[Item]) -> None:
        window, total, windows, form = item.value
        said = self.now is not None and self.now.kind == "every" and self.now.window == window
        if said and segment.content and not segment.starts_line and total is None and windows is None:
            return
        total = total or (self.pending_seconds if windows is None else None)
        last = self.last_station() if self.now is not None else None
        if (
            self.trailing()
            and last is not None
            and last.amount is not None
            and last.amount.sets > 1
            and windows is None
        ):
            return
        if segment.content and total is None and windows is None and self.now is not None:
            plain = self.now.kind == "work" and not self.now.headed and not segment.starts_line
            if ((self.now.kind in ("for_time", "amrap") and self.now.headed) or plain) and not self.now.fresh:
                self.interrupt = _first_minute(items, segment.notes, window)
                self.now.window = window if window != 60 else self.now.window
                if plain:
                    self.now.kind = "for_time"
                return
        now = self.now
        if (
            total is None
            and windows is None
            and now is not None
            and now.kind == "for_time"
            and not now.fresh
            and self.at < self.last_content
        ):
            self.interrupt = _first_minute(items, segment.notes, window)
            now.window = window if window != 60 else now.window
            return
        rounds = None
        if now is not None and now.fresh and now.groups and now.groups[-1].rounds > 1:
            rounds = now.groups[-1].rounds
            now.groups[-1].rounds = 1
        section = self._clocked("every", item)
        section.window, section.emom = window, form == "emom"
        section.seconds = total
        section.windows = windows or rounds
        if self.trailing() and section.groups and section.groups[-1].rounds > 1 and windows is None and total is None:
            section.windows, section.groups[-1].rounds = section.groups[-1].rounds, 1
        section.alternate = section.alternate or self.alternating_here

    def _rounds(self, rounds: int, segment: Segment) -> None:
        section = self.section()
        if self._rounds_of_line(rounds, segment):
            return
        if self.trailing():
            if section.kind == "every" and section.windows is None and section.seconds is None:
                section.windows = rounds
                return
            same = [
                part for part in self.sections if part is section or (section.label and part.label == section.label)
            ]
            for group in (group for part in same for group in part.groups):
                if group.rounds == 1 and not group.role:
                    group.rounds = rounds
            return
        if section.kind in ("every", "intervals") and section.fresh:
            section.windows = rounds
            if section.kind == "intervals":
                section.seconds = None
            return
        if section.kind in ("every", "intervals", "amrap", "until_miss") and not section.fresh:
            self.now = None
        group = self.current_group()
        if group.stations or group.scheme or group.closed:
            group = self.new_group(rounds)
        else:
            group.rounds = rounds
        following = self.segments[self.at + 1] if self.at + 1 < len(self.segments) else None
        if segment.content or (following is not None and following.line == segment.line and following.content):
            group.inline = segment.line

    def _rounds_of_line(self, rounds: int, segment: Segment) -> bool:
        """`90 s jumping jacks + 1:00 bear crawl, twice`: the stations of this line, where another line follows."""
        ends = segment.after in ("newline", "stop", "semicolon") and not segment.content
        now = self.now
        if not ends or segment.starts_line or "then" in segment.before or now is None:
            return False
        group = self.current_group()
        own = any(s.amount is not None and s.amount.sets > 1 and s.line != segment.line for s in group.stations)
        if self.trailing() and not own:
            return False
        here = [station for station in group.stations if station.line == segment.line]
        plain = group.rounds == 1 and group.scheme is None and not (group.slots or group.parity)
        if not here or not plain or group.closed or now.kind not in ("work", "for_time"):
            return False
        if len(here) < len(group.stations):
            group.stations = [station for station in group.stations if station.line != segment.line]
            group = GroupDraft(here, role=group.role, load=group.load)
            now.groups.append(group)
        group.rounds, group.closed = rounds, True
        return True

    def _for_time(self, item: Item, behind: bool) -> None:
        now = self.section()
        if now.fresh or self.trailing() or (behind and not now.headed):
            if now.kind == "work":
                now.kind = "for_time"
            now.headed = True
        elif now.kind != "for_time" or now.headed:
            last = now.groups[-1] if now.groups else None
            pending = last is not None and not last.stations and not last.closed
            if pending and last is not None and now.kind == "work":
                now.groups.pop()
                section = SectionDraft("for_time", headed=True, share=self.default_share)
                section.groups.append(last)
                self.sections.append(section)
                self.now = section
            else:
                self.now = SectionDraft("for_time", headed=True, share=self.default_share)
                self.sections.append(self.now)

    def _interval(self, item: Item) -> None:
        sets, work, rest = item.value
        now = self.section()
        rounds = None
        if now.fresh and now.groups and now.groups[-1].rounds > 1:
            rounds = now.groups[-1].rounds
            now.groups[-1].rounds = 1
        section = self._clocked("intervals", item)
        section.work, section.rest = work, rest
        if self.pending_seconds and not sets and not rounds and work + rest > 0:
            rounds = int(self.pending_seconds // (work + rest))
        section.windows = sets or rounds or section.windows

    def _rest(self, item: Item, segment: Segment, items: list[Item]) -> None:
        group = self.current_group()
        if (group.slots or group.parity) and not group.stations:
            group.resting = True
        elif self._is_turn(item, segment):
            section = self.section()
            section.groups += [GroupDraft(resting=True), GroupDraft()]

    def _is_turn(self, item: Item, segment: Segment) -> bool:
        """`12 cal row, 10 burpees, rest` in a rotation: one of the minutes is the rest."""
        section = self.section()
        if section.kind != "every" or not section.alternate or section.fresh or segment.starts_line or segment.content:
            return False
        return len(segment.items) == 1 and item.value in (None, section.window)

    def _team(self, item: Item, segment: Segment, left: list[Item]) -> None:  # noqa: C901
        roles = item.roles
        section = self.section()
        greeting = (
            item.kind == "team" and " " not in item.word and segment.after == "stop" and segment.items[0].kind == "word"
        )
        if greeting and all(other.kind in ("word", "team") for other in segment.items):
            return
        if "in_turn" in roles and any(other.kind == "slot" for other in segment.items):
            section.alternate = section.kind == "every"
            return
        if item.kind == "open_end":
            section.kind = "until_miss" if section.kind in ("every", "work") else section.kind
            section.continues = True
            return
        if item.kind == "solo":
            section.share = self.default_share = ""
            return
        if "pairs" in roles:
            self.people = self.people or 2
        elif "threes" in roles or "fours" in roles:
            self.people = self.people or (3 if "threes" in roles else 4)
        share = section.share
        if item.kind == "team":
            if isinstance(item.value, int):
                self.people = item.value
            share = share or ("turns" if "in_turn" in roles else "split")
        if item.kind == "team" or "pairs" in roles:
            self.team_seen = True
        if "share" in roles:
            share = "split" if self.team_seen or share else "loose"
        elif "in_turn" in roles:
            share = "turns" if share != "own" else share
        elif item.kind == "together":
            self.own_next = segment.content
            if not segment.content and section.fresh:
                share = "own"
        elif "own" in roles or "each_person" in roles:
            if any(other.kind == "rounds_head" for other in segment.items):
                share = "own"
            elif segment.content:
                self.own_next = True
            elif "each_person" in roles and segment.after == "colon":
                self.own_rest = True
        if share != section.share:
            if len(self.sections) == 1 and section.fresh:
                self.default_share = share
            section.share = share

    def heads_in_note(self, note: list[Item]) -> None:
        """A bracket with a cap, a rest or a clock."""
        for item in note:
            if item.kind == "cap_head":
                self.section().cap = item.value
            elif item.kind in ("team", "share", "in_turn", "own"):
                self._team(item, Segment(), [])
            elif item.kind == "repeat":
                self.repeat(item.value)
            elif item.kind == "for_time" and self.section().kind == "work":
                self.section().kind = "for_time"
                self.section().headed = True
            elif item.kind == "each_person":
                self.each_known = True
                if any(other.kind == "rounds_head" for other in note):
                    self.section().share = "own"
            elif (
                item.kind == "rounds_head"
                and self.section().kind in ("work", "for_time")
                and isinstance(item.value, int)
            ):
                group = self.current_group()
                if group.rounds == 1:
                    group.rounds = item.value
