"""The line between both processes of the engine: one that is busy has the other do half of its work.

Whoever has something to share asks first and waits a moment: only a process that has nothing to do says yes,
and only then is the work sent, so that nobody waits for one that is busy. What is not taken is done at home.
"""

from __future__ import annotations

import io
import logging
import pickle
import time
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import Any, TypeVar
from weakref import WeakValueDictionary

from shortgame_gui.advice.score import Baseline

T = TypeVar("T")

log = logging.getLogger(__name__)

MOMENT = 0.004
"""Seconds to wait for a yes; an idle process says it in a tenth of that unless the machine is full."""

ASK, YES, KEEP, WORK, DONE, FAILED = "ask", "yes", "keep", "work", "done", "failed"


class _Begun:
    """Work that the other process has; called, it waits for the outcome."""

    def __init__(self, pair: Pair, number: int) -> None:
        self._pair, self.number = pair, number
        self.over = False
        self.outcome: Any = None
        """None also where it came to nothing."""

    def __call__(self) -> Any:
        if not self.over:
            self._pair.await_end(self)
        return self.outcome


class Pair:
    """One end of the line; a `Partner` of the advice."""

    def __init__(self, line: Connection) -> None:
        self.line: Connection | None = line
        self._number = 0
        self._begun: WeakValueDictionary[int, _Begun] = WeakValueDictionary()
        """What the other process was sent, as long as anybody wants its outcome."""
        self._lent: Baseline | None = None
        self._kept: Baseline | None = None

    def begin(self, work: Callable[[], T]) -> Callable[[], T | None] | None:
        """Have ``work`` begun by the other process if it is idle, see `advice.partner.Partner`."""
        self._number += 1
        if self._at_work() or not self._send(ASK) or not self._await(lambda heard: heard == YES, MOMENT):
            return None
        made = self._begun[self._number] = _Begun(self, self._number)
        return made if self._send(WORK, self._packed(work)) else None

    def _at_work(self) -> bool:
        """Whether the other process still has work of ours, so that it need not be asked."""
        begun = tuple(self._begun.values())
        if not all(made.over for made in begun):
            self._await(lambda _heard: all(made.over for made in begun), 0.0)
        return not all(made.over for made in begun)

    def answer(self) -> None:
        """Hear one message and do what it asks, with nothing else to do."""
        heard = self._hear()
        if heard is None:
            return
        kind, number, what = heard
        if kind == ASK:
            self._send(YES, number=number)
        elif kind == WORK:
            try:
                done = _Reader(io.BytesIO(what), self._kept).load()()
            except Exception:
                # It fails at home as well, where the error is told.
                log.info("work for the other process failed", exc_info=True)
                self._send(FAILED, number=number)
            else:
                self._send(DONE, done, number)

    def _packed(self, work: Callable[[], T]) -> bytes:
        """``work`` for the other process; its table of scores, most of it, is lent once for all work."""
        out = io.BytesIO()
        writer = _Writer(out)
        writer.dump(work)
        if writer.lent is not None and writer.lent is not self._lent:
            self._lent = writer.lent
            self._send(KEEP, writer.lent)
        return out.getvalue()

    def await_end(self, made: _Begun) -> None:
        """Wait until ``made`` is over."""
        self._await(lambda _heard: made.over, None)
        made.over = True  # also where the other died

    def _await(self, enough: Callable[[str], bool], seconds: float | None) -> bool:
        """Hear messages until the kind of one to our last question, or of an outcome, is ``enough``.

        False where that is not in time, or the other died. Outcomes are kept for whoever asks for them:
        they come when they are ready, and something else may have been asked since.
        """
        end = None if seconds is None else time.monotonic() + seconds
        while self.line is not None:
            left = None if end is None else max(end - time.monotonic(), 0.0)
            try:
                if not self.line.poll(left):
                    return False
            except OSError:
                self.line = None
                return False
            heard = self._hear()
            if heard is None:
                continue
            kind, number, what = heard
            if kind == WORK:
                # It was sent in the moment between our yes and what keeps us busy now.
                self._send(FAILED, number=number)
            elif kind in (DONE, FAILED):
                made = self._begun.get(number)
                if made is not None:
                    made.outcome, made.over = what, True
            elif number != self._number:
                continue  # a yes that came too late
            if enough(kind):
                return True
        return False

    def _hear(self) -> tuple[str, int, Any] | None:
        assert self.line is not None
        try:
            kind, number, what = pickle.loads(self.line.recv_bytes())
            if kind == KEEP:
                self._kept = what
                # The work that it is for comes next.
                kind, number, what = pickle.loads(self.line.recv_bytes())
        except (EOFError, OSError):
            self.line = None
            return None
        return kind, number, what

    def _send(self, kind: str, what: Any = None, number: int | None = None) -> bool:
        """Whether the message went out; ``number`` is that of the question, ours if None."""
        if self.line is None:
            return False
        message = pickle.dumps(
            (kind, self._number if number is None else number, what), pickle.HIGHEST_PROTOCOL
        )
        try:
            self.line.send_bytes(message)
        except OSError:
            self.line = None
            return False
        return True


class _Writer(pickle.Pickler):
    """Pickles work with its table of scores, ``lent``, left out."""

    def __init__(self, out: io.BytesIO) -> None:
        super().__init__(out, pickle.HIGHEST_PROTOCOL)
        self.lent: Baseline | None = None

    def persistent_id(self, what: object) -> str | None:
        """A name for what is left out; all work of an answer is scored by one table."""
        if not isinstance(what, Baseline):
            return None
        self.lent = what
        return Baseline.__name__


class _Reader(pickle.Unpickler):
    """Reads work back, with the table of scores that was ``kept``."""

    def __init__(self, source: io.BytesIO, kept: Baseline | None) -> None:
        super().__init__(source)
        self.kept = kept

    def persistent_load(self, name: str) -> Baseline:
        """What the name stands for."""
        if self.kept is None:
            raise pickle.UnpicklingError(f"no {name} was kept")
        return self.kept
