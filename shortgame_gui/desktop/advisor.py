"""Asks for advice whenever the document changes, off the window's thread, and hands it to the session."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from shortgame_gui.desktop import jobs
from shortgame_gui.desktop.jobs import Job, Run, run_here
from shortgame_gui.desktop.session import Document, Session
from shortgame_gui.desktop.sketcher import Artist, Sketcher, ask_picture
from shortgame_gui.desktop.worker import Runner
from shortgame_gui.words.language import _

PAUSE = 60
"""Milliseconds between the last step of an edit and the question: a drag asks when it rests."""

Question = Callable[[Document], Job]


def ask_engine(document: Document) -> Job:
    """The job that advises on ``document``."""
    return partial(jobs.advice, document.situation, document.bag)


class Advisor(QObject):
    """Keeps the session's advice up to date, and by its sketcher the quick picture.

    `working` carries the share done; `failed` a sentence; `unanswered` says that no advice will come.
    """

    working = Signal(float)
    settled = Signal()
    failed = Signal(str)
    unanswered = Signal()

    def __init__(
        self,
        session: Session,
        question: Question = ask_engine,
        parent: QObject | None = None,
        artist: Artist = ask_picture,
        run: Run = run_here,
    ) -> None:
        super().__init__(parent)
        self._session, self._question = session, question
        self.runner = Runner("advice", self, run)
        self.sketcher = Sketcher(session, artist, self, run)
        self.sketcher.failed.connect(self.failed)
        self._asked: Document | None = None
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE)
        self._pause.timeout.connect(self._ask)
        session.changed.connect(self._on_change)
        self.runner.finished.connect(self._on_answer)
        self.runner.failed.connect(self._on_error)
        self.runner.progressed.connect(lambda request, share: self.working.emit(share))

    @property
    def busy(self) -> bool:
        """Whether the session's advice is still to come."""
        return self._pause.isActive() or self.runner.busy

    def start(self) -> None:
        """Ask for the document as it is, without waiting for an edit."""
        self._ask()

    def close(self) -> None:
        """Stop asking, and end the worker."""
        self._pause.stop()
        self.sketcher.close()
        self.runner.close()

    def _on_change(self) -> None:
        if self._session.current:
            return
        self.runner.cancel()
        self._pause.start()
        self.working.emit(0.0)

    def _ask(self) -> None:
        self._pause.stop()
        self._asked = self._session.document
        self.working.emit(0.0)
        self.runner.ask(self._question(self._asked))

    def _on_answer(self, request: int, advice: Any) -> None:
        if self._asked is not None:
            self._session.answer(advice, self._asked)
        self.settled.emit()

    def _on_error(self, request: int, error: BaseException) -> None:
        self.unanswered.emit()
        self.failed.emit(
            _("The advice could not be worked out ({error}).").format(
                error=f"{type(error).__name__}: {error}"
            )
        )
        self.settled.emit()
