"""Stations out of a segment: what heads a complex, what is a total, a set of one, a clock of its own."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.counts import AMOUNTS
from keelmark.notation.items import Item
from keelmark.notation.mentions import REPS_OF
from keelmark.notation.once_more import OnceMore
from keelmark.notation.segments import Segment
from keelmark.notation.stations import pieces_of, station_of
from keelmark.notation.tree import Amount, Quantity

__all__ = ["ReadingStations"]

_COUNTED_OR_LOADED = (
    AMOUNTS
    | {"load", "xload", "height", "quote"}
    | {"max", "building", "nsets", "amrap_head", "rm", "single", "double", "triple"}
)

_COMPLEX_TITLE = frozenset(["movement", "complex", "at", "load", "nsets", "word", "of", "dash", "times", "amount"])


class ReadingStations(OnceMore):
    """Makes stations of the movements of a segment and the figures beside them."""

    def _read_stations(self, segment: Segment, items: list[Item]) -> None:
        kinds = {item.kind for item in items}
        if not kinds.isdisjoint(("per", "ratio")) and self._swap(items):
            return
        if "complex" in kinds and self._names_complex(segment, kinds):
            self._complex_head(items)
            return
        header = segment.after == "colon" and not kinds.isdisjoint(("complex", "ladder", "drop_set"))
        if header and any(
            later.content and later.line == segment.line and all(item.kind != "after" for item in later.items)
            for later in self.segments[self.at + 1 : self.at + 4]
        ):
            self._complex_head(items)
            return
        if kinds.isdisjoint(_COUNTED_OR_LOADED) and (
            self._bare_mention(segment, items) or self._names_the_list(segment)
        ):
            self.mentioned = next(item for item in items if item.kind == "movement")
            self.titled = self.mentioned.word if len(items) == 1 else self.titled
            return
        last = self.last_station()
        named = [item for item in items if item.kind == "movement"]
        if last is not None and last.parts and len(named) == 1 and "complex" in named[0].roles:
            rest = [item for item in items if item is not named[0]]
            if rest:
                self._figures(segment, rest)
            return
        items = self._longer_name(self._mistyped(items)) if "word" in kinds else items
        items = self._stated_total(items) if "equals" in kinds else items
        items = self._percent_of_last(items) if "load" in kinds else items
        items = self._singles_behind(items)
        self._clock_of_its_own(segment, items)
        tail = self._loads_of_sets_behind(items)
        if tail:
            self._read_stations(segment, items[:tail])
            self._loads_of_sets(items[tail:], {item.kind for item in items[tail:]})
            return
        if self._sets_of_singles(segment, items) or self._load_for_mention(items):
            return
        items = self._sprints_of_machine(self._with_bell(items))
        if segment.after == "colon" and "total" in kinds and self._figures_follow(segment):
            self.stated = next((item for item in items if item.kind in AMOUNTS), None)
            items = [item for item in items if item.kind not in AMOUNTS]
        if "after_rung" in kinds:
            items = self._after_rungs(items)
        self._place_all(segment, items, kinds)

    def _names_complex(self, segment: Segment, kinds: set[str]) -> bool:
        """`Snatch complex x 4 sets, from 40 kg:` above `1 snatch pull + 2 snatches`: a title, no snatch by itself."""
        if not segment.starts_line or not kinds <= _COMPLEX_TITLE or ("amount" in kinds) != ("times" in kinds):
            return False
        behind = self.segments[self.at + 1 : self.at + 12]
        lifts = [later for later in behind if later.content and later.line != segment.line]
        alone = not any(later.content and later.line == segment.line for later in behind)
        return alone and len(lifts) > 1 and lifts[0].line == lifts[1].line and "plus" in lifts[1].before

    def _place_all(self, segment: Segment, items: list[Item], kinds: set[str]) -> None:
        """A station for each movement of some items, and what is told of all of them."""
        items, times = self._times_of_all(self._load_for_all(items))
        for piece in pieces_of(items):
            station = station_of(piece, self.lexicon, segment.line, self.language in ("es", "fr", "pt"))
            if station is not None:
                self._place(station, segment)
        self._spread_counts(items)
        if "last_open" in kinds:
            self._last_set_open([item for item in items if item.kind == "last_open"])
        if times > 1:
            self.repeat(times)

    def _singles_behind(self, items: list[Item]) -> list[Item]:
        """`split jerk 4 singles @ 85 kg`: sets of one of the lift in front, no skipping."""
        first = next((item for item in items if item.kind == "movement"), None)
        if first is None or self.lexicon.catalogue.movements[first.value].load != "needs":
            return items
        out: list[Item] = []
        for item in items:
            short = item.kind == "movement" and " " not in item.word
            role = next((role for role in item.roles if role in REPS_OF), "") if short else ""
            before = out[-1] if out else None
            if role and item is not first and before is not None and before.kind == "amount" and before.value.sets == 1:
                sets = int(before.value.steps[0].value) if before.value.steps else 1
                amount = Amount(steps=(Quantity(REPS_OF[role]),), sets=max(1, sets))
                out[-1] = Item("amount", before.start, item.end, amount, "", (), before.spaced, ["sets"])
            else:
                out.append(item)
        return out

    def _clock_of_its_own(self, segment: Segment, items: list[Item]) -> None:
        """`C2B: 6 EMOM x 7` on a line behind other work: a section that begins with the name."""
        following = self.following()
        headed = following is not None and following.line == segment.line and bool(following.items)
        if not headed or following is None or segment.after != "colon" or not segment.starts_line:
            return
        clocked = following.items[0].kind in ("every_head", "amrap_head", "tabata", "interval_head")
        if clocked and len(items) == 1 and not following.content and not self.section().fresh:
            self.now = None

    def _after_rungs(self, items: list[Item]) -> list[Item]:
        """`200 m run after the 21s and again after the 15s`: so often, beside the ladder."""
        rungs = sum(item.kind == "after_rung" for item in items)
        self.new_group()
        kept = [item for item in items if item.kind not in ("after_rung", "and", "word", "plus")]
        return [replace(i, value=replace(i.value, sets=rungs)) if i.kind in AMOUNTS else i for i in kept]

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
