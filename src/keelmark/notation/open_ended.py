"""Work without an end of its own: AMRAPs and ladders until a miss."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import islice

from keelmark.notation.entries import (
    amount_is_open,
    begun,
    climbs,
    first_units,
    is_beyond,
    is_somewhere,
    units_told,
)
from keelmark.notation.expand import Done, Entry
from keelmark.notation.extent import MOST_ROUNDS
from keelmark.notation.rounds import rounds_of
from keelmark.notation.score_kinds import Score
from keelmark.notation.told import Told
from keelmark.notation.tree import Group, Section

__all__ = ["OpenEnded"]

_KG = {"kg": 1.0, "lb": 0.45359237}


class OpenEnded(Told):
    """Counts rounds and units until the score is used up."""

    def _amrap(self, section: Section, score: Score | None) -> list[Done]:
        once = [group for group in section.groups if group.role == "buy_in"]
        last = [group for group in section.groups if group.role == "cash_out"]
        if last and len(section.groups) > len(last):
            rest = replace(section, groups=tuple(group for group in section.groups if group.role != "cash_out"))
            return self._amrap(rest, score) + [item for group in last for item in self._group(group, section, None)]
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
        if len(cycle) == 1 and len(cycle[0].stations) == 1 and amount_is_open(cycle[0].stations[0], cycle[0]):
            return done + self._open(cycle[0].stations[0], cycle[0], score)
        for group in cycle:
            for station in group.stations:
                if station.when.startswith("each_minute") and section.seconds:
                    times = math.ceil(section.seconds / (section.window or 60.0))
                    times -= station.when == "each_minute_later"
                    done.extend(Done(e, times) for e in self.expander.sets(station, None, section) if times > 0)
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
        climbing = any(climbs(group) for group in cycle)
        if score.kind == "list" and len(score.values) == 2:
            self._told(section, "ambiguous_result", found=" and ".join(f"{v:g}" for v in score.values))
            score = Score("rounds", rounds=int(score.values[0]), reps=score.values[1], own=score.own)
        if climbing:
            return self._climb(section, cycle, score)
        once = [entry for group in cycle for entries in rounds_of(group, section, self.expander) for entry in entries]
        units = sum(entry.units for entry in once)
        if not once or units <= 0:
            return []
        told = self._rounds_told(section, once, units, score)
        if told is None:
            return []
        rounds, left = told
        done = [Done(entry, rounds) for entry in once] if rounds else []
        if score.kind in ("in_round", "into_rung") and not left:
            return done + begun(once, score)
        if left > units or (left == units and score.kind == "rounds"):
            self._told(section, "result_conflict", found=f"{left:g} in a round of {units:g}")
            return done
        return done + first_units([once], left)

    def _rounds_told(self, section: Section, once: list[Entry], units: float, score: Score) -> tuple[int, float] | None:
        """Whole rounds and the units of the one begun; None where the score does not tell them."""
        rounds, left = score.rounds, score.reps
        if score.doubtful:
            self._told(section, "ambiguous_result", found=f"{rounds} rounds, perhaps more")
        if score.partial and not is_somewhere(score):
            left = units_told(once, score)
            if is_beyond(once, score):
                self._told(section, "result_conflict", found=f"{score.partial[-1][1]:g} of a movement in one round")
                return rounds, 0.0
        if score.kind in ("reps", "number"):
            if score.kind == "number" and not self._only_reps(section, score.reps):
                self._told(section, "ambiguous_result", found=f"{score.reps:g}")
                return None
            rounds, left = int(min(score.reps // units, 1e6)), score.reps % units
        elif score.kind == "in_round":
            rounds = max(0, rounds - 1)
        elif left < 0 < rounds:
            rounds, left = rounds - 1, left + units
        elif score.kind in ("calories", "distance", "list"):
            self._told(section, "result_conflict", found="a list" if score.kind == "list" else score.kind)
            return None
        if rounds > MOST_ROUNDS:
            self._told(section, "result_conflict", found=f"{rounds} rounds")
            return None
        return rounds, left

    def _only_reps(self, section: Section, figure: float) -> bool:
        """More rounds than the clock has half minutes: a bare number that can only be reps."""
        return figure.is_integer() and section.seconds is not None and figure > section.seconds / 30

    def _climb(self, section: Section, cycle: list[Group], score: Score) -> list[Done]:
        """A ladder without an end: rung after rung until the score is used up."""
        group = cycle[0]
        if score.kind == "calories" and len(score.values) == 1:
            score = replace(score, kind="reps", reps=score.values[0])
        if score.kind in ("reps", "number"):
            if score.kind == "number":
                self._told(section, "ambiguous_result", found=f"{score.reps:g}")
            return first_units(rounds_of(group, section, self.expander, MOST_ROUNDS), score.reps)
        rounds, left = score.rounds, score.reps
        if score.kind == "through":
            rounds = self._rung_number(section, score.rounds)
        elif score.kind == "into_rung":
            rounds = max(0, self._rung_number(section, score.rounds) - 1)
        elif score.kind == "in_round":
            rounds = max(0, rounds - 1)
        flow = list(islice(rounds_of(group, section, self.expander, MOST_ROUNDS), min(rounds + 1, MOST_ROUNDS)))
        done = [Done(entry) for entries in flow[:rounds] for entry in entries]
        following = flow[rounds : rounds + 1]
        if score.kind in ("in_round", "into_rung") and score.partial and following:
            if score.partial[-1][1] is None:
                return done + begun(following[0], score)
            left = units_told(following[0], score)
        if score.kind in ("in_round", "into_rung") and not left and following:
            return done + [Done(entry, 1, entry.amount / 2, 0.0, entry.amount) for entry in following[0]]
        if following and left > sum(entry.units for entry in following[0]):
            self._told(
                section, "result_conflict", found=f"{left:g} in a round of {sum(e.units for e in following[0]):g}"
            )
            return done
        return done + first_units(following, left)

    def _risen_until_miss(self, section: Section, score: Score) -> list[Done] | None:
        """`2 cleans, 60 kg, 5 kg more each time, until you miss`: all sets up to the load or the round told."""
        stations = [(group, station) for group in section.groups for station in group.stations]
        station = stations[0][1] if len(stations) == 1 else None
        load, amount = (station.load, station.amount) if station is not None else (None, None)
        if station is None or load is None or amount is None or len(load.steps) < 2 or load.unit not in _KG:
            return None
        if len(amount.steps) != 1 or climbs(stations[0][0]):
            return None
        first, rise = load.steps[0].of(self.context.standard), load.steps[1].value - load.steps[0].value
        if not rise:
            return None
        told = score.values[0] * _KG.get(score.unit, _KG[load.unit]) / _KG[load.unit] if score.values else 0.0
        sets = float(score.rounds) if score.kind == "rounds" and not score.reps else (told - first) / rise + 1
        if score.kind not in ("rounds", "loads") or len(score.values) > 1 or not 1 <= sets <= MOST_ROUNDS:
            return None
        if abs(sets - round(sets)) > 1e-6:
            self._told(section, "result_conflict", found=f"{told:g} {load.unit}, which is none of the loads")
            return []
        reps = amount.steps[0].of(self.context.standard) * amount.sides
        count, factor = round(sets), _KG[load.unit] * load.count
        return [
            Done(self.expander.open_entry(station, reps, (first + n * rise) * factor, n, count, amount.measure))
            for n in range(count)
        ]

    def _until_miss(self, section: Section, score: Score | None) -> list[Done]:
        if score is None:
            self._told(section, "missing_result")
            return []
        if score.kind == "time":
            score = Score("rounds", rounds=int(score.seconds // (section.window or 60.0)))
        risen = self._risen_until_miss(section, score)
        if risen is not None:
            return risen
        return self._climb(section, list(section.groups), score) if section.groups else []
