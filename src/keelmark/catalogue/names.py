"""From the name somebody wrote to the canonical name of a movement."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from importlib.resources import files

from rapidfuzz import fuzz, process
from rapidfuzz.distance import OSA

from keelmark.catalogue.wording import (
    LANGUAGES,
    Generic,
    Wording,
    fold,
    fold_umlauts_written_out,
    has_umlaut,
    shipped_wording,
)
from keelmark.contracts.errors import CatalogueError

__all__ = ["Claim", "NameIndex", "Spoken", "fold"]

Spoken = Mapping[str, Mapping[str, Sequence[str]]]
"""Language to canonical name to written names, the label first."""


_SHORTEST, _TWO_SLIPS = 5, 8
"""Letters that a slip of typing is looked up with, and from how many on two slips are allowed."""
_LONGEST_CHAIN = 4  # plural of a spelling of a plural, and one to spare


@dataclass(frozen=True, slots=True)
class Claim:
    """A name that two movements lay claim to in one language."""

    name: str
    language: str
    movement: str
    other: str


class NameIndex:
    """All names of all movements in all languages.

    A name is found in any case, with or without accents, hyphens and dots, umlauts written out or not, as one word or
    several, in the singular or the plural, and with modifiers ("weighted", "strict") beside it.

    Parameters
    ----------
    spoken : dict of language to dict of canonical name to names
        Names of all movements, a squad's own among them. The first name of each list is the label in that language.
    wording : Wording, optional
        Rules of matching; those inside the package unless given.

    Attributes
    ----------
    max_words : int
        Words of the longest name, modifiers not counted.
    first_words : frozenset of str
        Folded words with which a name, generic word or modifier can begin.
    modifiers : frozenset of str
        Folded words beside a name that leave the movement what it is.
    claims : list of Claim
        Names that two movements lay claim to; empty in a sound catalogue.
    """

    def __init__(self, spoken: Spoken, wording: Wording | None = None) -> None:
        self.spoken = spoken
        self.claims: list[Claim] = []
        self._wording = wording or shipped_wording()
        self._languages = {language: self._read(language) for language in dict.fromkeys((*LANGUAGES, *spoken))}
        self._order: dict[str | None, tuple[_Language, ...]] = {None: tuple(self._languages.values())}
        for name, language in self._languages.items():
            others = (other for other in self._languages.values() if other is not language)
            self._order[name] = (language, *others)
        self.modifiers = self._wording.modifiers
        self.max_words = max((language.max_words for language in self._languages.values()), default=0)
        self.first_words = self.modifiers.union(*(language.first_words() for language in self._languages.values()))

    @cached_property
    def prefixes(self) -> frozenset[str]:
        """Folded words, joined by a space, that begin some longer name as it is kept (its plurals are not in here)."""
        return frozenset[str]().union(*(language.prefixes for language in self._languages.values()))

    @cached_property
    def _written(self) -> dict[str, str]:
        return {name: movement for language in self._languages.values() for name, movement in language.written}

    @cached_property
    def _joined(self) -> dict[str, tuple[str, int]]:
        """Names without blanks: the movement, and the number of their words."""
        return {
            name.replace(" ", ""): (movement, name.count(" ") + 1) for name, movement in self._written.items() if name
        }

    def find(self, text: str, language: str | None = None) -> str | None:
        """The canonical name for a written one, or None when nobody writes it so.

        A generic word gives the movement it is read as; ask `doubt` whether it is one. The language given goes first,
        the others follow.
        """
        reading = self._reading(text, language)
        return reading.reads_as if isinstance(reading, Generic) else reading

    def owner(self, text: str) -> str | None:
        """The movement that has this very name in any language: no modifier set aside, no generic word read."""
        words = fold(text).split()
        for one in self._order[None]:
            found = one.whole(words)
            if isinstance(found, str):
                return found
        return None

    def longest(self, words: Sequence[str], start: int = 0, language: str | None = None) -> tuple[str, int] | None:
        """The longest name that begins at `words[start]`, as its canonical name and its number of words.

        `words` are folded. Modifiers in front of the name are counted with it; those after it are not.
        """
        at = start
        while at < len(words) and words[at] in self.first_words:
            best = self._longest_here(words, at, language)
            if best is not None:
                return best[0], at - start + best[1]
            if words[at] not in self.modifiers:
                return None
            at += 1
        return None

    def doubt(self, text: str, language: str | None = None) -> tuple[str, ...] | None:
        """All movements that a generic word could be, or None when the text can mean one movement only."""
        reading = self._reading(text, language)
        return reading.could_be if isinstance(reading, Generic) and len(reading.could_be) > 1 else None

    def nearest(self, text: str, count: int = 3) -> list[str]:
        """Canonical names whose written names look most like the text, best first."""
        return list(dict.fromkeys(movement for _, movement, _ in self._alike(text, 8 * count)))[:count]

    def likely(self, text: str) -> str | None:
        """The movement meant by a slip of typing, or None when that is not plain.

        Plain means: at least 5 letters, the first of them right, one slip (a letter wrong, missing, doubled or two
        changed round) up to 7 letters and two from 8 on (in as many words), blanks and a plural not counted, and no
        other movement as near.
        """
        found = self._slips(text)
        return found[0][1] if found and all(movement == found[0][1] for _, movement, _ in found) else None

    def label(self, canonical: str, language: str = "en") -> str:
        """The name to show, in the language asked for or else in English."""
        for wanted in (language, "en"):
            names = self.spoken.get(wanted, {}).get(canonical)
            if names:
                return names[0]
        return canonical.replace("_", " ")

    def check(self, movements: Iterable[str]) -> None:
        """Refuse names that two movements claim, and names of movements that are not in the catalogue.

        Raises
        ------
        CatalogueError
            For the first fault, with its file, line and field.
        """
        for claim in self.claims:
            raise CatalogueError(
                f'the name "{claim.name}" belongs to {claim.other} already',
                where=_place(f"languages/{claim.language}.toml", claim.language, claim.movement),
                wanted="each name for one movement only in one language",
                remedy="take the name out of one of the two lists, or list it as a generic word",
            )
        known = frozenset(movements)
        for source, language, movement in self._named():
            if movement not in known:
                raise CatalogueError(
                    f"names are given for {movement}, which is no movement of the catalogue",
                    where=_place(source, language, movement),
                    wanted="the canonical name of a movement",
                    remedy="add the movement, or correct the name",
                )

    def _named(self) -> Iterator[tuple[str, str, str]]:
        for language, names in self.spoken.items():
            yield from ((f"languages/{language}.toml", language, movement) for movement in names)
        for language, words in self._wording.generic.items():
            for generic in words.values():
                yield from (("languages/generic.toml", language, m) for m in (generic.reads_as, *generic.could_be))

    def _read(self, language: str) -> _Language:
        entries = [(name, movement) for movement, names in self.spoken.get(language, {}).items() for name in names]
        if language == "en":
            entries += [(movement.replace("_", " "), movement) for names in self.spoken.values() for movement in names]
        read = _Language(language, self._wording, dict.fromkeys(entries))
        self.claims.extend(read.claims)
        return read

    def _reading(self, text: str, language: str | None) -> Generic | str | None:
        words = fold(text).split()
        order = self._order.get(language, self._order[None])
        while words:
            for spelling in (words, ["".join(words)]):
                for one in order:
                    found = one.whole(spelling)
                    if found is not None:
                        return found
            if words[-1] in self.modifiers:
                words.pop()
            elif words[0] in self.modifiers:
                del words[0]
            else:
                return None
        return None

    def _longest_here(self, words: Sequence[str], at: int, language: str | None) -> tuple[str, int] | None:
        best: tuple[str, int] | None = None
        for one in self._order.get(language, self._order[None]):
            found = one.longest(words, at)
            if found is not None and (best is None or found[1] > best[1]):
                best = found
        return best

    def _slips(self, text: str) -> list[tuple[str, str, float]]:
        """Names at the least number of slips from a text: name without blanks, movement, number of slips."""
        words = fold(text).split()
        spelled = [self._wording.spellings.get(word, word) for word in words]
        best: list[tuple[str, str, float]] = []
        joined = ("".join(words), "".join(spelled), "".join(word.removesuffix("s") for word in words))
        for form in dict.fromkeys((*joined, *(form.removesuffix("s") for form in joined))):
            if len(form) < _SHORTEST:
                continue
            allowed = 1 if len(form) < _TWO_SLIPS else 2
            near = process.extract(form, self._joined.keys(), scorer=OSA.distance, score_cutoff=allowed, limit=12)
            best += [
                (name, self._joined[name][0], slips)
                for name, slips, _ in near
                if name[0] == form[0] and (slips < 2 or self._joined[name][1] == len(words))
            ]
        least = min((slips for _, _, slips in best), default=0.0)
        return [found for found in best if found[2] == least]

    def _alike(self, text: str, limit: int) -> list[tuple[str, str, float]]:
        found = process.extract(fold(text), self._written.keys(), scorer=fuzz.ratio, limit=limit)
        return [(name, self._written[name], score) for name, score, _ in found]


class _Language:
    """The names of one language, and the table that makes written words the words names are kept in."""

    def __init__(self, language: str, wording: Wording, entries: Iterable[tuple[str, str]]) -> None:
        self.language = language
        self.generic = wording.generic.get(language, {})
        self.claims: list[Claim] = []
        self._wording = wording
        self._words: dict[str, str] = {}
        self._names: dict[str, str] = {}
        folded = [(fold(name), name, movement) for name, movement in entries]
        for text, name, _ in folded:
            self._learn(text, name)
        self._settle_words()
        for text, name, movement in folded:
            self._claim(text, name, movement)
        self.written = [(text, movement) for text, _, movement in folded]
        for text, _, movement in folded:
            if " " in text:
                self._names.setdefault(self._words[text.replace(" ", "")], movement)
        self.prefixes: set[str] = set()
        self.max_words = 0
        for key in (*self._names, *self.generic):
            words = 1
            at = key.find(" ")
            while at > 0:
                self.prefixes.add(key[:at])
                at = key.find(" ", at + 1)
                words += 1
            self.max_words = max(self.max_words, words)

    def whole(self, words: Sequence[str]) -> Generic | str | None:
        """The movement that these folded words name, all of them together, or the generic word they are."""
        written = " ".join(words)
        if written in self.generic:
            return self.generic[written]
        get = self._words.get
        return self._names.get(" ".join([get(word, word) for word in words]))

    def longest(self, words: Sequence[str], at: int) -> tuple[str, int] | None:
        """The movement named by most of the folded words from `at` on, and how many they are."""
        best: tuple[str, int] | None = None
        get = self._words.get
        standard = written = ""
        for count, word in enumerate(words[at : at + self.max_words], start=1):
            standard = f"{standard} {get(word, word)}" if standard else get(word, word)
            written = f"{written} {word}" if written else word
            if written in self.generic:
                best = self.generic[written].reads_as, count
            elif standard in self._names:
                best = self._names[standard], count
            if standard not in self.prefixes and written not in self.prefixes:
                break
        return best

    def first_words(self) -> frozenset[str]:
        """Folded words, in every form known, with which a name or generic word begins."""
        first = {key.partition(" ")[0] for key in self._names}
        return frozenset(first | {word for word, standard in self._words.items() if standard in first}).union(
            word.partition(" ")[0] for word in self.generic
        )

    def _learn(self, folded: str, name: str) -> None:
        """Put the plurals of a name's words, and their umlauts written out, into the table of words."""
        written_out = fold_umlauts_written_out(name) if has_umlaut(name) else folded
        pairs = [(folded.replace(" ", ""), written_out.replace(" ", ""))]
        if " " in folded:
            pairs.extend(zip(folded.split(), written_out.split(), strict=True))
        words = self._words
        for word, other in pairs:
            if word in words:
                continue
            words[word] = word
            words.setdefault(other, word)
            for form in (word,) if other == word else (word, other):
                for plural in self._wording.plurals_of(form, self.language):
                    if words.get(plural, plural) == plural:
                        words[plural] = word

    def _settle_words(self) -> None:
        """Point every word at its last standard word: a plural of a plural, a spelling of a plural."""
        words = self._words
        words |= self._wording.spellings
        for word, standard in words.items():
            for _ in range(_LONGEST_CHAIN):
                following = words.get(standard, standard)
                if following == standard:
                    break
                standard = following
            words[word] = standard

    def _standard(self, folded: str) -> str:
        return " ".join([self._words.get(word, word) for word in folded.split()])

    def _claim(self, folded: str, name: str, movement: str) -> None:
        holder = self._names.setdefault(self._standard(folded), movement)
        if holder != movement:
            self.claims.append(Claim(name, self.language, movement, holder))


def _place(source: str, language: str, movement: str) -> str:
    """File, line where it can be told, and field of a movement's names."""
    text = (files("keelmark.catalogue") / source).read_text(encoding="utf-8")
    for number, line in enumerate(text.splitlines(), start=1):
        if movement in line:
            return f"{source}, line {number}, field {language}.{movement}"
    return f"names of the squad, field {language}.{movement}"
