"""Loads and heights told apart from their work: `thrusters 40/30 kg, box 60/50 cm` above or below what is done."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.counts import AMOUNTS
from keelmark.notation.drafts import GroupDraft, StationDraft
from keelmark.notation.items import Item
from keelmark.notation.segments import Segment
from keelmark.notation.told_loads import ToldLoads
from keelmark.notation.tree import Height, Load

__all__ = ["LoadLegends"]

_FIGURES = frozenset(["load", "xload", "height", "quote"])
_THINGS = frozenset(["box", "target"])
_BESIDE = frozenset(
    [
        *_FIGURES,
        *_THINGS,
        "movement",
        "at",
        "of",
        "equals",
        "with",
        "for_word",
        "a",
        "to",
        "bar",
        "dumbbell",
        "dumbbells",
        "kettlebell",
        "kettlebells",
        "ball",
        "per_hand",
        "each",
        "pair_of",
        "wearing",
    ]
)


class LoadLegends(ToldLoads):
    """Gives a load that stands beside a name and no count to the work of that name."""

    def _legend_of_loads(self, segment: Segment, items: list[Item], kinds: set[str]) -> bool:
        """`WB 9/6 kg` behind `20 wall balls`, or in front of it: no work of its own."""
        if segment.notes or not kinds.isdisjoint(AMOUNTS):
            return False
        named = [item for item in items if item.kind == "movement"]
        figures = self._figures_of_legend(segment, items, kinds)
        if len(named) != 1 or not figures or not {item.kind for item in items} <= _BESIDE:
            return False
        own = self._read_without_load(named[0], figures)
        if not own and not self._counted_later(segment, named[0]):
            return False
        self._give_legend(named[0], figures, own)
        return True

    def _figures_of_legend(self, segment: Segment, items: list[Item], kinds: set[str]) -> list[Item]:
        """The loads and heights beside the name, or behind its colon."""
        figures = [item for item in items if item.kind in _FIGURES]
        if figures or segment.after not in ("colon", "sdash", "equals") or "movement" not in kinds:
            return figures
        following = self.following()
        if following is None or following.line != segment.line or following.content or following.notes:
            return []
        behind = [item for item in following.items if item.kind in _FIGURES]
        if not behind or not {item.kind for item in following.items} <= _BESIDE or following.after == "colon":
            return []
        named = next(item for item in items if item.kind == "movement")
        if self._read_without_load(named, behind) or self._counted_later(segment, named):
            following.items = []
            return behind
        return []

    def _read_without_load(self, named: Item, figures: list[Item]) -> list[StationDraft]:
        """The stations of that name that have a count and wait for a load or a height."""
        group = self.current_group()
        if group.scheme is not None and not any(s.movement == named.value for s in group.stations):
            return []
        loaded = any(item.kind in ("load", "xload") for item in figures)
        found = []
        for section in self.sections:
            for other in section.groups:
                found += [s for s in other.stations if s.movement == named.value and _has_count(s, other)]
        lacking = [s for s in found if (s.load if loaded else s.height) is None]
        return lacking if len(lacking) == len(found) else []

    def _counted_later(self, segment: Segment, named: Item) -> bool:
        """The name comes again with a count, and nothing gives this mention one."""
        group = self.current_group()
        if group.scheme is not None or group.rounds > 1 or self.pending is not None:
            return False
        following = self.segments[self.at + 1 : self.at + 3]
        if any(not later.content and _counts(later) for later in following[:1]):
            return False
        return any(
            later.line > segment.line
            and _counts(later)
            and any(item.kind == "movement" and item.value == named.value for item in later.items)
            and not any(item.kind in _FIGURES for item in later.items)
            for later in self.segments[self.at + 1 :]
        )

    def _give_legend(self, named: Item, figures: list[Item], own: list[StationDraft]) -> None:
        for item in figures:
            if item.kind == "height":
                self._raise_named(named.value, item.value, own)
            elif item.kind == "quote":
                steps, sign = item.value
                self._raise_named(named.value, Height(steps[0], "ft" if sign == "'" else "in"), own)
            else:
                load: Load = item.value if item.kind == "load" else replace(item.value[1], count=int(item.value[0]))
                self.loads_for[named.value] = load
        self.comments.append((named.start, max(named.end, *(item.end for item in figures))))

    def _raise_named(self, movement: str, height: Height, own: list[StationDraft]) -> None:
        self.heights_for[movement] = height
        for station in own:
            station.height = station.height or height

    def _legend_in_note(self, note: list[Item]) -> bool:
        """`(power clean 60/40 kg, box 60/50 cm)`: each thing named with its load or height."""
        pieces: list[list[Item]] = [[]]
        for item in note:
            if item.kind in ("comma", "semicolon", "and", "slash", "sslash", "sdash"):
                pieces.append([])
            else:
                pieces[-1].append(item)
        told = [[item for item in piece if item.kind in _FIGURES] for piece in pieces]
        names = [[i for i in piece if i.kind == "movement" or i.kind in _THINGS] for piece in pieces]
        if len(pieces) < 2 or any(len(one) != 1 for one in names) or any(len(one) != 1 for one in told):
            return False
        if any(not {item.kind for item in piece} <= _BESIDE for piece in pieces):
            return False
        for name, figure in zip(names, told, strict=True):
            if name[0].kind in _THINGS:
                self._raise_things(name[0], figure[0])
            else:
                self._give_legend(name[0], figure, self._read_without_load(name[0], figure))
        return True

    def _raise_things(self, thing: Item, figure: Item) -> None:
        """`box 60/50 cm`: for all that is done on one and has no height."""
        if figure.kind == "quote":
            height = Height(figure.value[0][0], "ft" if figure.value[1] == "'" else "in")
        elif figure.kind == "height":
            height = figure.value
        else:
            return
        groups = [group for section in self.sections for group in section.groups]
        if groups:
            self.raised.append((height, thing.kind, groups[0]))


def _counts(segment: Segment) -> bool:
    return any(item.kind in AMOUNTS or item.kind in ("nsets", "max") for item in segment.items)


def _has_count(station: StationDraft, group: GroupDraft) -> bool:
    return station.amount is not None or group.scheme is not None
