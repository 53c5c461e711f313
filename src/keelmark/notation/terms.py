"""Read the terms of a figure: one number, or several joined by dashes, slashes, commas or dots, with their unit."""

from __future__ import annotations

import itertools

from keelmark.notation.items import Item
from keelmark.notation.joins import joins
from keelmark.notation.term_units import UNITS, Term, unit_after, with_unit

__all__ = ["Term", "filled", "terms_at"]


_JOINERS = {
    "dash": "-",
    "slash": "/",
    "sslash": "/",
    "sdash": "-",
    "comma": ",",
    "and": ",",
    "ellipsis": "~",
    "to": "~",
    "at": "~",
    "a": "~",
    "arrow": ">",
}


def terms_at(items: list[Item], at: int) -> tuple[list[Term], int]:
    terms: list[Term] = []
    here = at
    while len(terms) < 4:
        term, after = _term(items, here, bool(terms))
        if term is None:
            break
        terms.append(term)
        here = after
        if here + 1 < len(items) and items[here].kind in ("times", "times_word"):
            following = items[here + 1].kind
            if here + 2 < len(items) and items[here + 2].kind in ("rounds", "waves"):
                break
            if following in ("number", "commas", "dots", "clock") or (
                following == "open" and _cluster(items, here + 1)
            ):
                here += 1
                continue
            ahead = here + 1
            while ahead < len(items) and ahead < here + 3 and items[ahead].kind in ("word", "of", "letter"):
                ahead += 1
            if following == "word" and items[here + 1].word == "kg" and term.values[0] <= 4:
                following = "body_weight"
            if ahead < len(items) and items[ahead].kind == "body_weight":
                here = ahead - 1
                following = "body_weight"
            if following == "body_weight":
                term.sign = "bodyweight"
                here += 2
                term.end = items[here - 1].end
        break
    if len(terms) == 2:
        here = _second_pair(items, here, terms)
    return terms, here


def _second_pair(items: list[Item], here: int, terms: list[Term]) -> int:
    """`2x15/2x10 kg`: the same number of implements for both standards."""
    if here + 3 >= len(items) or items[here].kind not in ("slash", "sslash") or items[here + 2].kind != "times":
        return here
    count, figure = items[here + 1], items[here + 3]
    if count.kind != "number" or figure.kind != "number" or count.value != terms[0].values[0] or terms[1].joiner:
        return here
    term, after = with_unit(items, here + 4, Term([figure.value], end=figure.end))
    if term.unit is None or term.unit.measure != "mass":
        return here
    terms[1].values.append(term.values[0])
    terms[1].joiner, terms[1].unit, terms[1].end = "/", terms[1].unit or term.unit, term.end
    return after


def _term(items: list[Item], at: int, later: bool) -> tuple[Term | None, int]:
    item = items[at]
    if item.kind == "open":
        return _cluster_term(items, at)
    if item.kind == "clock":
        return Term([item.value], "clock", start=item.start, end=item.end), at + 1
    if item.kind == "dots":
        return Term([sum(item.value)], start=item.start, end=item.end, cluster=True), at + 1
    if item.kind == "commas":
        term = Term(list(item.value), ",", start=item.start, end=item.end)
        term, here = with_unit(items, at + 1, term)
        return term, _open_end(items, here, term)
    return _series(items, at, later)


def _series(items: list[Item], at: int, later: bool) -> tuple[Term, int]:
    item = items[at]
    term = Term([item.value], start=item.start, end=item.end)
    if _mixed_fraction(items, at):
        term.values[0] += items[at + 1].value / items[at + 3].value
        term.end, term.sign = items[at + 3].end, "mixed"
        at += 3
    term, here = with_unit(items, at + 1, term)
    labelled = at > 0 and items[at - 1].kind in ("minute", "slot")
    while here + 1 < len(items):
        joiner = _JOINERS.get(items[here].kind)
        if labelled and joiner == ">":
            break
        if joiner is None or not joins(items, here, at, term, later):
            break
        following = items[here + 1]
        if term.joiner and joiner != term.joiner:
            break
        term.joiner = joiner
        if following.kind == "commas":
            term.values.extend(following.value)
        else:
            term.values.append(following.value)
        term.end = following.end
        term, here = with_unit(items, here + 2, term)
    if term.joiner in ("-", ",", ">") and len(term.values) >= 2:
        here = _open_end(items, here, term)
    if not later and not term.joiner and term.unit is None and here + 1 < len(items) and items[here].kind == "plus":
        here = _plus_list(items, here, term)
    elif later and not term.joiner and here + 1 < len(items) and items[here].kind == "plus":
        here = _added_parts(items, here, term)
    elif not term.joiner and term.unit is None:
        here = _spaced_list(items, at, here, term)
    return term, here


def _plus_list(items: list[Item], here: int, term: Term) -> int:
    """`1+2+1`: the counts of a complex, in order."""
    values, last, end = list(term.values), here, term.end
    while last + 1 < len(items) and items[last].kind == "plus" and not items[last].spaced:
        following = items[last + 1]
        if following.kind != "number" or following.spaced:
            break
        values.append(following.value)
        end = following.end
        last += 2
    after = items[last].kind if last < len(items) else "newline"
    if len(values) < 2 or after in ("movement", "word", "times") or after in UNITS:
        return here
    term.values, term.joiner, term.end = values, "+", end
    return last


def _added_parts(items: list[Item], here: int, term: Term) -> int:
    """`3 x 2+2+2`: the parts of one set, tied by plus signs."""
    while here + 1 < len(items) and items[here].kind == "plus" and not items[here].spaced:
        following = items[here + 1]
        if following.kind != "number" or following.spaced:
            break
        term.parts = (*(term.parts or (term.values[0],)), following.value)
        term.values[0] += following.value
        term.end = following.end
        here += 2
    return here


def _spaced_list(items: list[Item], at: int, here: int, term: Term) -> int:
    """`21 15 9` and `10 9 8 7`: at least three numbers in a row, all rising or all falling."""
    last = here
    values = [items[at].value]
    while last < len(items) and items[last].kind == "number" and items[last].spaced and len(values) < 60:
        step = items[last].value - values[-1]
        if step == 0 or (len(values) > 1 and step * (values[1] - values[0]) < 0):
            return here
        values.append(items[last].value)
        last += 1
    if (
        here != at + 1
        or len(values) < 3
        or (last < len(items) and (items[last].kind in ("times", "dash", "slash") or unit_after(items, last)))
    ):
        return here
    steps = [after - before for before, after in itertools.pairwise(values)]
    if not (all(step > 0 for step in steps) or all(step < 0 for step in steps)):
        return here
    term.values, term.joiner, term.end = values, ",", items[last - 1].end
    return last


def _mixed_fraction(items: list[Item], at: int) -> bool:
    """`1 1/4`, `2 1/2`."""
    if (
        at + 3 >= len(items)
        or items[at + 1].kind != "number"
        or not items[at + 1].spaced
        or items[at + 2].kind != "slash"
    ):
        return False
    above, below = items[at + 1].value, items[at + 3].value
    return (
        items[at + 3].kind == "number"
        and items[at].value.is_integer()
        and above < below
        and below in (2.0, 3.0, 4.0, 8.0)
    )


def _open_end(items: list[Item], here: int, term: Term) -> int:
    """Read `-...`, `...-20` or `and so on` behind a ladder."""
    ahead = here
    if ahead < len(items) and items[ahead].kind in ("dash", "sdash", "comma", "arrow"):
        ahead += 1
    if ahead < len(items) and items[ahead].kind in ("ellipsis", "and_so_on"):
        term.continues = True
        term.end = items[ahead].end
        ahead += 1
        last = ahead
        if last < len(items) and items[last].kind in ("dash", "sdash", "comma", "arrow", "to"):
            last += 1
        if last < len(items) and items[last].kind == "number" and len(term.values) >= 2:
            full = filled(term.values, items[last].value)
            if full is not None:
                term.values, term.continues, term.end = full, False, items[last].end
                term.joiner = ","
                return with_unit(items, _tail(items, last, term), term)[1]
        return ahead
    return here


_TAIL = ("dash", "comma", "sdash")


def _tail(items: list[Item], last: int, term: Term) -> int:
    """`20-18-16-...-4-2`: the rungs written behind the one that the dots lead to; the place behind them."""
    step = term.values[-1] - term.values[-2]
    while last + 2 < len(items) and items[last + 1].kind in _TAIL and items[last + 2].kind == "number":
        if abs(items[last + 2].value - term.values[-1] - step) > 1e-9:
            break
        term.values.append(items[last + 2].value)
        last += 2
        term.end = items[last].end
    return last + 1


def filled(values: list[float], last: float) -> list[float] | None:
    """A ladder with the rungs that dots left out, up to the last; None where it does not lead there."""
    step = values[-1] - values[-2]
    if step == 0 or (last - values[-1]) * step < 0 or abs(last - values[-1]) / abs(step) > 1000:
        return None
    rungs = round((last - values[-1]) / step)
    if abs(values[-1] + rungs * step - last) > 1e-9:
        return None
    return [*values, *(values[-1] + step * n for n in range(1, rungs + 1))]


def _cluster(items: list[Item], at: int) -> bool:
    return _cluster_term(items, at)[0] is not None


def _cluster_term(items: list[Item], at: int) -> tuple[Term | None, int]:
    """`(2.2.2)`, `(2+2+2)`, `(2-2-2)`, `(8/8)`: the parts of one set."""
    here, values, signs = at + 1, [], set()
    while here < len(items):
        item = items[here]
        if item.kind == "number":
            values.append(item.value)
        elif item.kind in ("dots", "commas"):
            values.extend(item.value)
            signs.add("stop")
        elif item.kind in ("stop", "plus", "dash", "comma", "slash"):
            signs.add(item.kind)
        elif item.kind == "close" and values and len(values) > 1 and len(signs) == 1:
            slash = signs == {"slash"}
            term = Term(values if slash else [sum(values)], "/" if slash else "", start=items[at].start, end=item.end)
            term.cluster = True
            term.parts = () if slash else tuple(values)
            return term, here + 1
        else:
            return None, at
        here += 1
        if len(values) > 12:
            break
    return None, at
