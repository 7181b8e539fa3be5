"""How long the window's event loop is held while somebody edits without a pause: the longest gap.

Run it as a script on a quiet machine; it needs no display. Edits are pumped for 20 seconds while the real
engine works behind; a timer that should fire every millisecond tells how long it had to wait. The short test
`tests/desktop/test_gaps.py` runs the same harness for a moment.
"""

from __future__ import annotations

import os
import platform
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

SECONDS = 20.0
EVERY = 15
"""Milliseconds between two edits, about as a slider that is dragged tells them."""


@dataclass(frozen=True)
class Gaps:
    """What was seen: the longest gaps in ms, longest first, and how many edits there were."""

    longest: tuple[float, ...]
    edits: int


def pump(edit: Callable[[int], None], seconds: float) -> Gaps:
    """Call ``edit`` with 0, 1, 2 ... in a running event loop for ``seconds``, and measure how it is held."""
    from PySide6.QtCore import QElapsedTimer, QEventLoop, Qt, QTimer

    loop, clock = QEventLoop(), QElapsedTimer()
    beat, editor, end = QTimer(), QTimer(), QTimer()
    gaps: list[float] = []
    count = [0]

    def on_beat() -> None:
        gaps.append(clock.nsecsElapsed() / 1e6)
        clock.restart()

    def on_edit() -> None:
        edit(count[0])
        count[0] += 1

    for timer, every, act in ((beat, 1, on_beat), (editor, EVERY, on_edit)):
        timer.setTimerType(Qt.TimerType.PreciseTimer)
        timer.setInterval(every)
        timer.timeout.connect(act)
    end.setSingleShot(True)
    end.timeout.connect(loop.quit)
    clock.start()
    for timer in (beat, editor):
        timer.start()
    end.start(round(1000 * seconds))
    loop.exec()
    for timer in (beat, editor):
        timer.stop()
    return Gaps(tuple(sorted(gaps, reverse=True)[:10]), count[0])


def edits_of(session: object) -> Callable[[int], None]:
    """Edits as a drag makes them: hole, green speed and slope go up and down."""

    def edit(number: int) -> None:
        share = abs((number % 80) - 40) / 40.0
        session.edit("hole.distance", 20.0 + 10.0 * share, "Distance to the hole", 1)  # type: ignore[attr-defined]
        session.edit("green.speed", 2.4 + 1.5 * share, "Green speed", 2)  # type: ignore[attr-defined]

    return edit


def main() -> None:
    """Pump edits into the window on the first demo, and print the longest gaps."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    with tempfile.TemporaryDirectory() as folder:
        for name in ("CONFIG", "DATA", "CACHE"):
            os.environ[f"XDG_{name}_HOME"] = folder
        from shortgame_gui.desktop import app
        from shortgame_gui.desktop.settings import Settings

        app.application()
        window = app.make_window(Settings(), "light")
        window.begin(None)
        window.show()
        window.advisor.runner.wait_until_idle(120_000)
        gaps = pump(edits_of(window.session), SECONDS)
        window.session.undo_stack.setClean()
        window.close()
    info = Path("/proc/cpuinfo")
    lines = info.read_text().splitlines() if info.exists() else []
    names = [line.split(":")[1].strip() for line in lines if "model name" in line]
    processor = names[0] if names else platform.machine()
    print(f"{processor}, {len(names)} of them; Python {platform.python_version()}")
    longest = ", ".join(f"{gap:.0f}" for gap in gaps.longest)
    print(f"{gaps.edits} edits in {SECONDS:.0f} s; longest gaps: {longest} ms")


if __name__ == "__main__":
    main()
