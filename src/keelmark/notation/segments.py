"""Cut the items of a text into segments: stretches between line ends, commas, plus signs and the like."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from keelmark.notation.items import Item
from keelmark.notation.trade import trade
from keelmark.notation.tree import Amount

__all__ = ["Segment", "counts_as_one", "cut"]

_STRONG = frozenset(["newline", "semicolon", "stop"])


@dataclass(slots=True)
class Segment:
    """Items between two separators; `notes` are the bracketed stretches inside it."""

    items: list[Item] = field(default_factory=list)
    notes: list[list[Item]] = field(default_factory=list)
    before: frozenset[str] = frozenset()
    after: str = "newline"
    line: int = 0
    group: str = ""
    content: bool = False
    """It names a movement."""
    level: str = ""
    """The level of the session that it is for; empty for all."""

    @property
    def strong(self) -> bool:
        """A line end, semicolon or full stop stands before it."""
        return not self.before.isdisjoint(_STRONG)

    @property
    def starts_line(self) -> bool:
        """It is the first of its line."""
        return "newline" in self.before


def cut(items: list[Item]) -> list[Segment]:
    """All segments in order; a bracket that holds stations under a head becomes segments of its own, a group."""
    return _with_names_behind(_Cutter(items).run())


def _with_names_behind(segments: list[Segment]) -> list[Segment]:
    """`50 kg - overhead squat`: a load or height alone in front of a name alone is of that name."""
    out: list[Segment] = []
    for segment in segments:
        before = out[-1] if out else None
        if before is not None and _is_figure_of(before, segment):
            segment.items = [*before.items, *segment.items]
            segment.before = before.before
            out[-1] = segment
        else:
            out.append(segment)
    return out


def _is_figure_of(before: Segment, segment: Segment) -> bool:
    bare = before.after == "sdash" and len(before.items) == 1 and not before.notes and before.starts_line
    named = len(segment.items) == 1 and segment.content and segment.line == before.line and segment.after == "newline"
    return bare and named and before.items[0].kind in ("load", "height", "quote", "xload")


class _Cutter:
    """Walks over the items and closes a segment at each separator; each rule gives the place to go on at."""

    def __init__(self, items: list[Item]) -> None:
        self.items = items
        self.segments: list[Segment] = []
        self.closers = _matching(items)
        self.groups: set[int] = set()
        self.current = Segment(before=frozenset(["newline"]))
        self.line = 0
        self.level = ""
        self.levelled = -1

    def run(self) -> list[Segment]:
        items, at, count = self.items, 0, len(self.items)
        while at < count:
            item = items[at]
            rule = _RULES.get(item.kind)
            if rule is not None:
                at = rule(self, item, at)
                continue
            self.current.items.append(item)
            if item.kind == "movement":
                self.current.content = True
            at += 1
            if item.kind == "rest_mark" and self.current.content and _counts_next(items, at):
                self.close("comma")
        self.close("newline")
        return self.segments

    def close(self, separator: str) -> None:
        """End the segment here and begin the next one."""
        current = self.current
        if current.items or current.notes or current.group:
            current.after = separator
            self.segments.append(current)
            before = frozenset([separator])
        else:
            before = current.before | {separator}
        self.current = Segment(before=before, line=self.line, level=self.level)

    def alone(self, item: Item) -> None:
        """A label that is a segment by itself."""
        self.close("comma")
        self.current.items.append(item)
        self.close("close")

    def opened(self, item: Item, at: int) -> int:
        closer = self.closers.get(at)
        if closer is None:
            return at + 1
        inside = self.items[at + 1 : closer]
        if not self.current.items and _is_head_line(self.items, at, closer):
            return at + 1
        headed = closer + 1 < len(self.items) and self.items[closer + 1].kind == "colon"
        if headed and _is_said_of_rounds(self.current, inside):
            self.current.notes.append([item for item in inside if item.kind != "rounds_head"] or inside)
            return closer + 1
        if _is_group(self.current, inside) and not _tells_again(inside, bool(self.segments)):
            self.groups.add(closer)
            self.close("colon")
            self.current.group = "open"
            return at + 1
        self.current.notes.append(inside)
        return closer + 1

    def closed(self, item: Item, at: int) -> int:
        if at in self.groups:
            self.close("comma")
            self.current.group = "close"
            self.close("comma")
        elif len(self.current.items) > 1 and _is_label_behind(self.current.items):
            self.alone(self.current.items.pop())
        else:
            self.close("close")
        return at + 1

    def asked(self, item: Item, at: int) -> int:
        if self.current.items and _denied(self.items, at):
            self.current.items.clear()
            self.current.content = False
        else:
            self.current.items.append(item)
        return at + 1

    def line_end(self, item: Item, at: int) -> int:
        if at + 2 < len(self.items) and [i.kind for i in self.items[at + 1 : at + 3]] == ["percent", "newline"]:
            return at + 1
        self.line += 1
        levelled = self.levelled
        told = self.current.items or (self.segments and self.segments[-1].line == levelled)
        if levelled == self.line - 1 and told:
            self.level = ""  # a label alone on its line is for the lines that follow
        self.close("newline")
        return at + 1

    def levels(self, item: Item, at: int) -> int:
        self.close("comma")
        self.level, self.levelled = item.value, self.line
        self.current.level = self.level
        return at + 1

    def numbered(self, item: Item, at: int) -> int:
        self.alone(item)
        return at + 1

    def separated(self, item: Item, at: int) -> int:
        self.close(item.kind)
        return at + 1

    def joined(self, item: Item, at: int) -> int:
        if _joins_work(self.items, at):
            self.close(item.kind)
        else:
            self.current.items.append(item)
        return at + 1

    def then(self, item: Item, at: int) -> int:
        if item.word in trade()["straight_on"]["words"] and _counts_next(self.items, at + 1):
            self.close("plus")
            return at + 1
        self.close("then")
        if " " in item.word and len(item.word.split(" ")[0]) <= 3:
            self.current = Segment(before=self.current.before | {"and"}, line=self.line)
        return at + 1

    def stopped(self, item: Item, at: int) -> int:
        if _ends(self.items, at):
            self.close("stop")
        return at + 1

    def parted(self, item: Item, at: int) -> int:
        if _parts(self.items, at):
            self.close("sslash" if item.kind == "slash" else "sdash")
        else:
            self.current.items.append(item)
        return at + 1


_RULES: dict[str, Callable[[_Cutter, Item, int], int]] = {
    **dict.fromkeys(
        ["semicolon", "comma", "plus", "sslash", "arrow", "bullet", "colon", "sdash", "cell", "while"],
        _Cutter.separated,
    ),
    "open": _Cutter.opened,
    "close": _Cutter.closed,
    "query": _Cutter.asked,
    "newline": _Cutter.line_end,
    "level": _Cutter.levels,
    "enumerator": _Cutter.numbered,
    "and": _Cutter.joined,
    "or": _Cutter.joined,
    "then": _Cutter.then,
    "stop": _Cutter.stopped,
    "slash": _Cutter.parted,
    "dash": _Cutter.parted,
}
"""What each kind of item does to the segment; any other is one of its items."""


def _counts_next(items: list[Item], at: int) -> bool:
    """A count with its movement comes next, no clock and no rounds."""
    kinds = [item.kind for item in items[at : at + 3]]
    return bool(kinds) and kinds[0] in ("amount", "dist", "cals", "dur") and "movement" in kinds


def _denied(items: list[Item], at: int) -> bool:
    """`muscle-ups? no, pull-ups`: asked and answered, so it is not done."""
    following = next((item for item in items[at + 1 : at + 4] if item.kind not in ("query", "stop")), None)
    return following is not None and following.kind == "denial"


def _matching(items: list[Item]) -> dict[int, int]:
    """Where each opening bracket closes; brackets without a partner are left out."""
    found: dict[int, int] = {}
    stack: list[int] = []
    for at, item in enumerate(items):
        if item.kind == "open":
            stack.append(at)
        elif item.kind == "close" and stack:
            found[stack.pop()] = at
    return found


_LINE_HEADS = frozenset(["amrap_head", "every_head", "rounds_head", "for_time", "tabata", "interval_head", "rest_mark"])


def _is_head_line(items: list[Item], at: int, closer: int) -> bool:
    """`[AMRAP 9']` alone on its line: a head in a frame."""
    if at and items[at - 1].kind != "newline":
        return False
    if closer + 1 < len(items) and items[closer + 1].kind not in ("newline", "colon"):
        return False
    return closer - at < 12 and any(item.kind in _LINE_HEADS for item in items[at + 1 : closer])


def _is_group(current: Segment, inside: list[Item]) -> bool:
    kinds = [item.kind for item in current.items]
    if "movement" in kinds or any(item.kind == "scaled" for item in inside[:3]) or counts_as_one(inside):
        return False
    if inside and inside[0].kind == "remark" and not any(item.kind in ("plus", "comma") for item in inside):
        return False
    stations = any(item.kind == "movement" for item in inside) and any(
        item.kind in ("amount", "dist", "cals", "dur") for item in inside
    )
    ones = sum(item.kind == "movement" for item in inside) > 1 and bool(kinds) and kinds[-1] == "times"
    if not stations and not ones:
        return False
    return not kinds or kinds[-1] in (
        "times",
        "rounds_head",
        "of",
        "nsets",
        "amrap_head",
        "every_head",
        "for_time",
        "repeat",
    )


def _ends(items: list[Item], at: int) -> bool:
    """A full stop that ends a sentence or follows a label, not one of an abbreviation."""
    following = items[at + 1] if at + 1 < len(items) else None
    if following is None or following.kind in ("newline", "close"):
        return True
    if at == 0 or not following.spaced:
        return (
            at > 0
            and items[at - 1].kind in ("letter", "amount")
            and items[at].spaced is False
            and following.kind != "amount"
        )
    if following.kind in ("at", "load") and not _tells_when(items, at + 1):
        return False
    before = items[at - 1]
    open_amount = before.kind == "amount" and before.value.open and not before.value.steps
    if (before.kind == "max" or open_amount) and following.kind == "movement":
        return False
    if before.kind == "remark" and len(before.word) <= 4:
        return False
    label = following.kind == "letter" and at + 2 < len(items) and items[at + 2].kind in ("close", "stop", "colon")
    if label and not items[at + 2].spaced:
        return True
    return not (before.kind == "word" and len(before.word) <= 3)


def _is_label_behind(items: list[Item]) -> bool:
    """`10 burpees b)`: the number or the letter of what comes now."""
    last, before = items[-1], items[-2]
    return last.kind == "amount" or (last.kind == "letter" and last.word in "abcdef" and before.kind == "movement")


def counts_as_one(inside: list[Item]) -> bool:
    """`(run = 1)`, `(each 200 m run = 1 rep)`: how the score counts it, no work."""
    sign = next((at for at, item in enumerate(inside) if item.kind == "equals"), 0)
    if not sign or sign + 1 >= len(inside) or inside[sign + 1].kind != "amount":
        return False
    named = [item for item in inside if item.kind == "movement"]
    counted: Amount = inside[sign + 1].value
    plain = counted.sets == 1 and len(counted.steps) == 1 and counted.steps[0].value == 1
    return plain and len(named) == 1 and named[0] in inside[:sign] and inside[sign - 1].kind != "amount"


def _is_said_of_rounds(current: Segment, inside: list[Item]) -> bool:
    """`5 rounds (easy on the first burpee of round 1):`: what is said of the work behind the colon."""
    heads = {item.kind for item in current.items} & {"rounds_head", "for_time"}
    named = [at for at, item in enumerate(inside) if item.kind == "movement"]
    counted = sum(at > 0 and inside[at - 1].kind in ("amount", "dist", "cals") for at in named)
    return bool(heads and named) and counted < len(named)


def _tells_again(inside: list[Item], behind: bool) -> bool:
    """`(10 swings + 1 push-up, 9 + 2, and so on)` behind the work: the same told once more."""
    return behind and any(item.kind in ("and_so_on", "ellipsis") for item in inside)


def _tells_when(items: list[Item], at: int) -> bool:
    """`At 0:00 and every minute ...`: a sentence that begins with a time."""
    return bool(items[at].word) and items[at].kind == "at" and at + 1 < len(items) and items[at + 1].kind == "dur"


def _parts(items: list[Item], at: int) -> bool:
    """A tight slash between two stations: `800 m run/40 cal bike`."""
    before = items[at - 1].kind if at else ""
    following = items[at + 1].kind if at + 1 < len(items) else ""
    return before in ("movement", "load", "height", "close") and following in (
        "amount",
        "dist",
        "dur",
        "cals",
        "movement",
    )


def _joins_work(items: list[Item], at: int) -> bool:
    """`and` or `or` between two stations, not inside some remark."""
    for item in items[at + 1 : at + 5]:
        if item.kind in (
            "amount",
            "dist",
            "dur",
            "cals",
            "movement",
            "then",
            "rest",
            "rest_mark",
            "max",
            "xload",
            "load",
            "rounds_head",
            "negative",
        ):
            return True
        if item.kind not in ("word", "of", "a", "letter", "at", "pace", "alternating", "to", "with"):
            return False
    return False
