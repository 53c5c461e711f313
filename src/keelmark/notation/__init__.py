"""Whiteboard text and scores to exact work: text, tree and meaning kept apart.

A text is cut into tokens (`tokens`), given meaning word by word (`lexicon`, `items`) and figure by figure (`numbers`),
read in phrases (`phrases`), cut into segments (`segments`), assembled under its heads (`assemble`, `heads`, `stations`)
and closed into a tree (`finish`, `tree`). The tree and a score give what was done (`expand`, `meaning`, `score`).

It is a staged reader by hand and not a grammar for a parser generator: free text has no sentence to rely on, a line
that cannot be read must not spoil the next, and a text has a third of a millisecond. Each stage is one linear pass.
"""

from keelmark.notation.accounting import Stretch
from keelmark.notation.context import Context
from keelmark.notation.frames import effort_rows, to_efforts_frame
from keelmark.notation.issues import Issue
from keelmark.notation.long_lines import LONGEST_LINE
from keelmark.notation.read import Reading, WorkDone, answer, read
from keelmark.notation.seasons import ScoreRow, SeasonWork, season_work, split_season
from keelmark.notation.tree import Prescription

__all__ = [
    "LONGEST_LINE",
    "Context",
    "Issue",
    "Prescription",
    "Reading",
    "ScoreRow",
    "SeasonWork",
    "Stretch",
    "WorkDone",
    "answer",
    "effort_rows",
    "read",
    "season_work",
    "split_season",
    "to_efforts_frame",
]
