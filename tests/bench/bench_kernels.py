"""What the chain is worth: against scipy's integrators, a compiled kernel and its own finer steps.

Run it by name on a quiet machine: ``python tests/bench/bench_kernels.py [flight] [kernel] [steps]``, all
three without a word. The compiled kernel needs numba, which the project does not: ``pip install --target
DIR numba`` and ``PYTHONPATH=DIR``. Rates are told by wall time and by the process's own CPU time, which says
more on a machine that others use; nothing is asserted.
"""

from __future__ import annotations

import importlib
import statistics
import sys
import time
from collections import namedtuple
from collections.abc import Callable
from contextlib import ExitStack
from typing import Any
from unittest.mock import patch

import kernel_flight
import kernel_shot
import numpy as np
from bench_chain import REPEATS, scene
from machine import machine
from msgspec.structs import replace

from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.physics import flight as flight_law
from shortgame_gui.physics import hop as hop_law
from shortgame_gui.physics import roll as roll_law
from shortgame_gui.physics import run as run_law
from shortgame_gui.physics import skid as skid_law
from shortgame_gui.physics import steps as steps_law
from shortgame_gui.physics.flight import fly
from shortgame_gui.physics.forces import Forces
from shortgame_gui.physics.ground import SurfaceArrays
from shortgame_gui.physics.shot import PART, Conditions, Result, simulate
from shortgame_gui.physics.strike import Launched, strike
from shortgame_gui.store.coefficients import load

BATCHES = (4000, 16000)
ALONE = 200
"""Flights that scipy does one by one."""
TOLERANCES = (1e-3, 3e-4, 1e-4, 3e-5, 1e-5, 1e-6, 1e-7)
NEAR = 1e-3
"""Error in m that scipy's flights may have where they land."""
FINER = 4
SHORTER = (
    "SKID", "SKID_BENT", "SKID_AHEAD", "TIP", "LAST", "SLOWING", "CHANGE", "BENT", "LAG", "AHEAD", "PANEL",
    "CREEP", "CREPT", "TURN", "TURN_WAY", "LAST_TURN",
)  # fmt: skip
"""What bounds the steps of skid and roll."""
LONGER = ("SKID_STEPS", "ENDLESS", "CHORDS")
"""How many of them there may be, and looks at each."""


def launched(n: int, table: Coefficients) -> tuple[Launched, Conditions]:
    """``n`` pitches of the chain's bench as they leave the face, and where they are played."""
    club, here = scene(n)
    return strike(club, table.ball, table.strike), here


def timed(work: Callable[[], object], times: int = 1) -> tuple[float, float]:
    """Wall time and CPU time in s of ``work``, done ``times`` times."""
    wall, cpu = time.perf_counter(), time.process_time()
    for _ in range(times):
        work()
    return time.perf_counter() - wall, time.process_time() - cpu


def per_second(n: int, spans: list[tuple[float, float]]) -> tuple[float, float]:
    """Median rates of ``n`` shots by wall time and by CPU time."""
    wall, cpu = zip(*spans, strict=True)
    return n / statistics.median(wall), n / statistics.median(cpu)


def tell(what: str, rates: tuple[float, float]) -> None:
    print(f"  {what:46s} {rates[0]:9.0f} by wall time  {rates[1]:9.0f} by CPU time")


# --- flight against flight


def flights(ball: Launched, here: Conditions, table: Coefficients) -> np.ndarray:
    """Landing places (3, n) of our own flights, as many at a time as the chain plays."""
    n, acts = here.lane.shape[0], Forces(here.air, table.ball, table.air, table.flight)
    places = []
    for first in range(0, n, PART):
        some = np.arange(first, min(first + PART, n))
        down = fly(
            np.zeros((3, len(some))), ball.velocity[:, some], ball.spin[:, some], acts.take(some),
            here.ground, here.lane[some],
        )  # fmt: skip
        places.append(down.position)
    return np.concatenate(places, axis=1)


def integrated(ball: Launched, here: Conditions, table: Coefficients, method: str, rtol: float) -> np.ndarray:
    """Landing places (3, n) by scipy's ``method``, one ball after the other, with the same forces."""
    from scipy.integrate import solve_ivp

    forces, radius, air, flight = kernel_flight.forces, table.ball.radius, table.air, table.flight
    ground = kernel_flight.Drawn.of(here.ground)
    height = kernel_flight.height
    landings = np.empty_like(ball.velocity)
    for i in range(landings.shape[1]):
        aero, omega = kernel_flight.aero_of(
            *ball.spin[:, i].tolist(), float(here.air.density[i]), float(here.air.viscosity[i]), 0.0, 0.0,
            table.ball, flight,
        )  # fmt: skip

        def rates(_: float, y: np.ndarray, aero: Any = aero) -> tuple[float, ...]:
            x = y.tolist()
            return (*x[3:6], *forces(x[3], x[4], x[5], x[6], 0.0, aero, radius, air, flight))

        def above(_: float, y: np.ndarray) -> float:
            return y[2] - height(ground, y[0], y[1])

        above.terminal, above.direction = True, -1.0
        start = [0.0, 0.0, 0.0, *ball.velocity[:, i], omega]
        way = solve_ivp(rates, (0.0, 30.0), start, method, rtol=rtol, atol=1e-2 * rtol, events=above)
        landings[:, i] = way.y_events[0][0][:3]
    return landings


def against_scipy() -> None:
    """Flights a second of scipy's integrators, each as coarse as 1 mm allows, and of ours."""
    import scipy

    table = load()
    some = launched(ALONE, table)
    exact = integrated(*some, table, "DOP853", 1e-12)

    def error(landings: np.ndarray) -> float:
        return float(np.sqrt(((landings - exact) ** 2).sum(axis=0)).max())

    print(f"flight alone, flights per second, median of {REPEATS}; scipy {scipy.__version__}")
    best = 0.0
    for method in ("RK45", "DOP853"):
        off, rtol = next(
            (e, rtol) for rtol in TOLERANCES if (e := error(integrated(*some, table, method, rtol))) < NEAR
        )
        spans = [timed(lambda m=method, r=rtol: integrated(*some, table, m, r)) for _ in range(REPEATS)]
        rates = per_second(ALONE, spans)
        best = max(best, rates[1])
        tell(f"solve_ivp {method}, rtol {rtol:g}, error {1e3 * off:.2f} mm", rates)
    off = error(flights(*some, table))
    for n in BATCHES:
        ours = launched(n, table)
        flights(*ours, table)
        rates = per_second(n, [timed(lambda o=ours: flights(*o, table)) for _ in range(REPEATS)])
        tell(f"ours, batches of {n}, error {1e3 * off:.2f} mm", rates)
        print(f"    {rates[1] / best:.0f} times the quicker of scipy's, by CPU time (aim: 100)")


# --- the compiled kernel


def plain(struct: object) -> Any:
    """The fields of a struct as a tuple with names, which numba can read."""
    names = getattr(type(struct), "__struct_fields__", None) or tuple(type(struct).__dataclass_fields__)
    return namedtuple(type(struct).__name__, names)(*(getattr(struct, name) for name in names))


def compiled() -> Callable[..., None] | None:
    """The kernel's `play_all` compiled for one core; None, and a line said, where numba is missing."""
    try:
        numba = importlib.import_module("numba")
    except ImportError:
        print("kernel: numba is missing; pip install --target DIR numba, then PYTHONPATH=DIR")
        return None
    print(f"kernel: numba {numba.__version__}, one core")
    # All liberties of fast arithmetic but those that forbid NaN and infinity, which the kernel asks for.
    fast = {"contract", "arcp", "reassoc", "nsz", "afn"}
    # The functions find each other by their module's names, so those are put in place before any is compiled.
    for module in (kernel_flight, kernel_shot):
        for function in module.COMPILED:
            setattr(module, function.__name__, numba.njit(error_model="numpy", fastmath=fast)(function))
    return kernel_shot.play_all


def whole(n: int, table: Coefficients) -> tuple[Callable[[], Result], tuple[Any, ...]]:
    """Our chain over ``n`` shots, and the arguments of the kernel for the same ones."""
    ball, here = launched(n, table)
    met = kernel_shot.Here(
        here.stimp, here.firmness, here.wet, here.hole, here.air.density, here.air.viscosity, here.air.wind_x,
        here.air.wind_y, here.grip, here.scatter,
    )  # fmt: skip
    tables = (table.ball, table.air, table.flight, table.turf, table.run, table.hole)
    arguments = (
        ball.velocity, ball.spin, kernel_flight.Drawn.of(here.ground), met,
        plain(SurfaceArrays.of(table.surface)), *(plain(t) for t in tables),
        kernel_flight.Plan.of(flight_law.RULE),
        np.empty((5, n)), np.empty(n, dtype=np.intp), np.empty(n, dtype=np.intp),
    )  # fmt: skip
    return lambda: simulate(ball.velocity, ball.spin, here, table), arguments


def against_kernel() -> None:
    """Whole shots a second of the kernel and of our chain, by turns, and how far they agree."""
    kernel = compiled()
    if kernel is None:
        return
    table = load()
    for n in BATCHES:
        chain, arguments = whole(n, table)
        kernel(*arguments)
        done = chain()
        ours, theirs = [], []
        for _ in range(REPEATS):
            theirs.append(timed(lambda a=arguments: kernel(*a)))
            ours.append(timed(chain))
        yardstick, rates = per_second(n, theirs), per_second(n, ours)
        tell(f"kernel, {n} whole shots", yardstick)
        tell(f"our chain, batches of {n}", rates)
        print(f"    {rates[1] / yardstick[1]:.2f} of the kernel's rate by CPU time (aim: 0.33)")
        rest, ending, count = arguments[-3:]
        print(f"    the same ending in {100 * np.mean(ending == done.ending):.2f} of 100")
        agreement(rest[:3], count, done.rest, done.count)


def agreement(rest: np.ndarray, count: np.ndarray, other: np.ndarray, bounces: np.ndarray) -> None:
    """Say how far the finishes (3, n) of the same shots are apart that were played in two ways."""
    same = count == bounces
    apart = 1e3 * np.hypot(*(rest - other)[:2, same])
    middle, most = np.quantile(apart, (0.5, 0.99))
    print(
        f"    finishes apart: median {middle:.3g} mm, 99 in 100 within {most:.3g} mm, where the bounces are"
        f" the same ({100 * same.mean():.2f} of 100)"
    )
    for name, a, b in zip(("along", "across"), rest, other, strict=False):
        mean, spread = 1e3 * (a.mean() - b.mean()), 1e3 * (a.std() - b.std())
        figures = f"mean {mean:+.2f} mm, spread {spread:+.2f} mm"
        print(f"    {name}, of all: {figures} ({b.mean():.2f} +- {b.std():.2f} m)")


# --- the error of the steps


def finer(table: Coefficients, times: int) -> Coefficients:
    """The ``table`` with stretches of flight and leaps, and steps of the roll, so many ``times`` shorter."""
    f, r = table.flight, table.run
    flight = replace(f, flight_way=f.flight_way / times)
    run = replace(r, step_length=r.step_length / times, step_plane=r.step_plane / times)
    return replace(table, flight=flight, run=run)


def errors() -> None:
    """Finishes at the default steps against `FINER` times as many of all steps, flown hops at last."""
    table = load()
    ball, here = launched(BATCHES[-1], table)
    usual = simulate(ball.velocity, ball.spin, here, table)
    with ExitStack() as steps:
        for law in (steps_law, skid_law, roll_law, run_law):
            many = {name: FINER * getattr(law, name) for name in LONGER if hasattr(law, name)}
            short = {name: getattr(law, name) / FINER for name in SHORTER if hasattr(law, name)}
            steps.enter_context(patch.multiple(law, **many, **short))
        closer = (*steps_law.CLOSER, steps_law.LOOKS)
        steps.enter_context(patch.multiple(steps_law, CLOSER=closer))
        print(f"steps: the usual ones against {FINER} times as many, {BATCHES[-1]} shots")
        fine = simulate(ball.velocity, ball.spin, here, finer(table, FINER))
        agreement(usual.rest, usual.count, fine.rest, fine.count)
        print("steps: the same, and every hop flown by them as well")
        with patch.multiple(hop_law, FASTEST=0.0, FASTEST_IN_WIND=0.0):
            fine = simulate(ball.velocity, ball.spin, here, finer(table, FINER))
        agreement(usual.rest, usual.count, fine.rest, fine.count)


PARTS = {"flight": against_scipy, "kernel": against_kernel, "steps": errors}
"""In the order in which they may follow each other: the kernel leaves compiled functions behind."""


def main() -> None:
    print(machine())
    wanted = sys.argv[1:] or list(PARTS)
    for name, part in PARTS.items():
        if name in wanted:
            part()


if __name__ == "__main__":
    main()
