"""From answers to a severity: which questions are asked, what they add up to, and what is refused."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass

from keelmark.contracts.errors import RefusedInput
from keelmark.health.areas import AREA_BY_KEY, AREAS
from keelmark.health.questions import OPTION_VALUES, QUESTIONS, SCALE_ID

__all__ = ["ALL_WELL", "Answers", "asked_after", "checked_answers", "is_substantial", "read_answers", "severity"]

_LEAST, _MOST = 0, len(OPTION_VALUES) - 1
_CLEARLY = 2


@dataclass(frozen=True, slots=True)
class Answers:
    """The place of the chosen option of each question, from 0; None where the question was not asked."""

    taking_part: int
    amount: int | None = None
    performance: int | None = None
    symptoms: int | None = None

    def as_json(self) -> dict[str, int | None]:
        """The answers as they are kept."""
        return asdict(self)


ALL_WELL = Answers(_LEAST)


def asked_after(taking_part: int) -> tuple[str, ...]:
    """Keys of the questions that follow the first answer.

    Scope: who joined in everything and was well is asked nothing more. Who could not join in at all is asked only how
    much it was felt: amount and performance then count in full.

    Source: the gate before the other questions is published (Clarsen 2020); what is skipped at its far end is from
    memory.
    """
    if taking_part == _LEAST:
        return ()
    return ("symptoms",) if taking_part == _MOST else ("amount", "performance", "symptoms")


def severity(answers: Answers) -> int:
    """How much a complaint weighed on a week: the sum of the four questions.

    Scope: it orders the weeks of one complaint; it is no diagnosis and changes no training by itself.

    Returns
    -------
    int
        0 to 100.

    Notes
    -----
    Sum of four options worth 0, 8, 17 or 25 (Clarsen 2013 and 2020; the values are from memory).
    """
    if answers.taking_part == _LEAST:
        return 0
    chosen = (
        (answers.taking_part, _MOST, _MOST, answers.symptoms)
        if answers.taking_part == _MOST
        else (answers.taking_part, answers.amount, answers.performance, answers.symptoms)
    )
    return sum(OPTION_VALUES[place or _LEAST] for place in chosen)


def is_substantial(answers: Answers) -> bool:
    """Whether training or performance was clearly less for it, or the week was missed.

    Source: Clarsen 2013: moderate or severe reductions in participation or performance, or time loss.
    """
    return answers.taking_part == _MOST or max(answers.amount or 0, answers.performance or 0) >= _CLEARLY


def checked_answers(answers: Mapping[str, int | None], area: str | None) -> Answers:
    """Answers in their proper form.

    Raises
    ------
    RefusedInput
        When a question is open or answered with something else than one of its options, one that is not asked is
        answered, or the area is missing, unknown, or named although all is well.
    """
    taking_part = _option("taking_part", answers.get("taking_part"))
    wanted = asked_after(taking_part)
    for key, option in answers.items():
        if key != "taking_part" and key not in wanted and option is not None:
            raise _refused(f"“{key}” is answered, but it is not asked here", f"answers to {_list(wanted)}")
    if taking_part == _LEAST and area is not None:
        raise _refused(f"“{area}” is named, but all is well", "an area only together with a complaint")
    if taking_part != _LEAST and area not in AREA_BY_KEY:
        found = "no part of the body is chosen" if area is None else f"“{area}” is no part of the list"
        raise _refused(found, "one of " + ", ".join(known.label.lower() for known in AREAS))
    return Answers(taking_part, **{key: _option(key, answers.get(key)) for key in wanted})


def read_answers(scale_id: str, text: str) -> Answers | None:
    """Answers as they were kept; None when they belong to another scale or edition."""
    return Answers(**json.loads(text)) if scale_id == SCALE_ID else None


def _option(key: str, option: int | None) -> int:
    if not isinstance(option, int) or not _LEAST <= option <= _MOST:
        question = next(question for question in QUESTIONS if question.key == key)
        raise _refused(f"“{question.words}” is {_said(option)}", f"one of its options, {_LEAST} to {_MOST}")
    return option


def _refused(found: str, wanted: str) -> RefusedInput:
    return RefusedInput(found, where="check-in", wanted=wanted, remedy="answer the open question and send it again")


def _said(value: object) -> str:
    return "not answered" if value is None else f"answered with “{value}”"


def _list(keys: tuple[str, ...]) -> str:
    return ", ".join(("taking_part", *keys))
