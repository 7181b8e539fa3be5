"""A line below the menus for what went wrong, in one clear sentence; it waits until it is put away."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QToolButton

from shortgame_gui.desktop.theme import Theme


class Notice(QFrame):
    """Hidden until `tell` is called."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.label = QLabel()
        self.label.setWordWrap(True)
        self.label.setTextFormat(Qt.TextFormat.PlainText)
        self.label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.label.setAccessibleName("Notice")
        self.dismiss = QToolButton()
        self.dismiss.setText("Put away")
        self.dismiss.setToolTip("Put this notice away.")
        self.dismiss.clicked.connect(self.hide)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 6, 12, 6)
        layout.addWidget(self.label, 1)
        layout.addWidget(self.dismiss)
        theme.changed.connect(self._paint)
        self._paint()
        self.hide()

    def tell(self, sentence: str) -> None:
        """Show ``sentence``, also to screen readers."""
        self.label.setText(sentence)
        self.show()
        QAccessible.updateAccessibility(QAccessibleEvent(self.label, QAccessible.Event.Alert))

    def _paint(self) -> None:
        palette = self.palette()
        palette.setColor(self.label.foregroundRole(), self._theme.colours.alarm())
        self.label.setPalette(palette)
