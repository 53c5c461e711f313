"""Tokens around a word: those that may belong to one phrase with it, and marks of a list."""

from __future__ import annotations

from keelmark.notation.tokens import Item

__all__ = ["is_list_mark", "run_from", "spaced_after", "with_elisions"]


def run_from(tokens: list[Item], at: int) -> tuple[list[str], list[int]]:
    """Folded words that may belong to one phrase beginning at a token, and the tokens they are."""
    words = [tokens[at].word]
    places = [at]
    here = at + 1
    end = min(len(tokens), at + 16)
    while here < end and len(words) < 8:
        token = tokens[here]
        kind = token.kind
        if kind == "word":
            words.append(token.word)
            places.append(here)
        elif kind == "ampersand":
            words.append("and")
            places.append(here)
        elif (
            kind == "elision"
            or (kind == "dash" and not token.spaced and here + 1 < end and not tokens[here + 1].spaced)
            or (kind == "stop" and not token.spaced and len(words[-1]) <= 4)
        ):
            pass
        else:
            break
        here += 1
    return words, places


def with_elisions(tokens: list[Item], words: list[str], places: list[int]) -> list[str]:
    """The words as the catalogue folds them, where an elided article is one word with its noun."""
    if places[-1] - places[0] == len(places) - 1:
        return words
    return [
        word if place == places[0] or tokens[place - 1].kind != "elision" else tokens[place - 1].word + word
        for word, place in zip(words, places, strict=True)
    ]


def spaced_after(tokens: list[Item], at: int) -> bool:
    return at + 1 < len(tokens) and tokens[at + 1].spaced


def is_list_mark(tokens: list[Item], at: int) -> bool:
    """`A/ back squat`, `1/ 400 m run`: a slash that closes the label of a line."""
    if tokens[at].spaced or not at or not spaced_after(tokens, at):
        return False
    label = tokens[at - 1]
    short = label.end - label.start == 1
    return (
        short
        and label.kind in ("word", "number")
        and (at == 1 or tokens[at - 2].kind in ("newline", "stop", "semicolon"))
    )
