"""Memory of the window and of each of its processes: at the start, with an answer, as a map is filled, after.

Run it as a script; it needs no display, but Linux, whose kernel tells the memory of each process: what it
holds at once at most (resident), and its share of what is common to several (proportional), in MB. A plain
advice in a process of its own stands beside it.
"""

from __future__ import annotations

import multiprocessing
import os
import tempfile
import threading
from pathlib import Path
from typing import Any

from machine import machine

EVERY = 0.05
"""Seconds between two looks."""


def of_process(pid: int) -> tuple[float, float, float]:
    """Memory of a process in MB: the most it ever had, what it has, and its proportional share of that.

    Raises OSError when it has ended.
    """
    lines = Path(f"/proc/{pid}/status").read_text().splitlines()
    known = {line.split(":")[0]: line.split()[1] for line in lines if line.startswith(("VmHWM", "VmRSS"))}
    shared = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()
    part = next(line.split()[1] for line in shared if line.startswith("Pss:"))
    # A process that is ending has no memory left.
    return float(known.get("VmHWM", 0)) / 1e3, float(known.get("VmRSS", 0)) / 1e3, float(part) / 1e3


def children(pid: int) -> list[int]:
    """Processes that ``pid`` started and that still run."""
    found = []
    for task in Path(f"/proc/{pid}/task").iterdir():
        found += [int(word) for word in (task / "children").read_text().split()]
    return sorted(found)


class Watch:
    """Looks at this process and those that it started again and again; tells the most of each stretch."""

    def __init__(self) -> None:
        self._ended = threading.Event()
        self._lock = threading.Lock()
        self._most: dict[int, list[float]] = {}
        self._together = 0.0
        self._thread = threading.Thread(target=self._look, daemon=True)
        self._thread.start()

    def _look(self) -> None:
        me = os.getpid()
        while not self._ended.wait(EVERY):
            together = 0.0
            for pid in (me, *children(me)):
                try:
                    _, resident, part = of_process(pid)
                except OSError:
                    continue
                together += part
                with self._lock:
                    most = self._most.setdefault(pid, [0.0, 0.0])
                    most[:] = max(most[0], resident), max(most[1], part)
            self._together = max(self._together, together)

    def stretch(self, what: str) -> None:
        """Print the most of each process since the last call, and begin anew."""
        with self._lock:
            most, self._most = self._most, {}
        together, self._together = self._together, 0.0
        me = most.pop(os.getpid(), [0.0, 0.0])
        others = ", ".join(f"{r:.0f} ({p:.0f})" for r, p in most.values())
        print(f"{what}: window {me[0]:.0f} ({me[1]:.0f}), its processes {others}; all {together:.0f}")

    def end(self) -> None:
        self._ended.set()
        self._thread.join()


def _advise(answer: Any) -> None:
    """One full advice and nothing else, in a process of its own."""
    from bench_advice import example

    from shortgame_gui.advice.advise import advise
    from shortgame_gui.store.coefficients import load
    from shortgame_gui.store.documents import packaged_bag

    advise(example(), packaged_bag(), load())
    answer.send(of_process(os.getpid())[0])


def _window() -> None:
    """Open the window on the first demo, have its answer, fill a map and go back."""
    from PySide6.QtCore import QEventLoop, QTimer

    from shortgame_gui.desktop import app
    from shortgame_gui.desktop.engine import Engine
    from shortgame_gui.desktop.settings import Settings

    def rest(milliseconds: int = 500) -> None:
        loop = QEventLoop()
        QTimer.singleShot(milliseconds, loop.quit)
        loop.exec()

    watch = Watch()
    app.application()
    window = app.make_window(Settings(), "light", Engine())
    window.begin(None)
    window.resize(1920, 1080)
    window.show()
    app.settle()
    watch.stretch("start")
    window.advisor.runner.wait_until_idle(120_000)
    rest()
    watch.stretch("with an answer")
    filler = window.rail.workspaces["map"].filler
    for what in ("while a map is filled", "while another is filled"):
        window.session.edit("green.speed", window.session.situation.green.speed + 0.1, "Green speed")
        window.rail.choose("map")
        filler.runner.wait_until_idle(600_000)
        watch.stretch(what)
        window.rail.choose("shot")
        window.advisor.runner.wait_until_idle(120_000)
        rest()
        watch.stretch("after it")
    window.session.begin_with(window.session.document)  # nothing to save
    window.close()
    watch.end()


def main() -> None:
    """Print what a plain advice and the window take."""
    print(f"{machine()}; most resident (proportional), MB")
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe()
    process = context.Process(target=_advise, args=(theirs,))
    process.start()
    theirs.close()
    print(f"one full advice alone: {ours.recv():.0f}")
    process.join()
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    with tempfile.TemporaryDirectory() as folder:
        for name in ("CONFIG", "DATA", "CACHE"):
            os.environ[f"XDG_{name}_HOME"] = folder
        _window()


if __name__ == "__main__":
    main()
