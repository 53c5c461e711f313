"""Amounts and loads that only the score tells."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice

from keelmark.notation.entries import (
    amount_is_open,
    climbs,
    named_for,
    with_amount,
    with_load,
)
from keelmark.notation.expand import Done, Entry
from keelmark.notation.extent import MOST_ROUNDS, Extent
from keelmark.notation.rounds import rounds_of
from keelmark.notation.score_kinds import Score
from keelmark.notation.tree import Group, Section, Station

__all__ = ["Told"]


def _own_of(scores: list[Score], station: Station) -> Score | None:
    """The score that names the station, else the next in order; taken off the list."""
    if not scores:
        return None
    named = [score for score in scores if named_for(station, {**score.lists, **score.by_movement}) is not None]
    plain = [score for score in scores if not (score.lists or score.by_movement)]
    score = (named or plain or scores)[0]
    scores.remove(score)
    name = named_for(station, {**score.lists, **score.by_movement}) or ""
    values = score.lists.get(name) or [score.by_movement.get(name, 0.0)]
    return Score("list", values=values) if named else score


def _by_sets(score: Score, sets: int) -> Score:
    """`3x80, 2x85` of five sets: so many sets at each load; `60, +5 each set`: a load for each set."""
    if score.rise and len(score.values) == 1:
        return replace(score, values=[score.values[0] + n * score.rise for n in range(sets)])
    counts = [reps for reps, _ in score.pairs]
    if len(counts) == sets or sum(counts) != sets or not all(count.is_integer() for count in counts):
        return score
    return replace(score, pairs=[], values=[load for count, load in score.pairs for _ in range(int(count))])


class Told(Extent):
    """Fills in what the text leaves to the score."""

    def _in_order(self, section: Section, score: Score | None) -> list[Done]:
        """The work of a section with an end; the meaning does it."""
        raise NotImplementedError

    def _open(self, station: Station, group: Group, score: Score | None) -> list[Done]:
        amount = station.amount or group.scheme
        if amount is None or not (amount.open or not amount.steps):
            return []
        if score is not None and score.kind == "each":
            score = _own_of(score.each, station)
        if score is not None and score.kind == "time" and amount.measure == "duration_s":
            score = Score("list", values=score.values or [score.seconds], own=score.own)
        if score is None or score.kind in ("time", "done"):
            self.doubts.add("missing_result", station, movement=station.movement)
            return []
        sets = max(1, amount.sets * group.rounds)
        measure = amount.measure
        if amount.steps and (score.kind in ("loads", "list", "number")):
            reps = amount.steps[0].of(self.context.standard)
            loads = score.values or [score.reps]
            factor = 0.45359237 if score.unit == "lb" else 1.0
            pairs = score.pairs or [(reps, load) for load in loads]
            self.expander.heaviest = max(load for _, load in pairs) * factor
            self.expander.lifted[station.movement] = self.expander.heaviest
            return [
                Done(self.expander.open_entry(station, count, load * factor, n, len(pairs), measure))
                for n, (count, load) in enumerate(pairs)
            ]
        values = score.values or [score.reps]
        if score.kind == "list" and len(values) == sets + self._sets_before(station, group):
            values = values[-sets:]
        if score.kind == "rounds" and len(values) != sets:
            values = [float(score.rounds)] if not score.reps else values
        if score.kind in ("calories", "distance"):
            measure = {"calories": "calories", "distance": "distance_m"}[score.kind]
        return [
            Done(self.expander.open_entry(station, value, None, n, sets, measure)) for n, value in enumerate(values)
        ]

    def _sets_before(self, station: Station, group: Group) -> int:
        """How many sets of the same movement stand before it, of which a list of all sets tells as well."""
        own = group.stations.index(station)
        same = (other for other in group.stations[:own] if other.movement == station.movement and other.amount)
        return sum(other.amount.sets * len(other.amount.steps) for other in same if other.amount is not None)

    def _lists(self, section: Section, score: Score) -> list[Done] | None:
        """A list of figures, one for each set: reps where a range was written, loads where none was."""
        stations = [(group, station) for group in section.groups for station in group.stations]
        if any(amount_is_open(station, group) for group, station in stations):
            return None
        for group, station in stations:
            entries = self.expander.sets(station, group.scheme, section)
            ranged = any(entry.low != entry.high for entry in entries)
            wants = station.load is None and self.catalogue.movements[station.movement].load == "needs"
            if score.kind == "loads" or (wants and not ranged):
                if not wants and not score.pairs:
                    continue
                return self._loaded(section, station, entries, score)
            if ranged and len(score.values) == len(entries) * group.rounds:
                entries = entries * group.rounds
            if ranged and len(entries) == len(score.values):
                rest = [done for done in self._in_order(section, None) if done.entry.station is not station]
                return [
                    Done(with_amount(entry, value)) for entry, value in zip(entries, score.values, strict=True)
                ] + rest
            short = self._short_of_reps(section, entries, score) if group.rounds == 1 and not wants else None
            if short is not None:
                return short
            if ranged:
                self.doubts.add(
                    "result_conflict", station, found=f"{len(score.values)} figures for {len(entries)} sets"
                )
                return None
        return None

    def _lists_in_order(self, section: Section, score: Score) -> list[Done]:
        """`8,8,7,6; 12,11`: a list for each station whose sets have a range, in their order."""
        done: list[Done] = []
        lists = list(score.each)
        for group, station in [(g, s) for g in section.groups for s in g.stations]:
            entries = self.expander.sets(station, group.scheme, section) * group.rounds
            if not any(entry.low != entry.high for entry in entries):
                done.extend(Done(entry) for entry in entries)
                continue
            values = lists.pop(0).values if lists else []
            if values and len(values) != len(entries):
                self.doubts.add("result_conflict", station, found=f"{len(values)} figures for {len(entries)} sets")
                values = []
            made = (
                [with_amount(entry, value) for entry, value in zip(entries, values, strict=True)] if values else entries
            )
            done.extend(Done(entry) for entry in made)
        if lists:
            self._told(section, "ambiguous_result", found="more lists than movements")
        return done

    def _short_of_reps(self, section: Section, entries: list[Entry], score: Score) -> list[Done] | None:
        """`5, 5, 5, 4, 3` of five sets of five: the reps of each set, where the last ones were not all done."""
        alone = sum(len(group.stations) for group in section.groups) == 1
        plain = score.kind == "list" and not score.unit and len(score.values) == len(entries) > 1
        if not alone or not plain or section.kind != "work" or any(entry.measure != "reps" for entry in entries):
            return None
        if any(not 0 <= value <= entry.amount for value, entry in zip(score.values, entries, strict=True)):
            return None
        return [Done(with_amount(entry, value)) for entry, value in zip(entries, score.values, strict=True)]

    def _loaded(self, section: Section, station: Station, entries: list[Entry], score: Score) -> list[Done]:
        factor = 0.45359237 if score.unit == "lb" else 1.0
        score = _by_sets(score, len(entries))
        loads = [value * factor for value in score.values]
        self.expander.heaviest = self.expander.lifted[station.movement] = max(loads, default=0.0)
        rest = [done for done in self._in_order(section, None) if done.entry.station is not station]
        if score.pairs:
            made = [with_amount(entries[0], reps) for reps, _ in score.pairs]
            return [Done(with_load(entry, load)) for entry, load in zip(made, loads, strict=True)] + rest
        if score.missed and 0 < len(loads) == len(entries) - score.missed:
            entries = entries[: len(loads)]
        if len(loads) == len(entries):
            return [Done(with_load(entry, load)) for entry, load in zip(entries, loads, strict=True)] + rest
        if len(loads) == 1 and score.uniform:
            return [Done(with_load(entry, loads[0])) for entry in entries] + rest
        if len(loads) == 1:
            self.doubts.add("ambiguous_result", station, found=f"one load for {len(entries)} sets")
            return [Done(entry) for entry in entries] + rest
        self.doubts.add("result_conflict", station, found=f"{len(loads)} loads for {len(entries)} sets")
        return [Done(entry) for entry in entries] + rest

    def _group(self, group: Group, section: Section, score: Score | None) -> list[Done]:
        done: list[Done] = []
        for station in group.stations:
            done.extend(self._open(station, group, score))
        rounds = rounds_of(group, section, self.expander)
        if group.rounds > 1 and not climbs(group) and all(s.when != "between_sets" for s in group.stations):
            once = next(rounds, [])
            done.extend(Done(entry, group.rounds) for entry in once)
        else:
            for entries in islice(rounds, MOST_ROUNDS):
                done.extend(Done(entry) for entry in entries)
        return done
