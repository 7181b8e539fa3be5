"""What goes out of the window into files: shot card, lesson sheet, ranked shots as CSV, pictures."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from shortgame_gui.advice.result import Advice
from shortgame_gui.desktop.filing import file_name
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Session
from shortgame_gui.desktop.shot.drawing import View
from shortgame_gui.desktop.shot.export import save_views
from shortgame_gui.desktop.side_by_side.board import Board
from shortgame_gui.store.documents import DocumentError
from shortgame_gui.words.language import N_, _

NO_SHOTS = N_("There are no shots side by side to print; tick some and try again.")
NOT_YET = N_("The shots are still being worked out; try again when they are there.")


class Exports(QObject):
    """The export actions of one window. Every method says whether it went through."""

    failed = Signal(str)
    done = Signal(str)

    def __init__(self, session: Session, measures: Measures, window: QWidget) -> None:
        super().__init__(window)
        self._session, self._measures, self._window = session, measures, window

    def shot_card(self, path: Path | None = None) -> bool:
        """Print the card of the shots that are drawn to ``path``, or to the file that a dialog asks for."""

        def made(advice: Advice) -> bytes:
            from shortgame_gui.report.card import Card
            from shortgame_gui.report.page import pdf

            return pdf(Card(advice, self._measures.style, self._session.shown).sheet())

        return self._write(path, _("Shot card"), ".pdf", "PDF (*.pdf)", made)

    def shots_table(self, path: Path | None = None) -> bool:
        """Write every ranked shot to ``path``, or to the file that a dialog asks for."""

        def made(advice: Advice) -> bytes:
            from shortgame_gui.report.text import advice_csv

            return advice_csv(advice, self._measures.style).encode()

        return self._write(path, _("Ranked shots as CSV"), ".csv", _("Comma-separated values (*.csv)"), made)

    def views_picture(self, views: Sequence[View], path: Path | None = None) -> bool:
        """Write ``views`` as they are on the screen to ``path`` as PNG or SVG, or as a dialog asks for."""
        title = (
            _("Picture of the views")
            if len(views) > 1
            else _("Picture of the {view}").format(view=views[0].accessibleName().lower())
        )
        path = path or self.ask_file(title, ".png", _("Pictures (*.png *.svg)"))
        if path is None:
            return False
        try:
            save_views(views, path, self._session.situation.name)
        except DocumentError as error:
            self.failed.emit(f"{error}.")
            return False
        self.done.emit(_("{what} written to {file}.").format(what=title, file=path.name))
        return True

    def lesson_sheet(self, board: Board, path: Path | None = None) -> bool:
        """Print the shots of ``board`` as a lesson to ``path``, or to the file that a dialog asks for."""
        if not board.wait() or not board.current or not board.shots:
            self.failed.emit(_(NO_SHOTS))
            return False

        def made() -> bytes:
            from shortgame_gui.report.lesson import Lesson
            from shortgame_gui.report.page import pdf

            assert board.comparison is not None
            lesson = Lesson(board.comparison, board.difference, self._measures.style, board.reader)
            return pdf(lesson.sheet())

        return self.write(path, _("Lesson sheet"), ".pdf", "PDF (*.pdf)", made)

    def ask_file(self, title: str, suffix: str, kind: str) -> Path | None:
        """The file that a dialog names, with ``suffix`` where nothing else was typed."""
        path = self._session.path
        proposed = (path.stem if path else file_name(self._session.situation.name)) + suffix
        name, _kind = QFileDialog.getSaveFileName(self._window, title, proposed, kind)
        return Path(name).with_suffix(Path(name).suffix or suffix) if name else None

    def _write(
        self, path: Path | None, title: str, suffix: str, kind: str, made: Callable[[Advice], bytes]
    ) -> bool:
        advice = self._session.advice
        if advice is None or not self._session.current:
            self.failed.emit(_(NOT_YET))
            return False
        return self.write(path, title, suffix, kind, lambda: made(advice))

    def write(
        self, path: Path | None, title: str, suffix: str, kind: str, content: Callable[[], bytes]
    ) -> bool:
        """Write ``content`` to ``path``, or to the file that a dialog asks for."""
        path = path or self.ask_file(title, suffix, kind)
        if path is None:
            return False
        try:
            path.write_bytes(content())
        except OSError as error:
            self.failed.emit(
                _("{file} cannot be written: {error}.").format(file=path.name, error=error.strerror)
            )
            return False
        self.done.emit(_("{what} written to {file}.").format(what=title, file=path.name))
        return True
