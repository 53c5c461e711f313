"""What was done: the tree and the score of one athlete together, section by section."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import chain, islice

from keelmark.catalogue import Catalogue
from keelmark.notation.context import Context
from keelmark.notation.expand import Done, Doubts, Entry, Expander, rounds_of
from keelmark.notation.score import Score
from keelmark.notation.tree import Group, Prescription, Section, Station

__all__ = ["Meaning", "work_done"]

_MOST_ROUNDS = 5000


def work_done(
    tree: Prescription, scores: list[Score], context: Context, catalogue: Catalogue
) -> tuple[list[Done], Doubts]:
    """Every set that the athlete did, in order, and the doubts met on the way."""
    meaning = Meaning(tree, context, catalogue)
    return meaning.run(scores), meaning.doubts


class Meaning:
    """Works through the sections of one tree for one athlete."""

    def __init__(self, tree: Prescription, context: Context, catalogue: Catalogue) -> None:
        self.tree = tree
        self.context = context
        self.catalogue = catalogue
        self.doubts = Doubts()
        self.expander = Expander(catalogue, context, self.doubts)

    def run(self, scores: list[Score]) -> list[Done]:
        """All sections with the scores that belong to them."""
        given = self._assign(scores)
        done: list[Done] = []
        for number, section in enumerate(self.tree.sections):
            score = given.get(number)
            part = self._section(section, score)
            part = self._shared(section, part, score)
            for entry in part:
                entry.section = number
            done.extend(part)
        return done

    # --- which score belongs where ------------------------------------------------------------------------------------

    def _assign(self, scores: list[Score]) -> dict[int, Score]:
        given: dict[int, Score] = {}
        sections = self.tree.sections
        left: list[Score] = []
        for score in scores:
            place = self._labelled(score) if score.label else None
            if place is not None and place not in given:
                given[place] = score
            else:
                left.append(score)
        order = [n for n, section in enumerate(sections) if n not in given and self._takes_score(section)]
        if len(left) > 1 and len(order) >= len(left):
            for number, score in zip(order, left, strict=False):
                given[number] = score
            return given
        for score in left:
            number = self._best(score, order, given)
            if number is not None:
                given[number] = score
        return given

    def _labelled(self, score: Score) -> int | None:
        for number, section in enumerate(self.tree.sections):
            if section.label.upper() == score.label:
                return number
        place = int(score.label) - 1 if score.label.isdigit() else ord(score.label) - ord("A")
        scored = [n for n, section in enumerate(self.tree.sections) if self._takes_score(section)]
        if 0 <= place < len(scored):
            return scored[place]
        return None

    def _takes_score(self, section: Section) -> bool:
        return section.kind in ("amrap", "until_miss", "for_time", "intervals") or _is_open(section)

    def _best(self, score: Score, order: list[int], given: dict[int, Score]) -> int | None:
        sections = self.tree.sections
        free = [n for n in order if n not in given]

        def first(*kinds: str) -> int | None:
            return next((n for n in free if sections[n].kind in kinds), None)

        if score.kind == "time":
            held = next((n for n in free if _is_timed_hold(sections[n])), None)
            if held is not None:
                return held
            found = first("for_time")
            if found is None and free and all(sections[n].kind == "amrap" for n in range(len(sections))):
                found = free[0]
            return found if found is not None else self._plain(given)
        if score.kind in ("rounds", "reps", "through", "in_round", "into_rung", "number"):
            found = first("amrap", "until_miss")
            if found is None:
                found = next((n for n in free if _is_open(sections[n])), None)
            if found is None:
                found = first("for_time", "intervals")
            return found if found is not None else self._plain(given)
        if score.kind in ("list", "loads"):
            found = next((n for n in free if _is_open(sections[n])), None)
            if found is not None:
                return found
            found = next((n for n in range(len(sections)) if n not in given and self._wants_loads(sections[n])), None)
            return found if found is not None else (free[0] if free else self._plain(given))
        return free[0] if free else self._plain(given)

    def _wants_loads(self, section: Section) -> bool:
        return any(
            station.load is None and self.catalogue.movements[station.movement].load == "needs" and group.rounds == 1
            for group in section.groups for station in group.stations
        )  # fmt: skip

    def _plain(self, given: dict[int, Score]) -> int | None:
        return next((n for n in reversed(range(len(self.tree.sections))) if n not in given), None)

    # --- sections -----------------------------------------------------------------------------------------------------

    def _section(self, section: Section, score: Score | None) -> list[Done]:
        if score is not None and score.kind == "unclear":
            self._told(section, "ambiguous_result", found=f"{score.reps:g}")
            return []
        if score is not None and score.kind == "named":
            return self._named(section, score)
        if section.kind == "amrap":
            return self._amrap(section, score)
        if section.kind == "until_miss":
            return self._until_miss(section, score)
        if section.kind == "every":
            return self._every(section, score)
        if section.kind == "intervals":
            return self._intervals(section, score)
        return self._in_order(section, score)

    def _named(self, section: Section, score: Score) -> list[Done]:
        """Amounts told by movement take the place of what was prescribed."""
        done = []
        for item in self._in_order(section, None):
            told = score.by_movement.get(item.entry.movement)
            if told is None:
                done.append(item)
                continue
            if any(other.entry.movement == item.entry.movement for other in done):
                continue
            entry = item.entry
            done.append(Done(_with_amount(entry, told)))
        return done

    def _in_order(self, section: Section, score: Score | None) -> list[Done]:
        """Work with an end: all of it, or as much as the score tells."""
        if score is not None and score.kind == "time" and section.cap is not None and score.seconds > section.cap + 1:
            self._told(section, "result_conflict", found=f"a time beyond the cap of {section.cap / 60:g} min")
        if score is not None and score.kind == "loads" and section.kind == "for_time" and not self._wants_loads(section):
            if not _is_open(section):
                self._told(section, "result_conflict", found="loads, where a time is the score")
                return []
        if score is not None and score.kind in ("list", "loads"):
            special = self._lists(section, score)
            if special is not None:
                return special
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

    def _group(self, group: Group, section: Section, score: Score | None) -> list[Done]:
        done: list[Done] = []
        for station in group.stations:
            done.extend(self._open(station, group, score))
        rounds = rounds_of(group, section, self.expander)
        if group.rounds > 1 and not _climbs(group) and all(s.when != "between_sets" for s in group.stations):
            once = next(rounds, [])
            done.extend(Done(entry, group.rounds) for entry in once)
        else:
            for entries in islice(rounds, _MOST_ROUNDS):
                done.extend(Done(entry) for entry in entries)
        return done

    def _open(self, station: Station, group: Group, score: Score | None) -> list[Done]:
        amount = station.amount or group.scheme
        if amount is None or not (amount.open or not amount.steps):
            return []
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
            return [
                Done(self.expander.open_entry(station, count, load * factor, n, len(pairs), measure))
                for n, (count, load) in enumerate(pairs)
            ]
        values = score.values or [score.reps]
        if score.kind == "rounds" and len(values) != sets:
            values = [float(score.rounds)] if not score.reps else values
        if score.kind in ("calories", "distance"):
            measure = {"calories": "calories", "distance": "distance_m"}[score.kind]
        return [
            Done(self.expander.open_entry(station, value, None, n, sets, measure)) for n, value in enumerate(values)
        ]

    def _lists(self, section: Section, score: Score) -> list[Done] | None:
        """A list of figures, one for each set: reps where a range was written, loads where none was."""
        stations = [(group, station) for group in section.groups for station in group.stations]
        if any(_open_amount(station, group) for group, station in stations):
            return None
        for group, station in stations:
            entries = self.expander.sets(station, group.scheme, section)
            ranged = any(entry.low != entry.high for entry in entries)
            wants = station.load is None and self.catalogue.movements[station.movement].load == "needs"
            if score.kind == "loads" or (wants and not ranged):
                if not wants and not score.pairs:
                    continue
                return self._loaded(section, station, entries, score)
            if ranged and len(entries) == len(score.values):
                rest = [done for done in self._in_order(section, None) if done.entry.station is not station]
                return [
                    Done(_with_amount(entry, value)) for entry, value in zip(entries, score.values, strict=True)
                ] + rest
            if ranged:
                self.doubts.add(
                    "result_conflict", station, found=f"{len(score.values)} figures for {len(entries)} sets"
                )
                return None
        return None

    def _loaded(self, section: Section, station: Station, entries: list[Entry], score: Score) -> list[Done]:
        factor = 0.45359237 if score.unit == "lb" else 1.0
        rest = [done for done in self._in_order(section, None) if done.entry.station is not station]
        loads = [value * factor for value in score.values]
        self.expander.heaviest = max(loads, default=0.0)
        if score.pairs:
            made = [_with_amount(entries[0], reps) for reps, _ in score.pairs]
            return [Done(_with_load(entry, load)) for entry, load in zip(made, loads, strict=True)] + rest
        if len(loads) == len(entries):
            return [Done(_with_load(entry, load)) for entry, load in zip(entries, loads, strict=True)] + rest
        if len(loads) == 1:
            self.doubts.add("ambiguous_result", station, found=f"one load for {len(entries)} sets")
            return [Done(entry) for entry in entries] + rest
        self.doubts.add("result_conflict", station, found=f"{len(loads)} loads for {len(entries)} sets")
        return [Done(entry) for entry in entries] + rest

    # --- how far ------------------------------------------------------------------------------------------------------

    def _flow(self, section: Section) -> Iterator[list[Entry]]:
        return chain.from_iterable(rounds_of(group, section, self.expander) for group in section.groups)

    def _prefix(self, section: Section, score: Score | None) -> list[Done] | None:
        """The beginning of the work, as far as the score tells; None when it was all done."""
        if (
            score is None
            or score.kind not in ("rounds", "reps", "through", "in_round", "into_rung", "number")
            or _is_open(section)
        ):
            return None
        flow = list(islice(self._flow(section), _MOST_ROUNDS))
        total = sum(entry.units for entries in flow for entry in entries)
        if score.kind in ("reps", "number"):
            if score.kind == "number":
                self._told(section, "ambiguous_result", found=f"{score.reps:g}")
            if score.reps > total + 1e-9:
                self._told(section, "result_conflict", found=f"{score.reps:g} reps, where {total:g} were prescribed")
                return []
            return _first_units(flow, score.reps)
        return self._rounds_of_finite(section, flow, score)

    def _rounds_of_finite(self, section: Section, flow: list[list[Entry]], score: Score) -> list[Done]:
        rounds, left = score.rounds, score.reps
        if score.kind == "through":
            rounds = self._rung_number(section, score.rounds)
        if score.kind == "in_round":
            rounds = max(0, score.rounds - 1)
        if score.kind == "into_rung":
            rounds = max(0, self._rung_number(section, score.rounds) - 1)
        once = self._before_rounds(section)
        if rounds > len(flow) - len(once) or (rounds == len(flow) - len(once) and left):
            self._told(section, "result_conflict", found=f"{rounds} rounds, where {len(flow)} were prescribed")
            return []
        if score.partial and len(once) + rounds < len(flow):
            left = _units_told(flow[len(once) + rounds], score)
        done = [Done(entry) for entries in flow[: len(once) + rounds] for entry in entries]
        following = flow[len(once) + rounds :]
        if score.kind in ("in_round", "into_rung") and not left and following:
            done.extend(Done(entry, 1, entry.amount / 2, 0.0, entry.amount) for entry in following[0])
            return done
        return done + _first_units(following[:1], left)

    def _before_rounds(self, section: Section) -> list[list[Entry]]:
        """The work before the rounds that a score counts: a buy-in, or what stands before a group of several rounds."""
        first = next((n for n, group in enumerate(section.groups) if group.rounds > 1 or _climbs(group)), 0)
        return [
            entries
            for n, group in enumerate(section.groups)
            if n < first or group.role == "buy_in"
            for entries in rounds_of(group, section, self.expander)
        ]

    def _told(self, section: Section, code: str, **data: str) -> None:
        station = next((station for group in section.groups for station in group.stations), None)
        self.doubts.add(code, station, **data)

    # --- open-ended ---------------------------------------------------------------------------------------------------

    def _amrap(self, section: Section, score: Score | None) -> list[Done]:
        once = [group for group in section.groups if group.role == "buy_in"]
        cycle = [group for group in section.groups if group.role != "buy_in"]
        done = [item for group in once for item in self._group(group, section, score)]
        if not cycle:
            return done
        if score is None:
            self._told(section, "missing_result")
            return done
        if score.kind in ("time", "done", "loads"):
            self._told(section, "result_conflict", found="a time" if score.kind == "time" else "loads")
            return done
        if len(cycle) == 1 and len(cycle[0].stations) == 1 and _open_amount(cycle[0].stations[0], cycle[0]):
            return done + self._open(cycle[0].stations[0], cycle[0], score)
        for group in cycle:
            for station in group.stations:
                if station.when == "each_minute" and section.seconds:
                    done.extend(
                        Done(e, math.ceil(section.seconds / 60)) for e in self.expander.sets(station, None, section)
                    )
        interrupting = any(s.when.startswith("each_minute") for g in cycle for s in g.stations)
        if interrupting:
            cycle = [
                Group(
                    tuple(s for s in g.stations if not s.when.startswith("each_minute")),
                    g.rounds,
                    g.scheme,
                    g.role,
                    g.slots,
                )
                for g in cycle
            ]
        return done + self._cycles(section, cycle, score)

    def _cycles(self, section: Section, cycle: list[Group], score: Score) -> list[Done]:
        climbing = any(_climbs(group) for group in cycle)
        if score.kind == "list" and len(score.values) == 2:
            self._told(section, "ambiguous_result", found=" and ".join(f"{v:g}" for v in score.values))
            score = Score("rounds", rounds=int(score.values[0]), reps=score.values[1], own=score.own)
        if climbing:
            return self._climb(section, cycle, score)
        once = [entry for group in cycle for entries in rounds_of(group, section, self.expander) for entry in entries]
        units = sum(entry.units for entry in once)
        if not once or units <= 0:
            return []
        rounds, left = score.rounds, score.reps
        if score.partial:
            left = _units_told(once, score)
        if score.kind in ("reps", "number"):
            if score.kind == "number" and not self._only_reps(section, score.reps):
                self._told(section, "ambiguous_result", found=f"{score.reps:g}")
                return []
            rounds, left = int(min(score.reps // units, 1e6)), score.reps % units
        elif score.kind == "in_round":
            rounds = max(0, rounds - 1)
        elif score.kind in ("calories", "distance", "list"):
            self._told(section, "result_conflict", found="a list" if score.kind == "list" else score.kind)
            return []
        if rounds > _MOST_ROUNDS:
            self._told(section, "result_conflict", found=f"{rounds} rounds")
            return []
        done = [Done(entry, rounds) for entry in once] if rounds else []
        if score.kind in ("in_round", "into_rung") and not left:
            return done + [Done(entry, 1, entry.amount / 2, 0.0, entry.amount) for entry in once]
        if left > units or (left == units and score.kind == "rounds"):
            self._told(section, "result_conflict", found=f"{left:g} in a round of {units:g}")
            return done
        return done + _first_units([once], left)

    def _only_reps(self, section: Section, figure: float) -> bool:
        """More rounds than the clock has half minutes: a bare number that can only be reps."""
        return figure.is_integer() and section.seconds is not None and figure > section.seconds / 30

    def _climb(self, section: Section, cycle: list[Group], score: Score) -> list[Done]:
        """A ladder without an end: rung after rung until the score is used up."""
        group = cycle[0]
        if score.kind in ("reps", "number"):
            if score.kind == "number":
                self._told(section, "ambiguous_result", found=f"{score.reps:g}")
            return _first_units(rounds_of(group, section, self.expander, _MOST_ROUNDS), score.reps)
        rounds, left = score.rounds, score.reps
        if score.kind == "through":
            rounds = self._rung_number(section, score.rounds)
        elif score.kind == "into_rung":
            rounds = max(0, self._rung_number(section, score.rounds) - 1)
        elif score.kind == "in_round":
            rounds = max(0, rounds - 1)
        flow = list(islice(rounds_of(group, section, self.expander, _MOST_ROUNDS), min(rounds + 1, _MOST_ROUNDS)))
        done = [Done(entry) for entries in flow[:rounds] for entry in entries]
        following = flow[rounds : rounds + 1]
        if score.kind in ("in_round", "into_rung") and not left and following:
            return done + [Done(entry, 1, entry.amount / 2, 0.0, entry.amount) for entry in following[0]]
        if following and left > sum(entry.units for entry in following[0]):
            self._told(
                section, "result_conflict", found=f"{left:g} in a round of {sum(e.units for e in following[0]):g}"
            )
            return done
        return done + _first_units(following, left)

    def _rung_number(self, section: Section, rung: int) -> int:
        """Which round of a ladder is "the round of 12"."""
        for group in section.groups:
            amounts = [group.scheme, *(station.amount for station in group.stations)]
            for amount in amounts:
                if amount is None or (len(amount.steps) < 2 and not amount.continues):
                    continue
                values = [step.value for step in amount.steps]
                if rung in values:
                    return values.index(rung) + 1
                if amount.continues and len(values) > 1 and values[-1] != values[-2]:
                    extra = (rung - values[-1]) / (values[-1] - values[-2])
                    if extra > 0 and float(extra).is_integer():
                        return min(len(values) + int(extra), _MOST_ROUNDS)
        return rung

    def _until_miss(self, section: Section, score: Score | None) -> list[Done]:
        if score is None:
            self._told(section, "missing_result")
            return []
        if score.kind == "time":
            score = Score("rounds", rounds=int(score.seconds // (section.window or 60.0)))
        return self._climb(section, list(section.groups), score) if section.groups else []

    # --- windows ------------------------------------------------------------------------------------------------------

    def _windows(self, section: Section) -> int | None:
        if section.windows is not None:
            return section.windows
        if section.seconds is not None and section.window:
            windows = section.seconds / section.window
            if abs(windows - round(windows)) > 1e-9:
                self._told(
                    section,
                    "uneven_rotation",
                    found=f"{section.seconds / 60:g} min",
                    window=f"{section.window / 60:g} min",
                )
            return int(windows + 1e-9)
        return None

    def _every(self, section: Section, score: Score | None) -> list[Done]:
        windows = self._windows(section)
        rotation = max((group.of_slots for group in section.groups), default=0)
        if windows is None and score is not None and score.kind in ("rounds", "number") and not _is_open(section):
            windows = int(score.rounds or score.reps)
        if windows is None:
            windows = rotation
            if not rotation:
                self._told(section, "missing_result")
                return []
        if rotation and section.windows is not None and section.windows < rotation:
            windows = section.windows * rotation
        if rotation and windows % rotation:
            self._told(section, "uneven_rotation", found=f"{windows} windows", stations=str(rotation))
        done: list[Done] = []
        windows = min(windows, _MOST_ROUNDS)
        for group in section.groups:
            if group.slots:
                turns = sum(1 for window in range(windows) if window % rotation + 1 in group.slots)
            else:
                turns = 1 if group.role in ("buy_in", "cash_out") else windows
            if turns > 1 and any(_rises(station, turns) for station in group.stations):
                done.extend(self._rising(group, section, turns))
            elif _climbs(group):
                for entries in islice(rounds_of(group, section, self.expander, turns), turns):
                    done.extend(Done(entry) for entry in entries)
            elif turns:
                for entries in islice(rounds_of(group, section, self.expander), _MOST_ROUNDS):
                    done.extend(Done(entry, turns) for entry in entries)
            for station in group.stations:
                done.extend(self._open(station, group, score))
        return done

    def _rising(self, group: Group, section: Section, turns: int) -> list[Done]:
        """Windows in which a load rises from one to the next."""
        done = []
        for station in group.stations:
            entries = self.expander.sets(station, group.scheme, section)
            once = len(entries) == turns and _rises(station, turns)
            done.extend(Done(entry, 1 if once else turns) for entry in entries)
        return done

    def _intervals(self, section: Section, score: Score | None) -> list[Done]:
        rotation = max((group.of_slots for group in section.groups), default=0)
        windows = section.windows or (rotation if rotation else 1)
        stations = [(group, station) for group in section.groups for station in group.stations]
        if (
            score is not None
            and len(stations) == 1
            and score.kind in ("reps", "list", "number", "calories", "distance")
        ):
            group, station = stations[0]
            if station.amount is None or station.amount.open:
                return self._told_amounts(station, score)
        done: list[Done] = []
        if rotation and windows % rotation and not any(_open_amount(s, g) for g, s in stations):
            self._told(section, "uneven_rotation", found=f"{windows} windows", stations=str(rotation))
        for group, station in stations:
            turns = (
                sum(1 for w in range(windows) if w % rotation + 1 in group.slots)
                if group.slots
                else windows * group.rounds
            )
            done.extend(Done(entry, turns) for entry in self.expander.sets(station, group.scheme, section))
            done.extend(self._open(station, group, score))
        return done

    def _told_amounts(self, station: Station, score: Score) -> list[Done]:
        measure = station.amount.measure if station.amount is not None else "reps"
        if score.kind in ("calories", "distance"):
            measure = {"calories": "calories", "distance": "distance_m"}[score.kind]
        elif station.amount is None and "reps" not in self.catalogue.movements[station.movement].measures:
            measure = "calories" if "calories" in self.catalogue.movements[station.movement].measures else "distance_m"
        values = score.values or [score.reps]
        return [
            Done(self.expander.open_entry(station, value, None, n, len(values), measure))
            for n, value in enumerate(values)
        ]

    def _interrupts(self, section: Section, group: Group, score: Score | None) -> list[Done]:
        seconds = None
        if score is not None and score.kind == "time":
            seconds = score.seconds
        elif section.cap is not None and score is not None:
            seconds = section.cap
        stations = [station for station in group.stations if station.when.startswith("each_minute")]
        if seconds is None:
            for station in stations:
                self.doubts.add("missing_result", station, movement=station.movement)
            return []
        windows = math.ceil(seconds / (section.window or 60.0))
        return [
            Done(entry, max(1, windows if station.when == "each_minute" else windows - 1))
            for station in stations
            for entry in self.expander.sets(station, None, section)
        ]

    # --- teams --------------------------------------------------------------------------------------------------------

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
        return [item if item.entry.station.own else _divided(item, people) for item in done]


def _divided(item: Done, people: int) -> Done:
    if item.times % people == 0 and item.part is None:
        return Done(item.entry, item.times // people)
    amount = (item.part if item.part is not None else item.entry.amount * item.times) / people
    return Done(_with_amount(item.entry, amount))


def _with_amount(entry: Entry, amount: float) -> Entry:
    return Entry(
        entry.station, entry.movement, entry.measure, amount, amount, amount, entry.load_kg, entry.basis, entry.height_cm,
        entry.start_cm, entry.version,
    )  # fmt: skip


def _with_load(entry: Entry, load: float) -> Entry:
    return Entry(
        entry.station, entry.movement, entry.measure, entry.amount, entry.low, entry.high, load, "external", entry.height_cm,
        entry.start_cm, entry.version,
    )  # fmt: skip


def _open_amount(station: Station, group: Group) -> bool:
    amount = station.amount or group.scheme
    return amount is not None and (amount.open or not amount.steps)


def _is_timed_hold(section: Section) -> bool:
    return any(
        station.amount is not None and station.amount.open and station.amount.measure == "duration_s"
        for group in section.groups
        for station in group.stations
    )


def _is_open(section: Section) -> bool:
    return any(_open_amount(station, group) for group in section.groups for station in group.stations) or (
        section.kind == "intervals"
        and any(station.amount is None for group in section.groups for station in group.stations)
    )


def _climbs(group: Group) -> bool:
    return group.scheme is not None or any(
        station.amount is not None
        and station.amount.sets == 1
        and (len(station.amount.steps) > 1 or station.amount.continues)
        for station in group.stations
    )


def _units_told(once: list[Entry], score: Score) -> float:
    """Units of a round begun, told by movement: all before the last one named, and as much of it as was told."""
    movement, count = score.partial[-1]
    units = 0.0
    for entry in once:
        if entry.movement == movement:
            return units + (entry.units if count is None else count)
        units += entry.units
    return sum(number or 1.0 for _, number in score.partial)


def _rises(station: Station, turns: int) -> bool:
    single = station.amount is not None and len(station.amount.steps) == 1 and station.amount.sets == 1
    return single and station.load is not None and len(station.load.steps) == turns


def _first_units(flow: Iterator[list[Entry]] | list[list[Entry]], units: float) -> list[Done]:
    """The first so many units of the work in order; the last entry may be done in part."""
    done: list[Done] = []
    left = units
    for entries in flow:
        for entry in entries:
            if left <= 1e-9:
                return done
            if entry.units <= left + 1e-9:
                done.append(Done(entry))
                left -= entry.units
            else:
                done.append(Done(entry, 1, left, left, left))
                return done
    return done
