"""The words of the whiteboard: which role a phrase plays in which language, which unit, which number, which movement.

All of it is data (`words/*.toml` and the catalogue's names); a phrase is found by walking a tree of its folded words.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any

from keelmark.catalogue import Catalogue, fold
from keelmark.catalogue.wording import LANGUAGES, shipped_wording
from keelmark.notation.trade import trade

__all__ = ["Lexicon", "Role", "Unit", "lexicon_for"]

_ROLE_ORDER = (
    "per_hand",
    "per_side",
    "single_arm",
    "amrap",
    "emom",
    "rounds_for_time",
    "for_time",
    "not_for_time",
    "rest_day",
    "into_rung",
    "through_round",
    "after_round",
    "in_round",
    "open_end",
    "and_so_on",
    "max",
    "rest",
    "scaled",
    "skip",
    "in_turn",
    "share",
    "team_of",
    "team",
    "buy_in",
    "cash_out",
    "top_set",
    "drop_set",
    "build",
    "heavy",
    "each_break",
    "after_each",
    "before_each",
    "between",
    "per_set",
    "per_round",
    "cap",
    "every",
    "warm_up",
    "cool_down",
)


Role = tuple[int, tuple[str, ...], float | None]
"""How many words a phrase has, its roles, and the number that it says."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: what it measures, its factor to kg, cm, m, s or cal, and whether it is too unusual to trust."""

    measure: str
    name: str
    factor: float
    odd: bool


class Lexicon:
    """Everything that gives words a meaning, made ready for looking up.

    Parameters
    ----------
    catalogue : Catalogue
        Whose movements and names are read.
    """

    def __init__(self, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self.names = catalogue.names
        self.units: dict[str, Unit] = {}
        self.numbers: dict[str, dict[str, float]] = {}
        self._roles: dict[str, dict[str, tuple[str, ...]]] = {}
        self._longest: dict[str, int] = {}
        self._seconds: dict[str, set[str]] = {}
        self._alone: dict[tuple[str, str | None], Role | None] = {}
        self._likely: dict[str, str | None] = {}
        self._doubts: dict[tuple[str, str | None], tuple[str, ...] | None] = {}
        self._found_names: dict[tuple[str | None, tuple[str, ...]], tuple[str, int] | None] = {}
        spoken = [
            fold(name).split() for names in self.names.spoken.values() for many in names.values() for name in many
        ]
        self.figures = frozenset(word for name in spoken for word in name if word.isdigit())
        self.figured_first: dict[str, set[str]] = {}
        for name in spoken:
            if len(name) > 1 and name[0].isdigit():
                self.figured_first.setdefault(name[0], set()).add(name[1])
        folder = files("keelmark.notation") / "words"
        self._read_units(tomllib.loads((folder / "units.toml").read_text(encoding="utf-8")))
        idle: set[str] = set()
        headers = tomllib.loads((folder / "columns.toml").read_text(encoding="utf-8"))
        self.columns = {fold(word): column for column, words in headers.items() for word in words}
        common: dict[str, set[str]] = {}
        for language in LANGUAGES:
            table = tomllib.loads((folder / f"{language}.toml").read_text(encoding="utf-8"))
            for word in table.pop("common"):
                common.setdefault(word, set()).add(language)
            self._read_numbers(language, table.pop("numbers"), table.pop("number_rule"))
            idle.update(fold(word) for word in table.pop("idle"))
            self._read_roles(language, table)
        self._telling = self._telling_words(common)
        self._common = common
        self.minutes = frozenset(
            word for word, by in self._roles.items() if any("minute" in roles for roles in by.values())
        )
        self.idle = frozenset(idle)
        self.connectors = frozenset(
            word for word, by in self._roles.items() if len(word) <= 3 and any("and" in roles for roles in by.values())
        )
        for phrase in (*self._roles, *self.numbers):
            first, *behind = phrase.split(" ")
            self._longest[first] = max(len(behind) + 1, self._longest.get(first, 0))
            self._seconds.setdefault(first, set()).update(behind[:1])
        self.first_words = frozenset((*self._longest, *self.names.first_words))

    def language(self, words: list[str]) -> str | None:
        """The language that most telling words belong to, or None without any."""
        tally: dict[str, int] = {}
        telling = self._telling
        for word in words:
            for language, weight in telling.get(word, ()):
                tally[language] = tally.get(language, 0) + weight
        if not tally:
            return None
        return max(tally, key=lambda language: (tally[language], language == "en"))

    def role(self, words: list[str], at: int, language: str | None) -> Role | None:
        """The longest phrase with a role, or a number word, that begins at a word: its words, roles and number."""
        first = words[at]
        longest = self._longest.get(first)
        if longest is None:
            return None
        if longest > 1 and at + 1 < len(words) and words[at + 1] in self._seconds[first]:
            for count in range(min(longest, len(words) - at), 1, -1):
                found = self._role_of(" ".join(words[at : at + count]), count, language)
                if found is not None:
                    return found
        key = (first, language)
        if key not in self._alone:
            self._alone[key] = self._role_of(first, 1, language)
        return self._alone[key]

    def _role_of(self, phrase: str, count: int, language: str | None) -> Role | None:
        """What a phrase of so many words means, where it means anything in the language."""
        by_language = self._roles.get(phrase)
        if by_language is not None:
            roles = _in_language(by_language, language, phrase)
            if roles:
                return count, roles, None
        number = self.numbers.get(phrase)
        if number is not None and (language in number or (language is None or len(phrase) > 4)):
            return count, ("number",), next(iter(number.values()))
        return None

    def movement(self, words: list[str], at: int, language: str | None) -> tuple[str, int] | None:
        """The longest movement name that begins at a word, as canonical name and number of words."""
        if words[at] not in self.names.first_words:
            return None
        key = (language, tuple(words[at : at + 7]))
        if key in self._found_names:
            return self._found_names[key]
        if len(self._found_names) > 60000:
            self._found_names.clear()
        found = self.names.longest(key[1], 0, language)
        beside = words[at] in self.names.modifiers and words[at] in self._roles and len(key[1]) > 1
        if found is not None and beside and self.names.longest(key[1], 1, language) == (found[0], found[1] - 1):
            found = None
        found = self._stricter(key[1], found)
        self._found_names[key] = found
        return found

    def _stricter(self, words: tuple[str, ...], found: tuple[str, int] | None) -> tuple[str, int] | None:
        """`strict Klimmzüge`: the word in front makes it a movement of its own, where there is one."""
        stricter = trade()["stricter"]
        if found is None or found[1] < 2 or words[0] not in stricter["words"]:
            return found
        name = stricter["before"] + found[0]
        return (name, found[1]) if name in self.catalogue.movements else found

    def is_common(self, word: str, language: str | None) -> bool:
        """Is it one of the small words of the text's language?"""
        return language in self._common.get(word, ())

    def doubt(self, word: str, language: str | None) -> tuple[str, ...] | None:
        """The movements that a name can mean, or None where it means one only; what was asked before is remembered."""
        key = (word, language)
        if key not in self._doubts:
            if len(self._doubts) > 20000:
                self._doubts.clear()
            self._doubts[key] = self.names.doubt(word, language)
        return self._doubts[key]

    def foreign(self, word: str) -> str | None:
        """The part a word plays in the minutes of a rotation in another language than the text's, or None."""
        by_language = self._roles.get(word)
        if by_language is None:
            return None
        return next((role for roles in by_language.values() for role in roles if role in ("odd", "even")), None)

    def likely(self, text: str) -> str | None:
        """The movement meant by a slip of typing, or None; what was asked before is remembered."""
        if text not in self._likely:
            if len(self._likely) > 20000:
                self._likely.clear()
            self._likely[text] = self.names.likely(text)
        return self._likely[text]

    def reps_named(self, words: list[str]) -> float | None:
        """How many repetitions a phrase such as `heavy double` names."""
        for word in words:
            for roles in self._roles.get(word, {}).values():
                for role, reps in (("single", 1.0), ("double", 2.0), ("triple", 3.0)):
                    if role in roles:
                        return reps
        return None

    def _read_units(self, table: dict[str, Any]) -> None:
        for measure, units in table.items():
            for name, unit in units.items():
                for written in unit["names"]:
                    self.units.setdefault(written, Unit(measure, name, unit["factor"], unit.get("odd", False)))

    def _read_numbers(self, language: str, table: dict[str, list[str]], rules: list[str]) -> None:
        known = {float(value): words for value, words in table.items()}
        written = [(word, value) for value, words in known.items() for word in words]
        for tens in range(20, 100, 10):
            for ones in range(1, 20 if language == "fr" else 10):
                for rule in rules:
                    for ten in known.get(tens, ()):
                        for one in known.get(ones, ()):
                            written.append((rule.format(tens=ten, ones=one), float(tens + ones)))
        for word, value in written:
            self.numbers.setdefault(fold(word), {}).setdefault(language, value)

    def _read_roles(self, language: str, table: dict[str, list[str]]) -> None:
        for role, phrases in table.items():
            for phrase in phrases:
                folded = _as_read(phrase, language)
                if not folded or folded.isdigit():
                    continue
                by_language = self._roles.setdefault(folded, {})
                roles = {*by_language.get(language, ()), role}
                by_language[language] = tuple(sorted(roles, key=_role_rank))

    def _telling_words(self, common: dict[str, set[str]]) -> dict[str, tuple[tuple[str, int], ...]]:
        seen: dict[str, set[str]] = {word: set(languages) for word, languages in common.items()}
        for phrase, by_language in self._roles.items():
            if " " not in phrase and len(phrase) > 3:
                seen.setdefault(phrase, set()).update(by_language)
        for language, names in self.names.spoken.items():
            for written in names.values():
                for name in written:
                    for word in fold(name).split():
                        if len(word) > 3:
                            for form in (word, *shipped_wording().plurals_of(word, language)):
                                seen.setdefault(form, set()).add(language)
        telling: dict[str, tuple[tuple[str, int], ...]] = {}
        for word, languages in seen.items():
            if languages == {"en"}:
                telling[word] = (("en", 4 if word in common else 1),)
            elif "en" not in languages and len(languages) <= 2:
                telling[word] = tuple((language, 4 // len(languages)) for language in sorted(languages))
        return telling


_ONLY_IN_SCORES = frozenset(
    ["about", "after_movement", "breaks", "deduct", "during", "last_set", "lowest", "others", "remaining"]
)


def _role_rank(role: str) -> tuple[int, str]:
    if role in _ONLY_IN_SCORES:
        return (len(_ROLE_ORDER) + 1, role)
    return (_ROLE_ORDER.index(role) if role in _ROLE_ORDER else len(_ROLE_ORDER), role)


def _in_language(by_language: dict[str, tuple[str, ...]], language: str | None, phrase: str) -> tuple[str, ...]:
    if language in by_language:
        return by_language[language]
    if "en" in by_language:
        return by_language["en"]
    if language is None or len(phrase) > 5 or " " in phrase:
        return next(iter(by_language.values()))
    return ()


def _as_read(phrase: str, language: str) -> str:
    """A phrase as its words come out of the tokens: elided articles gone, English contractions closed up."""
    words: list[str] = []
    for word in _words(phrase):
        if language == "en" and word in ("s", "t") and words and len(words[-1]) > 2:
            words[-1] += word
        elif language == "fr" and word == "a" and words and words[-1] == "jusqu":
            words[-1] = "jusqua"
        elif language == "fr" and word == "hui" and words and words[-1] == "aujourd":
            words[-1] = "aujourdhui"
        else:
            words.append(word)
    if language == "fr":
        words = [word for place, word in enumerate(words) if word not in ("l", "d", "c") or place == len(words) - 1]
    return " ".join(words)


def _words(phrase: str) -> Iterator[str]:
    yield from fold(phrase).split()


@lru_cache(maxsize=4)
def lexicon_for(catalogue: Catalogue) -> Lexicon:
    """The lexicon of a catalogue, built once."""
    return Lexicon(catalogue)
