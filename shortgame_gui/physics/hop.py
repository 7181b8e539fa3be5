"""A hop between two bounces: too short and slow for the full integration to matter.

The acceleration (gravity, drag, lift) is taken as a parabola in time between take-off and landing; for hops
over ground that is plane below them this agrees with the fourth-order steps to a millimetre or so (tested).
Larger leaps, and hops over bent ground, are left to those.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import AirTable, Ball, Flight
from shortgame_gui.physics.flight import Landing, Path
from shortgame_gui.physics.forces import Air, Forces
from shortgame_gui.physics.ground import Ground
from shortgame_gui.physics.obstacles import CLEAR

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

FASTEST, HIGHEST = 9.0, 4.0
"""Speed and speed off the ground in m/s up to which a leap is a hop."""


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
) -> tuple[Landing, Mask]:
    """Move n balls to their next landing; arguments as in `flight.fly`.

    Also returns which of them (n,) only hop, over ground that is plane; what is said of the others is void.
    """
    omega = np.sqrt((spin * spin).sum(axis=0))
    forces = Forces(spin / np.maximum(omega, 1e-12), air, ball, air_table, table)
    slope_x, slope_y = ground.slopes(position[0], position[1], lane)

    def off(v: Array) -> Array:
        return np.asarray(v[2] - slope_x * v[0] - slope_y * v[1])

    climb = off(velocity)
    state = np.concatenate([velocity, omega[None]])
    low, high = np.zeros(len(climb)), climb * climb / (2.0 * forces.gravity)
    rate0 = forces(state, low)
    fall0 = np.minimum(off(rate0), -1.0)
    # On the plane through the take-off: first as if nothing changed, then linearly in time (Newton's rule).
    time = np.maximum(-2.0 * climb / fall0, 0.0)
    rate1 = forces(state + time * rate0, low)
    height = climb + time * (fall0 / 3.0 + off(rate1) / 6.0)
    time = time * (1.0 - height / np.minimum(climb + 0.5 * time * (fall0 + off(rate1)), -1e-6))
    # Then as a parabola in time through the rates at take-off, at half time and at landing.
    middle = forces(state + time * (0.375 * rate0 + 0.125 * rate1), high)
    rate1 = forces(state + 0.5 * time * (rate0 + rate1), low)
    height = climb + time * (fall0 / 6.0 + off(middle) / 3.0)
    sink = climb + time * (fall0 + 4.0 * off(middle) + off(rate1)) / 6.0
    time = np.maximum(time * (1.0 - height / np.minimum(sink, -1e-6)), 0.0)
    linear, square = 4.0 * middle - 3.0 * rate0 - rate1, 2.0 * (rate0 - 2.0 * middle + rate1)

    def way(share: float) -> Array:
        """Place (3, n) at a share of the hop."""
        force = 0.5 * rate0 + (share / 6.0) * linear + (share * share / 12.0) * square
        return position + (share * time) * (velocity + (share * time) * force[:3])

    def moving(share: float) -> Array:
        """Velocity and spin rate (4, n) at a share of the hop."""
        return state + (share * time) * (rate0 + (0.5 * share) * linear + (share * share / 3.0) * square)

    place, end = way(1.0), moving(1.0)
    speed = np.sqrt((velocity * velocity).sum(axis=0))
    small = (speed < FASTEST) & (np.abs(velocity[2]) < HIGHEST)
    small &= ground.flat_between(position[0], place[0], lane)
    place[2] = ground.height(place[0], place[1], lane)
    weight = np.minimum(0.5 * (rate0[2] + middle[2]), -1.0)
    rise = np.minimum(np.maximum(-velocity[2] / weight, 0.0), time)
    apex = np.maximum(position[2] + rise * (velocity[2] + 0.5 * rise * weight), place[2])
    if path is not None and ids is not None and clock is not None:
        who = np.flatnonzero(small)
        for share in (0.25, 0.5, 0.75):
            path.add((clock + share * time)[who], way(share)[:, who], moving(share)[:3, who], ids[who])
    kept = np.maximum(end[3], 0.0) / np.maximum(omega, 1e-12)
    return Landing(place, end[:3], spin * kept, time, apex, np.full(len(time), CLEAR, dtype=np.intp)), small
