"""The plan view: the ground from above, the aim, where the shot in front lands and its balls finish."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF, QTransform

from shortgame_gui.advice import scene
from shortgame_gui.advice.result import Shot
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Session
from shortgame_gui.desktop.shot.balls import Balls
from shortgame_gui.desktop.shot.drawing import Array, ScreenItem, View, fill, polygon, shot_pen
from shortgame_gui.desktop.shot.handles import Handles
from shortgame_gui.desktop.shot.motion import Way
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.physics.ground import SURFACES, Strip

RINGS_METRES = (1.0, 2.0, 3.0)
RINGS_FEET = (3.0, 6.0, 10.0)
MOST_POINTS = 400
"""Finishes drawn; more would only cover each other."""


class Lawn(ScreenItem):
    """Rectangles of surface from above, the line to the hole, and the rings round it."""

    def __init__(self, theme: Theme, measures: Measures) -> None:
        super().__init__()
        self._theme, self._measures = theme, measures
        self.strips: list[Strip] = []
        self.hole = 0.0
        self.walls: list[tuple[float, float, float]] = []
        """Obstacles as (distance, reach left, reach right) in m."""

    def show_ground(self, strips: list[Strip], hole: float, walls: list[tuple[float, float, float]]) -> None:
        self.strips, self.hole, self.walls = strips, hole, walls
        self.update()

    def rings(self) -> list[tuple[float, str]]:
        """Radius in m and label of each ring round the hole."""
        unit = self._measures.short
        return [
            (unit.si(r), f"{r:.0f}{unit.suffix}")
            for r in (RINGS_FEET if self._measures.yards else RINGS_METRES)
        ]

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        colours = self._theme.colours
        room = seen.adjusted(-50, -50, 50, 50)
        for strip in self.strips:
            box = QRectF(
                QPointF(strip.start, -strip.right), QPointF(strip.end, strip.left)
            )  # y grows to the left
            shape = to_screen.mapRect(box).intersected(room)
            fill(painter, QPolygonF(shape), colours.surface(SURFACES[strip.surface]))
            if SURFACES[strip.surface] == "green":
                painter.setPen(QPen(QColor(colours.text), 1.0))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawRect(shape)
        for at, left, right in self.walls:
            wall = to_screen.mapRect(QRectF(QPointF(at, -right), QPointF(at, left))).adjusted(-3, 0, 3, 0)
            fill(painter, QPolygonF(wall.intersected(room)), colours.barrier())
        ink = QPen(QColor(colours.text), 1.0, Qt.PenStyle.DotLine)
        painter.setPen(ink)
        painter.drawLine(to_screen.map(QPointF(0, 0)), to_screen.map(QPointF(self.hole, 0)))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        centre = to_screen.map(QPointF(self.hole, 0.0))
        for radius, label in self.rings():
            edge = to_screen.map(QPointF(self.hole + radius, 0.0)).x() - centre.x()
            if edge < 6.0:
                continue
            painter.setPen(QPen(QColor(colours.text), 1.0, Qt.PenStyle.DashLine))
            painter.drawEllipse(centre, edge, edge)
            painter.setPen(QColor(colours.text))
            if edge > 18.0:
                painter.drawText(centre + QPointF(3.0, -edge - 2.0), label)
        painter.setPen(QPen(QColor(colours.text), 1.2))
        painter.setBrush(QColor(colours.text))
        painter.drawEllipse(centre, 3.0, 3.0)
        self._pennant(painter, centre)

    def _pennant(self, painter: QPainter, centre: QPointF) -> None:
        painter.drawLine(centre, centre + QPointF(0, -16))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(self._theme.colours.flag))
        tip = centre + QPointF(0, -16)
        painter.drawPolygon(QPolygonF([tip, tip + QPointF(10, 3.5), tip + QPointF(0, 7)]))


class Traces(ScreenItem):
    """The ways over ground of the leading shots, and landing and finishes of the one in front."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.shots: tuple[Shot, ...] = ()
        self.dim = False
        self.setZValue(10)

    def show_shots(self, shots: tuple[Shot, ...], dim: bool) -> None:
        """Draw ``shots``, the first in front."""
        self.shots, self.dim = shots, dim
        self.update()

    @property
    def finishes(self) -> Array:
        """Finishes that are drawn, in m, (2, n)."""
        return self.shots[0].finishes[:, :MOST_POINTS] if self.shots else np.zeros((2, 0))

    @property
    def landing(self) -> tuple[float, float] | None:
        """Where the shot in front lands, in m; None where it rolls all the way."""
        if not self.shots or self.shots[0].technique == "putt":
            return None
        return self.shots[0].landing

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colour = self._theme.colours.shot(0)
        colour.setAlphaF(0.15 if self.dim else 0.5)
        painter.setPen(QPen(colour, 4.0, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
        painter.drawPoints(polygon(to_screen, *self.finishes))
        for place, shot in reversed(list(enumerate(self.shots))):
            painter.setPen(shot_pen(self._theme.colours, place, dim=self.dim))
            painter.drawPolyline(polygon(to_screen, shot.track.position[0], shot.track.position[1]))
        if self.landing is not None:
            painter.setPen(QPen(shot_pen(self._theme.colours, 0, dim=self.dim).color(), 2.5))
            spot = to_screen.map(QPointF(*self.landing))
            for way in (QPointF(5.0, 5.0), QPointF(5.0, -5.0)):
                painter.drawLine(spot - way, spot + way)


class PlanView(View):
    """The same stretch of ground as the side view above it, seen from above and to scale."""

    def __init__(self, session: Session, theme: Theme, measures: Measures) -> None:
        super().__init__(
            "Plan view", "The ground from above with the aim, the landing and the spread of finishes."
        )
        self._session, self._theme, self._measures = session, theme, measures
        self.lawn = Lawn(theme, measures)
        self.addItem(self.lawn)
        self.getViewBox().setAspectLocked(True)
        self.traces = Traces(theme)
        self.addItem(self.traces)
        self.handles = Handles(self, theme)
        self.balls = Balls(self, theme, "left")
        session.changed.connect(self.show_ground)
        for signal in (session.advice_changed, session.picked, session.pictured):
            signal.connect(self.show_shots)
        theme.changed.connect(self.repaint_all)
        measures.changed.connect(self.repaint_all)
        self.setYRange(-3.0, 3.0)
        self.repaint_all()

    def repaint_all(self) -> None:
        """Everything anew: colours or units changed."""
        self.paint_frame(self._theme.colours, self._measures, "left of line", along_label=False)
        self.show_ground()
        self.show_shots()

    def show_ground(self) -> None:
        """Draw the ground of the session's situation."""
        situation = self._session.situation
        found = scene.obstacles(situation)
        walls = [] if found is None else np.stack([found.at, found.left, found.right], axis=1).tolist()
        self.lawn.show_ground(scene.strips(situation), situation.hole.distance, walls)

    def show_shots(self) -> None:
        """Draw the way over ground of the leading shots, and the spread of the one in front."""
        self.traces.show_shots(self._session.ways, not self._session.exact)

    def show_moment(self, ways: tuple[Way, ...], time: float | None) -> None:
        """Show the balls of a playback."""
        self.balls.show(ways, time)

    def key_step(self, along: int, up: int) -> None:
        pass

    def let_go(self) -> None:
        self.escaped.emit()
