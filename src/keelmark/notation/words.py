"""The phrase that begins at a word: a unit, a letter, a movement, a role, or nothing that is known."""

from __future__ import annotations

import re

from keelmark.notation.figured_names import figured
from keelmark.notation.lexicon import Lexicon, Role
from keelmark.notation.tokens import Item
from keelmark.notation.unit_words import calories_letter, hyphened, unit_word
from keelmark.notation.word_runs import is_list_mark, run_from, with_elisions

__all__ = ["read_word"]

_EVERY_WORD = re.compile(r"e([0-9]{1,3})(?:m(?:om|in|mom|otm)?|om|s)$")
_TIMES = {"twice": 2.0, "thrice": 3.0, "fourfold": 4.0, "fivefold": 5.0} | {
    "sixfold": 6.0,
    "sevenfold": 7.0,
    "eightfold": 8.0,
    "ninefold": 9.0,
    "tenfold": 10.0,
}
_COUNTING = frozenset(["number", "dots", "squote"])
_LETTER_ROLES = frozenset("aeyou")
_NAMED = frozenset(["movement", "mass", "length", "distance", "energy", "close"])
_BREAKS = frozenset(["colon", "comma", "newline", "semicolon", "stop", "close", "sdash"])
_LONG_UNITS = frozenset(["mile", "kilometre", "kilometer", "km"])
_REPS_NAMED = frozenset(["single", "double", "triple", "top_set"])
_FIRM = frozenset(["number", "rounds", "sets", "rest", "rest_day", "minute", "skip", "scaled", "ladder"])
_IMPLEMENTS = frozenset(["dumbbells", "kettlebells", "dumbbell", "kettlebell"])
_SHORT = frozenset(["x", "me", "a", "one"])


def read_word(tokens: list[Item], at: int, items: list[Item], lexicon: Lexicon, language: str | None, text: str) -> int:
    """Read the phrase that begins at a word; the index of the token after it."""
    token = tokens[at]
    before = items[-1] if items else None
    counted = before is not None and (before.kind in _COUNTING or (before.kind == "dash" and hyphened(tokens, at)))
    if counted and _take_unit(tokens, at, items, lexicon, language, text):
        return at + 1
    if token.end - token.start == 1 or token.word in _SHORT:
        after = _short(tokens, at, items, lexicon, language, text)
        if after > at:
            return after
    if token.word not in lexicon.first_words:
        return _unknown_word(tokens, at, items, lexicon, text)
    words, places = run_from(tokens, at)
    behind = places[-1] + 1
    if behind < len(tokens) and text[tokens[behind].start : tokens[behind].end] in lexicon.figures:
        named = figured(tokens, at, items, lexicon, language, text)
        if named is not None and named > behind:
            return named
    movement, role = _meanings(tokens, at, words, places, lexicon, language)
    if movement is not None and movement[1] == 1 and lexicon.is_common(words[0], language):
        movement = movement if text[token.start : token.end].isupper() else None
    if movement is not None and (role is None or (movement[1] >= role[0] and not _firm(role, movement[1], before))):
        last = tokens[places[movement[1] - 1]]
        written = " ".join(words[: movement[1]])
        roles = role[1] if role else ()
        items.append(Item("movement", token.start, last.end, movement[0], written, roles, token.spaced))
        return places[movement[1] - 1] + 1
    if role is None:
        return _unknown_word(tokens, at, items, lexicon, text)
    _take_role(token, tokens[places[role[0] - 1]], words, items, role, lexicon)
    if movement is not None and movement[1] == role[0] and not _counts(role):
        items[-1].parts = [movement[0]]
    return places[role[0] - 1] + 1


def _take_unit(
    tokens: list[Item], at: int, items: list[Item], lexicon: Lexicon, language: str | None, text: str
) -> bool:
    """The unit of the number before; a hyphen between the two goes."""
    token = tokens[at]
    unit = unit_word(tokens, at, lexicon, text) or calories_letter(tokens, at, lexicon, language)
    if unit is None:
        return False
    if items[-1].kind == "dash":
        items.pop()
    items.append(Item(unit.measure, token.start, token.end, unit, token.word, (), token.spaced))
    return True


def _short(tokens: list[Item], at: int, items: list[Item], lexicon: Lexicon, language: str | None, text: str) -> int:
    """A times sign, a word spelt out, a label, capitals or an article that counts; `at` itself when it is none."""
    token = tokens[at]
    if token.word == "x":
        items.append(Item("times", token.start, token.end, None, "", (), token.spaced))
        return at + 1
    if token.end - token.start == 1:
        spelt = _spelt(tokens, at, lexicon, language)
        if spelt is not None:
            last = tokens[at + len(spelt[0]) - 1]
            items.append(Item(spelt[1], token.start, last.end, None, spelt[0], (spelt[1],), token.spaced))
            return at + len(spelt[0])
        if _is_label(tokens, at, text):
            items.append(Item("letter", token.start, token.end, text[token.start], token.word, (), token.spaced))
            return at + 1
    if token.word == "me" and text[token.start : token.end] == "ME" and _names_reps(tokens, at, lexicon, language):
        items.append(Item("max", token.start, token.end, None, "max", ("max",), token.spaced))
        return at + 1
    if token.word in ("a", "one") and at + 1 < len(tokens) and tokens[at + 1].word in _LONG_UNITS:
        items.append(Item("number", token.start, token.end, 1.0, "", (), token.spaced))
        return at + 1
    return at


def _meanings(
    tokens: list[Item], at: int, words: list[str], places: list[int], lexicon: Lexicon, language: str | None
) -> tuple[tuple[str, int] | None, Role | None]:
    """The movement and the role that the words may name, each with the number of its words."""
    role = lexicon.role(words, 0, language)
    movement = lexicon.movement(with_elisions(tokens, words, places), 0, language)
    if role is not None and len(words[0]) == 1 and role[0] == 1 and words[0] not in _LETTER_ROLES:
        role = None
    if movement is not None and _is_side_of_count(tokens, at, lexicon, language):
        movement, role = None, (1, ("side",), None)
    if role is not None and role[0] > 1 and words[role[0] - 1] in lexicon.numbers:
        role = _without_number(tokens, places, words, role, lexicon, language)
    return movement, role


def _counts(role: Role) -> bool:
    """An ordinal or a word such as `twice`."""
    return role[1][0].startswith("ordinal_") or role[1][0] in _TIMES


def _take_role(token: Item, last: Item, words: list[str], items: list[Item], role: Role, lexicon: Lexicon) -> None:
    """The item, or the two items, of a role from one token to another."""
    kind, start, end, spaced = role[1][0], token.start, last.end, token.spaced
    if kind.startswith("ordinal_"):
        items.append(Item("nth", start, end, float(kind[8:]), token.word, ("nth",), spaced))
    elif kind in _TIMES:
        items.append(Item("number", start, end, _TIMES[kind], "", (), spaced))
        items.append(Item("times_word", start, end, None, token.word, ("times_word",), True))
    else:
        value = lexicon.reps_named(words[: role[0]]) if kind in _REPS_NAMED else role[2]
        items.append(Item(kind, start, end, value, " ".join(words[: role[0]]), role[1], spaced))


def _unknown_word(tokens: list[Item], at: int, items: list[Item], lexicon: Lexicon, text: str) -> int:
    """A word that means nothing here by itself: a small one that joins, one of another language, or any other."""
    token = tokens[at]
    before = items[-1] if items else None
    if token.word in lexicon.connectors and before is not None and before.kind in _NAMED and at + 1 < len(tokens):
        items.append(Item("and", token.start, token.end, None, token.word, ("and",), token.spaced))
        return at + 1
    beside = lexicon.foreign(token.word) if before is None or before.kind in _BREAKS else None
    if beside is not None:
        items.append(Item(beside, token.start, token.end, None, token.word, (beside,), token.spaced))
        return at + 1
    every = _EVERY_WORD.match(token.word)
    if every is not None:
        seconds = float(every.group(1)) * (1.0 if token.word.endswith("s") else 60.0)
        items.append(Item("every_word", token.start, token.end, seconds, token.word, (), token.spaced))
    elif len(token.word) == 1:
        items.append(Item("letter", token.start, token.end, text[token.start], token.word, (), token.spaced))
    else:
        items.append(Item("word", token.start, token.end, None, token.word, (), token.spaced))
    return at + 1


def _spelt(tokens: list[Item], at: int, lexicon: Lexicon, language: str | None) -> tuple[str, str] | None:
    """`E M O M`, `A M R A P`: a head written letter by letter, and what it is."""
    end = at
    while end < min(len(tokens), at + 6) and tokens[end].kind == "word" and tokens[end].end - tokens[end].start == 1:
        end += 1
    word = "".join(token.word for token in tokens[at:end])
    role = lexicon.role([word], 0, language) if end - at >= 4 else None
    return (word, role[1][0]) if role is not None and role[1][0] in ("emom", "amrap") else None


def _names_reps(tokens: list[Item], at: int, lexicon: Lexicon, language: str | None) -> bool:
    """`ME T2B`, `ME unbroken pull-ups`: the capitals stand for a set to the end, where a movement follows."""
    words = run_from(tokens, at)[0]
    return any(lexicon.movement(words, place, language) is not None for place in range(1, min(3, len(words))))


def _is_side_of_count(tokens: list[Item], at: int, lexicon: Lexicon, language: str | None) -> bool:
    """`12/side lunge`, `10/leg press`: the word behind a slash tied to a count says for which side it is."""
    if at < 2 or tokens[at].spaced or tokens[at - 1].kind != "slash" or tokens[at - 1].spaced:
        return False
    if tokens[at - 2].kind != "number":
        return False
    alone = lexicon.role([tokens[at].word], 0, language)
    return alone is not None and "side" in alone[1]


def _without_number(
    tokens: list[Item], places: list[int], words: list[str], role: Role, lexicon: Lexicon, language: str | None
) -> Role | None:
    """`for one minute`: the number belongs to the unit behind it, not to the phrase before."""
    after = places[role[0] - 1] + 1
    if role[1][0] == "number" or after >= len(tokens) or tokens[after].word not in lexicon.units:
        return role
    return lexicon.role(words[: role[0] - 1], 0, language)


def _is_label(tokens: list[Item], at: int, text: str) -> bool:
    """A single capital that a figure or a bracket follows: `A1`, `B)`, `C.`"""
    token = tokens[at]
    if token.end - token.start != 1 or not text[token.start].isupper() or at + 1 >= len(tokens):
        return False
    following = tokens[at + 1]
    first = at == 0 or tokens[at - 1].kind in ("newline", "semicolon", "stop")
    if following.kind == "number" and not following.spaced and not first:
        first = tokens[at - 1].kind in ("comma", "slash", "plus", "arrow", "cell")
    return (
        not following.spaced and (following.kind == "number" or following.kind in ("close", "stop", "colon")) and first
    ) or (first and is_list_mark(tokens, at + 1))


def _firm(role: Role, words: int, before: Item | None) -> bool:
    """Is the role of a word surer than the movement of the same name, where it stands?"""
    if role[0] < words:
        return False
    if before is None:
        return role[1][0] in _FIRM
    if role[1][0] in _IMPLEMENTS:
        return before.kind in ("mass", "with", "slash", "times")
    if role[1][0] == "side":
        return before.kind in ("slash", "sslash")
    if role[1][0] in ("single", "double", "triple"):
        return before.kind != "number"
    if role[1][0] in ("skip", "ladder"):
        return before.kind not in ("number", "distance", "energy", "time")
    return role[1][0] in _FIRM
