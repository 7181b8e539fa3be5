"""The map on the screen: painted as in files, with a cursor for keys and pointer and the cell in words."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleEvent,
    QColor,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPixmap,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from shortgame_gui.advice.map import Map
from shortgame_gui.desktop.fields import describe
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.report.map_picture import Layer, Look, MapPicture
from shortgame_gui.words.language import _
from shortgame_gui.words.map import cell_text

PALE = 0.45
"""How strongly a map is painted that is that of an earlier situation."""
STEPS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, 1),
    Qt.Key.Key_Down: (0, -1),
}


class Chart(QWidget):
    """Shows one map. ``pointed``: the cursor is on another cell; ``chosen``: a cell is to be loaded."""

    pointed = Signal()
    chosen = Signal(int, int)

    def __init__(self, theme: Theme, measures: Measures) -> None:
        super().__init__()
        self._theme, self._measures = theme, measures
        self.map: Map | None = None
        self.layer: Layer = "winner"
        self.cursor_cell: tuple[int, int] | None = None
        self.current = True
        """Whether the map is that of what is set now; else it is painted paler."""
        self._instead = ""
        self._kept: tuple[tuple[Any, ...], MapPicture] | None = None
        """The picture of the map, and what it was made from."""
        self._painted: tuple[MapPicture, QColor, QPixmap] | None = None
        """What was painted of which picture on which paper: to paint a map takes long."""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(360, 260)
        describe(self, _("Map of the winning shots"), _("Which shot wins where two conditions change."))
        theme.changed.connect(self.update)
        measures.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        return QSize(700, 500)

    @property
    def look(self) -> Look:
        """The theme's colours as the picture wants them."""
        c = self._theme.colours
        return Look(c.base, c.text, c.soft_text, c.line, c.lofts, (c.raised, c.accent))

    def picture(self) -> MapPicture | None:
        """The map as it is painted now."""
        if self.map is None:
            return None
        look, style, font = self.look, self._measures.style, self.font()
        of = (look, style, self.layer, self.size(), font)
        if self._kept is None or self._kept[0] != of or self._kept[1].made is not self.map:
            box = QRectF(self.rect()).adjusted(8.0, 6.0, -8.0, -4.0)
            self._kept = of, MapPicture(self.map, look, style, self.layer, box, font)
        return self._kept[1]

    def _pixels(self, picture: MapPicture) -> QPixmap:
        """``picture`` as painted before, or anew."""
        fine, paper, kept = self.devicePixelRatioF(), self.palette().base().color(), self._painted
        if kept is None or kept[:2] != (picture, paper) or kept[2].devicePixelRatio() != fine:
            made = QPixmap(self.size() * fine)
            made.setDevicePixelRatio(fine)
            made.fill(paper)
            painter = QPainter(made)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            picture.paint(painter)
            painter.end()
            self._painted = kept = picture, paper, made
        return kept[2]

    def show_map(self, made: Map | None) -> None:
        """Show another map, or the same one further filled."""
        self.map, self.current = made, True
        if made is not None and self.cursor_cell is not None:
            column, row = self.cursor_cell
            if column >= len(made.x.values) or row >= len(made.y.values):
                self.cursor_cell = None
        self.setAccessibleDescription(self.words())
        self.update()

    def instead(self, sentence: str) -> None:
        """What to say where there is no map to show."""
        self._instead = sentence
        self.setAccessibleDescription(self.words())
        self.update()

    def age(self) -> None:
        """The map is not that of what is set any more."""
        self.current = False
        self.update()

    def words(self) -> str:
        """The cell under the cursor in words, or what is said instead of a map; empty without either."""
        if self.map is None:
            return self._instead
        if self.cursor_cell is None:
            return ""
        return cell_text(self.map, *self.cursor_cell, self._measures.style)

    def point(self, cell: tuple[int, int] | None) -> None:
        """Put the cursor on ``cell``."""
        if cell == self.cursor_cell:
            return
        self.cursor_cell = cell
        self.setAccessibleDescription(self.words())
        if self.hasFocus():
            QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.DescriptionChanged))
        self.update()
        self.pointed.emit()

    # --- Qt ----------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), self.palette().base())
        picture = self.picture()
        if picture is None:
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(self.rect().adjusted(24, 24, -24, -24), flags, self._instead)
        else:
            painter.setOpacity(1.0 if self.current else PALE)
            painter.drawPixmap(0, 0, self._pixels(picture))
            if self.cursor_cell is not None:
                picture.frame(painter, picture.cell_box(*self.cursor_cell), dashed=True)
        painter.end()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        picture = self.picture()
        found = picture.cell_at(event.position()) if picture is not None else None
        if found is not None:
            self.point(found)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        picture = self.picture()
        found = picture.cell_at(event.position()) if picture is not None else None
        if found is not None and event.button() == Qt.MouseButton.LeftButton:
            self.point(found)
            self.chosen.emit(*found)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        made, key = self.map, Qt.Key(event.key())
        if made is None:
            super().keyPressEvent(event)
        elif key in STEPS:
            column, row = self.cursor_cell or made.own or (0, 0)
            if self.cursor_cell is not None:
                column, row = column + STEPS[key][0], row + STEPS[key][1]
            self.point((
                min(max(column, 0), len(made.x.values) - 1), min(max(row, 0), len(made.y.values) - 1)
            ))  # fmt: skip
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.cursor_cell is not None:
            self.chosen.emit(*self.cursor_cell)
        else:
            super().keyPressEvent(event)

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            picture = self.picture()
            found = picture.cell_at(event.pos().toPointF()) if picture is not None else None
            if found is None or self.map is None:
                QToolTip.hideText()
            else:
                QToolTip.showText(event.globalPos(), cell_text(self.map, *found, self._measures.style), self)
            return True
        return super().event(event)
