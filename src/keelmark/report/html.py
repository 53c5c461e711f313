"""Papers as HTML with a style sheet for the printer; one file, nothing from elsewhere."""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from importlib.resources import files

import jinja2
import markupsafe

from keelmark.contracts.stamp import stamp
from keelmark.report.document import Heading, Items, Paper, Slip, Strip, Table, Text

__all__ = ["html_of"]

_BAR, _GAP, _HEIGHT = 6, 2, 22
_KINDS = {Heading: "heading", Text: "text", Items: "items", Table: "table", Slip: "slip"}


def html_of(paper: Paper) -> str:
    """A paper as an HTML document of its own, to be read, sent or printed on A4.

    Parameters
    ----------
    paper : Paper
        What stands on it; every text is escaped.
    """
    return _template().render(paper=paper, stamp=stamp())


@cache
def _template() -> jinja2.Template:
    surroundings = jinja2.Environment(
        loader=jinja2.PackageLoader("keelmark.report", "templates"),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=jinja2.StrictUndefined,
    )
    surroundings.globals["kind_of"] = lambda block: _KINDS[type(block)]
    surroundings.globals["bars"] = _bars
    surroundings.globals["letters"] = markupsafe.Markup(_letters())
    surroundings.globals["strip_size"] = lambda strip: (len(strip.values) * (_BAR + _GAP) - _GAP, _HEIGHT)
    surroundings.tests["strip"] = lambda cell: isinstance(cell, Strip)
    return surroundings.get_template("paper.html")


def _letters() -> str:
    """The house's own letters inside the file, so that it looks and breaks its lines the same everywhere."""
    faces = []
    for weight in (400, 600):
        name = f"source-sans-3-latin-{weight}-normal.woff2"
        held = b64encode(files("keelmark.report").joinpath("fonts", name).read_bytes()).decode()
        source = f"url(data:font/woff2;base64,{held}) format('woff2')"
        faces.append(f"@font-face {{ font-family: 'Source Sans 3'; font-weight: {weight}; src: {source}; }}")
    return "\n".join(faces)


def _bars(strip: Strip) -> list[tuple[int, float, int, float, bool]]:
    """Place, top, width and height of each bar, and whether its week is known."""
    found = []
    for number, height in enumerate(strip.heights):
        tall = 2.0 if height is None else max(1.0, round(height * _HEIGHT, 1))
        found.append((number * (_BAR + _GAP), _HEIGHT - tall, _BAR, tall, height is not None))
    return found
