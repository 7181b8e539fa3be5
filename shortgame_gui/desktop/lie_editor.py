"""Chooses a lie by its picture: a tile with a drawing for each choice, made like radio buttons."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, QSizeF, Qt
from PySide6.QtGui import (
    QEnterEvent,
    QFont,
    QFontMetrics,
    QPainter,
    QPaintEvent,
    QPalette,
    QPen,
    QPixmap,
    QPixmapCache,
)
from PySide6.QtWidgets import (
    QAbstractButton,
    QButtonGroup,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QVBoxLayout,
    QWidget,
)

from shortgame_gui.desktop import labels
from shortgame_gui.desktop.fields import Editor, name, tick
from shortgame_gui.desktop.lies import draw_lie
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.model.leaves import Leaf
from shortgame_gui.model.situation import Situation

ACROSS = 3
"""Tiles in a row; more would cut the captions off at the width of the panel."""


class LieTile(QAbstractButton):
    """One lie: its drawing with a caption below; the one chosen has a thick frame and bold letters."""

    def __init__(self, caption: str, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setText(caption)
        self.setCheckable(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._theme = theme
        self.lie = ("fairway", "clean")

    def show_lie(self, ground: str, sits: str) -> None:
        """Draw the ball that ``sits`` so in ``ground`` from now on."""
        if (ground, sits) != self.lie:
            self.lie = (ground, sits)
            self.update()

    def sizeHint(self) -> QSize:
        line = self.fontMetrics().lineSpacing()
        return QSize(5 * line, round(3.9 * line))

    def minimumSizeHint(self) -> QSize:
        """As wide as the caption in the letters of the one chosen."""
        caption = QFontMetrics(self._letters(bold=True)).horizontalAdvance(self.text())
        return QSize(caption + 8, self.sizeHint().height())

    def _letters(self, *, bold: bool) -> QFont:
        font = self.font()
        font.setBold(bold)
        return font

    def _picture(self, size: QSizeF) -> QPixmap:
        """The drawing of the lie; kept, as fourteen of them take 30 ms and many edits move the tiles."""
        ratio = self.devicePixelRatioF()
        key = f"lie {self.lie} {size.width()} {size.height()} {ratio} {self._theme.dark}"
        found = QPixmap()
        if not QPixmapCache.find(key, found):
            found = QPixmap((size * ratio).toSize())
            found.setDevicePixelRatio(ratio)
            painter = QPainter(found)
            painter.setBrushOrigin(0, round(size.height()) - 10)  # a line of the hatching in mid earth
            draw_lie(painter, QRectF(QPointF(0.0, 0.0), size), *self.lie, self._theme.colours)
            painter.end()
            QPixmapCache.insert(key, found)
        return found

    def enterEvent(self, event: QEnterEvent) -> None:
        self.update()
        super().enterEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        self.update()
        super().leaveEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        palette, role = self.palette(), QPalette.ColorRole
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        chosen, lit = self.isChecked(), self.hasFocus() or self.underMouse()
        frame = QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5)
        painter.setBrush(palette.color(role.Base))
        colour = palette.color(role.Accent if chosen or lit else role.Mid)
        painter.setPen(QPen(colour, 2.5 if chosen else 1.0))
        painter.drawRoundedRect(frame, 3.0, 3.0)
        line = self.fontMetrics().lineSpacing()
        picture = frame.adjusted(2.5, 2.5, -2.5, -line - 1.5)  # whole pixels
        if picture.height() >= 1.0:
            painter.drawPixmap(picture.topLeft(), self._picture(picture.size()))
        painter.setFont(self._letters(bold=chosen))
        painter.setPen(palette.color(role.Text))
        below = QRectF(frame.left(), picture.bottom(), frame.width(), frame.bottom() - picture.bottom())
        painter.drawText(below, Qt.AlignmentFlag.AlignCenter, self.text())
        if self.hasFocus():
            painter.setPen(QPen(palette.color(role.Text), 1.0, Qt.PenStyle.DotLine))
            painter.drawLine(below.bottomLeft(), below.bottomRight())


class LieEditor(Editor):
    """A title above a tile for each choice; arrow keys go from tile to tile."""

    def __init__(self, leaf: Leaf, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(leaf, parent)
        self.labels = labels.choice_labels(leaf.path, leaf.choices)
        self.buttons: dict[str, LieTile] = {}
        self._offered: tuple[str, ...] = ()
        self.title = QLabel(labels.title_of(leaf))
        self.title.setToolTip(labels.meaning_of(leaf))
        group = QButtonGroup(self)
        for choice, label in self.labels.items():
            tile = LieTile(labels.TILES.get(choice, label), theme, self)
            name(tile, f"{labels.title_of(leaf)}: {label}", f"{label}. {labels.meaning_of(leaf)}")
            tile.clicked.connect(lambda _=False, choice=choice: self.edited.emit(choice, 0))
            group.addButton(tile)
            self.buttons[choice] = tile
        self._grid = QGridLayout()
        self._grid.setSpacing(3)
        for column in range(ACROSS):
            self._grid.setColumnStretch(column, 1)
        self._head = QHBoxLayout()
        self._head.addWidget(self.title, 1)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(2)
        self._column.addLayout(self._head)
        self._column.addLayout(self._grid)
        self.offer(leaf.choices)
        theme.changed.connect(self._repaint)

    @property
    def offered(self) -> tuple[str, ...]:
        """The choices whose tiles are there."""
        return self._offered

    def offer(self, choices: tuple[str, ...]) -> None:
        if choices == self._offered:
            return
        self._offered = choices
        for tile in self.buttons.values():
            self._grid.removeWidget(tile)
        for choice, tile in self.buttons.items():
            tile.setVisible(choice in choices)
        for place, choice in enumerate(choices):
            self._grid.addWidget(self.buttons[choice], *divmod(place, ACROSS))

    def see(self, situation: Situation) -> None:
        for choice, tile in self.buttons.items():
            tile.show_lie(*labels.PICTURED[self.leaf.path](situation, choice))

    def show_value(self, value: str) -> None:
        if value not in self._offered:  # a file may hold what is not offered here
            self.offer((*self._offered, value))
        tick(self.buttons[value])

    def add_doubt(self, switch: QWidget, row: QWidget) -> None:
        self._head.addWidget(switch)
        self._column.addWidget(row)

    def _repaint(self) -> None:
        for tile in self.buttons.values():
            tile.update()
