"""The page before a group: the whole screen, large letters, and situations to leaf through by a remote.

It works on a copy of the page's board, so that nothing done here is left on the page or in the document.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QCloseEvent, QFont, QFontMetrics, QKeyEvent, QResizeEvent, QScreen
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLayout, QTextEdit, QVBoxLayout, QWidget

from shortgame_gui.desktop.fields import describe
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.side_by_side.bars import Bars
from shortgame_gui.desktop.side_by_side.board import Board
from shortgame_gui.desktop.side_by_side.deck import Deck
from shortgame_gui.desktop.side_by_side.picture import Picture
from shortgame_gui.desktop.side_by_side.why import explained
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.words.compare import held_text
from shortgame_gui.words.language import N_, _

LINES = 40
"""Lines of plain text that would fill the screen: the size of the letters."""
KEYS = N_("Page down: next situation. Page up: the one before. Space: play. Escape: leave.")


class Presenting(QWidget):
    """A window of its own; call `begin`, and it is gone after Escape."""

    ended = Signal()

    def __init__(self, board: Board, deck: Deck, theme: Theme, measures: Measures) -> None:
        super().__init__(None, Qt.WindowType.Window)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(_("Side by side"))
        describe(self, _("Shots side by side, before a group"), _(KEYS))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.board, self._deck, self._measures = board.copy(self), deck, measures
        self._wanted = self.board.picks
        self.title, self.held, self.place = QLabel(), QLabel(), QLabel()
        self.heading, self.text, self.keys = QLabel(), QTextEdit(), QLabel(_(KEYS))
        self.picture = Picture(self.board, theme, measures)
        self.bars = Bars(self.board, theme, measures)
        self.title.setAccessibleName(_("Situation"))
        self.text.setAccessibleName(_("Why one of the two shots runs more"))
        self.text.setReadOnly(True)
        self.text.setFrameShape(QTextEdit.Shape.NoFrame)
        self.text.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        for part in (self.picture, self.bars, self.text):
            part.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # every key is the window's
        self._lay_out()
        self.board.shots_changed.connect(self._tell)
        measures.changed.connect(self._tell)

    def _lay_out(self) -> None:
        head, foot = QHBoxLayout(), QHBoxLayout()
        self.title.setWordWrap(True)
        head.addWidget(self.title, 1)
        head.addWidget(self.held)
        foot.addWidget(self.keys, 1)
        foot.addWidget(self.place)
        column = QVBoxLayout(self)
        # As in the main window: the smallest size is set once, or letters that grow would tell it anew.
        column.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        self.setMinimumSize(640, 400)
        column.setContentsMargins(24, 16, 24, 10)
        column.setSpacing(10)
        column.addLayout(head)
        column.addWidget(self.picture, 5)
        column.addWidget(self.bars, 4)
        column.addWidget(self.heading)
        column.addWidget(self.text, 3)
        column.addLayout(foot)

    def begin(self, screen: QScreen) -> None:
        """Fill ``screen`` and follow the keys."""
        self.board.wake()
        self._tell()
        self.setGeometry(screen.geometry())  # not every desktop makes a window as large as it is told to be
        self.showFullScreen()
        self.setFocus()

    # --- keys --------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        match event.key():
            case Qt.Key.Key_PageDown | Qt.Key.Key_Right:
                self.turn(1)
            case Qt.Key.Key_PageUp | Qt.Key.Key_Left:
                self.turn(-1)
            case Qt.Key.Key_Space:
                self.picture.playback.play_or_pause()
            case Qt.Key.Key_Escape:
                self.close()
            case _:
                super().keyPressEvent(event)

    def turn(self, way: int) -> None:
        """Show the next situation or the one before, with the shots of the page where they can be played."""
        situation = self._deck.turn(way)
        if situation is None:
            return
        self.picture.playback.reset()
        self.board.turn(situation, self._wanted)
        self._tell()

    def closeEvent(self, event: QCloseEvent) -> None:
        self.picture.playback.reset()
        self.board.sleep()
        self.ended.emit()
        super().closeEvent(event)

    # --- letters -----------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._enlarge()
        super().resizeEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.WindowStateChange:
            self._enlarge()

    def _enlarge(self) -> None:
        """Letters as large as the screen asks for."""
        plain = _sized(self.font(), self.height() / LINES)
        for part, times, bold in (
            (self.title, 1.5, True), (self.held, 1.2, False), (self.heading, 1.15, True),
            (self.bars, 0.95, False), (self.keys, 0.65, False), (self.place, 0.8, False),
            (self.picture, 0.8, False),
        ):  # fmt: skip
            font = _sized(plain, plain.pixelSize() * times)
            font.setBold(bold)
            part.setFont(font)
        self.picture.set_font(self.picture.font())
        header = self.bars.horizontalHeader()
        header.setFont(_sized(plain, plain.pixelSize() * 0.7))
        self.bars.lay_out()
        self._fit_text()

    def _fit_text(self) -> None:
        """The paragraph as large as its place allows."""
        size = self.height() / LINES * 1.1
        room = self.text.viewport().rect()
        while size > 8.0:
            font = _sized(self.font(), size)
            box = QFontMetrics(font).boundingRect(
                0,
                0,
                max(room.width() - 16, 50),
                100_000,
                int(Qt.TextFlag.TextWordWrap),
                self.text.toPlainText(),
            )
            if box.height() + 12 <= room.height():
                break
            size *= 0.94
        self.text.setFont(_sized(self.font(), size))

    def _tell(self) -> None:
        board, style = self.board, self._measures.style
        self.title.setText(board.setting.situation.name)
        self.held.setText(held_text(board.comparison, style) if board.comparison else "")
        number, count = self._deck.place
        self.place.setText(_("{number} of {count}").format(number=number, count=count))
        heading, text = explained(board, style)
        self.heading.setText(heading)
        self.text.setPlainText(text)
        self._fit_text()


def _sized(font: QFont, pixels: float) -> QFont:
    made = QFont(font)
    made.setPixelSize(max(9, round(pixels)))
    return made
