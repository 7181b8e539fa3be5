"""One runner has long jobs done off the window's thread, which never waits and never shows a stale answer.

A job is a plain function ``job(progress, cancelled) -> result`` that knows no Qt. Each request has an id; the
newest wins: it cancels the one before, whose result, progress and errors are dropped when they come late.
"""

from __future__ import annotations

import logging
import threading
import time
from typing import Any

from PySide6.QtCore import QElapsedTimer, QEventLoop, QObject, Qt, QTimer, Signal

from shortgame_gui.desktop.jobs import Cancelled, Job, Progress, Run, run_here

log = logging.getLogger(__name__)

PROGRESS_EVERY = 0.03  # s between two reports of one job: more would only fill the event queue


class Runner(QObject):
    """Runs one job at a time on a thread of its own, always the newest asked for.

    ``run`` may have it done elsewhere, by `Engine.run` in a process; the thread then waits for it.

    All signals are emitted on the thread that made the runner, and only for the newest request.
    """

    started = Signal(int)
    progressed = Signal(int, float)
    finished = Signal(int, object)
    failed = Signal(int, object)
    """The exception that ended the job."""
    idle = Signal()

    _reported = Signal(int, str, object)

    def __init__(self, name: str, parent: QObject | None = None, run: Run = run_here) -> None:
        super().__init__(parent)
        self._run = run
        self._lock = threading.Condition()
        self._newest = 0
        self._waiting: tuple[int, Job] | None = None
        self._settled = True
        self._closing = False
        self._reported.connect(self._on_report, Qt.ConnectionType.QueuedConnection)
        self._thread = threading.Thread(target=self._work, name=name, daemon=True)
        self._thread.start()

    @property
    def busy(self) -> bool:
        """Whether the newest request is still without an answer."""
        return not self._settled

    def ask(self, job: Job) -> int:
        """Run ``job`` as soon as the thread is free, dropping whatever was asked before; returns its id."""
        with self._lock:
            if self._closing:
                raise RuntimeError("the runner is closed")
            self._newest += 1
            self._settled = False
            self._waiting = (self._newest, job)
            self._lock.notify()
            asked = self._newest
        self.started.emit(asked)
        return asked

    def cancel(self) -> None:
        """Give up the newest request; nothing more is reported of it."""
        with self._lock:
            self._newest += 1
            self._waiting = None
            was_busy, self._settled = not self._settled, True
        if was_busy:
            self.idle.emit()

    def wait_until_idle(self, milliseconds: int = 20_000) -> bool:
        """Handle events until the newest request is answered; False when the time ran out first."""
        loop, limit, clock = QEventLoop(), QTimer(), QElapsedTimer()
        self.idle.connect(loop.quit)
        limit.setSingleShot(True)
        limit.timeout.connect(loop.quit)
        clock.start()
        # An answer may start the next request, for example a finer one.
        while not self._settled and clock.elapsed() < milliseconds:
            limit.start(max(0, milliseconds - clock.elapsed()))
            loop.exec()
        self.idle.disconnect(loop.quit)
        return self._settled

    def close(self) -> None:
        """Cancel, and end the thread. Safe to call twice."""
        self.cancel()
        with self._lock:
            self._closing = True
            self._lock.notify()
        self._thread.join()

    # --- on the worker's thread -----------------------------------------------------------------

    def _work(self) -> None:
        while True:
            with self._lock:
                while self._waiting is None and not self._closing:
                    self._lock.wait()
                if self._closing:
                    return
                assert self._waiting is not None
                (request, job), self._waiting = self._waiting, None
            try:
                asks = (self._progress_of(request), self._cancelled_of(request))
                outcome = ("finished", self._run(job, *asks))
            except BaseException as error:  # nothing may be lost, whatever a job raises
                outcome = ("failed", error)
            if request == self._newest:
                self._reported.emit(request, *outcome)
            del job, outcome

    def _progress_of(self, request: int) -> Progress:
        last = [0.0]

        def progress(share: float) -> None:
            now = time.monotonic()
            if now - last[0] >= PROGRESS_EVERY and request == self._newest:
                last[0] = now
                self._reported.emit(request, "progress", share)

        return progress

    def _cancelled_of(self, request: int) -> Cancelled:
        return lambda: request != self._newest

    # --- on the window's thread -----------------------------------------------------------------

    def _on_report(self, request: int, kind: str, what: Any) -> None:
        if request != self._newest:
            return
        if kind == "progress":
            self.progressed.emit(request, what)
            return
        self._settled = True
        if kind == "failed":
            log.error("a background job failed", exc_info=what)
            self.failed.emit(request, what)
        else:
            self.finished.emit(request, what)
        if self._settled:
            self.idle.emit()
