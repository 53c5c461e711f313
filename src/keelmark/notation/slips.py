"""Slips of typing in names, and names of which one word has a meaning of its own."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.counts import AMOUNTS
from keelmark.notation.items import Item
from keelmark.notation.segments import Segment
from keelmark.notation.spoken_of import SpokenOf
from keelmark.notation.tree import Amount, Quantity

__all__ = ["MOST_GUESSES", "THINGS", "Slips"]

THINGS = (
    "box",
    "bar",
    "ball",
    "plate",
    "sandbag",
    "vest",
    "dumbbell",
    "dumbbells",
    "kettlebell",
    "kettlebells",
    "side",
)
"""Words for a thing that may also be part of a name that is not known."""
_SMALL_WORDS = frozenset(["you", "on", "your", "we", "to"])
"""Words that are no slip of typing: `before you carry on` speaks of no yoke carry."""

_CUT_SHORT = (["movement", "strength", "word"], ["movement", "word", "movement"], ["movement", "share", "word"])
"""Kinds of a name of three words of which the last or the middle one was mistyped."""

_HALF_NAMES = frozenset(
    ["strength", "double", "single", "triple", "side", "bar", "box", "ball", "share", "build", "heavy", "raised"]
)
"""Kinds of words that begin a name as well, as power, double and box do."""
MOST_GUESSES = 20
"""Slips of typing looked up in one text; a lookup takes as long as a fifth of a text."""


class Slips(SpokenOf):
    """Finds the names meant by slips of typing."""

    def _mistyped(self, items: list[Item]) -> list[Item]:
        """`bacck squat`, `hang powar clean`: a slip of typing in front of a word that names another movement alone."""
        for at, item in enumerate(items[:-1]):
            tied = 2 if items[at + 1].kind == "dash" else 1
            held = any(role in THINGS for role in item.roles)
            if item.kind == "movement" and self.guesses < MOST_GUESSES:
                longer = self._mistyped_end(items, at)
                if longer is not None:
                    return longer
            if item.kind != "movement" or at + tied >= len(items) or items[at + tied].kind != "word":
                continue
            unsure = self.lexicon.doubt(item.word, self.language) is not None
            if (tied == 2 or held or unsure) and self.guesses < MOST_GUESSES:
                self.guesses += 1
                text = f"{item.word} {items[at + tied].word}"
                guess = self.lexicon.likely(text)
                if guess is not None:
                    made = Item("movement", item.start, items[at + tied].end, guess, text)
                    self.find("read_as", made.start, made.end, word=self.text[made.start : made.end], movement=guess)
                    return [*items[:at], made, *items[at + tied + 1 :]]
        for at in range(1, len(items)):
            if items[at].kind != "movement" or items[at - 1].kind != "word" or self.guesses >= MOST_GUESSES:
                continue
            for first in (at - 2, at - 1):
                if first < 0 or items[first].kind not in ("word", "movement") or items[first].word in _SMALL_WORDS:
                    continue
                self.guesses += 1
                text = " ".join(item.word for item in items[first : at + 1])
                guess = self.lexicon.likely(text)
                unsure = self.lexicon.doubt(items[at].word, self.language) is not None and first == at - 1
                if guess is not None and (guess != items[at].value or unsure):
                    made = Item("movement", items[first].start, items[at].end, guess, text)
                    written = self.text[made.start : made.end]
                    self.find("read_as", made.start, made.end, word=written, movement=guess)
                    return [*items[:first], made, *items[at + 1 :]]
        return items

    def _name_begun(self, segment: Segment) -> bool:
        """`9 power claens`, `40 double-undrs`: a name whose first word is one of another meaning, the last mistyped."""
        items = segment.items = self._rope_begun(segment.items)
        for at in range(1, len(items) - 1):
            if items[at].kind not in _HALF_NAMES or items[at - 1].kind not in AMOUNTS or " " in items[at].word:
                continue
            end = at + 2 if items[at + 1].kind == "dash" and at + 2 < len(items) else at + 1
            if items[end].kind != "word" or len(items[end].word) < 4 or self.guesses >= MOST_GUESSES:
                continue
            self.guesses += 1
            text = f"{items[at].word} {items[end].word}"
            guess = self.lexicon.likely(text)
            if guess is not None:
                made = Item("movement", items[at].start, items[end].end, guess, text)
                self.find("read_as", made.start, made.end, word=self.text[made.start : made.end], movement=guess)
                segment.items = [*items[:at], made, *items[end + 1 :]]
                segment.content = True
                return True
        return False

    def _rope_begun(self, items: list[Item]) -> list[Item]:
        """`30 double undrs`: no thirty sets of two, where the word behind ends a name that begins so."""
        for at, item in enumerate(items[:-1]):
            word = items[at + 1]
            if item.kind != "amount" or item.word not in ("double", "single") or word.kind != "word":
                continue
            if len(word.word) < 4 or self.guesses >= MOST_GUESSES:
                continue
            self.guesses += 1
            guess = self.lexicon.likely(f"{item.word} {word.word}")
            if guess is not None and guess.startswith(f"{item.word}_"):
                count = replace(item, word="", value=Amount(steps=(Quantity(float(item.value.sets)),)), parts=())
                return [*items[:at], count, Item(item.word, item.start, item.end, None, item.word), *items[at + 1 :]]
        return items

    def _longer_name(self, items: list[Item]) -> list[Item]:
        """`snatch pul 4x3`: a slip of typing in the word behind a name, where a longer name begins with it."""
        for at, item in enumerate(items[:-2]):
            word = items[at + 1]
            if (
                item.kind != "movement"
                or word.kind != "word"
                or items[at + 2].kind not in AMOUNTS
                or len(word.word) < 3
            ):
                continue
            if word.word in self.lexicon.idle or self.guesses >= MOST_GUESSES:
                continue
            self.guesses += 1
            text = f"{item.word} {word.word}"
            guess = self.lexicon.likely(text)
            if guess is not None and guess.startswith(f"{item.value}_"):
                made = Item("movement", item.start, word.end, guess, text)
                self.find("read_as", made.start, made.end, word=self.text[made.start : made.end], movement=guess)
                return [*items[:at], made, *items[at + 2 :]]
        return items

    def _mistyped_end(self, items: list[Item], at: int) -> list[Item] | None:
        """`hang power claens`, `squat cleen thruster`: words that are a name alone, and the slip behind them."""
        run = items[at : at + 3]
        kinds = [item.kind for item in run]
        if kinds not in _CUT_SHORT or " " in run[0].word:
            return None
        self.guesses += 1
        text = " ".join(item.word for item in run)
        guess = self.lexicon.likely(text)
        if guess is None or guess == run[0].value:
            return None
        made = Item("movement", run[0].start, run[-1].end, guess, text)
        self.find("read_as", made.start, made.end, word=self.text[made.start : made.end], movement=guess)
        return [*items[:at], made, *items[at + 3 :]]
