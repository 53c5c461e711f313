"""What a paper consists of, whatever it is printed on: headings, texts, lists, tables, small figures, slips."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Block", "Head", "Heading", "Items", "Paper", "Slip", "SlipLine", "Strip", "Table", "Text"]

Tone = Literal["plain", "soft", "strong", "scope"]
Kind = Literal["text", "figure"]


@dataclass(frozen=True, slots=True)
class Heading:
    """The name of a part of the paper."""

    text: str


@dataclass(frozen=True, slots=True)
class Text:
    """A paragraph."""

    text: str
    tone: Tone = "plain"


@dataclass(frozen=True, slots=True)
class Items:
    """A list of short lines."""

    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Strip:
    """A row of small bars, one per week, oldest first; None where the week is not known. `words` says the same."""

    values: tuple[float | None, ...]
    words: str

    @property
    def heights(self) -> tuple[float | None, ...]:
        """Height of each bar as a share of the largest, 0 to 1."""
        most = max((value for value in self.values if value is not None), default=0.0)
        return tuple(None if value is None else value / most if most else 0.0 for value in self.values)


@dataclass(frozen=True, slots=True)
class Head:
    """A column of a table: its head, how its cells stand, and its share of the width."""

    text: str
    kind: Kind = "text"
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class Table:
    """A table whose first cell in each row names the row."""

    caption: str
    heads: tuple[Head, ...]
    rows: tuple[tuple[str | Strip, ...], ...]


@dataclass(frozen=True, slots=True)
class SlipLine:
    """A line of a slip: what it asks, boxes to tick, and how many lines there are to write on."""

    label: str
    boxes: tuple[str, ...] = ()
    lines: int = 0


@dataclass(frozen=True, slots=True)
class Slip:
    """A part to be filled in by hand and given back."""

    title: str
    opening: str
    lines: tuple[SlipLine, ...]


Block = Heading | Text | Items | Table | Slip


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper: its title, a line under it, what stands on it, and the line at its foot."""

    title: str
    about: str
    blocks: tuple[Block, ...]
    foot: str
    language: str = "en"
