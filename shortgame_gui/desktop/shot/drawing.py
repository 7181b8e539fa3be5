"""What side view and plan view share: hatched grounds, pens of the shots, axes in the player's units.

Hatching is laid in pixels of the screen, so it looks the same however a view is zoomed; items that use it map
their outlines to the screen first and paint there.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QCoreApplication, QEvent, QLineF, QLocale, QPoint, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QBrush,
    QColor,
    QContextMenuEvent,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QShowEvent,
    QTransform,
)
from PySide6.QtWidgets import QMenu

from shortgame_gui.desktop.fields import describe
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.plotting import pg
from shortgame_gui.desktop.session import Session
from shortgame_gui.desktop.shot.handles import Handles, step_of
from shortgame_gui.desktop.theme import SHOT_DASHES, Colours
from shortgame_gui.desktop.turns import Turns
from shortgame_gui.words.language import _

Array = npt.NDArray[np.float64]

Entry = tuple[str, str, Callable[[], None]]
"""An entry of a menu: its code, its text, and what it does."""
NEAREST = 0.3
"""Nearest landing that can be tried, in m."""
STEP, STRAIGHT = 3.0, 0.97
"""Pixels between points of a line that is stroked, and the cosine of the least turn that makes a corner."""
DIM = 0.35
"""How strongly an answer of the past is drawn."""


def mixed(ink: QColor, paper: QColor, share: float) -> QColor:
    """``ink`` with as much of ``paper`` in it as if it were laid on thinly, by ``share``."""
    pairs = ((ink.redF(), paper.redF()), (ink.greenF(), paper.greenF()), (ink.blueF(), paper.blueF()))
    return QColor.fromRgbF(*(share * a + (1.0 - share) * b for a, b in pairs))


def faded(colour: QColor, colours: Colours) -> QColor:
    """``colour`` of what is past: mixed, not transparent, which takes three times as long to stroke."""
    return mixed(colour, QColor(colours.sky), DIM)


def shot_pen(colours: Colours, place: int, *, dim: bool = False) -> QPen:
    """The pen of the shot in ``place``; the one in front is the strongest, and the past is paler."""
    colour = colours.shot(place)
    if dim:
        colour = faded(colour, colours)
    pen = QPen(colour, 2.6 if place == 0 else 1.6, SHOT_DASHES[place % len(SHOT_DASHES)])
    return pen


def fill(painter: QPainter, outline: QPolygonF, brushes: tuple[QBrush, QBrush | None]) -> None:
    """Fill ``outline``, given in pixels, with a colour and the hatching on top."""
    painter.setPen(Qt.PenStyle.NoPen)
    for brush in brushes:
        if brush is not None:
            painter.setBrush(brush)
            painter.drawPolygon(outline)


class ScreenItem(pg.GraphicsObject):
    """An item that paints in pixels of its view; a subclass gives `paint_screen`."""

    def __init__(self) -> None:
        super().__init__()
        self._bounds = QRectF(-200.0, -200.0, 600.0, 600.0)

    def boundingRect(self) -> QRectF:
        """So large that no view ever leaves the item out; ranges are set by the views, not by items."""
        return self._bounds

    def paint(self, painter: QPainter, *args: object) -> None:
        box = self.getViewBox()
        if box is None:
            return
        to_screen = QTransform(painter.worldTransform())
        seen = to_screen.mapRect(box.viewRect())
        painter.save()
        painter.setWorldTransform(QTransform())
        painter.setClipRect(seen, Qt.ClipOperation.IntersectClip)
        self.paint_screen(painter, to_screen, seen)
        painter.restore()

    def paint_screen(self, painter: QPainter, to_screen: QTransform, seen: QRectF) -> None:
        """Paint in pixels; ``to_screen`` maps metres to pixels, ``seen`` is the visible part in pixels."""


def clearest(tries: Sequence[QRectF], told: Sequence[QRectF], lines: Array, room: QRectF) -> QRectF:
    """The first of ``tries`` inside ``room`` that covers least of what is ``told`` and of ``lines``.

    Those are points (2, n) in pixels.
    """

    def hides(box: QRectF) -> tuple[bool, int, int]:
        return not room.contains(box), sum(box.intersects(other) for other in told), inside(box, lines)

    return min(tries, key=hides)


def inside(box: QRectF, points: Array) -> int:
    """How many of the ``points`` (2, n) lie in ``box``."""
    x, y = points
    over = (x > box.left()) & (x < box.right()) & (y > box.top()) & (y < box.bottom())
    return int(np.count_nonzero(over))


def pixels(to_screen: QTransform, x: Array, y: Array) -> Array:
    """Points in m in pixels, (2, n)."""
    across = to_screen.m11() * x + to_screen.m21() * y + to_screen.dx()
    down = to_screen.m12() * x + to_screen.m22() * y + to_screen.dy()
    return np.stack([across, down])


def polygon(to_screen: QTransform, x: Array, y: Array) -> QPolygonF:
    """Points in m as a polygon in pixels."""
    if not len(x):
        return QPolygonF()
    # A copy in memory: views are painted at every step.
    return pg.functions.arrayToQPolygonF(*pixels(to_screen, x, y))


def apart(lines: list[Array]) -> Array:
    """``lines`` of points (2, n) as one, with NaN between them."""
    gap = np.full((2, 1), np.nan)
    return np.concatenate([part for line in lines for part in (line, gap)], axis=1)


def thinned(line: QPolygonF) -> QPolygonF:
    """``line``, in pixels, without the points that lie so close that nobody would see them; corners stay.

    A stroke costs as much as its line has points, and a way has hundreds.
    """
    if line.size() < 3:
        return line
    x, y = pg.functions.ndarray_from_qpolygonf(line).T
    dx, dy = np.diff(x), np.diff(y)
    length = np.hypot(dx, dy)
    keep = np.ones(len(x), dtype=bool)
    keep[1:-1] = np.diff(np.floor(np.cumsum(length) / STEP)) > 0.0
    turn = dx[:-1] * dx[1:] + dy[:-1] * dy[1:] < STRAIGHT * length[:-1] * length[1:]
    keep[1:-1] |= turn
    return pg.functions.arrayToQPolygonF(x[keep], y[keep])


class RulerAxis(pg.AxisItem):
    """An axis in the player's units that writes no needless decimals, and nothing below ``floor`` (SI).

    It paints itself: the general axis measures every text and records its painting first, which took a fifth
    of the time of each step of a drag.
    """

    floor = -np.inf

    def step(self, pixels: float, room: float) -> float:
        """From one number to the next, in shown units: 1, 2 or 5 times a power of ten, and at least ``room``.

        ``room`` is in pixels, of which a shown unit has ``pixels``.
        """
        least = room / pixels
        power = 10.0 ** math.floor(math.log10(least))
        return next(n * power for n in (1.0, 2.0, 5.0, 10.0) if n * power >= least * (1.0 - 1e-9))

    def paint(self, painter: QPainter, *args: object) -> None:
        lies = self.orientation == "bottom"
        box, (low, high) = self.mapRectFromParent(self.geometry()), self.range
        length = box.width() if lies else box.height()
        if not (high > low and length > 0.0):
            return
        if self.style["tickFont"]:
            painter.setFont(self.style["tickFont"])
        metrics = QFontMetricsF(painter.font())
        room = 1.8 * metrics.horizontalAdvance("000") if lies else 2.2 * metrics.height()
        pixels = length / (high - low)
        step = self.step(pixels / self.scale, room) / self.scale
        parts = 5 if round(step * self.scale / 10.0 ** math.floor(math.log10(step * self.scale))) != 2 else 4
        fine = step / parts
        numbers = np.arange(math.ceil(low / fine - 1e-9), math.floor(high / fine + 1e-9) + 1)
        inside = self.style["tickLength"]
        edge = box.topLeft() if lies else box.topRight()
        lines = [QLineF(edge, box.topRight() if lies else box.bottomRight())]
        for number in numbers.tolist():
            at, tick = (number * fine - low) * pixels, inside if number % parts == 0 else 0.5 * inside
            if lies:
                lines.append(QLineF(edge.x() + at, edge.y(), edge.x() + at, edge.y() + tick))
            else:
                y = box.bottom() - at
                lines.append(QLineF(edge.x(), y, edge.x() - tick, y))
        painter.setPen(self.pen())
        painter.drawLines(lines)
        painter.setPen(self.textPen())
        values = [number * fine for number in numbers.tolist() if number % parts == 0]
        off_x, off_y = self.style["tickTextOffset"]
        for value, text in zip(values, self.tickStrings(values, self.scale, step), strict=True):
            at, width = (value - low) * pixels, metrics.horizontalAdvance(text)
            if lies:
                left = edge.x() + at - 0.5 * width
                if box.left() - 1.0 <= left and left + width <= box.right() + 1.0:
                    painter.drawText(QPointF(left, edge.y() + off_y + metrics.ascent()), text)
            else:
                foot = box.bottom() - at + 0.5 * metrics.ascent() - 1.0
                if foot - metrics.ascent() >= box.top() - 1.0 and foot <= box.bottom() + 1.0:
                    painter.drawText(QPointF(edge.x() - off_x - width, foot), text)

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        places = max(0, int(np.ceil(-np.log10(spacing * scale) - 1e-6)))
        return [
            QLocale().toString(round(value * scale, places) + 0.0, "f", places) if value >= self.floor else ""
            for value in values
        ]


class View(pg.PlotWidget):
    """A plot without the general menus and buttons, in the theme's colours and the player's units.

    A subclass has `handles` and says what keys and menu do to them.
    """

    play_wanted = Signal()
    """Space: the balls shall run, or stop."""
    escaped = Signal()
    """Escape: nothing shall be chosen, tried or played any more."""
    save_wanted = Signal()
    """The view shall be written into a picture file."""
    handles: Handles
    _stale = False
    """Whether the scene changed since all of it was painted."""
    turns: Turns | None = None
    """At whose turns it changes and is painted; at once where there are none."""

    def __init__(self, name: str, text: str) -> None:
        super().__init__(axisItems={side: RulerAxis(side) for side in ("bottom", "left")})
        describe(self, name, text)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setFrameShape(self.Shape.NoFrame)
        self.plotItem.hideButtons()
        self.plotItem.setMenuEnabled(False)
        box = self.plotItem.getViewBox()
        box.disableAutoRange()
        # At once: left to the painting itself, a new range would have everything painted a second time.
        box.sigRangeChanged.connect(lambda: box.updateMatrix())
        self.setMouseEnabled(x=True, y=False)
        self.setAntialiasing(True)
        self.plotItem.layout.setContentsMargins(2, 4, 8, 2)
        self.scene().setMoveDistance(3)

    def take_turns(self, turns: Turns) -> None:
        """Change and be painted at turns of ``turns``, not together with everything else that changed."""
        self.turns = turns
        self.setViewportUpdateMode(self.ViewportUpdateMode.NoViewportUpdate)
        self.scene().changed.connect(self._on_scene)

    def _on_scene(self, areas: object) -> None:
        self._stale = True
        self.soon(self._paint)

    def _paint(self) -> None:
        if self._stale:  # else all was painted meanwhile, as for other colours
            self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if event.rect().contains(self.viewport().rect()):
            self._stale = False

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        # The scene takes that it is seen for a change, which is heard here or would be painted once more.
        QCoreApplication.sendPostedEvents(self.scene(), QEvent.Type.MetaCall)

    def soon(self, do: Callable[[], object]) -> None:
        """Call ``do``, a method of the view, at a turn of its own."""
        if self.turns is None:
            do()
        else:
            self.turns.later(do)

    def ground_soon(self) -> None:
        """The ground is another one."""
        self.soon(self.show_ground)

    def shots_soon(self) -> None:
        """The shots are others, or are of the past."""
        self.soon(self.show_shots)

    def catch_up(self) -> None:
        """Show what is waiting for its turn."""
        if self.turns is not None:
            self.turns.finish()

    def paint_frame(
        self, colours: Colours, measures: Measures, across: str, *, along_label: bool = True
    ) -> None:
        """Background and axes; ``across`` says what the upright axis shows."""
        self.setBackground(QColor(colours.sky))
        along, up = self.getAxis("bottom"), self.getAxis("left")
        along.setToolTip(
            _("Distance from the ball along the line to the hole; the wheel zooms, a drag moves.")
        )
        in_feet = _("{what}, feet") if measures.yards else _("{what}, metres")
        up.setToolTip(in_feet.format(what=f"{across[0].upper()}{across[1:]}") + ".")
        for axis in (along, up):
            axis.setPen(QPen(QColor(colours.line)))
            axis.setTextPen(QColor(colours.soft_text))
            height = math.ceil(QFontMetricsF(self.font()).height())
            axis.setStyle(tickLength=-4, tickTextHeight=height, autoExpandTextSpace=False)
            axis.enableAutoSIPrefix(False)
        distance, short = measures.distance, measures.short
        along.setScale(1.0 / distance.si(1.0))
        up.setScale(1.0 / short.si(1.0))
        css = {"color": colours.soft_text}
        if along_label:
            along.setLabel(_("from the ball, yards") if measures.yards else _("from the ball, metres"), **css)
        up.setLabel(in_feet.format(what=across), **css)

    def show_ground(self) -> None:
        """Draw the ground."""

    def show_shots(self) -> None:
        """Draw the shots."""

    # --- keys and menu -----------------------------------------------------------------------------

    def key_step(self, along: int, up: int) -> None:
        """Move what is chosen by steps along the line, and up or to the left."""

    def let_go(self) -> None:
        """Nothing is chosen or tried any more."""

    def remove_chosen(self) -> None:
        """Take what is chosen away, where it can be."""

    def land_at(self, x: float, y: float) -> None:
        """Try a landing at a place in the view's own measures (m), where there is one to be tried."""

    def menu_entries(self, x: float, y: float, code: str | None) -> list[Entry]:
        """What the context menu offers at ``x``, ``y`` m, over the handle ``code``."""
        return [("save_view", _("Save this view as a picture ..."), self.save_wanted.emit)]

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = step_of(event)
        self.catch_up()  # a step goes from where the last one led
        if step is not None:
            self.key_step(*step)
        elif event.key() == Qt.Key.Key_PageDown:
            self.handles.choose_next(1)
        elif event.key() == Qt.Key.Key_PageUp:
            self.handles.choose_next(-1)
        elif event.key() == Qt.Key.Key_Delete:
            self.remove_chosen()
        elif event.key() == Qt.Key.Key_Escape:
            self.let_go()
        elif event.key() == Qt.Key.Key_Space:
            self.play_wanted.emit()
        else:
            event.ignore()  # for the window, not for the plot
            return
        event.accept()

    def make_menu(self, place: QPoint | None) -> QMenu:
        """The context menu at ``place`` in the widget, or for what is chosen by the keyboard."""
        self.catch_up()
        if place is None:
            code = self.handles.chosen
            held = self.handles.all.get(code or "")
            spot = QPointF(held.mark.x, held.mark.y) if held is not None else QPointF()
        else:
            code = self.handles.under_mouse
            spot = self.getViewBox().mapSceneToView(self.mapToScene(place))
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for name, text, do in self.menu_entries(spot.x(), spot.y(), code):
            action = menu.addAction(text)
            action.setObjectName(name)
            action.triggered.connect(do)
        return menu

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        if event.button() != Qt.MouseButton.LeftButton or self.handles.under_mouse is not None:
            super().mouseDoubleClickEvent(event)
            return
        self.catch_up()
        spot = self.getViewBox().mapSceneToView(self.mapToScene(event.position().toPoint()))
        self.land_at(spot.x(), spot.y())
        event.accept()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        by_key = event.reason() == QContextMenuEvent.Reason.Keyboard
        menu = self.make_menu(None if by_key else event.pos())
        if not menu.isEmpty():
            menu.popup(event.globalPos())


def landing_entries(view: View, session: Session, x: float, y: float) -> list[Entry]:
    """To try a landing at ``x``, ``y`` m of ``view``, unless the shot in front only rolls."""
    if session.landing is None or x < NEAREST:
        return []
    return [("try_landing", _("Try a landing here"), lambda: view.land_at(x, y))]
