"""The side view: the ground cut open along the line of play, the flag, and how the leading shots run."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF, QTransform

from shortgame_gui.advice import scene
from shortgame_gui.advice.result import Shot
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Session
from shortgame_gui.desktop.shot.drawing import Array, ScreenItem, View, fill, polygon, shot_pen
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.model.situation import Situation
from shortgame_gui.report.section import Profile, profile_of, range_of, smooth
from shortgame_gui.words.text import landing_text

FLAG_HEIGHT = 2.13
"""Usual height of a flagstick in m; common practice, no source."""
TURF = 13.0
"""Thickness of the hatched turf in pixels."""
BAR = 7.0
"""From one bar of finishes to the next, in pixels."""
MARK_AT = (0.5, 0.32, 0.68, 0.2, 0.8)
"""Where along its flight each shot carries its number, so that numbers do not cover each other."""


class Section(ScreenItem):
    """The ground: a strip of turf hatched by surface, and the earth below with notes on the shots."""

    def __init__(self, theme: Theme, measures: Measures) -> None:
        super().__init__()
        self._theme, self._measures = theme, measures
        self.profile: Profile | None = None
        self.shots: tuple[Shot, ...] = ()
        self.dim = False

    def show_ground(self, profile: Profile) -> None:
        self.profile = profile
        self.update()

    def show_shots(self, shots: tuple[Shot, ...], dim: bool) -> None:
        self.shots, self.dim = shots, dim
        self.update()

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        if self.profile is None:
            return
        colours, profile = self._theme.colours, self.profile
        area = to_screen.inverted()[0].mapRect(seen)
        shown = (profile.x >= area.left() - 1.0) & (profile.x <= area.right() + 1.0)
        line = polygon(to_screen, profile.x[shown], profile.z[shown])
        earth = QPolygonF(line)
        earth.append(QPointF(line.last().x(), seen.bottom() + 1.0))
        earth.append(QPointF(line.first().x(), seen.bottom() + 1.0))
        fill(painter, earth, (colours.earth_brush(), None))
        for stretch in profile.stretches:
            inside = shown & (profile.x >= stretch.start - 1e-6) & (profile.x <= stretch.end + 1e-6)
            if inside.sum() < 2:
                continue
            top = polygon(to_screen, profile.x[inside], profile.z[inside])
            turf = QPolygonF([*top.toList(), *top.translated(0.0, TURF).toList()[::-1]])
            fill(painter, turf, colours.surface(stretch.surface))
        painter.setPen(QPen(QColor(colours.text), 1.4))
        painter.drawPolyline(line)
        self._notes(painter, to_screen, seen)

    def _notes(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        """In the earth: where half of each shot's finishes lie, and in words where the one in front lands."""
        if not self.shots or self.profile is None:
            return
        colours, front = self._theme.colours, self.shots[0]
        for place, shot in reversed(list(enumerate(self.shots))):
            pen = QPen(shot_pen(colours, place, dim=self.dim).color(), 3.0 if place == 0 else 2.0)
            painter.setPen(pen)
            along = np.linspace(*shot.half, 40)
            under = self._under_all(to_screen, along, TURF + BAR * (place + 1))
            painter.drawPolyline(under)
            for end in (under.first(), under.last()):
                painter.drawLine(end - QPointF(0, 3), end + QPointF(0, 3))
        middle = self._under(to_screen, 0.5 * sum(front.half), TURF + BAR)
        self._write(painter, seen, middle, 0, "half of the balls stop here")
        if front.technique != "putt":
            spot = self._under(to_screen, front.landing[0], TURF)
            self._write(painter, seen, spot, 1, landing_text(front, self._measures.style))

    def _write(self, painter: QPainter, seen: QRectF, spot: QPointF, row: int, text: str) -> None:
        """``text`` at the bottom of the view, ``row`` lines up, joined to ``spot`` by a thin line."""
        colours, metrics = self._theme.colours, QFontMetricsF(painter.font())
        top = seen.bottom() - (row + 1) * metrics.lineSpacing() - 3.0
        width = metrics.horizontalAdvance(text)
        left = min(max(spot.x() - 0.5 * width, seen.left() + 4.0), seen.right() - width - 4.0)
        painter.setPen(QPen(colours.ink(soft=True), 1.0))
        painter.drawLine(spot, QPointF(spot.x(), max(top, spot.y())))
        # Behind the letters the earth again, so that a line of the row below does not cross them.
        painter.fillRect(QRectF(left - 2.0, top, width + 4.0, metrics.lineSpacing()), colours.earth_brush())
        painter.setPen(colours.ink(soft=self.dim))
        painter.drawText(QPointF(left, top + metrics.ascent()), text)

    def _under_all(self, to_screen: QTransform, x: Array, pixels: float) -> QPolygonF:
        assert self.profile is not None
        height = np.interp(x, self.profile.x, self.profile.z)
        return polygon(to_screen, x, height).translated(0.0, pixels)

    def _under(self, to_screen: QTransform, x: float, pixels: float) -> QPointF:
        assert self.profile is not None
        return to_screen.map(QPointF(x, self.profile.height(x))) + QPointF(0.0, pixels)


@dataclass(frozen=True)
class Way:
    """How one shot is drawn: its place among those shown, and its points in m and s."""

    place: int
    shot: Shot
    x: Array
    z: Array
    time: Array


class Flights(ScreenItem):
    """The ways of the leading shots, with bounces, resting places and the rank of each."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.ways: tuple[Way, ...] = ()
        self.dim = False
        self.setZValue(10)

    def show_shots(self, shots: tuple[Shot, ...], dim: bool) -> None:
        """Draw ``shots``, the first in front."""
        self.ways = tuple(Way(place, shot, *smooth(shot.track)) for place, shot in enumerate(shots))
        self.dim = dim
        self.update()

    def pen(self, way: Way) -> QPen:
        """The pen of a way as it is drawn now."""
        return shot_pen(self._theme.colours, way.place, dim=self.dim)

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for way in reversed(self.ways):
            painter.setPen(self.pen(way))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPolyline(polygon(to_screen, way.x, way.z))
            self._touches(painter, to_screen, way)
        for way in reversed(self.ways):
            self._number(painter, to_screen, way)

    def _touches(self, painter: QPainter, to_screen: QTransform, way: Way) -> None:
        """First landing and bounces as dots, the place of rest as a ball."""
        track, colour = way.shot.track, self.pen(way).color()
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour)
        bounces = list(track.bounces) if way.shot.technique != "putt" else []
        spots = polygon(to_screen, track.position[0][bounces], track.position[2][bounces])
        for number, spot in enumerate(spots.toList()):
            size = 4.0 if number == 0 else 2.0
            painter.drawEllipse(spot, size, size)
        painter.setPen(QPen(colour, 1.5))
        painter.setBrush(QColor(self._theme.colours.ball))
        rest = to_screen.map(QPointF(float(track.position[0][-1]), float(track.position[2][-1])))
        painter.drawEllipse(rest, 4.5, 4.5)

    def _number(self, painter: QPainter, to_screen: QTransform, way: Way) -> None:
        """The rank in a small box on the flight."""
        track, metrics, text = way.shot.track, QFontMetricsF(painter.font()), str(way.shot.rank)
        share = MARK_AT[way.place % len(MARK_AT)]
        at = round(share * (track.landing or len(track.time) - 1))
        middle = to_screen.map(QPointF(float(track.position[0][at]), float(track.position[2][at])))
        box = QRectF(0.0, 0.0, metrics.horizontalAdvance(text) + 8.0, metrics.height() + 2.0)
        box.moveCenter(middle)
        painter.setPen(QPen(self.pen(way).color(), 1.2))
        painter.setBrush(QColor(self._theme.colours.sky))
        painter.drawRect(box)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)


class Obstacles(ScreenItem):
    """What stands in the way: the lip ahead of a ball in sand, a hedge, a branch."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.boxes: list[tuple[float, float, float]] = []
        self.setZValue(4)

    def show_boxes(self, boxes: list[tuple[float, float, float]]) -> None:
        """Boxes as (distance, lower edge, upper edge) in m."""
        self.boxes = boxes
        self.update()

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        for at, low, high in self.boxes:
            foot, top = to_screen.map(QPointF(at, low)), to_screen.map(QPointF(at, high))
            bottom = min(foot.y(), seen.bottom() + 10.0)
            shape = QPolygonF(QRectF(top.x() - 3.0, top.y(), 6.0, max(bottom - top.y(), 1.0)))
            fill(painter, shape, self._theme.colours.barrier())


class Flag(ScreenItem):
    """Hole, stick and pennant."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.at = (0.0, 0.0)
        self.setZValue(20)

    def show_at(self, x: float, z: float) -> None:
        self.at = (x, z)
        self.update()

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        x, z = self.at
        foot, top = to_screen.map(QPointF(x, z)), to_screen.map(QPointF(x, z + FLAG_HEIGHT))
        colour = QColor(self._theme.colours.flag)
        painter.setPen(
            QPen(QColor(self._theme.colours.text), 4.0, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap)
        )
        painter.drawLine(foot, foot + QPointF(0, 8))
        painter.setPen(QPen(QColor(self._theme.colours.text), 1.5))
        painter.drawLine(foot, top)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour)
        painter.drawPolygon(QPolygonF([top, top + QPointF(16, 5), top + QPointF(0, 10)]))


def boxes_of(situation: Situation, profile: Profile) -> list[tuple[float, float, float]]:
    """The obstacles on the line of play, from the ground up where they stand on it: (distance, low, high)."""
    found = scene.obstacles(situation)
    if found is None:
        return []
    return [
        (float(at), max(float(low), profile.height(at)), float(high))
        for at, low, high, left, right in zip(
            found.at, found.low, found.high, found.left, found.right, strict=True
        )
        if left >= 0.0 and right >= 0.0 and high > profile.height(at)
    ]


class SideView(View):
    """Ground and shots from the side; heights are stretched to fill the view unless equal scale is chosen."""

    def __init__(self, session: Session, theme: Theme, measures: Measures) -> None:
        super().__init__(
            "Side view", "The ground along the line of play and the flight and run of the leading shots."
        )
        self._session, self._theme, self._measures = session, theme, measures
        self._equal = False
        self.section, self.flag = Section(theme, measures), Flag(theme)
        self.obstacles, self.flights = Obstacles(theme), Flights(theme)
        for item in (self.section, self.obstacles, self.flights, self.flag):
            self.addItem(item)
        session.changed.connect(self.show_ground)
        session.advice_changed.connect(self.show_shots)
        session.picked.connect(self.show_shots)
        theme.changed.connect(self.repaint_all)
        measures.changed.connect(self.repaint_all)
        self.getViewBox().sigResized.connect(self._fit)
        self.repaint_all()

    def set_equal_scale(self, on: bool) -> None:
        """Heights on the same scale as distances, or stretched to fill the view."""
        self._equal = on
        self.getViewBox().setAspectLocked(on)
        self._fit()

    def repaint_all(self) -> None:
        """Everything anew: colours or units changed."""
        self.paint_frame(self._theme.colours, self._measures, "height")
        self.show_ground()
        self.show_shots()

    def show_ground(self) -> None:
        """Draw the ground of the session's situation, at once, whatever the advice does."""
        situation = self._session.situation
        profile = profile_of(situation, -25.0, max(situation.hole.distance * 2.0 + 10.0, 60.0))
        self.section.show_ground(profile)
        self.obstacles.show_boxes(boxes_of(situation, profile))
        hole = situation.hole.distance
        self.flag.show_at(hole, profile.height(hole))
        self._fit()

    def show_shots(self) -> None:
        """Draw the leading shots; paler while they are those of an earlier situation."""
        shots, dim = self._session.shown, not self._session.current
        self.flights.show_shots(shots, dim)
        self.section.show_shots(shots, dim)
        self._fit()

    def _fit(self) -> None:
        """Show ball, hole and shots, and nothing that is far from all of them."""
        profile, shots = self.section.profile, self._session.shown
        if profile is None:
            return
        low, high = range_of(self._session.situation, shots)
        inside = (profile.x >= low) & (profile.x <= high)
        bottom, ground_top = float(profile.z[inside].min()), float(profile.z[inside].max())
        top = max(
            [self.flag.at[1] + FLAG_HEIGHT, ground_top, *(float(s.track.position[2].max()) for s in shots)]
        )
        height = top - bottom
        self.getAxis("left").floor = bottom - 0.05 * height
        self.setXRange(low, high, padding=0)
        if not self._equal:
            # The earth below holds the notes, whose height is in pixels.
            notes = TURF + BAR * (len(shots) + 1) + 2.5 * QFontMetricsF(self.font()).lineSpacing()
            share = min(0.5, notes / max(self.getViewBox().height(), 1.0))
            above = 1.08 * height
            self.setYRange(bottom - above * share / (1.0 - share), bottom + above, padding=0)
