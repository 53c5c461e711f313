"""What is said beside the work: rests, remarks, totals, shares of a team, and what is not done today."""

from __future__ import annotations

from keelmark.notation.counts import AMOUNTS
from keelmark.notation.heads import HEADS
from keelmark.notation.items import Item
from keelmark.notation.merging import seconds_of
from keelmark.notation.partners import Partners
from keelmark.notation.segments import Segment
from keelmark.notation.trade import trade

__all__ = ["Remarks"]


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


_PAUSES = frozenset(["pause", "pausa", "rest", "rest_mark", "hold", "halten", "manten", "segura", "tenir"])
"""What a line begins with that tells of a pause within reps."""


_TOLD = frozenset([*AMOUNTS, "movement", "total", "word", "of"])


_GREETED = frozenset(["greeting", "movement", "word", "team", "each_person", "men", "women", "letter", "of", "at"])
"""Kinds that a greeting is made of: nobody is told to do anything by it."""


class Remarks(Partners):
    """Takes out what is no work."""

    def _greeting(self, segment: Segment) -> bool:
        """`Good morning team!`, `Salut la team !`: said before the work, whatever else its words may name."""
        items = segment.items
        if self.sections and self.greeted < 0:
            return False
        if items and self.greeted == segment.line and {item.kind for item in items} <= _GREETED - {"movement"}:
            return not segment.notes
        if not items or "greeting" not in items[0].roles or self.sections or segment.after == "colon":
            return False
        named = [item for item in items if item.kind == "movement"]
        if {item.kind for item in items} <= _GREETED and all("greeting" in item.roles for item in named):
            self.greeted = segment.line if segment.after == "comma" else -1
            alone = len(items) == 1 and items[0].kind == "movement" and segment.after == "newline"
            return not (alone and self._bare_figures_follow())
        return False

    def _bare_figures_follow(self) -> bool:
        """The next line has figures and no movement of its own."""
        following = self.following()
        return following is not None and not following.content and any(i.kind in AMOUNTS for i in following.items)

    def _pause(self, segment: Segment, kinds: set[str]) -> bool:
        """`15 s between reps`, `2 min between efforts`: a rest, though nobody says so."""
        items = segment.items
        if "movement" in kinds and self._held_for(segment, items):
            return True
        if "dur" not in kinds or len(items) < 2 or items[0].kind != "dur" or self.last_station() is None:
            return False
        if self._held_in_rep(segment, items):
            return True
        walked = all(item.value in ("walk", "ruck") for item in items if item.kind == "movement")
        return (
            any(item.kind == "between" for item in items[1:])
            and walked
            and (segment.content or items[1].kind == "between")
        )

    def _held_for(self, segment: Segment, items: list[Item]) -> bool:
        """`pause 3 s on every bird dog`: how a movement read before is done, no work of its own."""
        if not segment.starts_line or not (items[0].word in _PAUSES or items[0].kind in _PAUSES):
            return False
        named = {item.value for item in items if item.kind == "movement"}
        if any(item.kind in AMOUNTS and item.kind != "dur" for item in items) or segment.notes:
            return False
        read = {station.movement for group in self.section().groups for station in group.stations}
        if not named <= read:
            return False
        self.comments.append((items[0].start, items[-1].end))
        return True

    def _held_in_rep(self, segment: Segment, items: list[Item]) -> bool:
        """`Front squat, 3 s pause in the hole: 4x3`: how each rep is done."""
        if segment.content or len(items) < 2 or items[0].kind != "dur" or items[0].value.sets > 1:
            return False
        last, held = self.last_station(), trade()["held_in_rep"]
        if last is None:
            return False
        counted = self.lexicon.catalogue.movements[last.movement].measures[0] == "reps"
        if not counted or (seconds_of(items[0]) or 0.0) > held["most_seconds"]:
            return False
        named = any(word in held["words"] for item in items[1:4] for word in item.word.split())
        if not named or any(item.kind in AMOUNTS or item.kind == "load" for item in items[1:]):
            return False
        self._passed_over(items)
        return True

    def _each_share(self, segment: Segment) -> bool:
        """`everyone rows 4`, `deux chacun`, `jeder zweimal`: which part of shared work each person does."""
        items = segment.items
        last = self.last_station()
        if not items or not (self.section().share or items[0].kind == "rounds_head"):
            return False
        if len(items) <= 6 and [item.kind for item in items if item.kind in ("rounds_head", "equals", "each")] == [
            "rounds_head",
            "equals",
            "rounds_head",
            "each",
        ]:
            self._rounds(next(item.value for item in items if item.kind == "rounds_head"), segment)
            self.each_known = True
            return True
        if last is None or not self.section().share or segment.notes or len(items) > 5:
            return False
        each = items[0].kind == "every" and "each_person" in items[0].roles
        kinds = {item.kind for item in items[1 if each else 0 :]}
        named = [item for item in items if item.kind == "movement"]
        whole = self.current_group().rounds
        whole = last.amount.sets if each and whole == 1 and last.amount is not None else whole
        heads = [item.value for item in items if item.kind == "rounds_head" and isinstance(item.value, int)]
        counts = [item.value for item in items if item.kind == "amount" and len(item.value.steps) == 1]
        if len(items) == 2 and "each" in kinds and counts and last.amount is not None:
            own, whole = max(1, int(counts[0].steps[0].value)), last.amount.sets
            if whole > own and whole % own == 0:
                self.each_known = True
                return True
        turns = heads[0] if heads and (each or any("each_person" in item.roles for item in items)) else 0
        if turns > 1 and whole in (1, turns) and kinds <= _SHARE_TOLD and self._own_turns(turns, named):
            return True
        part = "each" in kinds and bool(heads) and whole > heads[0] > 0 and whole % heads[0] == 0
        told = (part or each or any("each_person" in item.roles for item in items)) and kinds <= _SHARE_TOLD
        counted = not kinds.isdisjoint(("amount", "rounds_head", "repeat"))
        if not told or not counted or any(item.value != last.movement for item in named):
            return False
        self.each_known = True
        return True

    def _rounds_of_one(self, segment: Segment) -> bool:
        """`A does rounds 1, 3, 5; B does rounds 2, 4, 6`: all rounds dealt out, to each as many."""
        items = [item for item in segment.items if item.kind not in ("word", "to", "of")]
        person = next((item for item in items[-3:-2] if item.kind in ("letter", "at") and len(item.word) == 1), None)
        if person is None or [item.kind for item in items[-2:]] != ["rounds", "amount"] or segment.content:
            return False
        shared = self.section().share or any(item.kind == "team" for item in items)
        if not shared or len(items[-1].value.steps) < 2 or items[-1].value.sets > 1:
            return False
        self.turns_of[person.word] = len(items[-1].value.steps)
        segment.items = segment.items[: segment.items.index(person)]
        if len(self.turns_of) == (self.people or 2) and len(set(self.turns_of.values())) == 1:
            self.each_known = True
        return not segment.items

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
        if (
            self._swaps_places(segment, kinds)
            or self._beside_partner(segment, kinds)
            or self._one_round_each(segment, kinds)
        ):
            return True
        greets = items and ("greeting" in items[0].roles or self.greeted == segment.line)
        if greets and self._greeting(segment):
            self.comments.append((items[0].start, items[-1].end))
            return True
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
