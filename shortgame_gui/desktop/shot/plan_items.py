"""What the plan view is drawn of: the lawn with its slopes, and the shots over it."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QImage,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
    QTransform,
)

from shortgame_gui.advice.result import Shot
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.plotting import pg
from shortgame_gui.desktop.shot.callout import folded
from shortgame_gui.desktop.shot.contours import isolines, levels_for, step_for
from shortgame_gui.desktop.shot.drawing import (
    Array,
    ScreenItem,
    apart,
    clearest,
    fill,
    pixels,
    polygon,
    shot_pen,
    thinned,
)
from shortgame_gui.desktop.shot.motion import Way
from shortgame_gui.desktop.shot.spread import Density, density, half_oval
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.physics.ground import SURFACES, Ground, Strip
from shortgame_gui.report.letters import box_at, square_at
from shortgame_gui.units import FOOT

STEPS_METRES = (0.05, 0.1, 0.2, 0.5, 1.0, 2.0)
STEPS_FEET = tuple(step * FOOT for step in (0.25, 0.5, 1.0, 2.0, 5.0))
REACH = 10.0
"""Heights are looked up for whole multiples of this, in m."""
SIDE = 25.0
"""How far to both sides of the line heights are drawn, in m."""
NEAR_LINE = 8.0
"""How far to both sides the heights decide how closely lines are laid, in m."""
GRID = 0.5
"""Least distance between two heights that are looked up, in m."""
ARROWS = 62.0
"""From one arrow of the slope to the next, in pixels."""
LEVEL = 0.004
"""Slope below which a ground is called level."""
AWAY = 8.0
"""From a mark to what is said of it, in pixels."""
RING_LABEL = 3.0
"""From the upright through the hole to the label of a ring, in pixels."""
FAINT = 0.02
"""Share of the thickest density below which nothing is shaded."""
START_ROWS = 4
"""How many lines away from the end of its line what is said of the start may stand."""
CAPTION_SHARE = 0.2
"""How much of the view's height its caption may take, one line apart."""
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

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        colours = self._theme.colours
        room = seen.adjusted(-2, -2, 2, 2)  # no further: an SVG of the view is not clipped by all readers
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


class Slopes(ScreenItem):
    """Lines of equal height, and arrows that point where the ground falls."""

    def __init__(self, theme: Theme, measures: Measures) -> None:
        super().__init__()
        self._theme, self._measures = theme, measures
        self.ground: Ground | None = None
        self.lines: Array = np.zeros((4, 0))
        self.step = 0.0
        self._heights: Array = np.zeros((0, 0))
        self._path = QPainterPath()
        self._seen = QRectF()
        self.setZValue(2)

    def show_ground(self, ground: Ground, start: float, end: float) -> None:
        """Look the heights up from ``start`` to ``end`` m along the line or further; find their lines."""
        self.ground = ground
        # In large steps, so that a drag of the hole finds the same heights again.
        start, end = REACH * np.floor(start / REACH), REACH * np.ceil(end / REACH)
        grain = max(GRID, (end - start) / 100.0)
        x, y = np.arange(start, end + grain, grain), np.arange(-SIDE, SIDE + grain, grain)
        gx, gy = np.meshgrid(x, y, indexing="ij")
        lane = np.zeros(gx.size, dtype=np.intp)
        z = ground.height(gx.ravel(), gy.ravel(), lane).reshape(gx.shape)
        near = z[:, np.abs(y) <= NEAR_LINE]
        steps = STEPS_FEET if self._measures.yards else STEPS_METRES
        step = step_for(float(near.min()), float(near.max()), steps)
        self.update()
        if step == self.step and np.array_equal(z, self._heights):
            return
        self.step, self._heights = step, z
        self.lines = isolines(x, y, z, levels_for(float(z.min()), float(z.max()), self.step))
        self._seen = QRectF()

    def _path_in(self, area: QRectF) -> QPainterPath:
        """The lines inside ``area`` in m, and none beyond: not every reader clips an SVG of the view."""
        if area != self._seen:
            x0, y0, x1, y1 = self.lines
            inside = (np.minimum(x0, x1) >= area.left()) & (np.maximum(x0, x1) <= area.right())
            inside &= (np.minimum(y0, y1) >= area.top()) & (np.maximum(y0, y1) <= area.bottom())
            x, y = np.stack([x0, x1], axis=1)[inside].ravel(), np.stack([y0, y1], axis=1)[inside].ravel()
            self._path = pg.arrayToQPath(x, y, connect="pairs") if len(x) else QPainterPath()
            self._seen = area
        return self._path

    def arrows(self, x: Array, y: Array) -> tuple[Array, Array]:
        """Slopes dz/dx and dz/dy at points in m (n,)."""
        assert self.ground is not None
        return self.ground.slopes(x, y, np.zeros(len(x), dtype=np.intp))

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        ink = QColor(self._theme.colours.text)
        ink.setAlphaF(0.45)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(ink, 1.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(to_screen.map(self._path_in(to_screen.inverted()[0].mapRect(seen))))
        if self.ground is not None:
            self._arrows(painter, to_screen, seen)

    def _arrows(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        back = to_screen.inverted()[0]
        across = np.arange(seen.left() + 0.5 * ARROWS, seen.right(), ARROWS)
        down = np.arange(seen.top() + 0.4 * ARROWS, seen.bottom() - 0.3 * ARROWS, ARROWS)
        spots = [QPointF(a, b) for a in across for b in down]
        if not spots:
            return
        places = [back.map(spot) for spot in spots]
        x, y = np.array([p.x() for p in places]), np.array([p.y() for p in places])
        along, left = self.arrows(x, y)
        steep = np.hypot(along, left)
        for spot, dx, dy, slope in zip(spots, along, left, steep, strict=True):
            if slope < LEVEL:
                continue
            # Downhill on the screen, where y grows downwards; longer where it is steeper.
            way = QPointF(-dx, dy) / slope
            half = 0.5 * (9.0 + 16.0 * min(float(slope) / 0.06, 1.0))
            tip, tail = spot + way * half, spot - way * half
            side = QPointF(-way.y(), way.x())
            painter.drawLine(tail, tip)
            painter.drawLine(tip, tip - way * 5.0 + side * 3.0)
            painter.drawLine(tip, tip - way * 5.0 - side * 3.0)


class Target(ScreenItem):
    """The line to the hole, the hole with its rings, and the pennant."""

    def __init__(self, theme: Theme, measures: Measures) -> None:
        super().__init__()
        self._theme, self._measures = theme, measures
        self.hole = 0.0
        self.told: tuple[QRectF, ...] = ()
        """Where flag and labels stand, in pixels, as painted last."""
        self.setZValue(5)

    def show_hole(self, hole: float) -> None:
        self.hole = hole
        self.update()

    def rings(self) -> list[tuple[float, str]]:
        """Radius in m and label of each ring round the hole."""
        style = self._measures.style
        return [(radius, style.short(radius, 0)) for radius in style.rings]

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        colours = self._theme.colours
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(colours.text), 1.0, Qt.PenStyle.DotLine))
        painter.drawLine(to_screen.map(QPointF(0, 0)), to_screen.map(QPointF(self.hole, 0)))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        centre = to_screen.map(QPointF(self.hole, 0.0))
        last, told, metrics = 0.0, [], QFontMetricsF(painter.font())
        top = to_screen.mapRect(seen).top() + painter.fontMetrics().ascent()
        for radius, label in self.rings():
            edge = to_screen.map(QPointF(self.hole + radius, 0.0)).x() - centre.x()
            if edge < 6.0:
                continue
            painter.setPen(QPen(QColor(colours.text), 1.0, Qt.PenStyle.DashLine))
            painter.drawEllipse(centre, edge, edge)
            painter.setPen(QColor(colours.text))
            if edge > 18.0 and edge - last > 14.0 and centre.y() - edge - 2.0 > top:
                painter.drawText(centre + QPointF(RING_LABEL, -edge - 2.0), label)
                told.append(
                    metrics.boundingRect(label).translated(centre.x() + RING_LABEL, centre.y() - edge - 2.0)
                )
                last = edge
        painter.setPen(QPen(QColor(colours.text), 1.2))
        painter.setBrush(QColor(colours.text))
        painter.drawEllipse(centre, 3.0, 3.0)
        tip = centre + QPointF(0, -16)
        self.told = (*told, QRectF(tip - QPointF(3.0, 0.0), QSizeF(13.0, 19.0)))
        painter.drawLine(centre, tip)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(colours.flag))
        painter.drawPolygon(QPolygonF([tip, tip + QPointF(10, 3.5), tip + QPointF(0, 7)]))


class Traces(ScreenItem):
    """The ways over ground of the leading shots, and landings and finishes of the one in front."""

    def __init__(self, theme: Theme, target: Target) -> None:
        super().__init__()
        self._theme, self._target = theme, target  # which is painted before, with words
        self.ways: tuple[Way, ...] = ()
        self.spot: Way | None = None
        self.dim = self.past = False
        self.oval: Array | None = None
        self.density: Density | None = None
        self.caption = ""
        self.start_text = ""
        self.places: tuple[tuple[float, float], ...] = ()
        """Where other ways out lead to, in m."""
        self.told: tuple[QRectF, ...] = ()
        """Where words stand, in pixels, as painted last."""
        self._sampled: Shot | None = None
        self.setZValue(10)

    def show_ways(self, ways: tuple[Way, ...], *, dim: bool, past: bool, spot: Way | None = None) -> None:
        """Draw ``ways``, the first in front; ``spot`` is a landing tried by hand.

        ``dim`` says that the ways are of an earlier situation, ``past`` that the samples are.
        """
        self.ways, self.dim, self.past, self.spot = ways, dim, past, spot
        front = ways[0].shot if ways else None
        if front is None or self._sampled is None or front.finishes is not self._sampled.finishes:
            self.density = density(front.finishes) if front is not None else None
            lands = front is not None and front.technique != "putt"
            self.oval = half_oval(front.landings) if front is not None and lands else None
        self._sampled = front
        self.update()

    @property
    def finishes(self) -> Array:
        """Finishes that are drawn, in m, (2, n)."""
        return self.ways[0].shot.finishes[:, :MOST_POINTS] if self.ways else np.zeros((2, 0))

    @property
    def landing(self) -> tuple[float, float] | None:
        """Where the shot in front lands, in m; None where it rolls all the way."""
        if not self.ways or self.ways[0].shot.technique == "putt":
            return None
        return self.ways[0].shot.landing

    @property
    def start(self) -> tuple[float, float] | None:
        """Direction (unit vector) in which the ball in front starts; the way bends away from it."""
        if not self.ways:
            return None
        track = self.ways[0].shot.track
        moved = np.hypot(*(track.position[:2] - track.position[:2, :1]))
        k = int(np.argmax(moved > 1e-3))
        if moved[k] <= 1e-3:
            return None
        x, y = track.position[:2, k] - track.position[:2, 0]
        return float(x / moved[k]), float(y / moved[k])

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._shade(painter, to_screen)
        colours = self._theme.colours
        colour = colours.shot(0)
        colour.setAlphaF(0.1 if self.past else 0.35)
        # Without smoothing: hundreds of dots, in half the time.
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        painter.setPen(QPen(colour, 3.0, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
        painter.drawPoints(polygon(to_screen, *self.finishes))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        end, self.told = self._start_line(painter, to_screen), ()
        for way in reversed(self.ways):
            painter.setPen(shot_pen(colours, way.place, dim=self.dim))
            painter.drawPolyline(thinned(polygon(to_screen, way.x, way.y)))
        if self.spot is not None:
            pen = shot_pen(colours, 0)
            pen.setStyle(Qt.PenStyle.DotLine)
            painter.setPen(pen)
            tried = polygon(to_screen, self.spot.x, self.spot.y)
            painter.drawPolyline(tried)
            painter.setPen(QPen(pen.color(), 1.6))
            painter.drawEllipse(tried.last(), 4.5, 4.5)  # the ball at rest
            self._cross(painter, to_screen.map(QPointF(*self.spot.shot.landing)))
        if self.oval is not None:
            painter.setPen(QPen(shot_pen(colours, 0, dim=self.past).color(), 1.6, Qt.PenStyle.DashLine))
            painter.drawPolygon(polygon(to_screen, *self.oval))
        if self.landing is not None:
            painter.setPen(QPen(shot_pen(colours, 0, dim=self.dim).color(), 2.5))
            self._cross(painter, to_screen.map(QPointF(*self.landing)))
        if end is not None:
            self._say_start(painter, to_screen, seen, end)
        self.told += (self._caption(painter, seen),)

    def _shade(self, painter: QPainter, to_screen: QTransform) -> None:
        """Where balls finish, the darker the more."""
        found = self.density
        if found is None:
            return
        colour = self._theme.colours.shot(0)
        thick = np.clip((found.share - FAINT) / (1.0 - FAINT), 0.0, 1.0) ** 0.6
        alpha = (thick * (60.0 if self.past else 150.0)).astype(np.uint8)[::-1]
        pixels = np.zeros((*alpha.shape, 4), dtype=np.uint8)
        pixels[..., 0], pixels[..., 1], pixels[..., 2] = colour.red(), colour.green(), colour.blue()
        pixels[..., 3] = alpha
        rows, columns = alpha.shape
        image = QImage(pixels.tobytes(), columns, rows, 4 * columns, QImage.Format.Format_RGBA8888)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        box = QRectF(QPointF(*found.low), QPointF(*found.high))
        painter.drawImage(to_screen.mapRect(box), image)

    def _start_line(self, painter: QPainter, to_screen: QTransform) -> QPointF | None:
        """The line on which the ball in front starts, as far as it goes; returns its end."""
        start = self.start
        if start is None or not self.start_text or start[0] <= 0.0:
            return None
        far = self.ways[0].x[-1] / start[0]
        pen = QPen(shot_pen(self._theme.colours, 0, dim=self.dim).color(), 1.2, Qt.PenStyle.DashDotDotLine)
        painter.setPen(pen)
        end = to_screen.map(QPointF(start[0] * far, start[1] * far))
        painter.drawLine(to_screen.map(QPointF(0.0, 0.0)), end)
        painter.drawEllipse(end, 3.0, 3.0)
        return end

    def _say_start(self, painter: QPainter, to_screen: QTransform, seen: QRectF, end: QPointF) -> None:
        """How far beside the hole the start points: near ``end``, where it hides least."""
        metrics = QFontMetricsF(painter.font())
        line = metrics.lineSpacing()
        room = seen.adjusted(2.0, 2.0, -2.0, -2.0 - self._caption_of(painter, seen)[2].height())
        lines = folded(self.start_text, metrics, room.width() - 4.0, after="")
        size = QSizeF(max(map(metrics.horizontalAdvance, lines)) + 4.0, len(lines) * line)
        least, most = room.left() + 0.5 * size.width(), room.right() - 0.5 * size.width()
        middles = (end.x(), end.x() + 0.5 * size.width() + AWAY, end.x() - 0.5 * size.width() - AWAY)
        below = self.start is not None and self.start[1] < 0.0  # away from the line of play first
        tries = []
        for row in range(START_ROWS):
            away = AWAY + 0.5 * size.height() + row * line
            for down in (away, -away) if below else (-away, away):
                for middle in middles:
                    spot = QPointF(min(max(middle, least), most), end.y() + down)
                    tries.append(box_at(spot, size))
        told = [box.adjusted(-AWAY, -4.0, AWAY, 4.0) for box in self._target.told]
        told += [square_at(to_screen.map(QPointF(*place))) for place in self.places]
        ways = apart([pixels(to_screen, way.x, way.y) for way in self.ways])
        box = clearest(tries, told, ways, room)
        self.told = (box,)
        paper = QColor(self._theme.colours.sky)
        paper.setAlphaF(0.7)
        painter.fillRect(box, paper)
        painter.setPen(QColor(self._theme.colours.text))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, "\n".join(lines))

    @staticmethod
    def _cross(painter: QPainter, spot: QPointF) -> None:
        for way in (QPointF(5.0, 5.0), QPointF(5.0, -5.0)):
            painter.drawLine(spot - way, spot + way)

    def _caption_of(self, painter: QPainter, seen: QRectF) -> tuple[QFont, list[str], QRectF]:
        """Letters, lines and place of what the marks mean: at the lower edge, in a part of the view."""
        small = QFont(painter.font())
        small.setPointSizeF(0.9 * small.pointSizeF())
        if not self.caption:
            return small, [], QRectF()
        metrics = QFontMetricsF(small)
        most = max(1, int(CAPTION_SHARE * seen.height() / metrics.height()))
        lines = folded(self.caption, metrics, seen.width() - 12.0)[:most]
        lines[-1] = lines[-1].removesuffix(",")
        height = len(lines) * metrics.height() + 2.0
        return small, lines, QRectF(seen.left(), seen.bottom() - height, seen.width(), height)

    def _caption(self, painter: QPainter, seen: QRectF) -> QRectF:
        """Write what the marks mean; returns where it stands."""
        small, lines, box = self._caption_of(painter, seen)
        if not lines:
            return box
        painter.setFont(small)
        paper = QColor(self._theme.colours.sky)
        paper.setAlphaF(0.8)
        painter.fillRect(box, paper)
        painter.setPen(self._theme.colours.ink(soft=True))
        painter.drawText(box.adjusted(6, 0, -6, 0), Qt.AlignmentFlag.AlignVCenter, "\n".join(lines))
        return box
