"""Brackets behind a station, and the scaled options wherever they stand."""

from __future__ import annotations

import re
from dataclasses import replace

from keelmark.notation.counts import AMOUNTS, is_height
from keelmark.notation.drafts import StationDraft
from keelmark.notation.heads import HEADS
from keelmark.notation.items import Item
from keelmark.notation.loose_figures import LooseFigures
from keelmark.notation.segments import Segment
from keelmark.notation.station_figures import apply_figures
from keelmark.notation.stations import station_of
from keelmark.notation.tree import Height, Quantity

__all__ = ["Brackets"]

_FIGURES = AMOUNTS | {"load", "xload", "height", "quote"}
_TURNS_NOTE = frozenset(["amount", "interval", "minute", "rounds", "sets", "word", "odd", "even"])
_TEMPO = re.compile(r"[0-9]{2}[xX][0-9]|[0-9]{4}|[0-9xX](?:[-/.][0-9xX]){2,3}")


_UNIT_WORDS = frozenset(
    [
        *("word", "wearing", "at", "of", "mass", "height", "length", "done", "each_person", "total", "letter", "a"),
        *("manner", "comma", "for_word"),
    ]
)


def _paired(one: Quantity, other: Quantity, lighter: bool) -> Quantity:
    """A figure for both standards, of which the second was told for the lighter or for the heavier."""
    return Quantity(one.value, other.value) if lighter else Quantity(other.value, one.value)


class Brackets(LooseFigures):
    """Reads what stands in brackets and what stands in for a station."""

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
        if not section.alternate or len(turns) != 1 or not kinds <= _TURNS_NOTE or turns[0].sets > 1:
            return False
        numbers = [step.value for step in turns[0].steps]
        first = 1.0 + sum(len(group.stations) for group in section.groups) - 1
        return len(numbers) > 1 and numbers[0] == first and sorted(set(numbers)) == numbers

    def note(self, note: list[Item], segment: Segment) -> None:  # noqa: C901
        """A bracket behind a station: its load, height, side, total or scaled option; else a remark."""
        note = [replace(item, kind="target") if "target" in item.roles else item for item in note]
        kinds = {item.kind for item in note}
        before = self._station_before(note[0].start)
        if before is None and self._carried_standard(note, kinds):
            return
        if before is not None and self._other_standard(note, kinds, before):
            return
        if not kinds.isdisjoint(("scaled", "instead", "ratio")) or note[0].kind == "or":
            self.scaled(note, False)
            return
        last = self._station_before(note[0].start)
        note = [item for item in note if item.kind not in ("comma", "and", "sdash", "semicolon")]
        if len(note) == 2 and {note[0].kind, note[1].kind} == {"amount", "times"}:
            self._times_note(next(item for item in note if item.kind == "amount"), last, segment)
            return
        if self._unit_for_all(note, last):
            return
        if not note or "remark" in kinds or note[0].kind == "of" or self._rungs_by_round(note, kinds):
            return
        if last is not None and ("together" in kinds or (self.section().share and kinds <= {"each", "each_person"})):
            last.own = True
            return
        if last is not None and self._height_note(note, last):
            return
        if "last_open" in kinds and self._last_set_open(note):
            return
        if {"per_side", "total"} <= kinds or ("per_round" in kinds and "add" in kinds):
            return
        if {"manner", "equals"} <= kinds or self._turns_note(note, kinds):
            return
        if "plate" in kinds and not kinds.isdisjoint(("bar", "raised")):
            return
        several = self.current_group().rounds > 1 or (last is not None and last.amount is not None)
        if (
            self.section().share
            and not kinds.isdisjoint(("each", "each_person"))
            and "rounds_head" in kinds
            and several
        ):
            self.each_known = True
            return
        head = [item for item in note if item.kind in HEADS]
        if head and kinds.isdisjoint(("load", "xload", "height")):
            self.heads_in_note(note)
            return
        if "movement" in kinds:
            self._note_with_movement(note, last)
            return
        if "each_person" in kinds and kinds.isdisjoint(("load", "xload", "height")):
            self.each_known = True
            return
        ladder = next((item for item in note if item.kind == "amount" and len(item.value.steps) > 1), None)
        scheme = self.current_group().scheme
        ends = ladder is not None and scheme is not None and scheme.steps[0] == ladder.value.steps[0]
        if last is None and ladder is not None and (scheme is None or ends):
            self.current_group().scheme, self.current_group().scheme_at = ladder.value, (ladder.start, ladder.end)
            return
        told = not kinds.isdisjoint(("each", "each_person")) and kinds <= {
            *("equals", "of", "word"),
            "amount",
            "each",
            "each_person",
            "rounds",
            "times",
        }
        if told and "amount" in kinds and self.section().share:
            self.each_known = True
            return
        if last is None:
            self._before_stations([*segment.items, *note])
            return
        counts = [item for item in note if item.kind in AMOUNTS]
        if "total" not in kinds and sum(item.kind == "word" for item in note) > 2:
            return
        if counts and self.section().share and not kinds.isdisjoint(("each", "each_person")):
            self.each_known = True
            return
        if len(counts) > 1 or "and_so_on" in kinds or (counts and self.is_tempo(counts[0])):
            return
        if len(note) == 1 and self._lone_unit(note, last):
            return
        if len(note) == 1 and counts and self._bare_figure(last, counts[0]):
            return
        if counts and counts[0].kind == "amount" and counts[0].value.sides == 2:
            return
        if (
            counts
            and last.amount is not None
            and last.amount.steps
            and not kinds.intersection(("load", "xload", "height", "quote"))
        ):
            whole = (last.amount.steps[0].value, float(last.amount.sets))
            half = bool(counts[0].value.steps) and counts[0].value.steps[0].value * 2 in whole
            if half and kinds.intersection(("per_side", "side", "per_hand")):
                last.side = last.side or "alternating"
            elif not kinds.intersection(("per_side", "side", "per_hand")):
                self._total(counts[0], last, note)
            return
        if counts and not kinds.isdisjoint(("per_side", "per_hand")):
            return
        apply_figures(last, [item for item in note if item.kind != "plus"], -1, self.lexicon)
        last.end = max(last.end, note[-1].end)

    def _last_set_open(self, items: list[Item]) -> bool:
        """`last set to failure` behind sets with a count; told loads do it."""
        raise NotImplementedError

    def _rungs_by_round(self, note: list[Item], kinds: set[str]) -> bool:
        """`(one step of each per round)`: the ladders are climbed side by side."""
        if not any("rung" in item.roles for item in note) or kinds.isdisjoint(("per_round", "each", "per")):
            return False
        self.section().ladder = True
        return True

    def _other_standard(self, note: list[Item], kinds: set[str], last: StationDraft) -> bool:
        """`9 kg to 10 ft (6 kg to 9 ft for the ladies)`: the figures of the other standard."""
        named = kinds & {"women", "men", "heavier", "lighter"}
        if len(named) != 1 or "movement" in kinds:
            return False
        lighter = not named.isdisjoint({"women", "lighter"})
        done = False
        for item in note:
            if item.kind in ("load", "amount") and last.load is not None and len(last.load.steps) == 1:
                same = item.kind == "amount" or item.value.unit in (last.load.unit, "")
                step = item.value.steps[0] if item.value.steps else None
                if same and step is not None and last.load.steps[0].lighter is None:
                    last.load = replace(last.load, steps=(_paired(last.load.steps[0], step, lighter),))
                    done = True
            elif item.kind == "xload" and last.load is not None and len(last.load.steps) == 1:
                step = _paired(last.load.steps[0], item.value[1].steps[0], lighter)
                last.load, done = replace(last.load, steps=(step,)), True
            elif item.kind == "height" and last.height is not None and item.value.unit == last.height.unit:
                last.height = replace(last.height, value=_paired(last.height.value, item.value.value, lighter))
                done = True
            elif item.kind in ("dist", "cals") and last.amount is not None and last.amount.unit == item.value.unit:
                step = _paired(last.amount.steps[0], item.value.steps[0], lighter)
                last.amount, done = replace(last.amount, steps=(step, *last.amount.steps[1:])), True
        return done

    def _carried_standard(self, note: list[Item], kinds: set[str]) -> bool:
        """`60 kg on the bar (40 for the ladies)` in front of the stations."""
        named = kinds & {"women", "men", "heavier", "lighter"}
        figure = next((item for item in note if item.kind in ("load", "amount")), None)
        if len(named) != 1 or figure is None or not self.carried or not figure.value.steps:
            return False
        load, implement, group = self.carried[-1]
        if len(load.steps) != 1 or load.steps[0].lighter is not None:
            return False
        step = _paired(load.steps[0], figure.value.steps[0], not named.isdisjoint({"women", "lighter"}))
        self.carried[-1] = (replace(load, steps=(step,)), implement, group)
        return True

    def _unit_for_all(self, note: list[Item], last: StationDraft | None) -> bool:
        """`(kg)` in a title, `(all in kg)` behind a name: the unit of every load without one."""
        named = [self.lexicon.units[item.word] for item in note if item.word in self.lexicon.units]
        masses = [unit for unit in named if unit.measure == "mass"]
        alone = len(note) == 1 and bool(named) and (last is None or bool(masses))
        told = len(note) > 1 and all(item.kind in _UNIT_WORDS for item in note)
        if not alone and not (told and len(masses) == 1):
            return False
        self.default_unit = masses[0].name if masses else self.default_unit
        return True

    def _height_note(self, note: list[Item], last: StationDraft) -> bool:
        """`(45 cm bench)`, `(4 m)` behind a rope climb: a height, and the thing it is of."""
        named = [item for item in note if item.kind == "movement"]
        if any("box" not in item.roles for item in named):
            return False
        rest = [item for item in note if item.kind not in ("movement", "box", "target", "word", "of", "a")]
        if len(rest) != 1 or last.height is not None:
            return False
        if rest[0].kind == "height" and named:
            last.height = rest[0].value
            return True
        movement = self.lexicon.catalogue.movements[last.movement]
        if rest[0].kind == "dist" and not named and is_height(rest[0].value, movement, counted=last.amount is not None):
            last.height = Height(rest[0].value.steps[0], rest[0].value.unit)
            return True
        return False

    def _times_note(self, item: Item, last: StationDraft | None, segment: Segment) -> None:
        """`(5x)`: so many rounds of what follows, or sets of the station before."""
        figure = item.value.steps[0].value if item.value.steps else 1.0
        if self.section().fresh:
            self._rounds(int(figure), segment)
        elif last is not None and last.amount is not None:
            last.amount = replace(last.amount, sets=last.amount.sets * max(1, int(min(figure, 1e4))))

    def is_tempo(self, item: Item) -> bool:
        """`31X1` in a bracket: a tempo."""
        return bool(_TEMPO.fullmatch(self.text[item.start : item.end].strip()))

    def _note_with_movement(self, note: list[Item], last: StationDraft | None) -> None:
        kinds = {item.kind for item in note}
        if "equals" in kinds:
            return
        if "each_person" in kinds:
            self.each_known = True
            return
        if "per" in kinds and self._swap(note):
            return
        if last is not None and self._is_option(note, last):
            self.scaled(note, False)
            return
        movement = next(item for item in note if item.kind == "movement")
        counts = [item for item in note if item.kind in AMOUNTS]
        loads = [item for item in note if item.kind in ("load", "xload")]
        if (
            loads
            and last is not None
            and any(role in ("kettlebell", "kettlebells", "dumbbells", "dumbbell") for role in movement.roles)
        ):
            apply_figures(last, note, -1, self.lexicon)
        elif loads and not counts and loads[0].kind == "load":
            self.loads_for[movement.value] = loads[0].value
        elif counts and "total" in kinds and last is not None:
            self._total(counts[0], last, note)

    def _is_option(self, note: list[Item], last: StationDraft) -> bool:
        """`30 double-unders (60 singles)`: a known swap with a count of its own."""
        named = [item.value for item in note if item.kind == "movement"]
        counted = any(item.kind in AMOUNTS for item in note) and last.amount is not None
        swaps = self.lexicon.catalogue.movements[last.movement].swaps
        return counted and len(named) == 1 and any(swap.to == named[0] for swap in swaps)

    def scaled(self, items: list[Item], named: bool) -> None:
        """What stands in for a station when the scaled option is taken."""
        from_swap = self._swap(items)
        if from_swap:
            return
        target = self.last_station()
        movement = next((item for item in items if item.kind == "movement"), None)
        piece = station_of(items, self.lexicon, 0) if movement is not None else None
        self.options.append((target, piece, [item for item in items if item.kind in _FIGURES], items))

    def _stands_in(self, segment: Segment, kinds: set[str]) -> bool:
        """`ring rows for the pull-ups`: one for another; `9 reps for the last round` is no such thing."""
        if "instead" not in kinds:
            return False
        loose = all(item.word == "for the" for item in segment.items if item.kind == "instead")
        named = sum(item.kind == "movement" for item in segment.items)
        if loose and named < 2 and not kinds & {"load", "height"}:
            segment.items = [replace(i, kind="for_word") if i.kind == "instead" else i for i in segment.items]
            kinds.discard("instead")
            return False
        return True

    def _swapped_amount(self, items: list[Item], movements: list[Item]) -> bool:
        """`250 m row for each run`: what is done each time in place of the other."""
        target = next(
            (s for group in self.section().groups for s in group.stations if s.movement == movements[-1].value), None
        )
        place = items.index(movements[-1])
        piece = station_of([item for item in items[:place] if item.kind != "per"], self.lexicon, 0)
        self.options.append((target, piece, [item for item in items if item.kind in _FIGURES], items[: place - 1]))
        return True

    def _swap(self, items: list[Item]) -> bool:
        """`2 knee raises per toes-to-bar`, `ring rows instead of pull-ups`."""
        movements = [item for item in items if item.kind == "movement"]
        link = (
            next(
                (
                    item
                    for item in items
                    if item.kind in ("per", "instead", "each", "for_word", "equals") and item.start > movements[0].start
                ),
                None,
            )
            if movements
            else None
        )
        if len(movements) < 2 or link is None or not movements[0].start < link.start < movements[-1].start:
            return False
        if any(item.kind in ("dist", "cals", "dur") for item in items if item.start < movements[0].start):
            return self._swapped_amount(items, movements)
        count = next((item.value for item in items if item.kind == "amount" and item.start < movements[0].start), None)
        other = next(
            (item.value for item in items if item.kind == "amount" and link.start < item.start < movements[-1].start),
            None,
        )
        ratio = count.steps[0].value if count is not None and count.steps else 1.0
        ratio = next((item.value for item in items if item.kind == "ratio"), ratio)
        if other is not None and other.steps and other.steps[0].value:
            ratio /= other.steps[0].value
        self.swaps.append((movements[-1].value, movements[0].value, ratio))
        return True
