"""How long the window's event loop is held while somebody edits without a pause: the longest gap.

Run it as a script on a quiet machine; it needs no display. Edits are pumped for 20 seconds while the real
engine works behind; a timer that should fire every millisecond tells how long it had to wait, and how much of
that time the window's thread itself worked, which the rest of the machine hardly changes. Then once more with
rests, as a person edits, so that rankings come as well. The short test `tests/desktop/test_gaps.py` runs the
same harness for a moment.
"""

from __future__ import annotations

import os
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from machine import machine

SECONDS = 20.0
EVERY = 15
"""Milliseconds between two edits, about as a slider that is dragged tells them."""
SPELL = 2000
"""Milliseconds that edits go on until they rest for the answer."""
MOMENT = 3.0
"""Seconds that are watched after a single act, so that its answer comes as well."""


@dataclass(frozen=True)
class Gaps:
    """What was seen: the longest gaps in ms, longest first, the longest work of the window's thread between
    two beats in ms of its CPU time, and how many edits there were."""

    longest: tuple[float, ...]
    work: tuple[float, ...]
    edits: int


def pump(edit: Callable[[int], None], seconds: float, waiting: Callable[[], bool] | None = None) -> Gaps:
    """Call ``edit`` with 0, 1, 2 ... in a running event loop for ``seconds``, and measure how it is held.

    With ``waiting``, whether an answer is still to come, each two seconds of edits are followed by a rest
    until it is there.
    """
    from PySide6.QtCore import QElapsedTimer, QEventLoop, Qt, QTimer

    loop, clock, spell = QEventLoop(), QElapsedTimer(), QElapsedTimer()
    beat, editor, end = QTimer(), QTimer(), QTimer()
    gaps: list[float] = []
    work: list[float] = []
    worked, count, resting = [time.thread_time()], [0], [False]

    def on_beat() -> None:
        gaps.append(clock.nsecsElapsed() / 1e6)
        now = time.thread_time()
        work.append(1e3 * (now - worked[0]))
        worked[0] = now
        clock.restart()

    def on_edit() -> None:
        if resting[0] and waiting is not None and not waiting():
            resting[0] = False
            spell.restart()
        if resting[0]:
            return
        edit(count[0])
        count[0] += 1
        resting[0] = waiting is not None and spell.elapsed() > SPELL

    for timer, every, act in ((beat, 1, on_beat), (editor, EVERY, on_edit)):
        timer.setTimerType(Qt.TimerType.PreciseTimer)
        timer.setInterval(every)
        timer.timeout.connect(act)
    end.setSingleShot(True)
    end.timeout.connect(loop.quit)
    clock.start()
    spell.start()
    for timer in (beat, editor):
        timer.start()
    end.start(round(1000 * seconds))
    loop.exec()
    for timer in (beat, editor):
        timer.stop()
    most = (tuple(sorted(times, reverse=True)[:10]) for times in (gaps, work))
    return Gaps(*most, count[0])


def edits_of(session: object) -> Callable[[int], None]:
    """Edits as a drag makes them: hole, green speed and slope go up and down."""

    def edit(number: int) -> None:
        share = abs((number % 80) - 40) / 40.0
        session.edit("hole.distance", 20.0 + 10.0 * share, "Distance to the hole", 1)  # type: ignore[attr-defined]
        session.edit("green.speed", 2.4 + 1.5 * share, "Green speed", 2)  # type: ignore[attr-defined]

    return edit


def moments_of(window: Any) -> dict[str, Callable[[], None]]:
    """Single acts of a user, by name."""
    session, actions = window.session, window.actions_by_code
    demos = window.demo_menu.actions()

    def opened(demo: Any) -> None:
        session.begin_with(session.document)  # nobody answers whether to save
        demo.trigger()

    return {
        "another lie": lambda: session.edit("lie.ground", "rough", "Lie"),
        "undone": session.undo_stack.undo,
        "another demo": lambda: opened(demos[3]),
        "a demo with a survey": lambda: opened(next(d for d in demos if "survey" in d.objectName())),
        "to Side by side": lambda: window.rail.choose("side_by_side"),
        "to Map": lambda: window.rail.choose("map"),
        "to Shot": lambda: window.rail.choose("shot"),
        "metres": actions["metres"].trigger,
        "dark": actions["dark"].trigger,
        "light": actions["light"].trigger,
    }


def main() -> None:
    """Pump edits into the window on the first demo, and print the longest gaps."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    with tempfile.TemporaryDirectory() as folder:
        for name in ("CONFIG", "DATA", "CACHE"):
            os.environ[f"XDG_{name}_HOME"] = folder
        from shortgame_gui.desktop import app
        from shortgame_gui.desktop.engine import Engine
        from shortgame_gui.desktop.settings import Settings

        app.application()
        window = app.make_window(Settings(), "light", Engine())
        window.begin(None)
        window.show()
        app.settle()
        window.advisor.runner.wait_until_idle(120_000)
        pump(lambda number: None, 0.5)  # the first answer is painted
        edit = edits_of(window.session)
        found = {
            "without a pause": pump(edit, SECONDS),
            "with rests": pump(edit, SECONDS, lambda: window.advisor.busy),
        }
        window.advisor.runner.wait_until_idle(120_000)
        single = {}
        for name, act in moments_of(window).items():
            single[name] = pump(lambda number, act=act: act() if number == 1 else None, MOMENT)  # type: ignore[misc]
        window.session.begin_with(window.session.document)  # nothing to save
        window.close()
    print(machine())
    for how, gaps in found.items():
        print(f"{gaps.edits} edits in {SECONDS:.0f} s, {how}")
        for name, times in (("longest gaps", gaps.longest), ("most work of the thread", gaps.work)):
            print(f"  {name}: {', '.join(f'{ms:.0f}' for ms in times)} ms")
    for name, gaps in single.items():
        print(f"{name}: longest gap {gaps.longest[0]:.0f} ms, most work {gaps.work[0]:.0f} ms")


if __name__ == "__main__":
    main()
