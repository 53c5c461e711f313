"""What a text tells of one athlete apart from the others: `Lea 35 kg, Jo 60 kg`, `8/10/12 cal` of three levels.

Everything that is for others is blanked out, place by place, so that what remains keeps its place in the text.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from functools import cache

from keelmark.catalogue import Catalogue, fold
from keelmark.notation.context import Context
from keelmark.notation.lexicon import Lexicon
from keelmark.notation.trade import trade
from keelmark.notation.tree import Prescription, Station

__all__ = ["OwnText", "as_own_version", "own_text"]

_FIGURE = (
    r"\+?[0-9]+(?:[.,][0-9]+)?(?:\s*[x×]\s*[0-9]+(?:[.,][0-9]+)?)?(?:\s*(?:kg|lbs?|#|cal|kcal|cm|m|in|\"|%))?(?![\w:])"
)
_NAMED = re.compile(rf"(?<![\w])(?P<name>[A-ZÀ-ÖØ-Þ][a-zß-öø-ÿ]+)\s*[:=@]?\s*(?P<figure>{_FIGURE})")
_BETWEEN = re.compile(r"\s*(?:[,;/|&]|and|und|y|et|e)?\s*")
_LINE_OF = re.compile(
    r"^[ \t]*(?P<name>[A-ZÀ-ÖØ-Þ][a-zß-öø-ÿ]+)[ \t]*(?:\([^()\n]*\))?[ \t]*[:=][ \t]*(?P<rest>[^\n]*)", re.MULTILINE
)
_IN_TURN = re.compile(r"(?<![\w.,/])[0-9]+(?:[.,][0-9]+)?(?:\s?/\s?[0-9]+(?:[.,][0-9]+)?)+(?![\w.,/]*/)")
_WITH_UNIT = re.compile(r"[a-zA-Z#\"%]")


@dataclass(slots=True)
class OwnText:
    """The text of one athlete, what of it was for others, and the version it asks for."""

    text: str
    context: Context
    others: list[tuple[int, int]] = field(default_factory=list)

    def blank(self, start: int, end: int, mark: str = "") -> None:
        """Leave a stretch out, but for a mark at its end."""
        if start >= end:
            return
        left = self.text[start:end].replace("\n", "\0")
        spaces = "".join("\n" if c == "\0" else " " for c in left)
        kept = spaces[: len(spaces) - len(mark)] + mark if len(mark) <= len(spaces) else spaces
        self.text = self.text[:start] + kept + self.text[end:]
        self.others.append((start, end))


def own_text(text: str, context: Context, lexicon: Lexicon) -> OwnText:
    """The text as it is for one athlete, who is named in the context or whose level is.

    Parameters
    ----------
    text : str
        As written for all.
    context : Context
        Names the athlete or the level.
    lexicon : Lexicon
        The words of the whiteboard, none of which is a name.
    """
    own = OwnText(text, context)
    if context.athlete:
        _figures_of_people(own, context.athlete, lexicon)
        _lines_of_people(own, context.athlete, lexicon)
    if context.level:
        _columns_of_levels(own, context.level)
    return own


def _figures_of_people(own: OwnText, athlete: str, lexicon: Lexicon) -> None:
    """`Kim 62.5, Pat 45, Lou 30`: of a row of names with a figure each, the athlete's figure."""
    for row in _rows(own.text, lexicon):
        mine = [at for at, found in enumerate(row) if fold(found["name"]) == fold(athlete)]
        if len(mine) != 1 or len(row) < 2:
            continue
        unit = next((_unit(found["figure"]) for found in reversed(row) if _unit(found["figure"])), "")
        own_figure = row[mine[0]]
        own.blank(row[0].start(), own_figure.start("figure"), " @ ")
        lacks = unit and not _unit(own_figure["figure"])
        own.blank(own_figure.end("figure"), row[-1].end())
        if lacks and row[-1].end() - own_figure.end("figure") > len(unit):
            start = own_figure.end("figure")
            own.text = f"{own.text[:start]} {unit}{own.text[start + 1 + len(unit) :]}"


def _unit(figure: str) -> str:
    return re.sub(r"[0-9.,+\s×x]", "", figure)


def _rows(text: str, lexicon: Lexicon) -> list[list[re.Match[str]]]:
    """Names with a figure each that follow one another."""
    rows: list[list[re.Match[str]]] = []
    for found in _NAMED.finditer(text):
        if not _is_name(found["name"], lexicon):
            continue
        follows = rows and _BETWEEN.fullmatch(text[rows[-1][-1].end() : found.start()]) is not None
        if follows:
            rows[-1].append(found)
        else:
            rows.append([found])
    return rows


def _is_name(word: str, lexicon: Lexicon) -> bool:
    folded = fold(word)
    return (
        lexicon.role([folded], 0, None) is None
        and folded not in lexicon.units
        and lexicon.movement([folded], 0, None) is None
    )


def _lines_of_people(own: OwnText, athlete: str, lexicon: Lexicon) -> None:
    """`Ina (shoulder): ring rows instead of pull-ups`: a version that is only the athlete's, or only another's."""
    for found in reversed(list(_LINE_OF.finditer(own.text))):
        words = fold(found["rest"]).split()
        tells = any(_says_instead(words, at, lexicon) for at in range(len(words)))
        if not tells or not _is_name(found["name"], lexicon):
            continue
        if fold(found["name"]) == fold(athlete):
            own.blank(found.start("name"), found.start("rest"))
            own.context = replace(own.context, option="scaled")
        else:
            own.blank(found.start("name"), found.end("rest"))


def _says_instead(words: list[str], at: int, lexicon: Lexicon) -> bool:
    role = lexicon.role(words[at : at + 4], 0, None)
    return role is not None and ("instead" in role[1] or "scaled" in role[1])


@cache
def _level_names() -> frozenset[str]:
    told = trade()["levels"]
    return frozenset([*told["names"], *told["versions"], *told["plain_names"], *_SHORT_LEVELS])


_SHORT_LEVELS = (
    *("rx", "scaled", "elite", "novice", "novices", "masters", "medium", "mittel", "medio", "moyen", "pro", "pros"),
    *("advanced", "basic", "foundation", "basis", "base", "einsteiger", "beg", "int", "adv"),
)


def _columns_of_levels(own: OwnText, level: str) -> None:
    """`Beginner / Intermediate / Advanced:` over `8/10/12 cal`: the figure in the athlete's place."""
    head = next((line for line in re.finditer(r"[^\n]+", own.text) if len(_levels_in(line[0])) > 2), None)
    names = _levels_in(head[0]) if head is not None else []
    wanted = fold(level)
    place = next((n for n, name in enumerate(names) if name == wanted or name.startswith(wanted[:3])), None)
    if head is None or place is None:
        return
    for found in reversed(list(_IN_TURN.finditer(own.text))):
        figures = list(re.finditer(r"[0-9]+(?:[.,][0-9]+)?", found[0]))
        if len(figures) != len(names):
            continue
        kept = figures[place]
        own.blank(found.start() + kept.end(), found.end())
        own.blank(found.start(), found.start() + kept.start())
    own.blank(head.start() + head[0].index(head[0].strip()[0]), head.end())


def _levels_in(line: str) -> list[str]:
    """The levels that a line names in a row, parted by slashes."""
    told = re.sub(r"[():]", " ", line).split("/")
    names = [fold(part) for part in told]
    return names if len(names) > 2 and all(name in _level_names() for name in names) else []


def as_own_version(tree: Prescription, catalogue: Catalogue) -> Prescription:
    """The tree of one athlete whose version the board told by name: every substitute in the place of its station."""
    sections = tuple(
        replace(
            section,
            groups=tuple(
                replace(group, stations=tuple(_own_station(station, catalogue) for station in group.stations))
                for group in section.groups
            ),
        )
        for section in tree.sections
    )
    return replace(tree, sections=sections)


def _own_station(station: Station, catalogue: Catalogue) -> Station:
    scaled = station.scaled
    if scaled is None or scaled.ratio != 1.0 or scaled.more:
        return station
    movement = scaled.movement or station.movement
    kept = scaled.movement is None or catalogue.movements[movement].load == "needs"
    return replace(
        station,
        movement=movement,
        amount=scaled.amount or station.amount,
        load=scaled.load or (station.load if kept else None),
        height=scaled.height or station.height,
        scaled=None,
    )
