"""Rounds and sets told in numbers: of what follows, or of the station before."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.drafts import GroupDraft, SectionDraft, StationDraft
from keelmark.notation.items import Item
from keelmark.notation.segments import Segment
from keelmark.notation.teams import Teams
from keelmark.notation.tree import Amount, Quantity

__all__ = ["RoundHeads"]

_BESIDE_SETS = frozenset(["nsets", "of", "word", "with", "each", "done"])
_COUNTED = frozenset(["amount", "dist", "dur", "cals", "nsets", "max", "and"])


class RoundHeads(Teams):
    """Finds out what a number of rounds, sets or times is for."""

    def _rounds_told(self, segment: Segment, item: Item, before: list[Item], left: list[Item]) -> None:
        """`5 rounds`, `3-5 rounds`, `three times`."""
        if "times_word" in item.roles and self._times_of_station(item, before, segment, left):
            return
        if isinstance(item.value, Quantity):
            self._rounds(int(item.value.value), segment)
            self.current_group().range = item.value
        else:
            self._rounds(item.value, segment)
            self.current_group().waves = "waves" in item.roles
        if self.section().share and any(
            "each" in other.roles or "each_person" in other.roles for other in segment.items
        ):
            self.section().share = "turns" if item.value == 1 else "own"

    def _rounds(self, rounds: int, segment: Segment) -> None:
        section = self.section()
        if self._rounds_of_line(rounds, segment):
            return
        if section.kind == "amrap" and section.paused and section.repeats == 1 and (section.fresh or self.trailing()):
            section.repeats = min(rounds, 60)
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
        if section.kind in ("every", "intervals") and self._windows_told(section, rounds, segment):
            return
        if section.kind in ("every", "intervals", "amrap", "until_miss") and not section.fresh:
            self.now = None
        group = self.current_group()
        if group.stations or group.scheme or group.closed:
            group = self.new_group(rounds)
        elif group.rounds > 1 and group.rounds != rounds and self._is_nested(section, segment):
            self.outer = (section, group.rounds)
            group.rounds *= rounds
        else:
            group.rounds = rounds
        following = self.following()
        if segment.content or (following is not None and following.line == segment.line and following.content):
            group.inline = segment.line

    def _is_nested(self, section: SectionDraft, segment: Segment) -> bool:
        """`2 rounds of: 3 rounds of 5 pull-ups, 10 push-ups; then 400 m run`: rounds within rounds."""
        told = any("each" in item.roles or "each_person" in item.roles for item in segment.items)
        return section.kind in ("work", "for_time") and not section.share and not told

    def _windows_told(self, section: SectionDraft, rounds: int, segment: Segment) -> bool:
        """Rounds under a clock: how many windows, or a second run of the same intervals."""
        slotted = any(group.slots for group in section.groups)
        if section.kind == "every" and section.seconds is not None and (section.fresh or slotted):
            return True
        if section.fresh:
            section.windows, section.around = rounds, section.kind == "intervals"
            section.seconds = None if section.kind == "intervals" else section.seconds
            return True
        if section.kind != "intervals" or not (section.around and segment.content and section.work):
            return False
        again = SectionDraft("intervals", section.label, work=section.work, rest=section.rest, headed=True)
        again.share, again.windows, again.around = section.share, rounds, True
        self.now = again
        self.sections.append(again)
        return True

    def _rounds_of_line(self, rounds: int, segment: Segment) -> bool:
        """`90 s jumping jacks + 1:00 bear crawl, twice`: the stations of this line, where another line follows."""
        ends = segment.after in ("newline", "stop", "semicolon") and not segment.content
        now = self.now
        if not ends or segment.starts_line or "then" in segment.before or now is None:
            return False
        group = self.current_group()
        own = any(s.amount is not None and s.amount.sets > 1 and s.line != segment.line for s in group.stations)
        if self.trailing() and not own and not group.role:
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

    def _loose(self, segment: Segment, items: list[Item]) -> list[Item]:
        """Set counts and remarks that stand alone."""
        kinds = {item.kind for item in items}
        if "nsets" not in kinds and "times" not in kinds:
            return items
        sets = next((item.value for item in items if item.kind == "nsets"), None)
        if sets is not None and len(items) <= 6 and all(item.kind in _BESIDE_SETS for item in items):
            return self._sets_alone(segment, items, sets)
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
        if [item.kind for item in items] == ["amount", "times"] and items[0].value.steps:
            self._rounds(int(items[0].value.steps[0].value), segment)
            return []
        return items

    def _sets_alone(self, segment: Segment, items: list[Item], sets: int) -> list[Item]:
        """`5 sets:`: of the station before, or rounds of what follows."""
        last, group = self.last_station(), self.current_group()
        if last is not None and last.amount is None and self._lists_its_sets(segment, sets):
            return []
        if last is not None and last.amount is None and not group.closed and not segment.starts_line:
            behind = [s for s in self.segments[self.at + 1 : self.at + 4] if s.line == segment.line]
            if segment.after == "colon" and len(behind) > 1 and group.stations == [last] and group.rounds == 1:
                group.rounds = sets
                return []
            return items
        self._rounds(sets, segment)
        return []

    def _lists_its_sets(self, segment: Segment, sets: int) -> bool:
        """`5 sets: +20 kg x 3, +15 kg x 4, ...`: each of them follows on the line with a load and a count."""
        behind = [later for later in self.segments[self.at + 1 : self.at + 1 + sets + 1] if later.line == segment.line]
        loaded = [later for later in behind if any(item.kind in ("load", "xload") for item in later.items)]
        return sets > 1 and segment.after == "colon" and len(behind) == len(loaded) == sets and not segment.starts_line

    def _times_of_station(self, item: Item, before: list[Item], segment: Segment, left: list[Item]) -> bool:
        """`up the rope three times`, `hold a plank for a minute, three times`: of one movement, not of the round."""
        times = int(item.value) if isinstance(item.value, int) else 1
        named = any(other.kind == "movement" for other in before)
        last = self.last_station()
        stations = self._of_sentence()
        lacking = named and "comma" in segment.before and not any(other.kind in _COUNTED for other in before)
        if named and (not stations or lacking):
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
