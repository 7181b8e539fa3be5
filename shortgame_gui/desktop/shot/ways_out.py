"""The ways out in the plan: where each lands, and where the ball then lies."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF, QTransform

from shortgame_gui.advice.result import Escape
from shortgame_gui.desktop.shot.drawing import DIM, ScreenItem, mixed
from shortgame_gui.desktop.shot.plan_items import Traces
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.report.letters import letter_box, square_at

DASHES = (7.0, 3.0)
"""Neither this ink nor these dashes are those of a shot."""
THIN, STRONG = 1.4, 2.8
"""Width of a line, and of that of the answer, in pixels."""


class WaysOutLines(ScreenItem):
    """A line from the ball by the landing to the place of rest, with the letter that the words have, too.

    A place beyond the view has its letter at the border, on the line that leads there.
    """

    def __init__(self, theme: Theme, traces: Traces) -> None:
        super().__init__()
        self._theme, self._traces = theme, traces  # which are painted before, with words
        self.ways: dict[str, Escape] = {}
        self.answer: Escape | None = None
        self.dim = False
        self.setZValue(12)

    def show_ways(self, ways: dict[str, Escape], answer: Escape | None, *, dim: bool) -> None:
        """Draw ``ways``, each under its letter, and the strongest the one that is the ``answer``, if one is.

        ``dim`` says that they are of an earlier situation.
        """
        self.ways, self.answer, self.dim = ways, answer, dim
        self.update()

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        colours, metrics = self._theme.colours, QFontMetricsF(painter.font())
        ink, paper = QColor(colours.text), QColor(colours.sky)
        ink = mixed(ink, paper, DIM) if self.dim else ink
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        pen = QPen(ink, THIN)
        pen.setDashPattern(list(DASHES))
        ball = to_screen.map(QPointF(0.0, 0.0))
        size = QSizeF(metrics.horizontalAdvance("m") + 4.0, metrics.height())
        told = list(self._traces.told)
        foot = max((box.height() for box in told if box.bottom() >= seen.bottom()), default=0.0)
        told += [square_at(to_screen.map(QPointF(*way.place))) for way in self.ways.values() if way.place]
        room = seen.adjusted(2.0, 2.0, -2.0, -2.0 - foot)
        for letter, way in self.ways.items():
            assert way.place is not None
            rest = to_screen.map(QPointF(*way.place))
            pen.setWidthF(STRONG if way is self.answer else THIN)
            painter.setPen(pen)
            painter.drawPolyline(QPolygonF([ball, rest]))
            painter.setPen(QPen(ink, THIN))
            if way.landing is not None:
                self._cross(painter, to_screen.map(QPointF(*way.landing)))
            painter.setBrush(paper)
            box = letter_box(ball, rest, size, room, told)
            told.append(box)
            painter.drawLine(rest, box.center())
            painter.drawRect(square_at(rest))
            painter.drawRect(box)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, letter)

    @staticmethod
    def _cross(painter: QPainter, spot: QPointF) -> None:
        for way in (QPointF(3.5, 3.5), QPointF(3.5, -3.5)):
            painter.drawLine(spot - way, spot + way)
