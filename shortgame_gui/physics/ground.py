"""Height, slope and surface at any (x, y): the ground that balls fly over, bounce and roll on.

The ball starts at the origin; x runs towards the hole, y to the left, z up. One `Ground` may hold
several grounds at once (``lane`` says which one each ball is on), so that many situations share a batch.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import SurfaceRow

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

SURFACES: tuple[str, ...] = (
    "green", "fringe", "fairway", "first_cut", "rough", "deep_rough", "bare", "sand", "water", "out",
)  # fmt: skip
GREEN, FRINGE = SURFACES.index("green"), SURFACES.index("fringe")
SAND, WATER, OUT = SURFACES.index("sand"), SURFACES.index("water"), SURFACES.index("out")
WIDE = 1e4
"""Half-width in m of a strip without edges."""
NUDGE, PAST = 1e-5, 1e-3
"""Ways in m: ahead of a ball, at which it is looked in which piece of the ground it is; and past the end of a
piece, which a ball is let go so that it is surely in the next."""
TINY = 1e-300
"""Least number in place of 0, to divide by where the result is not wanted."""


class Ground(Protocol):
    """What the simulator asks of any ground; ``lane`` (n,) says on which ground each ball is."""

    @property
    def crest(self) -> float:
        """By how much the slope lessens over a metre at most, in 1/m; 0 where no ground bends down."""
        ...

    def height(self, x: Array, y: Array, lane: Index) -> Array:
        """Height in m (n,) at ``x``, ``y`` in m (n,)."""
        ...

    def slopes(self, x: Array, y: Array, lane: Index) -> tuple[Array, Array]:
        """Slopes dz/dx and dz/dy (n,), rise over run."""
        ...

    def surface(self, x: Array, y: Array, lane: Index) -> Index:
        """Index into `SURFACES` (n,); the places may be (k, n)."""
        ...

    def one_surface(self, low: Array, high: Array, lane: Index) -> Mask:
        """Whether the rectangles from ``low`` to ``high`` (2, n) in m surely hold one surface each (n,)."""
        ...

    def unevenness(self, lane: Index) -> Array:
        """Range of the ground's slope (n,): 0 for a plane."""
        ...

    def hump(self, x0: Array, y0: Array, x1: Array, y1: Array, lane: Index) -> Array:
        """By how much in m (n,) the ground may rise above its chord from ``x0``, ``y0`` to ``x1``, ``y1``.

        At a share u of the chord it rises by no more than 4 u (1 - u) times this, which tells the flight
        where it must look closely.
        """
        ...

    def flat_between(self, x0: Array, x1: Array, lane: Index) -> Mask:
        """Whether the ground is surely one plane from ``x0`` to ``x1`` in m (n,), whatever y."""
        ...

    def piece(self, place: Array, velocity: Array, rate: Array, lane: Index) -> tuple[Array, Mask]:
        """Time in s to the end of the piece of the ground at ``place`` in m, and whether it is a plane (n,).

        For balls whose ``velocity`` in m/s changes by ``rate`` in m/s2, all (2, n); who turns round is back
        where he is then. Within a piece heights are smooth; infinity where it has no end, or none that is
        known.
        """
        ...


def hump_of(unevenness: Array, x0: Array, y0: Array, x1: Array, y1: Array) -> Array:
    """What `Ground.hump` is at most (n,) where slopes differ by no more than ``unevenness`` (n,)."""
    dx, dy = x1 - x0, y1 - y0
    return np.asarray((0.25 * unevenness) * np.sqrt(dx * dx + dy * dy))


def towards(along: Array, gain: Array) -> Array:
    """What has the sign (n,) of where balls go ``along`` in m/s: at none, of what their speed ``gain``s."""
    return np.where(along == 0.0, gain, along)


def to_end(x: Array, along: Array, gain: Array, begin: Array, end: Array) -> Array:
    """Time in s (n,) until balls at ``x`` in m that go ``along`` in m/s are just past ``begin`` or ``end``.

    Their speed grows by ``gain`` in m/s2 on the way; who turns round first is let back to where he is.
    """
    back = towards(along, gain) < 0.0
    left = np.where(back, x - begin, end - x)
    far, speed, gain = np.isinf(left), np.abs(along), np.where(back, -gain, gain)
    left = np.where(far, 1.0, np.maximum(left, 0.0) + PAST)
    square = speed * speed + 2.0 * left * gain
    there = 2.0 * left / np.maximum(speed + np.sqrt(np.maximum(square, 0.0)), 1e-12)
    # However slowly a ball drifts along, what it takes to turn round is no shorter.
    there = np.where(square < 0.0, 2.0 * speed / np.maximum(-gain, TINY), there)
    return np.where(far, np.inf, there)


@dataclass(frozen=True)
class SurfaceArrays:
    """The surface rows of the coefficient table as arrays over `SURFACES`."""

    restitution: Array
    friction: Array
    tilt: Array
    scatter: Array
    uneven: Array
    roughness: Array
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


class Plane:
    """Endless planes of one surface each, one per lane value: z = along x + across y."""

    crest = 0.0

    def __init__(self, along: Sequence[float], across: Sequence[float], surface: Sequence[int]) -> None:
        self._along = np.array(along, dtype=float)
        self._across = np.array(across, dtype=float)
        self._surface = np.array(surface, dtype=np.intp)

    def height(self, x: Array, y: Array, lane: Index) -> Array:
        return np.asarray(self._along[lane] * x + self._across[lane] * y)

    def slopes(self, x: Array, y: Array, lane: Index) -> tuple[Array, Array]:
        return self._along[lane], self._across[lane]

    def surface(self, x: Array, y: Array, lane: Index) -> Index:
        return np.asarray(self._surface[lane] + np.zeros(x.shape, dtype=np.intp))

    def one_surface(self, low: Array, high: Array, lane: Index) -> Mask:
        return np.ones(lane.shape, dtype=bool)

    def unevenness(self, lane: Index) -> Array:
        return np.zeros(lane.shape)

    def hump(self, x0: Array, y0: Array, x1: Array, y1: Array, lane: Index) -> Array:
        return np.zeros(lane.shape)

    def flat_between(self, x0: Array, x1: Array, lane: Index) -> Mask:
        return np.ones(lane.shape, dtype=bool)

    def piece(self, place: Array, velocity: Array, rate: Array, lane: Index) -> tuple[Array, Mask]:
        return np.full(lane.shape, np.inf), np.ones(lane.shape, dtype=bool)


def plane(slope_along: float = 0.0, slope_across: float = 0.0, surface: str = "green") -> Plane:
    """One endless plane of one surface; slopes are rise over run (z = slope_along x + slope_across y)."""
    return Plane([slope_along], [slope_across], [SURFACES.index(surface)])


class DrawnGround:
    """A drawn side profile with rounded corners, a cross-slope, and strips of surface.

    Built from one or more drawings; each is (points, cross_slope, strips): ``points`` a sequence of
    (x, height) in m with x rising (ValueError otherwise), level before the first and beyond the last and
    shifted so that the ball lies at height 0; ``strips`` (one at least, ValueError otherwise) with later
    ones on top of earlier ones, and the first one's surface also wherever no strip lies. Corners are
    rounded by parabolas that reach ``rounding`` m to both sides, so that slopes have no jumps.
    """

    def __init__(
        self,
        drawings: Sequence[tuple[Sequence[tuple[float, float]], float, Sequence[Strip]]],
        rounding: float = 0.3,
    ) -> None:
        pieces = [_rounded(points, rounding) for points, _, _ in drawings]
        most = max(len(p[0]) for p in pieces)
        count = len(drawings)
        self._start = np.full((count, most), np.inf)
        # Height, slope and bend (second derivative) of each piece at its base; the first piece has no start.
        self._base, self._z, self._slope, self._bend = (np.zeros((count, most)) for _ in range(4))
        for g, (start, z, slope, bend) in enumerate(pieces):
            k = slice(0, len(start))
            self._start[g, k], self._z[g, k], self._slope[g, k], self._bend[g, k] = start, z, slope, bend
            self._base[g, 1 : len(start)] = start[1:]
        self._cross = np.array([cross for _, cross, _ in drawings], dtype=float)
        self._uneven = np.ptp(self._slope, axis=1)
        self._single, self._level = count == 1, most == 1
        self.bare = self._level and not self._cross.any()
        """Whether all of it is level."""
        strips = max(len(s) for _, _, s in drawings)
        self._kind = np.zeros((count, strips), dtype=np.intp)
        self._box = np.zeros((4, count, strips))
        self._box[0], self._box[1] = np.inf, -np.inf
        for g, (_, _, layers) in enumerate(drawings):
            if not layers:
                raise ValueError("a drawing needs one strip of surface at least")
            for b, strip in enumerate(layers):
                self._kind[g, b] = strip.surface
                # A hair's breadth makes the sides of a strip belong to it on both sides of the line alike.
                self._box[:, g, b] = strip.start, strip.end, -strip.right - 1e-9, strip.left + 1e-9
        # Between the edges of all strips of all grounds every cell has one surface: searches and one look-up.
        self._x_edges, self._y_edges = np.unique(self._box[:2]), np.unique(self._box[2:])
        x = np.concatenate([self._x_edges[:1] - 1.0, self._x_edges])
        y = np.concatenate([self._y_edges[:1] - 1.0, self._y_edges])
        x, y = np.meshgrid(x, y, indexing="ij")
        cells = np.stack([self._look(x, y, self._box[:, g], self._kind[g]) for g in range(count)])
        self._cells, (_, self._x_cells, self._y_cells) = cells.ravel(), cells.shape
        # The same along the profiles: where every piece of any of them begins, and height, slope and half the
        # bend between, each reckoned from x = 0.
        self._breaks = np.unique(self._start[:, 1:][np.isfinite(self._start[:, 1:])])
        inside = np.concatenate([[-np.inf], self._breaks])
        piece = (inside[None, :, None] >= self._start[:, None, :]).sum(axis=2) - 1
        ground = np.arange(count)[:, None]
        base, z, slope, bend = (
            a[ground, piece].ravel() for a in (self._base, self._z, self._slope, self._bend)
        )
        self._at_0, self._slope_at_0 = z - base * (slope - 0.5 * base * bend), slope - base * bend
        ends = np.concatenate([self._start[:, 1:], np.full((count, 1), np.inf)], axis=1)
        self._begin, self._end = self._start[ground, piece].ravel(), ends[ground, piece].ravel()
        self._half_bend, self._flat, self._piece = 0.5 * bend, bend == 0.0, (ground * most + piece).ravel()
        self._number, self._most = piece.ravel(), most
        self._falls, self._crest = self._bent()
        self.crest = max(0.0, -float(self._bend.min()))

    def _bent(self) -> tuple[Array, Array]:
        """From any piece of each profile to any other: a quarter of how much less slopes are further on at
        most, and an eighth of how much they lessen a metre; raveled (grounds, pieces, pieces)."""
        count, most = self._start.shape
        ends = np.where(np.isfinite(self._start), self._start, 0.0)
        # Only pieces that have an end bend, and the last of them has none.
        first, last = self._slope, self._slope.copy()
        last[:, :-1] += self._bend[:, :-1] * (ends[:, 1:] - ends[:, :-1])
        falls, crest = np.zeros((2, count, most, most))
        for i in range(most):
            high = np.maximum(first[:, i], last[:, i])
            most_so_far, fall, bend = high, np.maximum(first[:, i] - last[:, i], 0.0), -self._bend[:, i]
            for j in range(i, most):
                bend = np.maximum(bend, -self._bend[:, j])
                if j > i:
                    fall = np.maximum(fall, most_so_far - np.minimum(first[:, j], last[:, j]))
                    fall = np.maximum(fall, first[:, j] - last[:, j])
                    most_so_far = np.maximum(most_so_far, np.maximum(first[:, j], last[:, j]))
                falls[:, i, j], crest[:, i, j] = 0.25 * fall, 0.125 * bend
        return falls.ravel(), np.maximum(crest, 0.0).ravel()

    def _stretch(self, x: Array, lane: Index) -> Index:
        """Which piece of which profile, as a number in the arrays of all of them."""
        at = self._breaks.searchsorted(x, side="right")
        return at if self._single else at + lane * (len(self._breaks) + 1)

    def _slope_across(self, lane: Index) -> Array | np.float64:
        return self._cross[0] if self._single else self._cross.take(lane)

    def height(self, x: Array, y: Array, lane: Index) -> Array:
        rise = self._slope_across(lane) * y
        if not self._level:
            k = self._stretch(x, lane)
            rise += self._at_0.take(k) + x * (self._slope_at_0.take(k) + x * self._half_bend.take(k))
        return np.asarray(rise)

    def slopes(self, x: Array, y: Array, lane: Index) -> tuple[Array, Array]:
        across = self._slope_across(lane) + np.zeros(x.shape)
        if self._level:
            return np.zeros(x.shape), across
        k = self._stretch(x, lane)
        return np.asarray(self._slope_at_0.take(k) + (2.0 * x) * self._half_bend.take(k)), across

    def unevenness(self, lane: Index) -> Array:
        return np.asarray(self._uneven.take(lane))

    def hump(self, x0: Array, y0: Array, x1: Array, y1: Array, lane: Index) -> Array:
        if self._level:
            return np.zeros(x0.shape)
        # Along y the profile is straight.
        first, last = self._stretch(np.minimum(x0, x1), lane), self._stretch(np.maximum(x0, x1), lane)
        at = self._piece.take(first) * self._most + self._number.take(last)
        far = np.abs(x1 - x0)
        return np.asarray(far * np.minimum(self._falls.take(at), far * self._crest.take(at)))

    def flat_between(self, x0: Array, x1: Array, lane: Index) -> Mask:
        if self._level:
            return np.ones(x0.shape, dtype=bool)
        start, end = self._stretch(x0, lane), self._stretch(x1, lane)
        return np.asarray((self._piece.take(start) == self._piece.take(end)) & self._flat.take(start))

    def piece(self, place: Array, velocity: Array, rate: Array, lane: Index) -> tuple[Array, Mask]:
        x, along, gain = place[0], velocity[0], rate[0]
        if self._level:
            return np.full(x.shape, np.inf), np.ones(x.shape, dtype=bool)
        k = self._stretch(x + np.copysign(NUDGE, towards(along, gain)), lane)
        return to_end(x, along, gain, self._begin.take(k), self._end.take(k)), self._flat.take(k)

    @staticmethod
    def _look(x: Array, y: Array, box: Array, kinds: Index) -> Index:
        """Surface by going through the strips ``box`` (4, strips) of ``kinds`` from the bottom up."""
        kind = kinds[0] + np.zeros(x.shape, dtype=np.intp)
        for b in range(len(kinds)):
            start, end, low, high = box[:, b]
            kind = np.where((x >= start) & (x < end) & (y >= low) & (y < high), kinds[b], kind)
        return np.asarray(kind)

    def surface(self, x: Array, y: Array, lane: Index) -> Index:
        return self._surface_of(*self._cell(x, y), lane)

    def _cell(self, x: Array, y: Array) -> tuple[Index, Index]:
        """Numbers of the cells between the lines of all strips' edges, along and across."""
        return self._x_edges.searchsorted(x, side="right"), self._y_edges.searchsorted(y, side="right")

    def _surface_of(self, i: Index, j: Index, lane: Index) -> Index:
        cell = i * self._y_cells + j
        return np.asarray(
            self._cells.take(cell if self._single else cell + lane * (self._x_cells * self._y_cells))
        )

    def one_surface(self, low: Array, high: Array, lane: Index) -> Mask:
        (i0, j0), (i1, j1) = self._cell(*low), self._cell(*high)
        same = (i0 == i1) & (j0 == j1)
        if np.count_nonzero(same) < same.size:
            # An edge goes on as a line where it bounds nothing; of two cells each way the corners tell all.
            some = (~same & (i1 - i0 < 2) & (j1 - j0 < 2)).nonzero()
            i0, j0, i1, j1, lane = (np.broadcast_to(a, same.shape)[some] for a in (i0, j0, i1, j1, lane))
            kind = self._surface_of(i0, j0, lane)
            others = (self._surface_of(i, j, lane) == kind for i, j in ((i0, j1), (i1, j0), (i1, j1)))
            same[some] = np.logical_and.reduce(list(others))
        return np.asarray(same)


def _rounded(points: Sequence[tuple[float, float]], rounding: float) -> tuple[Array, Array, Array, Array]:
    """Pieces of a profile with rounded corners: start, height, slope and bend (second derivative) of each.

    The first piece starts at minus infinity and is level, with its height given at x = 0 were it to reach
    there; outside the points the ground is level. Height is measured from the ground at x = 0.
    """
    px = np.array([p[0] for p in points])
    pz = np.array([p[1] for p in points])
    if np.any(np.diff(px) <= 0.0):
        raise ValueError("the points of a profile must lie one beyond the other")
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
    k = int(np.searchsorted(s, 0.0, side="right")) - 1
    d = -s[k] if k else 0.0
    z -= z[k] + d * (m[k] + 0.5 * d * c[k])
    return s, z, m, c
