"""How long the advice takes: twelve clubs, all techniques, the default size of the race.

Run it as a script on a quiet machine: it prints medians of five, with processor and versions, in one process
and as the window has it, from two that are warm (the way of question and answer between them included): for
one situation, with many shots that are nearly level, and for all of the demo.
"""

from __future__ import annotations

import platform
import statistics
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import numpy as np

from shortgame_gui import assets
from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.result import Advice
from shortgame_gui.desktop import jobs
from shortgame_gui.desktop.engine import Engine
from shortgame_gui.model.ground import Green, Ground, Hole
from shortgame_gui.model.player import Player
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.coefficients import load
from shortgame_gui.store.documents import packaged_bag, read_demo

RUNS = 5
WARMING = 5
"""Answers after which the second process has started, too."""


def processor() -> str:
    """Name of the processor, where the system tells it."""
    info = Path("/proc/cpuinfo")
    if info.exists():
        names = [
            line.split(":", 1)[1] for line in info.read_text().splitlines() if line.startswith("model name")
        ]
        if names:
            return names[0].strip()
    return platform.processor() or platform.machine()


def example() -> Situation:
    """The situation that is measured."""
    return Situation(
        green=Green(front=5.0, depth=24.0),
        hole=Hole(distance=20.0),
        ground=Ground(approach="rough"),
        player=Player(level="tour"),
    )


def timed(ask: Callable[[], Advice]) -> list[float]:
    """Seconds of `RUNS` answers."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        ask()
        times.append(time.perf_counter() - start)
    return times


def main() -> None:
    """Time the advice and print the medians."""
    situation, bag, table = example(), packaged_bag(), load()
    first = advise(situation, bag, table)
    print(f"{processor()}, Python {platform.python_version()}, NumPy {np.__version__}")
    print(f"{len(first.shots)} shots ranked from {len(bag.clubs)} clubs, {first.samples} samples a contender")
    times = timed(lambda: advise(situation, bag, table))
    print(f"one process: median of {RUNS} {statistics.median(times):.3f} s (fastest {min(times):.3f} s)")
    engine = Engine()

    def there(where: Situation) -> Advice:
        made: Advice = engine.run(partial(jobs.advice, where, bag), lambda share: None, lambda: False)
        return made

    try:
        for _ in range(WARMING):
            there(situation)
        times = timed(lambda: there(situation))
        print(
            f"two processes: median of {RUNS} {statistics.median(times):.3f} s (fastest {min(times):.3f} s)"
        )
        medians = []
        for file in assets.demo_files(".json"):
            if file.startswith("situations/"):
                medians.append(statistics.median(timed(partial(there, read_demo(file)))))
                print(f"  {file.split('/')[-1]}: {medians[-1]:.3f} s")
        print(f"median of the demo {statistics.median(medians):.3f} s")
    finally:
        engine.close()


if __name__ == "__main__":
    main()
