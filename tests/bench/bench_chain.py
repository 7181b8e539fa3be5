"""Shots per second of the chain: the 30-yard pitch from launch to rest, with scatter, a hole and a fringe.

Run it by name: ``python tests/bench/bench_chain.py``. It prints medians of five with the machine and the
versions; nothing is asserted, because a busy machine tells nothing about the program.
"""

from __future__ import annotations

import multiprocessing
import statistics
import time
from multiprocessing.connection import Connection

import numpy as np
from machine import machine

from shortgame_gui.physics import air as air_law
from shortgame_gui.physics.forces import Air
from shortgame_gui.physics.ground import SURFACES, WIDE, DrawnGround, Strip
from shortgame_gui.physics.shot import MOST_BOUNCES, Conditions, simulate
from shortgame_gui.physics.strike import Delivered, direction, face_normal, strike
from shortgame_gui.store.coefficients import load
from shortgame_gui.units import DEGREE, FOOT, YARD

LANES = (1000, 4000, 16000)
REPEATS = 5


def scene(n: int) -> tuple[Delivered, Conditions]:
    """``n`` pitches with the 60-degree wedge, each struck and bounced a little differently."""
    table = load()
    draw = np.random.default_rng(1)
    parts = (("fairway", -WIDE, WIDE), ("fringe", 19.0, 41.0), ("green", 20.0, 40.0))
    strips = [Strip(SURFACES.index(name), start, end, 9.0, 9.0) for name, start, end in parts]
    head = 17.4 * np.exp(draw.normal(0.0, 0.04, n))
    loft, attack = draw.normal(50.0, 1.3, n) * DEGREE, np.full(n, -5.0 * DEGREE)
    face = draw.normal(0.0, 1.2, n) * DEGREE
    rho = np.full(n, air_law.density(0.0, 20.0, table.air))
    nu = np.full(n, air_law.kinematic_viscosity(20.0, rho[:1], table.air))
    here = Conditions(
        ground=DrawnGround([([(20.0, 0.0), (22.0, 0.1), (40.0, 0.3)], 0.01, strips)]),
        lane=np.zeros(n, dtype=np.intp),
        stimp=np.full(n, 10.0 * FOOT),
        firmness=np.full(n, 85.0),
        wet=np.zeros(n),
        hole=np.tile(np.array([[30.0 * YARD], [0.0]]), n),
        air=Air(rho, nu, np.zeros(n), np.zeros(n)),
        grip=np.ones(n),
        scatter=draw.normal(0.0, 1.0, (3, MOST_BOUNCES, n)),
    )
    return Delivered(head * direction(attack, face), face_normal(loft, face), np.full(n, 0.40)), here


def play(club: Delivered, here: Conditions) -> None:
    """From the strike to the rest."""
    table = load()
    ball = strike(club, table.ball, table.strike)
    simulate(ball.velocity, ball.spin, here, table)


def serve(n: int, orders: Connection) -> None:
    """Play ``n`` pitches whenever told so, until told not to."""
    pitches = scene(n)
    play(*pitches)
    orders.send(True)
    while orders.recv():
        play(*pitches)
        orders.send(True)


def rates(n: int, processes: int) -> list[float]:
    """Shots per second of ``processes`` that play ``n`` each at the same time, `REPEATS` times."""
    context = multiprocessing.get_context("spawn")
    pipes = [context.Pipe() for _ in range(processes)]
    players = [context.Process(target=serve, args=(n, theirs)) for _, theirs in pipes]
    for player in players:
        player.start()
    for ours, _ in pipes:
        ours.recv()
    found = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        for ours, _ in pipes:
            ours.send(True)
        for ours, _ in pipes:
            ours.recv()
        found.append(processes * n / (time.perf_counter() - start))
    for ours, _ in pipes:
        ours.send(False)
    for player in players:
        player.join()
    return found


def main() -> None:
    print(machine())
    print(f"30-yard pitch, shots per second, median of {REPEATS} (least to most)")
    for processes in (1, 2):
        for n in LANES:
            found = rates(n, processes)
            low, middle, high = (round(f(found), -2) for f in (min, statistics.median, max))
            print(f"processes {processes}  lanes each {n:5d}  {middle:8.0f}  ({low:.0f} to {high:.0f})")


if __name__ == "__main__":
    main()
