"""Figures that stand before their stations or for all of them: ladders, counts, loads in a header."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.counts import AMOUNTS
from keelmark.notation.drafts import GroupDraft, StationDraft
from keelmark.notation.heads import Heads
from keelmark.notation.items import Item
from keelmark.notation.segments import Segment
from keelmark.notation.tree import Amount

__all__ = ["ALL", "Schemes"]

ALL = frozenset(
    ["all", "everything", "alles", "alle", "todo", "todos", "todas", "tout", "toutes", "tous", "tudo", "both", "whole"]
)


_IMPLEMENT_KINDS = ("plate", "vest", "sandbag", "ball", "bar", "dumbbell", "dumbbells", "kettlebell", "kettlebells")


_HELD = frozenset([*_IMPLEMENT_KINDS, "box", "target", "men", "women"])


class Schemes(Heads):
    """Takes figures that are for a whole group."""

    def _is_scheme(self, segment: Segment, items: list[Item], counts: list[Item], last: StationDraft) -> bool:
        """A ladder on its own that all stations of the group share."""
        amount = counts[0].value
        lone = len(items) == 1 and len(amount.steps) == 1
        plain = len(counts) == 1 and (counts[0].kind == "amount" or lone) and amount.sets == 1
        if not plain or any(item.kind in ("load", "xload", "at", "building") for item in items):
            return False
        ladder = len(amount.steps) > 1 or amount.continues
        if (
            not ladder
            and segment.starts_line
            and segment.after == "newline"
            and len(items) == 1
            and last.amount is not None
        ):
            following = self.following()
            if (
                following is not None
                and following.content
                and not any(item.kind in AMOUNTS for item in following.items)
            ):
                return True
        if (ladder and segment.strong and segment.after == "colon" and last.amount is not None) or self._own_scheme(
            segment
        ):
            return True
        group = self.current_group()
        if group.stations and group.stations[-1] is last and not group.closed:
            return ladder and last.amount is None and segment.starts_line and self._more_follow(segment)
        return True

    def _own_scheme(self, segment: Segment) -> bool:
        """`10 to 1: push-ups. 1 to 10: sit-ups.`: a second ladder before a colon, behind the stations of the first."""
        group = self.current_group()
        return segment.strong and segment.after == "colon" and group.scheme is not None and bool(group.stations)

    def _more_follow(self, segment: Segment) -> bool:
        return self.at < self.last_content

    def _scheme(self, segment: Segment, items: list[Item], counts: list[Item], each: bool) -> None:
        group = self.current_group()
        item = counts[0]
        lone = len(items) == 1 and len(counts[0].value.steps) == 1 and segment.after == "newline"
        if group.stations and not self._is_open_scheme(group) and not lone:
            group = self.new_group()
        if (
            len(items) > 1
            and any(item.kind in _HELD for item in items)
            and len(counts[0].value.steps) == 1
            and segment.after != "times"
        ):
            return
        if (group.slots or group.parity) and not group.stations:
            group.bare.extend(count.value for count in counts)
            return
        amount: Amount = item.value
        if segment.after == "times" or (items[-1].kind == "times" and len(amount.steps) == 1):
            group.rounds = int(amount.steps[0].value)
            return
        if (
            segment.after == "newline"
            and len(items) == 1
            and len(amount.steps) == 1
            and not each
            and not amount.continues
        ):
            following = self.following()
            if (
                following is not None
                and following.content
                and not any(other.kind in AMOUNTS for other in following.items)
            ):
                self.pending = item
                return
        if not amount.steps:
            if amount.open and segment.after == "colon":
                self.open_measure, self.open_line = amount, segment.line
            return
        if any(other.kind == "per_side" for other in items):
            amount = replace(amount, sides=2)
        group.scheme = amount
        group.scheme_at = (item.start, item.end)
        load = next((other.value for other in items if other.kind == "load"), None)
        if load is not None:
            group.load = load

    def _is_open_scheme(self, group: GroupDraft) -> bool:
        return group.scheme is None and all(station.amount is None for station in group.stations)

    def _before_stations(self, items: list[Item]) -> None:
        """A load or side that stands before the stations it is for."""
        group = self.current_group()
        vest = any(item.kind == "vest" for item in items)
        named = ""
        for at, item in reversed([*enumerate(items)]):
            before = items[at - 1].kind if at else ""
            if not named and item.kind in ("load", "xload") and before in _IMPLEMENT_KINDS:
                named = before
            load = item.value[1] if item.kind == "xload" else item.value
            if item.kind in _IMPLEMENT_KINDS or item.kind in ("box", "target"):
                named = item.kind
            elif item.kind == "xload":
                self.carried.append((replace(load, count=int(item.value[0])), named, group))
            elif item.kind == "load":
                self.carried.append((load, "vest" if vest else named, group))
            elif item.kind == "height" and named in ("box", "target", ""):
                self.raised.append((item.value, named, group))
            elif item.kind == "per_side":
                group.per_side = True
            elif item.kind == "alternating":
                self.section().alternate = True

    def _for_all(self, items: list[Item]) -> bool:
        """`all @ 60 kg` after the list, `each side` after it, `6 sets @ 60 kg` behind a complex."""
        stations = self.current_group().stations
        load = next((item for item in items if item.kind == "load"), None)
        if (
            items[0].kind == "nsets"
            and load is not None
            and len(stations) > 1
            and all(s.load is None for s in stations)
        ):
            self.current_group().load = load.value
            self.current_group().rounds = items[0].value
            return True
        if items[0].word not in ALL:
            return False
        group = self.current_group()
        for item in items:
            if item.kind == "load":
                group.load = item.value
            elif item.kind == "per_side":
                for station in group.stations:
                    station.side = station.side or "each"
        return True
