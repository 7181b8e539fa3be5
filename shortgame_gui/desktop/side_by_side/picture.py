"""One ground and all trajectories in it, from the side; the balls can be shown on their way."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QContextMenuEvent,
    QFont,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPen,
    QTransform,
)

from shortgame_gui.advice.compare import Compared
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.shot.balls import Balls
from shortgame_gui.desktop.shot.drawing import Array, ScreenItem, View, polygon
from shortgame_gui.desktop.shot.motion import Moment, stops_of
from shortgame_gui.desktop.shot.playback import Playback
from shortgame_gui.desktop.shot.side_items import (
    FLAG_HEIGHT,
    TURF,
    Flag,
    Obstacles,
    Section,
    beside,
    out_of_the_way,
)
from shortgame_gui.desktop.side_by_side.board import Board
from shortgame_gui.desktop.side_by_side.look import badge_at, paint_badge, pen_of
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.report.section import Barrier, barriers_of, profile_of, smooth
from shortgame_gui.words.language import _

BADGE_STEPS = 40
"""Places along its flight that are tried for a number."""
BADGE_AT = (0.45, 0.62, 0.3, 0.75, 0.2)
"""Where along its flight each shot carries its number, so that numbers do not cover each other."""


@dataclass(frozen=True)
class Way:
    """How one shot is drawn: its place among those picked, and its points in m and s."""

    place: int
    shot: Compared
    x: Array
    z: Array
    time: Array

    @property
    def stops(self) -> tuple[float, ...]:
        """Times in s of the strike, of each landing, of the start of the roll and of the end."""
        return stops_of(self.shot.track)

    def at(self, time: float) -> Moment:
        """The ball ``time`` s after the strike; before it, at its start, and afterwards at rest."""
        track = self.shot.track
        x, z = (float(np.interp(time, self.time, v)) for v in (self.x, self.z))
        y, speed = (float(np.interp(time, track.time, v)) for v in (track.position[1], track.speed))
        return Moment(x, y, z, time, 0.0 if time >= self.time[-1] else speed)


class Ways(ScreenItem):
    """All trajectories with first landing, bounces, place of rest and number."""

    def __init__(self, theme: Theme, obstacles: Obstacles) -> None:
        super().__init__()
        self._theme, self._obstacles = theme, obstacles  # which are painted before, with words
        self.ways: tuple[Way, ...] = ()
        self.strong: frozenset[tuple[str, str]] = frozenset()
        self.past = False
        """Whether they are of an earlier situation than the ground."""
        self.rest = True
        """Whether the balls are shown where they rest: a playback shows them on their way."""
        self.setZValue(10)

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours = self._theme.colours
        for way in reversed(self.ways):
            width = 2.8 if way.shot.key in self.strong else 1.7
            painter.setPen(pen_of(colours, way.place, width=width, past=self.past))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPolyline(polygon(to_screen, way.x, way.z))
            self._touches(painter, to_screen, way)
        told = list(self._obstacles.told)
        for way in self.ways:
            told.append(self._badge(painter, to_screen, seen, way, told))

    def _touches(self, painter: QPainter, to_screen: QTransform, way: Way) -> None:
        track = way.shot.track
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._theme.colours.shot(way.place))
        bounces = [] if way.shot.putt else list(track.bounces)
        spots = polygon(to_screen, track.position[0][bounces], track.position[2][bounces])
        for number, spot in enumerate(spots.toList()):
            size = 2.0 if number else 4.0
            painter.drawEllipse(spot, size, size)
        if self.rest:
            painter.setPen(QPen(self._theme.colours.shot(way.place), 1.8))
            painter.setBrush(QColor(self._theme.colours.ball))
            painter.drawEllipse(to_screen.map(QPointF(float(way.x[-1]), float(way.z[-1]))), 4.5, 4.5)

    def _badge(
        self, painter: QPainter, to_screen: QTransform, seen: QRectF, way: Way, told: list[QRectF]
    ) -> QRectF:
        """The number of a shot on its flight, clear of those ``told``; returns its box."""
        share = BADGE_AT[way.place % len(BADGE_AT)]
        track = way.shot.track
        times = np.linspace(0.0, track.time[track.landing or len(track.time) - 1], BADGE_STEPS + 1)
        x, z = (np.interp(times, way.time, v) for v in (way.x, way.z))
        points = polygon(to_screen, x, z).toList()
        places = [badge_at(painter, point, way.place) for point in points]
        box = places[beside(places, round(share * BADGE_STEPS), told)]
        if any(box.intersects(other) for other in told):
            found = out_of_the_way(points, places, told, seen)
            if found is not None:
                spot, box = found
                painter.setPen(QPen(self._theme.colours.shot(way.place), 1.2))
                painter.drawLine(spot, box.center())
        return paint_badge(painter, box.center(), way.place, self._theme.colours)


class Picture(View):
    """The side view of a board: as much of the ground as the shots need, heights stretched to fill it."""

    def __init__(self, board: Board, theme: Theme, measures: Measures) -> None:
        super().__init__(
            _("Side by side"), _("The ground from the side with the flight and run of every shot.")
        )
        self._board, self._theme, self._measures = board, theme, measures
        self.section = Section(theme, measures)
        self.obstacles = Obstacles(theme, height_told=False)
        self.ways, self.flag = Ways(theme, self.obstacles), Flag(theme)
        for item in (self.section, self.obstacles, self.ways, self.flag):
            self.addItem(item)
        self.balls = Balls(self, theme, "height")
        board.set_changed.connect(self.show_ground)
        board.shots_changed.connect(self.show_shots)
        theme.changed.connect(self.repaint_all)
        measures.changed.connect(self.repaint_all)
        self.getViewBox().sigResized.connect(self.fit)
        self.repaint_all()
        # Last, so that it asks for the ways after they were made anew.
        self.playback = Playback(lambda: self.ways.ways, board.shots_changed)
        self.playback.moved.connect(self._on_playback)

    def repaint_all(self) -> None:
        """Everything anew: colours or units changed."""
        self.paint_frame(self._theme.colours, self._measures, "height")
        self.show_ground()
        self.show_shots()

    def set_font(self, font: QFont) -> None:
        """Letters of another size on the axes and beside the balls."""
        self.setFont(font)
        for side in ("bottom", "left"):
            axis = self.getAxis(side)
            axis.setStyle(tickFont=font)
            axis.label.setFont(font)
        self.getAxis("left").setWidth(round(3.2 * QFontMetricsF(font).height()))
        self.getAxis("bottom").setHeight(round(2.6 * QFontMetricsF(font).height()))

    def show_ground(self) -> None:
        """Draw the ground as it is set, whatever the shots do."""
        situation = self._board.setting.changed
        hole = situation.hole.distance
        profile = profile_of(situation, -25.0, max(hole * 2.0 + 10.0, 60.0, self._far() + 10.0))
        self.section.show_ground(profile)
        self._show_obstacles(barriers_of(situation, profile))
        self.flag.show_at(hole, profile.height(hole))
        past = self._board.past
        if self.ways.past is not past:
            self.ways.past = past
            self.ways.update()
        self.fit()

    def show_shots(self) -> None:
        """Draw the shots there are, those that are explained the strongest."""
        board, pair = self._board, self._board.marked
        self.ways.ways = tuple(Way(board.place(s), s, *smooth(s.track)) for s in board.shots)
        self.ways.strong = frozenset(shot.key for shot in pair) if pair else frozenset()
        self.ways.update()
        self._show_obstacles(self.obstacles.boxes)
        if self.section.profile is not None and self._far() > self.section.profile.x[-1]:
            self.show_ground()
        self.fit()

    def _show_obstacles(self, boxes: list[Barrier]) -> None:
        self.obstacles.show_boxes(boxes, {str(way.place + 1): way.shot.track for way in self.ways.ways})

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space:
            self.playback.play_or_pause()
        elif event.key() == Qt.Key.Key_Escape and self.playback.time is not None:
            self.playback.reset()
        else:
            event.ignore()  # pages are turned by the window
            return
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        event.ignore()  # no landing is tried here

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        event.ignore()  # nothing here is moved by hand

    def _on_playback(self) -> None:
        """Put the balls where the playback has them; without one, where they rest."""
        self.balls.show(self.playback.ways, self.playback.time)
        if self.ways.rest is not (self.playback.time is None):
            self.ways.rest = self.playback.time is None
            self.ways.update()

    def _far(self) -> float:
        return max((float(way.x.max()) for way in self.ways.ways), default=0.0)

    def fit(self) -> None:
        """Show ball, hole and every shot to its end."""
        profile, ways = self.section.profile, self.ways.ways
        if profile is None:
            return
        far = 1.05 * max(self._board.setting.changed.hole.distance + 1.5, self._far())
        low = min(-0.05 * far, *(float(way.x.min()) - 0.5 for way in ways)) if ways else -0.05 * far
        inside = (profile.x >= low) & (profile.x <= far)
        bottom = float(profile.z[inside].min())
        highest = [self.flag.at[1] + FLAG_HEIGHT, float(profile.z[inside].max())]
        top = max(highest + [float(way.z.max()) for way in ways])
        height = top - bottom
        self.getAxis("left").floor = bottom - 0.05 * height
        self.setXRange(low, far, padding=0)
        share = min(0.4, (TURF + 10.0) / max(self.getViewBox().height(), 1.0))
        self.setYRange(bottom - 1.1 * height * share / (1.0 - share), bottom + 1.1 * height, padding=0)
