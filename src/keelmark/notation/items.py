"""Items: tokens that have been given a meaning: a unit, a role, a movement."""

from __future__ import annotations

from functools import lru_cache

from keelmark.notation.figured_names import figured, may_be_figured
from keelmark.notation.lexicon import Lexicon
from keelmark.notation.short_forms import written_out
from keelmark.notation.tokens import Item, tokenize
from keelmark.notation.word_runs import is_list_mark, spaced_after
from keelmark.notation.words import read_word

__all__ = ["Item", "items_of", "read_items"]


def read_items(text: str, lexicon: Lexicon) -> tuple[list[Item], str | None]:
    """The text as items with units, roles and movements found, and the language it seems to be in."""
    tokens = tokenize(text)
    language = lexicon.language([token.word for token in tokens if token.word])
    tokens = written_out(tokens, language)
    items: list[Item] = []
    at, count = 0, len(tokens)
    while at < count:
        token = tokens[at]
        if token.kind == "word":
            at = read_word(tokens, at, items, lexicon, language, text)
            continue
        if token.kind == "number" and may_be_figured(tokens, at, lexicon, text):
            named = figured(tokens, at, items, lexicon, language, text)
            if named is not None:
                at = named
                continue
        if (
            token.kind == "clock"
            and not token.spaced
            and items
            and items[-1].word == "e"
            and items[-1].kind == "letter"
        ):
            items[-1] = Item("every_word", items[-1].start, token.end, token.value, "e", (), items[-1].spaced)
            at += 1
            continue
        percent = token.kind == "newline" and at + 1 < count and tokens[at + 1].kind == "percent"
        if percent and at + 2 < count and tokens[at + 2].kind in ("number", "colon", "cell"):
            percent = False  # `%1RM: 60 70 75` begins a line of its own
        if token.kind != "elision" and not percent:
            items.append(_plain(tokens, at))
        at += 1
    return items, language


@lru_cache(maxsize=512)
def items_of(text: str, lexicon: Lexicon) -> tuple[Item, ...]:
    """The items of a short text, such as a result, at which several looks are taken."""
    return tuple(read_items(text, lexicon)[0])


def _plain(tokens: list[Item], at: int) -> Item:
    token = tokens[at]
    kind = token.kind
    if kind in ("dash", "slash") and token.spaced and at + 1 < len(tokens) and tokens[at + 1].spaced:
        kind = "sdash" if kind == "dash" else "sslash"
    elif kind == "slash" and is_list_mark(tokens, at):
        kind = "close"
    elif kind == "times" and (at == 0 or tokens[at - 1].kind == "newline") and spaced_after(tokens, at):
        kind = "bullet"
    elif kind == "ampersand":
        kind = "and"
    if kind == token.kind:
        return token
    return Item(kind, token.start, token.end, token.value, token.word, (), token.spaced)
