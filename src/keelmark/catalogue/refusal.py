"""From what pydantic says about an entry to a refusal that its author can act on."""

from __future__ import annotations

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from keelmark.catalogue.entries import Entry
from keelmark.catalogue.model import Figure, Movement, RepMaximum, Swap
from keelmark.contracts.errors import CatalogueError

__all__ = ["refusal"]

_FIGURE = 'a figure [value, low, high, evidence, source], such as [1, 1, 2, "judgement", "one swing per rep"]'
_FIELDS: dict[str, str] = {
    "": ", ".join(name for name in Movement.model_fields if name != "name"),
    "swaps": ", ".join(Swap.model_fields),
    "rep_maximum": ", ".join(RepMaximum.model_fields),
    "figure": ", ".join(Figure.model_fields),
}


def refusal(entry: Entry, error: ValidationError) -> CatalogueError:
    """The first thing wrong with an entry, with its file, line and field, what was wanted and what to do."""
    first = error.errors(include_url=False)[0]
    path = [str(part) for part in first["loc"]]
    found, wanted, remedy = _words(first, path)
    return entry.error(found, path, wanted=wanted, remedy=remedy)


def _words(first: ErrorDetails, path: list[str]) -> tuple[str, str, str]:
    kind, field = first["type"], path[-1] if path else ""
    if kind == "extra_forbidden":
        return (f"unknown field {field}", f"one of {_siblings(path)}", "mend the spelling, or take the line out")
    if kind == "missing":
        return (f"{field} is missing", f"{field} stated", f"add a line {field} = ..., or a like that brings it")
    if kind == "literal_error":
        expected = first["ctx"]["expected"].replace("'", "").replace(" or ", ", ")
        return (f"{field} is {first['input']!r}", f"one of {expected}", "choose one of these words")
    if kind == "value_error":
        reason = str(first["ctx"]["error"])
        return (reason, _wanted(reason), _remedy(reason))
    if kind == "model_type":
        return (f"{first['input']!r} is no figure", _FIGURE, "write the number as such a row")
    reason = first["msg"][:1].lower() + first["msg"][1:]
    return (f"{first['input']!r}: {reason}", "a value of the kind this field holds", "mend the value")


def _siblings(path: list[str]) -> str:
    if len(path) == 1:
        return _FIELDS[""]
    if len(path) == 2 and path[0] == "rep_maximum":
        return _FIELDS["rep_maximum"]
    if len(path) == 3 and path[0] == "swaps":
        return _FIELDS["swaps"]
    return _FIELDS["figure"]


_RULES: tuple[tuple[str, str, str], ...] = (
    ("rising order", "low at most value, and value at most high", "put the three numbers in rising order"),
    ("no source", "a published figure with its source", "name the source as the fifth part, or say judgement"),
    ("figure row", _FIGURE, "write the number as such a row"),
    ("not an exposure", "an exposure that keelmark keeps", "mend the spelling, or take the line out"),
    ("negative bound", "amounts of zero or more", "raise the lower bound to zero or more"),
    ("not above zero", "a rate above zero", "raise the lower bound above zero"),
    ("leaves 0 to 1", "a share of body mass from 0 to 1", "mend the range"),
    ("landing_class is", "a landing class exactly where jump_contacts are stated", "state both, or neither"),
    ("rep_maximum is missing", "a maximum to count high reps against", "add rep_maximum, or leave high_rep out"),
    ("is a measure but", "each measure to reach the exposures", "state it, or take the measure out"),
)  # fmt: skip


def _wanted(reason: str) -> str:
    return next((wanted for key, wanted, _ in _RULES if key in reason), "a value that keeps the rules of an entry")


def _remedy(reason: str) -> str:
    return next((remedy for key, _, remedy in _RULES if key in reason), "mend the value")
