"""Loads told apart from the stations they are for: of a bar, of certain sets, in one unit for all."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.drafts import StationDraft
from keelmark.notation.items import Item
from keelmark.notation.mentions import Mentions
from keelmark.notation.merging import seconds_of, whole_number
from keelmark.notation.schemes import ALL
from keelmark.notation.segments import Segment
from keelmark.notation.trade import trade
from keelmark.notation.tree import Amount, Load

__all__ = ["ToldLoads"]


_SETS_AT_LOAD = frozenset(
    ["hash", "sets", "rounds", "minute", "waves", "amount", "load", "at", "with", "of", "colon", "equals"]
)


_BESIDE_HELD = frozenset(["equals", "at", "of", "word", "with", "ellipsis"])
_SET_NAMES = frozenset(["hash", "sets", "rounds", "minute", "waves"])
_SETS_AT_AN_END = frozenset(
    [
        *("dur", "load", "amount", "nsets", "rounds_head", "word", "for_word", "of", "at", "with", "to", "wearing"),
        *("sets", "rounds", "waves", "a", "start_at", "letter", "last_set", "cash_out", "during", "minute", "instead"),
    ]
)


_HELD_ALIKE = {
    "bar": ("barbell",),
    "kettlebell": ("kettlebell",),
    "kettlebells": ("kettlebell",),
    "dumbbell": ("dumbbell",),
    "dumbbells": ("dumbbell",),
    "ball": ("ball", "medicine_ball"),
    "sandbag": ("sandbag",),
}


def _level_named(items: list[Item]) -> str:
    """The level that `L1` or `Level 2` names at the start of some items, or nothing."""
    if len(items) < 2 or items[1].kind != "amount":
        return ""
    short = items[0].kind == "letter" and items[0].word in ("l", "n", "s") and not items[1].spaced
    number = whole_number(items[1])
    return f"{number}" if number and (short or items[0].word in trade()["levels"]["words"]) else ""


def _set_name_first(items: list[Item]) -> list[Item]:
    """`@ 77.5 kg for sets 1-5` in the order of `sets 1-5 @ 77.5 kg`."""
    place = next((at for at, item in enumerate(items) if item.kind == "load"), len(items))
    behind = [item for item in items[place + 1 :] if item.kind not in ("for_word", "wearing", "during", "word")]
    load_first = [item.kind for item in behind[:2]] == ["sets", "amount"] or (
        len(behind) > 1 and behind[0].kind in _SET_NAMES and behind[1].kind == "amount"
    )
    if not load_first or any(item.kind not in ("at", "with") for item in items[:place]):
        return items
    return [*behind, *items[: place + 1]]


def _count_of(item: Item) -> int | None:
    return item.value if isinstance(item.value, int) else whole_number(item)


class ToldLoads(Mentions):
    """Gives loads that stand alone to the stations they belong to."""

    def _unit_behind_bracket(self, segment: Segment) -> None:
        """`60/40 (scaled 45/30) kg`: the unit behind the bracket is for the figure before it and the one inside."""
        for at in range(1, len(segment.items)):
            unit = self.lexicon.units.get(segment.items[at].word)
            before = segment.items[at - 1]
            if unit is None or unit.measure != "mass" or before.kind != "amount" or before.value.sets > 1:
                continue
            segment.items[at - 1] = replace(before, kind="load", value=Load(before.value.steps, unit.name))
            del segment.items[at]
            for note in segment.notes:
                for place, item in enumerate(note):
                    if item.kind == "amount" and item.value.sets == 1 and item.parts:
                        note[place] = replace(item, kind="load", value=Load(item.value.steps, unit.name))
            return

    def _unit_line(self, segment: Segment) -> bool:
        """`all numbers in kg`: the unit of every load without one."""
        alone = 1 < len(segment.items) <= 6 and not segment.content and not segment.notes
        return alone and self._unit_for_all(segment.items, self.last_station())

    def _held_by_all(self, items: list[Item], kinds: set[str]) -> bool:
        """`Bar = 80/55 kg` behind the stations: for all of them that hold it and have no load."""
        if kinds.isdisjoint(_HELD_ALIKE):
            return False
        held = next((item.kind for item in items if item.kind in _HELD_ALIKE), None)
        load = next((item for item in items if item.kind in ("load", "xload")), None)
        if held is None or load is None or not kinds <= {held, load.kind, *_BESIDE_HELD}:
            return False
        value = load.value if load.kind == "load" else replace(load.value[1], count=int(load.value[0]))
        movements = self.lexicon.catalogue.movements
        lacking = [
            station
            for group in self.section().groups
            for station in group.stations
            if station.load is None
            and station.needs_load
            and movements[station.movement].implement in _HELD_ALIKE[held]
        ]
        for station in lacking:
            station.load = value
        return bool(lacking)

    def _loads_of_sets(self, items: list[Item], kinds: set[str]) -> bool:
        """`#1-4 at 60 kg, #5-8 at 67.5 kg`: which sets are done at which load."""
        last = self.last_station()
        if last is not None and self._loads_at_an_end(items, kinds, last):
            return True
        items = _set_name_first(items)
        kinds = {item.kind for item in items}
        named = bool(items) and (items[0].kind in _SET_NAMES or (bool(self.loads_of_sets) and self._counts_on(items)))
        if last is None or not named or not {"amount", "load"} <= kinds <= _SETS_AT_LOAD:
            return False
        places = next(item.value for item in items if item.kind == "amount")
        load = next(item.value for item in items if item.kind == "load")
        if len(places.steps) != 1 or places.sets > 1 or len(load.steps) != 1:
            return False
        first, end = int(places.steps[0].value), int(places.steps[0].top or places.steps[0].value)
        self.loads_of_sets.update(dict.fromkeys(range(first, min(end, 60) + 1), load))
        self._give_loads_of_sets(last)
        return True

    def _loads_of_sets_behind(self, items: list[Item]) -> int:
        """`... split jerk @ 77.5 kg for sets 1-5`: where the load begins that is only for some sets; 0 without one."""
        if len(items) < 4 or items[-1].kind != "amount" or items[-2].kind not in _SET_NAMES:
            return 0
        place = next((at for at in range(len(items) - 3, 0, -1) if items[at].kind == "load"), 0)
        between = {item.kind for item in items[place + 1 : -2]}
        if not place or not between <= {"for_word", "at", "wearing", "during", "word", "of"}:
            return 0
        start = place - 1 if items[place - 1].kind in ("at", "with") else place
        return start if any(item.kind == "movement" for item in items[:start]) else 0

    def _counts_on(self, items: list[Item]) -> bool:
        """`sets 1-3 @ 70 %, 4-6 @ 75 %`: the sets after those that were named before."""
        figure = items[0].value
        if items[0].kind != "amount" or figure.sets != 1 or len(figure.steps) != 1:
            return False
        return bool(figure.steps[0].value == max(self.loads_of_sets) + 1)

    def _of_level(self, segment: Segment) -> bool:
        """`L1 40 kg / 40 cm, L2 60 kg / 50 cm`: a load and a height for each level, told in one line."""
        items = segment.items
        label = _level_named(items)
        if not label and (self.level_at[1] != segment.line or not self.level_at[0]):
            return False
        told = [item for item in (items[2:] if label else items) if item.kind not in ("at", "equals", "of")]
        waits = label and not told and segment.after in ("colon", "equals")
        if self.last_station() is None or segment.notes or not (told or waits):
            return False
        if any(item.kind not in ("load", "height") for item in told) or (waits and not self._figure_follows(segment)):
            return False
        name = label or self.level_at[0]
        self.level_at = (name, segment.line)
        load, height = self.of_levels.get(name, (None, None))
        load = next((item.value for item in told if item.kind == "load"), load)
        self.of_levels[name] = (load, next((item.value for item in told if item.kind == "height"), height))
        return True

    def _figure_follows(self, segment: Segment) -> bool:
        following = self.following()
        kinds = {item.kind for item in following.items} if following is not None else set()
        return following is not None and following.line == segment.line and bool(kinds) and kinds <= {"load", "height"}

    def _loads_at_an_end(self, items: list[Item], kinds: set[str], last: StationDraft) -> bool:
        """`60 kg for the first 3 sets, 70 kg for the last 2`: the sets of a load, counted from one end."""
        words = {item.word for item in items}
        ends = trade()["ends_of_sets"]
        loads = [item.value for item in items if item.kind == "load"]
        counts = [item for item in items if item.kind in ("amount", "nsets", "rounds_head", "dur")]
        if len(loads) != 1 or len(counts) != 1 or not kinds <= _SETS_AT_AN_END or len(loads[0].steps) != 1:
            return False
        number = self._windows_in(counts[0]) if counts[0].kind == "dur" else _count_of(counts[0])
        total = self._sets_in_all(last)
        if number is None or not 0 < number < total or words.isdisjoint((*ends["first"], *ends["last"])):
            return False
        begins = 1 if not words.isdisjoint(ends["first"]) else total - number + 1
        self.loads_of_sets.update(dict.fromkeys(range(begins, begins + number), loads[0]))
        self._give_loads_of_sets(last)
        return True

    def _windows_in(self, item: Item) -> int | None:
        """How many windows of the section a time is: `the first five minutes`."""
        seconds, window = seconds_of(item), self.section().window
        return int(seconds / window) if seconds and window and seconds % window == 0 else None

    def _sets_in_all(self, last: StationDraft) -> int:
        """How many sets, rounds or windows the station before is done in."""
        section, group = self.section(), self.current_group()
        total = section.windows or (group.rounds if group.rounds > 1 else 0)
        if not total and section.seconds and section.window:
            total = int(section.seconds / section.window)
        return total or (last.amount.sets * len(last.amount.steps) if last.amount is not None else 0)

    def _give_loads_of_sets(self, last: StationDraft) -> None:
        """Hand the loads out once every set has one."""
        group, total = self.current_group(), self._sets_in_all(last)
        if total < 2 or set(self.loads_of_sets) != set(range(1, total + 1)):
            return
        movements = self.lexicon.catalogue.movements
        loads = [self.loads_of_sets[number] for number in range(1, total + 1)]
        for station in group.stations:
            could_be = self.lexicon.doubt(station.word, self.language) or ()
            if station.load is None and (station.needs_load or any(movements[n].load == "needs" for n in could_be)):
                station.load = replace(loads[0], steps=tuple(load.steps[0] for load in loads))
        self.loads_of_sets = {}

    def _plates_under_bar(self, items: list[Item], kinds: set[str]) -> bool:
        """`bar on two 10 kg plates so it starts about 5 cm higher`: how the bar lies, not what is lifted."""
        raised = "plate" in kinds and not kinds.isdisjoint(("bar", "raised")) and "movement" not in kinds
        if not raised or self.last_station() is None:
            return False
        self.comments.append((items[0].start, items[-1].end))
        return True

    def _complex_head(self, items: list[Item]) -> None:
        """`Complex x 5 @ 60 kg:` above its movements: one of each, so many times."""
        group = self.current_group()
        group.load = next((item.value for item in items if item.kind == "load"), None)
        times = next((item.value for item in items if item.kind == "amount" and len(item.value.steps) == 1), None)
        sets = next((item.value for item in items if item.kind == "nsets"), None)
        if sets is not None:
            segment, following = self.segments[self.at], self.segments[self.at + 1]
            here = following.line == segment.line and any(item.kind == "amount" for item in following.items)
            group.rounds, group.inline = sets, segment.line if here else -2
        elif times is not None and times.sets == 1 and any(item.kind == "times" for item in items):
            group.rounds, group.inline = int(times.steps[0].value), -2

    def _last_set_open(self, items: list[Item]) -> bool:
        """`3x5 @ 110 kg, last set to failure`: one set less as written, and one whose count the score tells."""
        last = self.last_station()
        amount = last.amount if last is not None else None
        if last is None or amount is None or amount.open or amount.sets * len(amount.steps) < 2:
            return False
        again = replace(last, amount=Amount(amount.measure, amount.unit, open=True, sides=amount.sides))
        again.load = last.load
        if last.load is not None and len(last.load.steps) > 1:
            steps = last.load.steps
            again.load = replace(last.load, steps=steps[-1:]) if len(steps) == len(amount.steps) else None
            last.load = replace(last.load, steps=steps[:-1]) if len(steps) == len(amount.steps) else last.load
        again.start, again.end, again.segment = items[0].start, items[-1].end, self.at
        if amount.sets > 1:
            last.amount = replace(amount, sets=amount.sets - 1)
        else:
            last.amount = replace(amount, steps=amount.steps[:-1])
        self.current_group().stations.append(again)
        return True

    def _load_for_all(self, items: list[Item]) -> list[Item]:
        """`squat 3x8, bench 3x8, row 3x8 all @ 60 kg`: the load is for every station of the group."""
        place = next((at for at, item in enumerate(items) if at and item.word in ALL), None)
        load = next((item for item in items[place or 0 :] if item.kind == "load"), None)
        if place is None or load is None:
            return items
        self.current_group().load_for_all = load.value
        return [item for item in items[:place] if item is not load]
