"""Scaled options and swaps, each given to the station it stands in for."""

from __future__ import annotations

from dataclasses import replace

from keelmark.catalogue import Catalogue
from keelmark.notation.assemble import Assembler
from keelmark.notation.counts import AMOUNTS
from keelmark.notation.drafts import GroupDraft, SectionDraft, StationDraft
from keelmark.notation.items import Item
from keelmark.notation.sharing_loads import every_station
from keelmark.notation.stations import is_like
from keelmark.notation.tree import Scaled

__all__ = ["take_options"]


Stations = list[tuple[SectionDraft, GroupDraft, StationDraft]]


def take_options(work: Assembler, catalogue: Catalogue) -> None:
    """Give every swap and scaled option to the station it stands in for."""
    stations = every_station(work)
    told: dict[int, Item] = {}
    for original, substitute, ratio in work.swaps:
        for station in _swapped(original, stations, work):
            if station.scaled is None:
                station.scaled, told[id(station)] = Scaled(substitute, ratio), original
            elif told.get(id(station)) is original:
                station.scaled = replace(station.scaled, more=(*station.scaled.more, Scaled(substitute, ratio)))
    for last, piece, figures, items in work.options:
        target = _stood_for(last, piece, stations, catalogue)
        if piece is not None and target is not None:
            _other_movement(target, piece, items, stations)
        elif target is not None and target.scaled is None:
            _other_figures(target, figures, stations)
        elif target is None and piece is None:
            _lighter_for_all(figures, stations, catalogue)


def _swapped(original: Item, stations: Stations, work: Assembler) -> list[StationDraft]:
    """The stations that a swap speaks of: those of that name, else those it may mean, or a kind of it."""
    named = [station for _, _, station in stations if station.movement == original.value]
    if named:
        return named
    meant = work.lexicon.doubt(original.word, work.language) or ()
    found = [station for _, _, station in stations if station.movement in meant]
    found = found or [station for _, _, station in stations if is_like(station.movement, original.value)]
    return found if len({station.movement for station in found}) == 1 else []


def _lighter_for_all(figures: list[Item], stations: Stations, catalogue: Catalogue) -> None:
    """A load alone, before any station: for all that are loaded."""
    load = next((item.value for item in figures if item.kind == "load"), None)
    for _, _, station in stations:
        if load is not None and catalogue.movements[station.movement].load == "needs" and station.scaled is None:
            station.scaled = Scaled(None, 1.0, None, load)


def _other_movement(target: StationDraft, piece: StationDraft, items: list[Item], stations: Stations) -> None:
    """A movement in place of another, or figures for one that is named again."""
    own = next((s for _, _, s in stations if s.movement == piece.movement and s is not target), None)
    if own is not None and (piece.load or piece.height) and piece.movement != target.movement:
        own.scaled = Scaled(None, 1.0, piece.amount, piece.load, piece.height)
        return
    shorter = set(piece.movement.split("_")) < set(target.movement.split("_"))
    same = piece.movement == target.movement or (shorter and piece.amount is None and (piece.load or piece.height))
    movement = None if same else piece.movement
    ratio = next((item.value for item in items if item.kind == "ratio"), 1.0)
    amount = piece.amount
    if amount is not None and len(amount.steps) == 1 and any(item.kind in ("per", "each") for item in items):
        ratio, amount = amount.steps[0].value, None
    target.scaled = Scaled(movement, ratio, amount, piece.load, piece.height)


def _other_figures(target: StationDraft, figures: list[Item], stations: Stations) -> None:
    """A load, height or count in place of another."""
    load = next((item.value for item in figures if item.kind == "load"), None)
    height = next((item.value for item in figures if item.kind == "height"), None)
    amount = next((item.value for item in figures if item.kind in AMOUNTS), None)
    if not (load or height or amount):
        return
    chosen = target
    if load is not None and target.load is None:
        chosen = next((s for _, _, s in reversed(stations) if s.load is not None), target)
    chosen.scaled = Scaled(None, 1.0, amount, load, height)


_SMALL_PARTS = frozenset(["up", "over", "to", "and", "single", "arm", "leg", "box"])


def _stood_for(
    last: StationDraft | None,
    piece: StationDraft | None,
    stations: Stations,
    catalogue: Catalogue,
) -> StationDraft | None:
    """Which station an option stands in for: one it is a known swap of, one of a like name, else the last before it."""
    if piece is None:
        return last
    if piece.stands_for is not None:
        return piece.stands_for
    if any(station.movement == piece.movement for _, _, station in stations):
        return next(station for _, _, station in stations if station.movement == piece.movement)
    words = set(piece.movement.split("_")) - _SMALL_PARTS

    def likeness(station: StationDraft) -> int:
        movement = catalogue.movements[station.movement]
        if any(swap.to == piece.movement for swap in movement.swaps):
            return 4
        if words & set(station.movement.split("_")):
            return 3
        same = catalogue.movements[piece.movement]
        return 2 if movement.category == same.category else (1 if station is last else 0)

    ranked = sorted((station for _, _, station in stations), key=lambda s: (likeness(s), s is last), reverse=True)
    return ranked[0] if ranked and likeness(ranked[0]) > 0 else last
