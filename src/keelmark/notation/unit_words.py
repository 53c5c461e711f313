"""Words behind a number that are its unit: `15-min`, `400 m`, `12c bike`."""

from __future__ import annotations

from typing import Any

from keelmark.notation.lexicon import Lexicon
from keelmark.notation.tokens import Item
from keelmark.notation.word_runs import run_from

__all__ = ["calories_letter", "hyphened", "unit_word"]

_AFTER_PREPOSITION = frozenset(
    ["the", "a", "an", "one", "each", "your", "my", "any", "remaining", "between", "under", "as", "this"]
)


def hyphened(tokens: list[Item], at: int) -> bool:
    """A number stands before, tied on by a hyphen: `15-min`."""
    return (
        at >= 2
        and tokens[at - 1].kind == "dash"
        and not tokens[at - 1].spaced
        and not tokens[at].spaced
        and tokens[at - 2].kind == "number"
    )


def unit_word(tokens: list[Item], at: int, lexicon: Lexicon, text: str) -> Any:
    """The unit that a word after a number is, or None."""
    token = tokens[at]
    unit = lexicon.units.get(token.word)
    if unit is None:
        return None
    following = tokens[at + 1] if at + 1 < len(tokens) else None
    if unit.name == "in" and following is not None and token.spaced:
        if (
            following.kind in ("number", "clock")
            or following.word in _AFTER_PREPOSITION
            or following.word in lexicon.minutes
        ):
            return None
        role = lexicon.role(run_from(tokens, at)[0], 0, "en")
        if role is not None and role[0] > 1:
            return None
    if len(token.word) == 1 and text[token.start].isupper() and token.spaced and not _all_capitals(text, token):
        return None
    if (
        following is not None
        and (following.kind == "word" or (following.kind == "dash" and not following.spaced))
        and token.word in lexicon.names.first_words
    ):
        words = run_from(tokens, at)[0]
        if len(words) > 1:
            named = lexicon.movement(words, 0, None)
            if named is not None and named[1] > 1:
                return None
    return unit


def calories_letter(tokens: list[Item], at: int, lexicon: Lexicon, language: str | None) -> Any:
    """`12c bike`: the letter tied to the number, before something that counts calories."""
    if tokens[at].word != "c" or tokens[at].spaced or at + 1 >= len(tokens) or tokens[at + 1].kind != "word":
        return None
    named = lexicon.movement(run_from(tokens, at + 1)[0], 0, language)
    counts = named is not None and "calories" in lexicon.catalogue.movements[named[0]].measures
    return lexicon.units["cal"] if counts else None


def _all_capitals(text: str, token: Item) -> bool:
    """Is a capital `M` one because everything around it is written in capitals?"""
    return text[max(0, token.start - 40) : token.end + 40].isupper() and token.word == "m"
