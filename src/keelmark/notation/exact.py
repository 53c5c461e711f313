"""Read the exact form that `render` writes: a small strict notation, told apart from free text by its braces."""

from __future__ import annotations

import re

from keelmark.catalogue import Catalogue
from keelmark.notation.tree import Amount, Group, Height, Load, Prescription, Quantity, Scaled, Section, Station

__all__ = ["read_exact"]

_LINE = re.compile(
    r"(?:\[(?P<label>[^\]\n]*)\] )?(?P<kind>work|for time|amrap|every|intervals|until miss)"
    r"(?P<head>(?:; [^;{}\n]+)*) \{(?P<body>[^{}\n]*)\}"
)
_HEAD = re.compile(r"(seconds|window|windows|work|rest|cap) ([0-9.e+-]+)(?: s)?")
_SHARE = re.compile(r"(split|even|turns|own|loose) by ([0-9]+)")
_NUMBER = r"[0-9]+(?:\.[0-9]+)?(?:e[+-]?[0-9]+)?"
_QUANTITY = rf"{_NUMBER}(?:/{_NUMBER})?(?:\.\.{_NUMBER})?"
_STEPS = rf"{_QUANTITY}(?:-{_QUANTITY})*"
_AMOUNT = (
    rf"(?:(?P<sets>[0-9]+) x )?(?P<open>max|build )?(?P<steps>{_STEPS})?(?P<more>-\.\.\.)?"
    r"(?: (?P<unit>m|km|mi|yd|ft|cal|s|min|h))?(?P<sides> each side)?"
)
_LOAD = (
    rf"(?:(?P<count>[0-9]+) x )?(?P<added>\+)?(?P<figures>{_STEPS}) "
    r"(?P<mass>kg|lb|pood|st|%|body mass|\(no unit\))(?: of (?P<of>[a-z0-9 ]+?))?"
)
_HEIGHT = r"(?P<{0}>" + _QUANTITY + r") (?P<{0}_unit>cm|in|ft|m|\(no unit\))"
_MOVEMENT = r"(?P<movement>[a-z0-9]+(?: [a-z0-9]+)*?)"
_WHEN = {
    "after each rep": "after_rep",
    "after each set": "after_set",
    "between sets": "between_sets",
    "at each minute": "each_minute",
    "at each minute but the first": "each_minute_later",
}
_WHENS = "|".join(sorted(_WHEN, key=len, reverse=True))
_STATION = re.compile(
    rf"(?:(?P<amount>{_AMOUNT}) )?{_MOVEMENT}(?: at (?P<load>{_LOAD}))?(?: at height {_HEIGHT.format('height')})?"
    rf"(?: from bar height {_HEIGHT.format('bar')})?(?:, (?P<when>{_WHENS}))?"
    rf"(?:, (?P<side>each side|alternating))?(?:, RPE (?P<rpe>{_NUMBER}))?(?P<own>, each person)?"
    r"(?:, scaled \((?P<scaled>[^()]*(?:\(no unit\)[^()]*)*)\))?"
)
_SCALED = re.compile(
    rf"(?:(?P<amount>{_AMOUNT}) )?{_MOVEMENT}(?: at (?P<load>{_LOAD}))?"
    rf"(?: at height {_HEIGHT.format('height')})?(?: ratio (?P<ratio>{_NUMBER}))?"
)
_ONLY_AMOUNT = re.compile(_AMOUNT)
_UNITS = {"%": "percent", "body mass": "bodyweight", "(no unit)": ""}
_MEASURES = {
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
    stripped = text.rstrip("\n")
    if not stripped.endswith("}"):
        return None
    sections: list[Section] = []
    at = 0
    for line in stripped.split("\n"):
        found = _LINE.fullmatch(line)
        section = _section(found, at, catalogue) if found is not None else None
        if section is None:
            return None
        sections.append(section)
        at += len(line) + 1
    return Prescription(tuple(sections))


def _section(found: re.Match[str], at: int, catalogue: Catalogue) -> Section | None:
    values: dict[str, float] = {}
    share, people = "", 1
    for part in found["head"].split("; ")[1:]:
        shared = _SHARE.fullmatch(part)
        figure = _HEAD.fullmatch(part)
        if shared is not None:
            share, people = shared[1], int(shared[2])
        elif figure is not None:
            values[figure[1]] = float(figure[2])
        else:
            return None
    groups: list[Group] = []
    place = at + found.start("body")
    for part in found["body"].split(" | "):
        group = _group(part, place, catalogue)
        if group is None:
            return None
        groups.append(group)
        place += len(part) + 3
    windows = int(values["windows"]) if "windows" in values else None
    return Section(
        tuple(groups),
        found["kind"].replace(" ", "_"),
        found["label"] or "",
        values.get("seconds"),
        values.get("window"),
        windows,
        values.get("work"),
        values.get("rest"),
        values.get("cap"),
        share,
        people,
    )


def _group(text: str, at: int, catalogue: Catalogue) -> Group | None:
    before, colon, body = text.partition(": ")
    if not colon:
        before, body = ("", text) if not text.endswith(":") else (text[:-1], "")
    rounds, role, scheme = 1, "", None
    slots: tuple[int, ...] = ()
    of_slots = 0
    for part in before.split(", ") if before else []:
        if part in ("buy-in", "cash-out"):
            role = part.replace("-", "_")
        elif part.startswith("slot "):
            numbers, _, whole = part[5:].partition(" of ")
            slots, of_slots = tuple(int(number) for number in numbers.split()), int(whole)
        elif part.endswith(" rounds"):
            rounds = int(part[:-7])
        elif part.startswith("scheme "):
            found = _ONLY_AMOUNT.fullmatch(part[7:])
            if found is None:
                return None
            scheme = _amount(found)
        else:
            return None
    stations: list[Station] = []
    place = at + (len(text) - len(body))
    for part in body.split("; ") if body else []:
        station = _station(part, place, catalogue)
        if station is None:
            return None
        stations.append(station)
        place += len(part) + 2
    return Group(tuple(stations), rounds, scheme, role, slots, of_slots)


def _station(text: str, at: int, catalogue: Catalogue) -> Station | None:
    found = _STATION.fullmatch(text)
    if found is None:
        return None
    movement = found["movement"].replace(" ", "_")
    if movement not in catalogue.movements:
        return None
    scaled = None
    if found["scaled"] is not None:
        inner = _SCALED.fullmatch(found["scaled"])
        if inner is None:
            return None
        scaled = _scaled(inner)
    side = {"each side": "each", "alternating": "alternating"}.get(found["side"] or "", "")
    return Station(
        movement,
        _amount(found) if found["amount"] else None,
        _load(found),
        _height(found, "height"),
        _height(found, "bar"),
        _WHEN.get(found["when"] or "", ""),
        side,
        float(found["rpe"]) if found["rpe"] else None,
        scaled,
        bool(found["own"]),
        at,
        at + len(text),
    )


def _scaled(found: re.Match[str]) -> Scaled:
    movement = None if found["movement"] == "same" else found["movement"].replace(" ", "_")
    amount = _amount(found) if found["amount"] else None
    return Scaled(movement, float(found["ratio"] or 1.0), amount, _load(found), _height(found, "height"))


def _amount(found: re.Match[str]) -> Amount:
    unit = found["unit"] or "rep"
    return Amount(
        _MEASURES.get(unit, "reps"),
        unit,
        _steps(found["steps"]),
        int(found["sets"] or 1),
        2 if found["sides"] else 1,
        bool(found["more"]),
        bool(found["open"]),
    )


def _steps(text: str | None) -> tuple[Quantity, ...]:
    return tuple(_quantity(part) for part in re.findall(_QUANTITY, text)) if text else ()


def _quantity(text: str) -> Quantity:
    rest, _, top = text.partition("..")
    value, _, lighter = rest.partition("/")
    return Quantity(float(value), float(lighter) if lighter else None, float(top) if top else None)


def _load(found: re.Match[str]) -> Load | None:
    if not found["load"]:
        return None
    unit = _UNITS.get(found["mass"], found["mass"])
    of = found["of"].replace(" ", "_") if found["of"] else None
    return Load(_steps(found["figures"]), unit, int(found["count"] or 1), bool(found["added"]), of)


def _height(found: re.Match[str], name: str) -> Height | None:
    if not found[name]:
        return None
    unit = found[f"{name}_unit"]
    return Height(_quantity(found[name]), "" if unit == "(no unit)" else unit)
