"""Write a tree in the exact form: what was understood, in words that read back to the same tree.

One section a line: `[A] for time; cap 840 s {24-18-12: thruster at 40/27.5 kg; box jump at 24/20 in}`.
"""

from __future__ import annotations

from keelmark.notation.tree import Amount, Group, Height, Load, Prescription, Quantity, Scaled, Section, Station

__all__ = ["render"]

_KINDS = {
    "work": "work",
    "for_time": "for time",
    "amrap": "amrap",
    "every": "every",
    "intervals": "intervals",
    "until_miss": "until miss",
}
_WHEN = {
    "after_rep": "after each rep",
    "after_set": "after each set",
    "between_sets": "between sets",
    "each_minute": "at each minute",
    "each_minute_later": "at each minute but the first",
}
_LOAD_UNITS = {"percent": "%", "bodyweight": "body mass", "": "(no unit)"}


def render(tree: Prescription) -> str:
    """The exact form of a tree; an empty tree gives an empty text."""
    return "\n".join(_section(section) for section in tree.sections)


def number(value: float) -> str:
    """A figure without a needless decimal point."""
    return str(int(value)) if value == int(value) and abs(value) < 1e15 else repr(value)


def _section(section: Section) -> str:
    head = f"[{section.label}] " if section.label else ""
    head += _KINDS[section.kind]
    for name in ("seconds", "window", "windows", "work", "rest", "cap"):
        value = getattr(section, name)
        if value is not None:
            unit = "" if name == "windows" else " s"
            head += f"; {name} {number(value)}{unit}"
    if section.share:
        head += f"; {section.share} by {section.people}"
    return f"{head} {{{' | '.join(_group(group) for group in section.groups)}}}"


def _group(group: Group) -> str:
    before = []
    if group.role:
        before.append(group.role.replace("_", "-"))
    if group.slots:
        before.append(f"slot {' '.join(map(str, group.slots))} of {group.of_slots}")
    if group.rounds != 1:
        before.append(f"{group.rounds} rounds")
    if group.scheme is not None:
        before.append(f"scheme {_amount(group.scheme)}")
    stations = "; ".join(_station(station) for station in group.stations)
    return f"{', '.join(before)}: {stations}" if before else stations


def _station(station: Station) -> str:
    text = f"{_amount(station.amount)} " if station.amount is not None else ""
    text += station.movement.replace("_", " ")
    if station.load is not None:
        text += f" at {_load(station.load)}"
    if station.height is not None:
        text += f" at height {_height(station.height)}"
    if station.start_height is not None:
        text += f" from bar height {_height(station.start_height)}"
    if station.when:
        text += f", {_WHEN[station.when]}"
    if station.side:
        text += ", each side" if station.side == "each" else ", alternating"
    if station.rpe is not None:
        text += f", RPE {number(station.rpe)}"
    if station.own:
        text += ", each person"
    if station.scaled is not None:
        text += f", scaled ({_scaled(station.scaled)})"
    return text


def _scaled(scaled: Scaled) -> str:
    text = f"{_amount(scaled.amount)} " if scaled.amount is not None else ""
    text += scaled.movement.replace("_", " ") if scaled.movement is not None else "same"
    if scaled.load is not None:
        text += f" at {_load(scaled.load)}"
    if scaled.height is not None:
        text += f" at height {_height(scaled.height)}"
    if scaled.ratio != 1.0:
        text += f" ratio {number(scaled.ratio)}"
    return text


def _amount(amount: Amount) -> str:
    text = f"{amount.sets} x " if amount.sets != 1 else ""
    if amount.open:
        text += "build " if amount.steps else "max"
    text += _steps(amount.steps)
    if amount.continues:
        text += "-..."
    text += "" if amount.unit == "rep" else f" {amount.unit}"
    if amount.sides == 2:
        text += " each side"
    return text


def _steps(steps: tuple[Quantity, ...]) -> str:
    return "-".join(_quantity(step) for step in steps)


def _quantity(quantity: Quantity) -> str:
    text = number(quantity.value)
    if quantity.lighter is not None:
        text += f"/{number(quantity.lighter)}"
    if quantity.top is not None:
        text += f"..{number(quantity.top)}"
    return text


def _load(load: Load) -> str:
    text = f"{load.count} x " if load.count != 1 else ""
    text += "+" if load.added else ""
    text += f"{_steps(load.steps)} {_LOAD_UNITS.get(load.unit, load.unit)}"
    if load.of is not None:
        text += f" of {load.of.replace('_', ' ')}"
    return text


def _height(height: Height) -> str:
    return f"{_quantity(height.value)} {height.unit or '(no unit)'}"
