"""From segments to sections, groups and stations: which head governs what, and what belongs to the station before."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from keelmark.notation.drafts import GroupDraft, SectionDraft, StationDraft
from keelmark.notation.heads import HEADS, TITLES, Heads
from keelmark.notation.items import Item
from keelmark.notation.lexicon import Lexicon
from keelmark.notation.segments import Segment
from keelmark.notation.stations import AMOUNTS, apply_figures, open_amount, pieces_of, station_of
from keelmark.notation.tree import Amount, Height, Load, Quantity

__all__ = ["Assembler", "Finding"]

_FIGURES = AMOUNTS | {"load", "xload", "height", "quote"}
_TEMPO = re.compile(r"[0-9]{2}[xX][0-9]|[0-9]{4}|[0-9xX](?:[-/.][0-9xX]){2,3}")
_QUIET = frozenset(["remark", "and_so_on", "ellipsis"])


@dataclass(slots=True)
class Finding:
    """A doubt met while reading: its code, its place, and what the message needs."""

    code: str
    start: int
    end: int
    data: dict[str, str] = field(default_factory=dict)


class Assembler(Heads):
    """Takes segments in order and builds the drafts."""

    def __init__(self, lexicon: Lexicon, segments: list[Segment], text: str) -> None:
        super().__init__()
        self.lexicon = lexicon
        self.segments = segments
        self.text = text
        self.findings: list[Finding] = []
        self.loads_for: dict[str, Load] = {}
        self.muted = False
        self.guesses = 0
        self.comments: list[tuple[int, int]] = []
        self.scaling = False
        self.stated: Item | None = None
        self.default_unit = ""
        self.pending: Item | None = None
        self.open_measure: Amount | None = None
        self.last_content = max((n for n, segment in enumerate(segments) if segment.content), default=-1)
        self.at = 0
        self.language: str | None = None

    def run(self) -> None:
        """Read all segments."""
        for self.at, segment in enumerate(self.segments):
            self.segment(segment)
            if self.muted and segment.items:
                self.comments.append((segment.items[0].start, segment.items[-1].end))

    def find(self, code: str, start: int, end: int, **data: str) -> None:
        """Note a doubt."""
        self.findings.append(Finding(code, start, end, data))

    def segment(self, segment: Segment) -> None:
        """Read one segment."""
        if segment.strong:
            self.muted = False
            self.scaling = False
        if segment.group == "close":
            self.close_group()
            return
        kinds = {item.kind for item in segment.items}
        if "skip" in kinds or "rest_day" in kinds:
            self.muted = True
            self._skipped(segment)
        if self._remark(segment, kinds):
            return
        if self.muted:
            return
        if "scaled" in kinds or "instead" in kinds or self.scaling or "or" in segment.before:
            self.scaled(segment.items, "scaled" in kinds and segment.items[0].kind == "scaled" or self.scaling)
            self.scaling = self.scaling or (segment.items[0].kind == "scaled" if segment.items else False)
            return
        if "negative" in kinds:
            self._negative(segment)
            return
        if segment.items and not segment.content and segment.items[0].kind in ("ellipsis", "and_so_on"):
            self.section().continues = True
        segment.items = _without_blank(segment.items)
        items = self.heads(segment)
        if items or segment.notes:
            self.content(segment, items)

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
        if not items or "remark" not in kinds:
            return False
        place = next(at for at, item in enumerate(items) if item.kind == "remark")
        if place == 0 or "equals" in kinds:
            self.muted = True
            return True
        self.muted = True
        segment.items = items[:place]
        return False

    def content(self, segment: Segment, items: list[Item]) -> None:
        """Stations, or figures for the station before."""
        kinds = {item.kind for item in items}
        if kinds <= {"max", "word", "of", "for_word"} and "max" in kinds and self.section().fresh:
            self.open_measure = open_amount(items, self.lexicon)
        elif "movement" in kinds:
            self._stations(segment, items)
        elif not kinds.isdisjoint(_FIGURES) or not kinds.isdisjoint(
            (
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
            )
        ):
            if not self._unknown(segment, items):
                self._figures(segment, items)
        elif not self._unknown(segment, items) and items and self.last_station() is not None:
            self._lone_unit(items, self.section_last())
        for note in segment.notes:
            if note:
                self.note(note, segment)

    # --- stations -------------------------------------------------------------------------------------------------

    def _stations(self, segment: Segment, items: list[Item]) -> None:
        if not {"per", "ratio"}.isdisjoint(item.kind for item in items) and self._swap(items):
            return
        header = segment.after in ("colon",) and any(item.kind in ("complex", "ladder", "drop_set") for item in items)
        behind = self.segments[self.at + 1 : self.at + 4]
        if header and any(later.content and later.line == segment.line for later in behind):
            self.current_group().load = next((item.value for item in items if item.kind == "load"), None)
            return
        if not any(
            item.kind in _FIGURES
            or item.kind in ("max", "building", "nsets", "amrap_head", "rm", "single", "double", "triple")
            for item in items
        ):
            if self._bare_mention(segment, items) or self._names_the_list(segment):
                return
        items = self._percent_of_last(self._stated_total(self._mistyped(items)))
        if self._sets_of_singles(segment, items):
            return
        if segment.after == "colon" and any(item.kind == "total" for item in items) and self._figures_follow(segment):
            self.stated = next((item for item in items if item.kind in AMOUNTS), None)
            items = [item for item in items if item.kind not in AMOUNTS]
        for piece in pieces_of(items):
            station = station_of(piece, self.lexicon, segment.line, self.language in ("es", "fr", "pt"))
            if station is not None:
                self._place(station, segment)

    def _names_the_list(self, segment: Segment) -> bool:
        """`Clusters: front squat 5 x ...`: a bare name before a colon, with stations of their own behind it."""
        following = self.segments[self.at + 1] if self.at + 1 < len(self.segments) else None
        if segment.after != "colon" or following is None or not following.content or following.line != segment.line:
            return False
        if any(role in _REPS_OF for item in following.items if item.kind == "movement" for role in item.roles):
            return False
        return any(item.kind in AMOUNTS for item in following.items)

    def _bare_mention(self, segment: Segment, items: list[Item]) -> bool:
        """A movement inside a sentence of words, with no figure at all: a remark."""
        words = sum(item.kind in ("word", "each_person") for item in segment.items)
        if segment.after == "stop" and words and self.last_station() is None:
            return True
        movements = [item for item in items if item.kind == "movement"]
        if segment.after == "equals" or any(item.kind == "equals" for item in items):
            return True
        if any(item.kind == "running_clock" for item in items):
            return True
        place = next(at for at, item in enumerate(items) if item.kind == "movement")
        filler = ("word", "for_word", "a", "letter", "of", "to", "at", "and", "wearing")
        if place >= 3 and all(item.kind in filler for item in items[:place]):
            return True
        first_is_movement = items[0].kind in ("movement", "alternating", "pace", "of", "and")
        return words >= 3 and not first_is_movement and len(movements) == 1 and not segment.starts_line

    def _figures_follow(self, segment: Segment) -> bool:
        following = self.segments[self.at + 1] if self.at + 1 < len(self.segments) else None
        if following is None or following.line != segment.line or following.content:
            return False
        return any(item.kind in AMOUNTS for item in following.items)

    def _sets_of_singles(self, segment: Segment, items: list[Item]) -> bool:
        """`Clean: 5 singles @ 80 %, then 3 doubles`: sets of one or two of the lift before, not skipping."""
        last = self.last_station()
        place = next((at for at, item in enumerate(items) if item.kind == "movement"), 0)
        reps = next((_REPS_OF[role] for role in items[place].roles if role in _REPS_OF), None)
        if reps is None or last is None or sum(item.kind == "movement" for item in items) > 1 or segment.starts_line:
            return False
        loaded = self.lexicon.catalogue.movements[last.movement].load == "needs"
        if not loaded or not (last.amount is None or any(item.kind == "load" for item in items)):
            return False
        sets = next(
            (item.value.steps[0].value for item in items[:place] if item.kind == "amount" and item.value.steps), 1.0
        )
        made = Item("amount", items[0].start, items[place].end, Amount(steps=(Quantity(reps),), sets=int(sets)))
        made.parts = ["sets"]
        self._figures(segment, [made, *items[place + 1 :]])
        return True

    def _mistyped(self, items: list[Item]) -> list[Item]:
        """`bacck squat`, `hang powar clean`: a slip of typing in front of a word that names another movement alone."""
        for at in range(1, len(items)):
            if items[at].kind != "movement" or items[at - 1].kind != "word" or self.guesses >= _GUESSES:
                continue
            for first in (at - 2, at - 1):
                if first < 0 or items[first].kind not in ("word", "movement"):
                    continue
                self.guesses += 1
                text = " ".join(item.word for item in items[first : at + 1])
                guess = self.lexicon.likely(text)
                if guess is not None and guess != items[at].value:
                    made = Item("movement", items[first].start, items[at].end, guess, text)
                    written = self.text[made.start : made.end]
                    self.find("read_as", made.start, made.end, word=written, movement=guess)
                    return [*items[:first], made, *items[at + 1 :]]
        return items

    def _percent_of_last(self, items: list[Item]) -> list[Item]:
        """`snatch pull 5x3 @ 100% snatch`: the second movement says what the percentage is of."""
        if (
            len(items) < 3
            or items[-1].kind != "movement"
            or items[-2].kind != "load"
            or items[-2].value.unit != "percent"
        ):
            return items
        if not any(item.kind == "movement" for item in items[:-2]):
            return items
        load = items[-2]
        return [*items[:-2], replace(load, value=replace(load.value, of=items[-1].value), end=items[-1].end)]

    def _stated_total(self, items: list[Item]) -> list[Item]:
        """`4 sets of 8 = 36 pull-ups`: what stands behind the sign is a total, checked once the station is known."""
        place = next((at for at, item in enumerate(items) if item.kind == "equals"), None)
        if place is None or place == 0:
            return items
        before, behind = items[:place], items[place + 1 :]
        if any(item.kind == "movement" for item in before) and any(item.kind in AMOUNTS for item in before):
            self.stated = next((item for item in behind if item.kind in AMOUNTS), None)
            return before
        return items

    def _place(self, station: StationDraft, segment: Segment) -> None:
        group = self.current_group()
        if "semicolon" in segment.before and group.commas and group.rounds > 1 and segment.line == group.inline:
            group.closed = True
        group.commas = group.commas or ("comma" in segment.before and bool(group.stations))
        if group.closed or (
            group.inline >= 0 and group.inline != segment.line and segment.starts_line and self._inline_over(group)
        ):
            group = self.new_group()
        station.joined = "plus" if "plus" in segment.before else ("and" if "and" in segment.before else "")
        station.segment = self.at
        if segment.group == "open":
            group.inline = -2
        if self.open_measure is not None:
            if station.amount is None or station.amount.measure == "duration_s":
                station.amount = self.open_measure
            self.open_measure = None
        if self.pending is not None:
            station.amount = station.amount or self.pending.value
            self.pending = None
        station.own = self.own_next or self.own_rest
        self.own_next = False
        if group.per_side and station.side == "":
            station.side = "each"
        group.stations.append(station)
        if self.stated is not None:
            self.totals.append((station, group, self.stated))
            self.stated = None
        if self.interrupt:
            station.when = self.interrupt
            self.interrupt = ""

    def _inline_over(self, group: GroupDraft) -> bool:
        return group.rounds > 1 and len(group.stations) >= 2

    # --- figures without a movement ---------------------------------------------------------------------------------

    def _figures(self, segment: Segment, items: list[Item]) -> None:
        last = self.last_station()
        counts = [item for item in items if item.kind in AMOUNTS]
        if self._times_only(items, last):
            return
        if any(item.kind == "between" for item in items) and all(item.kind == "dur" for item in counts):
            return
        if counts and "plus" in counts[0].parts and self._complex_counts(counts[0]):
            apply_figures(self.section_last(), [item for item in items if item is not counts[0]], -1, self.lexicon)
            return
        if (
            len(counts) == 1
            and last is not None
            and (self._bare_round(counts[0]) or self._table_cell(segment, counts[0], last))
        ):
            return
        each = any(item.kind in ("each", "per") for item in items)
        if counts and each and self._each_of_many(segment, items, counts[0]):
            return
        if counts and each and len(items) <= 3 and last is not None and self._load_list(last, counts[0]):
            return
        if counts and (last is None or self._is_scheme(segment, items, counts, last)):
            self._scheme(segment, items, counts, each)
            return
        if last is None:
            self._before_stations(items)
            return
        if (
            counts
            and last.amount is not None
            and last.amount.open
            and last.amount.steps
            and self._sets_of_build(segment, items)
        ):
            last.amount = None
        if counts and last.amount is not None and not last.amount.steps and not last.amount.open:
            sets, last.amount = last.amount.sets, None
            apply_figures(last, items, -1, self.lexicon)
            if last.amount is not None:
                last.amount = replace(last.amount, sets=last.amount.sets * sets)
            last.end = max(last.end, items[-1].end)
            return
        if counts and last.amount is not None and not (last.amount.open and not last.amount.steps):
            self._further(segment, items, counts, last)
            return
        if counts and last.amount is not None and last.amount.open and counts[0].kind == "dur":
            return
        if self._lone_unit(items, last):
            return
        if self._dropped_load(segment, items, counts, last):
            return
        if self._further_load(segment, items, last):
            return
        if not counts and (
            self._for_all(items) or all(item.kind in ("after", "word", "between", "each", "of") for item in items)
        ):
            return
        apply_figures(last, items, -1, self.lexicon)
        last.end = max(last.end, items[-1].end)

    def section_last(self) -> StationDraft:
        """The station read last, which must exist."""
        last = self.last_station()
        assert last is not None
        return last

    def _sets_of_build(self, segment: Segment, items: list[Item]) -> bool:
        """`worked up: 5, 3, 2, 1, 1` gives the sets of the build before it."""
        plain = not any(item.kind in ("load", "xload", "dur") for item in items)
        return plain and "then" not in segment.before

    def _lone_unit(self, items: list[Item], last: StationDraft) -> bool:
        """`kg` alone at the end of a line gives the unit of the loads before it."""
        word = items[0].word
        unit = self.lexicon.units.get(word) if len(items) == 1 and items[0].kind in ("word", "mass") else None
        if unit is None or unit.measure != "mass" or last.load is None or last.load.unit:
            return False
        for group in self.section().groups:
            for station in group.stations:
                if station.line == last.line and station.load is not None and not station.load.unit:
                    station.load = replace(station.load, unit=unit.name)
        return True

    def _bare_round(self, item: Item) -> bool:
        """`1 pull-up, 2 push-ups, 3 squats; 2, 4, 6; 3, 6, 9`: the next rung for each station in turn."""
        stations = self.current_group().stations
        figures = item.value.steps
        if item.kind != "amount" or item.value.sets > 1 or len(figures) != len(stations) or len(stations) < 2:
            return False
        if any(
            station.amount is None or station.amount.measure != "reps" or station.amount.sets > 1
            for station in stations
        ):
            return False
        for station, figure in zip(stations, figures, strict=True):
            assert station.amount is not None
            station.amount = replace(station.amount, steps=(*station.amount.steps, figure))
        return True

    def _table_cell(self, segment: Segment, item: Item, last: StationDraft) -> bool:
        """A second bare number in a table row: the first was the sets, this one the reps."""
        amount = last.amount
        if (
            "cell" not in segment.before
            or item.kind != "amount"
            or amount is None
            or amount.sets > 1
            or len(amount.steps) != 1
        ):
            return False
        if last.line != segment.line or item.value.sets > 1:
            return False
        last.amount = replace(item.value, sets=int(amount.steps[0].value))
        return True

    def _each_of_many(self, segment: Segment, items: list[Item], item: Item) -> bool:
        """`power clean, hang clean, jerk; 1 rep each`: one count for all that have none."""
        group = self.current_group()
        lacking = [station for station in group.stations if station.amount is None]
        if len(lacking) < 2 or group.scheme is not None or len(item.value.steps) != 1:
            return False
        for station in lacking:
            station.amount = item.value
        return True

    def _complex_counts(self, item: Item) -> bool:
        """`1+2+1` under a complex: a count for each of its movements; else a cluster."""
        stations = [station for station in self.current_group().stations if station.amount is None]
        figures = item.value.steps
        values = next((part for part in item.parts if isinstance(part, tuple)), None)
        if values is not None:
            figures = tuple(Quantity(value) for value in values)
        if len(stations) == len(figures):
            for station, figure in zip(stations, figures, strict=True):
                station.amount = replace(item.value, steps=(figure,))
            return True
        if values is None:
            item.value = replace(item.value, steps=(Quantity(sum(figure.value for figure in figures)),))
        return False

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
        again.load, again.explicit_load = item.value[1], True
        self.current_group().stations.append(again)
        return True

    def _dropped_load(self, segment: Segment, items: list[Item], counts: list[Item], last: StationDraft) -> bool:
        """`strip the bar to 50 kg and do 12 more`: a further set at less."""
        load = next((item.value for item in items if item.kind == "load"), None)
        if load is None or counts or last.load is None or not any("less" in item.roles for item in items):
            return False
        again = StationDraft(last.movement, items[0].start, items[-1].end, segment.line, word=last.word)
        again.load, again.segment, again.side = load, self.at, last.side
        if not any("to" in item.roles or "for_word" in item.roles for item in items):
            if load.unit != last.load.unit or len(last.load.steps) > 1:
                return False
            lower = last.load.steps[0]
            if lower.value <= load.steps[0].value:
                return False
            again.load = replace(last.load, steps=(Quantity(lower.value - load.steps[0].value),))
        self.current_group().stations.append(again)
        return True

    def _times_only(self, items: list[Item], last: StationDraft | None) -> bool:
        """`x2`, `x 4`: the amount of a station that has none, or else the group once more."""
        if items[0].kind != "times" or len(items) < 2 or items[1].kind != "amount":
            return False
        if last is not None and last.amount is None and self.current_group().scheme is None:
            apply_figures(last, items[1:], -1, self.lexicon)
            return True
        figure = items[1].value
        if len(figure.steps) == 1 and figure.steps[0].value.is_integer():
            self.repeat(int(figure.steps[0].value))
        return True

    def _load_list(self, last: StationDraft, item: Item) -> bool:
        """`40, 45, 50 - 2 reps each`: the list that stood as the amount is the loads."""
        listed = last.amount
        if listed is None or len(listed.steps) < 2 or last.load is not None or listed.measure != "reps":
            return False
        last.load = Load(listed.steps, "")
        last.explicit_load = True
        last.amount = replace(item.value, sets=1)
        last.end = item.end
        return True

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
            following = self.segments[self.at + 1] if self.at + 1 < len(self.segments) else None
            if (
                following is not None
                and following.content
                and not any(item.kind in AMOUNTS for item in following.items)
            ):
                return True
        group = self.current_group()
        if group.stations and group.stations[-1] is last and not group.closed:
            return ladder and last.amount is None and segment.starts_line and self._more_follow(segment)
        return True

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
            following = self.segments[self.at + 1] if self.at + 1 < len(self.segments) else None
            if (
                following is not None
                and following.content
                and not any(other.kind in AMOUNTS for other in following.items)
            ):
                self.pending = item
                return
        if not amount.steps:
            return
        group.scheme = amount
        group.scheme_at = (item.start, item.end)
        load = next((other.value for other in items if other.kind == "load"), None)
        if load is not None:
            group.load = load

    def _is_open_scheme(self, group: GroupDraft) -> bool:
        return group.scheme is None and all(station.amount is None for station in group.stations)

    def _before_stations(self, items: list[Item]) -> None:
        group = self.current_group()
        for place, item in enumerate(items):
            if item.kind == "load":
                group.load = item.value
                words = [other for other in items[place + 1 :]]
                named = next((other.kind for other in words if other.kind in _IMPLEMENT_KINDS), "")
                if any(other.kind == "vest" for other in items):
                    named = "vest"
                self.carried.append((item.value, named, group))
                group.load = None
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
        if items[0].word not in _ALL:
            return False
        group = self.current_group()
        for item in items:
            if item.kind == "load":
                group.load = item.value
            elif item.kind == "per_side":
                for station in group.stations:
                    station.side = station.side or "each"
        return True

    def _further(self, segment: Segment, items: list[Item], counts: list[Item], last: StationDraft) -> None:
        """More sets of the movement before: `1x5 @ 80 kg` on the next line, `drop set: 45 kg x 10`."""
        first: Amount = counts[0].value
        high = first.unit in ("m", "ft") and first.sets == 1 and first.steps and first.steps[0].value <= 40
        measures = self.lexicon.catalogue.movements[last.movement].measures
        if len(items) == 1 and segment.line == last.line and "comma" in segment.before and self._bare_figure(last, counts[0]):
            return
        if counts[0].kind == "dist" and high and measures[0] == "reps" and last.height is None:
            last.height = Height(first.steps[0], first.unit)
            return
        loads = [item for item in items if item.kind in ("load", "xload")]
        sets = counts[0].kind == last_kind(last) and (
            counts[0].value.sets > 1 or "sets" in counts[0].parts or len(counts[0].value.steps) > 1
        )
        if "reps" in counts[0].parts and not loads and any(item.kind in ("total", "equals") for item in items):
            self._total(counts[0], last, items)
            return
        if not (loads or sets):
            if any(item.kind in ("total", "equals") for item in items):
                self._total(counts[0], last, items)
            return
        again = StationDraft(last.movement, items[0].start, items[-1].end, segment.line, word=last.word)
        again.segment, again.side, again.implement = self.at, last.side, last.implement
        again.line = last.line if segment.line == last.line else segment.line
        apply_figures(again, items, -1, self.lexicon)
        self.current_group().stations.append(again)

    # --- brackets -------------------------------------------------------------------------------------------------

    def _station_before(self, start: int) -> StationDraft | None:
        """The station that a bracket stands behind."""
        last = self.last_station()
        for group in reversed(self.section().groups):
            for station in reversed(group.stations):
                if station.start < start:
                    return station
        return last

    def note(self, note: list[Item], segment: Segment) -> None:
        """A bracket behind a station: its load, height, side, total or scaled option; else a remark."""
        kinds = {item.kind for item in note}
        if not kinds.isdisjoint(("scaled", "instead", "ratio")) or note[0].kind == "or":
            self.scaled(note, False)
            return
        last = self._station_before(note[0].start)
        note = [item for item in note if item.kind not in ("comma", "and", "sdash", "semicolon")]
        if len(note) == 2 and {note[0].kind, note[1].kind} == {"amount", "times"}:
            self._times_note(next(item for item in note if item.kind == "amount"), last)
            return
        if len(note) == 1 and last is None and note[0].word in self.lexicon.units:
            self.default_unit = self.lexicon.units[note[0].word].name
            return
        if not note or "remark" in kinds or note[0].kind == "of":
            return
        head = [item for item in note if item.kind in HEADS]
        if head and kinds.isdisjoint(("load", "xload", "height")):
            self.heads_in_note(note)
            return
        if "movement" in kinds:
            self._note_with_movement(note, last)
            return
        if "each_person" in kinds and kinds.isdisjoint(("load", "xload", "height")):
            self.each_known = True
            return
        ladder = next((item for item in note if item.kind == "amount" and len(item.value.steps) > 1), None)
        if last is None and ladder is not None and self.current_group().scheme is None:
            self.current_group().scheme, self.current_group().scheme_at = ladder.value, (ladder.start, ladder.end)
            return
        if last is None:
            self._before_stations([*segment.items, *note])
            return
        counts = [item for item in note if item.kind in AMOUNTS]
        if counts and self.section().share and not kinds.isdisjoint(("each", "each_person")):
            self.each_known = True
            return
        if len(counts) > 1 or "and_so_on" in kinds or (counts and self.is_tempo(counts[0])):
            return
        if len(note) == 1 and self._lone_unit(note, last):
            return
        if len(note) == 1 and counts and self._bare_figure(last, counts[0]):
            return
        if counts and counts[0].kind == "amount" and counts[0].value.sides == 2:
            return
        if (
            counts
            and last.amount is not None
            and last.amount.steps
            and not kinds.intersection(("load", "xload", "height", "quote"))
        ):
            if not kinds.intersection(("per_side", "side")):
                self._total(counts[0], last, note)
            return
        if counts and "per_side" in kinds:
            return
        apply_figures(last, [item for item in note if item.kind != "plus"], -1, self.lexicon)
        last.end = max(last.end, note[-1].end)

    def _times_note(self, item: Item, last: StationDraft | None) -> None:
        """`(5x)`: so many rounds of what follows, or sets of the station before."""
        figure = item.value.steps[0].value if item.value.steps else 1.0
        if self.section().fresh:
            self.current_group().rounds = int(figure)
        elif last is not None and last.amount is not None:
            last.amount = replace(last.amount, sets=last.amount.sets * max(1, int(min(figure, 1e4))))

    def is_tempo(self, item: Item) -> bool:
        """`31X1` in a bracket: a tempo."""
        return bool(_TEMPO.fullmatch(self.text[item.start : item.end].strip()))

    def _bare_figure(self, last: StationDraft, item: Item) -> bool:
        """`box jumps (24)`, `thrusters (43/30)`: a height or load without its unit."""
        amount: Amount = item.value
        if item.kind != "amount" or amount.sets > 1 or len(amount.steps) != 1 or amount.sides > 1 or "reps" in item.parts:
            return False
        figure = amount.steps[0]
        if last.amount is not None and last.amount.steps and figure.value == last.amount.steps[0].value:
            return False
        movement = self.lexicon.catalogue.movements[last.movement]
        if "box" in last.movement or last.movement in ("step_up", "depth_jump", "hurdle_jump"):
            if last.height is None and 12 <= figure.value <= 130:
                last.height = Height(figure, "")
                return True
        elif movement.load == "needs" and last.load is None:
            last.load = Load((figure,), "")
            return True
        return False

    def _note_with_movement(self, note: list[Item], last: StationDraft | None) -> None:
        kinds = {item.kind for item in note}
        if "equals" in kinds:
            return
        if "each_person" in kinds:
            self.each_known = True
            return
        if "per" in kinds and self._swap(note):
            return
        movement = next(item for item in note if item.kind == "movement")
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

    def _total(self, item: Item, last: StationDraft, items: list[Item]) -> None:
        """A total stated beside the work: checked later against what was prescribed."""
        self.totals.append((last, self.current_group(), item))

    # --- options --------------------------------------------------------------------------------------------------

    def scaled(self, items: list[Item], named: bool) -> None:
        """What stands in for a station when the scaled option is taken."""
        from_swap = self._swap(items)
        if from_swap:
            return
        target = self.last_station()
        movement = next((item for item in items if item.kind == "movement"), None)
        piece = station_of(items, self.lexicon, 0) if movement is not None else None
        self.options.append((target, piece, [item for item in items if item.kind in _FIGURES], items))

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
        if len(movements) < 2 or link is None or not movements[0].start < link.start < movements[-1].start:
            return False
        count = next((item.value for item in items if item.kind == "amount" and item.start < movements[0].start), None)
        other = next(
            (item.value for item in items if item.kind == "amount" and link.start < item.start < movements[-1].start),
            None,
        )
        ratio = count.steps[0].value if count is not None and count.steps else 1.0
        ratio = next((item.value for item in items if item.kind == "ratio"), ratio)
        if other is not None and other.steps and other.steps[0].value:
            ratio /= other.steps[0].value
        self.swaps.append((movements[-1].value, movements[0].value, ratio))
        return True

    # --- words that name nothing known ----------------------------------------------------------------------------

    def _unknown(self, segment: Segment, items: list[Item]) -> bool:
        """Words with a count in front, or a scheme behind, that name no movement known."""
        while items and items[0].kind in ("at", "of", "with", "a", "to", "each", "and", "for_word", "plus"):
            items = items[1:]
        words = [item for item in items if item.kind == "word"]
        if not words:
            return False
        first = items[0]
        counted = (
            (first.kind in ("amount", "cals", "dist") or _short(first, items, self.current_group().rounds))
            and len(items) > 1
            and items[1].kind in ("word", "alternating", "pace", "of")
        )
        behind = first.kind == "word" and any(
            item.kind == "amount" and (item.value.sets > 1 or len(item.value.steps) > 2) for item in items
        )
        alone = len(items) == len(words) <= 3 and self._expects_station(segment)
        if not (counted or behind or alone):
            return False
        return self._guess(segment, items, words, sure=counted or behind)

    def _expects_station(self, segment: Segment) -> bool:
        group = self.current_group()
        return segment.starts_line and (group.scheme is not None) and segment.after in ("newline", "comma")

    def _guess(self, segment: Segment, items: list[Item], words: list[Item], sure: bool) -> bool:
        text = " ".join(word.word for word in words)
        self.guesses += 1
        guess = self.lexicon.likely(text) if self.guesses <= _GUESSES else None
        if guess is not None:
            self.find(
                "read_as", words[0].start, words[-1].end, word=self.text[words[0].start : words[-1].end], movement=guess
            )
            place = items.index(words[0])
            named = Item("movement", words[0].start, words[-1].end, guess, text)
            fixed = [item for item in items[:place]] + [named] + [item for item in items[place:] if item.kind != "word"]
            segment.content = True
            self._stations(segment, fixed)
            return True
        if sure:
            self.find("unknown_movement", words[0].start, words[-1].end, word=self.text[words[0].start : words[-1].end])
            self.lost.append((self.current_group(), items[0].start))
        return sure


def _without_blank(items: list[Item]) -> list[Item]:
    """`5 x ?`, `3 x __`: a count left open is no count."""
    for at, item in enumerate(items):
        if (
            item.kind in ("query", "blank")
            and at > 1
            and items[at - 1].kind == "times"
            and items[at - 2].kind == "amount"
        ):
            return items[: at - 2] + items[at + 1 :]
    return items


def _short(item: Item, items: list[Item], rounds: int) -> bool:
    """A time of work rather than of the day: several sets, or seconds of something or in a round."""
    if item.kind != "dur" or item.word == "clock" or not item.value.steps:
        return False
    named = rounds > 1 or (len(items) > 1 and items[1].kind == "of")
    return item.value.sets > 1 or (item.value.unit == "s" and named)


def last_kind(station: StationDraft) -> str:
    """The kind of figure that a station's amount is."""
    measure = station.amount.measure if station.amount else "reps"
    return {"reps": "amount", "distance_m": "dist", "duration_s": "dur", "calories": "cals"}[measure]


_IMPLEMENT_KINDS = ("plate", "vest", "sandbag", "ball", "bar", "dumbbell", "dumbbells", "kettlebell", "kettlebells")
_HELD = frozenset([*_IMPLEMENT_KINDS, "box", "target", "men", "women"])
_GUESSES = 20
"""Slips of typing looked up in one text; a lookup takes as long as a fifth of a text."""
_REPS_OF = {"single": 1.0, "double": 2.0, "triple": 3.0}
_ALL = frozenset(
    ["all", "everything", "alles", "alle", "todo", "todos", "todas", "tout", "toutes", "tous", "tudo", "both", "whole"]
)
