"""How long the quick picture takes: the first shots of each demo situation, with the hole moved a little.

Run it as a script on a quiet machine: it prints the median of five, with processor and versions.
"""

from __future__ import annotations

import platform
import statistics
import time

import numpy as np
from bench_advice import processor

from shortgame_gui import assets
from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.picture import Wish, picture
from shortgame_gui.desktop.edits import edited
from shortgame_gui.store.coefficients import load
from shortgame_gui.store.documents import packaged_bag, read_demo

RUNS, MOVED = 5, 0.1


def main() -> None:
    """Time one and five shots of each demo situation."""
    bag, table = packaged_bag(), load()
    print(f"{processor()}, Python {platform.python_version()}, NumPy {np.__version__}")
    for file in assets.demo_files(".json"):
        if not file.startswith("situations/"):
            continue
        situation = read_demo(file)
        shots = advise(situation, bag, table, samples=16).shots[:5]
        moved = edited(situation, "hole.distance", situation.hole.distance + MOVED)
        wishes = tuple(Wish(s.club, s.technique, s.head_speed, s.aim, finish=s.finish_aim) for s in shots)
        parts = []
        for some in (wishes[:1], wishes):
            times = []
            for _ in range(RUNS):
                start = time.perf_counter()
                picture(moved, table, some)
                times.append(time.perf_counter() - start)
            parts.append(f"{len(some)} shots {1e3 * statistics.median(times):.0f} ms")
        print(f"{file.split('/')[-1]}: {', '.join(parts)}")


if __name__ == "__main__":
    main()
