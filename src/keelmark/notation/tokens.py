"""Cut whiteboard text into tokens: words, numbers, clock times, marks and line ends, each with its place."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from keelmark.catalogue import fold

__all__ = ["Item", "folded", "tokenize"]

_FRACTIONS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875}
_LETTER = r"[^\W\d_\u0300-\u036f]"
_BODY = r"(?:[pP][dD][cC]|[kK][gG][wW]|[bB]ody|[pP]eso|[pP]oids|[kK](?:ö|oe|o)rper)"
_MARK = r"[\u0300-\u036f]"

_TOKEN = re.compile(
    rf"""
    (?:[^\S\t\n\r\v\f\x1c-\x1e\x85\u2028\u2029]|(?<![^\n])\t|\t(?=[\s])|[\u200b-\u200d\ufeff\u00ad\ufe0e\ufe0f])*+
  (?:
    (?P<newline>\r\n|[\n\r\v\f\x1c-\x1e\x85\u2028\u2029])
  | (?P<clock>(?<![0-9:])[0-9]{{1,3}}:[0-5][0-9](?::[0-5][0-9])?(?![0-9]|:[0-9])|(?<![^\sx×@/]):[0-5][0-9](?![0-9:]))
  | (?P<number>[0-9]+(?:[.,][0-9]+)*[½¼¾⅓⅔⅛⅜⅝⅞]?|[½¼¾⅓⅔⅛⅜⅝⅞])
  | (?P<times>[×✕✖*]|(?<=[0-9½¼¾⅓⅔)\]])[xX](?=[mM][aA][xX]|{_BODY}|(?!{_LETTER}{_LETTER}{_LETTER}))
           |(?<![^\W\d_])[xX](?=[ \t\u00a0]*[-–−]?[0-9(\[½]))
  | (?P<elision>(?:[ldjsncmLDJSNCM]|[qQ]u)['’`´](?={_LETTER}{_LETTER}))
  | (?P<word>(?:[Ee][0-9]{{1,3}}(?=[mMsSoO])|{_LETTER}{{1,2}}2(?=(?![xX]){_LETTER}))(?:{_LETTER}|{_MARK})+
           |{_LETTER}+(?:{_LETTER}|{_MARK}|['’`´](?={_LETTER}))*)
  | (?P<ellipsis>\.{{2,}}|…)
  | (?P<arrow>[-=]>|[→➔➜⇒])
  | (?P<dashes>[-–—]{{2,}})
  | (?P<cell>//+|\||(?<=[^\n])\t+(?=[^\n\t ]))
  | (?P<twin>''|’’|``)
  | (?P<mark>.)
  | \Z
  )
    """,
    re.VERBOSE | re.DOTALL,
)

_MARKS = {
    "-": "dash",
    "–": "dash",
    "—": "dash",
    "‐": "dash",
    "‑": "dash",
    "‒": "dash",
    "−": "dash",
    "/": "slash",
    "+": "plus",
    ",": "comma",
    ";": "semicolon",
    ":": "colon",
    ".": "stop",
    "(": "open",
    ")": "close",
    "[": "open",
    "]": "close",
    "{": "open",
    "}": "close",
    "@": "at",
    "=": "equals",
    "%": "percent",
    '"': "dquote",
    "”": "dquote",
    "″": "dquote",
    "“": "dquote",
    "'": "squote",
    "’": "squote",
    "′": "squote",
    "´": "squote",
    "`": "squote",
    "#": "hash",
    "&": "ampersand",
    "~": "about",
    "≈": "about",
    "♀": "women",
    "♂": "men",
    "!": "stop",
    "?": "query",
    "•": "bullet",
    "·": "bullet",
    "▪": "bullet",
    "●": "bullet",
    "⁃": "bullet",
    "‣": "bullet",
    "◦": "bullet",
    "∙": "bullet",
    "►": "bullet",
    "▶": "bullet",
    "■": "bullet",
    "□": "bullet",
    "○": "bullet",
    "◆": "bullet",
    "✓": "bullet",
    "✔": "bullet",
    "_": "blank",
    "º": "ordinal",
    "°": "ordinal",
    "ª": "ordinal",
    "¿": "stop",
    "¡": "stop",
    ">": "arrow",
    "\\": "slash",
    "\u20e3": "close",
    "、": "comma",
    "，": "comma",
}
_LIMIT = 1e12


@dataclass(slots=True)
class Item:
    """A stretch of text with a kind, its roles and a value that depends on the kind; it begins as a token."""

    kind: str
    start: int
    end: int
    value: Any = None
    word: str = ""
    """As the tables of words keep it."""
    roles: tuple[str, ...] = ()
    spaced: bool = True
    """A space or line end stands before it."""
    parts: Sequence[Any] = ()


@lru_cache(maxsize=8192)
def folded(word: str) -> str:
    """A word as the tables of words keep it; its capitals, accents and apostrophes are gone."""
    return fold(word)


@lru_cache(maxsize=4096)
def _number(text: str) -> tuple[str, float | tuple[float, ...]]:
    """Kind and value of a run of digits: `12`, `22,5`, `10,000`, `82½`, `10,9,8` (a list), `2.2.2` (a cluster)."""
    extra = _FRACTIONS.get(text[-1], 0.0)
    digits = text[:-1] if text[-1] in _FRACTIONS else text
    if not digits:
        return "number", extra
    parts = re.split(r"[.,]", digits)
    if len(parts) == 1:
        return "number", min(float(digits), _LIMIT) + extra
    thousands = 1 <= len(parts[0]) <= 3 and parts[0][0] != "0" and all(len(part) == 3 for part in parts[1:])
    marks = {mark for mark in digits if mark in ".,"}
    if thousands and len(marks) == 1 and len(parts) == 2:
        return "number", min(float("".join(parts)), _LIMIT) + extra
    if len(parts) == 2:
        return "number", min(float(f"{parts[0]}.{parts[1]}"), _LIMIT) + extra
    if len(marks) == 2 and digits.rstrip("0123456789")[-1] != digits[len(parts[0])]:
        whole, last = "".join(parts[:-1]), parts[-1]
        if all(len(part) == 3 for part in parts[1:-1]):
            return "number", min(float(f"{whole}.{last}"), _LIMIT) + extra
    kind = "commas" if "," in marks else "dots"
    return kind, tuple(min(float(part), _LIMIT) for part in parts)


def _seconds(clock: str) -> float:
    total = 0.0
    for part in clock.split(":"):
        total = 60 * total + float(part or 0)
    return total


def tokenize(text: str) -> list[Item]:
    """All tokens of a text in order; spaces are left out, line ends are kept."""
    tokens: list[Item] = []
    spaced = True
    for found in _TOKEN.finditer(text):
        kind = found.lastgroup
        if kind is None:
            break
        start, end = found.span(kind)
        spaced = spaced or start > found.start()
        word, value = "", None
        if kind == "word" or kind == "elision":
            word = folded(found[kind])
        elif kind == "number":
            kind, value = _number(found[kind])
        elif kind == "mark":
            kind = _MARKS.get(found[kind], "other")
        elif kind == "clock":
            value = _seconds(found[kind])
        elif kind == "cell":
            spaced = True
        elif kind == "twin":
            kind = "dquote"
        elif kind == "dashes":
            kind = "dash"
        tokens.append(Item(kind, start, end, value, word, (), spaced))
        spaced = kind == "newline" or kind == "cell"
    return tokens
