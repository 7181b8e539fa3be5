"""A ground seen along another line: x towards where a ball is played instead of towards the hole."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from shortgame_gui.physics.ground import Ground

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Turned:
    """Lane 0 of ``ground`` about the ball, turned by ``angle`` in rad to the left, (lanes,)."""

    ground: Ground
    angle: Array

    @property
    def crest(self) -> float:
        """See `Ground`."""
        return self.ground.crest

    def world(self, x: Array, y: Array, lane: Index) -> tuple[Array, Array]:
        """Places in the frame of ``ground``, in m (n,)."""
        c, s = np.cos(self.angle[lane]), np.sin(self.angle[lane])
        return c * x - s * y, s * x + c * y

    def height(self, x: Array, y: Array, lane: Index) -> Array:
        return self.ground.height(*self.world(x, y, lane), np.zeros_like(lane))

    def slopes(self, x: Array, y: Array, lane: Index) -> tuple[Array, Array]:
        gx, gy = self.ground.slopes(*self.world(x, y, lane), np.zeros_like(lane))
        c, s = np.cos(self.angle[lane]), np.sin(self.angle[lane])
        return c * gx + s * gy, c * gy - s * gx

    def surface(self, x: Array, y: Array, lane: Index) -> Index:
        return self.ground.surface(*self.world(x, y, lane), np.zeros_like(lane))

    def one_surface(self, low: Array, high: Array, lane: Index) -> Mask:
        corners = [self.world(x, y, lane) for x in (low[0], high[0]) for y in (low[1], high[1])]
        ends = np.array(corners)
        return self.ground.one_surface(ends.min(axis=0), ends.max(axis=0), np.zeros_like(lane))

    def unevenness(self, lane: Index) -> Array:
        return self.ground.unevenness(np.zeros_like(lane))

    def hump(self, x0: Array, y0: Array, x1: Array, y1: Array, lane: Index) -> Array:
        return self.ground.hump(*self.world(x0, y0, lane), *self.world(x1, y1, lane), np.zeros_like(lane))

    def flat_between(self, x0: Array, x1: Array, lane: Index) -> Mask:
        # Whatever y may be, only a ground that is one plane is surely flat along a turned line.
        return np.asarray(self.unevenness(lane) == 0.0)

    def piece(self, place: Array, velocity: Array, rate: Array, lane: Index) -> tuple[Array, Mask]:
        there, way, gain = (np.stack(self.world(v[0], v[1], lane)) for v in (place, velocity, rate))
        return self.ground.piece(there, way, gain, np.zeros_like(lane))
