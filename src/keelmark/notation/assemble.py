"""From segments to sections, groups and stations: which head governs what, and what belongs to the station before."""

from __future__ import annotations

import itertools
from dataclasses import replace

from keelmark.notation.drafts import GroupDraft, StationDraft
from keelmark.notation.heads import HEADS
from keelmark.notation.items import Item
from keelmark.notation.mentions import Mentions
from keelmark.notation.schemes import ALL
from keelmark.notation.segments import Segment
from keelmark.notation.stations import AMOUNTS, apply_figures, open_amount, pieces_of, station_of
from keelmark.notation.tree import Amount, Load, Quantity

__all__ = ["Assembler"]

_FIGURES = AMOUNTS | {"load", "xload", "height", "quote"}


_SHARE_TOLD = frozenset(
    [
        "each_person",
        "each",
        "per_person",
        "own",
        "in_turn",
        "amount",
        "rounds_head",
        "repeat",
        "movement",
        "word",
        "of",
        "times",
    ]
)


_MARKS = frozenset(["times", "other", "blank", "bullet", "query", "about", "hash", "slash", "dash", "squote", "dquote"])
"""A mark alone between two separators says nothing."""


_TOLD = frozenset([*AMOUNTS, "movement", "total", "word", "of"])


_SETS_AT_LOAD = frozenset(
    ["hash", "sets", "rounds", "minute", "waves", "amount", "load", "at", "with", "of", "colon", "equals"]
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


class Assembler(Mentions):
    """Takes segments in order and builds the drafts."""

    def run(self) -> None:
        """Read all segments."""
        for at, segment in enumerate(self.segments):
            self.at = at
            self.segment(segment)
            if self.muted and segment.items:
                self.comments.append((segment.items[0].start, segment.items[-1].end))

    def segment(self, segment: Segment) -> None:
        """Read one segment."""
        if segment.strong:
            self.pending_when = None
            self.muted = False
            self.scaling = self.options_from >= 0 and segment.line == self.options_from + 1
            self.options_from = segment.line if self.scaling else -1
        if segment.group == "close":
            self.close_group()
            return
        if len(segment.items) == 1 and not segment.notes and segment.items[0].kind in _MARKS:
            return
        kinds = {item.kind for item in segment.items}
        if "no_vest" in kinds:
            self.unvested = True
        for item in segment.items:
            if item.kind == "load" and "empty_bar" in item.roles:
                self.find("empty_bar", item.start, item.end, words=self.text[item.start : item.end])
        if "ladder" in kinds:
            self.section().ladder = True
        if "skip" in kinds or "rest_day" in kinds:
            self.muted = True
            self._skipped(segment)
        if self._remark(segment, kinds):
            return
        if self.muted:
            return
        if "scaled" in kinds or "instead" in kinds or self.scaling or "or" in segment.before:
            self.scaled(segment.items, ("scaled" in kinds and segment.items[0].kind == "scaled") or self.scaling)
            following = self.segments[self.at + 1] if self.at + 1 < len(self.segments) else None
            headed = segment.after == "colon" and not segment.content and segment.items[0].kind == "scaled"
            if headed and following is not None and following.starts_line:
                self.options_from = segment.line
            self.scaling = self.scaling or (segment.items[0].kind == "scaled" if segment.items else False)
            return
        if segment.items and not segment.content and segment.items[0].kind in ("ellipsis", "and_so_on"):
            self.section().continues = True
            last = segment.items[-1]
            if "minute" in kinds and last.kind == "amount" and self.section().windows is None:
                self.section().windows = int(last.value.steps[0].value)
                return
        if "negative" in kinds:
            self._negative(segment)
            return
        segment.items = _without_blank(segment.items)
        if segment.notes:
            self._unit_behind_bracket(segment)
        if self._pause(segment) or self._each_share(segment) or self._unit_line(segment):
            return
        items = self.heads(segment)
        if items or segment.notes:
            self.content(segment, items)

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

    def _pause(self, segment: Segment) -> bool:
        """`15 s between reps`, `2 min between efforts`: a rest, though nobody says so."""
        items = segment.items
        if len(items) < 2 or items[0].kind != "dur" or self.last_station() is None:
            return False
        walked = all(item.value in ("walk", "ruck") for item in items if item.kind == "movement")
        return (
            any(item.kind == "between" for item in items[1:])
            and walked
            and (segment.content or items[1].kind == "between")
        )

    def _each_share(self, segment: Segment) -> bool:
        """`everyone rows 4`, `deux chacun`, `jeder zweimal`: which part of shared work each person does."""
        items = segment.items
        last = self.last_station()
        if len(items) <= 6 and [item.kind for item in items if item.kind in ("rounds_head", "equals", "each")] == [
            "rounds_head",
            "equals",
            "rounds_head",
            "each",
        ]:
            self._rounds(items[0].value, segment)
            self.each_known = True
            return True
        if last is None or not self.section().share or segment.notes or len(items) > 5:
            return False
        kinds = {item.kind for item in items}
        named = [item for item in items if item.kind == "movement"]
        whole = self.current_group().rounds
        heads = [item.value for item in items if item.kind == "rounds_head" and isinstance(item.value, int)]
        counts = [item.value for item in items if item.kind == "amount" and len(item.value.steps) == 1]
        if len(items) == 2 and "each" in kinds and counts and last.amount is not None:
            own, whole = max(1, int(counts[0].steps[0].value)), last.amount.sets
            if whole > own and whole % own == 0:
                self.each_known = True
                return True
        part = "each" in kinds and bool(heads) and whole > heads[0] > 0 and whole % heads[0] == 0
        told = (part or any("each_person" in item.roles for item in items)) and kinds <= _SHARE_TOLD
        counted = not kinds.isdisjoint(("amount", "rounds_head", "repeat"))
        if not told or not counted or any(item.value != last.movement for item in named):
            return False
        self.each_known = True
        return True

    def _negative(self, segment: Segment) -> None:
        """A minus sign in front of a count: the station it belongs to is not used."""
        item = next(item for item in segment.items if item.kind == "negative")
        self.find("negative_number", item.start, item.end, figure=self.text[item.start : item.end])
        last = self.last_station()
        if any(item.kind in HEADS for item in segment.items):
            self.new_section().dropped = True
        elif not segment.content and last is not None and last.line == segment.line:
            last.dropped = True

    def _skipped(self, segment: Segment) -> None:
        """What stands before "skip today" on the same line is not done."""
        group = self.current_group()
        while group.stations and group.stations[-1].line == segment.line and not segment.starts_line:
            if group.stations[-1].amount is not None:
                break
            group.stations.pop()

    def _remark(self, segment: Segment, kinds: set[str]) -> bool:
        items = segment.items
        if not items or "remark" not in kinds:
            return False
        place = next(at for at, item in enumerate(items) if item.kind == "remark")
        if "that_is" in items[place].roles and self._total_told(items[place + 1 :]):
            return True
        if place == 0 or "equals" in kinds:
            self.muted = True
            return True
        self.muted = True
        segment.items = items[:place]
        return False

    def _total_told(self, items: list[Item]) -> bool:
        """`5 sets of 20, i.e. 100 swings`: a total stated of the station before."""
        last = self.last_station()
        counts = [item for item in items if item.kind in AMOUNTS]
        named = [item for item in items if item.kind == "movement"]
        if last is None or len(counts) != 1 or not {item.kind for item in items} <= _TOLD:
            return False
        if any(item.value != last.movement for item in named) or not (named or "reps" in counts[0].parts):
            return False
        self._total(counts[0], last, items)
        return True

    def content(self, segment: Segment, items: list[Item]) -> None:
        """Stations, or figures for the station before."""
        sets = sets_in_a_row(items) if len(items) > 6 else []
        if len(sets) > 1:
            bare = replace(segment, notes=[])
            for part in sets[:-1]:
                self.content(bare, part)
            self.content(segment, sets[-1])
            return
        kinds = {item.kind for item in items}
        if self._loads_of_sets(items, kinds) or self._plates_under_bar(items, kinds) or self._held_by_all(items, kinds):
            return
        if (
            "complex" in kinds
            and segment.after == "colon"
            and kinds <= {"complex", "times", "amount", "load", "at", "of"}
        ):
            self._complex_head(items)
            return
        if len(items) == 1 and kinds <= {"after", "between"} and segment.after in ("comma", "colon"):
            self.pending_when = items[0]
            return
        if "movement" not in kinds and self.last_station() is None:
            items = self._named_by_implement(items)
            kinds = {item.kind for item in items}
        if kinds <= {"max", "word", "of", "for_word"} and "max" in kinds and self.section().fresh:
            self.open_measure = open_amount(items, self.lexicon)
            ahead = [s for s in self.segments[self.at : self.at + 3] if s.line == segment.line and not s.content]
            self.open_line = segment.line if any(s.after == "colon" for s in ahead) else -1
        elif "movement" in kinds:
            self._stations(segment, items)
        elif "building" in kinds and self.section().fresh and not segment.notes:
            self._build_ahead(items)
        elif not kinds.isdisjoint(_FIGURES) or not kinds.isdisjoint(
            (
                "per_side",
                "rise",
                "start_load",
                "building",
                "max",
                "after",
                "per_hand",
                "same",
                "top_set",
                "single",
                "double",
                "triple",
                "alternating",
                "times",
                "per",
                "rating",
                "nsets",
                "rm",
            )
        ):
            if not self._unknown(segment, items):
                self._figures(segment, items)
        elif not self._unknown(segment, items) and items and self.last_station() is not None:
            self._lone_unit(items, self.section_last())
        for note in segment.notes:
            if note:
                self.note(note, segment)

    def _held_by_all(self, items: list[Item], kinds: set[str]) -> bool:
        """`Bar = 80/55 kg` behind the stations: for all of them that hold it and have no load."""
        held = next((item.kind for item in items if item.kind in _HELD_ALIKE), None)
        load = next((item for item in items if item.kind in ("load", "xload")), None)
        if held is None or load is None or not kinds <= {held, load.kind, "equals", "at", "of", "word", "with"}:
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
        named = items[0].kind in ("hash", "sets", "rounds", "minute", "waves") if items else False
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

    def _give_loads_of_sets(self, last: StationDraft) -> None:
        """Hand the loads out once every set has one."""
        section, group = self.section(), self.current_group()
        total = section.windows or (group.rounds if group.rounds > 1 else 0)
        if not total and section.seconds and section.window:
            total = int(section.seconds / section.window)
        total = total or (last.amount.sets * len(last.amount.steps) if last.amount is not None else 0)
        if total < 2 or set(self.loads_of_sets) != set(range(1, total + 1)):
            return
        loads = [self.loads_of_sets[number] for number in range(1, total + 1)]
        for station in group.stations:
            if station.load is None and station.needs_load:
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
        if times is not None and times.sets == 1 and any(item.kind == "times" for item in items):
            group.rounds, group.inline = int(times.steps[0].value), -2

    def _build_ahead(self, items: list[Item]) -> None:
        """`In 10 minutes find a heavy double, front squat`: the movement follows."""
        item = next(item for item in items if item.kind == "building")
        amount = Amount(steps=(Quantity(float(item.value)),), open=True)
        self.pending = Item("amount", item.start, item.end, amount)

    def _named_by_implement(self, items: list[Item]) -> list[Item]:
        """`24 kg KBS x 50`: with no other movement, the short name is one after all."""
        for at, item in enumerate(items[:-1]):
            if item.kind in ("kettlebells", "dumbbells", "kettlebell", "dumbbell") and items[at + 1].kind == "word":
                text = f"{item.word} {items[at + 1].word}"
                guess = self.lexicon.likely(text)
                if guess is not None:
                    made = Item("movement", item.start, items[at + 1].end, guess, text)
                    self.find("read_as", made.start, made.end, word=self.text[made.start : made.end], movement=guess)
                    return [*items[:at], made, *items[at + 2 :]]
        for at, item in enumerate(items):
            if item.parts and item.kind in ("kettlebells", "dumbbells", "kettlebell", "dumbbell"):
                named = Item("movement", item.start, item.end, item.parts[0], item.word)
                return [*items[:at], named, *items[at + 1 :]]
        return items

    def _stations(self, segment: Segment, items: list[Item]) -> None:
        if not {"per", "ratio"}.isdisjoint(item.kind for item in items) and self._swap(items):
            return
        header = segment.after in ("colon",) and any(item.kind in ("complex", "ladder", "drop_set") for item in items)
        behind = self.segments[self.at + 1 : self.at + 4]
        if header and any(
            later.content and later.line == segment.line and all(item.kind != "after" for item in later.items)
            for later in behind
        ):
            self._complex_head(items)
            return
        if not any(
            item.kind in _FIGURES
            or item.kind in ("max", "building", "nsets", "amrap_head", "rm", "single", "double", "triple")
            for item in items
        ) and (self._bare_mention(segment, items) or self._names_the_list(segment)):
            return
        last = self.last_station()
        named = [item for item in items if item.kind == "movement"]
        if last is not None and last.parts and len(named) == 1 and "complex" in named[0].roles:
            self._figures(segment, [item for item in items if item is not named[0]])
            return
        items = self._percent_of_last(self._stated_total(self._mistyped(items)))
        if self._sets_of_singles(segment, items) or self._load_for_mention(items):
            return
        if segment.after == "colon" and any(item.kind == "total" for item in items) and self._figures_follow(segment):
            self.stated = next((item for item in items if item.kind in AMOUNTS), None)
            items = [item for item in items if item.kind not in AMOUNTS]
        items = self._load_for_all(items)
        for piece in pieces_of(items):
            station = station_of(piece, self.lexicon, segment.line, self.language in ("es", "fr", "pt"))
            if station is not None:
                self._place(station, segment)
        self._spread_counts(items)

    def _load_for_all(self, items: list[Item]) -> list[Item]:
        """`squat 3x8, bench 3x8, row 3x8 all @ 60 kg`: the load is for every station of the group."""
        place = next((at for at, item in enumerate(items) if at and item.word in ALL), None)
        load = next((item for item in items[place or 0 :] if item.kind == "load"), None)
        if place is None or load is None:
            return items
        self.current_group().load_for_all = load.value
        return [item for item in items[:place] if item is not load]

    def _spread_counts(self, items: list[Item]) -> None:
        """`clean pull + clean 5 x 1+1`: a count for each movement of the complex."""
        item = next((item for item in items if item.kind == "amount" and "plus" in item.parts), None)
        stations = self.current_group().stations
        values = next((part for part in item.parts if isinstance(part, tuple)), ()) if item is not None else ()
        if item is None or len(values) < 2 or len(stations) < len(values):
            return
        joined = stations[-len(values) :]
        if all(station.amount is None for station in joined[:-1]):
            for station, value in zip(joined, values, strict=True):
                station.amount = replace(item.value, steps=(Quantity(value),))

    def _place(self, station: StationDraft, segment: Segment) -> None:
        group = self.current_group()
        if "semicolon" in segment.before and group.commas and group.rounds > 1 and segment.line == group.inline:
            group.closed = True
        group.commas = group.commas or ("comma" in segment.before and bool(group.stations))
        if (
            group.closed
            or (
                group.inline >= 0
                and group.inline != segment.line
                and segment.starts_line
                and self._inline_over(group, station)
            )
            or self._ladder_over(group, station, segment)
        ):
            group = self.new_group()
        station.joined = "plus" if "plus" in segment.before else ("and" if "and" in segment.before else "")
        station.segment = self.at
        station.unvested = self.unvested
        station.level = segment.level
        if segment.group == "open":
            group.inline = -2
        if self.open_measure is not None:
            if station.amount is None or station.amount.measure == "duration_s":
                station.amount = self.open_measure
            if self.open_line != segment.line:
                self.open_measure = None
        if self.pending is not None:
            station.amount = station.amount or self.pending.value
            self.pending = None
        if self.pending_when is not None:
            apply_figures(station, [self.pending_when], -1, self.lexicon)
            self.pending_when = None
        station.own = self.own_next or self.own_rest
        self.own_next = False
        if group.per_side and station.side == "":
            station.side = "each"
        group.stations.append(station)
        if self.stated is not None:
            self.totals.append((station, group, self.stated))
            self.stated = None
        if self.interrupt:
            station.when = self.interrupt
            if any(item.kind == "start_at" for item in segment.items) and any(
                item.kind == "dur" and item.value.steps[0].value >= 1 for item in segment.items
            ):
                station.when = "each_minute_later"
            self.interrupt = ""

    def _ladder_over(self, group: GroupDraft, station: StationDraft, segment: Segment) -> bool:
        """`21-15-9 ring dips and swings` on one line is done before a line with a count of its own begins."""
        if not segment.starts_line or station.amount is None or station.when or not 2 <= len(group.stations) <= 12:
            return False
        first = next((s for s in group.stations if s.amount is not None and len(s.amount.steps) > 1), group.stations[0])
        behind = group.stations[group.stations.index(first) + 1 :]
        climbs = (first.amount is not None and len(first.amount.steps) > 1 and first.amount.sets == 1) or (
            first.amount is None and group.scheme is not None and len(group.scheme.steps) > 1
        )
        shared = bool(behind) and all(other.amount is None and other.line == first.line for other in behind)
        on_line = group.scheme is None or self._line_of(group.scheme_at[0]) == first.line
        return climbs and shared and on_line and segment.line > first.line and len(station.amount.steps) <= 1

    def _line_of(self, place: int) -> int:
        return self.text.count("\n", 0, place)

    def _inline_over(self, group: GroupDraft, new: StationDraft) -> bool:
        inline = sum(station.line == group.inline for station in group.stations)
        own_sets = new.amount is not None and (new.amount.sets > 1 or new.words_sets)
        return group.rounds > 1 and (inline >= 2 or (inline == 1 and own_sets))


def sets_in_a_row(items: list[Item]) -> list[list[Item]]:
    """`squat 3 @ 70 % 3 @ 75 % 2 @ 80 %`: cut before each further count that has a load of its own."""
    if sum(item.kind == "load" for item in items) < 2 or sum(item.kind == "movement" for item in items) > 1:
        return [items]
    cuts = [
        at
        for at in range(1, len(items) - 2)
        if items[at].kind == "amount"
        and items[at - 1].kind == "load"
        and items[at + 1].kind == "at"
        and items[at + 2].kind == "load"
    ]
    edges = [0, *cuts, len(items)]
    return [items[start:end] for start, end in itertools.pairwise(edges)]


def _without_blank(items: list[Item]) -> list[Item]:
    """`5 x ?`, `3 x __`: a count left open is no count."""
    for at, item in enumerate(items):
        if (
            item.kind in ("query", "blank")
            and at > 1
            and items[at - 1].kind == "times"
            and items[at - 2].kind == "amount"
        ):
            return items[: at - 2] + items[at + 1 :]
    return items
