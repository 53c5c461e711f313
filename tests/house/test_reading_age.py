"""What users see can be read by somebody of fourteen."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.house.reading_age import grade, long_sentences, syllables, texts

ROOT = Path(__file__).resolve().parents[2]
FILES = sorted(
    path
    for pattern in (
        "dashboards/keelmark_dash/*words.py",
        "dashboards/keelmark_dash/pages/*.py",
        "dashboards/keelmark_dash/parts/*.py",
        "src/keelmark/contracts/words.py",
        "src/keelmark/health/words.py",
        "src/keelmark/health/questions.py",
        "src/keelmark/marks/*words.py",
        "src/keelmark/plan/*words.py",
        "src/keelmark/report/*words.py",
    )
    for path in ROOT.glob(pattern)
)
FILE_GRADE, TEXT_GRADE, LONGEST = 8.0, 13.0, 32
"""School years asked by all texts of a file together and by one text alone, and words in a sentence."""
NO_PROSE = re.compile(r"\n|<\w|doi|\(\d{4}\)|, \d{4}|\w+\(\w*\)|[a-z]-[a-z]+-")


def prose(path: Path) -> list[str]:
    """Texts that are read as sentences: no drawings, no sources, no whiteboards."""
    return [text for text in texts(path) if not NO_PROSE.search(text)]


def test_the_formula_gives_what_is_known() -> None:
    """Derived: one sentence, six words of one syllable: 0.39 x 6 + 11.8 - 15.59 = -1.45."""
    assert grade("The cat sat on the mat.") == pytest.approx(-1.45)


@pytest.mark.parametrize(
    ("word", "known"),
    [("training", 2), ("complaint", 2), ("physiotherapist", 5), ("made", 1), ("table", 2), ("little", 2), ("squad", 1)],
)
def test_syllables(word: str, known: int) -> None:
    """Counted by ear."""
    assert syllables(word) == known


def test_a_hard_text_is_found_to_be_hard() -> None:
    text = "Musculoskeletal epidemiological surveillance necessitates multidimensional operationalisation procedures."
    assert grade(text) > 25
    assert long_sentences("one two three four.", 3) == ["one two three four"]


def test_there_is_something_to_read() -> None:
    assert sum(len(prose(path)) for path in FILES) > 150


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_texts_are_easy_to_read(path: Path) -> None:
    found = prose(path)
    if not found:
        return
    assert grade(". ".join(found)) <= FILE_GRADE
    assert [(round(grade(text), 1), text) for text in found if grade(text) > TEXT_GRADE] == []
    assert [text for one in found for text in long_sentences(one, LONGEST)] == []
