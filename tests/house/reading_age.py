"""How hard a text is to read, by the formula of Flesch and Kincaid, and the texts that a user can see."""

from __future__ import annotations

import ast
import re
from pathlib import Path

__all__ = ["grade", "long_sentences", "texts"]

_SENTENCE = re.compile(r"[.!?]+(?:\s|$)")
_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?")
_SILENT = re.compile(r"(?:[^laeiouy]es|[^aeiouylt]ed|[^aeiouyl]e)$")
_VOWELS = re.compile(r"[aeiouy]+")


def sentences(text: str) -> list[list[str]]:
    """Words of each sentence."""
    found = [_WORD.findall(part) for part in _SENTENCE.split(text)]
    return [words for words in found if words]


def syllables(word: str) -> int:
    """Groups of vowels, without a silent ending; at least one."""
    lower = word.lower()
    groups = len(_VOWELS.findall(lower))
    return max(1, groups - bool(_SILENT.search(lower)))


def grade(text: str) -> float:
    """School years that a text asks of its reader.

    Kincaid JP, Fishburne RP, Rogers RL, Chissom BS. Navy Research Branch Report 8-75, 1975:
    0.39 words a sentence + 11.8 syllables a word - 15.59.
    """
    told = sentences(text)
    words = [word for sentence in told for word in sentence]
    return 0.39 * len(words) / len(told) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


def long_sentences(text: str, most: int) -> list[str]:
    """Sentences of more words than that."""
    return [" ".join(words) for words in sentences(text) if len(words) > most]


def texts(path: Path, least: int = 6) -> list[str]:
    """Texts of a Python file with at least so many words; what is filled in later counts as one short word."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    hidden = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    pieces = {id(part) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for part in node.values}
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            found.append("".join(str(part.value) if isinstance(part, ast.Constant) else "it" for part in node.values))
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in hidden | pieces:
            found.append(node.value)
    return [text for text in found if len(_WORD.findall(text)) >= least]
