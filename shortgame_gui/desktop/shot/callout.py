"""A few words in a small box beside a spot of a view: what the mouse is on, or what a drag answers."""

from __future__ import annotations

from math import hypot

import numpy as np
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF, QTransform

from shortgame_gui.desktop.shot.drawing import Array, ScreenItem, inside, pixels
from shortgame_gui.desktop.theme import Theme

AWAY = 14.0
"""From the spot to the box, in pixels."""
PAD = 5.0
ROOT, TIP = 4.0, 5.0
"""Half the width of the wedge where it leaves the box, and what of its tip may cross, in pixels."""
NEAR_STEPS = 2
"""Steps of two lines up and down from the spot that a box stays near."""
BESIDE, ABOVE = 18.0, 1.4
"""What points that stay clear have about them: numbers and a flag, in pixels, and words, in lines."""


def _inside(box: QRectF, room: QRectF) -> QRectF:
    """``box`` moved so that it lies in ``room``, at its upper left where it is too large."""
    left = max(min(box.left(), room.right() - box.width()), room.left())
    top = max(min(box.top(), room.bottom() - box.height()), room.top())
    return QRectF(left, top, box.width(), box.height())


def _nearest(spot: QPointF, box: QRectF) -> QPointF:
    """The point of ``box`` nearest to ``spot``."""
    return QPointF(min(max(spot.x(), box.left()), box.right()), min(max(spot.y(), box.top()), box.bottom()))


def _tip(spot: QPointF, near: QPointF) -> QPointF:
    """Where the wedge from ``near`` begins to count as crossing: a flight may end at the spot itself."""
    way = near - spot
    far = hypot(way.x(), way.y())
    return spot + way * (min(TIP, far) / far) if far else spot


def _wedge(spot: QPointF, near: QPointF) -> QPolygonF:
    """From ``spot`` to the box at ``near``, and a little into it."""
    way = near - spot
    far = max(hypot(way.x(), way.y()), 1e-9)
    side = QPointF(-way.y(), way.x()) * (ROOT / far)
    return QPolygonF([spot, near + side, near - side])


def folded(line: str, metrics: QFontMetricsF, most: float, after: str = ",") -> list[str]:
    """``line`` in parts that are ``most`` pixels wide, if it can be: a new one begins after a comma.

    Or after any word, where ``after`` is empty.
    """
    parts: list[str] = []
    for piece in line.split(f"{after} "):
        longer = f"{parts[-1]}{after} {piece}" if parts else piece
        if parts and metrics.horizontalAdvance(f"{longer}{after}") <= most:
            parts[-1] = longer
        else:
            parts.append(piece)
    return [f"{part}{after}" for part in parts[:-1]] + parts[-1:]


def crossings(one: QPointF, other: QPointF, x: Array, y: Array) -> int:
    """How often the way from ``one`` to ``other`` crosses the line through points (n,); NaN interrupts it."""
    across, down = other.x() - one.x(), other.y() - one.y()
    side = across * (y - one.y()) - down * (x - one.x())
    dx, dy = np.diff(x), np.diff(y)
    first = dx * (one.y() - y[:-1]) - dy * (one.x() - x[:-1])
    last = dx * (other.y() - y[:-1]) - dy * (other.x() - x[:-1])
    return int(np.count_nonzero((side[:-1] * side[1:] < 0.0) & (first * last < 0.0)))


class Callout(ScreenItem):
    """Lines of text in a box that stays inside the view, with a wedge to the spot that they are about.

    It looks for a clear place beside the spot and above it, and ``below`` it as well where that is no earth.
    """

    def __init__(self, theme: Theme, *, below: bool = False) -> None:
        super().__init__()
        self._theme, self._below = theme, below
        self.lines: tuple[str, ...] = ()
        self.spot = QPointF()
        self.foot = self.near = False
        self._clear: Array | None = None
        self.setZValue(40)

    def tell(
        self,
        x: float,
        y: float,
        *lines: str,
        foot: bool = False,
        near: bool = False,
        clear: Array | None = None,
    ) -> None:
        """Say ``lines`` about the spot ``x``, ``y`` in m; no lines take the box away.

        At the ``foot`` of the view, in its whole width, it stays where it is while the spot moves, and hides
        the earth only. Else it hides none of the points ``clear`` (2, n) in m, with what stands about them,
        and crosses none of the lines through them, which NaN ends; where no such place can be found, as few
        as can be. ``near`` looks only about the spot, also below it, as the eye is there.
        """
        told = (x, y, lines, foot)
        if told != (self.spot.x(), self.spot.y(), self.lines, self.foot) or clear is not None:
            self.spot, self.lines, self.foot, self.near = QPointF(x, y), lines, foot, near
            self._clear = clear
            self.update()

    def _clear_box(self, box: QRectF, room: QRectF, to_screen: QTransform, line: float) -> QRectF:
        """``box``, or the nearest place about the spot or at the edge of the view that hides least."""
        assert self._clear is not None
        x, y = told = pixels(to_screen, *self._clear)
        spot, tries = to_screen.map(self.spot), [box]
        sides = spot.x() + AWAY, spot.x() - AWAY - box.width()
        corners = room.right() - box.width(), room.left()
        beside, last = spot.y() - 0.5 * box.height(), room.bottom() - box.height()
        steps = [0]
        while beside - 2.0 * line * steps[-1] > room.top():  # away from the spot, last along the edge
            steps.append(steps[-1] + 1)
        if self.near:
            steps = [0, *(step for k in range(1, NEAR_STEPS + 1) for step in (k, -k))]
        elif self._below:
            down = range(1, 2 + max(int((last - beside) / (2.0 * line)), 0))
            steps = sorted([*steps, *(-step for step in down)], key=abs)
        for step in steps:
            top = beside - 2.0 * line * step
            lefts = sides if step == 0 else (box.left(), *sides)
            for left in lefts if self.near or room.top() < top < last else (*lefts, *corners):
                tries.append(_inside(QRectF(left, top, box.width(), box.height()), room))

        def hidden(place: QRectF) -> tuple[int, int, int]:
            near = _nearest(spot, place)
            wide = place.adjusted(-BESIDE, -ABOVE * line, BESIDE, ABOVE * line)
            return inside(place, told), crossings(_tip(spot, near), near, x, y), inside(wide, told)

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
        painter.setBrush(QColor(colours.raised))
        if not self.foot:  # a wedge, which nobody takes for a flight
            painter.drawPolygon(_wedge(spot, _nearest(spot, box)))
        painter.drawRect(box)
        for row, line in enumerate(lines):
            at = QPointF(left + PAD, top + PAD + row * metrics.lineSpacing() + metrics.ascent())
            painter.drawText(at, line)
