"""People in the text: `Partner 1` is no count, the legs of a relay are turns, `you go / I go` says who works."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from keelmark.notation.items import Item
from keelmark.notation.trade import trade

__all__ = ["read_people"]

_PEOPLE = frozenset(["partner", "buddy", "athlete"])
_DOES = frozenset(["movement", "word", "colon", "work", "comma", "equals", "sdash"])
_SIGNS = frozenset(["slash", "sslash", "comma", "dash", "sdash", "and"])


def read_people(items: list[Item], kinds: set[str], words: set[str]) -> list[Item]:
    """The items with people told apart from counts, and turns told in two halves as one."""
    if not words.isdisjoint(_turns_told()):
        items = _with_turns(items)
    if "team" in kinds or not words.isdisjoint(trade()["relay"]["words"]):
        items = _with_people(items, {word for phrase in words for word in phrase.split()})
    return items


@cache
def _turns_told() -> dict[str, list[tuple[str, ...]]]:
    """The ways of telling turns, by their first word."""
    found: dict[str, list[tuple[str, ...]]] = {}
    for phrase in trade()["turns_told"]["phrases"]:
        found.setdefault(phrase.split()[0], []).append(tuple(phrase.split()))
    return found


def _with_turns(items: list[Item]) -> list[Item]:
    """`You go / I go`, `ich - du`: one works while the other rests."""
    phrases = _turns_told()
    out: list[Item] = []
    at = 0
    while at < len(items):
        here = phrases.get(items[at].word, ())
        end = next((end for phrase in here if (end := _phrase_end(items, at, phrase))), 0)
        if end:
            out.append(Item("in_turn", items[at].start, items[end - 1].end, None, "in turn", ("in_turn",), True))
            at = end
        else:
            out.append(items[at])
            at += 1
    return out


def _phrase_end(items: list[Item], at: int, phrase: tuple[str, ...]) -> int:
    """The place behind a phrase that may have a sign in its middle; 0 where it is not there."""
    here, signs = at, 0
    for number, word in enumerate(phrase):
        while number and here < len(items) and items[here].kind in _SIGNS and items[here].word != word:
            here, signs = here + 1, signs + 1
        if here >= len(items) or items[here].word != word:
            return 0
        here += 1
    return here if signs <= 1 else 0


def _with_people(items: list[Item], words: set[str]) -> list[Item]:
    """`Partner 1` is one of two people, no count; the legs of a relay are turns."""
    out: list[Item] = []
    relay = not words.isdisjoint(trade()["relay"]["words"])
    for at, item in enumerate(items):
        before = out[-1] if out else None
        following = items[at + 1].kind if at + 1 < len(items) else "newline"
        told = before is not None and before.kind == "team" and before.word in _PEOPLE
        if told and before is not None and item.kind == "number" and item.value <= 4 and following in _DOES:
            out[-1] = replace(before, end=item.end)
        elif relay and item.kind == "per_side" and item.word.endswith((" leg", " bein")):
            out.append(replace(item, kind="word", roles=()))
        elif relay and _is_turn(before, item, following):
            out.append(replace(item, kind="rounds", value=None, roles=("rounds",)))
        else:
            out.append(item)
    return out


def _is_turn(before: Item | None, item: Item, following: str) -> bool:
    """`12 legs`, `one leg =` of a relay: rounds; `four legs each` tells the share of each."""
    counted = before is not None and before.kind == "number" and following not in ("each", "each_person")
    return counted and item.word in trade()["relay"]["turns"]
