"""A ground tilted a little more or less for each ball: what a golfer who is unsure of a slope may meet."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from shortgame_gui.physics.ground import NUDGE, Ground, hump_of, to_end, towards

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Tilted:
    """``ground`` with a slope of its own for each value of ``lane``, on lane ``below`` of ``ground``.

    As with the drawn green, the rise along the line begins at ``start`` m, ends at ``end`` m and leaves what
    lies beyond as much higher; the rise across goes on everywhere. The two corners are rounded by parabolas
    that reach ``rounding`` m to both sides, as those of `DrawnGround` are. Arrays are (lanes,).
    """

    ground: Ground
    below: Index
    along: Array
    """Rise over run along x."""
    across: Array
    """Rise over run along y."""
    start: Array
    end: Array
    rounding: float = 0.3

    @property
    def crest(self) -> float:
        """See `Ground`."""
        return self.ground.crest + float(np.abs(self.along).max()) / (2.0 * self.rounding)

    def _gone(self, x: Array, lane: Index) -> tuple[Array, Array]:
        """How much of the tilted stretch lies before ``x`` in m (n,), and the share of its slope there."""
        r = self.rounding
        way, share = np.zeros(x.shape), np.zeros(x.shape)
        for sign, at in ((1.0, self.start[lane]), (-1.0, self.end[lane])):
            part = np.clip((x - at + r) / (2.0 * r), 0.0, 1.0)
            way += sign * (r * part * part + np.maximum(x - at - r, 0.0))
            share += sign * part
        return way, share

    def height(self, x: Array, y: Array, lane: Index) -> Array:
        gone = self._gone(x, lane)[0] - self._gone(np.zeros(x.shape), lane)[0]
        rise = self.along[lane] * gone + self.across[lane] * y
        return np.asarray(self.ground.height(x, y, self.below[lane]) + rise)

    def slopes(self, x: Array, y: Array, lane: Index) -> tuple[Array, Array]:
        gx, gy = self.ground.slopes(x, y, self.below[lane])
        return gx + self.along[lane] * self._gone(x, lane)[1], gy + self.across[lane]

    def surface(self, x: Array, y: Array, lane: Index) -> Index:
        return self.ground.surface(x, y, self.below[lane])

    def one_surface(self, low: Array, high: Array, lane: Index) -> Mask:
        return self.ground.one_surface(low, high, self.below[lane])

    def unevenness(self, lane: Index) -> Array:
        return np.asarray(self.ground.unevenness(self.below[lane]) + np.abs(self.along[lane]))

    def hump(self, x0: Array, y0: Array, x1: Array, y1: Array, lane: Index) -> Array:
        mine = hump_of(np.abs(self.along[lane]), x0, y0, x1, y1)
        return np.asarray(self.ground.hump(x0, y0, x1, y1, self.below[lane]) + mine)

    def flat_between(self, x0: Array, x1: Array, lane: Index) -> Mask:
        low, high = np.minimum(x0, x1), np.maximum(x0, x1)
        corner = np.zeros(lane.shape, dtype=bool)
        for at in (self.start[lane], self.end[lane]):
            corner |= (low < at + self.rounding) & (high > at - self.rounding)
        level = self.along[lane] == 0.0
        return np.asarray(self.ground.flat_between(x0, x1, self.below[lane]) & (level | ~corner))

    def piece(self, place: Array, velocity: Array, rate: Array, lane: Index) -> tuple[Array, Mask]:
        left, flat = self.ground.piece(place, velocity, rate, self.below[lane])
        along, gain, level = velocity[0], rate[0], self.along[lane] == 0.0
        way = towards(along, gain)
        x = place[0] + np.copysign(NUDGE, way)
        for at in (self.start[lane], self.end[lane]):
            flat = flat & (level | (np.abs(x - at) >= self.rounding))
            for edge in (at - self.rounding, at + self.rounding):
                ahead = ((edge > x) == (way >= 0.0)) & ~level
                left = np.where(ahead, np.minimum(left, to_end(place[0], along, gain, edge, edge)), left)
        return left, np.asarray(flat)
