"""The look of the pages, in one place: palette, type, spacing, the chart template and the component theme.

One hue (blue) stands for amounts. A departure above the usual range is ochre, one below it is indigo, and each of
them also has its own shape and its own words. `PAIRS` lists the colours that meet as text or line on a ground, with
the contrast they must keep; the tests compute it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import plotly.graph_objects as go

__all__ = [
    "FONTS",
    "MARKS_TOGETHER",
    "PAIRS",
    "PALETTES",
    "Scheme",
    "chart_template",
    "component_theme",
    "contrast",
    "css_variables",
]

Scheme = Literal["light", "dark"]

PALETTES: dict[Scheme, dict[str, str]] = {
    "light": {
        "paper": "#f5f1e6",  # the ground of the page
        "sheet": "#fdfbf5",  # cards and tables
        "well": "#ebe6d8",  # sunken grounds: table heads, code
        "ink": "#12263a",
        "ink-soft": "#47586a",
        "line": "#cdc7b6",
        "line-strong": "#7a8290",  # borders of things one can press
        "sea": "#2d6d9e",  # amounts
        "sea-deep": "#1c5280",  # links and buttons
        "sea-pale": "#cfe0eb",  # the usual range
        "on-sea": "#ffffff",
        "above": "#b9790f",  # shapes and fills
        "above-ink": "#7f4f05",  # words
        "above-pale": "#f3e4c6",
        "below": "#41347f",
        "below-ink": "#493d88",
        "below-pale": "#e3dff1",
        "unknown": "#87867f",
        "focus": "#12263a",
    },
    "dark": {
        "paper": "#0d1a27",
        "sheet": "#142535",
        "well": "#1b3044",
        "ink": "#e9eef1",
        "ink-soft": "#aebdca",
        "line": "#2d4358",
        "line-strong": "#7890a5",
        "sea": "#62a9d8",
        "sea-deep": "#8cc4ea",
        "sea-pale": "#27485f",
        "on-sea": "#0d1a27",
        "above": "#dca347",
        "above-ink": "#efc47c",
        "above-pale": "#41351c",
        "below": "#6f71d3",
        "below-ink": "#bdbdf2",
        "below-pale": "#2c2d55",
        "unknown": "#b3afa6",
        "focus": "#ffffff",
    },
}

MARKS_TOGETHER: tuple[tuple[str, ...], ...] = (
    ("sea", "above", "below", "unknown"),  # what gauges, bars, signs and answers are drawn in
    ("sea", "sea-pale", "sheet"),  # bars before the band of the usual range on its ground
    ("above", "sea-pale"),
    ("below", "sea-pale"),
    ("unknown", "sea-pale"),
    ("below", "ink-soft"),  # beside the line of a hull or of what is not certain
    ("unknown", "ink-soft"),
    ("above", "ink-soft"),
)
"""Colours that meet as marks in one drawing; the tests compute how they differ to eyes without one kind of cone."""

PAIRS: tuple[tuple[str, str, float], ...] = (
    ("ink", "paper", 7.0),
    ("ink", "sheet", 7.0),
    ("ink", "well", 7.0),
    ("ink-soft", "paper", 4.5),
    ("ink-soft", "sheet", 4.5),
    ("ink-soft", "well", 4.5),
    ("sea-deep", "paper", 4.5),
    ("sea-deep", "sheet", 4.5),
    ("on-sea", "sea-deep", 4.5),
    ("above-ink", "sheet", 4.5),
    ("above-ink", "above-pale", 4.5),
    ("below-ink", "sheet", 4.5),
    ("below-ink", "below-pale", 4.5),
    ("sea", "sheet", 3.0),
    ("above", "sheet", 3.0),
    ("below", "sheet", 3.0),
    ("unknown", "sheet", 3.0),
    ("line-strong", "sheet", 3.0),
    ("sea", "sea-pale", 3.0),
    ("sea", "paper", 3.0),
    ("above", "paper", 3.0),
    ("ink", "sea-pale", 7.0),
    ("focus", "paper", 3.0),
)

FONTS = {
    "text": '"Source Sans 3", "Source Sans Pro", "Segoe UI", system-ui, sans-serif',
    "title": '"Source Serif 4", "Iowan Old Style", "Palatino Linotype", Palatino, Georgia, serif',
}

_SEA_SHADES = [
    "#eef4f8", "#d5e3ec", "#b3cddd", "#8cc4ea", "#62a9d8", "#3f86b8", "#2d6d9e", "#1c5280", "#163f63", "#0f2c46",
]  # fmt: skip


_COMPONENT_VARIABLES = "".join(
    f"--mantine-color-{theirs}:var(--{ours});"
    for theirs, ours in (
        ("body", "paper"),
        ("text", "ink"),
        ("default", "sheet"),
        ("default-hover", "well"),
        ("default-color", "ink"),
        ("default-border", "line-strong"),
        ("dimmed", "ink-soft"),
        ("placeholder", "ink-soft"),
        ("error", "above-ink"),
        ("sea-filled", "sea-deep"),
        ("sea-filled-hover", "sea-deep"),
    )
)


def css_variables() -> str:
    """The palette as style sheet text: light on the root, dark where the page or the system asks for it."""
    blocks = []
    for scheme, palette in PALETTES.items():
        lines = "".join(f"--{name}:{colour};" for name, colour in palette.items())
        blocks.append(
            f":root[data-mantine-color-scheme={scheme}]{{color-scheme:{scheme};{lines}{_COMPONENT_VARIABLES}}}"
        )
    fonts = "".join(f"--font-{name}:{stack};" for name, stack in FONTS.items())
    return f":root{{{fonts}}}" + "".join(blocks)


def component_theme() -> dict[str, Any]:
    """The theme handed to the component library."""
    return {
        "primaryColor": "sea",
        "colors": {"sea": _SEA_SHADES},
        "primaryShade": {"light": 7, "dark": 3},
        "fontFamily": FONTS["text"],
        "headings": {"fontFamily": FONTS["title"]},
        "defaultRadius": 3,
        "focusRing": "auto",
        "respectReducedMotion": True,
        "autoContrast": True,
    }


def chart_template(scheme: Scheme) -> go.layout.Template:
    """How every chart looks in one colour scheme."""
    palette = PALETTES[scheme]
    axis = {
        "gridcolor": palette["line"],
        "linecolor": palette["line-strong"],
        "zerolinecolor": palette["line-strong"],
        "tickfont": {"color": palette["ink-soft"], "size": 13},
        "title": {"font": {"color": palette["ink-soft"], "size": 13}},
        "fixedrange": True,
        "automargin": True,
        "ticks": "outside",
        "ticklen": 4,
        "tickcolor": "rgba(0,0,0,0)",
    }
    return go.layout.Template(
        layout={
            "paper_bgcolor": "rgba(0,0,0,0)",
            "plot_bgcolor": "rgba(0,0,0,0)",
            "font": {"family": FONTS["text"], "color": palette["ink"], "size": 14},
            "colorway": [palette["sea"], palette["ink-soft"]],
            "xaxis": {**axis, "showgrid": False},
            "yaxis": axis,
            "margin": {"l": 8, "r": 8, "t": 8, "b": 8},
            "hoverlabel": {
                "bgcolor": palette["sheet"],
                "bordercolor": palette["line-strong"],
                "font": {"family": FONTS["text"], "color": palette["ink"]},
            },
            "showlegend": False,
        }
    )


@dataclass(frozen=True, slots=True)
class _Light:
    red: float
    green: float
    blue: float

    @classmethod
    def of(cls, colour: str) -> _Light:
        parts = (int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5))
        return cls(*(part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts))

    @property
    def luminance(self) -> float:
        return 0.2126 * self.red + 0.7152 * self.green + 0.0722 * self.blue


def contrast(colour: str, ground: str) -> float:
    """Contrast ratio of two colours written as #rrggbb, 1 to 21 (WCAG 2.2, relative luminance)."""
    first, second = sorted((_Light.of(colour).luminance, _Light.of(ground).luminance), reverse=True)
    return (first + 0.05) / (second + 0.05)
