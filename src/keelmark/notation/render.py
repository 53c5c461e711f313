"""Write a tree in the exact form: what was understood, as a careful coach would chalk it up.

A section ends in a full stop: `for time, cap 14 min: 24-18-12: thruster at 40/27.5 kg, box jump at 24/20 in.`
The rules are in `board.lark`; `exact` reads the form back to the same tree.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from keelmark.catalogue import Catalogue, shipped_catalogue
from keelmark.notation.titles import TITLES
from keelmark.notation.tree import (
    TRAINING_MAX,
    Amount,
    Group,
    Height,
    Load,
    Prescription,
    Quantity,
    Scaled,
    Section,
    Station,
)

__all__ = ["BODY_MASS", "NO_HEIGHT_UNIT", "NO_LOAD_UNIT", "OF_WHAT", "SHARES", "WHENS", "laid_out", "render"]

SHARES = {
    "split": "sharing freely",
    "even": "sharing evenly",
    "turns": "taking turns",
    "own": "each counting their own",
    "loose": "",
}
"""How a team shares its work, in words."""
WHENS = {
    "after_rep": "after each rep",
    "after_set": "after each set",
    "between_sets": "between sets",
    "each_break": "at each break",
    "each_minute": "on every minute",
    "each_minute_later": "on every minute but the first",
}
"""When work is done that is tied to other work or to the clock, in words."""
BODY_MASS = "x body mass"
OF_WHAT = {"result": "today's best", TRAINING_MAX: "training maximum"}
"""What a percentage may be of beside a movement, in words."""
NO_LOAD_UNIT = "(kg or lb?)"
NO_HEIGHT_UNIT = "(cm or in?)"

_LOAD_UNITS = {"percent": "%", "bodyweight": f" {BODY_MASS}", "": f" {NO_LOAD_UNIT}"}
_LONG = 72
"""Characters of a line; a longer section is laid out with one group a line."""


def render(tree: Prescription, catalogue: Catalogue | None = None) -> str:
    """The exact form of a tree, one section a line; an empty tree gives an empty text.

    Parameters
    ----------
    tree : Prescription
        What is prescribed.
    catalogue : Catalogue, optional
        Where movements have their names; as shipped unless given.

    Returns
    -------
    str
        Text that reads back to the same tree.
    """
    writer = _Writer(catalogue or shipped_catalogue())
    return "\n".join(f"{head}{''.join(groups)}." for head, groups in map(writer.section, tree.sections))


def laid_out(tree: Prescription, catalogue: Catalogue | None = None) -> str:
    """The exact form with a long section on lines of its own groups; parameters and use as `render`."""
    writer = _Writer(catalogue or shipped_catalogue())
    return "\n".join(_laid_out(*writer.section(section)) for section in tree.sections)


def _laid_out(head: str, groups: list[str]) -> str:
    line = f"{head}{''.join(groups)}."
    if len(line) <= _LONG or (len(groups) == 1 and not head):
        return line
    body = "".join(groups).replace("; ", ";\n  ")
    return f"{head.rstrip()}\n  {body}." if head else f"{body}."


def number(value: float) -> str:
    """A figure without a needless decimal point."""
    return str(int(value)) if value == int(value) and abs(value) < 1e15 else repr(value)


def duration(seconds: float) -> str:
    """A time of a clock in words: `40 s`, `12 min`, `2:30 min`."""
    minutes, rest = divmod(seconds, 60)
    if seconds < 60 or rest != int(rest):
        return f"{number(seconds)} s"
    return f"{number(minutes)} min" if not rest else f"{number(minutes)}:{int(rest):02d} min"


class _Writer:
    """Writes with the names of one catalogue."""

    def __init__(self, catalogue: Catalogue) -> None:
        self._names = catalogue.names

    def section(self, section: Section) -> tuple[str, list[str]]:
        """What stands in front of the work, and the work group by group with the sign that leads to it."""
        head = _label(section.label) if section.label else ""
        phrases = ", ".join(_phrases(section))
        if phrases:
            head += f"{phrases}: "
        groups = [self._group(group, section) for group in section.groups] or ["nothing"]
        led = [
            text if number == 0 else f"; {text}" if group.slots else f"; then {text}"
            for number, (text, group) in enumerate(zip(groups, section.groups or (Group(),), strict=True))
        ]
        return head, led

    def _group(self, group: Group, section: Section) -> str:
        before = []
        if group.role:
            before.append(group.role.replace("_", "-"))
        if group.slots:
            turn = "minute" if section.window == 60 else "turn"
            before.append(f"{turn} {'+'.join(map(str, group.slots))} of {group.of_slots}")
        if group.rounds != 1:
            before.append(f"{group.rounds} rounds")
        if group.scheme is not None:
            before.append(_amount(group.scheme))
        stations = ", ".join(map(self._station, group.stations)) or "rest"
        return f"{', '.join(before)}: {stations}" if before else stations

    def _station(self, station: Station) -> str:
        text = f"{_amount(station.amount)} " if station.amount is not None else ""
        text += self._movement(station.movement) + self._at(station.load, station.height)
        if station.start_height is not None:
            text += f" from {_height(station.start_height)}"
        notes = list(self._notes(station))
        return f"{text} ({', '.join(notes)})" if notes else text

    def _notes(self, station: Station) -> Iterable[str]:
        if station.when:
            yield WHENS[station.when]
        if station.side:
            yield "each side" if station.side == "each" else "alternating"
        if station.rpe is not None:
            yield f"RPE {number(station.rpe)}"
        if station.own:
            yield "each person"
        if station.level:
            yield f"level {station.level}"
        if station.scaled is not None:
            yield from (f"scaled: {self._scaled(one)}" for one in (station.scaled, *station.scaled.more))

    def _scaled(self, scaled: Scaled) -> str:
        text = f"{number(scaled.ratio)}-for-1 " if scaled.ratio != 1.0 else ""
        text += f"{_amount(scaled.amount)} " if scaled.amount is not None else ""
        text += self._movement(scaled.movement) if scaled.movement is not None else "same"
        return text + self._at(scaled.load, scaled.height)

    def _at(self, load: Load | None, height: Height | None) -> str:
        parts = [self._load(load)] if load is not None else []
        parts += [_height(height)] if height is not None else []
        return f" at {' and '.join(parts)}" if parts else ""

    def _load(self, load: Load) -> str:
        text = f"{load.count or '?'} x " if load.count != 1 else ""
        text += "+" if load.added else ""
        text += _steps(load.steps) + _LOAD_UNITS.get(load.unit, f" {load.unit}")
        if load.of is not None:
            text += f" of {OF_WHAT.get(load.of) or self._movement(load.of)}"
        return text

    def _movement(self, movement: str) -> str:
        return written_name(self._names.label, self._names.find, movement)


def written_name(label: Callable[[str], str], find: Callable[[str], str | None], movement: str) -> str:
    """The name of a movement on a board: its label where that means this movement only."""
    name = label(movement)
    return name if find(name) == movement else movement.replace("_", " ")


def _label(label: str) -> str:
    return f"{label.replace('_', ' ').capitalize() if label in TITLES else label} – "


_OF_THE_CLOCK = {
    "seconds": "for {}",
    "window": "in windows of {}",
    "windows": "{} times",
    "work": "work {}",
    "rest": "rest {}",
    "cap": "cap {}",
}


def _phrases(section: Section) -> Iterable[str]:
    """The clock and the team of a section; the kind first."""
    lead, told = _lead(section)
    if lead:
        yield lead
    for name, words in _OF_THE_CLOCK.items():
        seconds = getattr(section, name)
        if seconds is not None and name not in told:
            yield words.format(seconds if name == "windows" else duration(seconds))
    if section.share:
        yield f"team of {section.people} {SHARES[section.share]}".rstrip()


def _lead(section: Section) -> tuple[str, tuple[str, ...]]:
    """What the kind of a section says, and the figures told with it."""
    window, seconds, windows, work = section.window, section.seconds, section.windows, section.work
    if section.kind == "for_time":
        return "for time", ()
    if section.kind == "amrap":
        return f"AMRAP {duration(seconds)}" if seconds is not None else "AMRAP", ("seconds",)
    if section.kind == "intervals":
        lead = f"{windows} intervals" if windows is not None else "intervals"
        return f"{lead} of {duration(work)}" if work is not None else lead, ("windows", "work")
    if section.kind not in ("every", "until_miss"):
        return "", ()
    if window is None:
        return "by the clock" if section.kind == "every" else "until a miss", ()
    each = "every minute" if window == 60 else f"every {duration(window)}"
    each += f" for {duration(seconds)}" if seconds is not None else ""
    return f"{each} until a miss" if section.kind == "until_miss" else each, ("window", "seconds")


def _amount(amount: Amount) -> str:
    text = f"{amount.sets} x " if amount.sets != 1 else ""
    if amount.open:
        text += "build to " if amount.steps else "max"
    elif not amount.steps:
        text += "?"
    text += _steps(amount.steps)
    text += "-..." if amount.continues else ""
    text += "" if amount.unit == "rep" else f" {amount.unit}"
    return text + ("/side" if amount.sides == 2 else "")


def _steps(steps: tuple[Quantity, ...]) -> str:
    return "-".join(map(_quantity, steps))


def _quantity(quantity: Quantity) -> str:
    text = number(quantity.value)
    if quantity.lighter is not None:
        text += f"/{number(quantity.lighter)}"
    if quantity.top is not None:
        text += f" to {number(quantity.top)}"
    return text


def _height(height: Height) -> str:
    return f"{_quantity(height.value)} {height.unit or NO_HEIGHT_UNIT}"
