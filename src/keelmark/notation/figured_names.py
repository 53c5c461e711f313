"""Names of movements with figures in them: `90/90 switch`, `leg press 45`."""

from __future__ import annotations

from keelmark.notation.lexicon import Lexicon
from keelmark.notation.tokens import Item

__all__ = ["figured", "may_be_figured"]


def may_be_figured(tokens: list[Item], at: int, lexicon: Lexicon, text: str) -> bool:
    """Can a name begin with this number and what stands behind it?"""
    seconds = lexicon.figured_first.get(text[tokens[at].start : tokens[at].end])
    if seconds is None or at + 1 >= len(tokens):
        return False
    behind = at + 2 if tokens[at + 1].kind in ("slash", "dash") and at + 2 < len(tokens) else at + 1
    return tokens[behind].word in seconds or text[tokens[behind].start : tokens[behind].end] in seconds


def figured(
    tokens: list[Item], at: int, items: list[Item], lexicon: Lexicon, language: str | None, text: str
) -> int | None:
    """`90/90 switch`, `leg press 45`: a name with figures in it; the index of the token after it, None without one."""
    if items and not tokens[at].spaced and items[-1].kind in ("times", "dash", "slash", "at", "plus"):
        return None
    if _is_row(tokens, at):
        return None
    words: list[str] = []
    places: list[int] = []
    for here in range(at, min(len(tokens), at + 10)):
        token = tokens[here]
        if token.kind == "number" and text[token.start : token.end] in lexicon.figures:
            words.append(text[token.start : token.end])
        elif token.kind == "word":
            words.append(token.word)
        elif token.kind in ("dash", "slash") and not token.spaced:
            continue
        else:
            break
        places.append(here)
    found = lexicon.movement(words, 0, language)
    if found is None or not any(word.isdigit() for word in words[: found[1]]):
        return None
    last = places[found[1] - 1]
    if last + 1 < len(tokens) and words[found[1] - 1].isdigit() and tokens[last + 1].word in lexicon.units:
        return None
    written = " ".join(words[: found[1]])
    items.append(Item("movement", tokens[at].start, tokens[last].end, found[0], written, (), tokens[at].spaced))
    return last + 1


def _is_row(tokens: list[Item], at: int) -> bool:
    """`90-90-110-110 kg`: a row of figures, of which no two are a name."""
    kinds = [token.kind for token in tokens[at : at + 5]]
    return kinds == ["number", "dash"] * 2 + ["number"]
