"""The balls of a playback as small moving items, so that only their surroundings are painted anew."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter, QPen

from shortgame_gui.desktop.plotting import pg
from shortgame_gui.desktop.shot.motion import Moving
from shortgame_gui.desktop.theme import Theme

RADIUS = 5.5
"""Of a ball, in pixels."""


class Ball(pg.GraphicsObject):
    """One ball in the colour of its shot."""

    def __init__(self, theme: Theme, place: int) -> None:
        super().__init__()
        self._theme, self._place = theme, place
        self.setFlag(self.GraphicsItemFlag.ItemIgnoresTransformations)
        self.setZValue(25 - 0.1 * place)

    def boundingRect(self) -> QRectF:
        return QRectF(-RADIUS - 2.0, -RADIUS - 2.0, 2.0 * RADIUS + 4.0, 2.0 * RADIUS + 4.0)

    def paint(self, painter: QPainter, *args: object) -> None:
        colours = self._theme.colours
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(colours.shot(self._place), 2.2))
        painter.setBrush(QColor(colours.ball))
        painter.drawEllipse(QPointF(0.0, 0.0), RADIUS, RADIUS)


class Balls:
    """The balls in one view, which shows heights or what is left of the line over the distance."""

    def __init__(self, view: pg.PlotWidget, theme: Theme, shows: Literal["height", "left"]) -> None:
        self._view, self._theme, self._shows = view, theme, shows
        self.all: list[Ball] = []

    def show(self, ways: Sequence[Moving], time: float | None) -> None:
        """One ball for each of ``ways`` where it is at ``time`` in s; none without a time."""
        wanted = ways if time is not None else ()
        while len(self.all) > len(wanted):
            self._view.removeItem(self.all.pop())
        while len(self.all) < len(wanted):
            ball = Ball(self._theme, wanted[len(self.all)].place)
            self.all.append(ball)
            self._view.addItem(ball)
        for ball, way in zip(self.all, wanted, strict=True):
            moment = way.at(time or 0.0)
            ball.setPos(moment.x, moment.z if self._shows == "height" else moment.y)
