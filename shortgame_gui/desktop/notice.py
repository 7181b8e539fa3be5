"""A line below the menus for what went wrong or what is offered, in one clear sentence; it waits."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QToolButton

from shortgame_gui.desktop.fields import describe, in_turn
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.words.language import _


class Notice(QFrame):
    """Hidden until `tell` or `ask` is called."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.label = QLabel()
        self.label.setWordWrap(True)
        self.label.setTextFormat(Qt.TextFormat.PlainText)
        self.label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        describe(
            self.label,
            _("Notice"),
            _("What went wrong or is offered; it stays until it is put away, or goes well."),
        )
        self.dismiss = QToolButton()
        self.dismiss.setText(_("Put away"))
        self.dismiss.setToolTip(_("Put this notice away."))
        self.dismiss.clicked.connect(self.hide)
        self.answers: dict[str, QToolButton] = {}
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(12, 6, 12, 6)
        self._row.addWidget(self.label, 1)
        self._row.addWidget(self.dismiss)
        theme.changed.connect(self._paint)
        self._paint()
        self._of_edit = False
        self.hide()

    def tell(self, sentence: str) -> None:
        """Show ``sentence``, also to screen readers."""
        self.ask(sentence, {})

    def refuse(self, sentence: str) -> None:
        """Say why an edit was not taken; `go_on` puts that away."""
        self.tell(sentence)
        self._of_edit = True

    def go_on(self) -> None:
        """Another edit was taken: why one before was not is of the past."""
        if self._of_edit:
            self.hide()

    def ask(self, sentence: str, answers: Mapping[str, tuple[str, Callable[[], None]]]) -> None:
        """Show ``sentence`` with a button for each answer: its word -> its tool tip and what it does."""
        for button in self.answers.values():
            button.hide()
            button.deleteLater()
        self.answers, self._of_edit = {}, False
        for place, (word, (tip, act)) in enumerate(answers.items(), start=1):
            button = self.answers[word] = QToolButton()
            button.setText(word)
            button.setToolTip(tip)
            button.clicked.connect(self.hide)
            button.clicked.connect(act)
            self._row.insertWidget(place, button)
        in_turn(self.label, *self.answers.values(), self.dismiss)
        self.label.setText(sentence)
        self.show()
        QAccessible.updateAccessibility(QAccessibleEvent(self.label, QAccessible.Event.Alert))

    def _paint(self) -> None:
        palette = self.palette()
        palette.setColor(self.label.foregroundRole(), self._theme.colours.alarm())
        self.label.setPalette(palette)
