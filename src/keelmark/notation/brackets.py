"""What single brackets tell of a station, and the scaled options wherever they stand."""

from __future__ import annotations

import re
from dataclasses import replace

from keelmark.notation.counts import AMOUNTS, is_height
from keelmark.notation.drafts import StationDraft
from keelmark.notation.figures_alone import FiguresAlone
from keelmark.notation.items import Item
from keelmark.notation.load_builders import is_training_maximum
from keelmark.notation.segments import Segment
from keelmark.notation.station_figures import apply_figures
from keelmark.notation.stations import is_like, station_of
from keelmark.notation.trade import trade
from keelmark.notation.tree import Height, Quantity

__all__ = ["Brackets"]

_FIGURES = AMOUNTS | {"load", "xload", "height", "quote"}
_TEMPO = re.compile(r"[0-9]{2}[xX][0-9]|[0-9]{4}|[0-9xX](?:[-/.][0-9xX]){2,3}")


_SHORT_OF_A_REP = frozenset(["double", "single", "triple", "reps_word", "amount"])


_UNIT_WORDS = frozenset(
    [
        *("word", "wearing", "at", "of", "mass", "height", "length", "done", "each_person", "total", "letter", "a"),
        *("manner", "comma", "for_word"),
    ]
)


def _paired(one: Quantity, other: Quantity, lighter: bool) -> Quantity:
    """A figure for both standards, of which the second was told for the lighter or for the heavier."""
    return Quantity(one.value, other.value) if lighter else Quantity(other.value, one.value)


def _singles_of_rope(item: Item, target: StationDraft | None) -> Item:
    """`double-unders (scaled: singles 3:1)`: single-unders, no sets of one."""
    rope = item.kind == "single" and target is not None and target.movement == "double_under"
    return replace(item, kind="movement", value="single_under") if rope else item


_PERCENT_HEAD = frozenset(["percent", "of", "one_rm", "rm", "movement", "at", "word", "letter", "a"])


class Brackets(FiguresAlone):
    """Reads what stands in brackets and what stands in for a station."""

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

    def _training_maximum(self, items: list[Item], kinds: set[str]) -> bool:
        """`training max = 90 % of 1RM`, `TM 140 kg`: what the percentages of the text are of."""
        named = trade()["training_maximum"]["words"]
        spoken = [item.word for item in items if item.kind in ("one_rm", "load", "word")]
        told = any("tm" in words.split() or any(name in words for name in named) for words in spoken)
        loads = [item.value for item in items if item.kind == "load"]
        if not told or len(loads) != 1 or len(loads[0].steps) != 1 or "amount" in kinds or "movement" in kinds:
            return False
        if loads[0].unit not in ("percent", "kg", "lb"):
            return False
        self.training_max = loads[0]
        return True

    def _percent_of_all(self, segment: Segment, kinds: set[str]) -> None:
        """`TM squat 5x3 @ 75 %`, `% of TM: 5 @ 65`: what the percentages beside or below are of, and that they are."""
        masses = any(item.kind == "load" and item.value.unit != "percent" for item in segment.items)
        named = not kinds.isdisjoint(("movement", "amount")) or "load" not in kinds
        told = any(item.kind == "one_rm" and is_training_maximum(item.word) for item in segment.items)
        if told and named and not masses:
            self.training_max_lines.add(segment.line)
        if "percent" in kinds and kinds <= _PERCENT_HEAD and segment.after == "colon":
            self.default_unit = "percent"
            segment.items = [item for item in segment.items if item.kind != "rm"]

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
        note = note[next((at for at, item in enumerate(note) if item.kind == "query"), -1) + 1 :] or note
        kinds = {item.kind for item in note}
        if "equals" in kinds:
            self._total_of_same(note, last)
            return
        if "each_person" in kinds:
            self.each_known = True
            return
        if "per" in kinds and self._swap(note):
            return
        if last is not None and self._is_option(note, last):
            self.scaled(note, False)
            return
        movement = next((item for item in note if item.kind == "movement"), None)
        if movement is None:
            return
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

    def _total_of_same(self, note: list[Item], last: StationDraft | None) -> None:
        """`(= 52 ring rows altogether)` behind ring rows: a total that is held against the sets."""
        counts = [item for item in note if item.kind in AMOUNTS]
        named = [item for item in note if item.kind == "movement"]
        told = note[0].kind == "equals" and len(counts) == len(named) == 1
        if last is not None and told and named[0].value == last.movement:
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
            self._swap_with_part_ahead(items)
            return
        target = self.last_station()
        items = [_singles_of_rope(item, target) for item in items]
        movement = next((item for item in items if item.kind == "movement"), None)
        piece = station_of(items, self.lexicon, 0) if movement is not None else None
        self.options.append((target, piece, [item for item in items if item.kind in _FIGURES], items))

    def _swap_with_part_ahead(self, items: list[Item]) -> None:
        """`scaled: 3 pull-ups + 3 dips per muscle-up`: what stands before the plus is a part of the swap too."""
        tied = not self.segments[self.at].before.isdisjoint(("plus", "and"))
        if not tied or not self.options or not self.swaps or not any(item.kind in ("per", "each") for item in items):
            return
        _, piece, _, told = self.options[-1]
        if piece is None or piece.load is not None or "\n" in self.text[told[0].start : items[0].start]:
            return
        amount = piece.amount
        if amount is not None and amount.sets == 1 and len(amount.steps) == 1:
            self.options.pop()
            self.swaps.insert(-1, (self.swaps[-1][0], piece.movement, amount.steps[0].value))

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

    def _swap_for_each(self, items: list[Item], substitute: Item) -> bool:
        """`3 singles per double`, `2 ring rows for each`: of the station before, named in short or not at all."""
        place = items.index(substitute)
        behind = [item for item in items[place + 1 :] if item.kind not in ("a", "comma")]
        counts = [item for item in items[:place] if item.kind in ("amount", "ratio")]
        last = self.last_station()
        if last is None or len(counts) != 1 or last.movement == substitute.value or not behind:
            return False
        kinds = [item.kind for item in behind]
        if kinds[0] not in ("per", "each") or not set(kinds[1:]) <= _SHORT_OF_A_REP or len(kinds) > 2:
            return False
        figure = counts[0].value
        ratio = figure if counts[0].kind == "ratio" else (figure.steps[0].value if figure.steps else 0.0)
        if ratio:
            self.swaps.append((Item("movement", last.start, last.end, last.movement), substitute.value, ratio))
        return bool(ratio)

    def _whole_amount_instead(self, items: list[Item], movements: list[Item], link: Item) -> bool:
        """`9 pull-ups instead of the muscle-ups`: that many, not nine for each."""
        stations = [s for section in self.sections for group in section.groups for s in group.stations]
        target = next((s for s in stations if is_like(s.movement, movements[-1].value)), None)
        counts = [item for item in items if item.kind == "amount"]
        if target is None or target.amount is None or len(counts) != 1 or counts[0].start > movements[0].start:
            return False
        figure, before = counts[0].value, target.amount
        if any(item.kind in ("each", "per", "ratio") for item in items) or len(figure.steps) != 1 or figure.sets > 1:
            return False
        each = figure.steps[0].value
        if each <= 3 and any(step.value > each for step in before.steps):
            return False
        piece = station_of([item for item in items if item.start < link.start], self.lexicon, 0)
        if piece is None:
            return False
        piece.stands_for = target
        self.options.append((target, piece, counts, items))
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
        if len(movements) == 1 and self._swap_for_each(items, movements[0]):
            return True
        if len(movements) < 2 or link is None or not movements[0].start < link.start < movements[-1].start:
            return False
        if any(item.kind in ("dist", "cals", "dur") for item in items if item.start < movements[0].start):
            return self._swapped_amount(items, movements)
        if link.kind == "instead" and self._whole_amount_instead(items, movements, link):
            return True
        count = next((item.value for item in items if item.kind == "amount" and item.start < movements[0].start), None)
        other = next(
            (item.value for item in items if item.kind == "amount" and link.start < item.start < movements[-1].start),
            None,
        )
        ratio = count.steps[0].value if count is not None and count.steps else 1.0
        ratio = next((item.value for item in items if item.kind == "ratio"), ratio)
        if other is not None and other.steps and other.steps[0].value:
            ratio /= other.steps[0].value
        self.swaps.append((movements[-1], movements[0].value, ratio))
        for item in movements[1:-1]:
            place = items.index(item)
            counted = items[place - 1].kind == "amount" and len(items[place - 1].value.steps) == 1
            if item.start < link.start and counted and items[place - 2].kind in ("plus", "and", "comma"):
                each = items[place - 1].value.steps[0].value
                whole = other.steps[0].value if other is not None and other.steps else 1.0
                self.swaps.append((movements[-1], item.value, each / (whole or 1.0)))
        return True
