"""Height, slope and surface at any (x, y): the ground that balls fly over, bounce and roll on.

The ball starts at the origin; x runs towards the hole, y to the left, z up. One `Ground` may hold
several grounds at once (``lane`` says which one each ball is on), so that many situations share a batch.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import SurfaceRow

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]

SURFACES: tuple[str, ...] = (
    "green", "fringe", "fairway", "first_cut", "rough", "deep_rough", "bare", "sand", "water", "out",
)  # fmt: skip
GREEN, FRINGE = SURFACES.index("green"), SURFACES.index("fringe")
SAND, WATER, OUT = SURFACES.index("sand"), SURFACES.index("water"), SURFACES.index("out")
WIDE = 1e4
"""Half-width in m of a strip without edges."""


class Ground(Protocol):
    """What the simulator asks of any ground; ``lane`` (n,) says on which ground each ball is."""

    def height(self, x: Array, y: Array, lane: Index) -> Array:
        """Height in m (n,) at ``x``, ``y`` in m (n,)."""
        ...

    def slopes(self, x: Array, y: Array, lane: Index) -> tuple[Array, Array]:
        """Slopes dz/dx and dz/dy (n,), rise over run."""
        ...

    def surface(self, x: Array, y: Array, lane: Index) -> Index:
        """Index into `SURFACES` (n,)."""
        ...

    @property
    def level_between(self) -> bool:
        """True where no ground can rise into a flight between two points of a step (planes)."""
        ...


@dataclass(frozen=True)
class SurfaceArrays:
    """The surface rows of the coefficient table as arrays over `SURFACES`."""

    restitution: Array
    friction: Array
    tilt: Array
    scatter: Array
    slide: Array
    deceleration: Array
    grass: Array

    @classmethod
    def of(cls, rows: dict[str, SurfaceRow]) -> SurfaceArrays:
        """Arrays in the order of `SURFACES`; raises KeyError when a surface has no row."""
        return cls(*(np.array([getattr(rows[s], f) for s in SURFACES]) for f in cls.__dataclass_fields__))


@dataclass(frozen=True)
class Strip:
    """A rectangle of one surface: from ``start`` to ``end`` along x, ``left`` and ``right`` of the line."""

    surface: int
    start: float
    end: float
    left: float = WIDE
    right: float = WIDE


class DrawnGround:
    """A drawn side profile with rounded corners, a cross-slope, and strips of surface.

    Built from one or more drawings; each is (points, cross_slope, strips) with ``points`` a sequence of
    (x, height) in m, heights relative to the ball, and later strips on top of earlier ones. Corners are
    rounded by parabolas that reach ``rounding`` m to both sides, so that slopes have no jumps.
    """

    def __init__(
        self,
        drawings: list[tuple[list[tuple[float, float]], float, list[Strip]]],
        rounding: float = 0.3,
    ) -> None:
        pieces = [_rounded(points, rounding) for points, _, _ in drawings]
        most = max(len(p[0]) for p in pieces)
        count = len(drawings)
        self._start = np.full((count, most), np.inf)
        self._z = np.zeros((count, most))
        self._slope = np.zeros((count, most))
        self._bend = np.zeros((count, most))
        for g, (start, z, slope, bend) in enumerate(pieces):
            self._start[g, : len(start)] = start
            self._z[g, : len(z)] = z
            self._slope[g, : len(slope)] = slope
            self._bend[g, : len(bend)] = bend
        self._cross = np.array([cross for _, cross, _ in drawings], dtype=float)
        self._single = count == 1
        self._straight = most == 1
        strips = max(len(s) for _, _, s in drawings)
        self._kind = np.full((count, strips), -1, dtype=np.intp)
        self._box = np.zeros((4, count, strips))
        self._box[0], self._box[1] = np.inf, -np.inf
        for g, (_, _, layers) in enumerate(drawings):
            for b, strip in enumerate(layers):
                self._kind[g, b] = strip.surface
                # A hair's breadth makes the sides of a strip belong to it on both sides of the line alike.
                self._box[:, g, b] = strip.start, strip.end, -strip.right - 1e-9, strip.left + 1e-9
        if self._single:
            # Between the edges of all strips every cell has one surface: two searches and one look-up.
            self._x_edges = np.unique(self._box[:2, 0])
            self._y_edges = np.unique(self._box[2:, 0])
            x = np.concatenate([self._x_edges[:1] - 1.0, self._x_edges])
            y = np.concatenate([self._y_edges[:1] - 1.0, self._y_edges])
            at = np.meshgrid(x, y, indexing="ij")
            self._cells = self._look(at[0], at[1], self._box[:, 0], self._kind[0])

    @property
    def level_between(self) -> bool:
        return self._straight

    def _piece(self, x: Array, lane: Index) -> Index:
        if self._single:
            return np.asarray(np.maximum(np.searchsorted(self._start[0], x, side="right") - 1, 0))
        return np.asarray(np.maximum((x[:, None] >= self._start[lane]).sum(axis=1) - 1, 0))

    def height(self, x: Array, y: Array, lane: Index) -> Array:
        if self._straight:
            g = 0 if self._single else lane
            return np.asarray(self._slope[g, 0] * x + self._cross[g] * y)
        k = self._piece(x, lane)
        g = 0 if self._single else lane
        d = x - np.where(np.isfinite(self._start[g, k]), self._start[g, k], 0.0)
        return np.asarray(
            self._z[g, k] + d * (self._slope[g, k] + 0.5 * d * self._bend[g, k]) + self._cross[g] * y
        )

    def slopes(self, x: Array, y: Array, lane: Index) -> tuple[Array, Array]:
        g = 0 if self._single else lane
        cross = self._cross[g] + np.zeros_like(x)
        if self._straight:
            return self._slope[g, 0] + np.zeros_like(x), cross
        k = self._piece(x, lane)
        d = x - np.where(np.isfinite(self._start[g, k]), self._start[g, k], 0.0)
        return np.asarray(self._slope[g, k] + d * self._bend[g, k]), cross

    @staticmethod
    def _look(x: Array, y: Array, box: Array, kinds: Index) -> Index:
        """Surface by going through the strips ``box`` (4, strips[, n]) of ``kinds`` from the bottom up."""
        kind = np.zeros(x.shape, dtype=np.intp)
        for b in range(kinds.shape[0]):
            start, end, low, high = box[:, b]
            kind = np.where((x >= start) & (x < end) & (y >= low) & (y < high), kinds[b], kind)
        return kind

    def surface(self, x: Array, y: Array, lane: Index) -> Index:
        if self._single:
            i = np.searchsorted(self._x_edges, x, side="right")
            return np.asarray(self._cells[i, np.searchsorted(self._y_edges, y, side="right")])
        return self._look(x, y, np.moveaxis(self._box[:, lane], 1, 2), self._kind[lane].T)


def _rounded(points: list[tuple[float, float]], rounding: float) -> tuple[Array, Array, Array, Array]:
    """Pieces of a profile with rounded corners: start, height, slope and bend (second derivative) of each.

    The first piece starts at minus infinity and is a straight line through the origin of its own frame;
    outside the points the ground is level. Height is measured from the ground at x = 0.
    """
    if len(points) < 2 or len({z for _, z in points}) == 1:
        return np.array([-np.inf]), np.zeros(1), np.zeros(1), np.zeros(1)
    px = np.array([p[0] for p in points])
    pz = np.array([p[1] for p in points])
    grade = np.concatenate([[0.0], np.diff(pz) / np.diff(px), [0.0]])
    gap = np.concatenate([[np.inf], np.diff(px), [np.inf]])
    reach = np.minimum(rounding, 0.5 * np.minimum(gap[:-1], gap[1:]))
    start, slope, bend = [-np.inf], [0.0], [0.0]
    for k in range(len(px)):
        if grade[k] == grade[k + 1]:
            continue
        start += [px[k] - reach[k], px[k] + reach[k]]
        slope += [grade[k], grade[k + 1]]
        bend += [(grade[k + 1] - grade[k]) / (2.0 * reach[k]), 0.0]
    s, m, c = np.array(start), np.array(slope), np.array(bend)
    z = np.zeros(len(s))
    for k in range(2, len(s)):
        d = s[k] - s[k - 1]
        z[k] = z[k - 1] + d * (m[k - 1] + 0.5 * d * c[k - 1])
    k = max(int(np.searchsorted(s, 0.0, side="right")) - 1, 0)
    d = -s[k] if np.isfinite(s[k]) else 0.0
    z -= z[k] + d * (m[k] + 0.5 * d * c[k])
    return s, z, m, c


def plane(slope_along: float = 0.0, slope_across: float = 0.0, surface: str = "green") -> DrawnGround:
    """One endless plane of one surface; slopes are rise over run (z = slope_along x + slope_across y)."""
    ground = DrawnGround([([], slope_across, [Strip(SURFACES.index(surface), -WIDE, WIDE)])])
    ground._slope[0, 0] = slope_along
    return ground
