"""Marks that are no figures of work, taken out before figures are read: paces, times of day, numbers of a list."""

from __future__ import annotations

import itertools
from dataclasses import replace

from keelmark.notation.items import Item
from keelmark.notation.trade import trade

__all__ = ["read_marks"]

_EARLIEST = 5 * 3600.0 / 60
"""A time of day, which a clock item keeps as minutes and seconds: five in the morning."""


def read_marks(items: list[Item]) -> list[Item]:
    """The items with `4:30/km`, `18:10` at the start of a line and `1) ... 2) ...` told apart from figures."""
    kinds = {item.kind for item in items}
    if "part" in kinds:
        items = _with_numbered_parts(items)
    if "ordinal" in kinds:
        items = _with_ordinals(items)
    if "number" in kinds:
        items = _without_rungs_by_name(_without_hours(items))
    if "clock" in kinds:
        items = _without_times_of_day(_with_paces(items))
    if "number" in kinds:
        items = _with_rows(_with_sets_of(items))
    if "slash" in kinds:
        items = _with_interval_pairs(items)
    if "plus" in kinds and "slash" in kinds:
        items = [
            item for at, item in enumerate(items) if not (item.kind == "plus" and at and items[at - 1].kind == "slash")
        ]
    if not kinds.isdisjoint(("dash", "plus")):
        items = _with_pairs(_with_tempos(items, "tempo" in kinds))
    if not kinds.isdisjoint(("close", "stop", "sdash", "slot", "work")):
        items = _with_enumerators(items)
    return items


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
    for at, item in enumerate(items):
        following = items[at + 1] if at + 1 < len(items) else None
        if item.kind != "ordinal":
            out.append(item)
        elif following is not None and following.kind == "minute":
            while out and out[-1].kind in _BEFORE_ORDINAL and out[-1].kind != "newline":
                out.pop()
            out.append(replace(following, start=item.start))
            out.append(Item("number", item.start, item.end, item.value, item.word, (), False))
        elif item.value > 1 and (not out or out[-1].kind in ("newline", "stop", "semicolon")):
            out.append(replace(item, kind="then"))
        else:
            out.append(replace(item, kind="word"))
    return _without_doubled_minutes(out)


_BEFORE_ORDINAL = frozenset(["word", "at", "of", "wearing", "for_word", "to", "a", "each", "work", "letter"])


def _without_doubled_minutes(items: list[Item]) -> list[Item]:
    """The minute that an ordinal named stands in front of its number; the word behind it goes."""
    return [
        item
        for at, item in enumerate(items)
        if not (item.kind == "minute" and at > 1 and items[at - 1].kind == "number" and items[at - 2].kind == "minute")
    ]


def _without_rungs_by_name(items: list[Item]) -> list[Item]:
    """`de 2 en 2` and `the 8s`: how a ladder climbs and where somebody got to, no counts of their own."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        item = items[at]
        before = out[-1].kind if out else ""
        if item.kind == "number" and _is_step_by_step(items, at) and before in ("of", "start_at", "by"):
            out[-1:] = [Item("manner", out[-1].start, items[at + 2].end, None, "", ("manner",), True)]
            at += 3
            continue
        plural = at + 1 < len(items) and items[at + 1].kind == "time" and items[at + 1].word == "s"
        if item.kind == "number" and plural and not items[at + 1].spaced and out and out[-1].word in _ARTICLES:
            out.append(Item("remark", item.start, items[at + 1].end, None, "", ("remark",), item.spaced))
            at += 2
            continue
        out.append(item)
        at += 1
    return out


def _without_hours(items: list[Item]) -> list[Item]:
    """`6am`, `5 pm`: when people meet; `1¼ front squats`: a way to squat."""
    items = [
        replace(item, kind="manner")
        if item.kind == "number"
        and item.end - item.start == 2
        and item.value in (1.25, 1.5)
        and not _has_unit(items, at + 1)
        else item
        for at, item in enumerate(items)
    ]
    places = {at for at in range(1, len(items)) if items[at].word in ("am", "pm") and items[at - 1].kind == "number"}
    if not places:
        return items
    return [
        replace(item, kind="word") if at + 1 in places else item
        for at, item in enumerate(items)
        if at not in places or item.kind == "word"
    ]


_ARTICLES = frozenset(["the", "those", "these", "through the", "finished the"])


def _is_step_by_step(items: list[Item], at: int) -> bool:
    if at + 2 >= len(items) or items[at + 2].kind != "number" or items[at + 2].value != items[at].value:
        return False
    return items[at + 1].word in ("em", "en", "in")


def _with_paces(items: list[Item]) -> list[Item]:
    """`4:30/km`, `1:55 / 500 m`, `2:05 min/km`: how fast, not how long."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        end = _pace_end(items, at) if items[at].kind == "clock" else 0
        if end:
            out.append(Item("pace", items[at].start, items[end - 1].end, None, "", ("pace",), items[at].spaced))
            at = end
        else:
            out.append(items[at])
            at += 1
    return out


def _pace_end(items: list[Item], at: int) -> int:
    here = at + 1
    if here < len(items) and items[here].kind == "time":
        here += 1
    if here >= len(items) or items[here].kind not in ("slash", "sslash", "per"):
        return 0
    here += 1
    if here < len(items) and items[here].kind == "number":
        here += 1
    if here < len(items) and (items[here].kind == "distance" or items[here].word in ("km", "k", "mile", "mi", "m")):
        return here + 1
    return 0


def _without_times_of_day(items: list[Item]) -> list[Item]:
    """`0:00 run` / `6:00 bench press`: when each part begins, where at least two lines begin so and the times rise."""
    places = [at for at, item in enumerate(items) if item.kind == "clock" and _starts_line(items, at)]
    times = [items[at].value for at in places]
    rising = len(times) > 1 and all(one < other for one, other in itertools.pairwise(times))
    if not rising or not (times[0] == 0 or (times[0] >= _EARLIEST and times[-1] < 24 * 60)):
        return items
    chosen = set(places)
    spans = {
        at for at in places if [item.kind for item in items[at + 1 : at + 3]] in (["dash", "clock"], ["sdash", "clock"])
    }
    return [replace(item, kind="timespan") if at in chosen - spans else item for at, item in enumerate(items)]


def _starts_line(items: list[Item], at: int) -> bool:
    return at == 0 or items[at - 1].kind == "newline"


def _with_interval_pairs(items: list[Item]) -> list[Item]:
    """`20/10 x 8`, `8 x 20/10`, `3 rounds 40/20: ...`: seconds of work and rest."""
    known = {tuple(pair) for pair in trade()["interval_pairs"]["seconds"]}
    out: list[Item] = []
    at = 0
    while at < len(items):
        kinds = [item.kind for item in items[at : at + 6]]
        here = at + 2 if kinds[:2] == ["number", "times"] else at
        pair = _pair_of_seconds(items, here, known)
        if pair and here == at and kinds[3:5] == ["times", "number"] and not _has_unit(items, at + 5):
            out.append(_interval_item(items, at, at + 5, int(items[at + 4].value), pair))
            at += 5
        elif pair and here > at and not _has_unit(items, here + 3):
            out.append(_interval_item(items, at, here + 3, int(items[at].value), pair))
            at = here + 3
        elif pair and _names_circuit(items, at):
            out.append(_interval_item(items, at, at + 3, 0, pair))
            at += 3
        else:
            out.append(items[at])
            at += 1
    return out


def _pair_of_seconds(items: list[Item], at: int, known: set[tuple[int, ...]]) -> tuple[float, float] | None:
    if at + 2 >= len(items) or [item.kind for item in items[at : at + 3]] != ["number", "slash", "number"]:
        return None
    pair = (items[at].value, items[at + 2].value)
    return pair if pair in known else None


def _has_unit(items: list[Item], at: int) -> bool:
    return at < len(items) and items[at].kind in (
        "mass",
        "length",
        "feet",
        "distance",
        "energy",
        "percent",
        "slash",
        "times",
    )


def _names_circuit(items: list[Item], at: int) -> bool:
    """A pair of seconds behind rounds, a circuit or a tabata, with names and no counts behind it."""
    before = [item.kind for item in items[max(0, at - 3) : at]]
    after = next(
        (n for n in range(at + 3, len(items)) if items[n].kind not in ("colon", "comma", "newline", "of", "bullet")), 0
    )
    headed = not {"rounds", "interval", "work"}.isdisjoint(before)
    if before[-1:] == ["rounds"] and items[at + 3 : at + 4] and items[at + 3].kind in ("comma", "newline"):
        return "number" not in before
    return (
        headed
        and bool(after)
        and items[after].kind == "movement"
        and items[at + 3].kind in ("colon", "comma", "newline")
    )


def _interval_item(items: list[Item], at: int, end: int, sets: int, pair: tuple[float, float]) -> Item:
    value = (sets or None, pair[0], pair[1])
    return Item("interval_figure", items[at].start, items[end - 1].end, value, "", (), items[at].spaced)


def _with_sets_of(items: list[Item]) -> list[Item]:
    """`5er-Sätze` as sets of five; `4 sets of [2+2+2]` without its brackets."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        kinds = [item.kind for item in items[at : at + 4]]
        if kinds[:2] == ["number", "word"] and items[at + 1].word == "er" and "sets" in kinds[2:4]:
            sets = items[at + kinds.index("sets")]
            out += [sets, Item("of", items[at + 1].start, items[at + 1].end, None, "er", ("of",)), items[at]]
            at += kinds.index("sets") + 1
            continue
        if kinds == ["number", "times", "open", "number"] and _is_nested(items, at):
            whole = items[at].value * items[at + 3].value
            out += [replace(items[at], value=whole, end=items[at + 3].end), *items[at + 4 : at + 7]]
            at += 8
            continue
        closer = _close_of_sum(items, at) if kinds[:2] == ["of", "open"] else 0
        if closer:
            values = tuple(item.value for item in items[at + 2 : closer] if item.kind == "number")
            out += [items[at], Item("dots", items[at + 1].start, items[closer].end, values, "", (), True)]
            at = closer + 1
            continue
        out.append(items[at])
        at += 1
    return out


def _is_nested(items: list[Item], at: int) -> bool:
    """`2 x (4 x 500 m)`."""
    kinds = [item.kind for item in items[at + 4 : at + 8]]
    return kinds in (["times", "number", unit, "close"] for unit in ("distance", "time", "energy"))


def _close_of_sum(items: list[Item], at: int) -> int:
    here = at + 2
    while here + 1 < len(items) and items[here].kind == "number" and items[here + 1].kind == "plus":
        here += 2
    ends = here + 1 < len(items) and items[here].kind == "number" and items[here + 1].kind == "close"
    return here + 1 if ends and here > at + 2 else 0


def _with_rows(items: list[Item]) -> list[Item]:
    """`9 cleans - 1 muscle-up` / `8 - 2` / `7 - 3`: a line of bare figures is the next rung for each in turn."""
    if not any(_is_row(items, at) for at in range(1, len(items)) if items[at - 1].kind == "newline"):
        return items
    out: list[Item] = []
    at = 0
    while at < len(items):
        end = _is_row(items, at) if at and items[at - 1].kind == "newline" else 0
        if end:
            values = tuple(item.value for item in items[at:end] if item.kind == "number")
            out.append(Item("commas", items[at].start, items[end - 1].end, values, "", (), True))
            at = end
        else:
            out.append(items[at])
            at += 1
    return out


def _is_row(items: list[Item], at: int) -> int:
    """The place after two to four figures that are all there is on a line, tied by spaced dashes or plus signs."""
    here = at
    while here + 1 < len(items) and items[here].kind == "number" and items[here + 1].kind in ("sdash", "plus", "cell"):
        if not items[here + 1].spaced:
            return 0
        here += 2
    if here == at or here >= len(items) or items[here].kind != "number" or here - at > 6:
        return 0
    return here + 1 if here + 1 == len(items) or items[here + 1].kind == "newline" else 0


def _with_tempos(items: list[Item], named: bool) -> list[Item]:
    """`5-1-X-1`, `3-0-1-0`, and `3-1-1` on a line that speaks of tempo: how fast, not how many."""
    out: list[Item] = []
    at, told = 0, False
    while at < len(items):
        item = items[at]
        told = named and (item.kind == "tempo" or (told and item.kind != "newline"))
        end = _tempo_end(items, at, told) if item.kind == "number" else 0
        if end:
            out.append(Item("tempo_mark", item.start, items[end - 1].end, None, "", ("tempo",), item.spaced))
            at, told = end, False
        else:
            out.append(item)
            at += 1
    return out


def _tempo_end(items: list[Item], at: int, told: bool) -> int:
    """The place after three or four small figures tied by dashes; an X, a nought or the word tempo makes them one."""
    parts = 0
    sure = told
    here = at
    while here < len(items) and parts < 5:
        item = items[here]
        if item.kind == "number" and item.value <= 9 and item.value.is_integer():
            sure = sure or item.value == 0
        elif item.kind == "times" and parts:
            sure = True
        else:
            return 0
        parts += 1
        here += 1
        if here + 1 >= len(items) or items[here].kind != "dash" or items[here].spaced or items[here + 1].spaced:
            break
        here += 1
    if at and items[at - 1].kind in ("dash", "times") and not items[at].spaced:
        return 0
    return here if sure and parts in (3, 4) else 0


def _with_pairs(items: list[Item]) -> list[Item]:
    """`3-3, 6-6, 9-9`: the rungs of a ladder that two movements climb together."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        here = at
        values: list[float] = []
        while _is_pair(items, here) and items[here].value not in values and len(values) < 40:
            values.append(items[here].value)
            here += 4
            if here >= len(items) or items[here - 1].kind != "comma":
                break
        if len(values) >= 2:
            end = here - 1
            out.append(Item("commas", items[at].start, items[end - 1].end, tuple(values), "", (), items[at].spaced))
            at = end
        else:
            out.append(items[at])
            at += 1
    return out


def _is_pair(items: list[Item], at: int) -> bool:
    if at + 2 >= len(items) or items[at].kind != "number" or items[at + 1].kind not in ("dash", "plus"):
        return False
    other = items[at + 2]
    return other.kind == "number" and other.value == items[at].value and not other.spaced and not items[at + 1].spaced


def _with_enumerators(items: list[Item]) -> list[Item]:
    """`(1) ... (2) ...`, `1. ... 2. ...` in one line: numbers that count the items of a list."""
    places = _enumerated(items)
    if not places:
        return items
    out: list[Item] = []
    skipped = -1
    for at, item in enumerate(items):
        if at in places:
            out.append(replace(item, kind="enumerator"))
            skipped = at + 1 if at + 1 < len(items) and items[at + 1].kind != "movement" else skipped
        elif at != skipped and not (item.kind == "open" and at + 1 in places):
            out.append(item)
    return out


def _enumerated(items: list[Item]) -> set[int]:
    """Places of the numbers of lists within a line; each list counts up from one and has at least two."""
    found: set[int] = set()
    run: list[int] = []
    for at, item in enumerate(items):
        if item.kind == "newline":
            found.update(run if len(run) > 1 else [])
            run = []
        elif item.kind == "number" and item.value == len(run) + 1 and _has_mark(items, at, inside=bool(run)):
            run.append(at)
    found.update(run if len(run) > 1 else [])
    found.update(_numbered_lines(items) or _numbered_stations(items))
    return found


def _numbered_stations(items: list[Item]) -> list[int]:
    """`1 jumping jacks` / `2 plank` under the times of a circuit, in lines or in one: stations, not counts."""
    kinds = [item.kind for item in items]
    circuit = "slot" in kinds or ("work" in kinds and not {"rest", "off"}.isdisjoint(kinds) and "time" in kinds)
    if not circuit:
        return []
    run = [
        at
        for at, item in enumerate(items[:-1])
        if item.kind == "number" and items[at + 1].kind == "movement" and not item.word
    ]
    counts = [items[at].value for at in run]
    return run if len(run) > 2 and counts == [float(n + 1) for n in range(len(run))] else []


def _numbered_lines(items: list[Item]) -> list[int]:
    """`1 - row`, `2 - burpees`: lines that begin with one number after the other and a dash."""
    run: list[int] = []
    for at, item in enumerate(items):
        if item.kind != "number" or not (at == 0 or items[at - 1].kind == "newline") or item.value != len(run) + 1:
            continue
        if at + 2 < len(items) and items[at + 1].kind == "sdash" and items[at + 2].kind not in ("number", "ellipsis"):
            run.append(at)
    return run if len(run) > 1 else []


def _has_mark(items: list[Item], at: int, inside: bool) -> bool:
    if at + 2 >= len(items) or items[at + 1].spaced or items[at + 1].kind not in ("close", "stop"):
        return False
    if at and items[at - 1].kind in ("times", "dash", "slash", "at", "plus", "ellipsis", "to"):
        return False
    bracketed = at > 0 and items[at - 1].kind == "open"
    if items[at + 1].kind == "close" and not bracketed and _in_bracket(items, at):
        return False
    return bracketed or (items[at + 2].spaced and items[at + 2].kind != "newline")


def _in_bracket(items: list[Item], at: int) -> bool:
    for here in range(at - 1, max(-1, at - 12), -1):
        if items[here].kind in ("close", "newline"):
            return False
        if items[here].kind == "open":
            return True
    return False
