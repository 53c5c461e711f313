"""Versions of a session that are worth offering: the board as written, and combinations of edits that lower something.

They follow from the text alone, so that who trains changes which versions are chosen but never what there is to choose.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np

from keelmark.contracts.channels import CHANNELS
from keelmark.plan.doses import PLAN_CHANNELS, Array, PlanDoser
from keelmark.plan.edits import Edit, Item, apply, edits_of
from keelmark.plan.people import Person
from keelmark.plan.session_work import SessionWork
from keelmark.plan.stimulus import distance_from_intent

__all__ = ["Candidate", "candidates", "single_edits"]

MOST = 24
"""Versions offered to the solver for one session (the paper has room for few; more take longer to choose from)."""
PULLS = (0.2, 0.5, 1.0, 2.0, 5.0)
"""How hard an amount is pulled down against the intent, from a nudge to a haul."""
SHARES = (0.9, 0.8, 0.7, 0.6, 0.5)
"""Shares of every amount on the board for which a version is looked for."""
ALL_OF = 200
"""Where all combinations of edits are no more than this, all are offered."""

_REFERENCE_KG, _REFERENCE_BODY = 100.0, 75.0


@dataclass(frozen=True, slots=True)
class Candidate:
    """A version: its text, how far it lies from what was meant, and the edits that made it; none for the board."""

    text: str
    cost: float
    edits: tuple[Edit, ...]

    @property
    def words(self) -> tuple[str, ...]:
        """The edits in words."""
        return tuple(edit.words for edit in self.edits)


@dataclass(frozen=True, slots=True)
class _Option:
    edit: Edit
    cost: float
    change: Array


def candidates(text: str, doser: PlanDoser, *, most: int = MOST) -> list[Candidate]:
    """Versions of a session, the board as written first.

    Parameters
    ----------
    text : str
        Whiteboard text as written.
    doser : PlanDoser
        Reads texts and works out doses.
    most : int
        Versions at most.
    """
    meant, options = _options(text, doser)
    if not options:
        return [Candidate(text, 0.0, ())]
    if np.prod([len(choices) + 1 for choices in options]) <= min(ALL_OF, most):
        chosen = [
            tuple(option.edit for option in picked if option is not None)
            for picked in product(*([None, *choices] for choices in options))
        ]
    else:
        chosen = list(dict.fromkeys([*_shared_out(options), *_pulled(options)]))
    found = {text: Candidate(text, 0.0, ())}
    reference = _reference(doser)
    for edits in chosen:
        if len(found) >= most:
            break
        changed = apply(text, edits)
        work = doser.reader.work(changed, reference.context)
        if changed not in found and _reads_alike(meant, work):
            found[changed] = Candidate(changed, distance_from_intent(meant, work, doser.catalogue), edits)
    board, *others = found.values()
    return [board, *sorted(others, key=lambda one: (one.cost, one.text))]


def single_edits(text: str, doser: PlanDoser) -> list[Candidate]:
    """Versions that differ from the text by a single edit, nearest first."""
    _, options = _options(text, doser)
    found = {apply(text, (option.edit,)): option for choices in options for option in choices}
    listed = [Candidate(changed, option.cost, (option.edit,)) for changed, option in found.items()]
    return sorted(listed, key=lambda one: (one.cost, one.text))


def _options(text: str, doser: PlanDoser) -> tuple[SessionWork, list[list[_Option]]]:
    """For each item the edits that read well and lower something, with cost and relative change of each channel."""
    reference = _reference(doser)
    meant = doser.reader.work(text, reference.context)
    items: list[Item] = edits_of(text, meant.tree, doser.catalogue)
    readable = [
        [
            (edit, changed, work)
            for edit in item.edits
            if _reads_alike(meant, work := doser.reader.work(changed := apply(text, (edit,)), reference.context))
        ]
        for item in items
    ]
    texts = [text, *(changed for edits in readable for _, changed, _ in edits)]
    doses = {
        one: dose.total().value
        for one, dose in zip(texts, doser.doses([(one, reference) for one in texts]), strict=True)
    }
    written = doses[text]
    options = []
    for edits in readable:
        choices = []
        for edit, changed, work in edits:
            change = np.divide(doses[changed] - written, written, out=np.zeros_like(written), where=written > 0)
            if change.min() < 0:
                choices.append(_Option(edit, distance_from_intent(meant, work, doser.catalogue), change))
        if choices:
            options.append(choices)
    return meant, options


def _reads_alike(meant: SessionWork, changed: SessionWork) -> bool:
    """Whether an edited text is read as clearly as before, with the same rows in the same parts."""
    return (
        [row.work.section for row in meant.rows] == [row.work.section for row in changed.rows]
        and sorted(issue.code for issue in meant.issues) == sorted(issue.code for issue in changed.issues)
        and len(meant.open_places) == len(changed.open_places)
        and meant.text != changed.text
    )


def _pulled(options: list[list[_Option]]) -> list[tuple[Edit, ...]]:
    """Cheapest combinations when an amount, or all of a group, is pulled down more or less hard."""
    found: dict[tuple[Edit, ...], None] = {}
    for pull in PULLS:
        for weights in _directions():
            picked = []
            for choices in options:
                best = min(choices, key=lambda option: option.cost + pull * float(weights @ option.change))
                if best.cost + pull * float(weights @ best.change) < 0:
                    picked.append(best.edit)
            if picked:
                found.setdefault(tuple(picked))
    return list(found)


def _shared_out(options: list[list[_Option]]) -> list[tuple[Edit, ...]]:
    """For each share of the board, edits that bring every amount near it, improved one at a time while it helps."""
    found = []
    for share in SHARES:
        picked: list[_Option | None] = [None] * len(options)
        best = _short_of(picked, share)
        while True:
            tried = [
                ([*picked[:item], option, *picked[item + 1 :]])
                for item, choices in enumerate(options)
                for option in choices
                if option is not picked[item]
            ]
            nearest = min(tried, key=lambda some: _short_of(some, share))
            if _short_of(nearest, share) >= best - 1e-9:
                break
            picked, best = nearest, _short_of(nearest, share)
        found.append(tuple(option.edit for option in picked if option is not None))
    return [edits for edits in found if edits]


def _short_of(picked: list[_Option | None], share: float) -> float:
    """Cost of some options and of what they leave above a share of each amount."""
    chosen = [option for option in picked if option is not None]
    change = sum((option.change for option in chosen), np.zeros(len(PLAN_CHANNELS)))
    return sum(option.cost for option in chosen) + float(np.maximum(1.0 + change - share, 0.0).sum())


def _directions() -> list[Array]:
    """What may be pulled down: everything, each group of channels, each channel."""
    groups = list(dict.fromkeys(channel.group for channel in CHANNELS if channel.group != "session"))
    found = [np.full(len(PLAN_CHANNELS), 1 / len(PLAN_CHANNELS))]
    for group in groups:
        member = np.array([channel.group == group for channel in PLAN_CHANNELS], dtype=float)
        found.append(member / member.sum())
    return [*found, *np.eye(len(PLAN_CHANNELS))]


def _reference(doser: PlanDoser) -> Person:
    """A reader with round figures for every maximum and body mass, who stands for nobody."""
    lifts = {movement.rep_maximum.of for movement in doser.catalogue.movements.values() if movement.rep_maximum}
    return Person("", "", "heavier", _REFERENCE_BODY, dict.fromkeys(sorted(lifts), _REFERENCE_KG))
