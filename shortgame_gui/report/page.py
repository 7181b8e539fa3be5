"""A printed sheet as blocks that flow from top to bottom: headings, words, lists, tables and pictures.

Lengths are points (72 to the inch), on paper, in pictures and on the screen alike. A block tells its height
for a width and paints itself into a box; a block that does not fit goes to the next page whole. Text is set
in twentieths of a point without hinting, so that lines break at the same words on every device.
"""

from __future__ import annotations

import os
import re
from abc import ABC, abstractmethod
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import ceil

from PySide6.QtCore import QBuffer, QIODevice, QLocale, QMarginsF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QGuiApplication,
    QImage,
    QPageSize,
    QPainter,
    QPdfWriter,
    QPen,
    QTextLayout,
    QTextOption,
)

Paint = Callable[[QPainter, QRectF], None]
"""Paints into a box whose lengths are points."""

INK = "#1b2124"
SOFT_INK = "#50585a"
RULE_INK = "#a9aca6"
ACCENT_INK = "#1f5673"
"""The colours of print; each differs from the paper in grey as well."""

SIZE = 9.0
"""Size of plain text in points."""
INCH = 72.0
_FINE = 20.0
_LEADING = 1.18

#: Where letters are written on US Letter: Unicode CLDR, measurementData, paperSize; list from memory.
LETTER_LANDS = frozenset(["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"])


@dataclass(frozen=True)
class Paper:
    """A size of paper and the margin kept free all round, in points."""

    size: QPageSize.PageSizeId
    margin: float = 40.0

    @property
    def whole(self) -> QRectF:
        size = QPageSize.size(self.size, QPageSize.Unit.Point)
        return QRectF(0.0, 0.0, size.width(), size.height())

    @property
    def inner(self) -> QRectF:
        """What blocks may fill; the line at the foot stands in the margin below."""
        m = self.margin
        return self.whole.adjusted(m, m * 0.85, -m, -m)


A4 = Paper(QPageSize.PageSizeId.A4)
LETTER = Paper(QPageSize.PageSizeId.Letter)


def usual_paper(locale: QLocale | None = None) -> Paper:
    """A4, or Letter where that is the custom of the locale's country."""
    land = QLocale.territoryToCode((locale or QLocale()).territory())
    return LETTER if land in LETTER_LANDS else A4


_application: QGuiApplication | None = None


def ready_to_paint() -> None:
    """Make sure of the application object that fonts need; without a window none of the desktop is loaded."""
    global _application
    if QGuiApplication.instance() is None:
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
        _application = QGuiApplication(["shortgame"])


# --- letters --------------------------------------------------------------------------------------


def _font(size: float, bold: bool = False) -> QFont:
    """The desktop's font in twentieths of ``size`` points."""
    made = QFont(QGuiApplication.font())
    made.setPixelSize(max(1, round(size * _FINE)))
    made.setBold(bold)
    made.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return made


_UNIT = re.compile(r"(?<=\d) (?=(?:%|°C|m|cm|ft|yd|in|m/s|mph|rpm|g)(?![A-Za-z]))")


def _together(text: str) -> str:
    """``text`` with figures and their units on one line."""
    return _UNIT.sub("\N{NO-BREAK SPACE}", text)


def text_width(text: str, size: float = SIZE, *, bold: bool = False) -> float:
    """Width in points of ``text`` on one line."""
    return QFontMetricsF(_font(size, bold)).horizontalAdvance(text) / _FINE


def write_line(
    painter: QPainter,
    spot: QPointF,
    text: str,
    size: float = SIZE,
    *,
    bold: bool = False,
    colour: str = INK,
    align: float = 0.0,
) -> QRectF:
    """One line of ``text`` on the base line; ``spot`` is its start (``align`` 0), middle (0.5) or end (1).

    Returns the box of the letters in points.
    """
    font = _font(size, bold)
    metrics = QFontMetricsF(font)
    width = metrics.horizontalAdvance(text) / _FINE
    left = spot.x() - align * width
    painter.save()
    painter.translate(left, spot.y())
    painter.scale(1.0 / _FINE, 1.0 / _FINE)
    painter.setFont(font)
    painter.setPen(QColor(colour))
    painter.drawText(QPointF(0.0, 0.0), text)
    painter.restore()
    ascent, descent = metrics.ascent() / _FINE, metrics.descent() / _FINE
    return QRectF(left, spot.y() - ascent, width, ascent + descent)


@dataclass(frozen=True)
class _Set:
    """A text set in lines for one width."""

    layout: QTextLayout
    height: float

    def paint(self, painter: QPainter, corner: QPointF, colour: str) -> None:
        painter.save()
        painter.translate(corner)
        painter.scale(1.0 / _FINE, 1.0 / _FINE)
        painter.setPen(QColor(colour))
        self.layout.draw(painter, QPointF(0.0, 0.0))
        painter.restore()


def _set(text: str, width: float, size: float, bold: bool = False, right: bool = False) -> _Set:
    layout = QTextLayout(_together(text), _font(size, bold))
    option = QTextOption(Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft)
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    layout.setTextOption(option)
    layout.setCacheEnabled(True)
    layout.beginLayout()
    y = 0.0
    while (line := layout.createLine()).isValid():
        line.setLineWidth(max(width, 1.0) * _FINE)
        line.setPosition(QPointF(0.0, y))
        y += size * _FINE * _LEADING
    layout.endLayout()
    return _Set(layout, y / _FINE)


# --- blocks ---------------------------------------------------------------------------------------


class Block(ABC):
    """A part of a sheet; ``above`` is the room in points before it, ``leads`` keeps it with the next."""

    above = 6.0
    leads = False

    @abstractmethod
    def height(self, width: float) -> float:
        """Height in points when it is ``width`` points wide."""

    @abstractmethod
    def paint(self, painter: QPainter, box: QRectF) -> None:
        """Paint into ``box``, which is as high as `height` said."""


@dataclass(frozen=True)
class Words(Block):
    """A paragraph."""

    text: str
    size: float = SIZE
    bold: bool = False
    colour: str = INK
    above: float = 4.0

    def height(self, width: float) -> float:
        return _set(self.text, width, self.size, self.bold).height

    def paint(self, painter: QPainter, box: QRectF) -> None:
        _set(self.text, box.width(), self.size, self.bold).paint(painter, box.topLeft(), self.colour)


@dataclass(frozen=True)
class Heading(Words):
    """A heading: 1 for the sheet's own, 2 for a part; it never stands alone at the foot of a page."""

    level: int = 2
    size: float = 0.0
    bold: bool = True
    colour: str = ACCENT_INK
    above: float = 9.0
    leads = True

    def __post_init__(self) -> None:
        if not self.size:
            object.__setattr__(self, "size", {1: 17.0, 2: 10.5}[self.level])


@dataclass(frozen=True)
class Points(Block):
    """A list, each line with a mark in front: a dash, or ``numbered``."""

    lines: tuple[str, ...]
    size: float = SIZE
    numbered: bool = False
    above: float = 3.0

    INDENT = 11.0
    BETWEEN = 1.5

    def height(self, width: float) -> float:
        each = [_set(line, width - self.INDENT, self.size).height for line in self.lines]
        return sum(each) + self.BETWEEN * max(len(each) - 1, 0)

    def paint(self, painter: QPainter, box: QRectF) -> None:
        y = box.top()
        for number, line in enumerate(self.lines, start=1):
            mark = f"{number}." if self.numbered else "\u2013"
            _set(mark, self.INDENT, self.size).paint(painter, QPointF(box.left(), y), SOFT_INK)
            made = _set(line, box.width() - self.INDENT, self.size)
            made.paint(painter, QPointF(box.left() + self.INDENT, y), INK)
            y += made.height + self.BETWEEN


@dataclass(frozen=True)
class Picture(Block):
    """A drawing ``tall`` points high, with a line of words under it."""

    tall: float
    draw: Paint
    caption: str = ""
    above: float = 6.0

    GAP = 2.0

    def height(self, width: float) -> float:
        if not self.caption:
            return self.tall
        return self.tall + self.GAP + _set(self.caption, width, SIZE - 1.5).height

    def paint(self, painter: QPainter, box: QRectF) -> None:
        painter.save()
        self.draw(painter, QRectF(box.left(), box.top(), box.width(), self.tall))
        painter.restore()
        if self.caption:
            made = _set(self.caption, box.width(), SIZE - 1.5)
            made.paint(painter, QPointF(box.left(), box.top() + self.tall + self.GAP), SOFT_INK)


Cell = str | Paint
"""What stands in a table: words, or a small drawing."""


@dataclass(frozen=True)
class Table(Block):
    """Rows under headings; column ``stretch`` takes what is left and wraps, those in ``left`` start left."""

    headings: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    stretch: int = 0
    left: frozenset[int] = frozenset({0})
    drawn_width: float = 30.0
    """Width in points of a cell that is a drawing."""
    bold_rows: frozenset[int] = frozenset()
    size: float = SIZE
    above: float = 5.0

    GAP = 9.0
    PAD = 2.0

    def widths(self, width: float) -> list[float]:
        """Width in points of each column."""
        found = []
        for k, heading in enumerate(self.headings):
            # A heading may break, so only its longest word counts.
            need = max((text_width(word, self.size - 1.0) for word in heading.split()), default=0.0)
            for number, row in enumerate(self.rows):
                cell = row[k]
                bold = number in self.bold_rows
                own = text_width(cell, self.size, bold=bold) if isinstance(cell, str) else self.drawn_width
                need = max(need, own)
            found.append(ceil(need) + 1.0)
        rest = width - sum(found) + found[self.stretch] - self.GAP * (len(found) - 1)
        found[self.stretch] = max(rest, 20.0)
        return found

    def _head(self, widths: Sequence[float]) -> list[_Set]:
        return [
            _set(text, w, self.size - 1.0, right=k not in self.left)
            for k, (text, w) in enumerate(zip(self.headings, widths, strict=True))
        ]

    def _row(self, number: int, widths: Sequence[float]) -> list[_Set | Paint]:
        bold = number in self.bold_rows
        return [
            _set(cell, w, self.size, bold, k not in self.left) if isinstance(cell, str) else cell
            for k, (cell, w) in enumerate(zip(self.rows[number], widths, strict=True))
        ]

    def _tall(self, cells: Sequence[_Set | Paint]) -> float:
        return max((c.height for c in cells if isinstance(c, _Set)), default=self.size) + 2.0 * self.PAD

    def height(self, width: float) -> float:
        widths = self.widths(width)
        head = max(made.height for made in self._head(widths)) + self.PAD
        return head + sum(self._tall(self._row(k, widths)) for k in range(len(self.rows)))

    def paint(self, painter: QPainter, box: QRectF) -> None:
        widths = self.widths(box.width())
        starts = [box.left() + sum(widths[:k]) + self.GAP * k for k in range(len(widths))]
        head = self._head(widths)
        tallest = max(made.height for made in head)
        for x, made in zip(starts, head, strict=True):
            made.paint(painter, QPointF(x, box.top() + tallest - made.height), SOFT_INK)
        y = box.top() + tallest + self.PAD
        rule(painter, box.left(), box.right(), y, INK, 0.7)
        for number in range(len(self.rows)):
            cells = self._row(number, widths)
            tall = self._tall(cells)
            for x, w, cell in zip(starts, widths, cells, strict=True):
                if isinstance(cell, _Set):
                    cell.paint(painter, QPointF(x, y + self.PAD), INK)
                else:
                    painter.save()
                    cell(painter, QRectF(x, y, w, tall))
                    painter.restore()
            y += tall
            rule(painter, box.left(), box.right(), y, RULE_INK, 0.4)


@dataclass(frozen=True)
class Beside(Block):
    """Columns of blocks beside each other, each with its share of the width."""

    columns: tuple[tuple[Block, ...], ...]
    shares: tuple[float, ...] = ()
    above: float = 9.0

    GAP = 18.0

    def _widths(self, width: float) -> list[float]:
        shares = self.shares or (1.0,) * len(self.columns)
        free = width - self.GAP * (len(shares) - 1)
        return [free * share / sum(shares) for share in shares]

    def height(self, width: float) -> float:
        return max(_stack(c, w) for c, w in zip(self.columns, self._widths(width), strict=True))

    def paint(self, painter: QPainter, box: QRectF) -> None:
        x = box.left()
        for column, width in zip(self.columns, self._widths(box.width()), strict=True):
            y = box.top()
            for k, block in enumerate(column):
                y += block.above if k else 0.0
                tall = block.height(width)
                block.paint(painter, QRectF(x, y, width, tall))
                y += tall
            x += width + self.GAP


def _stack(blocks: Sequence[Block], width: float) -> float:
    return sum(b.height(width) + (b.above if k else 0.0) for k, b in enumerate(blocks))


def rule(painter: QPainter, left: float, right: float, y: float, colour: str, thick: float) -> None:
    """A level line, ``thick`` points."""
    painter.setPen(QPen(QColor(colour), thick))
    painter.drawLine(QPointF(left, y), QPointF(right, y))


# --- the sheet ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Sheet:
    """What is printed: blocks in order, and a line at the foot of every page."""

    title: str
    """Title of the document; what is seen as heading is a block."""
    blocks: tuple[Block, ...]
    foot: str = ""
    paper: Paper = field(default_factory=usual_paper)

    def pages(self) -> list[list[tuple[Block, QRectF]]]:
        """Every page's blocks with their boxes; raises ValueError when one block is taller than a page."""
        inner = self.paper.inner
        made: list[list[tuple[Block, QRectF]]] = [[]]
        y = inner.top()
        for k, block in enumerate(self.blocks):
            tall = block.height(inner.width())
            if tall > inner.height():
                raise ValueError(f"a {type(block).__name__} of {tall:.0f} points is taller than a page")
            need = tall
            if block.leads and k + 1 < len(self.blocks):
                following = self.blocks[k + 1]
                need += following.above + following.height(inner.width())
            above = block.above if made[-1] else 0.0
            if made[-1] and y + above + need > inner.bottom():
                made.append([])
                y, above = inner.top(), 0.0
            made[-1].append((block, QRectF(inner.left(), y + above, inner.width(), tall)))
            y += above + tall
        return made

    def paint(self, painter: QPainter, number: int = 0) -> None:
        """Paint page ``number`` with the painter's units as points."""
        made = self.pages()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for block, box in made[number]:
            painter.save()
            block.paint(painter, box)
            painter.restore()
        inner = self.paper.inner
        y = inner.bottom() + 6.0
        rule(painter, inner.left(), inner.right(), y, RULE_INK, 0.4)
        room = inner.width() - (30.0 if len(made) > 1 else 0.0)
        _set(self.foot, room, SIZE - 2.0).paint(painter, QPointF(inner.left(), y + 2.0), SOFT_INK)
        if len(made) > 1:
            end = QPointF(inner.right(), y + 2.0 + SIZE)
            write_line(painter, end, f"{number + 1} / {len(made)}", SIZE - 2.0, colour=SOFT_INK, align=1.0)


def pdf(sheet: Sheet) -> bytes:
    """The sheet as a PDF with its fonts inside; call `ready_to_paint` first where there is no window."""
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setTitle(sheet.title)
    writer.setCreator("shortgame")
    writer.setPageSize(QPageSize(sheet.paper.size))
    writer.setPageMargins(QMarginsF(0.0, 0.0, 0.0, 0.0))
    writer.setResolution(int(INCH * _FINE))
    painter = QPainter(writer)
    try:
        painter.scale(_FINE, _FINE)
        for number in range(len(sheet.pages())):
            if number:
                writer.newPage()
            sheet.paint(painter, number)
    finally:
        painter.end()
    return bytes(buffer.data().data())


def picture(sheet: Sheet, number: int = 0, dots_per_inch: float = 96.0) -> QImage:
    """Page ``number`` as it will look on white paper."""
    scale = dots_per_inch / INCH
    size = QSizeF(sheet.paper.whole.size() * scale).toSize()
    image = QImage(size, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    try:
        painter.scale(scale, scale)
        sheet.paint(painter, number)
    finally:
        painter.end()
    return image
