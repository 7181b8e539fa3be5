"""Marks in a view that can be dragged by the mouse, or chosen and moved by the keyboard."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import count
from typing import Any, Literal

from PySide6.QtCore import QObject, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPen, QPolygonF

from shortgame_gui.desktop.plotting import pg
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.words.language import _

Kind = Literal["spot", "hole", "edge", "point", "top", "foot"]
FREE: tuple[Kind, ...] = ("point", "top", "foot")
"""What goes up and down as well as along the line."""

REACH = 9.0
"""Half the width in pixels of the area that takes the mouse."""
INSIDE = 12.0
"""How far inside the border a mark is held that is beyond it, in pixels."""
BEYOND = ((-4.0, 1.0), (0.0, 5.0), (4.0, 1.0))
"""A point over such a mark, across and outwards in pixels."""
QUIET = 0.5
"""How strongly what nobody touches is drawn, hole and landing spot left aside: the shots come first."""
_GESTURES = count(1)


@dataclass(frozen=True)
class Mark:
    """Something to take hold of: where it stands in the view's own measures (m), and its name."""

    code: str
    kind: Kind
    name: str
    x: float
    y: float


class Handle(pg.GraphicsObject):
    """One mark; it keeps its size in pixels and tells where the mouse takes it."""

    taken = Signal(str)
    dragged = Signal(str, float, float)
    dropped = Signal(str)
    entered = Signal(str)
    left = Signal(str)

    def __init__(self, mark: Mark, theme: Theme) -> None:
        super().__init__()
        self.mark, self._theme = mark, theme
        self.hovered = self.chosen = False
        self.beyond = 0
        """1 where the mark is above the view, -1 below it."""
        self._grab = QPointF()
        self.setFlag(self.GraphicsItemFlag.ItemIgnoresTransformations)
        self.setZValue(30)
        self.setCursor(Qt.CursorShape.SizeAllCursor if mark.kind in FREE else Qt.CursorShape.SizeHorCursor)
        self.show_mark(mark)

    def show_mark(self, mark: Mark) -> None:
        """Stand where ``mark`` says."""
        self.mark = mark
        self.setToolTip(_("{what}: drag it, or move it by the arrow keys.").format(what=mark.name))
        self.place()

    def place(self) -> None:
        """Stand at the mark; at the border of the view where the mark is above or below it."""
        box, y = self.getViewBox(), self.mark.y
        self.beyond = 0
        if self.mark.kind in FREE and box is not None and box.height() > 0.0:
            low, high = box.viewRange()[1]
            edge = INSIDE * (high - low) / box.height()
            self.beyond = int(y > high) - int(y < low)
            y = min(max(y, low + edge), high - edge) if self.beyond else y
        self.setPos(self.mark.x, y)
        self.update()

    def boundingRect(self) -> QRectF:
        return QRectF(-REACH, -REACH, 2.0 * REACH, 2.0 * REACH)

    def paint(self, painter: QPainter, *args: object) -> None:
        colours, strong = self._theme.colours, self.hovered or self.chosen
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if not strong and self.mark.kind in ("edge", *FREE):
            painter.setOpacity(QUIET)
        painter.setPen(QPen(QColor(colours.text), 2.0 if self.chosen else 1.2))
        painter.setBrush(QColor(colours.accent if strong else colours.base))
        match self.mark.kind:
            case "spot":
                painter.drawPolygon(QPolygonF([QPointF(-6, -7), QPointF(6, -7), QPointF(0, 3)]))
            case "hole":
                painter.drawEllipse(QPointF(0, 0), 4.5, 4.5)
            case "edge":
                painter.drawRect(QRectF(-2.0, -1.0, 4.0, 9.0))
            case "point":
                painter.drawRect(QRectF(-3.5, -3.5, 7.0, 7.0))
            case "top" | "foot":
                painter.drawRect(QRectF(-6.0, -2.5, 12.0, 5.0))
        if self.beyond:
            painter.drawPolyline([QPointF(dx, -self.beyond * (4.0 + dy)) for dx, dy in BEYOND])

    # --- the mouse, as the plot's scene tells it ---------------------------------------------------

    def hoverEvent(self, event: Any) -> None:
        inside = not event.isExit() and event.acceptDrags(Qt.MouseButton.LeftButton)
        if inside != self.hovered:
            self.hovered = inside
            (self.entered if inside else self.left).emit(self.mark.code)
            self.update()

    def mouseDragEvent(self, event: Any) -> None:
        box = self.getViewBox()
        if event.button() != Qt.MouseButton.LeftButton or box is None:
            event.ignore()
            return
        event.accept()
        if event.isStart():
            mark = QPointF(self.mark.x, self.mark.y)  # which may be beyond the place where it is held
            self._grab = mark - box.mapSceneToView(event.buttonDownScenePos())
            self.taken.emit(self.mark.code)
        spot = box.mapSceneToView(event.scenePos()) + self._grab
        self.dragged.emit(self.mark.code, spot.x(), spot.y())
        if event.isFinish():
            self.dropped.emit(self.mark.code)

    def mouseClickEvent(self, event: Any) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            event.accept()
            self.taken.emit(self.mark.code)
            self.dropped.emit(self.mark.code)


class Handles(QObject):
    """The handles of one view: which one is chosen, and one gesture for each drag or run of keys."""

    moved = Signal(str, float, float, int)
    """A handle is taken to this place in the view's measures; the gesture is the same while it goes on."""
    rested = Signal()
    """No handle is being dragged any more."""
    told = Signal()
    """Another handle is chosen or under the mouse."""

    def __init__(self, view: pg.PlotWidget, theme: Theme) -> None:
        super().__init__(view)
        self._view, self._theme = view, theme
        self.all: dict[str, Handle] = {}
        self.chosen: str | None = None
        self.under_mouse: str | None = None
        self.dragging = False
        self._gesture = next(_GESTURES)
        view.getViewBox().sigYRangeChanged.connect(self.place)

    def place(self) -> None:
        """Every handle where its mark is seen; the view shows another part of the heights."""
        for handle in self.all.values():
            if handle.mark.kind in FREE:
                handle.place()

    def show(self, marks: tuple[Mark, ...]) -> None:
        """Have a handle for each of ``marks`` and no other; those that stay keep being held."""
        for code in set(self.all) - {mark.code for mark in marks}:
            self._view.removeItem(self.all.pop(code))
            self.chosen = None if self.chosen == code else self.chosen
            self.under_mouse = None if self.under_mouse == code else self.under_mouse
        for mark in marks:
            if mark.code in self.all:
                self.all[mark.code].show_mark(mark)
            else:
                self._add(mark)

    def _add(self, mark: Mark) -> None:
        handle = self.all[mark.code] = Handle(mark, self._theme)
        handle.taken.connect(self._on_taken)
        handle.dragged.connect(lambda code, x, y: self.moved.emit(code, x, y, self._gesture))
        handle.dropped.connect(self._on_dropped)
        handle.entered.connect(self._on_mouse)
        handle.left.connect(lambda code: self._on_mouse(None))
        self._view.addItem(handle)
        handle.place()

    def choose(self, code: str | None) -> None:
        """Take ``code`` in hand for the keyboard; its keys are one step to undo until another is taken."""
        if code != self.chosen:
            self._gesture = next(_GESTURES)
        self.chosen = code
        for handle in self.all.values():
            handle.chosen = handle.mark.code == code
            handle.update()
        self.told.emit()

    def choose_next(self, steps: int) -> None:
        """Choose the handle ``steps`` further along the line, round and round."""
        codes = [mark.code for mark in sorted((h.mark for h in self.all.values()), key=lambda m: m.x)]
        if codes:
            at = codes.index(self.chosen) if self.chosen in codes else (-1 if steps > 0 else 0)
            self.choose(codes[(at + steps) % len(codes)])

    def nudge(self, x: float, y: float) -> None:
        """Move the chosen handle by ``x``, ``y`` in the view's measures."""
        handle = self.all.get(self.chosen or "")
        if handle is not None:
            self.moved.emit(handle.mark.code, handle.mark.x + x, handle.mark.y + y, self._gesture)

    @property
    def told_of(self) -> Mark | None:
        """The mark to say something about: the one under the mouse, else the one chosen."""
        handle = self.all.get(self.under_mouse or self.chosen or "")
        return handle.mark if handle is not None else None

    def _on_taken(self, code: str) -> None:
        self.dragging = True
        self._gesture = next(_GESTURES)
        self.choose(code)

    def _on_dropped(self, code: str) -> None:
        self.dragging = False
        self._gesture = next(_GESTURES)
        self.rested.emit()

    def _on_mouse(self, code: str | None) -> None:
        self.under_mouse = code
        self.told.emit()


STEPS: dict[int, tuple[int, int]] = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, 1),
    Qt.Key.Key_Down: (0, -1),
}


def step_of(event: QKeyEvent) -> tuple[int, int] | None:
    """Steps along and up that a key asks for, five with Shift; None for other keys."""
    step = STEPS.get(event.key())
    if step is None:
        return None
    times = 5 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
    return step[0] * times, step[1] * times
