"""A box with a text to read beside the window: shortcuts, and what the program is."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLayout, QTextBrowser, QVBoxLayout, QWidget

from shortgame_gui.desktop.fields import describe
from shortgame_gui.words.language import _


class TextBox(QDialog):
    """Does not hold the window up; Escape closes it."""

    def __init__(self, title: str, text: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.text = QTextBrowser()
        self.text.setPlainText(text)
        describe(self.text, title, _("A text to read; Escape closes it."))
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        layout.addWidget(self.text)
        layout.addWidget(buttons)
        self.setMinimumSize(320, 200)
        metrics = self.fontMetrics()
        lines = text.count("\n") + 1 + len(text) // 70
        self.resize(84 * metrics.averageCharWidth(), min(42, lines + 6) * metrics.lineSpacing())
