"""Who a written name belongs to."""

from __future__ import annotations

import unicodedata
from collections import Counter
from collections.abc import Iterable, Sequence

import polars as pl
from rapidfuzz import fuzz, process

from keelmark.contracts.frames import ATHLETE
from keelmark.ingest.words import plain

__all__ = ["People", "look_alikes", "people_from_names", "seen"]

LOOK_ALIKE = 80
RARE_SHARE = 0.1


class People:
    """A roster, asked by name or by id. A name is compared as written without case, then without accents and marks."""

    def __init__(self, athletes: pl.DataFrame) -> None:
        self.frame = ATHLETE.check(athletes, where="roster")
        self._exact: dict[str, str] = {}
        folded: dict[str, set[str]] = {}
        for athlete_id, name in self.frame.select("athlete_id", "name").iter_rows():
            for written in (name, athlete_id):
                self._exact.setdefault(_plain(written), athlete_id)
                folded.setdefault(_bare(written), set()).add(athlete_id)
        self._folded = {written: next(iter(ids)) for written, ids in folded.items() if len(ids) == 1}

    def find(self, name: str) -> str | None:
        """The athlete's id, or None when nobody, or more than one person, is called so."""
        return self._exact.get(_plain(name)) or self._folded.get(_bare(name))

    def suggestion(self, name: str) -> str:
        """A closing hint that names the nearest person of the roster, empty when nobody is near."""
        found = process.extractOne(plain(name), [plain(known) for known in self.frame["name"]], scorer=fuzz.ratio)
        return f"; the nearest name is {self.frame['name'][found[2]]}" if found and found[1] >= 70 else ""


def seen(text: str) -> str:
    """A name without signs that nobody sees or that turn what stands after them, and without doubled spaces."""
    shown = (sign if sign.isspace() or unicodedata.category(sign) not in ("Cc", "Cf") else "" for sign in text)
    return " ".join("".join(shown).split())


def people_from_names(names: Sequence[str]) -> People:
    """Everybody who is named, the commonest spelling as the name shown."""
    spellings = Counter(seen(name) for name in names)
    shown: dict[str, str] = {}
    for spelling, _ in spellings.most_common():
        shown.setdefault(plain(spelling), spelling)
    return People(ATHLETE.build([{"athlete_id": key, "name": name} for key, name in shown.items()]))


def look_alikes(names: Iterable[str]) -> list[tuple[str, str]]:
    """Pairs of a rare name and the frequent one that it may be a slip of."""
    counts = Counter(" ".join(name.split()) for name in names)
    pairs = []
    for name, count in counts.items():
        frequent = [other for other, often in counts.items() if count <= RARE_SHARE * often]
        found = process.extractOne(name, frequent, scorer=fuzz.ratio, processor=plain, score_cutoff=LOOK_ALIKE)
        if found:
            pairs.append((name, found[0]))
    return pairs


def _plain(name: str) -> str:
    return seen(name).casefold()


def _bare(name: str) -> str:
    """A name without accents; other marks stay, because `Ada?` is a doubt about who it was."""
    return "".join(c for c in unicodedata.normalize("NFKD", _plain(name)) if not unicodedata.combining(c))
