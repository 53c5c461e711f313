"""From segments to sections, groups and stations: which head governs what, and what belongs to the station before."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.counts import AMOUNTS
from keelmark.notation.drafts import GroupDraft, StationDraft
from keelmark.notation.items import Item
from keelmark.notation.remarks import Remarks
from keelmark.notation.segments import Segment
from keelmark.notation.set_rows import sets_in_a_row, without_blank
from keelmark.notation.station_figures import apply_figures, open_amount
from keelmark.notation.stations import pieces_of, station_of
from keelmark.notation.tree import Amount, Quantity

__all__ = ["Assembler"]

_FIGURES = AMOUNTS | {"load", "xload", "height", "quote"}


_COUNTED_OR_LOADED = _FIGURES | {"max", "building", "nsets", "amrap_head", "rm", "single", "double", "triple"}


_MARKS = frozenset(["times", "other", "blank", "bullet", "query", "about", "hash", "slash", "dash", "squote", "dquote"])
"""A mark alone between two separators says nothing."""


_COMPLEX_HEAD = frozenset(["complex", "times", "amount", "load", "at", "of"])
_SAYS_SOMETHING = _FIGURES | {
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
}
"""Kinds that tell something of a station, even without a movement beside them."""


class Assembler(Remarks):
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
            self._begin_sentence(segment)
        if segment.group == "close":
            self.close_group()
            return
        if len(segment.items) == 1 and not segment.notes and segment.items[0].kind in _MARKS:
            return
        kinds = {item.kind for item in segment.items}
        self._notice(segment, kinds)
        if self._remark(segment, kinds) or self.muted:
            return
        if "scaled" in kinds or self._stands_in(segment, kinds) or self.scaling or "or" in segment.before:
            self._option(segment, kinds)
            return
        if self._goes_on(segment, kinds):
            return
        if "negative" in kinds:
            self._negative(segment)
            return
        self._put_right(segment, kinds)
        if self._is_aside(segment, kinds):
            return
        items = self.heads(segment)
        if items or segment.notes:
            self.content(segment, items)

    def _put_right(self, segment: Segment, kinds: set[str]) -> None:
        """Counts left open go, a line of each round is one, and a unit behind a bracket joins its figure."""
        if not kinds.isdisjoint(("query", "blank")):
            segment.items = without_blank(segment.items)
        if "per_round" in kinds and segment.items[0].kind == "per_round" and segment.content:
            self._of_each_round(segment)
        if segment.notes:
            self._unit_behind_bracket(segment)

    def _is_aside(self, segment: Segment, kinds: set[str]) -> bool:
        """What tells of the work before or behind and is none itself: a level's load, a pause, a share, a unit."""
        return (
            self._of_level(segment)
            or ("rounds" in kinds and self._rounds_of_one(segment))
            or self._pause(segment, kinds)
            or self._turns_of_each(segment, kinds)
            or self._each_share(segment)
            or self._unit_line(segment)
        )

    def _of_each_round(self, segment: Segment) -> None:
        """`Every round starts with a 200 m run as its own buy-in, then ...`: the whole line is one round."""
        self.each_round_line = segment.line
        if self.current_group().rounds > 1 and self.section().fresh:
            segment.items = [item for item in segment.items if item.kind not in ("buy_in", "own")]

    def _begin_sentence(self, segment: Segment) -> None:
        """What a line end, semicolon or full stop puts to an end."""
        self.pending_when = None
        self.muted = False
        self.scaling = self.options_from >= 0 and segment.line == self.options_from + 1
        self.options_from = segment.line if self.scaling else -1

    def _notice(self, segment: Segment, kinds: set[str]) -> None:
        """Words that change how the rest is read: no vest, an empty bar, a ladder, nothing of this today."""
        self.unvested = self.unvested or "no_vest" in kinds
        if "load" in kinds:
            for item in segment.items:
                if item.kind == "load" and "empty_bar" in item.roles:
                    self.find("empty_bar", item.start, item.end, words=self.text[item.start : item.end])
        if "ladder" in kinds:
            self.section().ladder = True
        if "evenly" in kinds:
            self.each_known = True
        if segment.content and segment.items[-1].kind in ("and_so_on", "ellipsis"):
            self.section().continues = True
        if "skip" in kinds or "rest_day" in kinds:
            self.muted = True
            self._skipped(segment)

    def _option(self, segment: Segment, kinds: set[str]) -> None:
        """A scaled option, or the head of several in lines of their own."""
        last = self.last_station()
        if last is not None and "instead" in kinds and self._loads_at_an_end(segment.items, kinds, last):
            return
        first = segment.items[0].kind if segment.items else ""
        self.scaled(segment.items, ("scaled" in kinds and first == "scaled") or self.scaling)
        following = self.segments[self.at + 1] if self.at + 1 < len(self.segments) else None
        headed = segment.after == "colon" and not segment.content and first == "scaled"
        if headed and following is not None and following.starts_line:
            self.options_from = segment.line
        self.scaling = self.scaling or first == "scaled" or (segment.after == "colon" and "scaled" in kinds)

    def _goes_on(self, segment: Segment, kinds: set[str]) -> bool:
        """`...` and `and so on`, with or without the minute in which it ends."""
        if not segment.items or segment.content or segment.items[0].kind not in ("ellipsis", "and_so_on"):
            return False
        self.section().continues = True
        last = segment.items[-1]
        if "minute" in kinds and last.kind == "amount" and self.section().windows is None:
            self.section().windows = int(last.value.steps[0].value)
            return True
        return False

    def content(self, segment: Segment, items: list[Item]) -> None:
        """Stations, or figures for the station before."""
        sets = sets_in_a_row(items) if len(items) > 6 else []
        if len(sets) > 1:
            bare = replace(segment, notes=[])
            for part in sets[:-1]:
                self.content(bare, part)
            self.content(segment, sets[-1])
            return
        if self._bell_of_title(segment, items):
            return
        items = self._as_implement(segment, items)
        kinds = {item.kind for item in items}
        if self._for_others(segment, items, kinds):
            return
        if "movement" not in kinds and self.last_station() is None:
            items = self._of_mention(segment, self._named_by_implement(items))
            kinds = {item.kind for item in items}
        if "movement" in kinds:
            self._stations(segment, items)
        else:
            self._without_movement(segment, items, kinds)
        for note in segment.notes:
            if note:
                self.note(note, segment)

    def _for_others(self, segment: Segment, items: list[Item], kinds: set[str]) -> bool:
        """Figures and words that speak of stations elsewhere."""
        if "load" in kinds and self._loads_of_sets(items, kinds):
            return True
        if self._plates_under_bar(items, kinds) or self._held_by_all(items, kinds):
            return True
        if "complex" in kinds and segment.after == "colon" and kinds <= _COMPLEX_HEAD:
            self._complex_head(items)
            return True
        if "last_open" in kinds and "movement" not in kinds and self._last_set_open(items):
            return True
        if len(items) == 1 and kinds <= {"after", "between"} and segment.after in ("comma", "colon"):
            self.pending_when = items[0]
            return True
        if "each_break" in kinds and "movement" not in kinds and kinds.isdisjoint(AMOUNTS):
            self.pending_when = next(item for item in items if item.kind == "each_break")
            return True
        return False

    def _without_movement(self, segment: Segment, items: list[Item], kinds: set[str]) -> None:
        """Figures for the station before or those behind, or a name that is not known."""
        if kinds <= {"max", "word", "of", "for_word"} and "max" in kinds and self.section().fresh:
            self.open_measure = open_amount(items, self.lexicon)
            ahead = [s for s in self.segments[self.at : self.at + 3] if s.line == segment.line and not s.content]
            self.open_line = segment.line if any(s.after == "colon" for s in ahead) else -1
        elif segment.level and items and items[0].kind == "same" and self._same_at_level(segment, items):
            return
        elif self._heads_a_build(segment, items, kinds):
            self._build_ahead(items)
        elif "ascending" in kinds and kinds <= {"ascending", "word"} and self._climbs():
            return
        elif not kinds.isdisjoint(_SAYS_SOMETHING):
            if not self._unknown(segment, items):
                self._figures(segment, items)
        elif not self._unknown(segment, items) and items and self.last_station() is not None:
            self._lone_unit(items, self.section_last())

    def _same_at_level(self, segment: Segment, items: list[Item]) -> bool:
        """`Heavier: same with a 10 kg vest`: the stations of the first level once more, with what is told here."""
        group = self.current_group()
        first = next((station.level for station in group.stations if station.level), "")
        same = [replace(station, level=segment.level) for station in group.stations if station.level == first]
        load = next((item.value for item in items if item.kind == "load"), None)
        vest = any(item.kind == "vest" for item in items)
        for station in same:
            station.load = load if load is not None and vest != station.needs_load else station.load
        group.stations += same
        return bool(first) and first != segment.level

    def _climbs(self) -> bool:
        """`Snatch: singles, climbing`: how many there are and at which loads, the score tells."""
        last = self.last_station()
        if last is None or last.load is not None or not last.needs_load or last.amount is None:
            return False
        if last.amount.sets > 1 or len(last.amount.steps) != 1 or last.amount.steps[0].value > 3:
            return False
        last.amount = replace(last.amount, open=True)
        return True

    def _heads_a_build(self, segment: Segment, items: list[Item], kinds: set[str]) -> bool:
        """`Heavy single of the day:`, `In 10 minutes find a heavy double,`: ahead of the movement."""
        named = any(item.kind == "top_set" and item.value for item in items) and segment.after == "colon"
        return ("building" in kinds or named) and self.section().fresh and not segment.notes

    def _build_ahead(self, items: list[Item]) -> None:
        """`In 10 minutes find a heavy double, front squat`: the movement follows."""
        item = next(item for item in items if item.kind in ("building", "top_set"))
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
        kinds = {item.kind for item in items}
        if not kinds.isdisjoint(("per", "ratio")) and self._swap(items):
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
            self._figures(segment, [item for item in items if item is not named[0]])
            return
        items = self._mistyped(items) if "word" in kinds else items
        items = self._stated_total(items) if "equals" in kinds else items
        items = self._percent_of_last(items) if "load" in kinds else items
        if self._sets_of_singles(segment, items) or self._load_for_mention(items):
            return
        items = self._sprints_of_machine(self._with_bell(items))
        if segment.after == "colon" and "total" in kinds and self._figures_follow(segment):
            self.stated = next((item for item in items if item.kind in AMOUNTS), None)
            items = [item for item in items if item.kind not in AMOUNTS]
        if "after_rung" in kinds:
            items = self._after_rungs(items)
        items, times = self._times_of_all(self._load_for_all(items))
        for piece in pieces_of(items):
            station = station_of(piece, self.lexicon, segment.line, self.language in ("es", "fr", "pt"))
            if station is not None:
                self._place(station, segment)
        self._spread_counts(items)
        if times > 1:
            self.repeat(times)

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

    def _place(self, station: StationDraft, segment: Segment) -> None:
        """Put a station into its group, with what was told ahead of it."""
        group = self._group_for(station, segment)
        station.joined = "plus" if "plus" in segment.before else ("and" if "and" in segment.before else "")
        station.segment, station.level = self.at, segment.level
        station.unvested = self.unvested
        station.own, self.own_next = self.own_next or self.own_rest or self._of_each_person(station, segment), False
        self._give_what_waits(station, segment)
        if group.per_side and station.side == "":
            station.side = "each"
        group.stations.append(station)
        if self.stated is not None:
            self.totals.append((station, group, self.stated))
            self.stated = None
        if self.interrupt:
            late = any(item.kind == "start_at" for item in segment.items) and any(
                item.kind == "dur" and item.value.steps[0].value >= 1 for item in segment.items
            )
            station.when = "each_minute_later" if late else self.interrupt
            self.interrupt = ""

    def _group_for(self, station: StationDraft, segment: Segment) -> GroupDraft:
        """The group that is open, or a new one where the rounds or the ladder before have come to their end."""
        group = self.current_group()
        if "semicolon" in segment.before and group.commas and group.rounds > 1 and segment.line == group.inline:
            group.closed = True
        group.commas = group.commas or ("comma" in segment.before and bool(group.stations))
        next_line = group.inline >= 0 and group.inline != segment.line and self._first_of_line(segment)
        level = segment.level and any(other.level not in ("", segment.level) for other in group.stations)
        over = group.closed or (next_line and not level and self._inline_over(group, station))
        if over or self._ladder_over(group, station, segment):
            group = self.new_group(self.outer[1] if self.outer[0] is self.now else 1)
        if segment.group == "open":
            group.inline = -2
        return group

    def _first_of_line(self, segment: Segment) -> bool:
        """Nothing but a label stands before it on its line."""
        if segment.starts_line:
            return True
        before = self.segments[self.at - 1] if self.at else segment
        return before.starts_line and before.line == segment.line and before.after == "colon" and not before.content

    def _give_what_waits(self, station: StationDraft, segment: Segment) -> None:
        """An amount or a place in the round that was told before the name."""
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
