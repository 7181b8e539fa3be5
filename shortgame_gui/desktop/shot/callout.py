"""A few words in a small box beside a spot of a view: what the mouse is on, or what a drag answers."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QTransform

from shortgame_gui.desktop.shot.drawing import Array, ScreenItem
from shortgame_gui.desktop.theme import Theme

AWAY = 14.0
"""From the spot to the box, in pixels."""
PAD = 5.0
BESIDE, ABOVE = 18.0, 1.4
"""What points that stay clear have about them: numbers and a flag, in pixels, and words, in lines."""


def _inside(box: QRectF, room: QRectF) -> QRectF:
    """``box`` moved so that it lies in ``room``, at its upper left where it is too large."""
    left = max(min(box.left(), room.right() - box.width()), room.left())
    top = max(min(box.top(), room.bottom() - box.height()), room.top())
    return QRectF(left, top, box.width(), box.height())


def folded(line: str, metrics: QFontMetricsF, most: float) -> list[str]:
    """``line`` in parts that are ``most`` pixels wide, if it can be: a new one begins after a comma."""
    parts: list[str] = []
    for piece in line.split(", "):
        longer = f"{parts[-1]}, {piece}" if parts else piece
        if parts and metrics.horizontalAdvance(f"{longer},") <= most:
            parts[-1] = longer
        else:
            parts.append(piece)
    return [f"{part}," for part in parts[:-1]] + parts[-1:]


class Callout(ScreenItem):
    """Lines of text in a box that stays inside the view, joined to the spot that they are about."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.lines: tuple[str, ...] = ()
        self.spot = QPointF()
        self.foot = False
        self._clear: Array | None = None
        self.setZValue(40)

    def tell(
        self,
        x: float,
        y: float,
        *lines: str,
        foot: bool = False,
        clear: Array | None = None,
    ) -> None:
        """Say ``lines`` about the spot ``x``, ``y`` in m; no lines take the box away.

        At the ``foot`` of the view, in its whole width, it stays where it is while the spot moves, and hides
        the earth only. Else it hides none of the points ``clear`` (2, n) in m, with what stands about them,
        where a place can be found, and as few as can be where not.
        """
        told = (x, y, lines, foot)
        if told != (self.spot.x(), self.spot.y(), self.lines, self.foot) or clear is not None:
            self.spot, self.lines, self.foot = QPointF(x, y), lines, foot
            self._clear = clear
            self.update()

    def _clear_box(self, box: QRectF, room: QRectF, to_screen: QTransform, line: float) -> QRectF:
        """``box``, or the nearest place beside the spot, above it or at the upper edge that hides least."""
        assert self._clear is not None
        x = to_screen.m11() * self._clear[0] + to_screen.dx()
        y = to_screen.m22() * self._clear[1] + to_screen.dy()
        spot, tries = to_screen.map(self.spot), [box]
        sides = spot.x() + AWAY, spot.x() - AWAY - box.width()
        corners = room.right() - box.width(), room.left()
        rows = [spot.y() - 0.5 * box.height()]
        while rows[-1] > room.top():  # from the spot upwards, last along the upper edge
            rows.append(rows[-1] - 2.0 * line)
        for number, top in enumerate(rows):
            lefts = sides if number == 0 else (box.left(), *sides)
            for left in lefts if top > room.top() else (*lefts, *corners):
                tries.append(_inside(QRectF(left, top, box.width(), box.height()), room))

        def inside(place: QRectF) -> int:
            over = (x > place.left()) & (x < place.right()) & (y > place.top()) & (y < place.bottom())
            return int(np.count_nonzero(over))

        def hidden(place: QRectF) -> tuple[int, int]:
            return inside(place), inside(place.adjusted(-BESIDE, -ABOVE * line, BESIDE, ABOVE * line))

        return min(tries, key=hidden)

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        if not self.lines:
            return
        colours, metrics = self._theme.colours, QFontMetricsF(painter.font())
        spot = to_screen.map(self.spot)
        most = seen.width() - 4.0 - 2.0 * PAD
        lines = [part for line in self.lines for part in folded(line, metrics, most)]
        width = max(metrics.horizontalAdvance(line) for line in lines) + 2.0 * PAD
        height = len(lines) * metrics.lineSpacing() + 2.0 * PAD
        left = spot.x() - 0.5 * width
        top = spot.y() - AWAY - height
        if top < seen.top() + 2.0:
            top = spot.y() + AWAY
        room = seen.adjusted(2.0, 2.0, -2.0, -2.0)
        box = _inside(QRectF(left, top, width, height), room)
        if self._clear is not None:
            box = self._clear_box(box, room, to_screen, metrics.height())
        if self.foot:
            box = QRectF(seen.left(), seen.bottom() - height, seen.width(), height)
        left, top = box.left(), box.top()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(colours.text), 1.0))
        if not self.foot:
            near = QPointF(min(max(spot.x(), left), box.right()), min(max(spot.y(), top), box.bottom()))
            painter.drawLine(spot, near)
        painter.setBrush(QColor(colours.raised))
        painter.drawRect(box)
        for row, line in enumerate(lines):
            at = QPointF(left + PAD, top + PAD + row * metrics.lineSpacing() + metrics.ascent())
            painter.drawText(at, line)
