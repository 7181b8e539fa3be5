"""How long the quick picture takes after an edit: the first five shots of each demo situation.

Run it as a script on a quiet machine: it prints medians of five by CPU time, with processor and versions,
and what they would be at the pace of the machine that the times are asked for (`machine.py`).
"""

from __future__ import annotations

import statistics
import time

from machine import ASKED, machine, pace

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
    print(machine())
    taken: dict[str, list[float]] = {name: [] for name in EDITS}
    paced: dict[str, list[float]] = {name: [] for name in EDITS}
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
            paced[name].append(taken[name][-1] * pace())
        parts = ", ".join(f"{name} {times[-1]:.0f}" for name, times in taken.items())
        print(f"{file.split('/')[-1]}: {parts} ms", flush=True)
    for what, by_edit in (("as taken", taken), (f"at the pace of {ASKED:.0f} flights a second", paced)):
        print(what)
        for name, times in by_edit.items():
            few, middle = sum(t <= 30.0 for t in times), statistics.median(times)
            print(
                f"  {name}: median {middle:.0f}, {min(times):.0f} to {max(times):.0f} ms, "
                f"{few} of {len(times)} within 30 ms"
            )


if __name__ == "__main__":
    main()
