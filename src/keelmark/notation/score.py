"""The parts of a result, each with its score: `7+12`, `A: doubles at 50, 60; B: cap 143 reps`, `team 9+0, own 5+0`."""

from __future__ import annotations

import re

from keelmark.notation.items import items_of
from keelmark.notation.lexicon import Lexicon
from keelmark.notation.one_score import CHAIN, named_amounts, one_score
from keelmark.notation.score_kinds import Score
from keelmark.notation.score_lists import listed
from keelmark.notation.score_names import movement_by_movement
from keelmark.notation.score_texts import of_person, parts_of, plain, without_sums
from keelmark.notation.score_titles import titled_parts

__all__ = ["read_scores"]

_PART = re.compile(
    r"\s*(?:part|teil|parte|partie|bloque?|block?)?\s*\b(?:p(?=[0-9]\s))?(?:([A-Za-z][1-9]?|[0-9])\s*[:).=]\s+(?=\S)|([A-Da-d])\s+(?=[0-9])|(?<=[pP])([0-9])\s+(?=[0-9]))",
    re.IGNORECASE,
)
_SPLIT = re.compile(
    r"\s*[;\n|]\s*|\s*,\s*(?=[A-Da-d][0-9]?\s*[:)=]\s)|\s*,\s*(?=[A-Da-d]\s+[0-9])|\s+/\s+(?=[0-9A-D]\s*:\s)|(?<=[0-9a-z])[.,]?\s+(?=[B-D][0-9]?\s*[:)]\s)"
)
_ROUNDS_LIST = re.compile(r"[0-9]+\s*\+\s*[0-9]+(?:\s*,\s*[0-9]+\s*\+\s*[0-9]+)+")
_SETS_OF = re.compile(r"^\s*(?:[0-9]+\s?ers?|sets? of [0-9]+)\s*:\s*", re.IGNORECASE)
"""`5er: 30, 35`: the reps of each set in front of the loads."""
_AFTER_ROUNDS = re.compile(
    r"(?<=\+[0-9])\s*,\s*(?=[0-9]+(?:\s*(?:cals?|kcal|m|km)\b|:[0-9]{2}))|(?<=\+[0-9]{2})\s*,\s*(?=[0-9]+(?:\s*(?:cals?|kcal|m|km)\b|:[0-9]{2}))"
)
"""`8+3, 71 cal`: rounds of one part, and what was made in the next."""
_LISTS = re.compile(r"\s*[0-9]+(?:\s*[,-]\s*[0-9]+)+(?:\s+/\s+[0-9]+(?:\s*[,-]\s*[0-9]+)+)+\s*")
"""`30, 25, 20 / 12, 10, 8`: a list for each of several movements."""
_TOLD_BESIDE = re.compile(r"\s*\([^()0-9=]*=[^()]*\)|\s*\([^()]*=\s*1(?:\s*\w+\.?)?\s*\)")
"""`(run = 1)`: how the units were counted, no figure of the result."""
_PLUS_PARTS = re.compile(r"^[^/;]*[0-9]\s*\+\s*[0-9][^/;]*\s/\s|\s/\s[^/;]*[0-9]\s*\+\s*[0-9][^/;]*$")
"""`100, 105 / 6+4`: parts of a day, of which one has rounds and reps."""


def read_scores(text: str, lexicon: Lexicon, athlete: str | None = None) -> list[Score]:
    """The scores in a result, one for each part; of several people's only that of the athlete, where it is named."""
    text, breaks = _without_breaks(of_person(text, athlete, lexicon), lexicon)
    if breaks is not None:
        first, *others = read_scores(text, lexicon, athlete) or [Score("done")]
        first.breaks = breaks
        return [first, *others]
    titled = [_of_title(*part, lexicon) for part in titled_parts(text, items_of(text, lexicon), lexicon)]
    if titled and all(score is not None for score in titled):
        return [score for score in titled if score is not None]
    by_name = movement_by_movement(text, lexicon)
    if by_name is not None:
        return [by_name]
    parts = [of_person(part, athlete, lexicon) for part in parts_of(text)]
    if len(parts) > 1:
        return [score for part in parts for score in _of_part(plain(part, lexicon), lexicon)]
    text = plain(without_sums(_SETS_OF.sub("", _TOLD_BESIDE.sub("", text))), lexicon)
    text = _own_part(text, lexicon)
    behind = _own_behind_time(text, lexicon)
    if behind is not None:
        return [behind]
    if _LISTS.fullmatch(text) or _PLUS_PARTS.search(text):
        text = re.sub(r"\s+/\s+", "; ", text)
    text = _AFTER_ROUNDS.sub("; ", text)
    text = _with_short_lists(text)
    parted = ";" in text or "\n" in text
    whole = None if parted else listed(list(items_of(text, lexicon)), text)
    if whole is not None:
        return [whole]
    if _ROUNDS_LIST.fullmatch(text.strip()):
        text = text.replace(",", ";")
    return [score for part in _SPLIT.split(text) for score in _of_part(part, lexicon)]


def _of_title(title: str, movement: str, part: str, lexicon: Lexicon) -> Score | None:
    """The one score of a part told by its title or its movement."""
    scores = _of_part(plain(part, lexicon), lexicon)
    if len(scores) != 1:
        return None
    scores[0].label, scores[0].of = title or scores[0].label, movement or scores[0].of
    return scores[0]


def _of_part(part: str, lexicon: Lexicon) -> list[Score]:
    """The score of one part of the day, with its label."""
    if not part.strip():
        return []
    label = ""
    named = _PART.match(part + " ")
    if named is not None and not re.match(r"\s*[0-9]+:[0-9]", part):
        label = (named.group(1) or named.group(2) or named.group(3)).upper()
        part = plain(part[named.end() :], lexicon)
    pieces = part.split(";") if label else [part]
    found = [score for score in (one_score(piece, lexicon) for piece in pieces if piece.strip()) if score is not None]
    for score in found:
        score.label = label
    return found


def _without_breaks(text: str, lexicon: Lexicon) -> tuple[str, int | None]:
    """`7:55, 4 breaks`: how often the work was broken off, and the rest of the result."""
    items = items_of(text, lexicon)
    for at, item in enumerate(items[:-1]):
        if item.kind == "number" and "breaks" in items[at + 1].roles and item.value.is_integer():
            start = next(
                (i.end for i in reversed(items[:at]) if i.kind in ("comma", "semicolon", "sdash", "open")), None
            )
            if start is None and at:
                continue
            return f"{text[: max(0, (start or 0) - 1)]}{text[items[at + 1].end :].lstrip(' )')}", int(item.value)
    return text, None


_PARTS_OF_LISTS = re.compile(r"\s*[0-9]+(?:,[0-9]+)+\s*(?:(?:[;|\n]|\s/\s)\s*[0-9]+(?:,[0-9]+)+\s*)+")


def _with_short_lists(text: str) -> str:
    """`8,8,7,6; 12,11`: beside a list of several figures one of two is a list as well, no decimal."""
    if not _PARTS_OF_LISTS.fullmatch(text) or not CHAIN.search(text):
        return text
    parts = [part.strip().split(",") for part in re.split(r"[;|\n]|\s/\s", text)]
    near = all(2 * int(two) >= int(one) for one, two in (part for part in parts if len(part) == 2))
    return "; ".join(", ".join(part) for part in parts) if near else text


def _own_part(text: str, lexicon: Lexicon) -> str:
    """`team 9+0, own 5+0`: of a team's score and one's own, one's own."""
    parts = re.split(r"\s*[,;/]\s*", text)
    if len(parts) != 2:
        return text
    one, two = ({role for item in items_of(part, lexicon) for role in item.roles} for part in parts)
    for mine, other, part in ((one, two, parts[0]), (two, one, parts[1])):
        both = not other.isdisjoint(("team", "total")) or (_is_rounds(parts, part) and (len(mine) > 1 or "+" in part))
        if "own" in mine and both and "own" not in other:
            return f"{part} rounds" if "rounds" in other and "rounds" not in mine and "+" not in part else part
    return text


def _is_rounds(parts: list[str], own: str) -> bool:
    """Is the part beside one's own the rounds of the team?"""
    return any(re.fullmatch(r"\s*[0-9]+\s*\+\s*[0-9]+\s*", part) for part in parts if part is not own)


def _own_behind_time(text: str, lexicon: Lexicon) -> Score | None:
    """`21:00, own: 55 cal, 38 wall balls`: the time of the team, then what one did oneself."""
    items = items_of(text, lexicon)
    at = next((at for at, item in enumerate(items) if "own" in item.roles), None)
    if at is None or not any(item.kind == "clock" for item in items[:at]):
        return None
    behind = items[at + 1 :]
    if any(item.kind == "clock" for item in behind) or not any(item.kind == "movement" for item in behind):
        return None
    told = named_amounts([item for item in behind if item.kind != "plus"])
    if told is not None:
        told.own = True
    return told
