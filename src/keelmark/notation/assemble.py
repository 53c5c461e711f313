"""From segments to sections, groups and stations: which head governs what, and what belongs to the station before."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.counts import AMOUNTS
from keelmark.notation.drafts import StationDraft
from keelmark.notation.items import Item
from keelmark.notation.merging import seconds_of
from keelmark.notation.reading_stations import ReadingStations
from keelmark.notation.segments import Segment
from keelmark.notation.set_rows import sets_in_a_row, without_blank

__all__ = ["Assembler"]

_FIGURES = AMOUNTS | {"load", "xload", "height", "quote"}


_MARKS = frozenset(["times", "other", "blank", "bullet", "query", "about", "hash", "slash", "dash", "squote", "dquote"])
"""A mark alone between two separators says nothing."""


_BESIDE_END = frozenset(["dur", "for_word", "word", "to", "of", "a", "at", "until"])


_MORE = {"one": 1.0, "two": 2.0, "three": 3.0, "five": 5.0}


_COMPLEX_HEAD = frozenset(["complex", "times", "amount", "load", "at", "of"])


class Assembler(ReadingStations):
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
        if not segment.content and "word" in kinds and self._name_begun(segment):
            kinds.update(item.kind for item in segment.items)
        if "per_round" in kinds and segment.items[0].kind == "per_round" and segment.content:
            self._of_each_round(segment)
        if segment.notes:
            self._unit_behind_bracket(segment)
        if not kinds.isdisjoint(("ellipsis", "and_so_on")) and segment.content and "dur" in kinds:
            self._goes_on_for(segment)

    def _goes_on_for(self, segment: Segment) -> None:
        """`..., 6 cleans, 6 burpees ... for 8 min`: a ladder that goes on, and for how long."""
        place = next(at for at, item in enumerate(segment.items) if item.kind in ("ellipsis", "and_so_on"))
        behind = segment.items[place + 1 :]
        times = [item for item in behind if item.kind == "dur"]
        section = self.section()
        if (
            len(times) != 1
            or not {item.kind for item in behind} <= _BESIDE_END
            or section.kind not in ("work", "amrap")
        ):
            return
        section.continues, section.kind = True, "amrap"
        section.seconds = section.seconds or seconds_of(times[0])
        segment.items = segment.items[:place]

    def _is_aside(self, segment: Segment, kinds: set[str]) -> bool:
        """What tells of the work before or behind and is none itself: a level's load, a pause, a share, a unit."""
        return (
            self._of_level(segment)
            or self._last_only(segment, kinds)
            or self._one_of_each(segment, kinds)
            or ("rounds" in kinds and self._rounds_of_one(segment))
            or self._once_more(segment)
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
        listed = self.scaling and self.option_list == segment.line and segment.before == frozenset(["semicolon"])
        self.scaling = listed or (self.options_from >= 0 and segment.line == self.options_from + 1)
        self.options_from = segment.line if self.scaling else -1

    def _notice(self, segment: Segment, kinds: set[str]) -> None:
        """Words that change how the rest is read: no vest, an empty bar, a ladder, nothing of this today."""
        if "no_vest" in kinds:
            self._without_weight(segment)
        if "one_rm" in kinds or ("percent" in kinds and "rm" in kinds):
            self._percent_of_all(segment, kinds)
        if "load" in kinds:
            for item in segment.items:
                if item.kind == "load" and "empty_bar" in item.roles:
                    self.find("empty_bar", item.start, item.end, words=self.text[item.start : item.end])
        if "ladder" in kinds:
            self.section().ladder = True
        if "evenly" in kinds:
            self.each_known = True
        if not segment.content and not kinds.isdisjoint(("rise", "add")):
            self._grows(segment)
        if segment.content and segment.items[-1].kind in ("and_so_on", "ellipsis"):
            self.section().continues = True
        if "skip" in kinds or "rest_day" in kinds:
            self.muted = True
            self._skipped(segment)

    def _without_weight(self, segment: Segment) -> None:
        """`run without the vest`, `pull-ups, no weight`: nothing is worn from here on, or by the station just named."""
        last = self.last_station()
        behind = last is not None and last.line == segment.line and not segment.content and last.load is None
        if behind and last is not None and (last.amount is None or segment.after != "colon"):
            last.unvested = True
        else:
            self.unvested = True

    def _grows(self, segment: Segment) -> None:
        """`add one of each every minute`, `two more of both each minute`: every station of a ladder until a miss."""
        section = self.now
        if section is None or section.kind != "until_miss" or sum(len(g.stations) for g in section.groups) < 2:
            return
        told = next((item for item in segment.items if item.kind in ("rise", "add", "amount")), None)
        counts = [item.value.steps[0].value for item in segment.items if item.kind == "amount" and item.value.steps]
        if told is not None and told.kind == "rise" and len(told.value) == 2 and not told.value[1]:
            section.grows = told.value[0]
        elif any(item.kind == "each" or "each" in item.roles for item in segment.items):
            said = next((_MORE.get(item.word.split(" ")[0], 0.0) for item in segment.items if item.kind == "add"), 0.0)
            section.grows = counts[0] if len(counts) == 1 else said

    def _option(self, segment: Segment, kinds: set[str]) -> None:
        """A scaled option, or the head of several in lines of their own."""
        last = self.last_station()
        if last is not None and "instead" in kinds and self._loads_at_an_end(segment.items, kinds, last):
            return
        first = segment.items[0].kind if segment.items else ""
        if self._stays_as_written(segment, kinds):
            return
        self.scaled(segment.items, ("scaled" in kinds and first == "scaled") or self.scaling)
        following = self.following()
        headed = segment.after == "colon" and not segment.content and first == "scaled"
        self.option_list = segment.line if headed else self.option_list
        if headed and following is not None and following.starts_line:
            self.options_from = segment.line
        self.scaling = self.scaling or first == "scaled" or (segment.after == "colon" and "scaled" in kinds)

    def _stays_as_written(self, segment: Segment, kinds: set[str]) -> bool:
        """`push-ups and squats as they are` among the options: nothing stands in for them."""
        if not kinds.isdisjoint(_FIGURES):
            return False
        end = next((n for n, later in enumerate(self.segments[self.at :]) if later.after not in ("and", "comma")), 0)
        run = self.segments[self.at : self.at + end + 1]
        told = any(item.kind == "as_written" for later in run for item in later.items)
        return told and all(_FIGURES.isdisjoint({item.kind for item in later.items}) for later in run)

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
        if "movement" in kinds and self._legend_of_loads(segment, items, kinds):
            return
        if "movement" in kinds and "load" in kinds:
            items = _without_bearer(items, kinds, self.last_station())
            kinds = {item.kind for item in items}
        if "movement" not in kinds and self.last_station() is None:
            items = self._of_mention(segment, self._named_by_implement(items))
            kinds = {item.kind for item in items}
        if "movement" in kinds:
            self._read_stations(segment, items)
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
        if "load" in kinds and (self._worn_by_all(segment, items, kinds) or self._training_maximum(items, kinds)):
            return True
        if "complex" in kinds and segment.after == "colon" and kinds <= _COMPLEX_HEAD:
            self._complex_head(items)
            return True
        if not kinds.isdisjoint(("rise", "start_load")) and self._rise_ahead(items, kinds):
            return True
        if "last_open" in kinds and "movement" not in kinds and self._last_set_open(items):
            return True
        told = [item for item in items if item.kind not in ("word", "off")] if segment.after == "colon" else items
        tied = len(told) == 1 and told[0].kind in ("after", "after_sets", "between", "before_round")
        if tied and segment.after in ("comma", "colon"):
            self.pending_when = told[0]
            return True
        if "each_break" in kinds and "movement" not in kinds and kinds.isdisjoint(AMOUNTS):
            self.pending_when = next(item for item in items if item.kind == "each_break")
            return True
        return False

    def _rise_ahead(self, items: list[Item], kinds: set[str]) -> bool:
        """`4 sets, start at 40 kg, up 5 kg every set:`: told of the stations behind, where none stands before."""
        group = self.current_group()
        if group.stations or group.rounds < 2 or not kinds <= {"rise", "start_load", "word", "at", "of", "and"}:
            return False
        for item in items:
            if item.kind == "start_load":
                group.start_load = item.value
            elif item.kind == "rise":
                group.rise = item.value
        return True


def _without_bearer(items: list[Item], kinds: set[str], last: StationDraft | None) -> list[Item]:
    """`1 x BW on the sled` behind sled drags: what the load lies on, no work of its own."""
    named = [at for at, item in enumerate(items) if item.kind == "movement"]
    if last is None or last.load is not None or len(named) != 1 or not kinds.isdisjoint(AMOUNTS) or not named[0]:
        return items
    word = items[named[0]].word
    if word in last.movement.split("_") and items[named[0] - 1].kind in ("word", "a", "of", "work"):
        return [item for item in items[: named[0]] if item.kind not in ("work", "word", "a")]
    return items
