"""Levels of one session: lines such as `L1: ...`, `Level 2: ...`, `Anfänger: ...`, of which each athlete does one."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

from keelmark.catalogue.wording import fold
from keelmark.notation.context import Context
from keelmark.notation.expand import Doubts
from keelmark.notation.items import Item
from keelmark.notation.trade import trade
from keelmark.notation.tree import Group, Prescription, Section, Station

__all__ = ["at_level", "levels_of", "read_levels"]

_LEADS = frozenset(["newline", "semicolon", "sslash", "open", "stop", "bullet"])
_CLOSES = frozenset(["colon", "close", "equals", "sdash", "stop", "newline", "arrow", "dash"])
_SHORT = frozenset("lns")


def read_levels(items: list[Item]) -> list[Item]:
    """Make the labels of levels items of their own, where a text has two levels or more.

    Parameters
    ----------
    items : list of Item
        As they were told apart, before figures are read.
    """
    may_name = _may_name()
    if len([item for item in items if item.word in may_name]) < 2:
        return items
    found = list(_labels(items))
    if len({name for _, _, name in found}) < 2:
        return items
    read: list[Item] = []
    done = 0
    for start, end, name in found:
        read += items[done:start]
        read.append(Item("level", items[start].start, items[end - 1].end, name))
        done = end + 1 if end < len(items) and items[end].kind in _CLOSES - {"newline"} else end
    return read + items[done:]


def _labels(items: list[Item]) -> Iterator[tuple[int, int, str]]:
    """Where a label begins and ends, and the level that it names."""
    names, words, plain, versions = _words_of_levels()
    heads = {item.word for at, item in enumerate(items) if _heads_line(items, at)}
    if not heads.isdisjoint(plain) and not heads.isdisjoint(versions):
        names |= plain | versions
    for at, item in enumerate(items):
        if at and items[at - 1].kind not in _LEADS:
            continue
        behind = items[at + 1] if at + 1 < len(items) else None
        if behind is not None and behind.kind == "number" and _closed(items, at + 2):
            short = item.kind == "letter" and item.word in _SHORT and not behind.spaced
            if (short or item.word in words) and float(behind.value).is_integer():
                yield at, at + 2, str(int(behind.value))
        elif item.word in names and _closed(items, at + 1):
            yield at, at + 1, item.word


@cache
def _words_of_levels() -> tuple[frozenset[str], ...]:
    """Names of levels, words before a number, and names that are one only beside another of the two."""
    told = trade()["levels"]
    return tuple(frozenset(told[part]) for part in ("names", "words", "plain_names", "versions"))


@cache
def _may_name() -> frozenset[str]:
    """Every word that can stand in the label of a level."""
    return frozenset(_SHORT.union(*_words_of_levels()))


def _heads_line(items: list[Item], at: int) -> bool:
    return (at == 0 or items[at - 1].kind == "newline") and at + 1 < len(items) and items[at + 1].kind == "colon"


def _closed(items: list[Item], at: int) -> bool:
    return at < len(items) and items[at].kind in _CLOSES


def levels_of(tree: Prescription) -> list[str]:
    """The levels that a tree tells apart, in order."""
    stations = (station for section in tree.sections for group in section.groups for station in group.stations)
    return list(dict.fromkeys(station.level for station in stations if station.level))


def at_level(tree: Prescription, context: Context, doubts: Doubts) -> Prescription:
    """The tree of one athlete: of stations with a level only those of the athlete's.

    Where the athlete's level is not known, the last one written is taken, in the scaled option the first one, and a
    doubt says so.
    """
    levels = levels_of(tree)
    if not levels:
        return tree
    mine = _named(context.level)
    plain = next((name for name in levels if name in trade()["levels"]["plain_names"]), None)
    if mine not in levels and plain is not None and context.option != "scaled":
        mine = plain
    elif mine not in levels:
        mine = levels[0] if context.option == "scaled" else levels[-1]
        first = next(s for part in tree.sections for g in part.groups for s in g.stations if s.level)
        doubts.add("level_not_told", first, levels=", ".join(levels), taken=mine)
    return Prescription(tuple(_section_at(section, mine) for section in tree.sections))


def _named(level: str | None) -> str | None:
    """`L2`, `Level 2` and `2` are one level."""
    if level is None:
        return None
    figure = re.search(r"\d+", level)
    return figure[0] if figure else fold(level)


def _section_at(section: Section, level: str) -> Section:
    groups = (_group_at(group, level) for group in section.groups)
    return replace(section, groups=tuple(group for group in groups if group is not None))


def _group_at(group: Group, level: str) -> Group | None:
    stations: tuple[Station, ...] = tuple(s for s in group.stations if s.level in ("", level))
    return replace(group, stations=stations) if stations or not group.stations else None
