"""What was done: the tree and the score of one athlete together, section by section."""

from __future__ import annotations

from dataclasses import replace

from keelmark.catalogue import Catalogue
from keelmark.notation.by_name import ByName
from keelmark.notation.context import Context
from keelmark.notation.entries import (
    amount_is_open,
    divided,
    is_open,
    open_stations,
)
from keelmark.notation.expand import Done, Doubts
from keelmark.notation.levels import at_level
from keelmark.notation.score_kinds import Score
from keelmark.notation.tree import Group, Prescription, Section, Station

__all__ = ["Meaning", "work_done"]


def work_done(
    tree: Prescription, scores: list[Score], context: Context, catalogue: Catalogue
) -> tuple[list[Done], Doubts]:
    """Every set that the athlete did, in order, and the doubts met on the way."""
    doubts = Doubts()
    meaning = Meaning(at_level(tree, context, doubts), context, catalogue)
    meaning.doubts.found.extend(doubts.found)
    return meaning.run(scores), meaning.doubts


def _unbroken(section: Section) -> Section:
    """The section without the work that is only done at breaks."""
    if not any(s.when == "each_break" for group in section.groups for s in group.stations):
        return section
    groups = (replace(g, stations=tuple(s for s in g.stations if s.when != "each_break")) for g in section.groups)
    return replace(section, groups=tuple(group for group in groups if group.stations))


class Meaning(ByName):
    """Works through the sections of one tree for one athlete."""

    def run(self, scores: list[Score]) -> list[Done]:
        """All sections with the scores that belong to them."""
        given = self._assign(scores)
        self.expander.chosen = frozenset(name for score in scores for name in score.lists)
        groups = [group for section in self.tree.sections for group in section.groups]
        self.expander.builds = frozenset(s.movement for g in groups for s in g.stations if amount_is_open(s, g))
        done: list[Done] = []
        for number, section in enumerate(self.tree.sections):
            score = given.get(number)
            part = self._section(_unbroken(section), score) + self._at_breaks(section, score)
            if score is not None and score.load is not None:
                part = self._with_load(part, score.load)
            part = self._shared(section, part, score)
            for entry in part:
                entry.section = number
            done.extend(part)
        for item in done:
            if item.entry.basis == "unknown" and item.entry.station.load is None:
                self.doubts.add("load_not_told", item.entry.station, movement=item.entry.movement)
        return done

    def _section(self, section: Section, score: Score | None) -> list[Done]:
        if score is not None and score.kind == "unclear":
            self._told(section, "ambiguous_result", found=f"{score.reps:g}")
            return []
        in_turn = self._figures_in_turn(section, score)
        if in_turn is not None:
            return in_turn
        if score is not None and score.kind in ("list", "reps", "number") and open_stations(section) > 1:
            score = self._dealt_out(section, score)
        told = self._told_by_station(section, score) if score is not None else None
        if told is not None:
            return told
        counted = section.kind == "work" and section.seconds is not None and score is not None
        if section.kind == "amrap" or (counted and score is not None and score.kind == "rounds"):
            return self._amrap(section, score)
        if section.kind == "until_miss":
            return self._until_miss(section, score)
        if section.kind == "every":
            return self._every(section, score)
        if section.kind == "intervals":
            return self._intervals(section, score)
        return self._in_order(section, score)

    def _at_breaks(self, section: Section, score: Score | None) -> list[Done]:
        """`each time you break, 5 burpees`: as often as the score tells."""
        stations = [s for group in section.groups for s in group.stations if s.when == "each_break"]
        breaks = score.breaks if score is not None else None
        if breaks is None:
            for station in stations:
                self.doubts.add("missing_result", station, movement=station.movement)
            return []
        entries = (entry for station in stations for entry in self.expander.sets(station, None, section))
        return [Done(entry, breaks) for entry in entries if breaks]

    def _dealt_out(self, section: Section, score: Score) -> Score | None:
        """A list for several open stations, one after the other; None where it does not tell which figure is whose."""
        waiting = [(g, s) for g in section.groups for s in g.stations if amount_is_open(s, g)]
        sets = [max(1, (s.amount.sets if s.amount is not None else 1)) * g.rounds for g, s in waiting]
        in_turn = any(g.rounds > 1 and sum(amount_is_open(s, g) for s in g.stations) > 1 for g, _ in waiting)
        if score.kind != "list" or len(score.values) != sum(sets) or in_turn:
            self._told(section, "ambiguous_result", found=f"figures for {len(waiting)} movements")
            return None
        parts: list[Score] = []
        left = list(score.values)
        for number in sets:
            parts.append(Score("list", values=left[:number]))
            left = left[number:]
        return Score("each", each=parts)

    def _in_order(self, section: Section, score: Score | None) -> list[Done]:
        """Work with an end: all of it, or as much as the score tells."""
        if score is not None and score.kind == "time" and section.cap is not None and score.seconds > section.cap + 1:
            self._told(section, "result_conflict", found=f"a time beyond the cap of {section.cap / 60:g} min")
        if (
            score is not None
            and score.kind == "loads"
            and section.kind == "for_time"
            and not self._wants_loads(section)
        ) and not is_open(section):
            self._told(section, "result_conflict", found="loads, where a time is the score")
            return []
        if score is not None and score.kind == "number" and section.kind == "work" and self._wants_loads(section):
            score = Score("loads", values=[score.reps], own=score.own, uniform=score.uniform)
        if score is not None and score.kind == "lists":
            return self._lists_in_order(section, score)
        if score is not None and score.kind in ("list", "loads"):
            special = self._lists(section, score)
            if special is not None:
                return special
        timed = self._timed_effort(section, score)
        if timed is not None and score is not None:
            return self._told_amounts(timed, section, score)
        prefix = self._prefix(section, score)
        if prefix is not None:
            return prefix
        done: list[Done] = []
        for group in section.groups:
            if any(station.when.startswith("each_minute") for station in group.stations):
                done.extend(self._interrupts(section, group, score))
                group = Group(
                    tuple(s for s in group.stations if not s.when.startswith("each_minute")),
                    group.rounds,
                    group.scheme,
                    group.role,
                )
            done.extend(self._group(group, section, score))
        return done

    def _timed_effort(self, section: Section, score: Score | None) -> Station | None:
        """The only station, where it is done for a time and the score counts what was done in it."""
        stations = [station for group in section.groups for station in group.stations]
        if score is None or len(stations) != 1 or score.kind not in ("reps", "number", "list", "calories", "distance"):
            return None
        amount, measures = stations[0].amount, self.catalogue.movements[stations[0].movement].measures
        if amount is None or amount.measure != "duration_s" or amount.open or measures[0] == "duration_s":
            return None
        return stations[0]

    def _shared(self, section: Section, done: list[Done], score: Score | None) -> list[Done]:
        people = self.context.team_size or section.people
        common = [item for item in done if not item.entry.station.own]
        if section.share == "loose":
            people = self.context.team_size or 1
        if (
            section.share in ("", "own")
            or people < 2
            or (score is not None and score.own and score.kind != "time")
            or not common
        ):
            return done
        counts: dict[int, int] = {}
        for item in common:
            key = id(item.entry.station)
            counts[key] = counts.get(key, 0) + item.times
        turns = section.share == "turns" and all(count % people == 0 for count in counts.values())
        if not (section.share == "even" or (turns and all(item.part is None for item in common))):
            self.doubts.add("shared_work_split", common[0].entry.station, people=str(people))
        return [item if item.entry.station.own else divided(item, people) for item in done]
