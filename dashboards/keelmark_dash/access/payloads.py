"""What the values of a page's question have to be; anything else is refused before a callback sees it.

A value is looked up by its component and property, then by its property alone. What a page sends by itself always fits;
whoever writes questions by hand is told which value does not.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from keelmark.contracts.channels import OPPOSING_CHANNELS
from keelmark_dash.access.value_kinds import (
    ADDRESS,
    CHOICE,
    COUNT,
    DAY,
    FACTS,
    FEW,
    FLAG,
    LONG_TEXT,
    NUMBER,
    PAPER,
    ROWS_ASKED,
    SHOWN,
    TEXT,
    TYPED_DAYS,
    UPLOAD,
    VERSIONS,
    WEEK,
    WRITTEN,
    Kind,
    each,
    facts,
    or_nothing,
    whole,
)

__all__ = ["kind_of", "misfit"]

BY_PROPERTY: dict[str, Kind] = {
    "n_clicks": or_nothing(COUNT), "n_intervals": or_nothing(COUNT), "pathname": or_nothing(TEXT),
    "search": or_nothing(TEXT), "contents": or_nothing(UPLOAD), "filename": or_nothing(TEXT),
    "checked": or_nothing(FLAG), "id": ADDRESS, "value": or_nothing(LONG_TEXT),
    "getRowsRequest": or_nothing(ROWS_ASKED),
}  # fmt: skip
"""What a property holds where its component says nothing more of it."""

_OF_ATHLETE, _OF_WEEK, _OF_KIND = facts("athlete"), facts("athlete", "week"), facts("athlete", "week", "channel")
_NUMBER_OR_TEXT = Kind(lambda value: TEXT.holds(value) or NUMBER.holds(value), "a number or a text")
_PAIRS = len(OPPOSING_CHANNELS)
BY_COMPONENT: dict[str, Kind] = {
    "any/job.data": or_nothing(TEXT),
    "shell-written.data": or_nothing(WRITTEN), "shell-shown.data": or_nothing(SHOWN),
    "shell-shade.data": or_nothing(TEXT),
    "athlete-shown.data": _OF_KIND, "athlete-width-of.data": _OF_KIND,
    "athlete-beside-of.data": _OF_KIND,
    "athlete-rights-whose.data": _OF_ATHLETE, "athlete-agreed-whose.data": _OF_ATHLETE,
    "athlete-return-whose.data": _OF_WEEK, "check-ins-for.data": _OF_WEEK,
    "hand-over-whose.data": _OF_WEEK, "brief-shown.data": or_nothing(PAPER),
    "programme-boards.data": or_nothing(VERSIONS), "programme-changed.data": or_nothing(COUNT),
    "log-token.data": or_nothing(TEXT), "log-names.data": or_nothing(each(TEXT)),
    "log-typed-days.data": or_nothing(TYPED_DAYS),
    "programme-days.value": each(CHOICE, 7), "programme-how-many.value": CHOICE, "programme-from.value": WEEK,
    **{f"programme-{part}.value": or_nothing(NUMBER) for part in ("limit-most", "start", "change")},
    "programme-long.value": or_nothing(FEW), "programme-lighter.value": or_nothing(FEW),
    **{f"settings-{part}.value": or_nothing(NUMBER) for part in ("share_above", "notice_budget")},
    "settings-channels_shown.value": or_nothing(each(TEXT)), "log-who.value": or_nothing(each(TEXT)),
    "hand-over-what.value": or_nothing(each(TEXT)),
    **{f"check-ins-{part}.value": or_nothing(CHOICE) for part in ("taking_part", "amount", "performance", "symptoms")},
    **{f"{name}.value": or_nothing(DAY) for name in (
        "squad-name-from", "squad-name-to", "athlete-return-review", "athlete-guardian-until", "programme-limit-from",
        "programme-limit-until", "log-wb-day", "log-from", "log-to",
        "hand-over-on", "hand-over-from", "hand-over-until", "hand-over-again",
        "settings-label-from", "settings-label-to", "squad/review", "check-ins/review")},
    "programme/meant.value": each(NUMBER, _PAIRS, _PAIRS), "programme/rounds.value": each(or_nothing(_NUMBER_OR_TEXT)),
    "athlete/return-share.value": each(or_nothing(NUMBER)), "athlete/return-amount.value": each(or_nothing(NUMBER)),
    "hand-over/most.value": each(or_nothing(NUMBER)),
}  # fmt: skip
"""By the id of the component, or its page and part where there are many of it, and the property."""

TOGETHER: tuple[frozenset[str], ...] = (
    frozenset(f"log/wb-{part}" for part in ("came", "result", "standard", "version", "rpe")),
    frozenset({"hand-over/kind", "hand-over/most"}),
    frozenset({"log-names", "log/means"}),
)
"""Lists that hold one value for each of the same things."""

NEVER_EMPTY = frozenset({
    "squad-name-own.value", "squad-name-group.value", "squad/owner.value", "squad/view.value", "check-ins/reason.value",
    "check-ins/owner.value", "check-ins/view.value", "programme-kind.value", "programme-sensitive.value",
    "methods-posture-movement.value",
})  # fmt: skip
"""Fields that a page never leaves empty-handed: an empty one sends an empty text."""

KEYS: dict[str, Kind] = {
    "programme/mend": CHOICE, "programme/even": CHOICE,
    "programme/apply": whole(r"(clash|pair)-\d{1,4}-\d{1,4}", "a repair by its number"),
    "check-ins/save": whole(r"[^|]+\|[^|]+\|\d{4}-\d\d-\d\d\|\d{4}-W\d\d", "a complaint by athlete, area and dates"),
    "athlete/return-amount": whole(r"\d{1,3}:\w+", "a week and a kind of work"),
}  # fmt: skip
"""What tells many of a kind apart, by page and part; a short text where nothing stands here."""


def kind_of(component: str, prop: str) -> Kind | None:
    """What a property of a component holds; None when nothing is known of it.

    Parameters
    ----------
    component : str
        As `component_name` gives it.
    prop : str
        The property.
    """
    return BY_COMPONENT.get(f"{component}.{prop}") or BY_PROPERTY.get(prop)


def component_name(declared: str) -> str:
    """The id of a component as the table names it: itself, or page and part where there are many."""
    if not declared.startswith("{"):
        return declared
    name = json.loads(declared)
    page = name.get("page", name.get("kind", ""))
    return f"{page if isinstance(page, str) else 'any'}/{name.get('part', '')}"


def misfit(question: dict[str, Any], held: dict[str, Any]) -> str | None:
    """What of a question does not fit the callback it is for, in words; None when all fits.

    Parameters
    ----------
    question : dict
        The body of the question.
    held : dict
        The entry of Dash's callback map that it is for.
    """
    lengths: dict[str, int] = {}
    for part in ("inputs", "state"):
        declared, given = held.get(part) or [], question.get(part) or []
        if not isinstance(given, list) or len(given) != len(declared):
            return f"Its {part} are not those of this page."
        for spec, one in zip(declared, given, strict=True):
            for said in _faults(spec, one):
                return said
            held_here = one if isinstance(one, list) else one.get("value")
            if isinstance(held_here, list):
                lengths[component_name(spec["id"])] = len(held_here)
    for group in TOGETHER:
        if len({length for name, length in lengths.items() if name in group}) > 1:
            return "Lists that belong together are not equally long."
    asking = {f"{component_name(spec['id'])}.{spec['property']}" for spec in held.get("inputs") or []}
    changed = question.get("changedPropIds", [])
    if not isinstance(changed, list) or not all(_is_asking(one, asking) for one in changed):
        return "What was changed is not named as a page names it."
    return None


def _faults(spec: dict[str, str], one: Any) -> Iterator[str]:
    component, prop = component_name(spec["id"]), spec["property"]
    key, kind = f"{component}.{prop}", kind_of(component, prop)
    many = '["ALL"]' in spec["id"].replace(" ", "")
    if many != isinstance(one, list):
        yield f"{component} is not there as often as wanted."
        return
    if not all(isinstance(held, dict) for held in (one if many else [one])):
        yield f"{component} is not there as a page sends it."
        return
    keys = KEYS.get(component, TEXT)
    for held in one if many else [one]:
        name = held.get("id")
        if isinstance(name, dict) and "key" in name and not keys.holds(_as_text(name["key"])):
            yield f"{component} is told apart by {keys.wanted}."
        if prop == "id" and held.get("value") != name:
            yield f"{component} says another id than its own."
    value = [held.get("value") for held in one] if many else one.get("value")
    if many and kind is not None and key not in BY_COMPONENT:
        kind = each(kind)
    if kind is None or not kind.holds(value) or (value is None and key in NEVER_EMPTY):
        wanted = kind.wanted if kind else "nothing"
        yield f"{component} holds {_shown(value)}. Wanted: {wanted}."


def _is_asking(changed: Any, asking: set[str]) -> bool:
    """Whether what a question says was changed is one of the callback's inputs, told apart as a page tells them."""
    if not TEXT.holds(changed):
        return False
    name, _, prop = changed.rpartition(".")
    if not name.startswith("{"):
        return changed in asking
    try:
        found = json.loads(name)
    except (ValueError, RecursionError):
        return False
    if not isinstance(found, dict) or not FACTS.holds({name: _as_text(held) for name, held in found.items()}):
        return False
    component, anywhere = f"{found.get('page', '')}/{found.get('part', '')}", f"any/{found.get('part', '')}"
    fits = "key" not in found or KEYS.get(component, TEXT).holds(_as_text(found["key"]))
    return fits and not asking.isdisjoint({f"{component}.{prop}", f"{anywhere}.{prop}"})


def _as_text(key: Any) -> Any:
    """A place in a list as text, as keys of names are; anything else as it is."""
    return str(key) if isinstance(key, int) and not isinstance(key, bool) else key


def _shown(value: Any) -> str:
    """A kind of value in words; never the value itself, which may be anything and of anybody."""
    kinds = {bool: "yes or no", int: "a number", float: "a number", str: "a text", list: "a list", dict: "a record"}
    return kinds.get(type(value), "nothing") + " that does not fit"
