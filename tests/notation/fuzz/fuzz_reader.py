"""Coverage-guided fuzzing of the reader: `python -m tests.notation.fuzz.fuzz_reader -runs=1000000 CORPUS_FOLDER`.

Needs atheris, which is not among the test requirements; the short form in `test_fuzz.py` runs without it. The pieces in
which the fuzzer thinks are whiteboard words, so that most inputs get past the first stage.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["keelmark.notation"]):
    from tests.notation.fuzz.trial import trial

CORPUS = Path(__file__).parents[2] / "corpus"
WORDS = sorted(
    {
        word
        for name in ("whiteboard.jsonl", "whiteboard_more.jsonl", "whiteboard_fifth.jsonl")
        for line in (CORPUS / name).read_text(encoding="utf-8").splitlines()
        if line.strip()
        for word in json.loads(line)["text"].replace("\n", " \n ").split(" ")
    }
)


def one_input(data: bytes) -> None:
    """Words picked by the fuzzer, with some raw text between them."""
    source = atheris.FuzzedDataProvider(data)
    choice = source.ConsumeIntInRange(0, 209)
    parts = []
    while source.remaining_bytes() and len(parts) < 200:
        if source.ConsumeBool():
            parts.append(WORDS[source.ConsumeIntInRange(0, len(WORDS) - 1)])
        else:
            parts.append(source.ConsumeUnicodeNoSurrogates(4))
    trial(" ".join(parts), choice)


if __name__ == "__main__":
    trial("10 burpees", 0)  # the catalogue is loaded once, outside the time of the first input
    atheris.Setup(sys.argv, one_input)
    atheris.Fuzz()
