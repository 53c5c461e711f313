"""Print the table of faults and bad input tried: `python -m tests.faults.table [--short] [WORD ...]`.

With words, only the kinds that hold one of them. Ends with 1 when anything passed wrongly or crashed.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence

from tests.faults.collections import KINDS, PROCESSES
from tests.faults.tally import Ending, Tally

__all__ = ["main", "table"]

_HEAD = ("kind", "cases tried", *(str(ending) for ending in Ending))


def table(tallies: Sequence[Tally]) -> str:
    """The tallies as a table of Markdown, with their sum below."""
    rows = [(t.kind, t.tried, *(t.endings[ending] for ending in Ending)) for t in tallies]
    total = ("all", *(sum(row[place] for row in rows) for place in range(1, len(_HEAD))))
    lines = [_HEAD, ("---", *["---:"] * (len(_HEAD) - 1)), *rows, total]
    return "\n".join(
        "| " + " | ".join(f"{cell:,}" if isinstance(cell, int) else cell for cell in line) + " |" for line in lines
    )


def main(arguments: Sequence[str]) -> int:
    """Try everything and print the table."""
    words = [word for word in arguments if not word.startswith("--")]
    tallies = []
    for kind, try_all in {**KINDS, **PROCESSES}.items():
        if not words or any(word in kind for word in words):
            print(f"trying {kind} …", file=sys.stderr, flush=True)
            began = time.monotonic()
            tallies.append(try_all(full="--short" not in arguments))
            print(f"  {tallies[-1].tried:,} in {time.monotonic() - began:.0f} s", file=sys.stderr, flush=True)
    print(table(tallies))
    wrong = [line for tally in tallies for line in tally.wrong]
    print(*(f"- {line[:400]}" for line in wrong), sep="\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
