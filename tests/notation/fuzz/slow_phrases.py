"""Look for short phrases that are slow to read when they are repeated: `python -m tests.notation.fuzz.slow_phrases`.

Every pair of an alphabet of whiteboard pieces (and some of the triples, with `--triples 20000`) is repeated to a short
text first. The phrases that are slowest, and those whose time grows faster than their length, are read again at 10 kB.
Printed are the worst twenty: processor time, and that time against an ordinary text of the same length.
"""

from __future__ import annotations

import argparse
import itertools
import json
import random
import time
from pathlib import Path

from keelmark.notation import read

CORPUS = Path(__file__).parents[2] / "corpus" / "whiteboard.jsonl"
LINE = 3_900
"""Characters of a line; longer ones are set aside without being read."""
SHORT, LONG = 600, 10_000
"""Characters of a text of the first and of the last round."""
PIECES = (
    *("1", "3", "5x5", "3x", "10", "21-15-9", "1-", "1,", "2.2.2", "½", "90/90", "60/40 kg", "24 in", "400 m", "5 km"),
    *(
        "20 s",
        "3 min",
        "2:00",
        "0:30",
        "10'",
        '30"',
        "60%",
        "@ 80%",
        "@",
        "x",
        "x5",
        "×",
        "+",
        "-",
        "- ",
        "–",
        "/",
        "//",
    ),
    *(
        ",",
        ";",
        ":",
        ".",
        "...",
        "(",
        ")",
        "[",
        "]",
        "()",
        "|",
        "\t",
        "\n",
        "->",
        "=",
        "%",
        "#",
        "&",
        "~",
        "?",
        "!",
        "•",
    ),
    *("'", '"', "*", "_", "°", "A", "A:", "A)", "A1", "a", "e", "x\n", "min 1:", "1)", "(1)", "1:", "odd:", "P", "B."),
    *(
        "squat",
        "burpees",
        "pus-ups",
        "clean and jerk",
        "run",
        "row",
        "box jumps",
        "pull-ups",
        "flurg",
        "qqq",
        "KBS",
        "DB",
    ),
    *(
        "for time",
        "AMRAP",
        "AMRAP 7",
        "EMOM",
        "every 2 min",
        "tabata",
        "rounds",
        "3 rounds",
        "sets",
        "rest",
        "rest 1 min",
    ),
    *(
        "cap 10 min",
        "buy-in",
        "cash-out",
        "then",
        "and",
        "or",
        "of",
        "to",
        "at",
        "with",
        "each",
        "per side",
        "max",
        "reps",
    ),
    *("build to a heavy", "scaled", "instead of", "partner", "teams of 2", "drop set", "complex", "ladder", "round 1:"),
    *(
        "RPE 8",
        "1RM",
        "bodyweight",
        "tempo 31x1",
        "superset",
        "warm-up",
        "three times",
        "twice",
        "until you miss",
        "same",
    ),
    *(
        "noch",
        "und",
        "je",
        "y",
        "et",
        "chaque minute",
        "toutes les 2 min",
        "cada 2 min",
        "vueltas",
        "Runden",
        "séries de",
    ),
    *(
        "not",
        "no",
        "skip",
        "heavier",
        "level 1:",
        "beginner:",
        "set | reps | kg",
        "kg",
        "lb",
        "total",
        "minus",
        "increase",
    ),
)


def ordinary(length: int) -> str:
    """The texts of the corpus one after another, to this length."""
    lines = CORPUS.read_text(encoding="utf-8").splitlines()
    whole = "\n".join(json.loads(line)["text"] for line in lines if line.strip())
    return (whole * (length // len(whole) + 1))[:length]


def seconds(text: str, times: int = 1) -> float:
    """The least processor time of reading a text; what is remembered of it is made useless by a number in front."""
    best = float("inf")
    for turn in range(times):
        fresh = f"{turn} {text}"
        start = time.process_time()
        read(fresh)
        best = min(best, time.process_time() - start)
    return best


def repeated(phrase: str, length: int) -> str:
    """The phrase again and again to this length, in lines that are not too long to be read."""
    text = (phrase * (length // len(phrase) + 1))[:length]
    return "\n".join(text[start : start + LINE] for start in range(0, length, LINE))


def phrases(triples: int, choice: int = 0) -> list[str]:
    """Single pieces, all pairs, and as many triples as asked for; tied together and with a space between."""
    chosen = random.Random(choice)
    runs = [(piece,) for piece in PIECES] + list(itertools.product(PIECES, repeat=2))
    runs += [tuple(chosen.choice(PIECES) for _ in range(3)) for _ in range(triples)]
    return sorted({made for run in runs for made in ("".join(run), " ".join(run) + " ")})


def worst(triples: int, looked_at: int) -> list[tuple[float, str]]:
    """The slowest phrases at 10 kB, as processor time and phrase."""
    found: list[tuple[float, str]] = []
    for phrase in phrases(triples):
        short = seconds(repeated(phrase, SHORT))
        found.append((short, phrase))
    found.sort(reverse=True)
    growing = sorted(
        ((seconds(repeated(phrase, 4 * SHORT)) / short, phrase) for short, phrase in found[: 20 * looked_at]),
        reverse=True,
    )
    again = {phrase for _, phrase in (*found[:looked_at], *growing[:looked_at])}
    return sorted(((seconds(repeated(phrase, LONG), 3), phrase) for phrase in again), reverse=True)


def main() -> None:
    """Search, and print the worst twenty."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--triples", type=int, default=0, help="how many phrases of three pieces are tried besides")
    asked.add_argument("--look-at", type=int, default=150, help="how many phrases are read at 10 kB")
    given = asked.parse_args()
    read("10 burpees")
    plain = seconds(ordinary(LONG), 3)
    print(f"ordinary text of 10 kB: {1000 * plain:.1f} ms")
    for took, phrase in worst(given.triples, given.look_at)[:20]:
        print(f"{1000 * took:7.1f} ms  {took / plain:5.2f} times ordinary  {phrase!r}")


if __name__ == "__main__":
    main()
