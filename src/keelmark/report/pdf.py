"""Papers as PDF on A4, with the house's own letters inside, so that every accent prints."""

from __future__ import annotations

import logging
from datetime import datetime
from importlib.resources import as_file, files

import fpdf
from fpdf.enums import MethodReturnValue, XPos, YPos
from fpdf.fonts import TTFFont

from keelmark.contracts.stamp import stamp
from keelmark.report.document import Block, Heading, Items, Paper, Slip, Strip, Table, Text

__all__ = ["SIZES", "pdf_of"]

SIZES = (11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0)
"""Sizes of type [pt] that are tried one after another until a paper fits on one page."""

_MARGIN = 15.0
_INK, _SOFT, _SEA, _LINE = (18, 38, 58), (71, 88, 106), (45, 109, 158), (185, 180, 165)
_HOUSE, _MORE = "keelmark", "keelmark more"
_LEADING = 1.28
_POINT = 25.4 / 72
_CELL, _BETWEEN = 0.35, 3.0
"""Room above and below the words of a cell, and between two columns [mm]."""
_NO_SIGN = "?"

logging.getLogger("fontTools").setLevel(logging.ERROR)


def pdf_of(paper: Paper, *, made_at: datetime) -> bytes:
    """A paper as PDF, on one page wherever a readable size of type allows it.

    Parameters
    ----------
    paper : Paper
        What stands on it.
    made_at : datetime
        The moment it is made. The same paper at the same moment gives the same bytes.

    Returns
    -------
    bytes
        The file. A sign that the letters do not hold is printed as `?`, and the foot says so.
    """
    for size in SIZES:
        sheet = _Sheet(paper, size, made_at)
        sheet.write()
        if sheet.page == 1:
            break
    return bytes(sheet.output())


class _Sheet(fpdf.FPDF):
    def __init__(self, paper: Paper, size: float, made_at: datetime) -> None:
        super().__init__(orientation="portrait", unit="mm", format="A4")
        self.paper = paper
        self.size = size
        self.lost = False
        self.set_margins(_MARGIN, 12.0)
        self.c_margin = 0.0
        self.set_auto_page_break(True, margin=16.0)
        self.set_creation_date(made_at)
        self.set_title(paper.title)
        self.set_lang(paper.language)
        self.set_creator("keelmark")
        _add_letters(self)
        self._known = {sign for font in self.fonts.values() if isinstance(font, TTFFont) for sign in font.cmap}

    def write(self) -> None:  # type: ignore[override]
        """Put everything on the page."""
        self.add_page()
        self._line(self.paper.title, size=1.7, bold=True)
        self._line(self.paper.about, colour=_SOFT)
        for block in self.paper.blocks:
            self._block(block)

    def footer(self) -> None:
        """The line at the foot of each page."""
        self.set_y(-13.0)
        more = " Some signs could not be printed; the HTML paper shows them." if self.lost else ""
        self._line(f"{self.paper.foot}{more} Made with {stamp()}. Page {self.page_no()}.", size=0.82, colour=_SOFT)

    # Blocks

    def _block(self, block: Block) -> None:
        if isinstance(block, Heading):
            self._heading(block.text)
        elif isinstance(block, Text):
            self._text(block)
        elif isinstance(block, Items):
            for line in block.lines:
                self._item(line)
        elif isinstance(block, Table):
            self._table(block)
        else:
            self._slip(block)

    def _heading(self, text: str) -> None:
        self.ln(self._height() * 0.45)
        self._line(text, size=1.15, bold=True)
        self.set_draw_color(*_LINE)
        self.set_line_width(0.2)
        self.line(self.l_margin, self.get_y(), self.w - self.r_margin, self.get_y())
        self.ln(0.8)

    def _text(self, block: Text) -> None:
        self.ln(self._height() * 0.2)
        if block.tone == "scope":
            top = self.get_y() + 0.6
            self.set_left_margin(_MARGIN + 3)
            self._line(block.text)
            self.set_left_margin(_MARGIN)
            self.set_draw_color(*_SEA)
            self.set_line_width(0.7)
            self.line(_MARGIN + 0.8, top, _MARGIN + 0.8, self.get_y())
        else:
            self._line(block.text, bold=block.tone == "strong", colour=_SOFT if block.tone == "soft" else _INK)

    def _item(self, line: str) -> None:
        self._letters()
        self.cell(3.5, self._height(), "•")
        self.set_left_margin(_MARGIN + 3.5)
        self._line(line)
        self.set_left_margin(_MARGIN)
        self.set_x(_MARGIN)

    def _table(self, block: Table) -> None:
        self._line(block.caption, size=0.9, colour=_SOFT)
        whole = sum(head.share for head in block.heads)
        widths = [(self.w - 2 * _MARGIN) * head.share / whole for head in block.heads]
        heads = tuple(head.text for head in block.heads)
        self._row(block, heads, widths, head=True)
        for row in block.rows:
            if self.get_y() + self._row_height(row, widths) > self.page_break_trigger:
                self.add_page()
                self._row(block, heads, widths, head=True)
            self._row(block, row, widths)
        self.ln(self._height() * 0.2)

    def _row(self, block: Table, row: tuple[str | Strip, ...], widths: list[float], *, head: bool = False) -> None:
        top, height, left = self.get_y(), self._row_height(row, widths, bold=head), _MARGIN
        for place, (cell, width) in enumerate(zip(row, widths, strict=True)):
            if isinstance(cell, Strip):
                self._strip(cell, left, top + _CELL, width - _BETWEEN, height - 2 * _CELL)
            else:
                self._letters(bold=head or place == 0)
                self.set_xy(left, top + _CELL)
                side = "R" if block.heads[place].kind == "figure" else "L"
                self.multi_cell(width - _BETWEEN, self._height(), self._shown(cell), align=side)
            left += width
        self.set_draw_color(*_LINE)
        self.set_line_width(0.3 if head else 0.15)
        self.line(_MARGIN, top + height, self.w - _MARGIN, top + height)
        self.set_xy(_MARGIN, top + height)

    def _row_height(self, row: tuple[str | Strip, ...], widths: list[float], *, bold: bool = False) -> float:
        tallest = 1
        for place, (cell, width) in enumerate(zip(row, widths, strict=True)):
            if isinstance(cell, str):
                self._letters(bold=bold or place == 0)
                lines = self.multi_cell(
                    width - _BETWEEN, self._height(), self._shown(cell), dry_run=True, output=MethodReturnValue.LINES
                )
                assert isinstance(lines, list)
                tallest = max(tallest, len(lines))
        return tallest * self._height() + 2 * _CELL

    def _strip(self, strip: Strip, left: float, top: float, width: float, height: float) -> None:
        step = width / len(strip.values)
        for number, share in enumerate(strip.heights):
            place = left + number * step
            if share is None:
                self.set_draw_color(*_SOFT)
                self.set_line_width(0.15)
                self.rect(place, top + height - 0.6, step * 0.75, 0.6)
            else:
                self.set_fill_color(*_SEA)
                tall = max(0.25, share * height)
                self.rect(place, top + height - tall, step * 0.75, tall, style="F")

    def _slip(self, block: Slip) -> None:
        self.ln(2.0)
        top = self.get_y()
        self.set_left_margin(_MARGIN + 3)
        self.set_right_margin(_MARGIN + 3)
        self.set_xy(_MARGIN + 3, top + 1.5)
        self._line(block.title, size=1.15, bold=True)
        self._line(block.opening)
        for line in block.lines:
            self._slip_line(line.label, line.boxes, line.lines)
        self.set_left_margin(_MARGIN)
        self.set_right_margin(_MARGIN)
        self.set_draw_color(*_SOFT)
        self.set_line_width(0.3)
        self.set_dash_pattern(dash=1.5, gap=1.0)
        self.rect(_MARGIN, top, self.w - 2 * _MARGIN, self.get_y() - top + 1.5)
        self.set_dash_pattern()
        self.set_xy(_MARGIN, self.get_y() + 3.0)
        self.set_draw_color(*_LINE)

    def _slip_line(self, label: str, boxes: tuple[str, ...], lines: int) -> None:
        self.ln(0.8)
        self._letters()
        height = self._height()
        if label:
            self.cell(self.get_string_width(self._shown(label)) + 2.5, height, self._shown(label))
        self.set_draw_color(*_INK)
        self.set_line_width(0.25)
        for box in boxes:
            words = self._shown(box)
            wide = self.get_string_width(words) + 9
            if self.get_x() + wide > self.w - self.r_margin:
                self.ln(height)
            self.rect(self.get_x() + 0.8, self.get_y() + height / 2 - 1.3, 2.6, 2.6)
            self.set_x(self.get_x() + 4.2)
            self.cell(wide - 4.2, height, words)
        if lines:
            self._write_on(lines, height)
        else:
            self.ln(height)

    def _write_on(self, lines: int, height: float) -> None:
        self.set_draw_color(*_SOFT)
        self.set_line_width(0.15)
        for number in range(lines):
            start = self.get_x() if number == 0 else self.l_margin
            base = self.get_y() + height - 0.6
            self.line(start, base, self.w - self.r_margin, base)
            self.ln(height + 1.4)

    # Letters

    def _letters(self, size: float = 1.0, *, bold: bool = False, colour: tuple[int, int, int] = _INK) -> None:
        self.set_font(_HOUSE, "B" if bold else "", self.size * size)
        self.set_text_color(*colour)

    def _line(self, text: str, *, size: float = 1.0, bold: bool = False, colour: tuple[int, int, int] = _INK) -> None:
        self._letters(size, bold=bold, colour=colour)
        self.multi_cell(
            0, self._height() * size, self._shown(text), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT,
            output=MethodReturnValue.PAGE_BREAK,
        )  # fmt: skip

    def _height(self) -> float:
        return self.size * _POINT * _LEADING

    def _shown(self, text: str) -> str:
        shown = "".join(sign if ord(sign) in self._known or sign == "\n" else _NO_SIGN for sign in text)
        self.lost |= shown != text
        return shown


def _add_letters(sheet: fpdf.FPDF) -> None:
    for style, weight in (("", 400), ("B", 600)):
        for family, part in ((_HOUSE, "latin"), (_MORE, "latin-ext")):
            name = f"source-sans-3-{part}-{weight}-normal.woff2"
            with as_file(files("keelmark.report") / "fonts" / name) as path:
                sheet.add_font(family, style, path)
    sheet.set_fallback_fonts([_MORE], exact_match=False)
