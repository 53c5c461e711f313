"""Marks that are no figures of work, taken out before figures are read: numbers of a list, of parts and of minutes."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.after_sets import read_after_sets
from keelmark.notation.clock_series import read_clock_series
from keelmark.notation.items import Item
from keelmark.notation.list_marks import read_list_marks
from keelmark.notation.people_marks import read_people
from keelmark.notation.rung_marks import read_rung_marks
from keelmark.notation.rungs_by_round import read_ordinals, read_rungs_by_round
from keelmark.notation.said_marks import read_said
from keelmark.notation.stepped_ladders import read_stepped_ladders
from keelmark.notation.time_marks import read_time_marks

__all__ = ["read_marks"]


def read_marks(items: list[Item]) -> list[Item]:
    """The items with `4:30/km`, `18:10` at the start of a line and `1) ... 2) ...` told apart from figures."""
    kinds = {item.kind for item in items}
    words = {item.word for item in items}
    items = _with_options(_with_parts(items, kinds, words), kinds)
    items = read_said(read_people(items, kinds, words), kinds, words)
    if not words.isdisjoint(_ZONES):
        items = _with_zones(items)
    if not words.isdisjoint(_BEFORE_PRONOUN) or "after_each" in kinds:
        items = [_pronoun_or_pair(items, at) for at in range(len(items))]
    items = _with_times_and_rungs(items, kinds, words)
    return read_list_marks(items)


def _with_parts(items: list[Item], kinds: set[str], words: set[str]) -> list[Item]:
    """Labels and ordinals: of parts, lines, minutes and rounds."""
    if "beforehand" in kinds:
        items = [_beforehand(items, at) for at in range(len(items))]
    if "top_set" in kinds:
        items = _with_parts_of_a(items)
        kinds.update(item.kind for item in items)
    if "part" in kinds:
        items = _with_numbered_parts(items)
    if "number" in kinds and not words.isdisjoint(_ORDINAL_ENDINGS):
        items = read_ordinals(items)
        kinds.update(item.kind for item in items)
    if not kinds.isdisjoint(("nth", "rounds")):
        items = read_rungs_by_round(items)
    if not kinds.isdisjoint(("after_each", "after_round", "after_movement")):
        items = read_after_sets(items)
    if "nth" in kinds:
        items = _with_ordinals(items)
    return items


def _with_options(items: list[Item], kinds: set[str]) -> list[Item]:
    """Names with a share in them, numbers of lines, options in brackets and questions."""
    if "share" in kinds:
        items = [_part_of_name(items, at) for at in range(len(items))]
    if "hash" in kinds:
        items = _with_numbered_lines(items)
    if "equals" in kinds and "newline" in kinds:
        items = _with_equals_of_numbers(items)
    if "scaled" in kinds and "open" in kinds:
        items = _with_options_in_brackets(items)
    if "open" in kinds and not kinds.isdisjoint(_CLOCK_HEADS):
        items = _without_brackets_of_heads(items)
    if "query" in kinds and "movement" in kinds:
        items = _with_questions(items)
    if "plus" in kinds and "slash" in kinds:
        items = [
            item for at, item in enumerate(items) if not (item.kind == "plus" and at and items[at - 1].kind == "slash")
        ]
    return items


_PAIR = frozenset(["pair", "paar", "paire", "pareja", "par", "dupla"])
_BEFORE_PRONOUN = frozenset(["last", "first", "next", "final", "this", "that", "letzten", "ersten", "nachsten"])


def _pronoun_or_pair(items: list[Item], at: int) -> Item:
    """`no run after the last one` counts nothing; `100 m run after each pair` speaks of rungs, not of people."""
    item, before = items[at], items[at - 1] if at else None
    if before is None:
        return item
    ends = at + 1 >= len(items) or items[at + 1].kind in ("close", "newline", "stop", "comma", "semicolon")
    if item.kind == "number" and item.end - item.start == 3 and item.value == 1 and ends:
        told = before.word.split(" ")[-1] in _BEFORE_PRONOUN
        return replace(item, kind="word") if told else item
    if before.kind == "after_each" and item.kind == "team" and item.word in _PAIR:
        return replace(item, kind="rung", roles=("rung",))
    return item


_CLOCK_HEADS = frozenset(["emom", "amrap", "rounds_for_time"])


def _without_brackets_of_heads(items: list[Item]) -> list[Item]:
    """`A la minuta (EMOM) 15'`: the head stands in brackets, for the words before it say the same."""
    dropped: set[int] = set()
    for at in range(1, len(items) - 1):
        framed = items[at - 1].kind == "open" and items[at + 1].kind == "close" and at > 1
        if framed and items[at].kind in _CLOCK_HEADS and items[at - 2].kind == "word":
            dropped.update((at - 1, at + 1))
    return [item for at, item in enumerate(items) if at not in dropped]


def _with_times_and_rungs(items: list[Item], kinds: set[str], words: set[str]) -> list[Item]:
    """Times of the clock, and ladders told by their ends, in rows or by name."""
    if "clock" in kinds or "minute" in kinds:
        items = read_clock_series(items)
    if "number" in kinds and not kinds.isdisjoint(("to", "ellipsis", "dash", "at")):
        items = read_stepped_ladders(items)
    return read_rung_marks(read_time_marks(items, kinds, words), kinds, words)


def _with_options_in_brackets(items: list[Item]) -> list[Item]:
    """`scaled version in ( )` on a line of its own: every bracket behind it holds the option."""
    empty = [at for at in range(len(items) - 1) if items[at].kind == "open" and items[at + 1].kind == "close"]
    line = next((at for at in range(empty[0] if empty else 0, len(items)) if items[at].kind == "newline"), 0)
    if not empty or not line or not any(item.kind == "scaled" for item in items[:line]):
        return items
    out: list[Item] = []
    for at, item in enumerate(items[line + 1 :], line + 1):
        out.append(item)
        if item.kind == "open" and at + 1 < len(items):
            out.append(Item("scaled", item.end, item.end, None, "", ("scaled",)))
    return out


def _part_of_name(items: list[Item], at: int) -> Item:
    """`bulgrian split sqats`: the word belongs to a name, mistyped as it is."""
    item, following = items[at], items[at + 1] if at + 1 < len(items) else None
    named = item.kind == "share" and item.word == "split" and following is not None and following.kind == "word"
    tied = at > 0 and items[at - 1].kind in ("word", "number")
    return replace(item, kind="word", roles=()) if named and tied else item


def _with_numbered_lines(items: list[Item]) -> list[Item]:
    """`#1 squat clean`, `#2  14 snatches`: the number of a part or a turn at the start of a line."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        trio = items[at : at + 3]
        begins = at == 0 or items[at - 1].kind == "newline"
        marked = [item.kind for item in trio[:2]] == ["hash", "number"] and len(trio) == 3
        if begins and marked and trio[2].spaced and trio[2].kind in _AFTER_NUMBER:
            out += [replace(trio[1], start=trio[0].start), Item("close", trio[1].end, trio[1].end, None, "", (), False)]
            at += 2
        else:
            out.append(items[at])
            at += 1
    return out


def _with_equals_of_numbers(items: list[Item]) -> list[Item]:
    """`#1 = 15 cal row` / `#2 = 12 swings`, `1 = row` / `2 = ski`: lines that count up, with a sign for a bracket."""
    run: list[int] = []
    for at in range(len(items) - 2):
        if at and items[at - 1].kind != "newline":
            continue
        number = at + (items[at].kind == "hash")
        kinds = [item.kind for item in items[number : number + 2]]
        if kinds == ["number", "equals"] and items[number].value == len(run) + 1:
            run.append(number)
    if len(run) < 2:
        return items
    out: list[Item] = []
    for at, item in enumerate(items):
        if item.kind == "hash" and at + 1 in run:
            continue
        out.append(replace(item, kind="close", spaced=False) if at - 1 in run else item)
    return out


_AFTER_NUMBER = frozenset(["movement", "number", "clock", "rounds", "max"])
_BEGINS = frozenset(["newline", "stop", "semicolon"])


def _with_questions(items: list[Item]) -> list[Item]:
    """`No muscle-ups? 10 pull-ups.`: a question that names a movement and no figure leads to an option."""
    out: list[Item] = []
    start = 0
    for at, item in enumerate(items):
        out.append(item)
        if item.kind in _BEGINS:
            start = len(out)
        following = items[at + 1] if at + 1 < len(items) else None
        if (
            item.kind != "query"
            or len(out) - start > 9
            or following is None
            or following.kind in ("newline", "denial", "query", "close")
        ):
            continue
        asked = out[start:-1]
        kinds = {other.kind for other in asked}
        if "movement" in kinds and kinds.isdisjoint(("number", "clock", "scaled", "open")):
            out[start:start] = [Item("scaled", asked[0].start, asked[0].start, None, "", ("scaled",))]
            out[-1] = Item("colon", item.start, item.end)
    return out


_ZONES = frozenset(["zone", "zona", "z", "bereich"])


def _with_zones(items: list[Item]) -> list[Item]:
    """`zone 2`, `Z3`: how hard, no count."""
    out: list[Item] = []
    for item in items:
        zone = out[-1] if out and out[-1].word in _ZONES and (out[-1].kind == "word" or not item.spaced) else None
        if item.kind == "number" and zone is not None and item.value in (1.0, 2.0, 3.0, 4.0, 5.0):
            out[-1] = Item("pace", zone.start, item.end, None, "pace", ("pace",), zone.spaced)
        else:
            out.append(item)
    return out


def _beforehand(items: list[Item], at: int) -> Item:
    """`Antes: 5 min bici` on a line of its own heads a warm-up; elsewhere the word is one like others."""
    item = items[at]
    if item.kind != "beforehand":
        return item
    heads = (at == 0 or items[at - 1].kind == "newline") and at + 1 < len(items) and items[at + 1].kind == "colon"
    return replace(item, kind="warm_up" if heads else "word")


_ORDINAL_ENDINGS = frozenset(["st", "nd", "rd", "th", "er", "ere", "eme", "e", "a", "o"])


def _with_parts_of_a(items: list[Item]) -> list[Item]:
    """`Part A, every 2 min ...` at the start of a line: a part, where `95 % of part A` speaks of what was lifted."""
    out: list[Item] = []
    for at, item in enumerate(items):
        begins = at == 0 or items[at - 1].kind in ("newline", "stop", "semicolon")
        if item.kind == "top_set" and item.word == "part a" and begins:
            cut = item.start + len("part")
            out.append(Item("part", item.start, cut, None, "part", ("part",), item.spaced))
            out.append(Item("letter", item.end - 1, item.end, "A", "a", (), True))
        else:
            out.append(item)
    return out


def _with_numbered_parts(items: list[Item]) -> list[Item]:
    """`2ª parte:`, `2. Teil:`: the number comes behind its word."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        trio = items[at : at + 3]
        named = len(trio) == 3 and trio[0].kind == "number" and trio[2].kind == "part" and not trio[1].spaced
        if named and (trio[1].kind in ("ordinal", "stop") or trio[1].word in ("a", "e", "eme", "er", "nd", "th", "st")):
            out += [trio[2], trio[0]]
            at += 3
        else:
            out.append(items[at])
            at += 1
    return out


def _with_ordinals(items: list[Item]) -> list[Item]:
    """`on the second minute` names minute 2; `Third, ...` at the start of a sentence begins something new."""
    out: list[Item] = []
    told = False
    clocked = any(item.kind in ("emom", "every", "every_word") for item in items)
    for at, item in enumerate(items):
        following = items[at + 1] if at + 1 < len(items) else None
        told = told or (item.kind == "nth" and following is not None and following.kind == "minute")
        if item.kind != "nth":
            out.append(item)
        elif clocked and following is not None and following.kind in ("colon", "sdash", "equals"):
            out.append(Item("minute", item.start, item.end, None, "", ("minute",)))
            out.append(Item("number", item.start, item.end, item.value, item.word, (), False))
        elif following is not None and following.kind == "minute":
            while out and out[-1].kind in _BEFORE_ORDINAL and out[-1].kind != "newline":
                out.pop()
            out.append(replace(following, start=item.start))
            out.append(Item("number", item.start, item.end, item.value, item.word, (), False))
        elif told and _is_further_minute(items, at):
            while out and out[-1].kind in _BEFORE_ORDINAL:
                out.pop()
            out.append(Item("minute", item.start, item.end, None, "", ("minute",)))
            out.append(Item("number", item.start, item.end, item.value, item.word, (), False))
        elif item.value > 1 and (not out or out[-1].kind in ("newline", "stop", "semicolon")):
            out.append(replace(item, kind="then"))
        else:
            out.append(replace(item, kind="word"))
    return _without_doubled_minutes(out)


_BEFORE_ORDINAL = frozenset(["word", "at", "of", "wearing", "for_word", "to", "a", "each", "work", "letter"])


def _is_further_minute(items: list[Item], at: int) -> bool:
    """`2 in the first minute, 4 in the second, 6 in the third`: the word minute was said once."""
    ends = at + 1 >= len(items) or items[at + 1].kind in ("comma", "newline", "stop", "ellipsis", "and", "semicolon")
    return ends and at > 1 and items[at - 1].kind in _BEFORE_ORDINAL


def _without_doubled_minutes(items: list[Item]) -> list[Item]:
    """The minute that an ordinal named stands in front of its number; the word behind it goes."""
    return [
        item
        for at, item in enumerate(items)
        if not (item.kind == "minute" and at > 1 and items[at - 1].kind == "number" and items[at - 2].kind == "minute")
    ]
