"""The short form of the fuzzers: whiteboard words in any order, texts with slips, and characters of any kind."""

import json
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.notation.fuzz.trial import CHOICES, trial

CORPUS = Path(__file__).parents[1] / "corpus"
TEXTS = [
    json.loads(line)["text"]
    for name in ("whiteboard.jsonl", "whiteboard_more.jsonl")
    for line in (CORPUS / name).read_text(encoding="utf-8").splitlines()
    if line.strip()
]
WORDS = sorted({word for text in TEXTS for word in text.replace("\n", " \n ").split(" ")})
MARKS = list("/-+,;:.()[]@=%\n\"'#x×½♀♂→…|\t~_?!{}0123456789")


@settings(max_examples=250, deadline=None)
@given(st.lists(st.sampled_from(WORDS), max_size=30).map(" ".join), st.integers(0, CHOICES - 1))
def test_words_in_any_order(text: str, choice: int) -> None:
    """Whiteboard words put together without sense."""
    trial(text, choice)


@settings(max_examples=250, deadline=None)
@given(
    st.sampled_from(TEXTS),
    st.lists(st.tuples(st.integers(0, 400), st.sampled_from(MARKS + WORDS)), max_size=6),
    st.integers(0, CHOICES - 1),
)
def test_texts_with_slips(text: str, slips: list[tuple[int, str]], choice: int) -> None:
    """Real texts with marks, figures and words put in or taken out."""
    for place, mark in slips:
        at = place % (len(text) + 1)
        text = text[:at] + mark + text[at + place % 3 :]
    trial(text, choice)


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=120), st.integers(0, CHOICES - 1))
def test_any_characters(text: str, choice: int) -> None:
    """Characters of any kind."""
    trial(text, choice)
