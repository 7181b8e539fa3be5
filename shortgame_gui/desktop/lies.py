"""Small drawings of the ball in its lie, in section, by which a lie is chosen.

Lengths are in radii of the ball, so that a drawing keeps its shape at any size. Blades stand at fixed places:
a drawing never flickers.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import sin

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QPolygonF

from shortgame_gui.desktop.theme import Colours


@dataclass(frozen=True)
class Turf:
    """How a ground looks in section: what it is filled with, and how long its grass stands."""

    surface: str
    grass: float
    hollow: float = 0.0
    """Depth of the divot under the ball."""
    filled: bool = False
    """Whether the divot is filled with sand."""


TURFS: dict[str, Turf] = {
    "tight": Turf("fairway", 0.16),
    "fairway": Turf("fairway", 0.4),
    "fringe": Turf("fringe", 0.6),
    "first_cut": Turf("first_cut", 1.0),
    "rough": Turf("rough", 2.0),
    "bare": Turf("bare", 0.0),
    "divot": Turf("fairway", 0.4, hollow=0.9),
    "sanded_divot": Turf("fairway", 0.4, hollow=0.9, filled=True),
    "sand": Turf("sand", 0.0),
}

DEPTHS: dict[str, float] = {
    "up": -0.5, "clean": 0.0, "half_down": 0.35, "down": 0.5, "nested": 0.75, "plugged": 1.35, "furrow": 0.5,
}  # fmt: skip
"""How far the lowest point of the ball lies below the ground's surface."""

COVERED: dict[str, float] = {"half_down": 1.0, "down": 1.7, "nested": 2.5}
"""How far the grass in front of the ball reaches above its lowest point."""

EMBEDDED = 1.0
"""The same for a ball plugged in grass: half of it is in the ground."""

BLADE = 0.32
"""Distance between two blades."""


def draw_lie(painter: QPainter, box: QRectF, ground: str, sits: str, colours: Colours) -> None:
    """The ball that ``sits`` so in ``ground``, filling ``box``."""
    turf, radius = TURFS[ground], box.height() / 4.4
    level = box.bottom() - 1.1 * radius
    middle = QPointF(box.center().x(), level)
    depth = DEPTHS[sits]
    if turf.surface == "bare" or turf.filled:
        depth = 0.6 * max(depth, 0.0) + (0.12 if turf.filled else 0.0)
    elif turf.hollow:
        depth = 0.7 * turf.hollow + min(depth, 0.4)
    elif turf.grass:
        least = {"up": -0.45 * turf.grass, "plugged": EMBEDDED}
        depth = least.get(sits, min(depth, 0.4))
    else:
        depth = max(depth, 0.0)
    painter.save()
    painter.setClipRect(box)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.fillRect(box, QColor(colours.sky))
    drawing = _Drawing(painter, box, middle, radius, colours)
    drawing.earth(turf, sits)
    drawing.blades(turf.grass, hole=1.4 if turf.hollow else 0.0)
    drawing.ball(depth)
    if not turf.grass or turf.filled:
        drawing.soil_in_front(turf, sits, depth)
    elif turf.grass and not turf.hollow:
        if sits == "plugged":
            drawing.soil_in_front(turf, sits, depth)
        reach = COVERED.get(sits, 0.0)
        drawing.blades_in_front(max(0.6 * turf.grass, reach - depth) if reach else 0.3 * turf.grass)
    else:
        drawing.wall(turf, COVERED.get(sits, 0.0))
    painter.restore()


class _Drawing:
    """One drawing being made; ``middle`` is the point of the ground's surface below the ball."""

    def __init__(
        self, painter: QPainter, box: QRectF, middle: QPointF, radius: float, colours: Colours
    ) -> None:
        self._painter, self._box, self._middle = painter, box, middle
        self._radius, self._colours = radius, colours
        self._ball = middle

    def _at(self, along: float, up: float) -> QPointF:
        return self._middle + QPointF(along * self._radius, -up * self._radius)

    def _filled(self, points: list[QPointF], brush: QBrush, hatching: QBrush | None = None) -> None:
        self._painter.setPen(Qt.PenStyle.NoPen)
        for paint in (brush, hatching):
            if paint is not None:
                self._painter.setBrush(paint)
                self._painter.drawPolygon(QPolygonF(points))

    def _ridge(self, sits: str, along: float) -> float:
        """Height of sand at ``along``: a furrow has a ridge on each side, a plugged ball a rim."""
        if sits == "furrow":
            return 0.35 * sin(along * 1.75 - 1.57)
        if sits == "plugged" and 1.0 < abs(along) < 2.6:
            return 0.45 * sin((abs(along) - 1.0) / 1.6 * 3.14)
        return 0.0

    def earth(self, turf: Turf, sits: str) -> None:
        """The ground in section, with its divot, its rim or its furrows."""
        half = 0.5 * self._box.width() / self._radius
        sandy = turf.surface == "sand"
        steps = [k * 0.1 - half for k in range(int(20 * half) + 2)]
        top = [self._at(x, self._ridge(sits, x) if sandy else -_divot(turf, x)) for x in steps]
        corners = [self._box.bottomRight(), self._box.bottomLeft()]
        self._filled([*top, *corners], *self._colours.surface(turf.surface))
        if turf.filled:
            inside = [x for x in steps if abs(x) <= 1.6]
            sand = [self._at(x, -_divot(turf, x)) for x in inside]
            self._filled([*sand, self._at(1.6, -0.12), self._at(-1.6, -0.12)], *self._colours.surface("sand"))
        self._painter.setBrush(Qt.BrushStyle.NoBrush)
        self._painter.setPen(QPen(QColor(self._colours.hatch), 1.0))
        self._painter.drawPolyline(top)

    def blades(self, height: float, *, hole: float = 0.0) -> None:
        """Grass over the whole width; none within ``hole`` of the middle."""
        half = 0.5 * self._box.width() / self._radius
        ink = QColor(self._colours.hatch)
        ink.setAlphaF(0.75)
        for line in self._tufts(half, BLADE, height, hole):
            self._painter.setPen(QPen(ink, 1.0))
            self._painter.drawLine(*line)

    def blades_in_front(self, height: float) -> None:
        """Grass before the ball; what hides it is dark in either theme, for the ball is white."""
        lines = list(self._tufts(1.7, 0.6 * BLADE, height, 0.0))
        ball = QPainterPath()
        ball.addEllipse(self._ball, self._radius, self._radius)
        around = QPainterPath()
        around.addRect(self._box)
        dark = min(self._colours.hatch, self._colours.surfaces["deep_rough"], key=_lightness)
        for ink, where in ((self._colours.hatch, around - ball), (dark, ball)):
            self._painter.save()
            self._painter.setClipPath(where, Qt.ClipOperation.IntersectClip)
            self._painter.setPen(QPen(QColor(ink), 1.3))
            for line in lines:
                self._painter.drawLine(*line)
            self._painter.restore()

    def _tufts(
        self, reach: float, apart: float, height: float, hole: float
    ) -> Iterator[tuple[QPointF, QPointF]]:
        """Foot and tip of each blade within ``reach`` of the middle."""
        for k in range(int(2.0 * reach / apart) + 1 if height > 0.0 else 0):
            x = k * apart - reach + 0.06
            if abs(x) >= hole:
                tall = height * (0.8 + 0.2 * sin(k * 2.4))
                yield self._at(x, 0.0), self._at(x + 0.22 * tall * sin(k * 1.7), tall)

    def ball(self, depth: float) -> None:
        """The ball, its lowest point ``depth`` below the surface."""
        self._painter.setPen(QPen(QColor(self._colours.text), 1.2))
        self._painter.setBrush(QColor(self._colours.ball))
        self._ball = self._at(0.0, 1.0 - depth)
        self._painter.drawEllipse(self._ball, self._radius, self._radius)

    def soil_in_front(self, turf: Turf, sits: str, depth: float) -> None:
        """The sand or earth that hides the lower part of a ball that lies in it."""
        if depth <= 0.0:
            return
        reach, level = (1.5, -0.12) if turf.filled else (2.6, 0.0)
        sits = sits if turf.surface == "sand" else "clean"
        steps = [k * 0.1 - reach for k in range(int(20 * reach) + 1)]
        top = [self._at(x, level + self._ridge(sits, x if abs(x) > 1.0 else 1.0)) for x in steps]
        foot = level - 0.7 if turf.filled else -2.0
        low = [self._at(0.75 * reach, foot), self._at(-0.75 * reach, foot)]
        self._filled([*top, *low], *self._colours.surface("sand" if turf.filled else turf.surface))
        self._painter.setPen(QPen(QColor(self._colours.hatch), 1.0))
        self._painter.drawPolyline(top)

    def wall(self, turf: Turf, reach: float) -> None:
        """The near side of a divot, which hides the foot of the ball, and more where it sits deeper."""
        steps = [k * 0.1 - 1.6 for k in range(33)]
        lift = min(0.35 * reach, 0.5)
        top = [self._at(x, lift - 0.75 * _divot(turf, x)) for x in steps]
        self._filled([*top, self._at(1.6, -2.0), self._at(-1.6, -2.0)], *self._colours.surface("bare"))
        self._painter.setPen(QPen(QColor(self._colours.hatch), 1.0))
        self._painter.drawPolyline(top)


def _lightness(colour: str) -> float:
    return QColor(colour).lightnessF()


def _divot(turf: Turf, along: float) -> float:
    """Depth of the divot at ``along``: a flat bowl of 1.6 radii each way."""
    return turf.hollow * max(0.0, 1.0 - (along / 1.6) ** 4)
