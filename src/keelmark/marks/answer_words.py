"""What a squad itself said of its notices, in words."""

from __future__ import annotations

import polars as pl

__all__ = ["RULE_WORDS", "answer_words"]

RULE_WORDS = {"week": "notices of single weeks", "slow": "notices of slow rises"}
ENOUGH_ANSWERS = 8
"""Answers about a rule's notices before anything is made of them."""


def answer_words(answers: pl.DataFrame) -> list[str]:
    """What the squad itself said of its notices: one sentence for each rule.

    Parameters
    ----------
    answers : DataFrame
        One row for each `rule`, with the numbers of answers `useful` and `not_useful`.
    """
    told = []
    for row in answers.iter_rows(named=True):
        count = row["useful"] + row["not_useful"]
        rule = RULE_WORDS["slow" if row["rule"] == "slow rise" else "week"]
        said = f"Of {count} answered {rule}, {row['useful']} {'was' if row['useful'] == 1 else 'were'} found useful."
        if count == 1:
            said = f"One answer about {rule}: {'useful' if row['useful'] else 'not useful'}."
        if count >= ENOUGH_ANSWERS and 2 * row["useful"] < count:
            said += " Fewer than half: a smaller share above the mark, or fewer a week, may serve this squad better."
        told.append(said)
    return told or ["No notice has been marked as useful or not yet."]
