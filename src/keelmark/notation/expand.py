"""From the tree to what one athlete does: every station in the order prescribed, with loads in kg and heights in cm."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from keelmark.catalogue import Catalogue
from keelmark.notation.context import Context
from keelmark.notation.trade import parents_of
from keelmark.notation.tree import CM_OF, TRAINING_MAX, Amount, Height, Load, Quantity, Section, Station

__all__ = ["Done", "Doubts", "Entry", "Expander"]

_FACTORS = {
    "rep": 1.0,
    "m": 1.0,
    "km": 1000.0,
    "mi": 1609.344,
    "yd": 0.9144,
    "ft": 0.3048,
    "s": 1.0,
    "min": 60.0,
    "h": 3600.0,
    "cal": 1.0,
}
_KG = {"kg": 1.0, "lb": 0.45359237}


@dataclass(slots=True)
class Entry:
    """One set of a station for one athlete."""

    station: Station
    movement: str
    measure: str
    amount: float
    low: float
    high: float
    load_kg: float | None
    basis: str
    height_cm: float | None
    start_cm: float | None
    version: str

    @property
    def units(self) -> float:
        """How many units of a score it holds: one for each rep or calorie, one for any distance or time."""
        return self.amount if self.measure in ("reps", "calories") else 1.0


@dataclass(slots=True)
class Done:
    """An entry and how often it was done."""

    entry: Entry
    times: int = 1
    part: float | None = None
    low: float | None = None
    high: float | None = None
    section: int = 0


@dataclass(slots=True)
class Doubts:
    """Doubts met while working out what was done: code, place, data."""

    found: list[tuple[str, int, int, dict[str, str]]] = field(default_factory=list)

    def add(self, code: str, station: Station | None, **data: str) -> None:
        """Note a doubt once for each place."""
        start, end = (station.start, station.end) if station is not None else (0, 0)
        entry = (code, start, end, data)
        if entry not in self.found:
            self.found.append(entry)


class Expander:
    """Works out the sets of a station for an athlete.

    Parameters
    ----------
    catalogue : Catalogue
        Movements with their loads and swaps.
    context : Context
        The athlete's standard, body mass, maxima and option.
    doubts : Doubts
        Where missing figures are noted.
    """

    def __init__(self, catalogue: Catalogue, context: Context, doubts: Doubts) -> None:
        self.catalogue = catalogue
        self.context = context
        self.doubts = doubts
        self.heaviest: float | None = None
        self.lifted: dict[str, float] = {}
        self.written: dict[str, float] = {}
        self.builds: frozenset[str] = frozenset()
        self.chosen: frozenset[str] = frozenset()

    def sets(self, station: Station, scheme: Amount | None, section: Section | None = None) -> list[Entry]:
        """All sets of a station, in order; empty where only a score tells."""
        beside = [entry for other in self._beside(station) for entry in self.sets(other, scheme, section)]
        station, version, ratio = self._version(station)
        amount = station.amount or scheme
        if amount is None and section is not None and section.work is not None:
            amount = Amount("duration_s", "s", (Quantity(section.work),))
        if amount is None or amount.open or not amount.steps:
            return []
        loads = self._loads(station)
        steps = [step for _ in range(min(amount.sets, 100000)) for step in amount.steps]
        if len(steps) == 1 and len(loads) > 1:
            steps = steps * len(loads)
        sides = amount.sides if station.amount is not None else (2 if station.side == "each" else 1)
        made = [
            self._entry(station, amount, step, loads, place, len(steps), version, ratio * sides)
            for place, step in enumerate(steps)
        ]
        return made + beside

    def _beside(self, station: Station) -> list[Station]:
        """What is done beside the first substitute, as stations of their own; nothing as written."""
        if station.scaled is None or not station.scaled.more or self._version(station)[1] != "scaled":
            return []
        return [replace(station, scaled=other) for other in station.scaled.more]

    def rungs(self, station: Station, amount: Amount, number: int) -> list[Entry]:
        """One rung of a ladder that may go on, with what is done beside it in the scaled option."""
        return [self.rung(one, amount, number) for one in (station, *self._beside(station))]

    def rung(self, station: Station, amount: Amount, number: int) -> Entry:
        """One rung of a ladder that may go on."""
        station, version, ratio = self._version(station)
        sides = amount.sides if amount is station.amount else (2 if station.side == "each" else 1)
        steps = amount.steps
        if number < len(steps):
            step = steps[number]
        else:
            rise = steps[-1].value - steps[-2].value if len(steps) > 1 else steps[-1].value
            step = Quantity(max(0.0, steps[-1].value + rise * (number - len(steps) + 1)))
        return self._entry(station, amount, step, self._loads(station), number, len(steps), version, ratio * sides)

    def open_entry(
        self, station: Station, amount: float, load_kg: float | None, number: int, sets: int, measure: str
    ) -> Entry:
        """A set whose amount or load comes from the score."""
        station, version, ratio = self._version(station)
        loads = self._loads(station)
        basis, load = self._load_at(station, loads, number, sets)
        if load_kg is not None:
            basis, load = "external", load_kg
        return self._make(station, measure, amount * ratio, amount * ratio, amount * ratio, load, basis, version)

    def _version(self, station: Station) -> tuple[Station, str, float]:
        """The station as this athlete does it: as written, scaled or swapped, and reps done for each one written."""
        swap = self.context.swaps.get(station.movement)
        if swap is not None:
            ratio = next((s.ratio.value for s in self.catalogue.movements[station.movement].swaps if s.to == swap), 1.0)
            return replace(station, movement=swap, load=self._fitting(swap, station.load)), "swapped", ratio
        scaled = station.scaled
        if scaled is None or not (self.context.option == "scaled" or scaled.movement in self.chosen):
            return station, "as_written", 1.0
        movement = scaled.movement or station.movement
        load = scaled.load or (station.load if scaled.movement is None else self._fitting(movement, station.load))
        height = scaled.height or self._of_like_height(movement, station)
        amount = scaled.amount or station.amount
        changed = replace(station, movement=movement, load=load, height=height, amount=amount)
        return changed, "scaled", scaled.ratio if scaled.amount is None else 1.0

    def _of_like_height(self, movement: str, station: Station) -> Height | None:
        """The height written, where what is done in place of the movement is done at one too: no rope for pull-ups."""
        kinds = (self.catalogue.height_kind(movement), self.catalogue.height_kind(station.movement))
        return station.height if kinds[0] == kinds[1] else None

    def _fitting(self, movement: str, load: Load | None) -> Load | None:
        return load if self.catalogue.movements[movement].load == "needs" else None

    def _entry(
        self,
        station: Station,
        amount: Amount,
        step: Quantity,
        loads: list[float | None],
        place: int,
        count: int,
        version: str,
        times: float,
    ) -> Entry:
        factor = _FACTORS[amount.unit] * times
        low = step.of(self.context.standard) * factor
        high = (step.top if step.top is not None else step.of(self.context.standard)) * factor
        basis, load = self._load_at(station, loads, place, count)
        if load is not None and station.movement not in self.builds:
            self.written[station.movement] = max(load, self.written.get(station.movement, 0.0))
        return self._make(station, amount.measure, (low + high) / 2, low, high, load, basis, version)

    def _make(
        self,
        station: Station,
        measure: str,
        amount: float,
        low: float,
        high: float,
        load: float | None,
        basis: str,
        version: str,
    ) -> Entry:
        return Entry(
            station,
            station.movement,
            measure,
            amount,
            low,
            high,
            load,
            basis,
            self._height(station.height),
            self._height(station.start_height),
            version,
        )

    def _height(self, height: Height | None) -> float | None:
        if height is None or height.unit not in CM_OF:
            return None
        return height.value.of(self.context.standard) * CM_OF[height.unit]

    def _load_at(self, station: Station, loads: list[float | None], place: int, count: int) -> tuple[str, float | None]:
        if not loads:
            needs = self.catalogue.movements[station.movement].load
            return ("unknown" if needs == "needs" else "none"), None
        load = loads[place % len(loads)] if len(loads) > 1 else loads[0]
        return ("external" if load is not None else "unknown"), load

    def _loads(self, station: Station) -> list[float | None]:
        """Load in kg of each step; None where it cannot be known."""
        load = station.load
        if load is None:
            return []
        if load.unit in _KG and load.count:
            return [self._figure(step) * _KG[load.unit] * load.count for step in load.steps]
        if load.unit == "percent":
            base = self._base(station, load)
            if base is None:
                return [None] * len(load.steps)
            return [self._figure(step) * base / 100 for step in load.steps]
        if load.unit == "bodyweight":
            if self.context.bodyweight_kg is None:
                self.doubts.add("missing_bodyweight", station, movement=station.movement)
                return [None] * len(load.steps)
            return [self._figure(step) * self.context.bodyweight_kg for step in load.steps]
        return [None] * len(load.steps)

    def _figure(self, step: Quantity) -> float:
        value = step.of(self.context.standard)
        if step.lighter is not None and step.lighter > step.value:
            value = step.value if self.context.standard == "lighter" else step.lighter
            value = step.of(self.context.standard)
        return value if step.top is None else (step.value + step.top) / 2

    def _base(self, station: Station, load: Load) -> float | None:
        maxima = self.context.one_rm
        if load.of == "result":
            if self.heaviest is not None:
                return self.heaviest
            if station.movement in self.written:
                return self.written[station.movement]
        elif load.of == TRAINING_MAX:
            self.doubts.add("missing_one_rm", station, movement=f"{station.movement}, training maximum")
            return None
        elif load.of is not None:
            for movement in (load.of, *parents_of(load.of)):
                if movement in maxima:
                    return maxima[movement]
            if load.of in self.lifted:
                return self.lifted[load.of]
        else:
            for movement in (station.movement, *parents_of(station.movement)):
                if movement in maxima:
                    return maxima[movement]
        self.doubts.add(
            "missing_one_rm", station, movement=load.of if load.of not in (None, "result") else station.movement
        )
        return None
