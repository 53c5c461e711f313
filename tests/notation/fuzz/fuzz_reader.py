"""Coverage-guided fuzzing of the reader: `python -m tests.notation.fuzz.fuzz_reader -runs=1000000 FOLDER [FAILURES]`.

Needs atheris, which is not among the test requirements; the short form in `test_fuzz.py` runs without it. FOLDER keeps
the inputs that reached something new. It is filled once with the texts of the corpus, and the words of those texts are
the fuzzer's dictionary, so that most inputs get past the first stage. The first byte of an input says for whom it is
read, the rest is the text. With a folder FAILURES an input that fails is put there and the fuzzer goes on.
"""

from __future__ import annotations

import hashlib
import json
import sys
import tempfile
import traceback
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["keelmark.notation"]):
    from tests.notation.fuzz.trial import CHOICES, trial

CORPUS = Path(__file__).parents[2] / "corpus"
KEPT_ASIDE = "whiteboard_unseen.jsonl"
LONGEST = 120
"""Bytes of an input."""
FAILURES_KEPT = 30
"""Failing inputs kept of each place in the code."""


def corpus_texts() -> list[str]:
    """The whiteboard texts that the reader was built with."""
    return [
        json.loads(line)["text"]
        for path in sorted(CORPUS.glob("whiteboard*.jsonl"))
        if path.name != KEPT_ASIDE and "misread" not in path.name
        for line in path.read_text(encoding="utf-8").splitlines()
        if line.strip()
    ]


def one_input(data: bytes) -> None:
    """The first byte chooses the athlete, the rest is text."""
    trial(data[1:].decode("utf-8", "ignore"), data[0] % CHOICES if data else 0)


def going_on(failures: Path) -> Callable[[bytes], None]:
    """The trial of an input that keeps some of the failing inputs of each place and goes on."""
    failures.mkdir(parents=True, exist_ok=True)
    times: Counter[str] = Counter()

    def tried(data: bytes) -> None:
        try:
            one_input(data)
        except Exception as error:
            last = traceback.extract_tb(error.__traceback__)[-1]
            place = f"{Path(last.filename).stem}-{last.lineno}"
            times[place] += 1
            if times[place] <= FAILURES_KEPT:
                (failures / f"{place}-{times[place]}").write_bytes(data)

    return tried


def write_first_inputs(folder: Path, texts: list[str]) -> None:
    """One file for each text, with the athletes taken in turn."""
    folder.mkdir(parents=True, exist_ok=True)
    for number, text in enumerate(texts):
        data = bytes([number % CHOICES]) + text.encode()[: LONGEST - 1]
        (folder / hashlib.sha1(data, usedforsecurity=False).hexdigest()).write_bytes(data)


def dictionary(texts: list[str]) -> str:
    """The words of the texts, as the lines of a dictionary of libFuzzer."""
    words = sorted({word for text in texts for word in text.split()})
    return "".join(f'"{_escaped(word)} "\n' for word in words if len(word.encode()) < 60)


def _escaped(word: str) -> str:
    return "".join(chr(byte) if 32 <= byte < 127 and byte not in b'"\\' else f"\\x{byte:02x}" for byte in word.encode())


def main(arguments: list[str]) -> None:
    """Fill the folder and the dictionary where they are missing, then fuzz."""
    texts = corpus_texts()
    folders = [Path(name) for name in arguments[1:] if not name.startswith("-")]
    if folders and not (folders[0].is_dir() and any(folders[0].iterdir())):
        write_first_inputs(folders[0], texts)
    words = Path(tempfile.mkdtemp()) / "words"
    words.write_text(dictionary(texts), encoding="ascii")
    trial("10 burpees", 0)  # the catalogue is loaded once, outside the time of the first input
    run = going_on(folders[1]) if len(folders) > 1 else one_input
    given = [name for name in arguments if len(folders) < 2 or Path(name) != folders[1]]
    atheris.Setup([*given, f"-dict={words}", f"-max_len={LONGEST}", "-timeout=5"], run)
    atheris.Fuzz()


if __name__ == "__main__":
    main(sys.argv)
