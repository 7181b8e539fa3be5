"""Whether the ranking can be trusted: is the best shot of a large run among those too close to call?

For six demo situations, near-ties among them: one large run (20,000 samples a contender, aims on 1,024)
names the best shot; default runs with 200 seeds say which shots are too close to call. Prints, for each, how
often the best is among them, how many they are, and how many are within 0.02 strokes in the large run. It
takes about a quarter of an hour: run it as a script, with a smaller number of seeds for a first look.
"""

from __future__ import annotations

import argparse
import statistics

import msgspec

from shortgame_gui import assets
from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.result import Advice
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.coefficients import load
from shortgame_gui.store.documents import packaged_bag, read_situation

SITUATIONS = (
    "01-tight-lie-close-in",
    "02-rough-little-green",
    "03-long-green-to-run-over",
    "05-bank-ball-above-feet",
    "06-thirty-yards-over-sand",
    "08-two-tier-green",
)
SAMPLES, SEEDS, FIRST_SEED = 20_000, 200, 1_000
LEVEL = 0.02
"""Strokes within which shots are called level in the large run."""

Name = tuple[str, str]


def named(code: str) -> Situation:
    """The demo situation of that name."""
    return read_situation(assets.demo_text(f"situations/{code}.json").encode())


def large_run(situation: Situation, bag: Bag, table: Coefficients, samples: int = SAMPLES) -> list[Name]:
    """Shots within `LEVEL` of the best of a large run, the best first; its seed is no other run's."""
    choose = msgspec.structs.replace(table.choose, try_samples=256.0, try_more=768.0, first=2048.0)
    found = advise(situation, bag, msgspec.structs.replace(table, choose=choose), samples=samples, seed=7)
    return [(s.club.name, s.technique) for s in found.shots if s.behind_best <= LEVEL]


def close(advice: Advice) -> list[Name]:
    """The shots of a default run that are too close to call; the leader alone where none is."""
    names = [(s.club.name, s.technique) for s in advice.shots if s.tie]
    return names or [(advice.shots[0].club.name, advice.shots[0].technique)]


def main() -> None:
    """Print the study."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, default=SEEDS)
    seeds = range(FIRST_SEED, FIRST_SEED + parser.parse_args().seeds)
    bag, table = packaged_bag(), load()
    held, sizes = 0, []
    for code in SITUATIONS:
        situation = named(code)
        level = large_run(situation, bag, table)
        runs = [advise(situation, bag, table, seed=seed) for seed in seeds]
        groups = [close(run) for run in runs]
        inside = sum(level[0] in group for group in groups)
        size = statistics.mean(map(len, groups))
        held, sizes = held + inside, [*sizes, size]
        print(
            f"{code}: {len(runs[0].shots)} shots, best {', '.join(level[0])}, {len(level)} within {LEVEL}; "
            f"best inside {inside} of {len(seeds)}, mean group {size:.1f}",
            flush=True,
        )
    total = len(seeds) * len(SITUATIONS)
    print(f"all: best inside {100.0 * held / total:.1f} %, mean group {statistics.mean(sizes):.2f}")


if __name__ == "__main__":
    main()
