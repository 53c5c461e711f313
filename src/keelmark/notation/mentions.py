"""Names in the text: slips of typing, names that head a list, and words that name nothing known."""

from __future__ import annotations

from dataclasses import replace

from keelmark.notation.counts import AMOUNTS
from keelmark.notation.drafts import StationDraft
from keelmark.notation.items import Item
from keelmark.notation.segments import Segment
from keelmark.notation.slips import MOST_GUESSES, THINGS, Slips
from keelmark.notation.titles import TITLES
from keelmark.notation.trade import trade
from keelmark.notation.tree import Amount, Height, Quantity

__all__ = ["REPS_OF", "Mentions"]

REPS_OF = {"single": 1.0, "double": 2.0, "triple": 3.0}


class Mentions(Slips):
    """Settles what a name or a word with a count stands for."""

    def _read_stations(self, segment: Segment, items: list[Item]) -> None:
        """Make stations of the items; the assembler does it."""
        raise NotImplementedError

    def _names_the_list(self, segment: Segment) -> bool:
        """`Clusters: front squat 5 x ...`: a bare name before a colon, with stations of their own behind it."""
        following = self.following()
        if segment.after != "colon" or following is None or not following.content or following.line != segment.line:
            return False
        named = [item for item in following.items if item.kind == "movement" and " " not in item.word]
        if any(role in REPS_OF for item in named for role in item.roles):
            return False
        return any(item.kind in AMOUNTS for item in following.items)

    def _bare_mention(self, segment: Segment, items: list[Item]) -> bool:
        """A movement inside a sentence of words, with no figure at all: a remark."""
        if len(items) == 1 and self._is_named_otherwise(segment, items[0]):
            return True
        if segment.starts_line and any(item.word in ("am", "pm") for item in items) and len(items) <= 3:
            return True
        skill = any(item.kind == "practice" for item in segment.items) and segment.after == "colon"
        if skill and self.at < self.last_content and segment.starts_line:
            return True
        if items[0].kind in ("between", "off") or self._heads_its_own(segment, items):
            return True
        if self._said_again(segment, items):
            return True
        if len(items) == 1 and not {"mobility", "cool_down", "warm_up"}.isdisjoint(items[0].roles):
            return True
        words = sum(item.kind in ("word", "each_person") for item in segment.items)
        if segment.after == "stop" and words and self.last_station() is None:
            return True
        movements = [item for item in items if item.kind == "movement"]
        if segment.after == "equals" or any(item.kind == "equals" for item in items):
            return True
        if any(item.kind == "running_clock" for item in items):
            return True
        place = next(at for at, item in enumerate(items) if item.kind == "movement")
        filler = ("word", "for_word", "a", "letter", "of", "to", "at", "and", "wearing")
        if place >= 3 and all(item.kind in filler for item in items[:place]):
            return True
        first_is_movement = items[0].kind in ("movement", "alternating", "pace", "of", "and")
        return words >= 3 and not first_is_movement and len(movements) == 1 and not segment.starts_line

    def _is_named_otherwise(self, segment: Segment, item: Item) -> bool:
        """`Clean & jerk, cluster: 3 x (1.1.1)`, `oh, that feels good`: a word for the way or a cry, no movement."""
        if item.word in trade()["exclaimed"]["words"] and not self.text[item.start : item.end].isupper():
            return True
        if "complex" not in item.roles:
            return False
        last = self.last_station() if self.now is not None else None
        if last is None:
            return segment.after == "comma" or (segment.after == "newline" and segment.starts_line)
        return segment.after == "colon" and last.amount is None and last.line == segment.line

    def _times_of_all(self, items: list[Item]) -> tuple[list[Item], int]:
        """`10 toes-to-bar 20 wall balls 30 skips x 4`: times of all that have counts."""
        named = [at for at, item in enumerate(items) if item.kind == "movement"]
        counted = all(at and items[at - 1].kind in AMOUNTS for at in named)
        if len(named) < 3 or not counted or [item.kind for item in items[-2:]] != ["times", "amount"]:
            return items, 1
        figure = items[-1].value
        whole = figure.sets == 1 and len(figure.steps) == 1 and figure.steps[0].value.is_integer()
        return (items[:-2], int(figure.steps[0].value)) if whole else (items, 1)

    def _heads_its_own(self, segment: Segment, items: list[Item]) -> bool:
        """`Deadlift sandwich` above `20 deadlifts`: a title that names what follows with its counts."""
        named = {item.value for item in items if item.kind == "movement"}
        if not segment.starts_line or segment.after not in ("newline", "colon") or len(named) != 1:
            return False
        if self.current_group().scheme is not None:
            return False
        behind = [later for later in self.segments[self.at + 1 : self.at + 3] if later.content]
        return any(
            item.kind == "movement" and item.value in named
            for later in behind
            if any(other.kind in AMOUNTS for other in later.items)
            and not any(other.kind in ("per", "instead", "scaled", "for_word") for other in later.items)
            for item in later.items
        )

    def _sets_of_singles(self, segment: Segment, items: list[Item]) -> bool:
        """`Clean: 5 singles @ 80 %, then 3 doubles`: sets of one or two of the lift before, not skipping."""
        last = self.last_station()
        place = next((at for at, item in enumerate(items) if item.kind == "movement"), 0)
        short = " " not in items[place].word
        reps = next((REPS_OF[role] for role in items[place].roles if role in REPS_OF and short), None)
        if reps is None or last is None or sum(item.kind == "movement" for item in items) > 1 or segment.starts_line:
            return False
        load = self.lexicon.catalogue.movements[last.movement].load
        loaded = load == "needs" or (load != "never" and last.amount is not None and last.amount.open)
        waits = last.amount is None or last.amount.open
        if not loaded or not (waits or any(item.kind == "load" for item in items)):
            return False
        sets = next(
            (item.value.steps[0].value for item in items[:place] if item.kind == "amount" and item.value.steps), 1.0
        )
        if not any(item.kind in (*AMOUNTS, "load", "xload", "rating") for item in items) and items[0].kind == "word":
            return True
        if last.amount is not None and last.amount.open and not last.amount.steps and len(items) <= place + 1:
            last.amount = Amount(steps=(Quantity(reps),), open=True)
            return True
        made = Item("amount", items[0].start, items[place].end, Amount(steps=(Quantity(reps),), sets=int(sets)))
        made.parts = ["sets"]
        self._figures(segment, [made, *items[place + 1 :]])
        return True

    def _load_for_mention(self, items: list[Item]) -> bool:
        """`sled push 6 x 25 m` / `90 kg on the sled`: the load of the station before, its name said again."""
        last = self.last_station()
        named = [item for item in items if item.kind == "movement"]
        loads = [item for item in items if item.kind == "load"]
        heights = [item for item in items if item.kind == "height"]
        if last is not None and len(named) == 1 and self._rope_of(items, named[0], last):
            return True
        bare = not any(item.kind in AMOUNTS or item.kind in ("load", "xload", "max", "nsets") for item in items)
        said_again = last is not None and len(named) == 1 and named[0].value == last.movement
        if last is not None and said_again and len(heights) == 1 and bare and last.amount and last.height is None:
            last.height = heights[0].value
            return True
        if last is None or len(named) != 1 or len(loads) != 1 or named[0].value != last.movement:
            return False
        if last.load is not None or last.amount is None or loads[0].start > named[0].start:
            return False
        if any(item.kind in AMOUNTS or item.kind in ("max", "building", "rm", "nsets") for item in items):
            return False
        last.load = loads[0].value
        return True

    def _rope_of(self, items: list[Item], named: Item, last: StationDraft) -> bool:
        """`2 rope climbs, 4 m rope`: how high the rope is."""
        lengths = [item for item in items if item.kind == "dist"]
        climbs = "rope_climb" in named.value and "rope_climb" in last.movement and last.amount is not None
        if not climbs or len(lengths) != 1 or len(items) > 3 or last.height is not None:
            return False
        amount: Amount = lengths[0].value
        if amount.sets > 1 or len(amount.steps) != 1 or amount.steps[0].value > 12:
            return False
        last.height = Height(amount.steps[0], amount.unit)
        return True

    def _percent_of_last(self, items: list[Item]) -> list[Item]:
        """`snatch pull 5x3 @ 100% snatch`: the second movement says what the percentage is of."""
        if len(items) > 3 and items[-1].kind == "movement" and items[-2].kind in ("word", "of", "to", "start_at"):
            items = [*items[:-2], items[-1]] if items[-3].kind == "load" else items
        if (
            len(items) < 3
            or items[-1].kind != "movement"
            or items[-2].kind != "load"
            or items[-2].value.unit != "percent"
        ):
            return items
        if not any(item.kind == "movement" for item in items[:-2]):
            return items
        load = items[-2]
        return [*items[:-2], replace(load, value=replace(load.value, of=items[-1].value), end=items[-1].end)]

    def _stated_total(self, items: list[Item]) -> list[Item]:
        """`4 sets of 8 = 36 pull-ups`: what stands behind the sign is a total, checked once the station is known."""
        place = next((at for at, item in enumerate(items) if item.kind == "equals"), None)
        if place is None or place == 0:
            return items
        before, behind = items[:place], items[place + 1 :]
        if any(item.kind == "complex" for item in before) and not any(item.kind == "movement" for item in before):
            return behind  # `1 complex = 2 cleans + 1 jerk` says what one is
        if any(item.kind == "movement" for item in before) and any(item.kind in AMOUNTS for item in before):
            self.stated = next((item for item in behind if item.kind in AMOUNTS), None)
            return before
        return items

    def _unknown(self, segment: Segment, items: list[Item]) -> bool:
        """Words with a count in front, or a scheme behind, that name no movement known."""
        while items and items[0].kind in ("at", "of", "with", "a", "to", "each", "and", "for_word", "plus"):
            items = items[1:]
        items = [item for item in items if item.kind != "word" or item.word not in self.lexicon.idle]
        words = [item for item in items if item.kind in ("word", *THINGS)]
        if len(words) == 1 and words[0] in items[:-1]:
            beside = items[items.index(words[0]) + 1]
            words += [beside] if beside.kind in TITLES and not beside.parts else []
        if all(item.kind in THINGS for item in words):
            return False
        if [item.kind for item in items] == ["amount", "word"] and items[1].word in trade()["levels"]["words"]:
            return True
        first = items[0]
        if self._is_sentence(first, words, items):
            self._passed_over(items)
            return True
        counted = (
            (first.kind in ("amount", "cals", "dist") or _short(first, items, self.current_group().rounds))
            and len(items) > 1
            and items[1].kind in ("word", "alternating", "pace", "of", *THINGS)
        )
        behind = first.kind == "word" and any(
            item.kind in AMOUNTS
            and (item.value.sets > 1 or len(item.value.steps) > 2 or ("sets" in item.parts and at <= len(words)))
            for at, item in enumerate(items)
        )
        following = self.following()
        if behind and segment.after == "colon" and following is not None and following.content:
            return False
        alone = len(items) == len(words) <= 3 and self._expects_station(segment)
        loaded = first.kind == "word" and len(words) <= 3 and {"amount", "load"} <= {item.kind for item in items}
        if not (counted or behind or alone or loaded):
            return False
        if self._under_title(segment, items, words):
            return True
        return self._guess(segment, items, words, sure=counted or behind)

    def _is_sentence(self, first: Item, words: list[Item], items: list[Item]) -> bool:
        """`One starts when the bar is down.`: a number word in front of a sentence is no count."""
        spelt = first.kind == "amount" and self.text[first.start : first.end].isalpha()
        once = spelt and first.value.sets == 1 and first.value.steps == (Quantity(1.0),)
        return once and len(words) >= 3 and len(items) >= 5

    def _under_title(self, segment: Segment, items: list[Item], words: list[Item]) -> bool:
        """`SLED` above `push 6 x 30 m`: the title is the first word of the name."""
        last = self.last_station()
        bare = last if last is not None and last.amount is None and last.line < segment.line else None
        title = bare.word if bare is not None else self.titled
        if not title or len(words) > 2:
            return False
        name = [*title.split(), *(word for item in words for word in item.word.split())]
        found = self.lexicon.movement(name, 0, self.language)
        if found is None or found[1] < len(name):
            return False
        if bare is not None and bare in self.current_group().stations:
            self.current_group().stations.remove(bare)
            self.titled = title
        place = items.index(words[0])
        named = Item("movement", words[0].start, words[-1].end, found[0], " ".join(name))
        segment.content = True
        self._read_stations(segment, [*items[:place], named, *(i for i in items[place:] if i not in words)])
        return True

    def _expects_station(self, segment: Segment) -> bool:
        group = self.current_group()
        return segment.starts_line and (group.scheme is not None) and segment.after in ("newline", "comma")

    def _guess(self, segment: Segment, items: list[Item], words: list[Item], sure: bool) -> bool:
        text = " ".join(word.word for word in words)
        self.guesses += 1
        guess = self.lexicon.likely(text) if self.guesses <= MOST_GUESSES else None
        if guess is not None:
            self.find(
                "read_as", words[0].start, words[-1].end, word=self.text[words[0].start : words[-1].end], movement=guess
            )
            place = items.index(words[0])
            named = Item("movement", words[0].start, words[-1].end, guess, text)
            fixed = list(items[:place]) + [named] + [item for item in items[place:] if item not in words]
            segment.content = True
            self._read_stations(segment, fixed)
            return True
        if sure:
            self.find("unknown_movement", words[0].start, words[-1].end, word=self.text[words[0].start : words[-1].end])
            self.lost.append((self.current_group(), items[0].start))
        return sure


def _short(item: Item, items: list[Item], rounds: int) -> bool:
    """A time of work rather than of the day: several sets, or seconds of something or in a round."""
    if item.kind != "dur" or item.word == "clock" or not item.value.steps:
        return False
    named = rounds > 1 or (len(items) > 1 and items[1].kind == "of")
    return item.value.sets > 1 or (item.value.unit == "s" and named)
