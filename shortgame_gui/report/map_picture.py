"""The map as a picture: winners by colour and label, or the lead; drawn alike in the window and in files."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetricsF,
    QImage,
    QPainter,
    QPen,
)
from PySide6.QtSvg import QSvgGenerator

from shortgame_gui.advice.axes import AXES
from shortgame_gui.advice.map import Cell, Map, Scale
from shortgame_gui.report.page import ready_to_paint
from shortgame_gui.words.axes import title, value_text
from shortgame_gui.words.language import _
from shortgame_gui.words.map import short_shot
from shortgame_gui.words.numbers import Style

Layer = Literal["winner", "lead"]
LAYERS: tuple[Layer, ...] = ("winner", "lead")
MOST_LEAD = 0.3
"""Lead in strokes (or chance) from which the colour of the lead stays the same."""


@dataclass(frozen=True)
class Look:
    """The colours of a map as ``#rrggbb``; ``lofts`` runs from the least to the most loft."""

    paper: str
    text: str
    soft_text: str
    line: str
    lofts: tuple[str, ...]
    lead: tuple[str, str]
    """From no lead to a clear one."""
    dark_label: str = "#10181d"
    light_label: str = "#ffffff"


LOFTS = ("#1d2f5e", "#3f5a86", "#6d8593", "#a3a67d", "#d6c163", "#f7eca6")
"""From blue to yellow and ever lighter: the order can be told by any eye, and in grey."""
PRINT = Look(
    paper="#ffffff", text="#20282c", soft_text="#59615f", line="#8d897d", lofts=LOFTS,
    lead=("#f4f1e8", "#1f5673"),
)  # fmt: skip


def mixed(stops: Sequence[str], share: float) -> QColor:
    """The colour at ``share`` (0 to 1) of the way along ``stops``."""
    place = min(max(share, 0.0), 1.0) * (len(stops) - 1)
    k = min(int(place), len(stops) - 2)
    one, two, part = QColor(stops[k]), QColor(stops[k + 1]), place - k
    return QColor.fromRgbF(
        one.redF() + part * (two.redF() - one.redF()),
        one.greenF() + part * (two.greenF() - one.greenF()),
        one.blueF() + part * (two.blueF() - one.blueF()),
    )


def _bright(colour: QColor) -> float:
    return 0.299 * colour.redF() + 0.587 * colour.greenF() + 0.114 * colour.blueF()


class MapPicture:
    """One map in a box: where its cells are, and how they are painted."""

    def __init__(self, made: Map, look: Look, style: Style, layer: Layer, box: QRectF, font: QFont) -> None:
        self.made, self.look, self.style, self.layer = made, look, style, layer
        self.font, self.box = font, box
        self.height = QFontMetricsF(font).height()
        self.columns, self.rows = len(made.x.values), len(made.y.values)
        # Only clubs that win somewhere share the colours, so that wedges of like loft stay apart.
        winners = self._winners()
        clubs = [c.name for c in sorted(made.bag.clubs, key=lambda c: c.loft) if c.name in winners]
        self._place = {name: k / max(len(clubs) - 1, 1) for k, name in enumerate(clubs)}
        self.names = clubs[::-1]
        self._widths: dict[tuple[str, bool], float] = {}
        self.plot = self._plot()
        self.letters = self._letters()
        self._high = QFontMetricsF(self.letters).height()

    def _winners(self) -> set[str]:
        return {cell.club.name for row in self.made.cells for cell in row if cell and cell.club}

    def _wide(self, words: str, small: bool = False) -> float:
        """How wide ``words`` are in the letters of the axes, or in ``small`` ones; few are ever asked for."""
        known = self._widths.get((words, small))
        if known is None:
            font = self.letters if small else self.font
            known = self._widths[words, small] = QFontMetricsF(font).horizontalAdvance(words)
        return known

    def _lines(self, cell: Cell) -> list[str]:
        """What stands in a cell."""
        lines = short_shot(cell) if self.layer == "winner" else (self.style.strokes(cell.lead),)
        return [line for line in lines if line]

    def _letters(self) -> QFont:
        """The letters of the cells: those of the axes where every cell has room for them, else smaller."""
        lines = [self._lines(cell) for row in self.made.cells for cell in row if cell]
        wide = max((self._wide(line) for cell in lines for line in cell), default=0.0)
        high = self.height * max((len(cell) for cell in lines), default=0)
        if wide + 8.0 <= self.plot.width() / self.columns and high + 6.0 <= self.plot.height() / self.rows:
            return self.font
        small = QFont(self.font)
        small.setPixelSize(max(_pixels(self.font) - 2, 8))
        return small

    def _marks(self, scale: Scale) -> list[str]:
        return [value_text(scale.axis, v, self.style, bare=True) for v in scale.values]

    def _plot(self) -> QRectF:
        """The box of the cells: what axes and legend leave."""
        left = max(self._wide(m) for m in self._marks(self.made.y)) + 1.8 * self.height + 8.0
        legend = max([self._wide(n) for n in (*self._winners(), *self._notes())], default=60.0) + 40.0
        if self.layer == "lead":
            legend = max(self._wide(n) for n in self._notes()) + 40.0
        wide = self.box.width() - left - legend - 18.0
        self.below = self._below(wide / self.columns)
        rows = max(mark.count("\n") for mark in self.below)
        top, bottom = 0.7 * self.height, (2.7 + rows) * self.height
        return self.box.adjusted(left, top, -legend - 18.0, -bottom)

    def _below(self, room: float) -> list[str]:
        """The marks under the columns: words, none of which can be left out, in rows that fit ``room``."""
        marks = self._marks(self.made.x)
        if not AXES[self.made.x.axis].choices:
            return marks
        folded = []
        for mark in marks:
            rows: list[str] = []
            for word in mark.split(" "):
                if rows and self._wide(f"{rows[-1]} {word}") + 4.0 <= room:
                    rows[-1] += f" {word}"
                else:
                    rows.append(word)
            folded.append("\n".join(rows))
        return folded

    def _notes(self) -> list[str]:
        notes = [_("too close to call"), _("your situation")]
        if any(cell and cell.problem for row in self.made.cells for cell in row):
            notes.append(_("no such shot"))
        return notes

    # --- places ------------------------------------------------------------------------------------

    def cell_box(self, column: int, row: int) -> QRectF:
        """The box of a cell; the first row is at the bottom."""
        wide, high = self.plot.width() / self.columns, self.plot.height() / self.rows
        return QRectF(self.plot.left() + column * wide, self.plot.bottom() - (row + 1) * high, wide, high)

    def cell_at(self, spot: QPointF) -> tuple[int, int] | None:
        """Column and row of the cell under ``spot``, or None."""
        if not self.plot.contains(spot):
            return None
        column = int((spot.x() - self.plot.left()) / self.plot.width() * self.columns)
        row = int((self.plot.bottom() - spot.y()) / self.plot.height() * self.rows)
        return min(column, self.columns - 1), min(row, self.rows - 1)

    def _nearest(self) -> list[tuple[Cell | None, ...]]:
        """All cells, row by row; those not there yet as the one nearest to them, while the map fills."""
        cells = self.made.cells
        there = [(j, i) for j, row in enumerate(cells) for i, cell in enumerate(row) if cell]
        if not there or len(there) == self.rows * self.columns:
            return list(cells)
        rows, columns = np.array(there, float).T
        aside = abs(columns - np.arange(self.columns)[:, None]) / self.columns
        found = []
        for number in range(self.rows):  # row by row, for a map may have 100 x 100 cells
            best = np.maximum(aside, abs(rows - number) / self.rows).argmin(axis=1).tolist()
            found.append(tuple(cells[there[k][0]][there[k][1]] for k in best))
        return found

    # --- painting ----------------------------------------------------------------------------------

    def colour(self, cell: Cell) -> QColor:
        """The fill of a cell that has a winner."""
        if self.layer == "lead":
            return mixed(self.look.lead, cell.lead / MOST_LEAD)
        return mixed(self.look.lofts, self._place[cell.club.name] if cell.club else 0.0)

    def paint(self, painter: QPainter) -> None:
        """Everything: cells, lines, axes, legend."""
        painter.setFont(self.font)
        painter.fillRect(self.box, QColor(self.look.paper))
        for row, cells in enumerate(self._nearest()):
            for column, shown in enumerate(cells):
                self._cell(painter, column, row, shown)
        self._borders(painter)
        painter.setPen(QPen(QColor(self.look.line), 1.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(self.plot)
        self._own(painter)
        self._axes(painter)
        self._legend(painter)

    def _cell(self, painter: QPainter, column: int, row: int, shown: Cell | None) -> None:
        box, cell = self.cell_box(column, row), self.made.cells[row][column]
        if shown is None:
            return
        if shown.club is None:
            painter.setPen(QPen(QColor(self.look.line), 0.6))
            painter.drawLine(box.topLeft(), box.bottomRight())
            return
        fill = self.colour(shown)
        if cell is None:
            fill.setAlpha(110)
        # A hair more, so that no paper shows between neighbours.
        painter.fillRect(box.adjusted(0.0, 0.0, 0.5, 0.5), fill)
        if cell is None:
            return
        ink = QColor(self.look.dark_label if _bright(fill) > 0.5 else self.look.light_label)
        if cell.too_close:
            self._hatch(painter, box, ink)
        self._label(painter, box, cell, fill, ink)

    def _hatch(self, painter: QPainter, box: QRectF, ink: QColor) -> None:
        """Slanting lines that go on from cell to cell."""
        line = QColor(ink)
        line.setAlpha(70)
        painter.setPen(QPen(line, 0.8))
        step = 6.0
        first = int((box.left() + box.top()) // step) + 1
        last = int((box.right() + box.bottom()) // step)
        # Ends are worked out, not clipped: files of SVG know no clipping.
        least, most, top, bottom = box.left(), box.right(), box.top(), box.bottom()
        lines = []
        for k in range(first, last + 1):
            right, left = min(most, k * step - top), max(least, k * step - bottom)
            lines.append(QLineF(right, k * step - right, left, k * step - left))
        painter.drawLines(lines)

    def _label(self, painter: QPainter, box: QRectF, cell: Cell, fill: QColor, ink: QColor) -> None:
        rows, high = self._lines(cell), self._high
        if high + 1.0 > box.height():
            return
        if high * len(rows) > box.height():
            rows = rows[:1]
        wide = max(self._wide(line, small=True) for line in rows)
        if wide + 2.0 > box.width():
            rows = rows[:1] if self._wide(rows[0], small=True) + 2.0 <= box.width() else []
        if not rows:
            return
        wide = max(self._wide(line, small=True) for line in rows)
        middle = box.center()
        patch = QRectF(0.0, 0.0, wide + 3.0, high * len(rows) - 1.0)
        patch.moveCenter(middle)
        if cell.too_close:
            painter.fillRect(patch & box, fill)  # letters stand clear of the hatching
        painter.setFont(self.letters)
        painter.setPen(ink)
        top = middle.y() - 0.5 * high * len(rows)
        for k, line in enumerate(rows):
            place = QRectF(box.left() - 10.0, top + k * high, box.width() + 20.0, high)
            painter.drawText(place, Qt.AlignmentFlag.AlignCenter, line)
        painter.setFont(self.font)

    def _borders(self, painter: QPainter) -> None:
        """Lines where the winner changes: strong between clubs, fine between ways of playing one."""

        def line(one: Cell | None, two: Cell | None, start: QPointF, end: QPointF) -> None:
            if one is None or two is None or one.winner == two.winner:
                return
            same = one.club is not None and two.club is not None and one.club.name == two.club.name
            painter.setPen(QPen(QColor(self.look.text), 0.7 if same else 2.0))
            painter.drawLine(start, end)

        cells = self.made.cells
        for row in range(self.rows):
            for column in range(self.columns):
                box = self.cell_box(column, row)
                if column + 1 < self.columns:
                    line(cells[row][column], cells[row][column + 1], box.topRight(), box.bottomRight())
                if row + 1 < self.rows:
                    line(cells[row][column], cells[row + 1][column], box.topLeft(), box.topRight())

    def frame(self, painter: QPainter, box: QRectF, dashed: bool) -> None:
        """A frame that is seen on light and dark cells alike."""
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(self.look.light_label), 4.0))
        painter.drawRect(box.adjusted(2.0, 2.0, -2.0, -2.0))
        pen = QPen(QColor(self.look.dark_label), 2.0)
        if dashed:
            pen.setDashPattern([2.0, 1.5])
        painter.setPen(pen)
        painter.drawRect(box.adjusted(2.0, 2.0, -2.0, -2.0))

    def _own(self, painter: QPainter) -> None:
        own = self.made.own
        if own is not None:
            self.frame(painter, self.cell_box(*own), dashed=False)

    def _axes(self, painter: QPainter) -> None:
        painter.setPen(QColor(self.look.text))
        marks, room = self.below, self.plot.width() / self.columns
        rows = 1 + max(mark.count("\n") for mark in marks)
        widest = max(self._wide(row) for mark in marks for row in mark.split("\n"))
        every = _every(widest + 8.0 if rows == 1 else widest, room, self.columns)
        for column in range(0, self.columns, every):
            box = self.cell_box(column, 0)
            place = QRectF(box.center().x() - 100.0, self.plot.bottom() + 3.0, 200.0, rows * self.height)
            painter.drawText(place, Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop, marks[column])
        below = QRectF(
            self.plot.left(), self.plot.bottom() + (rows + 0.35) * self.height, self.plot.width(), self.height
        )
        painter.drawText(below, Qt.AlignmentFlag.AlignCenter, title(self.made.x.axis, self.style.yards))
        marks = self._marks(self.made.y)
        every = _every(1.1 * self.height, self.plot.height() / self.rows, self.rows)
        for row in range(0, self.rows, every):
            box = self.cell_box(0, row)
            place = QRectF(self.box.left(), box.center().y() - self.height, 0.0, 2.0 * self.height)
            place.setRight(self.plot.left() - 5.0)
            flags = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
            painter.drawText(place, flags, marks[row])
        painter.save()
        painter.translate(self.box.left() + 0.7 * self.height, self.plot.center().y())
        painter.rotate(-90.0)
        half = 0.5 * self.plot.height()
        along = QRectF(-half, -0.6 * self.height, 2.0 * half, 1.2 * self.height)
        painter.drawText(along, Qt.AlignmentFlag.AlignCenter, title(self.made.y.axis, self.style.yards))
        painter.restore()

    def _legend(self, painter: QPainter) -> None:
        x, y, step = self.plot.right() + 16.0, self.plot.top(), 1.35 * self.height
        painter.setPen(QColor(self.look.soft_text))
        painter.drawText(QPointF(x, y + 0.8 * self.height), self._heading())
        y += step

        def words(text: str) -> None:
            painter.setPen(QColor(self.look.text))
            painter.drawText(QPointF(x + 26.0, y + 0.82 * self.height), text)

        def sample(colour: QColor) -> QRectF:
            box = QRectF(x, y + 0.1 * self.height, 20.0, 0.9 * self.height)
            painter.fillRect(box, colour)
            painter.setPen(QPen(QColor(self.look.line), 0.6))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(box)
            return box

        if self.layer == "winner":
            for name in self.names:
                sample(mixed(self.look.lofts, self._place[name]))
                words(name)
                y += step
        else:
            for k in range(4):
                lead = MOST_LEAD * k / 3
                sample(mixed(self.look.lead, k / 3))
                more = _("{lead} and more") if k == 3 else "{lead}"
                words(more.format(lead=self.style.strokes(lead)))
                y += step
        y += 0.5 * step
        notes = self._notes()
        self._hatch(painter, sample(QBrush(QColor(self.look.paper)).color()), QColor(self.look.text))
        words(notes[0])
        y += step
        self.frame(painter, sample(QColor(self.look.paper)), dashed=False)
        words(notes[1])
        y += step
        if len(notes) > 2:
            box = sample(QColor(self.look.paper))
            painter.drawLine(box.topLeft(), box.bottomRight())
            words(notes[2])

    def _heading(self) -> str:
        if self.layer == "winner":
            return _("Winning club")
        return _("Lead in strokes") if self.made.situation.player.counts == "average" else _("Lead in chance")


def _pixels(font: QFont) -> int:
    return font.pixelSize() if font.pixelSize() > 0 else round(QFontMetricsF(font).height() * 0.75)


def _every(needed: float, room: float, count: int) -> int:
    """Of how many marks one is written, so that each has ``needed`` where a step takes ``room``."""
    every = 1
    while every < count and every * room < needed:
        every += 1
    return every


def write_picture(made: Map, out: Path, size: tuple[int, int], style: Style, layer: Layer = "winner") -> None:
    """Draw ``made`` into the PNG or SVG file ``out``, ``size`` pixels wide and high; raises OSError."""
    ready_to_paint()
    font = QFont()
    font.setPixelSize(13)
    whole = QRectF(0.0, 0.0, *size)
    picture = MapPicture(made, PRINT, style, layer, whole.adjusted(10.0, 10.0, -10.0, -10.0), font)
    if out.suffix == ".svg":
        out.write_bytes(b"")  # says at once when there is no such folder
        svg = QSvgGenerator()
        svg.setFileName(str(out))
        svg.setSize(QSize(*size))
        svg.setViewBox(whole)
        svg.setTitle(_("When the answer changes"))
        painter = QPainter(svg)
        picture.paint(painter)
        painter.end()
        return
    image = QImage(QSize(*size), QImage.Format.Format_RGB32)
    image.fill(QColor(PRINT.paper))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    picture.paint(painter)
    painter.end()
    if not image.save(str(out)):
        raise OSError(None, _("no such folder, or no room"))
