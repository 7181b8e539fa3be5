"""How long the advice takes: one situation, twelve clubs, all techniques, the default size of the race.

Run it as a script on a quiet machine: it prints the median of five, with processor and versions.
"""

from __future__ import annotations

import platform
import statistics
import time
from pathlib import Path

import numpy as np

from shortgame_gui.advice.advise import advise
from shortgame_gui.model.ground import Green, Ground, Hole
from shortgame_gui.model.player import Player
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.coefficients import load
from shortgame_gui.store.documents import packaged_bag

RUNS = 5


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


def main() -> None:
    """Time the advice and print the median."""
    situation, bag, table = example(), packaged_bag(), load()
    first = advise(situation, bag, table)
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        advise(situation, bag, table)
        times.append(time.perf_counter() - start)
    print(f"{processor()}, Python {platform.python_version()}, NumPy {np.__version__}")
    print(f"{len(first.shots)} shots ranked from {len(bag.clubs)} clubs, {first.samples} samples a contender")
    print(f"median of {RUNS}: {statistics.median(times):.3f} s (fastest {min(times):.3f} s)")


if __name__ == "__main__":
    main()
