"""A drawing of a page as a picture that stands alone: a row for each name, weeks from left to right."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from keelmark_dash.theme import FONTS, PALETTES, Scheme

__all__ = ["GridPicture"]

_CELL_WIDTH, _CELL_HEIGHT, _NAME_WIDTH, _EDGE = 30, 46, 150, 24
_STYLE = """
.hull{{fill:none;stroke:{ink-soft};stroke-width:1.2;stroke-linejoin:round}}
.water{{fill:{sea}}}.over{{fill:{above}}}.under{{fill:{below}}}.unknown{{fill:url(#hatch)}}
.hatch-line{{stroke:{unknown};stroke-width:1.6}}.tick{{stroke:{ink};stroke-width:1.5}}
.sign{{stroke-width:1.3;stroke-linejoin:round}}.sign.below{{fill:none;stroke:{below-ink}}}
.sign.within{{fill:{sea}}}.sign.above,.sign.well_above{{fill:{above};stroke:{above}}}
.sign.not_known{{fill:none;stroke:{unknown};stroke-dasharray:1.7 1.4}}
.disc circle{{fill:none;stroke:{ink};stroke-width:1.6}}.answer path{{fill:none;stroke:{ink-soft};stroke-width:1.6}}
text{{font-family:{text};fill:{ink};font-size:14px}}.soft{{fill:{ink-soft};font-size:12px}}
.title{{font-family:{title};font-size:20px}}
"""


@dataclass(frozen=True, slots=True)
class GridPicture:
    """What the picture shows.

    Parameters
    ----------
    title, note : str
        Above and below the grid.
    heads : sequence of str
        One word for each column.
    rows : sequence of (name, cells)
        A drawing for each column: an `svg` element with its own view box, or nothing.
    shapes : str
        Definitions that the drawings refer to.
    """

    title: str
    note: str
    heads: Sequence[str]
    rows: Sequence[tuple[str, Sequence[str]]]
    shapes: str = ""

    def svg(self, scheme: Scheme = "light") -> str:
        """The picture as one SVG document that needs nothing from elsewhere."""
        width = 2 * _EDGE + _NAME_WIDTH + _CELL_WIDTH * len(self.heads)
        top = 3.4 * _EDGE
        height = top + _CELL_HEIGHT * len(self.rows) + 2 * _EDGE
        palette = PALETTES[scheme]
        words = {name: font.replace('"', "'") for name, font in FONTS.items()}
        drawn = [
            f'<rect width="{width}" height="{height:.0f}" fill="{palette["sheet"]}"/>',
            _words(_EDGE, 1.4 * _EDGE, self.title, "title"),
            *(
                _words(self._left(at) + _CELL_WIDTH / 2, top - 8, head, "soft", "middle")
                for at, head in enumerate(self.heads)
            ),
        ]
        for number, (name, cells) in enumerate(self.rows):
            y = top + number * _CELL_HEIGHT
            drawn.append(_words(_EDGE, y + _CELL_HEIGHT * 0.6, name))
            drawn += [_placed(cell, self._left(at), y) for at, cell in enumerate(cells) if cell]
        drawn.append(_words(_EDGE, height - _EDGE, self.note, "soft"))
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height:.0f}" '
            f'viewBox="0 0 {width} {height:.0f}" role="img" aria-label="{escape(self.title)}">'
            f"<style>{_STYLE.format(**palette, **words)}</style>{self.shapes}{''.join(drawn)}</svg>"
        )

    @staticmethod
    def _left(column: int) -> float:
        return _EDGE + _NAME_WIDTH + column * _CELL_WIDTH


def _words(x: float, y: float, said: str, kind: str = "", anchor: str = "start") -> str:
    named = f' class="{kind}"' if kind else ""
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}"{named}>{escape(said)}</text>'


def _placed(drawing: str, x: float, y: float) -> str:
    """A drawing in its cell, and only there."""
    place = f'<svg x="{x + 1:.1f}" y="{y + 2:.1f}" width="{_CELL_WIDTH - 2}" height="{_CELL_HEIGHT - 4}"'
    return re.sub("^<svg", place, drawing, count=1)
