"""A stretch of a ball's way through the air, found at once as polynomials in time.

The forces on a ball change slowly along its flight. So their values at a few points of the whole stretch
(Lobatto's) are taken for a polynomial in time; its integral gives better velocities at those points, these
better forces, and so on: Picard's iteration, as C. W. Clenshaw and H. J. Norton do it for ordinary
differential equations (Comput. J. 6:88, 1963; value from memory). Each round takes most of what error there
is, all points of all balls are worked out together, and the whole way is known in the end, not only its ends.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cached_property

import numpy as np
import numpy.typing as npt
from numpy.polynomial import legendre

from shortgame_gui.physics.forces import Forces
from shortgame_gui.physics.ground import Ground

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

MARGIN, MARGIN_BENT = 1.005, 1.02
"""Duration of a stretch that shall reach the ground, over the time in which it is reckoned to; and where the
ground bends, and so may lie lower there than the last look told."""
BLOCK = 200_000
"""Products of numbers in a product of matrices at most."""
LESS, MORE = 0.7, 1.6
"""Bounds of what a round may change a duration by."""


@dataclass(frozen=True)
class Rule:
    """How finely a stretch is worked out: by the forces at ``points`` points, in ``rounds`` rounds."""

    points: int
    rounds: int

    @cached_property
    def nodes(self) -> Array:
        """Shares of the stretch at which forces are taken (points,), both ends among them."""
        inner = legendre.legroots(legendre.legder([0.0] * (self.points - 1) + [1.0]))
        return 0.5 * (np.concatenate([[-1.0], inner, [1.0]]) + 1.0)

    @cached_property
    def powers(self) -> Array:
        """Values at the nodes -> coefficients over the powers of the share, (points, points)."""
        return np.asarray(np.linalg.inv(np.vander(self.nodes, increasing=True)))

    @cached_property
    def gains(self) -> Array:
        """Values at the nodes -> coefficients of their integral over its powers of the share."""
        return np.asarray(self.powers / np.arange(1, self.points + 1)[:, None])

    @cached_property
    def again(self) -> Array:
        """What a second integral makes of those, (points, 1, 1)."""
        return 1.0 / np.arange(2, self.points + 2)[:, None, None]

    def _integral(self, times: int) -> Array:
        k = np.arange(self.points)
        part = self.nodes[:, None] ** (k + times) / (k + 1)
        return np.asarray((part / (k + 2) if times == 2 else part) @ self.powers)

    @cached_property
    def once(self) -> Array:
        """Values at the nodes -> their integral up to each of them, (points, points)."""
        return self._integral(1)

    @cached_property
    def twice(self) -> Array:
        """The same for the integral of the integral."""
        return self._integral(2)

    @cached_property
    def whole(self) -> Array:
        """Values at the nodes -> their integral over the stretch, and the integral of that, (2, points)."""
        return np.stack([self.once[-1], self.twice[-1]])


@dataclass(frozen=True)
class Arc:
    """Stretches of the ways of n balls, arrays end in (n,); a share goes from 0 at the start to 1 at the end.

    Shares that are asked for are a number or (n,), for one place of each ball, or (k, n) for k of them; then
    answers end in (k, n) as well.
    """

    start: Array
    """Place in m, (3, n)."""
    state0: Array
    """Velocity in m/s and spin rate in rad/s at the start, (4, n)."""
    way: Array
    """Coefficients of the place over the powers of the share from the first on, (points + 1, 3, n)."""
    gain: Array
    """The same of velocity and spin rate, (points, 4, n)."""
    place1: Array
    """Place in m at the end, (3, n)."""
    state1: Array
    """Velocity and spin rate at the end, (4, n)."""
    rate1: Array
    """Rate of change of the state at the end, (4, n)."""
    dt: Array
    """Duration in s, (n,)."""
    lane: Index

    def take(self, index: Index) -> Arc:
        """The stretches of the balls in ``index``."""
        return Arc(*(getattr(self, name).take(index, axis=-1) for name in _ARC))

    def place(self, share: Array | float) -> Array:
        """Place in m (3, n)."""
        return _sum(self.start, self.way, share)

    def state(self, share: Array | float) -> Array:
        """Velocity and spin rate (4, n)."""
        return _sum(self.state0, self.gain, share)

    def high(self, share: Array) -> Array:
        """Height in m (n,)."""
        return _sum(self.start[2], self.way[:, 2], share)

    def rising(self, share: Array) -> Array:
        """Vertical speed in m/s (n,)."""
        return _sum(self.state0[2], self.gain[:, 2], share)

    def above(self, share: Array | float, ground: Ground) -> Array:
        """Height over the ground in m (n,)."""
        place = self.place(share)
        return np.asarray(place[2] - height(ground, place, self.lane))


_ARC = tuple(f.name for f in fields(Arc))


def height(ground: Ground, place: Array, lane: Index) -> Array:
    """Height of the ground in m at ``place`` (3, n) or (3, k, n), for n balls."""
    x, y = place[0], place[1]
    if x.ndim == 1:
        return ground.height(x, y, lane)
    return ground.height(x.ravel(), y.ravel(), np.concatenate((lane,) * len(x))).reshape(x.shape)


def _sum(first: Array, powers: Array, share: Array | float) -> Array:
    """``first`` (..., n) plus the sum of ``powers`` (terms, ..., n) times powers of the ``share``."""
    if np.ndim(share) == 2:
        first, powers = first[..., None, :], powers[..., None, :]
    total = powers[-1] * share
    for term in powers[-2::-1]:
        total += term
        total *= share
    total += first
    return np.asarray(total)


def weighed(weights: Array, values: Array) -> Array:
    """``weights`` (k, points) times each of the ``values`` (..., points, n): (..., k, n).

    In blocks, as OpenBLAS splits larger products among threads, which costs more than it saves.
    """
    n, block = values.shape[-1], BLOCK // weights.size
    if n <= block:
        return np.asarray(np.matmul(weights, values))
    product = np.empty((*values.shape[:-2], len(weights), n))
    for first in range(0, n, block):
        some = slice(first, first + block)
        np.matmul(weights, values[..., some], out=product[..., some])
    return product


def arcs(
    forces: Forces,
    place: Array,
    state: Array,
    rate: Array,
    dt: Array,
    most: Array,
    ground: Ground,
    lane: Index,
    rule: Rule,
) -> Arc:
    """The stretches of n balls from ``place`` in m (3, n) on, by the ``rule``.

    ``state`` is velocity and spin rate (4, n) there, ``rate`` what it changes by a second at first guess; the
    stretches last ``dt`` in s (n,). Where ``most`` in s (n,) is not 0 they are made just long enough to reach
    the ground, but no longer than that; this does not promise that the balls will land.
    """
    count, n = rule.points, len(dt)
    rates = np.empty((4, count, n))
    # The force at half time stands for all to begin with.
    half = 0.5 * dt
    begun = state + half * rate
    x, y, z = place + half * state[:3] + (0.5 * half * half) * rate[:3]
    rates[:] = forces(begun, z - ground.height(x, y, lane) if forces.windy else None)[:, None]
    lands = most > 0.0
    many = np.count_nonzero(lands)
    margin = np.where(ground.unevenness(lane) > 0.0, MARGIN_BENT, MARGIN)
    for number in range(rule.rounds):
        # In the last round the duration stays: the forces would not be those of the new places.
        if many and number < rule.rounds - 1:
            fitted = _fitted(place, state, rates, dt, forces.gravity, ground, lane, rule)
            if number == rule.rounds - 2:
                fitted *= margin
            fitted = np.minimum(fitted, most)
            dt = fitted if many == n else np.where(lands, fitted, dt)
        above = None
        if forces.windy:
            ways = weighed(rule.twice, rates[:3])
            ways *= dt * dt
            ways += (rule.nodes[:, None] * dt) * state[:3, None]
            ways += place[:, None]
            above = ways[2] - height(ground, ways, lane)
        moving = weighed(rule.once, rates)
        moving *= dt
        moving += state[:, None]
        # What acts at the start stays the same.
        first = 1 if number else 0
        rates[:, first:] = forces(moving[:, first:], None if above is None else above[first:])
    gain = np.empty((count, 4, n))
    np.multiply(weighed(rule.gains, rates).transpose(1, 0, 2), dt, out=gain)
    way = np.empty((count + 1, 3, n))
    np.multiply(state[:3], dt, out=way[0])
    np.multiply(gain[:, :3], dt, out=way[1:])
    way[1:] *= rule.again
    ends = place + way.sum(axis=0), state + gain.sum(axis=0)
    return Arc(place, state, way, gain, *ends, rates[:, -1], dt, lane)


def _fitted(
    place: Array,
    state: Array,
    rates: Array,
    dt: Array,
    gravity: float,
    ground: Ground,
    lane: Index,
    rule: Rule,
) -> Array:
    """``dt`` (n,) made such that the stretch ends on the ground, by Newton's rule.

    ``rates`` (4, points, n) are those at the nodes as they are known so far.
    """
    speed, way = weighed(rule.whole, rates).transpose(1, 0, 2)
    x, y, z = place + dt * (state[:3] + dt * way[:3])
    vx, vy, vz = state[:3] + dt * speed[:3]
    gap, (gx, gy) = z - ground.height(x, y, lane), ground.slopes(x, y, lane)
    # A ball that is still on its way up is not taken at its word.
    sink = np.maximum(gx * vx + gy * vy - vz, (0.2 * gravity) * dt)
    return np.asarray(dt * np.minimum(np.maximum(1.0 + gap / (sink * dt), LESS), MORE))
