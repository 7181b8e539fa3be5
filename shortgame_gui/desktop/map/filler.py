"""Fills the map off the window's thread: partial maps as they come, the newest request wins."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QObject, Qt, Signal

from shortgame_gui.advice.map import Map, Scale, fill
from shortgame_gui.desktop.jobs import Cancelled, Job, Progress
from shortgame_gui.desktop.worker import Runner
from shortgame_gui.model.club import Bag
from shortgame_gui.model.situation import Situation
from shortgame_gui.words.language import _

Partial = Callable[[Map], None]


@dataclass(frozen=True)
class Request:
    """Everything that a map depends on."""

    situation: Situation
    bag: Bag
    x: Scale
    y: Scale
    samples: int


Question = Callable[[Request, Partial], Job]


def ask_engine(request: Request, partial: Partial) -> Job:
    """The job that fills the map of ``request`` and shows it early to ``partial``."""

    def job(progress: Progress, cancelled: Cancelled) -> Map:
        from shortgame_gui.store.coefficients import load

        return fill(
            request.situation, request.bag, load(), request.x, request.y, samples=request.samples,
            progress=progress, cancelled=cancelled, partial=partial,
        )  # fmt: skip

    return job


class Filler(QObject):
    """One map at a time; ``shown`` carries it as it fills and when it is whole."""

    shown = Signal(object)
    progressed = Signal(float)
    settled = Signal()
    """The map is whole, was given up, or failed."""
    failed = Signal(str)

    _early = Signal(int, object)

    def __init__(self, question: Question = ask_engine, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._question = question
        self._number = 0
        self._runner: Runner | None = None
        self._early.connect(self._on_early, Qt.ConnectionType.QueuedConnection)

    @property
    def runner(self) -> Runner:
        """The runner, whose thread begins with the first map that is asked for."""
        if self._runner is None:
            self._runner = Runner("map", self)
            self._runner.finished.connect(lambda _request, made: self._on_whole(made))
            self._runner.failed.connect(lambda _request, error: self._on_error(error))
            self._runner.progressed.connect(lambda _request, share: self.progressed.emit(share))
        return self._runner

    @property
    def busy(self) -> bool:
        return self._runner is not None and self._runner.busy

    def ask(self, request: Request) -> None:
        """Fill the map of ``request``, dropping what was asked before."""
        self._number += 1
        number = self._number
        self.runner.ask(self._question(request, lambda made: self._early.emit(number, made)))

    def cancel(self) -> None:
        """Give up; what is shown stays."""
        self._number += 1
        if self.busy:
            self.runner.cancel()
            self.settled.emit()

    def close(self) -> None:
        """Give up and end the thread, and with it the processes."""
        self._number += 1
        if self._runner is not None:
            self._runner.close()

    def _on_early(self, number: int, made: Map) -> None:
        if number == self._number:
            self.shown.emit(made)

    def _on_whole(self, made: Map) -> None:
        self._number += 1
        self.shown.emit(made)
        self.settled.emit()

    def _on_error(self, error: BaseException) -> None:
        self._number += 1
        self.failed.emit(
            _("The map could not be worked out ({error}).").format(error=f"{type(error).__name__}: {error}")
        )
        self.settled.emit()
