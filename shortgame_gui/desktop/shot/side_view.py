"""The side view: the ground cut open along the line of play, the flag, and how the leading shots run.

Landing spot, hole, edges, points of the ground and obstacles can be dragged, or moved by the keyboard.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from PySide6.QtCore import QPointF, Signal
from PySide6.QtGui import QFontMetricsF

from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Session
from shortgame_gui.desktop.shot.balls import Balls
from shortgame_gui.desktop.shot.callout import Callout
from shortgame_gui.desktop.shot.drawing import NEAREST, Array, Entry, View, apart, landing_entries
from shortgame_gui.desktop.shot.handles import FREE, Handles, Mark
from shortgame_gui.desktop.shot.motion import Moment, Way, named_reading, spot_way, ways_of
from shortgame_gui.desktop.shot.movable import (
    ON_THE_GROUND,
    Change,
    movables,
    moved,
    point_added,
    point_removed,
)
from shortgame_gui.desktop.shot.side_items import (
    BAR,
    FLAG_HEIGHT,
    TURF,
    Flag,
    Flights,
    Obstacles,
    Pointer,
    Section,
)
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.report.section import Barrier, barriers_of, profile_of, range_of, widened
from shortgame_gui.words.language import _
from shortgame_gui.words.text import tried_text, ways_drawn
from shortgame_gui.words.views import side_text

PEAK_LINES = 1.8
"""Room above the highest flight, in lines."""
UPRIGHT = 30
"""Points for what stands upright."""
DOWN = 0.05
"""Nearer to the ground than this, in m, the lower edge of what stands in the way is on it."""
NEAR = 14.0
"""How near the mouse must come to a way that is read off, in pixels."""
FURTHEST_BACK = -60.0
"""From where on the ground is known, in m."""


class SideView(View):
    """Ground and shots from the side; heights are stretched to fill the view unless equal scale is chosen."""

    fitted = Signal()
    """It shows another stretch of the line of play."""

    def __init__(self, session: Session, theme: Theme, measures: Measures) -> None:
        super().__init__(
            _("Side view"),
            _("The ground along the line of play and the flight and run of the leading shots."),
        )
        self._session, self._theme, self._measures = session, theme, measures
        self._equal = False
        self.least_width: Callable[[], float] = lambda: 0.0
        """How much of the line of play in m the view below it needs to show."""
        self.section, self.flag = Section(theme, measures), Flag(theme)
        self.obstacles = Obstacles(theme)
        self.flights = Flights(theme, self.obstacles)
        self.pointer, self.callout = Pointer(theme), Callout(theme)
        for item in (self.section, self.obstacles, self.flights, self.flag, self.pointer, self.callout):
            self.addItem(item)
        self.balls = Balls(self, theme, "height")
        self._played: tuple[Way, Moment] | None = None
        self.handles = Handles(self, theme)
        self.handles.moved.connect(self._on_moved)
        self.handles.rested.connect(self._on_rest)
        self.handles.told.connect(self.tell)
        self.scene().sigMouseMoved.connect(self._on_mouse)
        session.changed.connect(self.ground_soon)
        for signal in (session.advice_changed, session.picked, session.pictured):
            signal.connect(self.shots_soon)
        session.spot_wanted.connect(self._on_trying)
        theme.changed.connect(self.repaint_all)
        measures.changed.connect(self.repaint_all)
        self.getViewBox().sigResized.connect(self.fit)
        self.repaint_all()

    def set_equal_scale(self, on: bool) -> None:
        """Heights on the same scale as distances, or stretched to fill the view."""
        self._equal = on
        self.getViewBox().setAspectLocked(on)
        self.fit()

    def repaint_all(self) -> None:
        """Everything anew: colours or units changed."""
        self.paint_frame(self._theme.colours, self._measures, "height")
        self.show_ground()
        self.show_shots()

    def show_ground(self) -> None:
        """Draw the ground of the session's situation, at once, whatever the advice does."""
        situation = self._session.situation
        profile = profile_of(situation, FURTHEST_BACK, max(situation.hole.distance * 3.2 + 20.0, 60.0))
        self.section.show_ground(profile)
        self._show_obstacles(barriers_of(situation, profile))
        hole = situation.hole.distance
        self.flag.show_at(hole, profile.height(hole))
        self._show_handles()
        self.tell()
        self.fit()

    def show_shots(self) -> None:
        """Draw the leading shots; paler while they are those of an earlier situation."""
        session, style = self._session, self._measures.style
        ways = ways_of(session.ways)
        flies = ways and ways[0].shot.apex > 0.0 and ways[0].shot.technique != "putt"
        peak = _("{height} up").format(height=style.short(ways[0].shot.apex)) if flies else ""
        self._show_obstacles(self.obstacles.boxes)
        self.flights.show_ways(ways, not session.exact, spot_way(session), peak)
        self.section.show_shots(session.ways, not session.current)
        shots = session.ways
        said = side_text(session.situation, shots, session.exact, session.current, style)
        self.setAccessibleDescription(said)
        self._show_handles()
        self.tell()
        self.fit()

    def _show_obstacles(self, boxes: list[Barrier]) -> None:
        self.obstacles.show_boxes(boxes, {str(shot.rank): shot.track for shot in self._session.ways})

    # --- handles -----------------------------------------------------------------------------------

    def _show_handles(self) -> None:
        profile = self.section.profile
        if profile is None:
            return
        marks = []
        for m in movables(self._session.situation):
            height = profile.height(m.at)  # a corner of the profile is rounded, so a point stands on it
            if m.kind in ("top", "foot") and m.height is not None:
                height = max(height, m.height)
            marks.append(Mark(m.code, m.kind, m.name, m.at, height))
        landing = self._session.landing
        if landing is not None:
            marks.append(Mark("landing", "spot", _("Landing spot"), landing[0], profile.height(landing[0])))
        self.handles.show(tuple(marks))

    def _on_moved(self, code: str, x: float, z: float, gesture: int) -> None:
        self.catch_up()  # a step of a drag goes from where the last one led
        session, unit, profile = self._session, self._measures.distance, self.section.profile
        assert profile is not None
        if code == "landing":
            self._try(max(x, NEAREST))
            return
        at = unit.si(round(unit.shown(x), 1))
        mark = self.handles.all[code].mark
        height = None
        if mark.kind == "point":
            own = next(m.height for m in movables(session.situation) if m.code == code)
            height = (own or 0.0) + round(z - mark.y, 2)
        elif mark.kind in ("top", "foot"):
            ground = profile.height(at)
            height = round(max(z, ground + 2.0 * DOWN), 2)
            if mark.kind == "foot" and z < ground + DOWN:
                height = ON_THE_GROUND
        change = moved(session.situation, code, at, height)
        session.edit(change.path, change.value, change.label, gesture)

    def _try(self, landing: float) -> None:
        """Ask how the shot in front goes when it lands at ``landing`` m, on its own line."""
        before = self._session.landing
        if before is not None:
            along, left = before
            self._session.try_landing(landing, left * landing / along if along > NEAREST else 0.0)

    def _on_trying(self) -> None:
        """A landing is being tried, here or in another view: the handle is there before the answer."""
        self._show_handles()
        self.tell()

    def _on_rest(self) -> None:
        self.fit()
        self.tell()

    def tell(self) -> None:
        """Say what is chosen, dragged or tried, beside it."""
        mark, spot = self.handles.told_of, self._session.spot
        situation, style = self._session.situation, self._measures.style
        if self._played is not None:
            way, moment = self._played
            self.callout.tell(moment.x, moment.z, *named_reading(way, moment, style), foot=True)
        elif spot is not None and (mark is None or mark.code == "landing"):
            lines = tried_text(spot.drawn, situation.hole.distance, situation.green.front, style)
            self.callout.tell(*spot.landing, *lines, foot=True)
        elif mark is not None:
            seen = self.handles.all[mark.code].pos()  # at the border where the mark itself is beyond it
            self.callout.tell(seen.x(), seen.y(), *self._told(mark), clear=self._kept_clear())
        else:
            self.callout.tell(0.0, 0.0)

    def _told(self, mark: Mark) -> tuple[str, ...]:
        """A mark's name and how far away it is; under the name where its height belongs to it, too."""
        style, profile = self._measures.style, self.section.profile
        away = _("{d} away").format(d=style.long(mark.x, 1))
        if mark.kind not in FREE:
            return (f"{mark.name}, {away}",)
        up = _("{height} up") if mark.y >= 0.0 else _("{height} down")
        if mark.kind == "foot" and profile is not None and mark.y <= profile.height(mark.x):
            up = _("on the ground")
        return mark.name, f"{away}, {up.format(height=style.short(abs(mark.y)))}"

    def _kept_clear(self) -> Array:
        """Points (2, n) in m that no words may hide: flights, landings, flag, obstacles and marks."""
        x, z = self.flag.at
        parts = [np.array([[handle.mark.x], [handle.mark.y]]) for handle in self.handles.all.values()]
        walls = [(box.at, box.low, box.high) for box in self.obstacles.boxes]
        for at, low, high in ((x, z, z + FLAG_HEIGHT), *walls):
            parts.append(np.stack([np.full(UPRIGHT, at), np.linspace(low, high, UPRIGHT)]))
        return apart([*parts, *(np.stack([way.x, way.z]) for way in self.flights.all)])

    def key_step(self, along: int, up: int) -> None:
        """Move the chosen handle by steps of half a unit along and a tenth up."""
        if self.handles.chosen is None:
            self.handles.choose("landing" if "landing" in self.handles.all else "hole")
        unit, height = self._measures.distance, self._measures.short
        self.handles.nudge(unit.si(0.5 * along), height.si((0.5 if self._measures.yards else 0.1) * up))

    def let_go(self) -> None:
        """Nothing is chosen or tried any more."""
        self.escaped.emit()
        self.handles.choose(None)
        self._session.drop_spot()
        self.show_shots()

    def remove_chosen(self) -> None:
        """Take the chosen point of the ground away."""
        self._edit(point_removed(self._session.situation, self.handles.chosen or ""))

    def land_at(self, x: float, y: float) -> None:
        """Try a landing at ``x`` m, on the line of the shot in front."""
        self.handles.choose("landing" if "landing" in self.handles.all else None)
        self._try(max(x, NEAREST))

    def menu_entries(self, x: float, y: float, code: str | None) -> list[Entry]:
        """What the context menu offers at ``x``, ``y`` m, over the handle ``code``."""
        situation = self._session.situation
        entries: list[Entry] = []
        added = point_added(situation, x)
        if added is not None:
            entries.append(("add_point", _("Add a ground point here"), lambda: self._edit(added)))
        removed = point_removed(situation, code or "")
        if removed is not None:
            name = self.handles.all[code or ""].mark.name.lower()
            entries.append(
                ("remove_point", _("Remove {thing}").format(thing=name), lambda: self._edit(removed))
            )
        entries += landing_entries(self, self._session, x, y)
        return entries + super().menu_entries(x, y, code)

    def _edit(self, change: Change | None) -> None:
        if change is not None:
            self._session.edit(change.path, change.value, change.label)

    def show_moment(self, ways: tuple[Way, ...], time: float | None) -> None:
        """Show the balls of a playback, and read off the one in front."""
        self.balls.show(ways, time)
        self._played = (ways[0], ways[0].at(time)) if ways and time is not None else None
        self.tell()

    # --- reading off -------------------------------------------------------------------------------

    def _on_mouse(self, place: QPointF) -> None:
        """Read off the nearest way under the mouse."""
        if self._played is not None:
            return
        found = self.nearest(place) if not self.handles.dragging else None
        if found is None or self.handles.told_of is not None:
            self.pointer.point_at(None)
            if self.handles.told_of is None and self._session.spot is None:
                self.callout.tell(0.0, 0.0)
            return
        way, moment = found
        self.pointer.point_at(moment)
        # Near the mouse: a clear place anywhere would often be a corner far from it.
        lines = named_reading(way, moment, self._measures.style)
        self.callout.tell(moment.x, moment.z, *lines, near=True, clear=self._kept_clear())

    def nearest(self, place: QPointF) -> tuple[Way, Moment] | None:
        """The way that passes within `NEAR` pixels of ``place`` in the scene, and the ball there."""
        box, best = self.getViewBox(), NEAR
        found = None
        for way in self.flights.all:
            line = box.mapViewToScene(QPointF(0.0, 0.0))
            scale = box.mapViewToScene(QPointF(1.0, 1.0)) - line
            across = line.x() + scale.x() * way.x - place.x()
            down = line.y() + scale.y() * way.z - place.y()
            gap = np.hypot(across, down)
            k = int(np.argmin(gap))
            if gap[k] < best:
                best, found = float(gap[k]), (way, way.at(float(way.time[k])))
        return found

    def fit(self) -> None:
        """Show ball, hole and shots, and nothing far from all of them; not while something is held."""
        profile, ways = self.section.profile, self._session.ways
        if profile is None or self.handles.dragging:
            return
        advice = self._session.advice
        behind = [way.place[0] for way in ways_drawn(advice).values() if way.place] if advice else []
        low, high = range_of(self._session.situation, ways, min(behind, default=0.0))
        low, high = widened(low, high, self.least_width())
        inside = (profile.x >= low) & (profile.x <= high)
        bottom, ground_top = float(profile.z[inside].min()), float(profile.z[inside].max())
        peaks = [float(way.z.max()) for way in self.flights.all]
        height = max([self.flag.at[1] + FLAG_HEIGHT, ground_top, *peaks]) - bottom
        self.getAxis("left").floor = bottom - 0.05 * height
        self.setXRange(low, high, padding=0)
        self.fitted.emit()
        if not self._equal:
            # The earth below holds the notes, whose height is in pixels.
            line, room = QFontMetricsF(self.font()).lineSpacing(), max(self.getViewBox().height(), 1.0)
            notes = TURF + BAR * (len(ways) + 1) + 2.5 * line
            share = min(0.5, notes / room)
            # And above the highest flight stands how high it is.
            sky = (1.0 - share) * room
            above = max(1.12, sky / max(sky - PEAK_LINES * line, 0.5 * sky)) * height
            self.setYRange(bottom - above * share / (1.0 - share), bottom + above, padding=0)
