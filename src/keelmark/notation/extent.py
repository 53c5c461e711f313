"""How far the work with an end was done."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import chain, islice

from keelmark.notation.assigning import Assigning
from keelmark.notation.entries import (
    begun,
    climbs,
    first_units,
    is_beyond,
    is_open,
    is_somewhere,
    named_for,
    units_behind,
    units_told,
)
from keelmark.notation.expand import Done, Entry
from keelmark.notation.rounds import rounds_of
from keelmark.notation.score_kinds import Score
from keelmark.notation.tree import Group, Section

__all__ = ["MOST_ROUNDS", "Extent"]

MOST_ROUNDS = 5000


class Extent(Assigning):
    """Takes the beginning of the work, as far as a score tells."""

    def _flow(self, section: Section) -> Iterator[list[Entry]]:
        return chain.from_iterable(rounds_of(group, section, self.expander) for group in section.groups)

    def _prefix(self, section: Section, score: Score | None) -> list[Done] | None:
        """The beginning of the work, as far as the score tells; None when it was all done."""
        score = self._of_the_whole(section, score)
        if (
            score is None
            or score.kind not in ("rounds", "reps", "left", "through", "in_round", "into_rung", "number")
            or is_open(section)
        ):
            return None
        flow = list(islice(self._flow(section), MOST_ROUNDS))
        total = sum(entry.units for entries in flow for entry in entries)
        if score.kind == "left" and score.reps <= total:
            return first_units(flow, total - score.reps - units_behind(flow, score))
        if score.kind == "number" and score.seconds and section.kind == "for_time":
            return None
        if score.kind in ("reps", "number", "left"):
            if score.kind == "number":
                self._told(section, "ambiguous_result", found=f"{score.reps:g}")
            if score.reps > total + 1e-9:
                self._told(section, "result_conflict", found=f"{score.reps:g} reps, where {total:g} were prescribed")
                return []
            return first_units(flow, score.reps)
        return self._rounds_of_finite(section, flow, score)

    def _of_the_whole(self, section: Section, score: Score | None) -> Score | None:
        """`105/135`, `cap 110 reps, 25 missing`: how far of the whole, or how far and what was left."""
        if score is None or score.kind != "list" or len(score.values) != 2 or score.unit or section.kind != "for_time":
            return score
        total = sum(entry.units for entries in islice(self._flow(section), MOST_ROUNDS) for entry in entries)
        first, second = score.values
        if is_open(section) or not (second == total >= first or first + second == total):
            return score
        return replace(score, kind="reps", reps=first, values=[])

    def _rounds_of_finite(self, section: Section, flow: list[list[Entry]], score: Score) -> list[Done]:
        rounds, left = score.rounds, score.reps
        if score.kind == "through":
            rounds = self._rung_number(section, score.rounds)
        if score.kind == "in_round":
            rounds = max(0, score.rounds - 1)
        if score.kind == "into_rung":
            rounds = max(0, self._rung_number(section, score.rounds) - 1)
        once = self._before_rounds(section, score)
        if left < 0 and 0 < rounds <= len(flow) - len(once):
            rounds, left = rounds - 1, left + sum(entry.units for entry in flow[len(once) + rounds - 1])
        if rounds > len(flow) - len(once) or (rounds == len(flow) - len(once) and left):
            self._told(section, "result_conflict", found=f"{rounds} rounds, where {len(flow)} were prescribed")
            return []
        if score.partial and not is_somewhere(score) and len(once) + rounds < len(flow):
            left = units_told(flow[len(once) + rounds], score)
            if is_beyond(flow[len(once) + rounds], score):
                self._told(section, "result_conflict", found=f"{score.partial[-1][1]:g} of a movement in one round")
                left = 0.0
        done = [Done(entry) for entries in flow[: len(once) + rounds] for entry in entries]
        following = flow[len(once) + rounds :]
        if score.kind in ("in_round", "into_rung") and not left and following:
            return done + begun(following[0], score)
        return done + first_units(following[:1], left)

    def _before_rounds(self, section: Section, score: Score) -> list[list[Entry]]:
        """The work before the rounds that a score counts: a buy-in, or what stands before a group of several rounds."""
        named = [
            n
            for n, group in enumerate(section.groups)
            if score.kind == "rounds" and score.partial and max(group.rounds, _rungs(group)) > score.rounds
            if any(named_for(station, [score.partial[0][0]]) for station in group.stations)
        ]
        first = (
            named[0]
            if len(named) == 1
            else next((n for n, group in enumerate(section.groups) if group.rounds > 1 or climbs(group)), 0)
        )
        return [
            entries
            for n, group in enumerate(section.groups)
            if n < first or group.role == "buy_in"
            for entries in rounds_of(group, section, self.expander)
        ]

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
                        return min(len(values) + int(extra), MOST_ROUNDS)
        return rung


def _rungs(group: Group) -> int:
    """How many rungs a group climbs."""
    amounts = [group.scheme, *(station.amount for station in group.stations)]
    return max((len(amount.steps) for amount in amounts if amount is not None), default=0)
