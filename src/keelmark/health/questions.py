"""The four questions of a check-in in our own words, and how their answers make a severity."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["OPTION_VALUES", "QUESTIONS", "SCALE_ID", "Question"]

SCALE_ID = "four-domains-2020/own-words-1"
"""The scale and its edition, a slash, and the edition of our wording. Both stand beside every answer that is kept."""

OPTION_VALUES = (0, 8, 17, 25)
"""What the four options of each question count, from the least to the most; from memory.

Clarsen B, Myklebust G, Bahr R. Br J Sports Med 2013;47(8):495-502, doi:10.1136/bjsports-2012-091524, brought up to
date by Clarsen B, Bahr R, Myklebust G, et al. Br J Sports Med 2020;54(7):390-396. The four domains are published, the
values of the options are from memory; answers are kept as the place of the option, so that a severity can be worked
out again should a value prove wrong.
"""


@dataclass(frozen=True, slots=True)
class Question:
    """One question: its key, its words, and its four options from the least to the most."""

    key: str
    words: str
    options: tuple[str, str, str, str]


QUESTIONS: tuple[Question, ...] = (
    Question(
        "taking_part",
        "Could you join in this week?",
        (
            "Yes, in all of it, and all was well",
            "Yes, in all of it, but something bothered me",
            "Only in part, because of it",
            "No, because of it",
        ),
    ),
    Question(
        "amount",
        "How much of your training did you change for it?",
        ("None", "A little", "A good part", "Most of it"),
    ),
    Question(
        "performance",
        "What did it do to your lifts, times and skills?",
        ("Nothing", "A little worse", "Clearly worse", "Much worse"),
    ),
    Question(
        "symptoms",
        "How much did you feel it?",
        ("Not at all", "A little", "Clearly", "A lot"),
    ),
)
