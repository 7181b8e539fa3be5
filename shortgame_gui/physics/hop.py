"""A hop between two bounces: so short and slow that air bends its way but little.

The forces are taken along the way that the ball would have without air, at take-off, half time and landing,
and are a parabola in time; for the longer ones once more along the way thus found. The landing on
a plane then needs no search; over bent ground it is looked for on that way. This agrees with `flight` to a
millimetre or two (tested). Other leaps are left to those.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import AirTable, Ball, Flight
from shortgame_gui.physics.arc import height
from shortgame_gui.physics.falling import falls
from shortgame_gui.physics.flight import Landing, Path, Points
from shortgame_gui.physics.forces import Air, Forces
from shortgame_gui.physics.ground import Ground
from shortgame_gui.physics.obstacles import CLEAR, Obstacles

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

FASTEST, MOST = 9.0, 24.0
"""Speed in m/s, and product of it and the vertical speed, up to which a leap is a hop."""
MILD = 7.0
"""The same product for hops whose forces need no second look."""
TIMES = np.array([0.0, 0.5, 1.0])[:, None, None]
"""Where forces are taken, over the duration of the hop."""
LONGEST, LONGER = 1.0, 1.5
"""Time in s, and share of the time in vacuum, up to which a leap is a hop."""
FURTHER = 1.3
"""Share of the hop over a plane up to which it is followed over bent ground."""
LOOKS = 10
"""Points of a hop over bent ground at which it is looked whether it has come down."""
DRAWN = np.array([0.25, 0.5, 0.75])[:, None]
"""Shares of a traced hop at which points of it are told."""
CLOSE = 1e-7
"""Height in m, over the share of the hop, at which a landing on bent ground counts as met."""


def slow(velocity: Array, most: float = MOST) -> Mask:
    """Which balls leave the ground with a ``velocity`` in m/s (3, n) that only makes them hop."""
    square = np.add.reduce(velocity * velocity)
    rise = velocity[2]
    return np.asarray((square < FASTEST * FASTEST) & (square * (rise * rise) < most * most))


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
    obstacles: Obstacles | None = None,
) -> tuple[Landing, Mask]:
    """Move n balls that are `slow` to their next landing; arguments as in `flight.fly`.

    Also returns which of them (n,) only hop, with none of the ``obstacles`` in reach; what is said of the
    others is void.
    """
    n = len(lane)
    state = np.empty((4, n))
    state[:3] = velocity
    state[3] = omega = np.sqrt(np.add.reduce(spin * spin))
    per = 1.0 / np.maximum(omega, 1e-12)
    forces = Forces(spin * per, air, ball, air_table, table)
    gx, gy = ground.slopes(position[0], position[1], lane)
    climb = velocity[2] - gx * velocity[0] - gy * velocity[1]
    time = vacuum = np.maximum((2.0 / forces.gravity) * climb, 0.0)
    states = np.empty((3, 4, n))
    states[:] = state
    fallen = np.zeros((3, n))
    np.multiply(time, -forces.gravity, out=fallen[2])
    states[:, :3] += TIMES * fallen
    above = TIMES[:, 0] * (1.0 - TIMES[:, 0]) * (climb * time) if forces.windy else None
    rates = forces(states, above)
    time = _landing(climb, time, rates, gx, gy)
    fast = (~slow(velocity, MILD)).nonzero()[0]
    if len(fast):
        # Once more where the ball really is at half time and at landing.
        t, r, up = time[fast], rates.take(fast, axis=2), None if above is None else above[1:, fast]
        later = np.empty((2, 4, len(fast)))
        later[:] = state[:, fast]
        later[0] += t * ((5.0 / 24.0) * r[0] + (1.0 / 3.0) * r[1] - (1.0 / 24.0) * r[2])
        later[1] += t * ((1.0 / 6.0) * (r[0] + r[2]) + (2.0 / 3.0) * r[1])
        r[1:] = forces.take(fast)(later, up)
        time[fast], rates[:, :, fast] = _landing(climb[fast], t, r, gx[fast], gy[fast]), r
    once, twice = _weighed(rates)
    place, end = position + time * (velocity + time * twice[:3]), state + time * once
    # Of a ball that is carried on and on, by lift or the wind, this knows nothing.
    sure = time < np.minimum(LONGER * vacuum, LONGEST)
    lands = sure & ground.flat_between(position[0], place[0], lane)
    if np.count_nonzero(lands) < n or path is not None or obstacles is not None:
        way = _Way(position, velocity, state, rates, time, lane)
        bent = (sure & ~lands).nonzero()[0]
        if len(bent):
            over = way.take(bent)
            share, comes = over.down(ground, (climb * time)[bent])
            # The ways keep the time that they are reckoned by.
            time = time.copy()
            time[bent] *= share
            lands[bent] = comes & (time[bent] < LONGEST)
            place[:, bent], end[:, bent] = over.place(share), over.moving(share)
        if obstacles is not None:
            lands &= ~obstacles.between(position[0], place[0])
        if path is not None and ids is not None and clock is not None:
            who = lands.nonzero()[0]
            path.later(ids[who], way.drawn(who, clock, time))
    place[2] = ground.height(place[0], place[1], lane)
    weight = np.maximum(-0.5 * (rates[0, 2] + rates[1, 2]), 1.0)
    up = np.minimum(np.maximum(velocity[2] / weight, 0.0), time)
    apex = position[2] + up * (velocity[2] - 0.5 * up * weight)
    spun = spin * (np.maximum(end[3], 0.0) * per)
    met = np.full(n, CLEAR, dtype=np.intp)
    return Landing(place, end[:3], spun, time, np.maximum(apex, place[2]), met), lands


def _weighed(rates: Array) -> tuple[Array, Array]:
    """What ``rates`` (3, ...) make of the speed and, with the time once more, of the way (Simpson's rule).

    As sums, since OpenBLAS splits such a product among threads, which costs more than it saves.
    """
    first, middle, last = rates
    twice = (1.0 / 6.0) * first + (1.0 / 3.0) * middle
    return twice + ((1.0 / 3.0) * middle + (1.0 / 6.0) * last), twice


def _landing(climb: Array, time: Array, rates: Array, gx: Array, gy: Array) -> Array:
    """Time in s (n,) of the landing on the plane through the take-off, by one step of Newton's rule."""
    off = rates[:, 2] - gx * rates[:, 0] - gy * rates[:, 1]
    once, twice = _weighed(off)
    left, sink = climb + time * twice, climb + time * once
    return np.asarray(time * (1.0 - left / np.minimum(sink, -1e-6)))


class _Way:
    """The way of n hops at any share of their ``time``, by forces that are a parabola in time."""

    def __init__(
        self, position: Array, velocity: Array, state: Array, rates: Array, time: Array, lane: Index
    ) -> None:
        self.all = position, velocity, state, rates, time, lane
        self.position, self.velocity, self.state, (self.rate, _, _), self.time, self.lane = self.all

    @cached_property
    def linear(self) -> Array:
        """Coefficient of the share in the forces (4, n)."""
        first, middle, last = self.all[3]
        return np.asarray(4.0 * middle - 3.0 * first - last)

    @cached_property
    def square(self) -> Array:
        """Coefficient of its square (4, n)."""
        first, middle, last = self.all[3]
        return np.asarray(2.0 * (first - 2.0 * middle + last))

    def take(self, index: Index) -> _Way:
        """The ways of the hops in ``index``."""
        position, velocity, state, rates, time, lane = self.all
        return _Way(
            position[:, index],
            velocity[:, index],
            state[:, index],
            rates[..., index],
            time[index],
            lane[index],
        )

    def place(self, share: Array) -> Array:
        """Place in m (3, n), or (3, k, n) for k shares of each."""
        rows = (self.position, self.velocity, self.rate[:3], self.linear[:3], self.square[:3])
        start, speed, rate, linear, square = (a[:, None] for a in rows) if share.ndim == 2 else rows
        t = share * self.time
        return np.asarray(
            start + t * (speed + t * (0.5 * rate + share * (linear / 6.0 + share / 12.0 * square)))
        )

    def moving(self, share: Array) -> Array:
        """Velocity and spin rate (4, n), or (4, k, n)."""
        rows = (self.state, self.rate, self.linear, self.square)
        start, rate, linear, square = (a[:, None] for a in rows) if share.ndim == 2 else rows
        return np.asarray(start + share * self.time * (rate + share * (0.5 * linear + share / 3.0 * square)))

    def drawn(self, who: Index, clock: Array, time: Array) -> Callable[[Index], Points]:
        """What draws the hops of the balls ``who``, which begin at ``clock`` and last ``time`` in s (n,)."""

        def drawn(some: Index) -> Points:
            mine = who[some]
            way, whole = self.take(mine), time[mine] / self.time[mine]
            place, gait = way.place(DRAWN * whole), way.moving(DRAWN * whole)[:3]
            when = clock[mine] + DRAWN * time[mine]
            which = np.tile(np.arange(len(some)), len(DRAWN))
            return which, when.ravel(), place.reshape(3, -1), gait.reshape(3, -1)

        return drawn

    def down(self, ground: Ground, first: Array) -> tuple[Array, Mask]:
        """Shares (n,) at which they first come down, and which of them do.

        ``first`` (n,) is the height over the ground over the share at take-off, where both vanish.
        """

        def above(share: Array) -> Array:
            place = self.place(share)
            return np.asarray((place[2] - height(ground, place, self.lane)) / np.maximum(share, 1e-12))

        each = np.arange(len(first))
        shares = FURTHER * np.arange(1, LOOKS + 1)[:, None] / LOOKS + np.zeros(len(first))
        gap = above(shares)
        under = gap <= 0.0
        comes, at = under.any(axis=0), under.argmax(axis=0)
        high, f_high = shares[at, each], np.minimum(gap[at, each], 0.0)
        low = np.where(at > 0, shares[at - 1, each], 0.0)
        f_low = np.maximum(np.where(at > 0, gap[at - 1, each], first), 1e-12)
        guess = low + (high - low) * f_low / (f_low - f_high)
        return falls(above, low, high, np.where(comes, f_high, 0.0), guess, CLOSE), np.asarray(comes)
