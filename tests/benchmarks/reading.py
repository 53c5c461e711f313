"""How quickly whiteboard texts are read: texts a second, the longest of the bad cases, and growth up to a megabyte.

    python -m tests.benchmarks.reading [--runs 5] [--json FILE]

Processor time, the least of several runs. Named beside each figure is what was measured in the same run: Python's own
tokenizer over the same texts, ordinary whiteboards of the same length, and a quarter of the text.
"""

from __future__ import annotations

import argparse
import io
import json
import statistics
import sys
import time
import tokenize
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from keelmark.notation import Context, read
from keelmark.notation.read import _kept_tree
from tests.notation.fuzz.slow_phrases import CORPUS, LONG, ordinary, repeated
from tests.notation.test_speed import SLOW_ONCE

__all__ = ["main"]

GOAL_TEXTS, GOAL_LONG_MS = 3_000.0, 50.0
MEGABYTE = 1_000_000


def main() -> int:
    """Run it as asked and print what came of it."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--runs", type=int, default=5)
    options.add_argument("--json", type=Path)
    asked = options.parse_args()
    read("10 burpees")
    found = _texts(asked.runs) | _phrases() | _growth()
    if asked.json:
        asked.json.write_text(json.dumps(found, indent=1))
    return 0


def _seconds(work: Callable[[], object], runs: int) -> float:
    """The least processor time of several runs, nothing remembered of texts."""
    took = []
    for _ in range(runs):
        _kept_tree.cache_clear()
        start = time.process_time()
        work()
        took.append(time.process_time() - start)
    return min(took)


def _tokenized(text: str) -> None:
    with suppress(tokenize.TokenError, SyntaxError):
        for _ in tokenize.generate_tokens(io.StringIO(text).readline):
            pass


def _texts(runs: int) -> dict[str, float]:
    items = [json.loads(line) for line in CORPUS.read_text(encoding="utf-8").splitlines() if line.strip()]
    middle = statistics.median(len(item["text"]) for item in items)
    near = sorted(items, key=lambda item: abs(len(item["text"]) - middle))[: len(items) // 3]
    told: dict[str, float] = {}
    for name, chosen in (("all", items), ("median", near)):
        texts = [(item["text"], Context.of(item["context"])) for item in chosen]
        took = _seconds(lambda texts=texts: [read(*one) for one in texts], runs)
        other = _seconds(lambda texts=texts: [_tokenized(text) for text, _ in texts], runs)
        told |= {f"{name}_texts_a_second": len(texts) / took, f"{name}_to_tokenizer": took / other}
        print(f"{name} texts: {len(texts) / took:,.0f} a second, {took / other:.1f} times Python's own tokenizer")
    kept = "kept" if told["median_texts_a_second"] >= GOAL_TEXTS else "MISSED"
    print(f"goal of {GOAL_TEXTS:,.0f} texts of median length a second: {kept}")
    return told


def _phrases() -> dict[str, float]:
    plain = _seconds(lambda: read(ordinary(LONG)), 3)
    took = {piece: _seconds(lambda piece=piece: read(repeated(piece, LONG)), 2) for piece in SLOW_ONCE}
    worst = sorted(took, key=lambda piece: -took[piece])
    print(f"10 kB of ordinary whiteboards: {1000 * plain:.1f} ms")
    for piece in worst[:5]:
        print(f"10 kB of {piece!r}: {1000 * took[piece]:.1f} ms, {took[piece] / plain:.2f} times the ordinary ones")
    most = 1000 * max(plain, took[worst[0]])
    print(f"goal of {GOAL_LONG_MS:.0f} ms for any 10 kB: {'kept' if most < GOAL_LONG_MS else 'MISSED'}")
    return {"ordinary_10_kb_ms": 1000 * plain, "worst_10_kb_ms": most}


def _growth() -> dict[str, float]:
    """A megabyte of ordinary whiteboards against a quarter of it; four times is linear."""
    whole = _seconds(lambda: read(ordinary(MEGABYTE)), 1)
    quarter = _seconds(lambda: read(ordinary(MEGABYTE // 4)), 1)
    print(f"1 MB: {whole:.2f} s, {whole / quarter:.2f} times a quarter of it (linear: 4)")
    return {"megabyte_s": whole, "megabyte_to_quarter": whole / quarter}


if __name__ == "__main__":
    sys.exit(main())
