"""Runs jobs in processes of their own: NumPy on small arrays holds the interpreter, and the window stutters.

Two processes, kept warm and started afresh (spawn), so that nothing of the window is copied. A job that is
sent there is a function of a module without Qt bound to plain data (see `jobs`); what it returns or raises
comes back as a copy. While one has a job the other, if idle, does half of its large batches (see `pair`). A
process that dies is replaced and its job tried once more; the new one works alone, as the line between both
died with the old one. No Qt is imported here: the processes import this module, too.
"""

from __future__ import annotations

import contextlib
import logging
import multiprocessing
import pickle
import signal
import threading
import traceback
from collections.abc import Iterator
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnProcess
from typing import Any

from shortgame_gui.desktop import jobs
from shortgame_gui.desktop.jobs import Cancelled, Job, Progress
from shortgame_gui.desktop.pair import Pair

log = logging.getLogger(__name__)

TRIES = 2
LISTEN = 0.02
"""Seconds between two questions whether an answer is still wanted."""

# Kinds of messages: the first three from a process, the last one to it.
PROGRESS, DONE, FAILED, CANCEL = "progress", "done", "failed", b"cancel"


class GivenUp(Exception):
    """Nobody wants the answer any more, or the engine is closed."""


class EngineDied(RuntimeError):
    """The process of a job ended without an answer, and so did the one that replaced it."""


class _Helper:
    """One process and the line to it, for one thread at a time."""

    def __init__(self, other: Connection) -> None:
        self.process: SpawnProcess | None = None
        self._line: Connection | None = None
        self._other: Connection | None = other
        """The line to the other helper's process, until ours has it."""

    def start(self) -> None:
        context = multiprocessing.get_context("spawn")
        self._line, theirs = context.Pipe()
        # Our copies are closed, or the end of a process would not be heard.
        with theirs, self._other or contextlib.nullcontext():
            process = context.Process(
                target=_serve, args=(theirs, self._other), name="shortgame engine", daemon=True
            )
            process.start()
        self.process, self._other = process, None

    def end(self) -> None:
        """End the process, whatever it does, and forget it."""
        if self.process is not None:
            self.process.kill()
            self.process.join()
            self.process.close()
            self.process = None
        for line in (self._line, self._other):
            if line is not None:
                line.close()
        self._line = self._other = None

    def ask(self, job: bytes, progress: Progress, cancelled: Cancelled) -> tuple[str, Any]:
        """``DONE`` and the answer, or ``FAILED`` and the error.

        Raises EOFError or OSError when the process died.
        """
        assert self._line is not None
        self._line.send_bytes(job)
        wanted = True
        while True:
            if wanted and cancelled():
                wanted = False
                self._line.send_bytes(CANCEL)
            if self._line.poll(LISTEN):
                kind, what = pickle.loads(self._line.recv_bytes())
                if kind != PROGRESS:
                    return kind, what
                progress(what)


class Engine:
    """The processes. `run` may be called on any thread and waits there; call `close` at the end."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._helpers = [_Helper(line) for line in multiprocessing.get_context("spawn").Pipe()]
        self._free = list(self._helpers)
        self._closed = False

    def start(self) -> None:
        """Start the first process, so that it is warm when a job comes; the other follows an answer."""
        with self._taken(lambda: False) as helper:
            self._keep_alive(helper)

    def run(self, job: Job, progress: Progress, cancelled: Cancelled) -> Any:
        """What ``job`` returns or raises in one of the processes.

        Raises GivenUp when nobody wants it before it begins or the engine is closed, EngineDied when its
        process dies and the next one as well.
        """
        message = pickle.dumps(job, pickle.HIGHEST_PROTOCOL)
        with self._taken(cancelled) as helper:
            for _ in range(TRIES):
                self._keep_alive(helper)
                try:
                    kind, what = helper.ask(message, progress, cancelled)
                    break
                except (EOFError, OSError):
                    log.info("a process of the engine ended and is replaced")
                    with self._changed:
                        helper.end()
            else:
                raise EngineDied("the process that works it out ended without an answer")
        self._warm_up()
        if kind == FAILED:
            raise what
        return what

    def close(self) -> None:
        """End all processes, also in the middle of a job. Safe to call twice."""
        with self._changed:
            self._closed = True
            for helper in self._helpers:
                if helper.process is not None:
                    helper.process.kill()
            # Threads that wait for an answer hear the end of the line and give their helper back.
            self._changed.wait_for(lambda: len(self._free) == len(self._helpers))
            for helper in self._helpers:
                helper.end()

    @contextlib.contextmanager
    def _taken(self, cancelled: Cancelled) -> Iterator[_Helper]:
        """A helper that is free, a running one if there is one; the caller has it for itself."""
        with self._changed:
            while not self._free and not self._closed:
                if cancelled():
                    raise GivenUp
                self._changed.wait(LISTEN)
            if self._closed:
                raise GivenUp
            helper = next((helper for helper in self._free if helper.process is not None), self._free[0])
            self._free.remove(helper)
        try:
            yield helper
        finally:
            with self._changed:
                self._free.append(helper)
                self._changed.notify_all()

    def _keep_alive(self, helper: _Helper) -> None:
        with self._changed:
            if self._closed:
                raise GivenUp
            if helper.process is None:
                helper.start()

    def _warm_up(self) -> None:
        """Start what does not run yet, on the thread of a job that is done."""
        with self._changed:
            for helper in self._free:
                if helper.process is None and not self._closed:
                    helper.start()


# --- in a process ------------------------------------------------------------------------------------


def _serve(line: Connection, other: Connection | None = None) -> None:
    """Answer one job after the other until the window is gone, and the ``other`` process meanwhile."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the window is interrupted as well, and ends us
    jobs.partner = pair = None if other is None else Pair(other)
    with contextlib.suppress(EOFError, OSError):
        jobs.warm_up()
        while True:
            if pair is not None and pair.line is not None and line not in wait([line, pair.line]):
                pair.answer()
                continue
            message = line.recv_bytes()
            if message != CANCEL:  # one that came when its job was done already
                line.send_bytes(_answer(message, line))


def _answer(message: bytes, line: Connection) -> bytes:
    """The outcome of a job as it is sent back."""
    wanted = True

    def progress(share: float) -> None:
        line.send_bytes(pickle.dumps((PROGRESS, share)))

    def cancelled() -> bool:
        nonlocal wanted
        if wanted and line.poll():
            wanted = line.recv_bytes() != CANCEL
        return not wanted

    try:
        job: Job = pickle.loads(message)
        return pickle.dumps((DONE, job(progress, cancelled)), pickle.HIGHEST_PROTOCOL)
    except Exception as error:
        error.add_note("In the engine's process:\n" + traceback.format_exc())
        return _sendable(error)


def _sendable(error: Exception) -> bytes:
    """``error`` as it is sent back, or its words where it cannot be copied."""
    try:
        message = pickle.dumps((FAILED, error))
        pickle.loads(message)
    except Exception:
        words = RuntimeError(f"{type(error).__name__}: {error}")
        words.__notes__ = error.__notes__
        message = pickle.dumps((FAILED, words))
    return message
