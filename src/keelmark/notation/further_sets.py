"""More of the station before: a further set, a further rung, the other side, the machine once more."""

from __future__ import annotations

import itertools
from dataclasses import replace

from keelmark.notation.drafts import StationDraft
from keelmark.notation.items import Item
from keelmark.notation.schemes import Schemes
from keelmark.notation.segments import Segment
from keelmark.notation.trade import trade
from keelmark.notation.tree import Amount, Load, Quantity

__all__ = ["FurtherSets"]


class FurtherSets(Schemes):
    """Makes one more set or station of figures that have no name of their own."""

    def is_tempo(self, item: Item) -> bool:
        """Is a figure a tempo such as 31X1? Brackets tell."""
        raise NotImplementedError

    def _tempo_alone(self, items: list[Item], counts: list[Item], last: StationDraft | None) -> bool:
        """`4 sets of 6, 32X0`: how fast, for nobody does 32 sets of none."""
        if len(counts) != 1 or last is None or last.amount is None or not self.is_tempo(counts[0]):
            return False
        amount: Amount = counts[0].value
        if amount.sets < 20 or len(amount.steps) != 1 or amount.steps[0].value > 5:
            return False
        if last.load is not None and last.amount.sets == len(last.amount.steps) == 1:
            return False  # `70x3, 75x3, 80x2`: one set at each load
        load = next((item.value for item in items if item.kind == "load"), None)
        last.load = last.load or load
        return True

    def _continues_ladder(self, segment: Segment, items: list[Item], last: StationDraft) -> bool:
        """`10 in round one, then 12, 14, 16 ...`: the rungs behind the first."""
        amount, more = last.amount, items[0].value
        if items[0].kind != "amount" or amount is None or amount.sets > 1 or len(amount.steps) != 1:
            return False
        if more.sets > 1 or len(more.steps) < 2 or any(item.kind == "load" for item in items):
            return False
        if segment.line != last.line or amount.measure != more.measure or segment.starts_line:
            return False
        values = [amount.steps[0].value, *(step.value for step in more.steps)]
        if len({after - before for before, after in itertools.pairwise(values)}) > 1 or values[0] == values[1]:
            return False
        last.amount = replace(amount, steps=(*amount.steps, *more.steps), continues=more.continues)
        goes_on = any(item.kind == "ellipsis" for item in items)
        self.section().continues = self.section().continues or goes_on
        return True

    def _machine_again(self, segment: Segment, items: list[Item], item: Item) -> bool:
        """`bike 30 cal, then 3 rounds of 12 cal + ...`, `then another 500 m`: on the machine named before."""
        amount: Amount = item.value
        if item.kind not in ("cals", "dist") or amount.sets > 1 or len(amount.steps) != 1:
            return False
        groups = (group for section in reversed(self.sections) for group in reversed(section.groups))
        before = itertools.islice((s for group in groups for s in reversed(group.stations)), 40)
        movements = self.lexicon.catalogue.movements
        machine = next((s for s in before if movements[s.movement].category == "monostructural"), None)
        if machine is None:
            return False
        words = {word for other in items for word in other.word.split()}
        group = self.current_group()
        anew = (
            group.rounds > 1
            and not group.stations
            and not group.scheme
            and segment.after in ("plus", "comma", "sslash")
        )
        again = not words.isdisjoint(trade()["machine_again"]["words"]) and segment.line == machine.line
        same = machine.amount is not None and machine.amount.measure == amount.measure
        if not same or not (anew or again) or any(other.kind in ("each", "per", "total", "load") for other in items):
            return False
        station = StationDraft(machine.movement, items[0].start, items[-1].end, segment.line, amount, word=machine.word)
        station.segment = self.at
        group.stations.append(station)
        return True

    def _other_side(self, segment: Segment, items: list[Item], last: StationDraft) -> bool:
        """`lateral hops 10 + 10`: the same count once more, for the other side."""
        amount = last.amount
        plain = amount is not None and amount.sides == 1 and amount.sets == 1
        same = plain and amount is not None and items[0].value == replace(amount, sides=1)
        named = len(items) == 2 and items[1].word in trade()["sides"]["words"]
        tied = "plus" in segment.before or (named and "comma" in segment.before)
        if not same or len(items) > 2 or not tied or segment.line != last.line or amount is None:
            return False
        if len(items) == 2 and not named and items[1].kind not in ("reps_word", "per_side", "word", "side"):
            return False
        last.amount = replace(amount, sides=2)
        return True

    def _with_load_behind_at(
        self, items: list[Item], counts: list[Item], last: StationDraft
    ) -> tuple[list[Item], list[Item]]:
        """`5 reps at 70 kg, 4 at 75, 3 at 80`: the loads behind the first, in its unit."""
        if [item.kind for item in items] != ["amount", "at", "amount"] or last.load is None or last.amount is None:
            return items, counts
        figure: Amount = items[2].value
        if last.load.unit not in ("kg", "lb", "percent") or figure.sets > 1 or len(figure.steps) != 1:
            return items, counts
        load = replace(items[2], kind="load", value=Load(figure.steps, last.load.unit))
        return [items[0], items[1], load], counts[:1]

    def _wave_again(self, items: list[Item], last: StationDraft) -> bool:
        """`3-2-1 @ 80/85/90 kg, then 3-2-1 @ 82.5/87.5/92.5 kg`, `repeat the wave @ ...`: the waves one by one."""
        load = next((item.value for item in items if item.kind == "load"), None)
        count = next((item.value for item in items if item.kind == "amount"), None)
        amount, before = last.amount, last.load
        if load is None or amount is None or before is None or len(amount.steps) < 2 or len(load.steps) < 2:
            return False
        if len(load.steps) != len(amount.steps) or len(before.steps) != len(load.steps) or load.unit != before.unit:
            return False
        if count is not None and (count.sets > 1 or len(count.steps) != len(amount.steps)):
            return False
        group = self.current_group()
        group.rounds = 1 if group.waves else group.rounds
        again = replace(last, start=items[0].start, end=items[-1].end, load=load, segment=self.at)
        again.amount = replace(amount, steps=count.steps) if count is not None else amount
        group.stations.append(again)
        return True

    def _open_at_load(self, segment: Segment, items: list[Item], last: StationDraft) -> bool:
        """`5 x 42.5 kg, AMRAP x 45 kg`: one more set, at a load, to the end."""
        load = next((item.value for item in items if item.kind == "load"), None)
        if load is None or last.amount is None or not any(item.kind == "max" for item in items):
            return False
        again = StationDraft(last.movement, items[0].start, items[-1].end, last.line, word=last.word)
        again.amount, again.load, again.segment, again.side = Amount(open=True), load, self.at, last.side
        self.current_group().stations.append(again)
        return True

    def _one_more_load(self, segment: Segment, items: list[Item], last: StationDraft) -> bool:
        """`jerk x 1: 145 lb, 155 lb`: the same again at another load."""
        load, amount = items[0].value, last.amount
        if len(items) != 1 or items[0].kind != "load" or "comma" not in segment.before or segment.line != last.line:
            return False
        if last.load is None or amount is None or amount.sets > 1 or len(amount.steps) != 1 or amount.open:
            return False
        if (
            load.unit != last.load.unit
            or load.unit not in ("kg", "lb", "percent")
            or load.added
            or load.count != last.load.count
        ):
            return False
        last.load = replace(last.load, steps=(*last.load.steps, *load.steps))
        return True

    def _further_load(self, segment: Segment, items: list[Item], last: StationDraft) -> bool:
        """`12 x 50 kg, 10 x 55 kg`: one more set at another load."""
        item = next((item for item in items if item.kind == "xload"), None)
        if item is None or last.load is None or last.amount is None or item.value[0] <= 2:
            return False
        number, load = item.value
        if number >= 20 and len(load.steps) == 1 and load.steps[0].value < number:
            item.value = (load.steps[0].value, replace(load, steps=(Quantity(number),)))
        again = StationDraft(last.movement, item.start, item.end, segment.line, word=last.word)
        again.segment, again.side = self.at, last.side
        again.amount = Amount(steps=(Quantity(item.value[0]),))
        again.load = item.value[1]
        self.current_group().stations.append(again)
        return True

    def _dropped_load(self, segment: Segment, items: list[Item], counts: list[Item], last: StationDraft) -> bool:
        """`strip the bar to 50 kg and do 12 more`: a further set at less."""
        load = next((item.value for item in items if item.kind == "load"), None)
        if load is None or counts or last.load is None or not any("less" in item.roles for item in items):
            return False
        again = StationDraft(last.movement, items[0].start, items[-1].end, segment.line, word=last.word)
        again.load, again.segment, again.side = load, self.at, last.side
        again.amount = Amount(open=True) if any(item.kind == "max" for item in items) else None
        if not any("to" in item.roles or "for_word" in item.roles for item in items):
            if load.unit != last.load.unit or len(last.load.steps) > 1:
                return False
            lower = last.load.steps[0]
            if lower.value <= load.steps[0].value:
                return False
            again.load = replace(last.load, steps=(Quantity(lower.value - load.steps[0].value),))
        self.current_group().stations.append(again)
        return True

    def _load_list(self, last: StationDraft, item: Item) -> bool:
        """`40, 45, 50 - 2 reps each`: the list that stood as the amount is the loads."""
        listed = last.amount
        if listed is None or len(listed.steps) < 2 or last.load is not None or listed.measure != "reps":
            return False
        last.load = Load(listed.steps, "")
        last.amount = replace(item.value, sets=1)
        last.end = item.end
        return True
