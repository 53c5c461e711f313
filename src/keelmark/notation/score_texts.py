"""A result made plain before it is read: the own one of several people's, without sums and efforts."""

from __future__ import annotations

import re

from keelmark.catalogue import fold
from keelmark.notation.lexicon import Lexicon

__all__ = ["of_person", "parts_of", "plain", "without_sums"]

_EFFORT = re.compile(r"[\s,;/|(@-]*\b(?:rpe|rir)\s*[:=]?\s*[0-9]+(?:[.,]5)?\s*\)?", re.IGNORECASE)
_OUT_OF = re.compile(r"\b([0-9]+)\s*(?:/|out of|of|von|de|sur|em)\s*([0-9]+)\s+([^\W\d_]+)", re.IGNORECASE)
_PLACE = re.compile(
    r",?\s*(?:(?:in)?to|of|in|on)\s+the\s+([0-9]+)(?:st|nd|rd|th)(?:\s+(?:round|one|lap))?\s*$", re.IGNORECASE
)
_EXACT = re.compile(r"^[^:0-9]*[0-9]+[^:0-9]*:\s*(?=[0-9]+\s*\+\s*[0-9]+\s*$)")
"""`just short of 8: 7 + 26`: the exact count stands behind the colon."""
_FIGURE = re.compile(r"[0-9]+(?:[.,][0-9]+)?")
_MISS_BEHIND = re.compile(
    r"\b([0-9]+(?:[.,][0-9]+)?)\s*(kg|lbs?)?\s*"
    r"(?:\(\s*(?:miss(?:ed)?|fail(?:ed)?|no[ -]?lift|nl|x|f|✗|✘)\s*\)|(?:[xXfF✗✘])\s*$)",
    re.IGNORECASE,
)
"""`65 (f)`, `65x` at the end: tried and not lifted."""
_IN_MINUTE = re.compile(
    r"\b(?:in(?:to)?|en(?: el)?|dans la|à la|pendant la|no|durante o)\s+min(?:uten?|utos?|\.)?\s+(?=[0-9])",
    re.IGNORECASE,
)
"""`got 5 reps in minute 9`: the round that was begun."""
_RUNG_AS_NAME = re.compile(
    r"\b([0-9]+)er(?:[\s-]*(?:runde|satz|serie|stufe)\b|(?=\s+(?:fertig|geschafft|komplett)))", re.IGNORECASE
)
"""`12er-Runde fertig`: the round of twelve, not twelve rounds."""
_RIGHT_PART = re.compile(r"[0-9]+\s*\+\s*[0-9]+")
_ROUNDS_ALONE = re.compile(
    r"(?:\s|[,;/|&:)(=#.-]|[0-9]{1,2}\s*[:).=]|\b(?:rounds?|rds?|sets?|amraps?|scores?|runden?|rondas?|tours?|voltas?"
    r"|series?|and|und|y|e|et|then|r)\b(?:\s*#?[0-9]{1,2}\s*(?:[:).=]|(?=\s)))?)*",
    re.IGNORECASE,
)
_LABEL = (
    r"(?:\b(?:part|teil|parte|partie|bloque|bloc|bloco|block)\s+)?(?<![\w.])(?:[A-Fa-f][1-3]?\s*[:).=]|[A-F][1-3]?)"
    r"(?=\s*[0-9a-zA-Z])"
)
_LABELS = re.compile(_LABEL)
_NAME = re.compile(r"(?<![\w])[A-ZÀ-ÖØ-Þ][a-zß-öø-ÿ]+(?=\s*(?:[:=–-]\s*)?(?:[0-9A-F]|$))")


def plain(text: str, lexicon: Lexicon) -> str:
    """One part of a result without what says nothing of the work: efforts, sums, how many rounds there were to do."""
    text = _IN_MINUTE.sub("in round ", _EXACT.sub("", _EFFORT.sub("", text)))
    text = _RUNG_AS_NAME.sub(r"Runde der \1", text)
    text = _OUT_OF.sub(lambda found: _done_of(found, lexicon), text)
    text = _MISS_BEHIND.sub(lambda found: f"missed {found[1]} {found[2] or ''}".strip(), text)
    text = without_sums(text)
    place = _PLACE.search(text)
    if place is not None and any(float(n) + 1 == float(place[1]) for n in re.findall(r"[0-9]+", text[: place.start()])):
        text = text[: place.start()]
    return _rounds_apart(text)


def _done_of(found: re.Match[str], lexicon: Lexicon) -> str:
    """`2 of 3 rounds`: two of them."""
    role = lexicon.role([fold(found[3])], 0, None)
    if role is None or "rounds" not in role[1] or int(found[1]) > int(found[2]):
        return found[0]
    return f"{found[1]} {found[3]}"


def _rounds_apart(text: str) -> str:
    """`1) 2+9 2) 2+7`, `rounds 2+9 / 2+7`: rounds and reps of each turn, apart by semicolons."""
    told = _RIGHT_PART.findall(text)
    if len(told) < 2 or ";" in text:
        return text
    rest = _RIGHT_PART.split(text)
    if any(_ROUNDS_ALONE.fullmatch(piece) is None for piece in rest) or "+" in "".join(rest):
        return text
    return "; ".join(told)


_IN_BRACKET = re.compile(r"^(?P<ahead>.*?)\s*\(\s*=?\s*(?P<inside>[^()]*)\)\s*$", re.DOTALL)
_EQUALS = re.compile(r"^(?P<ahead>[^=:]*[0-9][^=:]*?)\s*=\s*(?P<inside>[^=:]*)$")
_ONE_TOTAL = re.compile(r"[^0-9+/,-]*([0-9]+)[^0-9+/,-]*")
_TOTAL_WORDS = frozenset(["total", "sum", "gesamt", "insgesamt", "summe", "suma", "totales", "soma", "totals"])


def without_sums(text: str) -> str:
    """`4+18 (198)`, `25 total (10/8/7)`, `10, 8, 7 = 25`: only what is told figure by figure."""
    found = _IN_BRACKET.match(text) or _EQUALS.match(text)
    if found is None:
        return text
    for several, one in ((found["ahead"], found["inside"]), (found["inside"], found["ahead"])):
        total = _ONE_TOTAL.fullmatch(one)
        figures = [float(figure.replace(",", ".")) for figure in _FIGURE.findall(several)]
        if total is None or len(figures) < 2:
            continue
        if "+" in several and float(total[1]) > 2 * max(figures):
            return several
        listed = [float(figure) for figure in re.findall(r"[0-9]+", several)]
        if len(listed) > 1 and sum(listed) == float(total[1]):
            return several
    return text


def parts_of(text: str) -> list[str]:
    """`A 110 B 6+4 C 10-8-7`: the parts of a day, each with its label; the text alone where it has none."""
    found: list[re.Match[str]] = []
    for label in _LABELS.finditer(text):
        letter = _letter(label)
        known = [_letter(one) for one in found]
        follows = not found or letter > known[-1]
        if follows and (found or label.start() == len(text) - len(text.lstrip())):
            found.append(label)
    if len(found) < 2 or _letter(found[0])[0] != "A":
        return [text]
    ends = [*(label.start() for label in found[1:]), len(text)]
    parts = [text[label.start() : end].strip(" ,;/|.\n\t") for label, end in zip(found, ends, strict=True)]
    return [
        f"{_letter(label)}: {part[label.end() - label.start() :].lstrip(' :).=')}"
        for label, part in zip(found, parts, strict=True)
    ]


def _letter(label: re.Match[str]) -> str:
    return re.sub(r"^.*\s(?=\S)|[\s:).=]", "", label[0].strip(" :).=")).upper()


def of_person(text: str, athlete: str | None, lexicon: Lexicon) -> str:
    """`Lea 5+4 / Jo 6+20`: of several people's results the athlete's own, without the name."""
    if athlete is None or not athlete.strip():
        return text
    names = [name for name in _NAME.finditer(text) if _is_name(name[0], lexicon) or fold(name[0]) == fold(athlete)]
    mine = [at for at, name in enumerate(names) if fold(name[0]) == fold(athlete)]
    if len(mine) != 1:
        return text
    own = names[mine[0]]
    end = names[mine[0] + 1].start() if mine[0] + 1 < len(names) else len(text)
    told = text[own.end() : end].strip(" ,;/|:=\n\t–-&+")
    if any(character.isdigit() for character in told):
        return told
    before = names[mine[0] - 1].end() if mine[0] else 0
    return text[before : own.start()].strip(" ,;/|:=\n\t–-") or text


def _is_name(word: str, lexicon: Lexicon) -> bool:
    """A word in a capital that is none of the whiteboard's."""
    folded = [fold(word)]
    return lexicon.role(folded, 0, None) is None and fold(word) not in lexicon.units
