"""A hop between two bounces: too short and slow for the full integration to matter.

The acceleration (gravity, drag, lift) is taken as a parabola in time between take-off and where the ball
would land on a plane; this agrees with the fourth-order steps to a millimetre or so (tested). Over bent
ground the landing is met on that way. Larger leaps, and hops from which the ground falls away, are left to
the steps.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import AirTable, Ball, Flight
from shortgame_gui.physics.falling import falls
from shortgame_gui.physics.flight import Landing, Path
from shortgame_gui.physics.forces import Air, Forces
from shortgame_gui.physics.ground import Ground
from shortgame_gui.physics.obstacles import CLEAR

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

FASTEST, HIGHEST = 9.0, 4.0
"""Speed and speed off the ground in m/s up to which a leap is a hop."""
LONGEST = 0.7
"""Time in s up to which a leap over bent ground is a hop."""
FURTHER = 1.3
"""Share of the hop over a plane up to which it is followed over bent ground."""
LOOKS = 10
"""Points of a hop over bent ground at which it is looked whether it has come down."""
CLOSE = 1e-7
"""Height in m at which a landing on bent ground counts as met."""


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

    Also returns which of them (n,) only hop; what is said of the others is void.
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

    def way(share: Array | float, who: Index | slice = slice(None)) -> Array:
        """Place (3, n) of the balls ``who`` at a share of the hop."""
        t, s = share * time[who], share
        force = 0.5 * rate0[:3, who] + (s / 6.0) * linear[:3, who] + (s * s / 12.0) * square[:3, who]
        return np.asarray(position[:, who] + t * (velocity[:, who] + t * force))

    def moving(share: Array | float) -> Array:
        """Velocity and spin rate (4, n) at a share of the hop."""
        t = share * time
        return np.asarray(state + t * (rate0 + (0.5 * share) * linear + (share * share / 3.0) * square))

    speed = np.sqrt((velocity * velocity).sum(axis=0))
    small = (speed < FASTEST) & (np.abs(velocity[2]) < HIGHEST)
    share = np.ones(len(time))
    bent = np.flatnonzero(small & ~ground.flat_between(position[0], way(1.0)[0], lane))
    if len(bent):

        def above(part: Array, who: Index) -> Array:
            x, y, z = way(part, who)
            return np.asarray(z - ground.height(x, y, lane[who]))

        share[bent], comes = _down(above, bent, climb[bent] * time[bent])
        small[bent] = comes & (share[bent] * time[bent] < LONGEST)
    place, end = way(share), moving(share)
    place[2] = ground.height(place[0], place[1], lane)
    if path is not None and ids is not None and clock is not None:
        who = np.flatnonzero(small)
        for part in (0.25, 0.5, 0.75):
            on_way, gait = way(part * share), moving(part * share)
            path.add((clock + part * share * time)[who], on_way[:, who], gait[:3, who], ids[who])
    time = share * time
    weight = np.minimum(0.5 * (rate0[2] + middle[2]), -1.0)
    rise = np.minimum(np.maximum(-velocity[2] / weight, 0.0), time)
    apex = np.maximum(position[2] + rise * (velocity[2] + 0.5 * rise * weight), place[2])
    kept = np.maximum(end[3], 0.0) / np.maximum(omega, 1e-12)
    return Landing(place, end[:3], spin * kept, time, apex, np.full(len(time), CLEAR, dtype=np.intp)), small


def _down(above: Callable[[Array, Index], Array], who: Index, first: Array) -> tuple[Array, Mask]:
    """Shares of their hops (k,) at which the balls ``who`` first come down, and which of them do.

    ``above`` tells their height over the ground at given shares; ``first`` (k,) is that height over the
    share at take-off, where both vanish.
    """
    k = len(who)
    shares = FURTHER * np.arange(1, LOOKS + 1)[:, None] / LOOKS + np.zeros(k)
    gap = above(shares.ravel(), np.tile(who, LOOKS)).reshape(LOOKS, k) / shares
    under = gap <= 0.0
    comes, at, each = under.any(axis=0), under.argmax(axis=0), np.arange(k)
    high, f_high = shares[at, each], np.minimum(gap[at, each], 0.0)
    low = np.where(at > 0, shares[at - 1, each], 0.0)
    f_low = np.maximum(np.where(at > 0, gap[at - 1, each], first), 1e-12)
    share = falls(
        lambda part: above(part, who) / np.maximum(part, 1e-12), low, high, f_low, f_high,
        np.asarray(~comes | (f_high * high > -CLOSE)), lambda part, f: np.abs(f * part) < CLOSE,
    )  # fmt: skip
    return share, np.asarray(comes)
