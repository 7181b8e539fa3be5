"""A few words in a small box beside a spot of a view: what the mouse is on, or what a drag answers."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QTransform

from shortgame_gui.desktop.shot.drawing import ScreenItem
from shortgame_gui.desktop.theme import Theme

AWAY = 14.0
"""From the spot to the box, in pixels."""
PAD = 5.0


class Callout(ScreenItem):
    """Lines of text in a box that stays inside the view, joined to the spot that they are about."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.lines: tuple[str, ...] = ()
        self.spot = QPointF()
        self.corner = False
        self.over: float | None = None
        self.setZValue(40)

    def tell(self, x: float, y: float, *lines: str, corner: bool = False, over: float | None = None) -> None:
        """Say ``lines`` about the spot ``x``, ``y`` in m; no lines take the box away.

        In the ``corner`` it stays where it is, top right, while the spot moves. Where there is room it stands
        above ``over``, in m, so that it hides nothing as low as that.
        """
        told = (x, y, lines, corner, over)
        if told != (self.spot.x(), self.spot.y(), self.lines, self.corner, self.over):
            self.spot, self.lines, self.corner, self.over = QPointF(x, y), lines, corner, over
            self.update()

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        if not self.lines:
            return
        colours, metrics = self._theme.colours, QFontMetricsF(painter.font())
        spot = to_screen.map(self.spot)
        width = max(metrics.horizontalAdvance(line) for line in self.lines) + 2.0 * PAD
        height = len(self.lines) * metrics.lineSpacing() + 2.0 * PAD
        left = spot.x() - 0.5 * width
        top = spot.y() - AWAY - height
        if self.over is not None:
            above = to_screen.map(QPointF(0.0, self.over)).y() - 3.0 * metrics.height() - height
            top = min(top, above) if above >= seen.top() + 2.0 else top
        if top < seen.top() + 2.0:
            top = spot.y() + AWAY
        if self.corner:
            left, top = seen.right() - width, seen.top()
        left = min(max(left, seen.left() + 2.0), seen.right() - width - 2.0)
        top = min(max(top, seen.top() + 2.0), seen.bottom() - height - 2.0)
        box = QRectF(left, top, width, height)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(colours.text), 1.0))
        if not self.corner:
            near = QPointF(min(max(spot.x(), left), box.right()), min(max(spot.y(), top), box.bottom()))
            painter.drawLine(spot, near)
        painter.setBrush(QColor(colours.raised))
        painter.drawRect(box)
        for row, line in enumerate(self.lines):
            at = QPointF(left + PAD, top + PAD + row * metrics.lineSpacing() + metrics.ascent())
            painter.drawText(at, line)
