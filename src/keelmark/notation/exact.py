"""Read the exact form that `render` writes: a small strict notation with a grammar of its own (`board.lark`).

It is told apart from free text by its last full stop and by following the grammar from end to end.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache
from importlib.resources import files
from typing import Any

from lark import Lark, Token, Transformer, UnexpectedInput, v_args
from lark.exceptions import VisitError
from lark.tree import Meta

from keelmark.catalogue import Catalogue
from keelmark.notation.render import (
    BODY_MASS,
    NO_HEIGHT_UNIT,
    NO_LOAD_UNIT,
    OF_WHAT,
    SHARES,
    WHENS,
    written_name,
)
from keelmark.notation.titles import TITLES
from keelmark.notation.tree import Amount, Group, Height, Load, Prescription, Quantity, Scaled, Section, Station

__all__ = ["grammar_of", "read_exact"]

_SHARES = {words: share for share, words in SHARES.items()}
_WHENS = {words: when for when, words in WHENS.items()}
_MASSES = {"kg": "kg", "lb": "lb", "pood": "pood", "st": "st", "%": "percent", BODY_MASS: "bodyweight"}
_MASSES[NO_LOAD_UNIT] = ""
_LENGTHS = {"cm": "cm", "in": "in", "ft": "ft", "m": "m", NO_HEIGHT_UNIT: ""}
_CLOCK = {"s": 1.0, "min": 60.0}
_MEASURES = {
    "rep": "reps",
    "m": "distance_m",
    "km": "distance_m",
    "mi": "distance_m",
    "yd": "distance_m",
    "ft": "distance_m",
    "cal": "calories",
    "s": "duration_s",
    "min": "duration_s",
    "h": "duration_s",
}


def read_exact(text: str, catalogue: Catalogue) -> Prescription | None:
    """The tree of a text in the exact form, or None when it is not in that form."""
    if not text.rstrip().endswith("."):
        return None
    parser, names = _parser(catalogue)
    try:
        tree: Prescription = _Builder(names).transform(parser.parse(text))
    except (UnexpectedInput, VisitError):
        return None
    return tree


@lru_cache(maxsize=4)
def _parser(catalogue: Catalogue) -> tuple[Lark, dict[str, str]]:
    """The parser with the names of a catalogue, and the movement of each name."""
    return Lark(grammar_of(catalogue), parser="lalr", propagate_positions=True), _names(catalogue)


def grammar_of(catalogue: Catalogue) -> str:
    """The rules of the exact form with the names of a catalogue, the longest first."""
    longest_first = sorted(_names(catalogue), key=len, reverse=True)
    either = "|".join(re.escape(name).replace("/", r"\/") for name in longest_first)
    rules = files("keelmark.notation").joinpath("board.lark").read_text(encoding="utf-8")
    return f"{rules}\nMOVEMENT.5: /(?:{either})(?![\\w'-])/\n"


def _names(catalogue: Catalogue) -> dict[str, str]:
    index = catalogue.names
    return {written_name(index.label, index.find, movement): movement for movement in catalogue.movements}


_OF_WHAT = {words: name for name, words in OF_WHAT.items()}


class _Of(str):
    """What a percentage is of."""


class _Builder(Transformer[Token, Prescription]):
    """Makes the tree from the bottom up; what a rule gives is told by its type, or by name in a dict."""

    def __init__(self, names: dict[str, str]) -> None:
        super().__init__()
        self._names = names

    def MOVEMENT(self, token: Token) -> str:  # noqa: N802
        return self._names[str(token)]

    def NUMBER(self, token: Token) -> float:  # noqa: N802
        return float(token)

    def start(self, sections: list[Section]) -> Prescription:
        return Prescription(tuple(sections))

    def section(self, parts: list[Any]) -> Section:
        label = next((_label(part) for part in parts if isinstance(part, Token)), "")
        head = next((part for part in parts if isinstance(part, dict)), {})
        return Section(parts[-1], label=label, **head)

    def head(self, phrases: list[dict[str, Any]]) -> dict[str, Any]:
        return _together(phrases)

    def duration(self, parts: list[Any]) -> float:
        if len(parts) == 1:
            return 60.0
        if isinstance(parts[0], float):
            return parts[0] * _CLOCK[parts[1]]
        minutes, seconds = parts[0].split(":")
        return float(60 * int(minutes) + int(seconds)) if parts[1] == "min" else _refuse(parts[1])

    def for_time(self, _: list[Any]) -> dict[str, Any]:
        return {"kind": "for_time"}

    def amrap(self, parts: list[float]) -> dict[str, Any]:
        return {"kind": "amrap", "seconds": parts[0]} if parts else {"kind": "amrap"}

    def every(self, parts: list[Any]) -> dict[str, Any]:
        kind = "until_miss" if isinstance(parts[-1], Token) else "every"
        lasting = _together([part for part in parts if isinstance(part, dict)])
        return {"kind": kind, "window": parts[0], **lasting}

    def by_the_clock(self, _: list[Any]) -> dict[str, Any]:
        return {"kind": "every"}

    def intervals(self, parts: list[Any]) -> dict[str, Any]:
        found: dict[str, Any] = {"kind": "intervals"}
        *count, work = parts
        if count:
            found["windows"] = int(count[0])
        return found if work is None else {**found, "work": work}

    def until_miss(self, _: list[Any]) -> dict[str, Any]:
        return {"kind": "until_miss"}

    def seconds(self, parts: list[float]) -> dict[str, Any]:
        return {"seconds": parts[0]}

    def window(self, parts: list[float]) -> dict[str, Any]:
        return {"window": parts[0]}

    def windows(self, parts: list[float]) -> dict[str, Any]:
        return {"windows": int(parts[0])}

    def work_for(self, parts: list[float]) -> dict[str, Any]:
        return {"work": parts[0]}

    def rest_for(self, parts: list[float]) -> dict[str, Any]:
        return {"rest": parts[0]}

    def cap(self, parts: list[float]) -> dict[str, Any]:
        return {"cap": parts[0]}

    def team(self, parts: list[Any]) -> dict[str, Any]:
        return {"people": int(parts[0]), "share": _SHARES[str(parts[1]) if len(parts) > 1 else ""]}

    def work(self, groups: list[Group]) -> tuple[Group, ...]:
        return tuple(groups)

    def group(self, parts: list[Any]) -> Group:
        return Group(parts[-1], **(parts[0] if len(parts) > 1 else {}))

    def prefixes(self, parts: list[dict[str, Any]]) -> dict[str, Any]:
        return _together(parts)

    def role(self, parts: list[Token]) -> dict[str, Any]:
        return {"role": parts[0].replace("-", "_")}

    def slots(self, parts: list[Any]) -> dict[str, Any]:
        *slots, whole = (int(part) for part in parts if isinstance(part, float))
        return {"slots": tuple(slots), "of_slots": whole}

    def rounds(self, parts: list[float]) -> dict[str, Any]:
        return {"rounds": int(parts[0])}

    def scheme(self, parts: list[Amount]) -> dict[str, Any]:
        return {"scheme": parts[0]}

    def stations(self, stations: list[Station]) -> tuple[Station, ...]:
        return tuple(stations)

    @v_args(meta=True)
    def station(self, meta: Meta, parts: list[Any]) -> Station:
        movement, amount, rest = _work(parts)
        return Station(movement or _refuse("same"), amount, **rest, start=meta.start_pos, end=meta.end_pos)

    def at(self, measures: list[Load | Height]) -> dict[str, Any]:
        return _together([{"load" if isinstance(one, Load) else "height": one} for one in measures])

    def bar(self, parts: list[Load | Height]) -> dict[str, Any]:
        return {"start_height": parts[0]} if isinstance(parts[0], Height) else _refuse("a load")

    def notes(self, notes: list[dict[str, Any]]) -> dict[str, Any]:
        scaled = [note["scaled"] for note in notes if "scaled" in note]
        others = _together([note for note in notes if "scaled" not in note])
        return {**others, "scaled": replace(scaled[0], more=tuple(scaled[1:]))} if scaled else others

    def when(self, parts: list[Token]) -> dict[str, Any]:
        return {"when": _WHENS[parts[0]]}

    def side(self, parts: list[Token]) -> dict[str, Any]:
        return {"side": "each" if parts[0] == "each side" else "alternating"}

    def rpe(self, parts: list[float]) -> dict[str, Any]:
        return {"rpe": parts[0]}

    def level(self, parts: list[Token]) -> dict[str, Any]:
        return {"level": str(parts[0]).removeprefix("level ")}

    def own(self, _: list[Any]) -> dict[str, Any]:
        return {"own": True}

    def scaled(self, parts: list[Any]) -> dict[str, Any]:
        ratio = next((float(part.removesuffix("-for-1")) for part in parts if isinstance(part, Token)), 1.0)
        movement, amount, rest = _work([part for part in parts if not isinstance(part, Token)])
        return {"scaled": Scaled(movement, ratio, amount, **rest)}

    def amount(self, parts: list[Any]) -> Amount:
        found = _together([part for part in parts if isinstance(part, dict)])
        unit = next((str(part) for part in parts if isinstance(part, Token) and part.type == "UNIT"), "rep")
        sides = 2 if any(isinstance(part, Token) and part.type == "PER_SIDE" for part in parts) else 1
        return Amount(_MEASURES[unit], unit, sides=sides, **found)

    def sets(self, parts: list[float]) -> dict[str, Any]:
        return {"sets": int(parts[0])}

    def counted(self, parts: list[dict[str, Any]]) -> dict[str, Any]:
        return parts[0]

    def open(self, parts: list[dict[str, Any]]) -> dict[str, Any]:
        return {**(parts[0] if parts else {}), "open": True}

    def uncounted(self, _: list[Any]) -> dict[str, Any]:
        return {}

    def measure(self, parts: list[Any]) -> Load | Height:
        found = _together([part for part in parts if isinstance(part, dict)])
        unit = next(str(part) for part in parts if isinstance(part, Token) and part.type == "UNIT")
        of = next((str(part) for part in parts if isinstance(part, _Of)), None)
        added = any(isinstance(part, Token) and part.type == "PLUS" for part in parts)
        if found.pop("continues", False):
            _refuse("a load that goes on")
        if unit in _MASSES:
            return Load(found["steps"], _MASSES[unit], found.get("count", 1), added, of)
        if added or of or len(found) > 1 or len(found["steps"]) > 1:
            _refuse("a height of several parts")
        return Height(found["steps"][0], _LENGTHS[unit])

    def count(self, parts: list[float]) -> dict[str, Any]:
        return {"count": int(parts[0]) if parts else 0}

    def share_of(self, parts: list[str]) -> _Of:
        return _Of(_OF_WHAT.get(str(parts[0]), parts[0]))

    def steps(self, parts: list[Any]) -> dict[str, Any]:
        steps = tuple(part for part in parts if isinstance(part, Quantity))
        return {"steps": steps, "continues": True} if len(steps) < len(parts) else {"steps": steps}

    def quantity(self, parts: list[Any]) -> Quantity:
        return Quantity(parts[0], **_together(parts[1:]))

    def lighter(self, parts: list[float]) -> dict[str, Any]:
        return {"lighter": parts[0]}

    def top(self, parts: list[float]) -> dict[str, Any]:
        return {"top": parts[0]}


def _work(parts: list[Any]) -> tuple[str | None, Amount | None, dict[str, Any]]:
    movement = next((part for part in parts if isinstance(part, str)), None)
    amount = next((part for part in parts if isinstance(part, Amount)), None)
    return movement, amount, _together([part for part in parts if isinstance(part, dict)])


def _label(token: Token) -> str:
    words = token.removesuffix(" –")
    folded = words.lower().replace(" ", "_")
    return folded if folded in TITLES else words


def _together(parts: list[dict[str, Any]]) -> dict[str, Any]:
    """All that was told, each thing once."""
    found: dict[str, Any] = {}
    for part in parts:
        for name, value in part.items():
            if name in found:
                _refuse(name)
            found[name] = value
    return found


def _refuse(what: str) -> Any:
    raise ValueError(what)
