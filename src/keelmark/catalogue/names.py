"""From the name somebody wrote to the canonical name of a movement."""

from __future__ import annotations

import re
import unicodedata

from rapidfuzz import process

__all__ = ["NameIndex", "fold"]


def fold(text: str) -> str:
    """Text as names are compared: lower case, no accents, hyphens and underscores as spaces, single spaces."""
    plain = "".join(c for c in unicodedata.normalize("NFKD", text.casefold()) if not unicodedata.combining(c))
    return re.sub(r"[\s\-_‐-―]+", " ", plain).strip()


class NameIndex:
    """All names of all movements in all languages.

    Parameters
    ----------
    spoken : dict of language to dict of canonical name to names
        The first name of each list is the label shown in that language.
    """

    def __init__(self, spoken: dict[str, dict[str, list[str]]]) -> None:
        self.spoken = spoken
        self._canonical: dict[str, str] = {}
        for names in spoken.values():
            for canonical, written in names.items():
                for name in (canonical, *written):
                    self._canonical.setdefault(fold(name), canonical)

    def find(self, text: str) -> str | None:
        """The canonical name for a written one, or None when nobody writes it so."""
        return self._canonical.get(fold(text))

    def nearest(self, text: str, count: int = 3) -> list[str]:
        """Canonical names whose written names look most like the text, best first."""
        found = process.extract(fold(text), self._canonical.keys(), limit=4 * count)
        return list(dict.fromkeys(self._canonical[name] for name, _, _ in found))[:count]

    def label(self, canonical: str, language: str = "en") -> str:
        """The name to show, in the language asked for or else in English."""
        names = self.spoken.get(language, {}).get(canonical) or self.spoken["en"].get(canonical)
        return names[0] if names else canonical.replace("_", " ")
