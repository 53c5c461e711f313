"""Words cut short, written out before they are read: `p/ tempo`, `c/ halteres`, `w/ vest`, `seitl. Burpees`."""

from __future__ import annotations

import itertools
from dataclasses import replace

from keelmark.notation.tokens import Item
from keelmark.notation.trade import trade

__all__ = ["written_out"]

_LONGEST = 8
_LABELS = frozenset(["f", "h", "m", "w", "d", "l", "r"])
"""Letters that stand beside another for men and women, or for left and right."""


def written_out(tokens: list[Item], language: str | None) -> list[Item]:
    """The tokens with each letter tied to a slash, and each known short form tied to a full stop, as whole words."""
    marks = [
        at
        for at in range(1, len(tokens))
        if tokens[at].kind in ("slash", "stop") and not tokens[at].spaced and tokens[at - 1].kind == "word"
    ]
    for token, following in itertools.pairwise(tokens):
        if token.word == "x" and following.word in trade()["short_forms"]["times"]:
            token.word = trade()["short_forms"]["times"][following.word]
    dropped: set[int] = set()
    for at in marks:
        rule = _slashed if tokens[at].kind == "slash" else _stopped
        word = rule(tokens, at, language)
        if word is not None:
            tokens[at - 1] = replace(tokens[at - 1], word=word, end=tokens[at].end)
            dropped.add(at)
            if at + 1 < len(tokens):
                tokens[at + 1].spaced = True
    return [token for at, token in enumerate(tokens) if at not in dropped] if dropped else tokens


def _slashed(tokens: list[Item], at: int, language: str | None) -> str | None:
    """`p/ tempo` is for, `c/ 2 halteres` is with, `c/ lado` is each."""
    letter = tokens[at - 1].word
    table = trade()["short_forms"]["slashed"]
    forms = table.get(letter)
    following = tokens[at + 1] if at + 1 < len(tokens) else None
    if forms is None or following is None or following.kind not in ("word", "number", "clock", "elision"):
        return None
    if at > 1 and (tokens[at - 2].kind == "number" or not (tokens[at - 1].spaced or tokens[at - 2].kind == "newline")):
        return None
    if following.word in _LABELS and following.end - following.start == 1:
        return None
    chosen = forms.get(language or "", forms.get("else"))
    if chosen is None:
        return None
    each = trade()["short_forms"]["each"].get(language or "")
    if each is not None and letter in table["before_each"]["letters"] and _is_repeated(tokens, at + 1):
        return str(each[letter])
    return str(chosen)


def _is_repeated(tokens: list[Item], at: int) -> bool:
    """What comes again and again: a side, a round, a minute, so many seconds."""
    repeated = trade()["short_forms"]["repeated"]
    here = at + 1 if tokens[at].kind == "number" and at + 1 < len(tokens) else at
    words = repeated["times"] if here > at else repeated["words"]
    return tokens[at].kind == "clock" or tokens[here].word in words


def _stopped(tokens: list[Item], at: int, language: str | None) -> str | None:
    """`seitl.`, `altern.`, `desc.`: a word that is known to be cut short."""
    word = tokens[at - 1].word
    if len(word) > _LONGEST:
        return None
    found = trade()["short_forms"]["stopped"].get(language or "", {}).get(word)
    return None if found is None else str(found)
