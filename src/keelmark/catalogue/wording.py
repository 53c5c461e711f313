"""How words are compared: one folded form for all ways to write them, and the rules of each language as data."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

__all__ = ["LANGUAGES", "Generic", "Wording", "fold", "fold_umlauts_written_out", "has_umlaut", "shipped_wording"]

LANGUAGES = ("en", "de", "es", "fr", "pt")

_DROPPED = dict.fromkeys(map(ord, "'’‘`´ʼ′\u00ad\u200b\ufeff"))
_SPACED = dict.fromkeys(map(ord, '-_‐‑‒–—―−/|,:;!?()[]{}<>"“”„«»*'), " ")
_LETTERS: dict[int, str | None] = {**_DROPPED, **_SPACED, ord("&"): " and ", ord("ø"): "o", ord("œ"): "oe"}
_WRITTEN_OUT = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "Ä": "ae", "Ö": "oe", "Ü": "ue"})
_UMLAUT = re.compile("[äöüÄÖÜ]|[aouAOU]\u0308")
_DOT_BETWEEN_WORDS = re.compile(r"(?<=\w\w)\.(?=\w)")


def fold(text: str) -> str:
    """Text as names are compared: lower case, without accents, apostrophes and dots, one space between words.

    Hyphens, underscores, slashes, commas and brackets part words; `&` is the word "and"; ß is ss. Folding a folded
    text changes nothing.
    """
    if not text.isascii():
        text = _bare_letters(_bare_letters(text.translate(_DROPPED)).casefold())
    text = text.lower().translate(_LETTERS)
    if "." in text:
        text = _DOT_BETWEEN_WORDS.sub(" ", text).replace(".", "")
    return " ".join(text.split())


def _bare_letters(text: str) -> str:
    """Letters without their accents, in the plainest form that Unicode knows."""
    if text.isascii():
        return text
    return "".join([c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c)])


def has_umlaut(text: str) -> bool:
    """Whether there is a letter that `fold_umlauts_written_out` would write otherwise than `fold`."""
    return _UMLAUT.search(text) is not None


def fold_umlauts_written_out(text: str) -> str:
    """Like `fold`, with ä, ö and ü written ae, oe and ue."""
    return fold(unicodedata.normalize("NFC", text).translate(_WRITTEN_OUT))


@dataclass(frozen=True, slots=True)
class Generic:
    """A word that several movements go by: the one it is read as, and all that it could be."""

    reads_as: str
    could_be: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Wording:
    """The rules by which written words are matched.

    `plurals` holds, per language and last letter, pairs of a folded ending and its plural, the longest ending first;
    letters without a rule of their own have the pairs under "". `spellings` maps a folded word to the word
    it stands for. `modifiers` are words beside a name that leave the movement what it is. `generic` holds, per
    language, the folded words that could be several movements, matched as they stand and not by their plural.
    """

    plurals: Mapping[str, Mapping[str, tuple[tuple[str, str], ...]]]
    spellings: Mapping[str, str]
    modifiers: frozenset[str]
    generic: Mapping[str, Mapping[str, Generic]]

    def plurals_of(self, word: str, language: str) -> list[str]:
        """Every plural of a folded word that the rules with its longest fitting ending allow."""
        if len(word) < 2 or language not in self.plurals:
            return []
        by_letter = self.plurals[language]
        found: list[str] = []
        longest = 0
        for ending, plural in by_letter.get(word[-1], by_letter[""]):
            if len(ending) < longest:
                break
            if word.endswith(ending):
                longest = len(ending)
                found.append(word[: len(word) - longest] + plural)
        return found


@cache
def shipped_wording() -> Wording:
    """The rules inside the package."""
    folder = files("keelmark.catalogue") / "languages"
    rules = tomllib.loads((folder / "rules.toml").read_text(encoding="utf-8"))
    generic = tomllib.loads((folder / "generic.toml").read_text(encoding="utf-8"))
    return Wording(
        plurals={language: _folded_rules(pairs) for language, pairs in rules["plurals"].items()},
        spellings={
            form: fold(standard)
            for standard, variants in rules["spellings"].items()
            for variant in variants
            for form in (fold(variant), fold_umlauts_written_out(variant))
        },
        modifiers=frozenset(
            form for word in rules["modifiers"] for form in (fold(word), fold_umlauts_written_out(word))
        ),
        generic={language: _folded_generic(words) for language, words in generic.items()},
    )


def _folded_rules(pairs: list[list[str]]) -> dict[str, tuple[tuple[str, str], ...]]:
    folded = {(way(ending), way(plural)) for ending, plural in pairs for way in (fold, fold_umlauts_written_out)}
    ordered = sorted(folded, key=lambda pair: (-len(pair[0]), pair))
    letters = {ending[-1:] for ending, _ in ordered} | {""}
    return {letter: tuple(pair for pair in ordered if pair[0][-1:] in ("", letter)) for letter in letters}


def _folded_generic(words: Mapping[str, Mapping[str, object]]) -> dict[str, Generic]:
    found = {}
    for word, entry in words.items():
        could_be = entry["could_be"]
        assert isinstance(could_be, list)
        generic = Generic(str(entry["reads_as"]), tuple(could_be))
        found[fold(word)] = found[fold_umlauts_written_out(word)] = generic
    return found
