"""How long the quick picture takes after an edit: the first five shots of each demo situation.

Run it as a script on a quiet machine: it prints medians of five by CPU time, with processor and versions.
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
from shortgame_gui.model.leaves import get
from shortgame_gui.store.coefficients import load
from shortgame_gui.store.documents import packaged_bag, read_demo

RUNS = 5
EDITS = {
    "hole 0.1 m": ("hole.distance", 0.1),
    "hole 1 m": ("hole.distance", 1.0),
    "uphill 1 %": ("green.slope_along", 0.01),
    "across 1 %": ("green.slope_across", 0.01),
    "stimp 0.4 m": ("green.speed", 0.4),
    "wind 3 m/s": ("air.wind_along", -3.0),
    "side wind 3 m/s": ("air.wind_across", 3.0),
    "firmness 10 g": ("green.firmness", 10.0),
}


def main() -> None:
    """Time the picture of each demo situation after each of the edits, and over all of them."""
    bag, table = packaged_bag(), load()
    print(f"{processor()}, Python {platform.python_version()}, NumPy {np.__version__}")
    taken: dict[str, list[float]] = {name: [] for name in EDITS}
    for file in assets.demo_files(".json"):
        if not file.startswith("situations/"):
            continue
        situation = read_demo(file)
        hole, shots = situation.hole.distance, advise(situation, bag, table, samples=16).shots[:5]
        wishes = tuple(
            Wish(
                s.club, s.technique, s.head_speed, s.aim, s.finish_aim, None, hole + s.finish_aim[0],
                s.landing[0], situation,
            )
            for s in shots
        )  # fmt: skip
        for name, (path, change) in EDITS.items():
            now, times = edited(situation, path, get(situation, path) + change), []
            for _ in range(RUNS):
                start = time.process_time()
                picture(now, table, wishes)
                times.append(1e3 * (time.process_time() - start))
            taken[name].append(statistics.median(times))
        parts = ", ".join(f"{name} {times[-1]:.0f}" for name, times in taken.items())
        print(f"{file.split('/')[-1]}: {parts} ms", flush=True)
    for name, times in taken.items():
        few = sum(t <= 30.0 for t in times)
        print(
            f"{name}: median {statistics.median(times):.0f}, {min(times):.0f} to {max(times):.0f} ms, "
            f"{few} of {len(times)} within 30 ms"
        )


if __name__ == "__main__":
    main()
