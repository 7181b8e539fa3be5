"""One thing at each turn of the event loop: what is dear never comes together, and keys are heard between."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, QTimer


class Turns(QObject):
    """Has things done later, one a turn, in the order they were asked for; each waits at most once."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._waiting: dict[Callable[[], Any], None] = {}
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._next)

    def later(self, do: Callable[[], Any]) -> None:
        """Call ``do`` at a turn of its own, unless it waits already."""
        self._waiting.setdefault(do)
        self._timer.start()

    def finish(self) -> None:
        """Do all that is waiting, now."""
        while self._waiting:
            self._next()
        self._timer.stop()

    def _next(self) -> None:
        do = next(iter(self._waiting))
        del self._waiting[do]
        if self._waiting:
            self._timer.start()
        do()
