"""What was read from a whiteboard text: doubts marked in place, the text as understood, the work for both standards."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any

from dash import html

from keelmark_dash.parts.table import table
from keelmark_dash.shown_as import movement_words
from keelmark_dash.words import amount, count, number

__all__ = ["reading_shown"]

_UNITS = {"reps": "rep", "distance_m": "m", "duration_s": "s", "calories": "kcal"}
_FROM_ATHLETE = {
    "missing_result": "How much of this is done is told by the results.",
    "missing_one_rm": "Loads written as a share come from each athlete's own maximum.",
    "missing_bodyweight": "Loads written as a share come from each athlete's own body mass.",
}
"""No doubt about the text: what is missing is known of each athlete when the session is stored."""
_LEVELS = {"error": "Not read", "warning": "In doubt", "note": "Read as"}
_ORDER = ("error", "warning", "note")


def reading_shown(look: Any) -> list[Any]:
    """The parts that show one look at a text, as the service gives it."""
    reading = look.heavier
    doubts = [issue for issue in reading.issues if issue.code not in _FROM_ATHLETE]
    waiting = [words for code, words in _FROM_ATHLETE.items() if any(issue.code == code for issue in reading.issues)]
    return [
        html.P(_summary(doubts), className="wb-summary", role="status"),
        html.Pre(list(_marked(reading, doubts)), className="wb-marked", tabIndex=0),
        *_doubts(doubts),
        *(html.P(words, className="soft") for words in waiting),
        *_work(look),
        *_canonical(reading),
    ]


def _summary(doubts: Sequence[Any]) -> str:
    serious = sum(issue.level == "error" for issue in doubts)
    open_ = sum(issue.level == "warning" for issue in doubts)
    if not serious and not open_:
        return "Read without a doubt. Grey words are taken as remarks."
    told = [count(serious, "place") + " not read"] if serious else []
    told += [count(open_, "place") + " in doubt"] if open_ else []
    return f"{' and '.join(told)}. Everything else is read; grey words are taken as remarks."


def _marked(reading: Any, doubts: Sequence[Any]) -> Iterator[Any]:
    """The text as typed, in stretches: understood, remark, or marked with the numbers of the doubts about it."""
    text = reading.text
    marked = [(place, issue) for place, issue in enumerate(doubts, start=1) if not _is_whole(issue, text)]
    kinds = reading.stretches()
    edges = {0, len(text), *(edge for stretch in kinds for edge in (stretch.start, stretch.end))}
    edges |= {min(edge, len(text)) for _, issue in marked for edge in (issue.start, issue.end)}
    at = 0
    for start, end in pairwise(sorted(edges)):
        while at < len(kinds) and kinds[at].end <= start:
            at += 1
        words = text[start:end]
        here = [(place, issue) for place, issue in marked if issue.start <= start < issue.end]
        if not here:
            remark = at < len(kinds) and kinds[at].kind == "comment"
            yield html.Span(words, className="wb-remark") if remark else words
            continue
        level = min((issue.level for _, issue in here), key=_ORDER.index)
        ending = [str(place) for place, issue in here if issue.end == end]
        yield html.Mark(words, className=f"wb-mark {level}")
        if ending:
            yield html.Sup(", ".join(ending), className="wb-number")


def _is_whole(issue: Any, text: str) -> bool:
    return bool(issue.start == 0 and issue.end >= len(text))


def _doubts(doubts: Sequence[Any]) -> list[Any]:
    if not doubts:
        return []
    items = [
        html.Li(
            [
                html.Strong(f"{_LEVELS[issue.level]}, line {issue.line}: "),
                html.Span(issue.message),
                html.Pre(issue.picture, className="wb-picture"),
            ],
            className=f"wb-doubt {issue.level}",
        )
        for issue in doubts
    ]
    return [html.Ol(items, className="wb-doubts")]


def _work(look: Any) -> list[Any]:
    lines = [_lines(reading, standard) for standard, reading in (("heavier", look.heavier), ("lighter", look.lighter))]
    heavier, lighter = lines
    heads = [("Movement", "text"), ("Amount", "text"), ("With", "text")]
    if [line[:2] for line in heavier] != [line[:2] for line in lighter]:
        captions = ("The work with the heavier loads", "The work with the lighter loads")
        return [table(caption, heads, own, stack=True) for caption, own in zip(captions, lines, strict=True)]
    if not heavier:
        return []
    if heavier == lighter:
        return [table("The work as it is written", heads, heavier, stack=True)]
    heads = [*heads[:2], ("Heavier", "text"), ("Lighter", "text")]
    body = [[*one, other[2]] for one, other in zip(heavier, lighter, strict=True)]
    return [table("The work as it is written", heads, body, stack=True)]


def _lines(reading: Any, standard: str) -> list[list[str]]:
    """Movement, amount and load of each piece of work; parts that wait for a result as they are prescribed."""
    lines = [[movement_words(row.movement), _amount(row), _carried(row, reading, standard)] for row in reading.efforts]
    if not any(issue.code == "missing_result" for issue in reading.issues):
        return lines
    done = {row.section for row in reading.efforts}
    for place, section in enumerate(reading.tree.sections):
        for group in section.groups if place not in done else ():
            for station in group.stations:
                much = _prescribed(station.amount or group.scheme, standard)
                told = f"{much} each time, as often as the result says" if much else "as much as the result says"
                lines.append([movement_words(station.movement), told, _written(station, standard)])
    return lines


def _prescribed(much: Any, standard: str) -> str:
    if much is None or not much.steps:
        return ""
    figures = [number(step.of(standard)) for step in much.steps]
    return f"{', '.join(figures)} {much.unit}{'s' if much.unit == 'rep' and figures != ['1'] else ''}"


def _written(station: Any, standard: str) -> str:
    """Load and height as they stand in the text, for one standard."""
    told = []
    if station.load is not None:
        units = {"percent": "%", "bodyweight": "× body mass"}
        figures = ", ".join(number(step.of(standard)) for step in station.load.steps)
        count_ = f"{station.load.count} × " if station.load.count != 1 else ""
        told.append(f"{count_}{figures} {units.get(station.load.unit, station.load.unit)}".strip())
    if station.height is not None:
        told.append(f"{number(station.height.value.of(standard))} {station.height.unit} high")
    return ", ".join(told)


def _amount(row: Any) -> str:
    unit = _UNITS[row.measure]
    sets = f"{row.sets} × " if row.sets != 1 else ""
    if row.low == row.high:
        return sets + amount(row.amount, unit)
    return f"{sets}{number(row.low, unit)} to {amount(row.high, unit)}"


def _carried(row: Any, reading: Any, standard: str) -> str:
    told = []
    if row.load_kg is not None:
        told.append(amount(row.load_kg, "kg"))
    elif row.load_basis == "unknown":
        stations = [one for group in reading.tree.sections[row.section].groups for one in group.stations]
        own = next((one for one in stations if (one.start, one.end) == (row.start, row.end)), None)
        told.append(_written(own, standard) if own is not None and own.load is not None else "load not known")
    if row.height_cm is not None:
        told.append(f"{amount(row.height_cm, 'cm')} high")
    if row.version == "scaled":
        told.append("scaled")
    return ", ".join(told)


def _canonical(reading: Any) -> list[Any]:
    if not reading.tree.sections:
        return []
    return [
        html.Details(
            [
                html.Summary("The text as keelmark understands it"),
                html.P("This form leaves nothing open: put in place of the text, it is read the same way."),
                html.Pre(reading.board, className="wb-canonical", tabIndex=0),
            ],
            open=True,
        )
    ]
