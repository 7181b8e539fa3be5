"""Side view and plan for paper: drawn in points, told apart by hatching, dash and number, in grey as well.

Both pictures have the same distances one under the other, so that a landing stands above itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import ceil, floor, log10
from typing import Protocol

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from shortgame_gui.advice import scene
from shortgame_gui.advice.result import Escape, Shot, Track
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.ground import SURFACES
from shortgame_gui.report.letters import letter_box, square_at
from shortgame_gui.report.page import INK, RULE_INK, SIZE, SOFT_INK, Paint, text_width, write_line
from shortgame_gui.report.section import (
    Profile,
    barriers_of,
    passed,
    profile_of,
    range_of,
    smooth,
    widened,
)
from shortgame_gui.units import FOOT, YARD
from shortgame_gui.words.language import _
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.text import SURFACES as SURFACE_WORDS
from shortgame_gui.words.text import passed_text

Array = npt.NDArray[np.float64]

SHOT_INKS = ("#0a5f94", "#a8380a", "#56176b", "#3d3d3d", "#6e5600")
DASHES: tuple[tuple[float, ...], ...] = (
    (),
    (5.0, 2.5),
    (6.0, 2.0, 1.2, 2.0),
    (1.2, 2.0),
    (6.0, 2.0, 1.2, 2.0, 1.2, 2.0),
)
"""Line and gap in widths of the line; the first is solid."""

#: surface -> its tint, directions of its hatching in degrees (none for dots), how far the strokes are apart
HATCHES: dict[str, tuple[str, tuple[float, ...], float]] = {
    "green": ("#e6f0dc", (), 0.0),
    "fringe": ("#d9e6ca", (45.0,), 4.0),
    "fairway": ("#d3e0c2", (0.0,), 3.2),
    "first_cut": ("#c8d7b6", (-45.0,), 3.0),
    "rough": ("#bccca9", (90.0,), 2.6),
    "deep_rough": ("#adc09a", (0.0, 90.0), 2.8),
    "bare": ("#e4d9c4", (), 5.0),
    "sand": ("#f6edd0", (), 2.6),
    "water": ("#c4dbe8", (0.0,), 1.7),
    "out": ("#e2dfda", (45.0, -45.0), 3.6),
}
TURF = 7.0
"""Thickness of the hatched turf in points."""
ROW = 4.5
"""From one bar of finishes to the next, in points."""
AXIS = 26.0
"""Room for the figures of the upright axis, in points."""
FLAG_HEIGHT = 2.13
"""Usual height of a flagstick in m; common practice, no source."""
MOST_TIMES = 2.5
"""Heights are drawn at most so many times larger than distances."""
MARK_AT = (0.5, 0.32, 0.68, 0.2, 0.8)
"""Where along its flight each shot carries its number, so that numbers do not cover each other."""
MOST_POINTS = 250
"""Finishes drawn; more would only cover each other."""
SMALL = SIZE - 2.5
SQUARE = 2.2
"""Half the width of the square where a ball played or dropped out lies, in points."""
OUT_DASHES = (5.0, 2.0)
"""Neither this ink nor these dashes are those of a shot."""
BEYOND = 12.0
"""Points beside the way out that goes furthest aside."""
LEAST_SIDE = 0.3
"""Share of the plan that stays on either side of the line of play."""


@dataclass(frozen=True)
class Scale:
    """Metres to points: ``x0``, ``y0`` is the ball; ``across`` and ``up`` are points a metre."""

    x0: float
    y0: float
    across: float
    up: float

    def at(self, x: float, z: float) -> QPointF:
        """A point in m on paper."""
        return QPointF(self.x0 + self.across * x, self.y0 - self.up * z)

    def line(self, x: Array, z: Array) -> QPolygonF:
        """Points in m on paper."""
        return QPolygonF([self.at(a, b) for a, b in zip(x.tolist(), z.tolist(), strict=True)])


def shot_pen(place: int, width: float = 1.1) -> QPen:
    """The pen of the shot in ``place`` of those drawn; the one in front is the heaviest."""
    pen = QPen(QColor(SHOT_INKS[place % len(SHOT_INKS)]), width * (1.7 if place == 0 else 1.0))
    dashes = DASHES[place % len(DASHES)]
    if dashes:
        pen.setDashPattern(list(dashes))
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    return pen


def line_sample(place: int) -> Paint:
    """A short piece of the line of the shot in ``place``, for a table."""

    def paint(painter: QPainter, box: QRectF) -> None:
        painter.setPen(shot_pen(place))
        painter.drawLine(QPointF(box.left(), box.center().y()), QPointF(box.right(), box.center().y()))

    return paint


def hatch(painter: QPainter, shape: QPainterPath, surface: str) -> None:
    """Fill ``shape`` with tint and hatching of a surface."""
    tint, directions, apart = HATCHES[surface]
    painter.save()
    painter.fillPath(shape, QColor(tint))
    painter.setClipPath(shape, Qt.ClipOperation.IntersectClip)
    box = shape.boundingRect()
    reach = 0.5 * (box.width() + box.height()) + apart
    painter.setPen(QPen(QColor(SOFT_INK), 0.25))
    for direction in directions:
        painter.save()
        painter.translate(box.center())
        painter.rotate(-direction)
        for k in range(-ceil(reach / apart), ceil(reach / apart) + 1):
            painter.drawLine(QPointF(-reach, k * apart), QPointF(reach, k * apart))
        painter.restore()
    if apart and not directions:
        painter.setPen(QPen(QColor(SOFT_INK), 0.6, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
        dots = QPolygonF()
        for row in range(floor(box.top() / apart), ceil(box.bottom() / apart) + 1):
            shift = 0.5 * apart * (row % 2)
            for column in range(floor(box.left() / apart), ceil(box.right() / apart) + 1):
                dots.append(QPointF(column * apart + shift, row * apart))
        painter.drawPoints(dots)
    painter.restore()


def _path(outline: QPolygonF) -> QPainterPath:
    made = QPainterPath()
    made.addPolygon(outline)
    made.closeSubpath()
    return made


def _label(painter: QPainter, spot: QPointF, words: str) -> QRectF:
    """Small ``words`` from ``spot`` on, on a ground of white so that hatching does not run through them.

    Returns the ground.
    """
    box = QRectF(spot.x() - 1.5, spot.y() - SMALL, text_width(words, SMALL) + 3.0, SMALL + 2.5)
    painter.fillRect(box, QColor("white"))
    write_line(painter, spot, words, SMALL)
    return box


def ticks(
    low: float, high: float, unit: float, points: float, least: float, decimal: str = "."
) -> Iterator[tuple[float, str]]:
    """Round places (m) between ``low`` and ``high`` with their figures in ``unit`` (m).

    They are ``least`` points apart or more; ``points`` is how many points a metre takes.
    """
    wanted = least / (points * unit)
    power = 10.0 ** floor(log10(wanted))
    step = next(power * k for k in (1.0, 2.0, 5.0, 10.0) if power * k >= wanted)
    for k in range(ceil(low / unit / step - 1e-9), floor(high / unit / step + 1e-9) + 1):
        yield k * step * unit, f"{k * step:g}".replace(".", decimal)


class Flown(Protocol):
    """What a side view draws of a shot."""

    @property
    def technique(self) -> str: ...
    @property
    def track(self) -> Track: ...


@dataclass(frozen=True)
class Pictures:
    """Side view and plan of ``situation`` with ``shots``, the first of them in front."""

    situation: Situation
    shots: tuple[Shot, ...]
    style: Style
    out: dict[str, Escape] = field(default_factory=dict)
    """Other ways out, each under its letter, for the plan."""
    plan_at_most: tuple[float, float] | None = None
    """Width and most height of the plan in points: where what it speaks of has no room, more of the line of
    play is shown."""

    @property
    def flown(self) -> Sequence[Flown]:
        """What flies in the side view, the one in front first."""
        return self.shots

    def mark(self, place: int) -> str:
        """The number on the flight in ``place``."""
        return str(self.shots[place].rank)

    @property
    def reach(self) -> tuple[float, float]:
        """From where to where the line of play is drawn, in m."""
        behind = min((way.place[0] for way in self.out.values() if way.place), default=0.0)
        return widened(*range_of(self.situation, self.shots, behind), self._least_length())

    def _least_length(self) -> float:
        """How much of the line in m must be drawn for the plan to have room for all it speaks of."""
        left, right = self._aside()
        if self.plan_at_most is None or not left + right:
            return 0.0
        width, height = self.plan_at_most
        each = (1.0 - LEAST_SIDE) * height - BEYOND
        across = min((height - 2.0 * BEYOND) / (left + right), each / max(left, right))
        return (width - AXIS - 4.0) / max(across, 1e-9)

    def _across(self, box: QRectF) -> tuple[float, float]:
        """Points a metre, and where the ball stands."""
        low, high = self.reach
        across = (box.width() - AXIS - 4.0) / (high - low)
        return across, box.left() + AXIS - across * low

    def _profile(self) -> Profile:
        low, high = self.reach
        return profile_of(self.situation, low, high)

    def _top(self, profile: Profile) -> float:
        hole = self.situation.hole.distance
        tops = [profile.height(hole) + FLAG_HEIGHT, float(profile.z.max())]
        tops += [float(s.track.position[2].max()) for s in self.flown]
        return max(tops)

    def below(self) -> float:
        """Points that names, bars and figures take under the lowest ground."""
        return TURF + 12.0 + ROW * (len(self.shots) + 1) + 13.0

    def side_height(self, width: float, most: float) -> float:
        """The height in points, up to ``most``, that the side view fills at ``width`` points."""
        profile = self._profile()
        across, _start = self._across(QRectF(0.0, 0.0, width, 1.0))
        tall = (self._top(profile) - float(profile.z.min())) * across * MOST_TIMES
        return min(most, tall + self.below() + 6.0)

    def times(self, width: float, tall: float) -> float:
        """How many times larger heights are drawn than distances."""
        profile = self._profile()
        across, _start = self._across(QRectF(0.0, 0.0, width, tall))
        room = tall - self.below() - 6.0
        return min(room / (self._top(profile) - float(profile.z.min())) / across, MOST_TIMES)

    # --- the side view ----------------------------------------------------------------------------

    def side(self, painter: QPainter, box: QRectF) -> None:
        """The ground cut open along the line of play, with flag, flights and half of the finishes."""
        profile = self._profile()
        across, x0 = self._across(box)
        up = across * self.times(box.width(), box.height())
        lowest = box.bottom() - self.below()
        scale = Scale(x0, lowest + up * float(profile.z.min()), across, up)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._upright(painter, scale, profile)
        for stretch in profile.stretches:
            inside = (profile.x >= stretch.start - 1e-6) & (profile.x <= stretch.end + 1e-6)
            if inside.sum() > 1:
                top = scale.line(profile.x[inside], profile.z[inside])
                turf = QPolygonF([*top.toList(), *top.translated(0.0, TURF).toList()[::-1]])
                hatch(painter, _path(turf), stretch.surface)
        painter.setPen(QPen(QColor(INK), 0.8))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(scale.line(profile.x, profile.z))
        self._names(painter, scale, profile, lowest + TURF + 7.0)
        self._walls(painter, scale, profile, box)
        self._flag(painter, scale, profile)
        for place, shot in reversed(list(enumerate(self.flown))):
            self._flight(painter, scale, place, shot)
        for place, shot in reversed(list(enumerate(self.flown))):
            self._number(painter, scale, place, shot)
        self._halves(painter, scale, lowest + TURF + 12.0)
        self._along(painter, scale, box)

    def _upright(self, painter: QPainter, scale: Scale, profile: Profile) -> None:
        low, high = self.reach
        unit, name = (FOOT, _("ft")) if self.style.yards else (1.0, _("m"))
        for z, figure in ticks(0.0, self._top(profile), unit, scale.up, 22.0, self.style.decimal):
            spot = scale.at(low, z)
            painter.setPen(QPen(QColor(RULE_INK), 0.3))
            painter.drawLine(spot, scale.at(high, z))
            label = f"{figure} {name}" if z == 0.0 else figure
            write_line(painter, spot + QPointF(-3.0, 2.2), label, SMALL, colour=SOFT_INK, align=1.0)

    def _names(self, painter: QPainter, scale: Scale, profile: Profile, y: float) -> None:
        """The surfaces by name, where there is room for it."""
        for stretch in profile.stretches:
            word = SURFACE_WORDS[stretch.surface]
            left, right = scale.at(stretch.start, 0.0).x(), scale.at(stretch.end, 0.0).x()
            if text_width(word, SMALL) < right - left - 2.0:
                middle = QPointF(0.5 * (left + right), y)
                write_line(painter, middle, word, SMALL, colour=SOFT_INK, align=0.5)

    def _walls(self, painter: QPainter, scale: Scale, profile: Profile, box: QRectF) -> None:
        """What stands in the way, cut off at the upper edge of the picture.

        What the shot in front goes past is an outline only, and beside it stands which shots do.
        """
        for barrier in barriers_of(self.situation, profile):
            ends = [passed(shot.track, barrier) for shot in self.flown]
            sides = {self.mark(place): side for place, side in enumerate(ends) if side}
            wall = QRectF(scale.at(barrier.at, barrier.high), scale.at(barrier.at, barrier.low))
            wall = wall.adjusted(-3.0, 0.0, 3.0, 0.0).intersected(box)
            painter.setPen(QPen(QColor(INK), 0.5))
            painter.setBrush(QColor(SOFT_INK) if not any(ends[:1]) else Qt.BrushStyle.NoBrush)
            painter.drawRect(wall)
            if sides:  # on the ball's side, where flights are low, if there is room
                words = passed_text(sides, len(ends))
                before = wall.left() - 5.0 - text_width(words, SMALL)
                after = wall.right() + 4.0
                left = before if before > box.left() + AXIS else after
                _label(painter, QPointF(left, wall.top() + SMALL), words)

    def _flag(self, painter: QPainter, scale: Scale, profile: Profile) -> None:
        hole = self.situation.hole.distance
        foot = scale.at(hole, profile.height(hole))
        top = scale.at(hole, profile.height(hole) + FLAG_HEIGHT)
        painter.setPen(QPen(QColor(INK), 2.4, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
        painter.drawLine(foot, foot + QPointF(0.0, TURF - 2.0))
        painter.setPen(QPen(QColor(INK), 0.8))
        painter.drawLine(foot, top)
        painter.setBrush(QColor(INK))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.drawPolygon(QPolygonF([top, top + QPointF(9.0, 2.8), top + QPointF(0.0, 5.6)]))

    def _flight(self, painter: QPainter, scale: Scale, place: int, shot: Flown) -> None:
        x, z, _time = smooth(shot.track)
        pen = shot_pen(place)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(scale.line(x, z))
        track = shot.track
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(pen.color())
        for number, k in enumerate(track.bounces if shot.technique != "putt" else ()):
            size = 2.2 if number == 0 else 1.2
            painter.drawEllipse(
                scale.at(float(track.position[0][k]), float(track.position[2][k])), size, size
            )
        painter.setPen(QPen(pen.color(), 0.9))
        painter.setBrush(QColor("white"))
        painter.drawEllipse(scale.at(float(track.position[0][-1]), float(track.position[2][-1])), 2.4, 2.4)

    def _number(self, painter: QPainter, scale: Scale, place: int, shot: Flown) -> None:
        """The rank in a small box on the flight."""
        track, text = shot.track, self.mark(place)
        k = round(MARK_AT[place % len(MARK_AT)] * (track.landing or len(track.time) - 1))
        middle = scale.at(float(track.position[0][k]), float(track.position[2][k]))
        box = QRectF(0.0, 0.0, text_width(text, SMALL, bold=True) + 4.5, SMALL + 2.5)
        box.moveCenter(middle)
        painter.setPen(QPen(shot_pen(place).color(), 0.7))
        painter.setBrush(QColor("white"))
        painter.drawRect(box)
        base = QPointF(middle.x(), middle.y() + 0.36 * SMALL)
        write_line(painter, base, text, SMALL, bold=True, align=0.5)

    def _halves(self, painter: QPainter, scale: Scale, y: float) -> None:
        """Bars between which the middle half of each shot's balls stop, with what they are in words."""
        for place, shot in enumerate(self.shots):
            level = y + ROW * (place + 0.5)
            low, high = (scale.at(x, 0.0).x() for x in shot.half)
            pen = shot_pen(place)
            painter.setPen(pen)
            painter.drawLine(QPointF(low, level), QPointF(high, level))
            painter.setPen(QPen(pen.color(), 0.8))
            for x in (low, high):
                painter.drawLine(QPointF(x, level - 1.6), QPointF(x, level + 1.6))
        if self.shots:
            words = _("half of the balls stop here")
            low, high = (scale.at(x, 0.0).x() for x in self.shots[0].half)
            room = low - 4.0 - scale.at(self.reach[0], 0.0).x() + AXIS >= text_width(words, SMALL)
            spot = QPointF(low - 4.0 if room else high + 4.0, y + ROW * 0.5 + 2.2)
            write_line(painter, spot, words, SMALL, colour=SOFT_INK, align=1.0 if room else 0.0)

    def _along(self, painter: QPainter, scale: Scale, box: QRectF) -> None:
        """Distances from the ball, at the foot."""
        low, high = self.reach
        y = box.bottom() - 11.0
        painter.setPen(QPen(QColor(INK), 0.5))
        painter.drawLine(QPointF(scale.at(low, 0.0).x(), y), QPointF(scale.at(high, 0.0).x(), y))
        unit = YARD if self.style.yards else 1.0
        name = _("yd") if self.style.yards else _("m")
        for x, figure in ticks(0.0, high, unit, scale.across, 34.0, self.style.decimal):
            spot = QPointF(scale.at(x, 0.0).x(), y)
            painter.setPen(QPen(QColor(INK), 0.5))
            painter.drawLine(spot, spot + QPointF(0.0, 2.5))
            label = f"{figure} {name}" if x == 0.0 else figure
            write_line(painter, spot + QPointF(0.0, 9.0), label, SMALL, colour=SOFT_INK, align=0.5)

    # --- the plan ---------------------------------------------------------------------------------

    def _aside(self) -> tuple[float, float]:
        """How far shots and ways out go left and right of the line, in m."""
        aside = [0.0, *(way.place[1] for way in self.out.values() if way.place)]
        for shot in self.shots:
            aside += [float(shot.track.position[1].min()), float(shot.track.position[1].max())]
        return max(aside), -min(aside)

    def _sides(self, across: float) -> tuple[float, float]:
        """Points that they take left and right of the line, at ``across`` points a metre."""
        left, right = (across * side + BEYOND if side else 0.0 for side in self._aside())
        return left, right

    def plan_height(self, width: float, usual: float, most: float) -> float:
        """The height in points, from ``usual`` to ``most``, that shows the ways out at ``width`` points."""
        across, _start = self._across(QRectF(0.0, 0.0, width, 1.0))
        return min(sum(max(0.5 * usual, side) for side in self._sides(across)), max(usual, most))

    def _line_at(self, box: QRectF, across: float) -> float:
        """Where the line of play runs in the plan: in the middle, unless ways out lead far to one side."""
        left, right = (min(side, (1.0 - LEAST_SIDE) * box.height()) for side in self._sides(across))
        half = 0.5 * box.height()
        if left > half and right > half:
            return box.center().y()
        return box.top() + left if left > half else box.bottom() - max(right, half)

    def plan(self, painter: QPainter, box: QRectF) -> None:
        """The same stretch of ground from above and to scale, with rings, aim, landing and finishes."""
        low, high = self.reach
        across, x0 = self._across(box)
        scale = Scale(x0, self._line_at(box, across), across, across)
        frame = QRectF(
            QPointF(scale.at(low, 0.0).x(), box.top()), QPointF(scale.at(high, 0.0).x(), box.bottom())
        )
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        above, below = scale.y0 - box.top(), box.bottom() - scale.y0
        unit, name = (YARD, _("yd")) if self.style.yards else (1.0, _("m"))
        for y, figure in ticks(
            -below / across * 0.86, above / across * 0.86, unit, across, 15.0, self.style.decimal
        ):
            spot = QPointF(frame.left() - 3.0, scale.at(0.0, y).y() + 2.2)
            words = figure.lstrip("-") + (f" {name}" if y == 0.0 else "")
            write_line(painter, spot, words, SMALL, colour=SOFT_INK, align=1.0)
        painter.save()
        painter.setClipRect(frame, Qt.ClipOperation.IntersectClip)
        for strip in scene.strips(self.situation):
            corner, other = scale.at(strip.start, strip.left), scale.at(strip.end, -strip.right)
            shape = QRectF(corner, other).intersected(frame)
            if not shape.isEmpty():
                path = QPainterPath()
                path.addRect(shape)
                hatch(painter, path, SURFACES[strip.surface])
                painter.setPen(QPen(QColor(INK), 0.7 if SURFACES[strip.surface] == "green" else 0.25))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawRect(shape)
        self._walls_above(painter, scale)
        self._rings(painter, scale, above)
        self._ways(painter, scale)
        sides = ((_("left"), frame.top() + 7.0), (_("right"), frame.bottom() - 3.0))
        told = [_label(painter, QPointF(frame.left() + 4.0, y), words) for words, y in sides]
        self._ways_out(painter, scale, frame, told)
        painter.restore()
        painter.setPen(QPen(QColor(INK), 0.5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(frame)

    def _walls_above(self, painter: QPainter, scale: Scale) -> None:
        found = scene.obstacles(self.situation)
        if found is None:
            return
        painter.setPen(QPen(QColor(SOFT_INK), 2.4, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
        for at, left, right in zip(found.at, found.left, found.right, strict=True):
            painter.drawLine(scale.at(float(at), float(left)), scale.at(float(at), -float(right)))

    def _rings(self, painter: QPainter, scale: Scale, half: float) -> None:
        """Line to the hole and rings round it; ``half`` is the room left of it in points."""
        hole = self.situation.hole.distance
        centre = scale.at(hole, 0.0)
        painter.setPen(QPen(QColor(INK), 0.5, Qt.PenStyle.DotLine))
        painter.drawLine(scale.at(0.0, 0.0), centre)
        for radius in self.style.rings:
            edge = radius * scale.across
            if edge > 4.0:
                painter.setPen(QPen(QColor(INK), 0.4, Qt.PenStyle.DashLine))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawEllipse(centre, edge, edge)
        # The widest ring that shows its top is the one that is named.
        room = (half - SMALL - 4.0) / scale.across
        named = max((radius for radius in self.style.rings if radius < room), default=None)
        if named is not None:
            words = self.style.short(named, 0)
            _label(painter, centre + QPointF(4.0, -named * scale.across - 2.5), words)
        painter.setPen(QPen(QColor(INK), 0.6))
        painter.setBrush(QColor(INK))
        painter.drawEllipse(centre, 1.6, 1.6)
        painter.drawEllipse(scale.at(0.0, 0.0), 1.8, 1.8)

    def _ways(self, painter: QPainter, scale: Scale) -> None:
        """Finishes of the shot in front as dots, and the ways of all over the ground."""
        if not self.shots:
            return
        front = self.shots[0]
        dots = QColor(SHOT_INKS[0]).lighter(135)
        painter.setPen(QPen(dots, 1.5, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
        painter.drawPoints(scale.line(front.finishes[0][:MOST_POINTS], front.finishes[1][:MOST_POINTS]))
        for place, shot in reversed(list(enumerate(self.shots))):
            painter.setPen(shot_pen(place, 0.8))
            painter.drawPolyline(scale.line(shot.track.position[0], shot.track.position[1]))
        if front.technique != "putt":
            spot = scale.at(*front.landing)
            painter.setPen(QPen(shot_pen(0).color(), 1.3))
            for way in (QPointF(3.0, 3.0), QPointF(3.0, -3.0)):
                painter.drawLine(spot - way, spot + way)

    def _ways_out(self, painter: QPainter, scale: Scale, frame: QRectF, told: list[QRectF]) -> None:
        """Other ways out with their letters, clear of what is ``told``; at the border what is beyond."""
        ball, size = scale.at(0.0, 0.0), QSizeF(text_width("m", SMALL) + 3.0, SMALL + 2.5)
        rests = {letter: scale.at(*way.place) for letter, way in self.out.items() if way.place}
        told = [*told, *(square_at(rest, SQUARE) for rest in rests.values())]
        for letter, rest in rests.items():
            pen = QPen(QColor(INK), 0.8, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap)
            pen.setDashPattern(list(OUT_DASHES))
            painter.setPen(pen)
            painter.drawLine(ball, rest)
            painter.setPen(QPen(QColor(INK), 0.8))
            landing = self.out[letter].landing
            if landing is not None:
                spot = scale.at(*landing)
                for way in (QPointF(2.2, 2.2), QPointF(2.2, -2.2)):
                    painter.drawLine(spot - way, spot + way)
            painter.setBrush(QColor("white"))
            box = letter_box(ball, rest, size, frame.adjusted(2.0, 2.0, -2.0, -2.0), told, SQUARE)
            told.append(box)
            painter.drawLine(rest, box.center())
            painter.drawRect(square_at(rest, SQUARE))
            painter.drawRect(box)
            write_line(painter, QPointF(box.center().x(), box.bottom() - 2.5), letter, SMALL, align=0.5)
