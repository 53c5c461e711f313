"""Partners told in sentences: who does what meanwhile, who swaps, and how often each of them goes."""

from __future__ import annotations

import itertools

from keelmark.notation.counts import AMOUNTS
from keelmark.notation.drafts import StationDraft
from keelmark.notation.items import Item
from keelmark.notation.known_beforehand import KnownBeforehand
from keelmark.notation.merging import whole_number
from keelmark.notation.segments import Segment

__all__ = ["Partners"]

_SWAP = frozenset(["scaled", "swaps", "then", "word", "and", "in_turn", "letter"])
_TURNS_TOLD = frozenset(
    [
        *("each_person", "each", "own", "amount", "rounds_head", "repeat", "nsets", "movement", "word", "of", "times"),
        *("to", "at", "until", "done", "letter", "a", "for_word", "side", "and", "every", "through_round", "in_turn"),
        *("team", "pairs", "with", "times_word", "rounds", "open_end", "per", "rest", "while", "ladder"),
    ]
)


_SENTENCE = frozenset(["rounds", "amount", "word", "of", "letter", "a", "done", "own", "each_person", "to", "at"])


class Partners(KnownBeforehand):
    """Reads what is said of the two or more who share the work."""

    def _swaps_places(self, segment: Segment, kinds: set[str]) -> bool:
        """`... then swap`: what one did, the other does now, so each does it all."""
        items = segment.items
        told = not kinds.isdisjoint(("scaled", "swaps")) and kinds <= _SWAP and len(items) <= 3
        if not told and self._greets_and_swaps(items):
            self.comments.append((items[0].start, items[-1].end))
            return True
        if not told or not self.section().share:
            return False
        if len(self.current_group().stations) > 1:
            self.section().share = "own"
        self.comments.append((items[0].start, items[-1].end))
        return True

    def _greets_and_swaps(self, items: list[Item]) -> bool:
        """`then high five and swap`: a number spelt in words counts nothing there."""
        shared = self.now is not None and bool(self.now.share)
        if not items or items[-1].kind not in ("scaled", "swaps") or not shared or len(items) > 6:
            return False
        spelt = all(self.text[i.start : i.end].isalpha() for i in items if i.kind == "amount")
        return spelt and all(item.kind in ("word", "amount", "and", "a", "letter") for item in items[:-1])

    def _one_round_each(self, segment: Segment, kinds: set[str]) -> bool:
        """`One of you does a whole round`: whose turn it is, told in a sentence."""
        items = segment.items
        if self.now is None or not self.now.share or segment.content or not segment.strong:
            return False
        if not {"rounds", "amount"} <= kinds:
            return False
        spelt = all(self.text[i.start : i.end].isalpha() for i in items if i.kind == "amount")
        worded = sum(item.kind == "word" for item in items) >= 2
        if not spelt or not worded or not kinds <= _SENTENCE:
            return False
        self.now.share = "turns" if self.now.share == "split" else self.now.share
        self.comments.append((items[0].start, items[-1].end))
        return True

    def _beside_partner(self, segment: Segment, kinds: set[str]) -> bool:
        """`... while the other rests`: nothing to count; a movement without an amount is work that no one counts."""
        others = bool(segment.items) and "others" in segment.items[0].roles
        others = others and self.now is not None and bool(self.now.share)
        meanwhile = "while" in segment.before or others
        if not meanwhile or not kinds.isdisjoint((*AMOUNTS, "max", "interval_head", "rounds_head")):
            return False
        named = next((item for item in segment.items if item.kind == "movement"), None)
        read = {station.movement for group in self.section().groups for station in group.stations}
        if named is not None and named.value not in read:
            self.find("unquantified_work", named.start, named.end, movement=named.value)
        if segment.items:
            self.comments.append((segment.items[0].start, segment.items[-1].end))
        return True

    def _of_each_person(self, station: StationDraft, segment: Segment) -> bool:
        """`50 burpees each` of a pair: each does them all."""
        if not self.section().share or station.amount is None:
            return False
        for item, following in itertools.pairwise(segment.items):
            if item.kind in ("nsets", "sets") and following.kind in ("each", "each_person"):
                return True  # `10 sets each of 3 power cleans`
        place = next((at for at, item in enumerate(segment.items) if item.kind == "movement"), len(segment.items))
        return any(item.kind in ("each", "each_person") for item in segment.items[place + 1 :])

    def _turns_of_each(self, segment: Segment, kinds: set[str]) -> bool:
        """`until both have done 5 runs`, `each of you rows four times`: what is written is one turn of each."""
        items = segment.items
        if self.now is None or not self.now.share or segment.notes or not kinds <= _TURNS_TOLD:
            return False
        if self.last_station() is None:
            return False
        roles = {role for item in items for role in item.roles}
        if roles.isdisjoint(("each_person", "each", "both")) and "until" not in kinds:
            return False
        turns = _turns(items)
        named = [item for item in items if item.kind == "movement"]
        if turns is None and "ladder" in kinds and not named:
            self.section().share = "own"
            return True
        if turns is None or (not named and not kinds & {"times", "times_word", "side", "rounds_head", "repeat"}):
            return False
        return self._own_turns(turns, named)

    def _own_turns(self, turns: int, named: list[Item]) -> bool:
        """`one rows 300 m, the other waits; each five times`: what is written is one turn, done so often by each."""
        stations = self.current_group().stations
        if not stations or any(item.value not in [station.movement for station in stations] for item in named):
            return False
        if any(station.amount is None or station.amount.sets > 1 for station in stations):
            return False
        self.section().share = "own"
        self.current_group().rounds = turns
        return True


def _turns(items: list[Item]) -> int | None:
    """The one whole number among some items."""
    counts = [item for item in items if item.kind in ("amount", "rounds_head", "nsets", "repeat")]
    if len(counts) != 1:
        return None
    value = counts[0].value
    turns = value if isinstance(value, int) else whole_number(counts[0])
    return turns if turns is not None and 2 <= turns <= 60 else None
