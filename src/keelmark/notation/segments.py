"""Cut the items of a text into segments: stretches between line ends, commas, plus signs and the like."""

from __future__ import annotations

from dataclasses import dataclass, field

from keelmark.notation.items import Item

__all__ = ["Segment", "cut"]

_ALWAYS = frozenset(
    [
        "newline",
        "semicolon",
        "comma",
        "plus",
        "sslash",
        "then",
        "arrow",
        "bullet",
        "colon",
        "and",
        "sdash",
        "or",
        "cell",
        "while",
    ]
)
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


def cut(items: list[Item]) -> list[Segment]:  # noqa: C901
    """All segments in order; a bracket that holds stations under a head becomes segments of its own, a group."""
    segments: list[Segment] = []
    closers = _matching(items)
    groups: set[int] = set()
    current = Segment(before=frozenset(["newline"]))
    before: set[str] = set()
    line = 0
    level = ""
    levelled = -1

    def finish(separator: str) -> None:
        nonlocal current, before
        if current.items or current.notes or current.group:
            current.after = separator
            segments.append(current)
            before = {separator}
        else:
            before = set(current.before) | {separator}
        current = Segment(before=frozenset(before), line=line, level=level)

    at, count = 0, len(items)
    while at < count:
        item = items[at]
        kind = item.kind
        if kind == "open" and at in closers:
            inside = items[at + 1 : closers[at]]
            if not current.items and _is_head_line(items, at, closers[at]):
                at += 1
                continue
            if _is_group(current, inside) and not _tells_again(inside, bool(segments)):
                groups.add(closers[at])
                finish("colon")
                current.group = "open"
            else:
                current.notes.append(inside)
                at = closers[at] + 1
                continue
        elif kind == "close" and at in groups:
            finish("comma")
            current.group = "close"
            finish("comma")
        elif kind == "query" and current.items and _denied(items, at):
            current.items.clear()
            current.content = False
        elif kind == "newline" and at + 1 < count and items[at + 1].kind == "percent":
            pass
        elif kind == "newline":
            line += 1
            if levelled == line - 1 and (current.items or (segments and segments[-1].line == levelled)):
                level = ""  # a label alone on its line is for the lines that follow
            finish("newline")
        elif kind == "level":
            finish("comma")
            level, levelled = item.value, line
            current.level = level
        elif kind == "enumerator":
            finish("comma")
            current.items.append(item)
            finish("close")
        elif kind == "close" and len(current.items) > 1 and _is_label_behind(current.items):
            label = current.items.pop()
            finish("comma")
            current.items.append(label)
            finish("close")
        elif (
            kind in _ALWAYS
            or (kind == "close")
            or (kind == "stop" and _ends(items, at))
            or (kind in ("slash", "dash") and _parts(items, at))
        ):
            if kind in ("and", "or") and not _joins_work(items, at):
                current.items.append(item)
            else:
                finish("sslash" if kind == "slash" else ("sdash" if kind == "dash" else kind))
                if kind == "then" and " " in item.word and len(item.word.split(" ")[0]) <= 3:
                    current = Segment(before=current.before | {"and"}, line=line)
        elif kind != "stop" and kind != "open":
            current.items.append(item)
            if kind == "movement":
                current.content = True
        at += 1
    finish("newline")
    return segments


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
    if "movement" in kinds or any(item.kind == "scaled" for item in inside[:3]):
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
    return not (before.kind == "word" and len(before.word) <= 3)


def _is_label_behind(items: list[Item]) -> bool:
    """`10 burpees b)`: the number or the letter of what comes now."""
    last, before = items[-1], items[-2]
    return last.kind == "amount" or (last.kind == "letter" and last.word in "abcdef" and before.kind == "movement")


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
        ):
            return True
        if item.kind not in ("word", "of", "a", "letter", "at", "pace", "alternating", "to", "with"):
            return False
    return False
