"""The Side by side workspace put together: settings beside one picture, the bars, and the reason in words."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QSplitter, QVBoxLayout, QWidget

from shortgame_gui.desktop.fields import FoldingRow, name
from shortgame_gui.desktop.jobs import Run, run_here
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Session, ShotKey
from shortgame_gui.desktop.shot.playback import PlaybackBar
from shortgame_gui.desktop.side_by_side.bars import Bars
from shortgame_gui.desktop.side_by_side.board import Board, Question, Setting, ask_engine
from shortgame_gui.desktop.side_by_side.controls import Controls
from shortgame_gui.desktop.side_by_side.deck import deck_of
from shortgame_gui.desktop.side_by_side.picture import Picture
from shortgame_gui.desktop.side_by_side.presenting import Presenting
from shortgame_gui.desktop.side_by_side.why import Why
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.desktop.workspace import Workspace
from shortgame_gui.words.compare import held_text
from shortgame_gui.words.language import N_, _

CONTROLS_WIDTH = 248
"""Least width of the settings in pixels; large letters take more."""


class SideBySideWorkspace(Workspace):
    """Follows the session's document; what is set here stays here."""

    code = "side_by_side"
    title = N_("Side by side")
    tip = N_("Why the lower club runs more: shots with one thing held equal.")

    lesson_wanted = Signal()
    """The lesson sheet shall be printed."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        measures: Measures,
        question: Question = ask_engine,
        run: Run = run_here,
    ) -> None:
        super().__init__()
        self._session, self._theme, self._measures = session, theme, measures
        self._compared: tuple[ShotKey, ...] = ()
        """What was marked in the ranked table when the page was entered last."""
        self.presenting: Presenting | None = None
        self.board = Board(Setting(session.situation, session.bag), question, self, run)
        self.state = QLabel()
        self.state.setWordWrap(True)
        self.controls = Controls(self.board, theme, measures)
        self.picture = Picture(self.board, theme, measures)
        self.bars = Bars(self.board, theme, measures)
        self.why = Why(self.board, theme, measures)
        self.views = QSplitter(Qt.Orientation.Vertical)
        self.playback = self.picture.playback
        self.play_bar = PlaybackBar(self.playback, theme, measures)
        pictures = QWidget()
        stacked = QVBoxLayout(pictures)
        stacked.setContentsMargins(0, 0, 0, 0)
        stacked.setSpacing(0)
        stacked.addWidget(self.picture, 1)
        stacked.addWidget(self.play_bar)
        for part, share in ((pictures, 5), (self.bars, 4), (self.why, 1)):
            self.views.addWidget(part)
            self.views.setStretchFactor(self.views.count() - 1, share)
        self.views.setChildrenCollapsible(False)
        self.views.setHandleWidth(6)
        self.views.setSizes([350, 170, 150])
        right = QWidget()
        column = QVBoxLayout(right)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(self._top())
        column.addWidget(self.views, 1)
        self.controls.setFixedWidth(max(CONTROLS_WIDTH, self.controls.minimumSizeHint().width()))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(right, 1)
        row.addWidget(self.controls)
        self.bars.bars.modelReset.connect(self._fit_controls)
        session.changed.connect(self._on_document)
        self.board.set_changed.connect(self._tell)
        self.board.shots_changed.connect(self._tell)
        measures.changed.connect(self._tell)

    def _top(self) -> QHBoxLayout:
        top = QHBoxLayout()
        top.setContentsMargins(12, 8, 8, 6)
        large = self.state.font()
        large.setPointSizeF(large.pointSizeF() * 1.15)
        large.setBold(True)
        self.state.setFont(large)
        self.state.setAccessibleName(_("What is held equal"))
        top.addWidget(self.state, 1)
        self.lesson, self.present_button = QPushButton(_("Lesson sheet ...")), QPushButton(_("Present"))
        self.set_button = QPushButton(_("Settings"))
        self.set_button.setCheckable(True)
        self.set_button.hide()
        name(
            self.set_button, _("Settings"),
            _("Which shots, what they have in common, and what if: beside the figures, or folded away."),
        )  # fmt: skip
        self.set_button.toggled.connect(self._fit_controls)
        for button, tip, do in (
            (
                self.lesson,
                _("Print picture, bars, reason, set-up and a drill."),
                self.lesson_wanted.emit,
            ),
            (self.present_button, _("Fill the screen, in large letters, for a group (F11)."), self.present),
        ):
            name(button, button.text(), tip)
            button.clicked.connect(do)
        self._sheets = FoldingRow((self.lesson, self.present_button))
        top.addWidget(self._sheets, 0, Qt.AlignmentFlag.AlignTop)
        top.addWidget(self.set_button, 0, Qt.AlignmentFlag.AlignTop)
        return top

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_controls()

    def _fit_controls(self) -> None:
        """Where the figures have no room beside them, the settings are folded away behind a button."""
        fits = self.bars.least_width() + self.controls.width() <= self.width()
        unfolded = self.set_button.isChecked()
        self.set_button.setVisible(not fits)
        self.controls.setVisible(fits or unfolded)
        self._sheets.setVisible(fits or not unfolded)  # beside both, the words above the picture had no room

    # --- what the window asks --------------------------------------------------------------------

    def splitters(self) -> dict[str, QSplitter]:
        return {"side_by_side": self.views}

    def entered(self) -> None:
        self._take()
        self.board.wake()

    def present(self) -> None:
        """Show the page to a group; Escape comes back."""
        if self.presenting is None:
            self._take()
            made = Presenting(self.board, deck_of(self._session), self._theme, self._measures)
            made.ended.connect(self._on_presented)
            self.presenting = made
            made.begin(self.screen())

    def _on_presented(self) -> None:
        self.presenting = None

    def left(self) -> None:
        self.picture.playback.reset()
        self.board.sleep()

    def close_down(self) -> None:
        if self.presenting is not None:
            self.presenting.close()
        self.board.sleep()

    # --- what changes by itself ------------------------------------------------------------------

    def _on_document(self) -> None:
        if self.isVisible():
            self._take()

    def _take(self) -> None:
        self.board.take(self._session.situation, self._session.bag)
        compared = self._session.compared
        if compared and compared != self._compared:
            self.board.show(compared)
        self._compared = compared

    def _tell(self) -> None:
        found = self.board.comparison
        some = found is not None and (found.shots or found.not_done)
        text = held_text(found, self._measures.style) if found is not None and some else ""
        if self.board.setting.changes:
            text += " " + _("Not as in the situation: see What if.")
        self.state.setText(text)
