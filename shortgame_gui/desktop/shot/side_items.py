"""What the side view is drawn of: section, obstacles, flag, flights and a ring."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF, QTransform

from shortgame_gui.advice.result import Shot, Track
from shortgame_gui.desktop.measures import Measures
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
from shortgame_gui.desktop.shot.motion import Moment, Way
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.report.letters import box_at
from shortgame_gui.report.section import Barrier, Profile, passed
from shortgame_gui.words.language import _
from shortgame_gui.words.text import landing_text, passed_text

FLAG_HEIGHT = 2.13
"""Usual height of a flagstick in m; common practice, no source."""
TURF = 13.0
"""Thickness of the hatched turf in pixels."""
BAR = 7.0
"""From one bar of finishes to the next, in pixels."""
LEAST_SHARE = 2.0 / 3.0
"""How much smaller than usual a note may be written that has no room."""
SPOT_MARK_AT = 0.8
LIFT = 6.0
"""Pixels between the top of a low flight and its box."""
PEAK_ROOM = 2.5
"""Half the width of what is said at the top of a flight, in lines."""
ROWS = 4
"""How far numbers of flights may go aside or up that have no room beside each other, in boxes."""
MARK_AT = (0.34, 0.24, 0.7, 0.15, 0.78)
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
        self._write(painter, seen, middle, 0, _("half of the balls stop here"))
        if front.technique != "putt":
            spot = self._under(to_screen, front.landing[0], TURF)
            self._write(painter, seen, spot, 1, landing_text(front, self._measures.style))

    def _write(self, painter: QPainter, seen: QRectF, spot: QPointF, row: int, text: str) -> None:
        """``text`` at the bottom of the view, ``row`` lines up, joined to ``spot`` by a thin line."""
        colours, metrics = self._theme.colours, QFontMetricsF(painter.font())
        top = seen.bottom() - (row + 1) * metrics.lineSpacing() - 3.0
        usual, room = painter.font(), seen.width() - 8.0
        if metrics.horizontalAdvance(text) > room:
            share, less = 0.96 * room / metrics.horizontalAdvance(text), painter.font()  # letters are hinted
            less.setPointSizeF(usual.pointSizeF() * max(LEAST_SHARE, share))
            painter.setFont(less)
            metrics = QFontMetricsF(less)
        text = metrics.elidedText(text, Qt.TextElideMode.ElideRight, room)
        width = metrics.horizontalAdvance(text)
        left = min(max(spot.x() - 0.5 * width, seen.left() + 4.0), seen.right() - width - 4.0)
        painter.setPen(QPen(colours.ink(soft=True), 1.0))
        painter.drawLine(spot, QPointF(spot.x(), max(top, spot.y())))
        # Behind the letters the earth again, so that a line of the row below does not cross them.
        painter.fillRect(QRectF(left - 2.0, top, width + 4.0, metrics.lineSpacing()), colours.earth_brush())
        painter.setPen(colours.ink(soft=self.dim))
        painter.drawText(QPointF(left, top + metrics.ascent()), text)
        painter.setFont(usual)

    def _under_all(self, to_screen: QTransform, x: Array, pixels: float) -> QPolygonF:
        assert self.profile is not None
        height = np.interp(x, self.profile.x, self.profile.z)
        return polygon(to_screen, x, height).translated(0.0, pixels)

    def _under(self, to_screen: QTransform, x: float, pixels: float) -> QPointF:
        assert self.profile is not None
        return to_screen.map(QPointF(x, self.profile.height(x))) + QPointF(0.0, pixels)


class Flights(ScreenItem):
    """The ways of the leading shots, with bounces, resting places and the rank of each."""

    def __init__(self, theme: Theme, obstacles: Obstacles) -> None:
        super().__init__()
        self._theme, self._obstacles = theme, obstacles  # which are painted before, with words
        self.ways: tuple[Way, ...] = ()
        self.spot: Way | None = None
        self.dim = False
        self.peak = ""
        self.setZValue(10)

    def show_ways(self, ways: tuple[Way, ...], dim: bool, spot: Way | None = None, peak: str = "") -> None:
        """Draw ``ways``, the first in front with ``peak`` at its top; ``spot`` is a landing tried by hand."""
        self.ways, self.dim, self.spot, self.peak = ways, dim, spot, peak
        self.update()

    @property
    def all(self) -> tuple[Way, ...]:
        """Everything that flies, the landing tried by hand included."""
        return self.ways if self.spot is None else (*self.ways, self.spot)

    def pen(self, way: Way) -> QPen:
        """The pen of a way as it is drawn now."""
        pen = shot_pen(self._theme.colours, way.place, dim=self.dim and way is not self.spot)
        if way is self.spot:
            pen.setStyle(Qt.PenStyle.DotLine)
        return pen

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for way in reversed(self.all):
            painter.setPen(self.pen(way))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPolyline(thinned(polygon(to_screen, way.x, way.z)))
            self._touches(painter, to_screen, way)
        told = list(self._obstacles.told)
        if self.ways and self.peak and self.spot is None:
            told.append(self._peak(painter, to_screen, seen))
        for way in self.all:
            told.append(self._number(painter, to_screen, seen, way, told))

    def _peak(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> QRectF:
        """A tick at the top of the flight in front, and how high that is; returns where the words stand."""
        way, k = self.ways[0], top_of(self.ways[0])
        top, metrics = to_screen.map(QPointF(float(way.x[k]), float(way.z[k]))), QFontMetricsF(painter.font())
        painter.setPen(QPen(self.pen(way).color(), 1.2))
        painter.drawLine(top - QPointF(0, 4), top + QPointF(0, 4))
        width = metrics.horizontalAdvance(self.peak)
        left = min(max(top.x() - 0.5 * width, seen.left() + 2.0), seen.right() - width - 2.0)
        foot = max(top.y() - 6.0, seen.top() + metrics.ascent())
        # Paper behind the letters, so that the other flights do not cross them.
        box = QRectF(left - 2.0, foot - metrics.ascent(), width + 4.0, metrics.height())
        painter.fillRect(box, QColor(self._theme.colours.sky))
        painter.drawText(QPointF(left, foot), self.peak)
        return box

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

    def _number(
        self, painter: QPainter, to_screen: QTransform, seen: QRectF, way: Way, told: list[QRectF]
    ) -> QRectF:
        """The rank in a small box on the flight, beside what is ``told`` already; returns the box.

        It stands above a flight so low that the box would hide it.
        """
        track, metrics = way.shot.track, QFontMetricsF(painter.font())
        text = str(way.shot.rank) if way is not self.spot else _("your spot")
        share = MARK_AT[way.place % len(MARK_AT)] if way is not self.spot else SPOT_MARK_AT
        last = track.landing or len(track.time) - 1
        points = polygon(to_screen, track.position[0][: last + 1], track.position[2][: last + 1]).toList()
        size = QSizeF(metrics.horizontalAdvance(text) + 8.0, metrics.height() + 2.0)
        heights = track.position[2][: track.landing + 1] if track.landing else track.position[2]
        top = to_screen.map(QPointF(0.0, float(heights.max()))).y()
        low = to_screen.map(QPointF(0.0, float(heights.min()))).y() - top < 2.0 * size.height()
        above = low or way is self.spot
        places = [box_at(point, size) for point in points]
        if above:
            for place in places:
                place.moveBottom(max(top - LIFT, seen.top() + size.height() + 2.0))
        k = beside(places, round(share * last), told)
        middle, box = points[k], places[k]
        if any(box.intersects(other) for other in told):
            middle, box = out_of_the_way(points, places, told, seen) or (middle, box)
            above = True
        painter.setPen(QPen(self.pen(way).color(), 1.2))
        if above:
            near = min(max(middle.x(), box.left()), box.right())
            painter.drawLine(middle, QPointF(near, box.bottom()))
        painter.setBrush(QColor(self._theme.colours.sky))
        painter.drawRect(box)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
        return box


def top_of(way: Way) -> int:
    """The number of the highest point of the first flight; a ball may roll up higher than it flew."""
    track = way.shot.track
    flown = int(np.searchsorted(way.time, track.time[track.landing], side="right"))
    return int(np.argmax(way.z[: max(flown, 1)]))


def beside(places: list[QRectF], at: int, told: list[QRectF]) -> int:
    """The number of the place nearest to number ``at`` that covers nothing that is ``told``, else ``at``."""
    order = sorted(range(len(places)), key=lambda k: abs(k - at))
    return next((k for k in order if not any(places[k].intersects(box) for box in told)), at)


def out_of_the_way(
    points: list[QPointF], places: list[QRectF], told: list[QRectF], seen: QRectF
) -> tuple[QPointF, QRectF] | None:
    """A point of a flight and a box that covers nothing ``told``: before or behind ``places``, or over them.

    None where there is none inside ``seen``.
    """
    size = places[0].size()
    steps = [(0.5 * step * size.width(), 0.0) for step in range(1, ROWS * 2 + 1)]
    ends = [(points[0], places[0], -1.0), (points[-1], places[-1], 1.0)]
    tries = [(point, place.translated(sign * dx, dy)) for dx, dy in steps for point, place, sign in ends]
    for row in range(1, ROWS):
        lifted = [place.translated(0.0, -row * (size.height() + 2.0)) for place in places]
        tries += zip(points, lifted, strict=True)
    return next(
        (
            (point, place)
            for point, place in tries
            if seen.contains(place) and not any(place.intersects(box) for box in told)
        ),
        None,
    )


class Obstacles(ScreenItem):
    """What stands in the way: the lip ahead of a ball in sand, a hedge, a branch.

    What the shot in front goes past is pale, and beside it stands which shots do, and on which side.
    """

    def __init__(self, theme: Theme, *, height_told: bool = True) -> None:
        """``height_told`` says that over the flight in front stands how high it is."""
        super().__init__()
        self._theme, self._height_told = theme, height_told
        self.boxes: list[Barrier] = []
        self.passing: list[tuple[bool, str]] = []
        """For each box whether the shot in front goes past it, and the words for it."""
        self.told: tuple[QRectF, ...] = ()
        """Where words stand, in pixels, as painted last."""
        self._flown: list[Track] = []
        self.setZValue(4)

    def show_boxes(self, boxes: list[Barrier], flown: dict[str, Track]) -> None:
        """Draw ``boxes``, and say which of the shots, by their numbers, the first in front, go past them."""
        self.boxes, self._flown, self.passing = boxes, list(flown.values()), []
        for box in boxes:
            ends = {number: passed(track, box) for number, track in flown.items()}
            sides = {number: side for number, side in ends.items() if side}
            in_front = next(iter(ends.values()), "")
            self.passing.append((bool(in_front), passed_text(sides, len(flown))))
        self.update()

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        told: list[QRectF] = []
        for box, (beside, words) in zip(self.boxes, self.passing, strict=True):
            foot, top = to_screen.map(QPointF(box.at, box.low)), to_screen.map(QPointF(box.at, box.high))
            bottom = min(foot.y(), seen.bottom() + 10.0)
            shape = QRectF(top.x() - 3.0, top.y(), 6.0, max(bottom - top.y(), 1.0))
            fill(painter, QPolygonF(shape), self._theme.colours.barrier(beside=beside))
            if words:
                told.append(self._say(painter, to_screen, seen, shape, words, told))
        self.told = tuple(told)

    def _say(
        self, painter: QPainter, to_screen: QTransform, seen: QRectF, shape: QRectF, words: str,
        told: list[QRectF],
    ) -> QRectF:  # fmt: skip
        """``words`` beside ``shape``, where they hide least of the flights; returns where they stand."""
        metrics = QFontMetricsF(painter.font())
        size = QSizeF(metrics.horizontalAdvance(words) + 4.0, metrics.height())
        high, low = max(shape.top(), seen.top() + 2.0), shape.bottom() - size.height()
        rows = [high + row * size.height() for row in range(max(int((low - high) / size.height()), 0) + 1)]
        sides = shape.right() + 4.0, shape.left() - 4.0 - size.width()
        tries = [QRectF(QPointF(left, top), size) for top in rows for left in sides]
        flown = [pixels(to_screen, track.position[0], track.position[2]) for track in self._flown]
        peaks = []
        for way in flown[: int(self._height_told)]:
            x, y = way[:, int(np.argmin(way[1]))].tolist()
            line = metrics.height()
            peaks.append(QRectF(x - PEAK_ROOM * line, y - 2.0 * line, 2.0 * PEAK_ROOM * line, 2.0 * line))
        place = clearest(tries, [*told, *peaks], apart(flown), seen)
        painter.fillRect(place, QColor(self._theme.colours.sky))
        painter.setPen(self._theme.colours.ink(soft=False))
        painter.drawText(place, Qt.AlignmentFlag.AlignCenter, words)
        return place


class Pointer(ScreenItem):
    """A ring round the point of a way that is read off."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.moment: Moment | None = None
        self.setZValue(35)

    def point_at(self, moment: Moment | None) -> None:
        """Ring the ball at ``moment``; None takes the ring away."""
        if moment != self.moment:
            self.moment = moment
            self.update()

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        if self.moment is not None:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QPen(QColor(self._theme.colours.text), 1.5))
            painter.drawEllipse(to_screen.map(QPointF(self.moment.x, self.moment.z)), 5.0, 5.0)


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
