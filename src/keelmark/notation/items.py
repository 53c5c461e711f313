"""Items: tokens that have been given a meaning: a unit, a role, a movement."""

from __future__ import annotations

import re
from typing import Any

from keelmark.notation.lexicon import Lexicon, Role
from keelmark.notation.tokens import Item, tokenize

__all__ = ["Item", "read_items"]


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


def read_items(text: str, lexicon: Lexicon) -> tuple[list[Item], str | None]:
    """The text as items with units, roles and movements found, and the language it seems to be in."""
    tokens = tokenize(text)
    language = lexicon.language([token.word for token in tokens if token.word])
    items: list[Item] = []
    at, count = 0, len(tokens)
    while at < count:
        token = tokens[at]
        if token.kind == "word":
            at = _word(tokens, at, items, lexicon, language, text)
            continue
        if token.kind == "number" and _may_be_figured(tokens, at, lexicon, text):
            named = _figured(tokens, at, items, lexicon, language, text)
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
        if token.kind != "elision" and not percent:
            items.append(_plain(tokens, at))
        at += 1
    return items, language


def _plain(tokens: list[Item], at: int) -> Item:
    token = tokens[at]
    kind = token.kind
    if kind in ("dash", "slash") and token.spaced and at + 1 < len(tokens) and tokens[at + 1].spaced:
        kind = "sdash" if kind == "dash" else "sslash"
    elif kind == "slash" and _is_list_mark(tokens, at):
        kind = "close"
    elif kind == "times" and (at == 0 or tokens[at - 1].kind == "newline") and _spaced_after(tokens, at):
        kind = "bullet"
    elif kind == "ampersand":
        kind = "and"
    if kind == token.kind:
        return token
    return Item(kind, token.start, token.end, token.value, token.word, (), token.spaced)


def _spaced_after(tokens: list[Item], at: int) -> bool:
    return at + 1 < len(tokens) and tokens[at + 1].spaced


def _is_list_mark(tokens: list[Item], at: int) -> bool:
    """`A/ back squat`, `1/ 400 m run`: a slash that closes the label of a line."""
    if tokens[at].spaced or not at or not _spaced_after(tokens, at):
        return False
    label = tokens[at - 1]
    short = label.end - label.start == 1
    return short and label.kind in ("word", "number") and (at == 1 or tokens[at - 2].kind == "newline")


def _run_from(tokens: list[Item], at: int) -> tuple[list[str], list[int]]:
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


def _word(tokens: list[Item], at: int, items: list[Item], lexicon: Lexicon, language: str | None, text: str) -> int:  # noqa: C901
    """Read the phrase that begins at a word; the index of the token after it."""
    token = tokens[at]
    before = items[-1] if items else None
    if before is not None and (before.kind in _COUNTING or (before.kind == "dash" and _hyphened(tokens, at))):
        unit = _unit(tokens, at, lexicon, text) or _calories(tokens, at, lexicon, language)
        if unit is not None:
            if before.kind == "dash":
                items.pop()
            items.append(Item(unit.measure, token.start, token.end, unit, token.word, (), token.spaced))
            return at + 1
    if token.word == "x":
        items.append(Item("times", token.start, token.end, None, "", (), token.spaced))
        return at + 1
    spelt = _spelt(tokens, at, lexicon, language) if token.end - token.start == 1 else None
    if spelt is not None:
        last = tokens[at + len(spelt[0]) - 1]
        items.append(Item(spelt[1], token.start, last.end, None, spelt[0], (spelt[1],), token.spaced))
        return at + len(spelt[0])
    if token.end - token.start == 1 and _is_label(tokens, at, text):
        items.append(Item("letter", token.start, token.end, text[token.start], token.word, (), token.spaced))
        return at + 1
    if token.word == "me" and text[token.start : token.end] == "ME" and _names_reps(tokens, at, lexicon, language):
        items.append(Item("max", token.start, token.end, None, "max", ("max",), token.spaced))
        return at + 1
    if token.word in ("a", "one") and at + 1 < len(tokens) and tokens[at + 1].word in _LONG_UNITS:
        items.append(Item("number", token.start, token.end, 1.0, "", (), token.spaced))
        return at + 1
    if token.word not in lexicon.first_words:
        return _unknown_word(tokens, at, items, lexicon, text)
    words, places = _run_from(tokens, at)
    behind = places[-1] + 1
    if behind < len(tokens) and text[tokens[behind].start : tokens[behind].end] in lexicon.figures:
        figured = _figured(tokens, at, items, lexicon, language, text)
        if figured is not None and figured > behind:
            return figured
    named = _with_elisions(tokens, words, places)
    role = lexicon.role(words, 0, language)
    movement = lexicon.movement(named, 0, language)
    if role is not None and len(words[0]) == 1 and role[0] == 1 and words[0] not in _LETTER_ROLES:
        role = None
    if movement is not None and _is_side_of_count(tokens, at, lexicon, language):
        movement, role = None, (1, ("side",), None)
    if role is not None and role[0] > 1 and words[role[0] - 1] in lexicon.numbers:
        role = _without_number(tokens, places, words, role, lexicon, language)
    if movement is not None and movement[1] == 1 and lexicon.is_common(words[0], language):
        movement = movement if text[token.start : token.end].isupper() else None
    if movement is not None and (role is None or (movement[1] >= role[0] and not _firm(role, movement[1], before))):
        last = tokens[places[movement[1] - 1]]
        written = " ".join(words[: movement[1]])
        items.append(
            Item("movement", token.start, last.end, movement[0], written, role[1] if role else (), token.spaced)
        )
        return places[movement[1] - 1] + 1
    if role is not None and role[1][0].startswith("ordinal_"):
        last = tokens[places[role[0] - 1]]
        value = float(role[1][0][8:])
        items.append(Item("nth", token.start, last.end, value, token.word, ("nth",), token.spaced))
        return places[role[0] - 1] + 1
    if role is not None and role[1][0] in _TIMES:
        last = tokens[places[role[0] - 1]]
        items.append(Item("number", token.start, last.end, _TIMES[role[1][0]], "", (), token.spaced))
        items.append(Item("times_word", token.start, last.end, None, token.word, ("times_word",), True))
        return places[role[0] - 1] + 1
    if role is not None:
        last = tokens[places[role[0] - 1]]
        kind = role[1][0]
        if kind in _REPS_NAMED:
            role = (role[0], role[1], lexicon.reps_named(words[: role[0]]))
        items.append(Item(kind, token.start, last.end, role[2], " ".join(words[: role[0]]), role[1], token.spaced))
        if movement is not None and movement[1] == role[0]:
            items[-1].parts = [movement[0]]
        return places[role[0] - 1] + 1
    return _unknown_word(tokens, at, items, lexicon, text)


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
    words = _run_from(tokens, at)[0]
    return any(lexicon.movement(words, place, language) is not None for place in range(1, min(3, len(words))))


def _is_side_of_count(tokens: list[Item], at: int, lexicon: Lexicon, language: str | None) -> bool:
    """`12/side lunge`, `10/leg press`: the word behind a slash tied to a count says for which side it is."""
    if at < 2 or tokens[at].spaced or tokens[at - 1].kind != "slash" or tokens[at - 1].spaced:
        return False
    if tokens[at - 2].kind != "number":
        return False
    alone = lexicon.role([tokens[at].word], 0, language)
    return alone is not None and "side" in alone[1]


def _may_be_figured(tokens: list[Item], at: int, lexicon: Lexicon, text: str) -> bool:
    """Can a name begin with this number and what stands behind it?"""
    seconds = lexicon.figured_first.get(text[tokens[at].start : tokens[at].end])
    if seconds is None or at + 1 >= len(tokens):
        return False
    behind = at + 2 if tokens[at + 1].kind in ("slash", "dash") and at + 2 < len(tokens) else at + 1
    return tokens[behind].word in seconds or text[tokens[behind].start : tokens[behind].end] in seconds


def _figured(
    tokens: list[Item], at: int, items: list[Item], lexicon: Lexicon, language: str | None, text: str
) -> int | None:
    """`90/90 switch`, `leg press 45`: a name with figures in it; the index of the token after it, None without one."""
    if items and not tokens[at].spaced and items[-1].kind in ("times", "dash", "slash", "at", "plus"):
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


def _without_number(
    tokens: list[Item], places: list[int], words: list[str], role: Role, lexicon: Lexicon, language: str | None
) -> Role | None:
    """`for one minute`: the number belongs to the unit behind it, not to the phrase before."""
    after = places[role[0] - 1] + 1
    if role[1][0] == "number" or after >= len(tokens) or tokens[after].word not in lexicon.units:
        return role
    return lexicon.role(words[: role[0] - 1], 0, language)


_NAMED = frozenset(["movement", "mass", "length", "distance", "energy", "close"])
_BREAKS = frozenset(["colon", "comma", "newline", "semicolon", "stop", "close", "sdash"])
_LONG_UNITS = frozenset(["mile", "kilometre", "kilometer", "km"])


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
    ) or (first and _is_list_mark(tokens, at + 1))


_REPS_NAMED = frozenset(["single", "double", "triple", "top_set"])
_FIRM = frozenset(["number", "rounds", "sets", "rest", "rest_day", "minute", "skip", "scaled", "ladder"])
_IMPLEMENTS = frozenset(["dumbbells", "kettlebells", "dumbbell", "kettlebell"])


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


def _with_elisions(tokens: list[Item], words: list[str], places: list[int]) -> list[str]:
    """The words as the catalogue folds them, where an elided article is one word with its noun."""
    if places[-1] - places[0] == len(places) - 1:
        return words
    return [
        word if place == places[0] or tokens[place - 1].kind != "elision" else tokens[place - 1].word + word
        for word, place in zip(words, places, strict=True)
    ]


def _hyphened(tokens: list[Item], at: int) -> bool:
    """A number stands before, tied on by a hyphen: `15-min`."""
    return (
        at >= 2
        and tokens[at - 1].kind == "dash"
        and not tokens[at - 1].spaced
        and not tokens[at].spaced
        and tokens[at - 2].kind == "number"
    )


def _unit(tokens: list[Item], at: int, lexicon: Lexicon, text: str) -> Any:
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
        role = lexicon.role(_run_from(tokens, at)[0], 0, "en")
        if role is not None and role[0] > 1:
            return None
    if len(token.word) == 1 and text[token.start].isupper() and token.spaced and not _all_capitals(text, token):
        return None
    if (
        following is not None
        and (following.kind == "word" or (following.kind == "dash" and not following.spaced))
        and token.word in lexicon.names.first_words
    ):
        words = _run_from(tokens, at)[0]
        if len(words) > 1:
            named = lexicon.movement(words, 0, None)
            if named is not None and named[1] > 1:
                return None
    return unit


def _calories(tokens: list[Item], at: int, lexicon: Lexicon, language: str | None) -> Any:
    """`12c bike`: the letter tied to the number, before something that counts calories."""
    if tokens[at].word != "c" or tokens[at].spaced or at + 1 >= len(tokens) or tokens[at + 1].kind != "word":
        return None
    named = lexicon.movement(_run_from(tokens, at + 1)[0], 0, language)
    counts = named is not None and "calories" in lexicon.catalogue.movements[named[0]].measures
    return lexicon.units["cal"] if counts else None


def _all_capitals(text: str, token: Item) -> bool:
    """Is a capital `M` one because everything around it is written in capitals?"""
    return text[max(0, token.start - 40) : token.end + 40].isupper() and token.word == "m"


_AFTER_PREPOSITION = frozenset(
    ["the", "a", "an", "one", "each", "your", "my", "any", "remaining", "between", "under", "as", "this"]
)
