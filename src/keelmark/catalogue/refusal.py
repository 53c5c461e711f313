"""From what pydantic says about an entry to a refusal that its author can act on."""

from __future__ import annotations

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from keelmark.catalogue.entries import Entry
from keelmark.catalogue.model import RULE, Figure, Movement, RepMaximum, Swap
from keelmark.contracts.errors import CatalogueError

__all__ = ["refusal"]

_FIGURE = 'a figure [value, low, high, evidence, source], such as [1, 1, 2, "judgement", "one swing per rep"]'
_FIELDS: dict[str, str] = {
    "": ", ".join(name for name in Movement.model_fields if name != "name"),
    "swaps": ", ".join(Swap.model_fields),
    "rep_maximum": ", ".join(RepMaximum.model_fields),
    "figure": ", ".join(Figure.model_fields),
}

_KINDS: dict[str, str] = {
    "model_type": _FIGURE,
    "float_type": "a number",
    "float_parsing": "a number",
    "finite_number": "a finite number",
    "bool_type": "true or false",
    "bool_parsing": "true or false",
    "string_type": "text in double quotes",
    "string_pattern_mismatch": "small letters and digits, words joined by one underscore, such as toes_to_bar",
    "tuple_type": "a list",
    "dict_type": "a table",
    "too_short": "a list with at least one entry",
}


def refusal(entry: Entry, error: ValidationError) -> CatalogueError:
    """What is wrong with an entry, with its file, line and field, what was wanted and what to do.

    Where several things are wrong the first is told; an unknown field goes before what is missing for lack of it.
    """
    faults = error.errors(include_url=False)
    fault = next((fault for fault in faults if fault["type"] == "extra_forbidden"), faults[0])
    path = [str(part) for part in fault["loc"]]
    if fault["type"] == RULE and fault["ctx"]["field"]:
        path.append(fault["ctx"]["field"])
    found, wanted, remedy = _words(fault, path)
    return entry.error(found, path, wanted=wanted, remedy=remedy)


def _words(fault: ErrorDetails, path: list[str]) -> tuple[str, str, str]:
    kind = fault["type"]
    field = next((part for part in reversed(path) if not part.isdigit()), "the entry")
    if kind == RULE:
        return (fault["ctx"]["found"], fault["ctx"]["wanted"], fault["ctx"]["remedy"])
    if kind == "extra_forbidden":
        return (f"unknown field {field}", f"one of {_siblings(path)}", "mend the spelling, or take the line out")
    if kind == "missing":
        return (f"{field} is missing", f"{field} stated", "add the line, or a like that brings it")
    found = f"{field} is {fault['input']!r}"
    if kind == "literal_error":
        words = fault["ctx"]["expected"].replace("'", "").replace(" or ", ", ")
        return (found, f"one of {words}", "choose one of these words")
    return (found, _KINDS.get(kind, fault["msg"]), "write it in that way")


def _siblings(path: list[str]) -> str:
    if len(path) == 1:
        return _FIELDS[""]
    if len(path) == 2 and path[0] == "rep_maximum":
        return _FIELDS["rep_maximum"]
    if len(path) == 3 and path[0] == "swaps":
        return _FIELDS["swaps"]
    return _FIELDS["figure"]
