"""The plan view: the ground from above, the aim, where the shot in front lands and its balls finish.

The hole can be dragged along the line, the landing spot anywhere.
"""

from __future__ import annotations

import numpy as np
from PySide6.QtGui import QFontMetricsF

from shortgame_gui.advice import scene
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Session
from shortgame_gui.desktop.shot.balls import Balls
from shortgame_gui.desktop.shot.callout import Callout
from shortgame_gui.desktop.shot.drawing import NEAREST, Array, Entry, View, apart, landing_entries
from shortgame_gui.desktop.shot.handles import Handles, Mark
from shortgame_gui.desktop.shot.motion import Way, spot_way, ways_of
from shortgame_gui.desktop.shot.movable import moved
from shortgame_gui.desktop.shot.plan_items import Lawn, Slopes, Target, Traces
from shortgame_gui.desktop.shot.ways_out import WaysOutLines
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.report.section import range_of
from shortgame_gui.units import FOOT
from shortgame_gui.words.language import _
from shortgame_gui.words.text import better_way, start_text, tried_text, ways_drawn, ways_text
from shortgame_gui.words.views import plan_text

RINGS = 10.0 * FOOT
"""What is in view to both sides at least, in m: the rings round the hole."""
SEEN = 90.0
"""Share of the finishes on either side, in per cent, that are in view; the others may lie anywhere."""
MARGIN_LINES = 3.0
"""Room for words and letters above and below what is shown, in lines."""


class PlanView(View):
    """The same stretch of ground as the side view above it, seen from above and to scale."""

    def __init__(self, session: Session, theme: Theme, measures: Measures) -> None:
        super().__init__(
            _("Plan view"), _("The ground from above with the aim, the landing and the spread of finishes.")
        )
        self._session, self._theme, self._measures = session, theme, measures
        self.lawn, self.slopes = Lawn(theme, measures), Slopes(theme, measures)
        self.target = Target(theme, measures)
        self.traces = Traces(theme, self.target)
        self.ways_out, self.callout = WaysOutLines(theme, self.traces), Callout(theme, below=True)
        for item in (self.lawn, self.slopes, self.target, self.traces, self.ways_out, self.callout):
            self.addItem(item)
        self.getViewBox().setAspectLocked(True)
        self.balls = Balls(self, theme, "left")
        self.handles = Handles(self, theme)
        self.handles.moved.connect(self._on_moved)
        self.handles.rested.connect(self.tell)
        self.handles.told.connect(self.tell)
        session.changed.connect(self.ground_soon)
        for signal in (session.advice_changed, session.picked, session.pictured):
            signal.connect(self.shots_soon)
        session.spot_wanted.connect(self._show_handles)
        theme.changed.connect(self.repaint_all)
        measures.changed.connect(self.repaint_all)
        self.setYRange(-3.0, 3.0)
        self.repaint_all()

    def repaint_all(self) -> None:
        """Everything anew: colours or units changed."""
        self.paint_frame(self._theme.colours, self._measures, _("left of line"), along_label=False)
        self.show_ground()
        self.show_shots()

    def show_ground(self) -> None:
        """Draw the ground of the session's situation."""
        situation = self._session.situation
        found = scene.obstacles(situation)
        walls = [] if found is None else np.stack([found.at, found.left, found.right], axis=1).tolist()
        hole = situation.hole.distance
        self.lawn.show_ground(scene.strips(situation), hole, walls)
        low, high = range_of(situation, ())
        self.slopes.show_ground(scene.ground([situation]), low - 2.0, high + 0.4 * (high - low))
        self.target.show_hole(hole)
        self._caption()
        self._show_handles()
        self.tell()

    def show_shots(self) -> None:
        """Draw the way over ground of the leading shots, and the spread of the one in front."""
        session = self._session
        ways = ways_of(session.ways)
        start = (
            start_text(ways[0].shot, session.situation.hole.distance, self._measures.style) if ways else ""
        )
        self.traces.start_text = start
        self.traces.show_ways(ways, dim=not session.exact, past=not session.current, spot=spot_way(session))
        style, advice = self._measures.style, session.advice
        out = ways_drawn(advice) if advice else {}
        self.ways_out.show_ways(out, better_way(advice) if advice else None, dim=not session.current)
        self.traces.places = tuple(way.place for way in out.values() if way.place)
        said = plan_text(session.situation, session.ways, session.exact, session.current, style)
        led = ways_text(advice, style, marked=True) if out and advice else ""
        self.setAccessibleDescription(f"{said} {_('Ways out: {ways}.').format(ways=led)}" if led else said)
        self._caption()
        self._show_handles()
        self.tell()
        self.centre()

    def show_moment(self, ways: tuple[Way, ...], time: float | None) -> None:
        """Show the balls of a playback."""
        self.balls.show(ways, time)

    def _caption(self) -> None:
        """What the marks of the view mean, those that are there."""
        parts = []
        if self.traces.oval is not None:
            parts.append(_("oval: half land"))
        if self.traces.density is not None:
            parts.append(_("shade: finishes"))
        if self.slopes.lines.shape[1]:
            shown = self._measures.short.shown(self.slopes.step)
            digits = next(n for n in (0, 1, 2) if round(shown, n) == round(shown, 3) or n == 2)
            step = self._measures.style.short(self.slopes.step, digits)
            parts.append(_("lines: each {step} of height").format(step=step))
        if self.ways_out.ways:
            parts.append(_("{letters}: ways out").format(letters=" ".join(self.ways_out.ways)))
        self.traces.caption = ", ".join(parts)
        self.traces.update()

    # --- what it shows -----------------------------------------------------------------------------

    def reach(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """How far right and left (m, right first) that lies what the shots do, and all that is spoken of."""
        session = self._session
        ways = [*ways_of(session.ways), *filter(None, [spot_way(session)])]
        right, left = -RINGS, RINGS
        for way in ways:
            right, left = min(right, float(way.y.min())), max(left, float(way.y.max()))
        if ways:
            low, high = np.percentile(ways[0].shot.finishes[1], (100.0 - SEEN, SEEN)).tolist()
            right, left = min(right, low), max(left, high)
        out = ways_drawn(session.advice) if session.advice else {}
        places = [way.place[1] for way in out.values() if way.place]
        return (right, left), (min([right, *places]), max([left, *places]))

    def least_width(self) -> float:
        """How much of the line of play, in m, must be in view for all of `reach` to be so, too."""
        box = self.getViewBox()
        right, left = self.reach()[1]
        return (left - right) * box.width() / max(box.height() - MARGIN_LINES * self._line(), 1.0)

    def centre(self) -> None:
        """Have the line of play in the middle, unless what is spoken of lies further to one side."""
        box = self.getViewBox()
        if self.handles.dragging or box.height() < 1.0:
            return
        metre = box.width() / max(box.viewRect().width(), 1e-9)
        half, usual = 0.5 * box.height() / metre, 0.5 * MARGIN_LINES * self._line() / metre
        shots, everything = self.reach()
        middle = 0.0
        for right, left in (everything, shots):  # of what has no room together the shots go before
            margin = min(usual, max(half - 0.5 * (left - right), 0.0))
            low, high = left + margin - half, right - margin + half
            middle = min(max(middle, low), high) if low <= high else 0.5 * (low + high)
        now = box.viewRect().center().y()
        if abs(middle - now) * metre >= 1.0:
            # Both at once: of a height alone the scale would be made anew, here and in the side view.
            self.setRange(xRange=box.viewRange()[0], yRange=(middle - half, middle + half), padding=0)

    def _line(self) -> float:
        return QFontMetricsF(self.font()).lineSpacing()

    # --- handles -----------------------------------------------------------------------------------

    def _show_handles(self) -> None:
        marks = [Mark("hole", "hole", _("Hole"), self._session.situation.hole.distance, 0.0)]
        landing = self._session.landing
        if landing is not None:
            marks.append(Mark("landing", "spot", _("Landing spot"), *landing))
        self.handles.show(tuple(marks))

    def _on_moved(self, code: str, x: float, y: float, gesture: int) -> None:
        self.catch_up()  # a step of a drag goes from where the last one led
        if code == "landing":
            self.land_at(x, y)
            return
        unit = self._measures.distance
        change = moved(self._session.situation, code, unit.si(round(unit.shown(x), 1)))
        self._session.edit(change.path, change.value, change.label, gesture)

    def tell(self) -> None:
        """Say what is in hand, or what the landing tried by hand gives."""
        mark, spot = self.handles.told_of, self._session.spot
        situation, style = self._session.situation, self._measures.style
        if spot is not None and mark is not None and mark.code == "landing":
            lines = tried_text(spot.drawn, situation.hole.distance, situation.green.front, style)
            self.callout.tell(*spot.landing, *lines, clear=self._kept_clear())
        elif mark is not None:
            said = f"{mark.name}, {_('{d} away').format(d=style.long(mark.x, 1))}"
            self.callout.tell(mark.x, mark.y, said, clear=self._kept_clear())
        else:
            self.callout.tell(0.0, 0.0)

    def _kept_clear(self) -> Array:
        """Points (2, n) in m that no words may hide: marks, and the ways of front and of the spot tried."""
        parts = [np.array([[handle.mark.x], [handle.mark.y]]) for handle in self.handles.all.values()]
        ways = (*self.traces.ways[:1], *([self.traces.spot] if self.traces.spot else ()))
        return apart([*parts, *(np.stack([way.x, way.y]) for way in ways)])

    def land_at(self, x: float, y: float) -> None:
        """Try a landing at ``x`` m along, ``y`` m to the left."""
        self.handles.choose("landing" if "landing" in self.handles.all else None)
        self._session.try_landing(max(x, NEAREST), y)

    def menu_entries(self, x: float, y: float, code: str | None) -> list[Entry]:
        """What the context menu offers at ``x``, ``y`` m, over the handle ``code``."""
        return landing_entries(self, self._session, x, y) + super().menu_entries(x, y, code)

    def key_step(self, along: int, up: int) -> None:
        """Move the chosen handle by steps of half a unit along and a foot or a quarter of a metre aside."""
        if self.handles.chosen is None:
            self.handles.choose("landing" if "landing" in self.handles.all else "hole")
        unit, side = self._measures.distance, self._measures.short
        self.handles.nudge(unit.si(0.5 * along), side.si((1.0 if self._measures.yards else 0.25) * up))

    def let_go(self) -> None:
        """Nothing is chosen, tried or played any more."""
        self.escaped.emit()
        self.handles.choose(None)
        self._session.drop_spot()
