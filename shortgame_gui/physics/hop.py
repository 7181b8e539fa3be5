"""A hop between two bounces: too short and slow for the full integration to matter.

The acceleration (gravity, drag, lift) is taken as linear in time between take-off and landing; for hops this
agrees with the fourth-order integration to a fraction of a millimetre (tested). Large leaps are left to it.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import AirTable, Ball, Flight
from shortgame_gui.physics.flight import Air, Forces, Landing, Path
from shortgame_gui.physics.ground import Ground

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]

FASTEST, HIGHEST = 9.0, 4.0
"""Speed and speed off the ground in m/s up to which a leap is a hop."""
ROUNDS = 3


def is_hop(velocity: Array) -> npt.NDArray[np.bool_]:
    """Whether balls that leave the ground with ``velocity`` (3, n) in m/s only hop, (n,)."""
    speed = np.sqrt((velocity * velocity).sum(axis=0))
    return np.asarray((speed < FASTEST) & (np.abs(velocity[2]) < HIGHEST))


def hop(
    position: Array,
    velocity: Array,
    spin: Array,
    air: Air,
    ground: Ground,
    lane: Index,
    ball: Ball,
    air_table: AirTable,
    table: Flight,
    path: Path | None = None,
    ids: Index | None = None,
    clock: Array | None = None,
) -> Landing:
    """Move n hopping balls to their next landing; arguments and result as in `flight.fly`."""
    omega = np.sqrt((spin * spin).sum(axis=0))
    axis = spin / np.maximum(omega, 1e-12)
    forces = Forces(axis, air, ball, air_table, table)
    gx, gy = ground.slopes(position[0], position[1], lane)
    a0, loss = forces(velocity, omega, np.zeros(len(omega)))

    def off(v: Array) -> Array:
        return v[2] - gx * v[0] - gy * v[1]

    # On the plane through the take-off, with the acceleration held: a first time of landing.
    time = np.maximum(-2.0 * off(velocity) / np.minimum(off(a0), -1.0), 0.0)
    a1 = a0
    for _ in range(ROUNDS if not ground.level_between else 2):
        a1, _ = forces(velocity + time * a0, omega, np.zeros(len(omega)))
        at = position + time * velocity + time * time / 6.0 * (2.0 * a0 + a1)
        fall = velocity + 0.5 * time * (a0 + a1)
        gap = at[2] - ground.height(at[0], at[1], lane)
        gx, gy = ground.slopes(at[0], at[1], lane)
        time = np.maximum(time - gap / np.minimum(off(fall), -1e-3), 0.0)
    at = position + time * velocity + time * time / 6.0 * (2.0 * a0 + a1)
    at[2] = ground.height(at[0], at[1], lane)
    rise = np.clip(-velocity[2] / np.minimum(a0[2], -1.0), 0.0, time)
    apex = position[2] + rise * (velocity[2] + 0.5 * rise * a0[2])
    if path is not None and ids is not None and clock is not None:
        for share in (0.25, 0.5, 0.75):
            t = share * time
            now = position + t * velocity + t * t / 6.0 * (3.0 * a0 + share * (a1 - a0))
            path.add(clock[ids] + t, now, velocity + t * (a0 + 0.5 * share * (a1 - a0)), ids)
    spun = np.maximum(1.0 + time * loss / np.maximum(omega, 1e-12), 0.0)
    return Landing(at, velocity + 0.5 * time * (a0 + a1), spin * spun, time, np.maximum(apex, at[2]))
