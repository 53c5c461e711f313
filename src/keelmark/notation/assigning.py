"""Which score belongs to which section."""

from __future__ import annotations

from dataclasses import replace

from keelmark.catalogue import Catalogue
from keelmark.notation.context import Context
from keelmark.notation.entries import (
    amount_is_open,
    is_open,
    is_timed_hold,
    named_for,
    open_stations,
)
from keelmark.notation.expand import Doubts, Expander
from keelmark.notation.score_kinds import Score
from keelmark.notation.tree import Prescription, Section

__all__ = ["Assigning"]


class Assigning:
    """The tree, the athlete and the doubts; gives each score its section."""

    def __init__(self, tree: Prescription, context: Context, catalogue: Catalogue) -> None:
        self.tree = tree
        self.context = context
        self.catalogue = catalogue
        self.doubts = Doubts()
        self.expander = Expander(catalogue, context, self.doubts)

    def _assign(self, scores: list[Score]) -> dict[int, Score]:
        given: dict[int, Score] = {}
        sections = self.tree.sections
        left: list[Score] = []
        for score in self._one_for_each(self._by_section(scores)):
            place = self._labelled(score) if score.label else (self._section_of(score, given) if score.of else None)
            if place is not None and place not in given:
                given[place] = score
            else:
                left.append(score)
        order = [n for n, section in enumerate(sections) if n not in given and self._takes_score(section)]
        if len(left) > 1 and len(order) >= len(left):
            for number, score in zip(order, left, strict=False):
                given[number] = score
            return given
        if len(left) > 1 and len(order) == 1 and not given and open_stations(sections[order[0]]) == len(left):
            return {order[0]: Score("each", each=left)}
        left = self._without_time_of_rest(left)
        if len(left) > 2 and len(sections) == 1 and all(s.kind == "rounds" and len(s.values) == 2 for s in left):
            left = [Score("by_row", rows=[score.values for score in left])]
        closed = len(sections) == 1 and sections[0].kind == "work" and not is_open(sections[0])
        if closed and len(left) > 1 and all(score.kind == "list" and not score.unit for score in left):
            return {0: Score("lists", each=left)}
        for score in left:
            best = self._best(score, order, given)
            if best is not None:
                given[best] = score
        return given

    def _without_time_of_rest(self, scores: list[Score]) -> list[Score]:
        """`6:50; L-sit 25, 22, 18 s`: the time is that of the work that is written out, not of the sets left open."""
        if len(scores) != 2 or len(self.tree.sections) != 1 or self.tree.sections[0].kind != "for_time":
            return scores
        section = self.tree.sections[0]
        stations = [(group, station) for group in section.groups for station in group.stations]
        waiting = [station for group, station in stations if amount_is_open(station, group)]
        if not 0 < len(waiting) < len(stations) or any(station.when for _, station in stations):
            return scores
        others = [score for score in scores if score.kind != "time"]
        if len(others) == 1 and others[0].kind in ("list", "named", "by_name", "number", "reps"):
            return others
        held = all(self.catalogue.movements[station.movement].measures[0] == "duration_s" for station in waiting)
        return scores[1:] if not others and held else scores

    def _by_section(self, scores: list[Score]) -> list[Score]:
        """`push-ups 72, sit-ups 104` of two parts of a day: what was told of each part."""
        found: list[Score] = []
        for score in scores:
            told = {**score.by_movement, **score.lists}
            places = {name: self._holds(name) for name in told}
            parts = set(places.values())
            if score.kind not in ("named", "by_name") or score.label or len(parts) < 2 or None in parts:
                found.append(score)
                continue
            for part in sorted(place for place in parts if place is not None):
                own = [name for name in told if places[name] == part]
                counts = {name: score.by_movement[name] for name in own if name in score.by_movement}
                lists = {name: score.lists[name] for name in own if name in score.lists}
                found.append(replace(score, by_movement=counts, lists=lists, of=own[0]))
        return found

    def _one_for_each(self, scores: list[Score]) -> list[Score]:
        """`50, 47, 42, 40 reps` of four AMRAPs: what was made in each of them."""
        sections = [section for section in self.tree.sections if section.kind == "amrap"]
        if len(scores) != 1 or scores[0].kind != "list" or scores[0].label or len(sections) < 2:
            return scores
        values = scores[0].values
        whole = len(values) == len(sections) == len([s for s in self.tree.sections if self._takes_score(s)])
        if not whole or scores[0].unit or any(is_open(section) for section in sections):
            return scores
        return [replace(scores[0], kind="reps", reps=value, values=[]) for value in values]

    def _holds(self, movement: str) -> int | None:
        """The first section that holds a movement."""
        for number, section in enumerate(self.tree.sections):
            if any(named_for(station, [movement]) for group in section.groups for station in group.stations):
                return number
        return None

    def _labelled(self, score: Score) -> int | None:
        if score.label.islower():
            return self._titled(score.label)
        letter, place = score.label[:1], int(score.label[1:] or 0) if score.label[1:].isdigit() else 0
        own = [number for number, section in enumerate(self.tree.sections) if section.label.upper() == letter]
        if place and letter.isalpha():
            return own[place - 1] if place <= len(own) else (own[-1] if own else None)
        for number, section in enumerate(self.tree.sections):
            if section.label.upper() == score.label:
                return number
        place = int(score.label) - 1 if score.label.isdigit() else ord(score.label) - ord("A")
        scored = [n for n, section in enumerate(self.tree.sections) if self._takes_score(section)]
        if 0 <= place < len(scored):
            return scored[place]
        return None

    def _titled(self, title: str) -> int | None:
        """The part of the day of that title, or the one that ends it."""
        sections = self.tree.sections
        for number, section in enumerate(sections):
            ends = any(group.role == title for group in section.groups)
            if section.label == title or (ends and len(sections) > 1):
                return number
        return None

    def _takes_score(self, section: Section) -> bool:
        return section.kind in ("amrap", "until_miss", "for_time", "intervals") or is_open(section)

    def _best(self, score: Score, order: list[int], given: dict[int, Score]) -> int | None:
        sections = self.tree.sections
        free = [n for n in order if n not in given]

        def first(*kinds: str) -> int | None:
            return next((n for n in free if sections[n].kind in kinds), None)

        if score.kind == "time":
            held = next((n for n in free if is_timed_hold(sections[n])), None)
            if held is not None:
                return held
            found = first("for_time")
            if found is None and free and all(sections[n].kind == "amrap" for n in range(len(sections))):
                found = free[0]
            return found if found is not None else self._plain(given)
        if score.kind in ("named", "by_name", "chosen"):
            return self._section_of(score, given)
        if score.kind in ("by_row", "lowest", "last"):
            return self._counted_section(score, given)
        if score.kind in ("rounds", "reps", "left", "through", "in_round", "into_rung", "number"):
            found = first("amrap", "until_miss")
            if found is None:
                found = next((n for n in free if is_open(sections[n])), None)
            if found is None:
                found = first("for_time", "intervals")
            return found if found is not None else self._plain(given)
        if score.kind in ("list", "loads"):
            found = next((n for n in free if is_open(sections[n])), None)
            if found is not None:
                return found
            found = next((n for n in range(len(sections)) if n not in given and self._wants_loads(sections[n])), None)
            return found if found is not None else (free[0] if free else self._plain(given))
        return free[0] if free else self._plain(given)

    def _section_of(self, score: Score, given: dict[int, Score]) -> int | None:
        """The section that holds the movements named in a score."""
        wanted = {*score.lists, *score.by_movement, *([score.of] if score.of else [])}
        for number, section in enumerate(self.tree.sections):
            if number in given:
                continue
            for group in section.groups:
                for station in group.stations:
                    if named_for(station, wanted) is not None:
                        return number
        return self._plain(given)

    def _counted_section(self, score: Score, given: dict[int, Score]) -> int | None:
        """The first section of several sets or rounds whose movement is counted, not held."""
        for number, section in enumerate(self.tree.sections):
            stations = [(group, station) for group in section.groups for station in group.stations]
            held = all(self.catalogue.movements[s.movement].measures[0] == "duration_s" for _, s in stations)
            sets = max((group.rounds * (s.amount.sets if s.amount else 1) for group, s in stations), default=1)
            several = (section.windows or 1) > 1 or sets > 1
            steps = any(s.amount is not None and len(s.amount.steps) > 1 for _, s in stations)
            if number not in given and not held and (several or steps):
                return number
        return self._plain(given)

    def _wants_loads(self, section: Section) -> bool:
        return any(
            station.load is None and self.catalogue.movements[station.movement].load == "needs" and group.rounds == 1
            for group in section.groups
            for station in group.stations
        )

    def _plain(self, given: dict[int, Score]) -> int | None:
        return next((n for n in reversed(range(len(self.tree.sections))) if n not in given), None)

    def _told(self, section: Section, code: str, **data: str) -> None:
        station = next((station for group in section.groups for station in group.stations), None)
        self.doubts.add(code, station, **data)
