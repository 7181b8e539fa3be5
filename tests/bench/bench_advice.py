"""How long the advice takes: twelve clubs, all techniques, the default size of the race.

Run it as a script on a quiet machine: it prints medians of five, with processor and versions, in one process
and as the window has it, from two that are warm (the way of question and answer between them included): for
one situation, with many shots that are nearly level, and for all of the demo. Beside each stands what it
would be at the pace of the machine that the times are asked for (`machine.py`).
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import astuple, dataclass
from functools import partial

from machine import ASKED, machine, pace

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


def example() -> Situation:
    """The situation that is measured."""
    return Situation(
        green=Green(front=5.0, depth=24.0),
        hole=Hole(distance=20.0),
        ground=Ground(approach="rough"),
        player=Player(level="tour"),
    )


@dataclass(frozen=True)
class Times:
    """Of `RUNS` answers in s: median, fastest, and the median of each times the pace beside it."""

    median: float
    fastest: float
    paced: float

    def __str__(self) -> str:
        return f"{self.median:.3f} s (fastest {self.fastest:.3f} s, {self.paced:.3f} s at the pace asked for)"


def timed(ask: Callable[[], Advice]) -> Times:
    """Time ``ask`` `RUNS` times."""
    times, paces = [], []
    for _ in range(RUNS):
        paces.append(pace())
        start = time.perf_counter()
        ask()
        times.append(time.perf_counter() - start)
    paced = [t * p for t, p in zip(times, paces, strict=True)]
    return Times(statistics.median(times), min(times), statistics.median(paced))


def main() -> None:
    """Time the advice and print the medians."""
    situation, bag, table = example(), packaged_bag(), load()
    first = advise(situation, bag, table)
    print(machine())
    print(f"{len(first.shots)} shots ranked from {len(bag.clubs)} clubs, {first.samples} samples a contender")
    print(f"median of {RUNS}, the pace asked for is {ASKED:.0f} flights a second by scipy")
    print(f"one process: {timed(lambda: advise(situation, bag, table))}")
    engine = Engine()

    def there(where: Situation) -> Advice:
        made: Advice = engine.run(partial(jobs.advice, where, bag), lambda share: None, lambda: False)
        return made

    try:
        for _ in range(WARMING):
            there(situation)
        print(f"two processes: {timed(lambda: there(situation))}")
        found = []
        for file in assets.demo_files(".json"):
            if file.startswith("situations/"):
                found.append(timed(partial(there, read_demo(file))))
                print(f"  {file.split('/')[-1]}: {found[-1]}", flush=True)
        middle = Times(*map(statistics.median, zip(*map(astuple, found), strict=True)))
        print(f"medians over the demo: {middle}")
    finally:
        engine.close()


if __name__ == "__main__":
    main()
