"""A bracket behind a station: an option, a head, a remark, or figures of the station."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.brackets import Brackets
from keelmark.notation.counts import AMOUNTS
from keelmark.notation.drafts import GroupDraft, StationDraft
from keelmark.notation.heads import HEADS
from keelmark.notation.items import Item
from keelmark.notation.segments import Segment, counts_as_one
from keelmark.notation.station_figures import apply_figures
from keelmark.notation.trade import trade
from keelmark.notation.tree import Amount, Load

__all__ = ["Notes"]

_TURNS_NOTE = frozenset(["amount", "interval", "minute", "rounds", "sets", "word", "odd", "even"])
_TURN_BEHIND = frozenset(["odd", "even", "minute", "word", "at", "of", "on", "wearing", "interval"])
_SIGNS = frozenset(["comma", "and", "sdash", "semicolon"])
_EACH = frozenset(["each", "each_person"])
_BESIDE_EACH = frozenset(["each_person", "word", "done", "letter", "at", "of", "a", "total", "together"])
_LIGHTEST_BAR = 15
_LIGHTEST_BELL = 4
"""A figure below it is no weight of a bell or dumbbell."""
_LOADED = frozenset(["load", "xload", "height"])
_SHARE_OF_EACH = frozenset(["equals", "of", "word", "amount", "each", "each_person", "rounds", "times"])
_OF_SIDES = frozenset(["per_side", "side", "per_hand"])


class Notes(Brackets):
    """Finds out what a bracket is and gives it to the one who can read it."""

    def note(self, note: list[Item], segment: Segment) -> None:
        """A bracket behind a station: its load, height, side, total or scaled option; else a remark."""
        note = [replace(item, kind="target") if "target" in item.roles else item for item in note]
        note = _without_same_counts(note)
        if not note:
            return
        if len(note) > 1 and note[-1].kind == "every":
            note[-1] = replace(note[-1], kind="each")
        kinds = {item.kind for item in note}
        if "equals" in kinds and counts_as_one(note):
            self.comments.append((note[0].start, note[-1].end))
            return
        if self._option_note(note, kinds):
            return
        last = self._station_before(note[0].start)
        if self._legend_in_note(note):
            return
        note = [item for item in note if item.kind not in _SIGNS]
        if self._idle_note(note, kinds, last, segment) or self._said_of(note, kinds, last):
            return
        if self._note_with_head(note, kinds, last) or self._ladder_note(note, last) or self._each_told(kinds):
            return
        if last is None:
            self._sets_of_title(note, segment)
            self._before_stations([*segment.items, *note])
            return
        counts = [item for item in note if item.kind in AMOUNTS]
        if not self._remark_on(note, kinds, counts, last) and not self._count_note(note, kinds, counts, last):
            apply_figures(last, [item for item in note if item.kind != "plus"], -1, self.lexicon)
            last.end = max(last.end, note[-1].end)

    def _station_before(self, start: int) -> StationDraft | None:
        """The station that a bracket stands behind."""
        last = self.last_station()
        for group in reversed(self.section().groups):
            for station in reversed(group.stations):
                if station.start < start:
                    return station
        return last

    def _turns_note(self, note: list[Item], kinds: set[str]) -> bool:
        """`alternating swings (intervals 1, 3, 5) and burpees (2, 4, 6)`: whose turn it is, as it is anyway."""
        section = self.section()
        turns = [item.value for item in note if item.kind == "amount"]
        if self._turns_of_parity(turns, kinds):
            return True
        if not section.alternate or len(turns) != 1 or not kinds <= _TURNS_NOTE or turns[0].sets > 1:
            return False
        numbers = [step.value for step in turns[0].steps]
        first = 1.0 + sum(len(group.stations) for group in section.groups) - 1
        return len(numbers) > 1 and numbers[0] == first and sorted(set(numbers)) == numbers

    def _turn_of_station(self, note: list[Item], kinds: set[str], last: StationDraft) -> bool:
        """`12 push-ups (even), 10 swings (odd)`: whose minute it is, behind the work."""
        section, halves = self.section(), kinds & {"odd", "even"}
        group = self.current_group()
        if section.kind not in ("every", "intervals") or len(halves) != 1 or not kinds <= _TURN_BEHIND:
            return False
        if (
            group.slots
            or not group.stations
            or group.stations[-1] is not last
            or (group.parity and len(group.stations) < 2)
        ):
            return False
        group.stations.pop()
        section.groups.append(GroupDraft([last], parity=next(iter(halves))))
        return True

    def _turns_of_parity(self, turns: list[Amount], kinds: set[str]) -> bool:
        """`even sets (2, 4, 6, 8)`, `odd (1-3-5)`: the same turns told twice."""
        parity = self.current_group().parity
        if not parity or len(turns) != 1 or not kinds <= _TURNS_NOTE or turns[0].sets > 1:
            return False
        numbers = [number for step in turns[0].steps for number in (step.value, step.lighter) if number is not None]
        return all(number % 2 == (parity == "odd") for number in numbers)

    def _last_set_open(self, items: list[Item]) -> bool:
        """`last set to failure` behind sets with a count; told loads do it."""
        raise NotImplementedError

    def _legend_in_note(self, note: list[Item]) -> bool:
        """Names in brackets with their loads; the legends do it."""
        raise NotImplementedError

    def _rungs_by_round(self, note: list[Item], kinds: set[str]) -> bool:
        """`(one step of each per round)`: the ladders are climbed side by side."""
        if not any("rung" in item.roles for item in note) or kinds.isdisjoint(("per_round", "each", "per")):
            return False
        self.section().ladder = True
        return True

    def _option_note(self, note: list[Item], kinds: set[str]) -> bool:
        """Figures of the other standard, and what stands in for the station."""
        before = self._station_before(note[0].start)
        if before is None and self._carried_standard(note, kinds):
            return True
        if before is not None and self._other_standard(note, kinds, before):
            return True
        if not kinds.isdisjoint(("scaled", "instead", "ratio")) or note[0].kind == "or":
            self.scaled(note, False)
            return True
        return False

    def _idle_note(self, note: list[Item], kinds: set[str], last: StationDraft | None, segment: Segment) -> bool:
        """How often, in which unit, or a remark."""
        if len(note) == 2 and {note[0].kind, note[1].kind} == {"amount", "times"}:
            self._times_note(next(item for item in note if item.kind == "amount"), last, segment)
            return True
        if self._unit_for_all(note, last) or not note or _tells_unit(note, kinds):
            return True
        if self._training_maximum(note, kinds):
            return True
        if kinds == {"slots"} and self.section().fresh and self.section().kind in ("every", "intervals"):
            self.section().alternate = True
            return True
        return "remark" in kinds or note[0].kind == "of" or self._rungs_by_round(note, kinds)

    def _said_of(self, note: list[Item], kinds: set[str], last: StationDraft | None) -> bool:
        """Words on how the work is shared, done or counted."""
        if last is not None and ("together" in kinds or (self.section().share and kinds <= _EACH)):
            last.own = True
            return True
        if last is not None and self.section().share and self._done_by_each(kinds, last):
            return True
        if last is not None and (self._height_note(note, last) or self._turn_of_station(note, kinds, last)):
            return True
        if "last_open" in kinds and self._last_set_open(note):
            return True
        if {"per_side", "total"} <= kinds or ("per_round" in kinds and "add" in kinds):
            return True
        if {"manner", "equals"} <= kinds or self._turns_note(note, kinds):
            return True
        if "plate" in kinds and not kinds.isdisjoint(("bar", "raised")):
            return True
        several = self.current_group().rounds > 1 or (last is not None and last.amount is not None)
        if self.section().share and not kinds.isdisjoint(_EACH) and "rounds_head" in kinds and several:
            self.each_known = True
            return True
        return False

    def _done_by_each(self, kinds: set[str], last: StationDraft) -> bool:
        """`800 m run together (both run it all)`: said of this station, not of the shares of the others."""
        if "each_person" not in kinds or not kinds <= _BESIDE_EACH or not (last.own or "done" in kinds):
            return False
        last.own = True
        return True

    def _note_with_head(self, note: list[Item], kinds: set[str], last: StationDraft | None) -> bool:
        """A head, a movement or `each` in brackets."""
        loose = kinds.isdisjoint(_LOADED)
        if loose and not kinds.isdisjoint(HEADS):
            self.heads_in_note(note)
        elif "movement" in kinds:
            self._note_with_movement(note, last)
        elif loose and "each_person" in kinds:
            self.each_known = True
        else:
            return False
        return True

    def _sets_of_title(self, note: list[Item], segment: Segment) -> None:
        """`Accessory (3 sets, each side):`: so many rounds of what follows."""
        sets = [item.value for item in note if item.kind == "nsets"]
        if len(sets) == 1 and segment.strong and not segment.content and self.current_group().rounds == 1:
            self.current_group().rounds = sets[0]

    def _ladder_note(self, note: list[Item], last: StationDraft | None) -> bool:
        """`(21-15-9)` ahead of the stations."""
        ladder = next((item for item in note if item.kind == "amount" and len(item.value.steps) > 1), None)
        group = self.current_group()
        if ladder is None or last is not None:
            return False
        if group.scheme is not None and group.scheme.steps[0] != ladder.value.steps[0]:
            return False
        group.scheme, group.scheme_at = ladder.value, (ladder.start, ladder.end)
        return True

    def _pair_in_note(self, amount: Amount, last: StationDraft) -> bool:
        """`10 thrusters (2x20)`, `press 5-3-1 (50-55-60)`: what is held, its unit left out."""
        known = last.amount
        row = known is not None and len(amount.steps) == len(known.steps) > 2 and amount.sets == known.sets == 1
        if row and last.load is None and last.needs_load and amount.steps[0].value >= _LIGHTEST_BAR:
            last.load = Load(amount.steps, "")
            return True
        if amount.sets != 2 or not _is_pair(amount, last):
            return False
        last.load = Load(amount.steps, "", count=2)
        return True

    def _each_told(self, kinds: set[str]) -> bool:
        """`(= 10 each)`: the share of each, which follows from the whole."""
        told = not kinds.isdisjoint(_EACH) and kinds <= _SHARE_OF_EACH
        if told and "amount" in kinds and self.section().share:
            self.each_known = True
            return True
        return False

    def _remark_on(self, note: list[Item], kinds: set[str], counts: list[Item], last: StationDraft) -> bool:
        """Many words, several counts or a tempo: nothing that changes the station; or its unit, or a bare figure."""
        if "total" not in kinds and sum(item.kind == "word" for item in note) > 2:
            return True
        if counts and self.section().share and not kinds.isdisjoint(_EACH):
            self.each_known = True
            return True
        if len(counts) > 1 or "and_so_on" in kinds or (counts and self.is_tempo(counts[0])):
            return True
        if len(note) > 1:
            return False
        return self._lone_unit(note, last) or (bool(counts) and self._bare_figure(last, counts[0]))

    def _count_note(self, note: list[Item], kinds: set[str], counts: list[Item], last: StationDraft) -> bool:
        """A count beside the one of the station: its half for a side, or its total."""
        if not counts:
            return False
        count = counts[0]
        amount = last.amount
        if count.kind == "amount" and count.value.sides == 2:
            return True
        if amount is not None and count.value.sides == 2 and _half_of(count.value, amount):
            last.amount = replace(amount, steps=count.value.steps, unit=count.value.unit, sides=2)
            return True
        if amount is None or not amount.steps or not kinds.isdisjoint(("load", "xload", "height", "quote")):
            return not kinds.isdisjoint(("per_side", "per_hand"))
        if self._pair_in_note(count.value, last):
            return True
        whole = (amount.steps[0].value, float(amount.sets))
        half = bool(count.value.steps) and count.value.steps[0].value * 2 in whole
        if half and kinds & _OF_SIDES:
            last.side = last.side or "alternating"
        elif not kinds & _OF_SIDES:
            self._total(count, last, note)
        return True


def _is_pair(amount: Amount, station: StationDraft) -> bool:
    """`thrusters (2x20)`: two of so much, where a load is wanted and none is told."""
    plain = amount.measure == "reps" and amount.sets in (1, 2) and len(amount.steps) == 1 and amount.sides == 1
    return plain and station.load is None and station.needs_load and amount.steps[0].value >= _LIGHTEST_BELL


_COUNTS = frozenset(["reps_word", "rounds", "sets", "per_round", "per_set", "every", "emom", "ladder", "movement"])


def _without_same_counts(note: list[Item]) -> list[Item]:
    """`(same numbers every round)`: the counts stay, and nothing is said of a load."""
    at = next((place for place, item in enumerate(note) if item.kind == "same"), None)
    behind = note[at + 1] if at is not None and at + 1 < len(note) else None
    if behind is None or not (behind.kind in _COUNTS or behind.word in trade()["same_counts"]["words"]):
        return note
    return note[:at] if any(item.kind in (*AMOUNTS, "load", "height") for item in note[:at]) else []


_SECONDS = {"s": 1.0, "min": 60.0, "h": 3600.0}


def _half_of(one: Amount, whole: Amount) -> bool:
    """`40 s side plank (20 s each side)`: the same told for each side."""
    if one.measure != whole.measure or whole.sides > 1 or len(one.steps) != 1 or len(whole.steps) != 1:
        return False
    half = one.steps[0].value * _SECONDS.get(one.unit, 1.0)
    return abs(2 * half - whole.steps[0].value * _SECONDS.get(whole.unit, 1.0)) < 1e-9


def _tells_unit(note: list[Item], kinds: set[str]) -> bool:
    """`(every calorie = 1 rep)`: how the units are counted."""
    counts = [item for item in note if item.kind in AMOUNTS]
    one = bool(counts) and bool(counts[-1].value.steps) and counts[-1].value.steps[0].value == 1
    return "equals" in kinds and "movement" not in kinds and one and note[0].kind != "equals" and len(note) > 2
