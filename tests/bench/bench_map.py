"""How long the map takes at its usual size: 20 x 20 cells, twelve clubs, two processes.

Run it as a script on a quiet machine: it prints the median of three, with processor and versions.
"""

from __future__ import annotations

import resource
import statistics
import time

from machine import machine

from shortgame_gui.advice.axes import AXES
from shortgame_gui.advice.map import SAMPLES, STEPS, Scale, fill
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.coefficients import load
from shortgame_gui.store.documents import packaged_bag

RUNS = 3
PAIRS = (("green_to_work_with", "green_speed"), ("slope", "firmness"))


def spent() -> float:
    """CPU seconds of this process and of those that it started and that have ended."""
    who = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    return sum(resource.getrusage(w).ru_utime + resource.getrusage(w).ru_stime for w in who)


def main() -> None:
    """Time the map of the everyday situation and print the medians."""
    bag, table, situation = packaged_bag(), load(), Situation()
    print(machine())
    print(f"{STEPS} x {STEPS} cells, {len(bag.clubs)} clubs, {SAMPLES} samples, two processes")
    for x, y in PAIRS:
        sides = [Scale(code, AXES[code].values(situation, STEPS)) for code in (x, y)]
        times, first, work = [], [], []
        for _ in range(RUNS):
            start, before, early = time.perf_counter(), spent(), []
            fill(
                situation, bag, table, *sides,
                partial=lambda made, start=start, early=early: early.append(time.perf_counter() - start),
            )  # fmt: skip
            times.append(time.perf_counter() - start)
            first.append(early[0])
            work.append(spent() - before)
        print(
            f"{x} by {y}: median of {RUNS} {statistics.median(times):.1f} s (fastest {min(times):.1f} s), "
            f"first cells after {statistics.median(first):.1f} s, {statistics.median(work):.1f} s of CPU"
        )


if __name__ == "__main__":
    main()
