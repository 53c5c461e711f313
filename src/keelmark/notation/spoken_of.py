"""Names that stand apart from their work: in a title, in the sentence before, or for what is held."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.counts import AMOUNTS
from keelmark.notation.items import Item
from keelmark.notation.notes import Notes
from keelmark.notation.segments import Segment
from keelmark.notation.trade import trade

__all__ = ["SpokenOf"]

_BELLS = ("dumbbell", "dumbbells", "kettlebell", "kettlebells")


class SpokenOf(Notes):
    """Gives figures the name, and names the bell, that was told before them."""

    def _said_again(self, segment: Segment, items: list[Item]) -> bool:
        """`Both of you row in each round.`, `Drop the bar between deadlifts.`: names of work that was read before."""
        named = {item.value for item in items if item.kind == "movement"}
        if not named or not segment.strong or self.current_group().scheme is not None or segment.after == "colon":
            return False
        words = sum(item.kind in ("word", "each_person", "wearing", "to", "at", "of") for item in segment.items)
        read = {s.movement for section in self.sections for g in section.groups for s in g.stations if s.amount}
        return words > 1 and named <= read and self.pending is None

    def _sprints_of_machine(self, items: list[Item]) -> list[Item]:
        """`Bike erg: 6 sprints.`: how often on the machine that was named."""
        named, movements = self.mentioned, self.lexicon.catalogue.movements
        place = next((at for at, item in enumerate(items) if item.kind == "movement" and item.value == "sprint"), None)
        if place is None or named is None or "calories" not in movements[named.value].measures:
            return items
        if [item.kind for item in items] != ["amount", "movement"]:
            machine = replace(items[place], value=named.value, word=named.word)
            return [*items[:place], machine, *items[place + 1 :]]
        sets = Item("nsets", items[0].start, items[0].end, max(1, int(items[0].value.steps[0].value)))
        return [Item("movement", items[1].start, items[1].end, named.value, named.word), sets]

    def _bell_of_title(self, segment: Segment, items: list[Item]) -> bool:
        """`KETTLEBELL 24 kg` above the work: what is held in all of it."""
        if len(items) != 2 or not segment.starts_line or (segment.content and self._figures_follow(segment)):
            return False
        loads = [item for item in items if item.kind in ("load", "xload")]
        held = [i for i in items if any(r in _BELLS for r in i.roles) and (i.kind in _BELLS or self._role_is_whole(i))]
        alone = len(loads) == len(held) == 1 and len(items) == 2 and segment.starts_line
        alone = alone and self.current_group().scheme is None and self.section().fresh
        if not alone or segment.after not in ("newline", "colon") or self.last_station() is not None or segment.notes:
            return False
        self.bell = "dumbbell" if any("dumbbell" in role for role in held[0].roles) else "kettlebell"
        load = loads[0].value if loads[0].kind == "load" else replace(loads[0].value[1], count=int(loads[0].value[0]))
        self.carried.append((load, self.bell, self.current_group()))
        return True

    def _with_bell(self, items: list[Item]) -> list[Item]:
        """`10 cleans` under a title that names a bell: the movement with that bell, where there is one."""
        out: list[Item] = []
        for at, item in enumerate(items):
            bell = (self.bell or self._bell_behind(items, at)) if item.kind == "movement" and item.word else ""
            words = [bell, *item.word.split()] if bell else []
            found = self.lexicon.movement(words, 0, self.language) if words else None
            whole = found is not None and found[1] == len(words)
            out.append(replace(item, value=found[0], word=" ".join(words)) if found is not None and whole else item)
        return out

    def _bell_behind(self, items: list[Item], at: int) -> str:
        """`thrusters with 2 dumbbells of 15 kg`: the bell that a lift of the barbell is done with instead."""
        movements = self.lexicon.catalogue.movements
        if movements[items[at].value].implement != "barbell":
            return ""
        for item in items[at + 1 :]:
            held = next((role for role in item.roles if role in _BELLS), "")
            if held:
                return held.removesuffix("s")
            if item.kind == "movement":
                break
        return ""

    def _figures_follow(self, segment: Segment) -> bool:
        following = self.following()
        if following is None or following.line != segment.line or following.content:
            return False
        return any(item.kind in AMOUNTS for item in following.items)

    def _as_implement(self, segment: Segment, items: list[Item]) -> list[Item]:
        """`24 kg KB: 100 swings`, `RDL 3x8, KB 20 kg`: what is held, where no count stands beside it."""
        kinds = {item.kind for item in items}
        if kinds.isdisjoint(("load", "xload")):
            return items
        last = self.last_station()
        beside = last is not None and last.line == segment.line and last.load is None and last.amount is not None
        if (segment.after != "colon" and not beside) or self._figures_follow(segment):
            return items
        if kinds.isdisjoint(("load", "xload")) or not kinds.isdisjoint((*AMOUNTS, "max", "nsets", "building", "rm")):
            return items
        out: list[Item] = []
        for item in items:
            bell = item.kind == "movement" and self._role_is_whole(item)
            held = next((role for role in item.roles if role in _BELLS), "") if bell else ""
            out.append(replace(item, kind=held) if held else item)
        return out

    def _of_mention(self, segment: Segment, items: list[Item]) -> list[Item]:
        """`Today we squat. Five sets of five at 100 kg.`: the work of what the sentence before only spoke of."""
        named, self.mentioned = self.mentioned or self._relay_of(segment, items), None
        counted = any(i.kind in AMOUNTS and (i.value.sets > 1 or i.kind in ("dist", "cals")) for i in items)
        alone = all(item.kind != "word" or item.word in self.lexicon.idle for item in items[:1])
        if named is None or not counted or not alone or any(item.kind == "movement" for item in items):
            return items
        if any(item.content and item.line == segment.line for item in self.segments[self.at + 1 : self.at + 2]):
            return items
        self.own_next = self.own_next or any("each_person" in item.roles for item in segment.items)
        return [Item("movement", named.start, named.end, named.value, named.word, named.roles), *items]

    def _relay_of(self, segment: Segment, items: list[Item]) -> Item | None:
        """`Relay: each 2 x 400 m`: metres of a relay without a movement are run."""
        relay = trade()["relay"]
        if not any(item.kind == "dist" for item in items) or self.last_content >= 0:
            return None
        if self.relay is None:
            words = {word for part in self.segments for item in part.items for word in item.word.split()}
            self.relay = not words.isdisjoint(relay["words"])
        if not self.relay:
            return None
        return Item("movement", items[0].start, items[0].start, relay["movement"], relay["movement"])
