"""How long the program takes from its start to the first painted window, and until the first answer stands.

The answer is to stand 2 s after the window appears; `tests/desktop/test_readable.py` checks that it is read.

Run it as a script on a quiet machine; it needs no display. Each run is a process of its own; the first
of them warms the disk and does not count.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time

RUNS = 5

START = """
import sys, time
from shortgame_gui import cli
from shortgame_gui.desktop.engine import Engine

start = Engine.start

def started(engine):
    # The first thing that the program does with its parts: whatever is imported stands as it always does.
    start(engine)
    watch()

def watch():
    from PySide6.QtCore import QEvent, QObject, QTimer
    from shortgame_gui.desktop import app

    def told(what):
        print(what, time.time(), time.process_time(), flush=True)

    class Painted(QObject):
        seen = False

        def eventFilter(self, watched, event):
            if event.type() == QEvent.Type.Paint and watched is window and not self.seen:
                self.seen = True
                QTimer.singleShot(0, lambda: told("painted"))
            return False

    painted = Painted()
    make = app.make_window

    def watched_window(*given):
        global window
        window = make(*given)
        painted.setParent(window)
        window.installEventFilter(painted)
        window.advisor.settled.connect(answered)
        return window

    def answered():
        window.grab()
        told("answered")
        window.close()

    app.make_window = watched_window

Engine.start = started
sys.exit(cli.main([]))
"""


def run(env: dict[str, str]) -> tuple[float, float, float]:
    """Seconds from the start of a process to the first painted window and to the first answer, and the CPU
    time of the window's process until it is painted, which the rest of the machine hardly changes."""
    start = time.time()
    done = subprocess.run([sys.executable, "-c", START], env=env, capture_output=True, text=True, check=True)
    told = {what: (float(at), float(cpu)) for what, at, cpu in map(str.split, done.stdout.splitlines())}
    return told["painted"][0] - start, told["answered"][0] - start, told["painted"][1]


def main() -> None:
    """Start the program some times and print the medians."""
    with tempfile.TemporaryDirectory() as folder:
        env = {**os.environ, **{f"XDG_{name}_HOME": folder for name in ("CONFIG", "DATA", "CACHE")}}
        env.setdefault("QT_QPA_PLATFORM", "offscreen")
        run(env)
        found = [run(env) for _ in range(RUNS)]
    spans = [(painted, answered, answered - painted, cpu) for painted, answered, cpu in found]
    names = (
        "first painted window",
        "first answer",
        "from the one to the other",
        "CPU time until it is painted",
    )
    for name, times in zip(names, zip(*spans, strict=True), strict=True):
        print(f"{name}: median of {RUNS} {statistics.median(times):.2f} s (fastest {min(times):.2f} s)")


if __name__ == "__main__":
    main()
