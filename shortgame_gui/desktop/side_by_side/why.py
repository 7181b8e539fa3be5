"""The paragraph under the bars: why one of the two marked shots runs more, for a junior or an adult."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QTextBrowser, QVBoxLayout, QWidget

from shortgame_gui.desktop.fields import calm, describe, name
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.side_by_side.board import Board
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.words.compare import Reader, heading, paragraph
from shortgame_gui.words.language import N_, Phrases, _
from shortgame_gui.words.numbers import Style

TOLD_FOR: Phrases[Reader] = Phrases({"adult": N_("For an adult"), "junior": N_("For a junior")})
ALONE = N_("Tick two shots to see what makes the difference.")
WORKING = N_("The shots are being worked out ...")
NOT_TWO = N_(
    "Fewer than two of the ticked shots can be done here, for the reason beside them: tick others, "
    "or hold something else equal."
)


def explained(board: Board, style: Style) -> tuple[str, str]:
    """Heading and paragraph on the two marked shots of ``board``."""
    found = board.difference
    if found is None and not board.current:
        return "", _(WORKING)
    if found is None:
        return "", _(NOT_TWO if len(board.picks) >= 2 else ALONE)
    return heading(found), paragraph(found, style, board.reader)


class Why(QWidget):
    """Heading, for whom it is told, and the paragraph."""

    def __init__(self, board: Board, theme: Theme, measures: Measures) -> None:
        super().__init__()
        self._board, self._measures = board, measures
        self.heading, self.text, self.reader = QLabel(), QTextBrowser(), QComboBox()
        bold = self.heading.font()
        bold.setBold(True)
        self.heading.setFont(bold)
        self.heading.setWordWrap(True)
        for reader, called in TOLD_FOR.items():
            self.reader.addItem(called, reader)
        name(self.reader, _("Told for"), _("Short sentences for a junior, or the whole chain for an adult."))
        calm(self.reader)
        larger = self.text.font()
        larger.setPointSizeF(larger.pointSizeF() * 1.12)
        self.text.setFont(larger)
        describe(
            self.text, _("Why one of the two shots runs more"),
            _("What makes the difference between the two shots that are ticked, link by link."),
        )  # fmt: skip
        self.text.setFrameShape(QTextBrowser.Shape.NoFrame)
        self.text.setTabChangesFocus(True)
        top = QHBoxLayout()
        top.addWidget(self.heading, 1)
        top.addWidget(self.reader)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(10, 6, 10, 6)
        layout.setSpacing(4)
        layout.addLayout(top)
        layout.addWidget(self.text, 1)
        self.reader.activated.connect(lambda place: board.read_by(self.reader.itemData(place)))
        board.shots_changed.connect(self.show_text)
        theme.changed.connect(self.show_text)
        measures.changed.connect(self.show_text)
        self.show_text()

    def show_text(self) -> None:
        title, text = explained(self._board, self._measures.style)
        self.heading.setText(title)
        self.text.setPlainText(text)
        self.reader.setCurrentIndex(self.reader.findData(self._board.reader))
