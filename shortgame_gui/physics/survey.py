"""Ground from a survey: a grid of heights turned smooth, with the drawn ground's strips and slopes on top.

Between the heights runs a bicubic surface (E. Catmull, R. Rom, "A class of local interpolating splines",
1974, along both axes): it meets every height, is exact where heights are linear or quadratic in place, and
its slopes have no jumps, which a ball would feel at every edge of a bilinear cell.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.survey import HeightGrid
from shortgame_gui.physics.ground import DrawnGround

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

MARGIN = 60.0
"""How far round ball and hole the grid is looked at, in m; the ground is level further out."""
MOST_CELLS = 200_000
"""Cells of the part that is looked at (36 MB); a finer grid is averaged over blocks first."""
BEYOND = 4
"""Rows and columns of level ground put round the grid: one that goes on as the last ones do, then level."""
HALVES = np.array([1.0, 2.0, 4.0, 8.0, 16.0])
"""Half widths in cells of the squares round each cell in which it is known how much the surface bends."""
SUM_OF_WEIGHTS = 1.25
"""Greatest sum of the sizes of the four weights of the curve (at half way)."""
#: Heights of four neighbours -> coefficients of the curve between the second and the third.
CURVE = 0.5 * np.array(
    [[0.0, 2.0, 0.0, 0.0], [-1.0, 0.0, 1.0, 0.0], [2.0, -5.0, 4.0, -1.0], [-1.0, 3.0, -3.0, 1.0]]
)


@dataclass(frozen=True)
class _Relief:
    """The part of a grid that matters as one polynomial a cell, with level ground round it."""

    powers: Array
    """Coefficients (16, cells) over the powers of the share passed of a cell northwards, then eastwards."""
    rows: int
    columns: int
    """Cells in a row and rows of cells."""
    x0: float
    y0: float
    """Where the first cell begins, in m."""
    spacing: float
    uneven: float
    """No two slopes of the surface, in any direction, differ by more."""
    bend: Array
    """An eighth of what the slope changes a metre at most, 1/m, in the squares of `HALVES`, then anywhere:
    (6 cells,)."""


@lru_cache(maxsize=4)
def _relief(grid: HeightGrid, rows: tuple[int, int], columns: tuple[int, int]) -> _Relief:
    """The relief of some rows and columns; kept, because views and advice ask for it again and again."""
    z = _filled(grid.heights)[slice(*rows), slice(*columns)]
    z = z - z.mean()  # heights above the sea would cost digits
    block = max(1, int(np.ceil(np.sqrt(z.size / MOST_CELLS))))
    x0 = grid.x0 + (columns[0] + 0.5 * (block - 1)) * grid.spacing
    y0 = grid.y0 + (rows[0] + 0.5 * (block - 1)) * grid.spacing
    spacing = block * grid.spacing
    up, across = (length // block for length in z.shape)
    z = z[: up * block, : across * block].reshape(up, block, across, block).mean(axis=(1, 3))
    z = np.pad(z, 1, mode="reflect", reflect_type="odd")
    z = np.pad(z, BEYOND - 1, mode="edge")
    up_range, across_range = (_range_of_slopes(z, axis) / spacing for axis in (0, 1))
    around = np.lib.stride_tricks.sliding_window_view(z, (4, 4))
    powers = np.einsum("ik,jl,abkl->ijab", CURVE, CURVE, around, optimize=True)
    count = powers.shape[2:]
    first = (BEYOND - 1) * spacing
    return _Relief(
        np.ascontiguousarray(powers.reshape(16, -1)), count[0], count[1], x0 - first, y0 - first, spacing,
        float(np.hypot(up_range, across_range)),
        _around(_bend(z) / (8.0 * spacing**2)),
    )  # fmt: skip


def _slope_net(z: Array, axis: int) -> tuple[Array, Array, Array]:
    """Values between which the slope along ``axis`` runs in each cell, in m a cell (Bernstein's form)."""
    p0, p1, p2, p3 = _four(z, axis)
    first, last = 0.5 * (p2 - p0), 0.5 * (p3 - p1)
    return first, 3.0 * (p2 - p1) - first - last, last


def _four(z: Array, axis: int) -> tuple[Array, ...]:
    """The four neighbours of each cell along ``axis``."""
    turned = np.moveaxis(z, axis, 0)
    count = len(turned) - 3
    return tuple(np.moveaxis(turned[k : k + count], 0, axis) for k in range(4))


def _bend(z: Array) -> Array:
    """What the slope changes a cell at most, in any direction, in m for a cell: (rows, columns)."""

    def most(parts: list[Array]) -> Array:
        size = np.abs(parts[0])
        for part in parts[1:]:
            np.maximum(size, np.abs(part), out=size)
        return size

    def bend(axis: int) -> Array:
        first, middle, last = _slope_net(z, axis)
        parts = []
        for change in (2.0 * (middle - first), 2.0 * (last - middle)):
            start, _, end = _slope_net(change, 1 - axis)
            _, p1, p2, _ = _four(change, 1 - axis)
            parts += [p1, p1 + start / 3.0, p2 - end / 3.0, p2]
        return most(parts)

    both = most([part for slope in _slope_net(z, 0) for part in _slope_net(slope, 1)])
    return np.asarray(np.maximum(bend(0), bend(1)) + both)


def _around(values: Array) -> Array:
    """Greatest of ``values`` (rows, columns) in the squares of `HALVES`, then of all: (6 cells,)."""
    most, half = [], 0
    for wanted in HALVES.astype(int).tolist():
        further = wanted - half
        for axis in (0, 1):
            pads = [(further, further) if a == axis else (0, 0) for a in (0, 1)]
            padded = np.moveaxis(np.pad(values, pads, mode="edge"), axis, 0)
            count = values.shape[axis]
            # Squares of half the width that meet in the middle make up one.
            greatest = np.maximum(padded[:count], padded[2 * further :])
            if half == 0:
                np.maximum(greatest, padded[1:-1], out=greatest)
            values = np.moveaxis(greatest, 0, axis)
        most.append(values)
        half = wanted
    most.append(np.full_like(values, values.max()))
    return np.stack(most).ravel()


def _filled(heights: Array) -> Array:
    """``heights`` with the nearest known height of the row, else of the rows around, where none is known."""
    z = np.array(heights)
    for turned in (z, z.T):
        unknown = np.isnan(turned)
        if not unknown.any():
            break
        number = np.arange(turned.shape[1])
        before = np.maximum.accumulate(np.where(unknown, -1, number), axis=1)
        after = np.minimum.accumulate(np.where(unknown, 2 * len(number), number)[:, ::-1], axis=1)[:, ::-1]
        nearest = np.where((before >= 0) & (number - before <= after - number), before, after)
        whole = nearest < len(number)
        rows, columns = np.nonzero(unknown & whole)
        turned[rows, columns] = turned[rows, nearest[rows, columns]]
    return z


def _range_of_slopes(z: Array, axis: int) -> float:
    """Bound of the range of slopes along ``axis`` in m for one spacing.

    Across rows they are weighted with up to 1.25.
    """
    net = _slope_net(z, axis)
    return SUM_OF_WEIGHTS * float(max(part.max() for part in net) - min(part.min() for part in net))


def _horner(terms: Array, share: Array) -> Array:
    """Values (..., n) of cubics with ``terms`` (4, ..., n) over the powers of the ``share`` (n,).

    They take the place of the last of the terms.
    """
    first, second, third, total = terms
    for term in (third, second, first):
        total *= share
        total += term
    return np.asarray(total)


def _window(grid: HeightGrid, places: Array) -> tuple[tuple[int, int], tuple[int, int]]:
    """First and last rows, and columns, of ``grid`` within `MARGIN` of ``places`` (2, k) in m."""

    def part(first: float, count: int, at: Array) -> tuple[int, int]:
        low = int((float(at.min()) - MARGIN - first) / grid.spacing)
        high = int((float(at.max()) + MARGIN - first) / grid.spacing) + 2
        # A place off the grid looks at its nearest edge.
        low = min(max(low, 0), count - 2)
        return low, max(min(high, count), low + 2)

    rows, columns = grid.heights.shape
    return part(grid.y0, rows, places[1]), part(grid.x0, columns, places[0])


class SurveyedGround:
    """A height grid seen from one or more balls, with a drawn ground on top of each.

    ``balls`` (2, k) and ``holes`` (2, k) are places in m on ``grid``: ball g is the origin of lane value g
    and its x axis runs to hole g. ``drawn`` has one ground a lane value, whose strips lie on the heights and
    whose own heights and slopes are added to them. Heights are above the ball. Beyond the grid, and `MARGIN`
    away from all of them, the ground goes on for one spacing and is level then; where no height is known,
    the nearest known one is taken.
    """

    def __init__(self, grid: HeightGrid, balls: Array, holes: Array, drawn: DrawnGround) -> None:
        self._relief, self._drawn = _relief(grid, *_window(grid, np.hstack([balls, holes]))), drawn
        way = holes - balls
        # Steps along the line of play, in cells for a metre.
        self._east, self._north = way / (np.hypot(way[0], way[1]) * self._relief.spacing)
        # Where the balls lie, and where the relief ends, in cells.
        first = np.array([[self._relief.x0], [self._relief.y0]])
        self._begin = (balls - first) / self._relief.spacing
        self._most = np.array([[self._relief.columns], [self._relief.rows]]) - 1e-9
        self._single = balls.shape[1] == 1
        self._level = np.zeros(balls.shape[1])
        lane = np.arange(balls.shape[1])
        self._level = self._surveyed(np.zeros(len(lane)), np.zeros(len(lane)), lane)

    @property
    def crest(self) -> float:
        """See `Ground`."""
        return float(8.0 * self._relief.bend[-1]) + self._drawn.crest

    def _of(self, values: Array, lane: Index) -> Array | np.float64:
        """``values`` of the grounds ``lane``; of a single one a number will do."""
        return values[0] if self._single else values.take(lane)

    def _cell(self, x: Array, y: Array, lane: Index) -> tuple[Index, Array]:
        """Numbers of the cells of n places, and the shares passed of each: eastwards, northwards, (2, n)."""
        east, north, relief = self._of(self._east, lane), self._of(self._north, lane), self._relief
        at = np.empty((2, len(x)))
        np.multiply(x, east, out=at[0])
        np.multiply(x, north, out=at[1])
        at[0] -= y * north
        at[1] += y * east
        at += self._begin if self._single else self._begin.take(lane, axis=1)
        np.maximum(at, 0.0, out=at)
        np.minimum(at, self._most, out=at)
        whole = np.floor(at)
        at -= whole
        cell = whole[1]
        cell *= relief.columns
        cell += whole[0]
        return cell.astype(np.intp), at

    def _surveyed(self, x: Array, y: Array, lane: Index) -> Array:
        cell, (t, s) = self._cell(x, y, lane)
        powers = self._relief.powers.take(cell, axis=1).reshape(4, 4, -1)
        return np.asarray(_horner(_horner(powers, s), t) - self._of(self._level, lane))

    def height(self, x: Array, y: Array, lane: Index) -> Array:
        z = self._surveyed(x, y, lane)
        return z if self._drawn.bare else z + self._drawn.height(x, y, lane)

    def slopes(self, x: Array, y: Array, lane: Index) -> tuple[Array, Array]:
        cell, (t, s) = self._cell(x, y, lane)
        a, b, c, d = self._relief.powers.take(cell, axis=1).reshape(4, 4, -1)
        # Horner's rule for the powers northwards, in c, and for their derivative, in d, at once.
        d *= s
        c += d
        d += c
        c *= s
        c += b
        d *= s
        d += c
        c *= s
        c += a
        # The derivative eastwards of the one, in u, and the other, in v.
        _, u, more, w = c
        w *= t
        more += w
        w += more
        w += more
        w *= t
        u += w
        v = _horner(d, t)
        east, north = self._of(self._east, lane), self._of(self._north, lane)
        gx, gy = u * east + v * north, v * east - u * north
        if self._drawn.bare:
            return gx, gy
        along, left = self._drawn.slopes(x, y, lane)
        return gx + along, gy + left

    def surface(self, x: Array, y: Array, lane: Index) -> Index:
        return self._drawn.surface(x, y, lane)

    def one_surface(self, low: Array, high: Array, lane: Index) -> Mask:
        return self._drawn.one_surface(low, high, lane)

    def unevenness(self, lane: Index) -> Array:
        return self._relief.uneven + self._drawn.unevenness(lane)

    def hump(self, x0: Array, y0: Array, x1: Array, y1: Array, lane: Index) -> Array:
        relief, dx, dy = self._relief, x1 - x0, y1 - y0
        square = dx * dx + dy * dy
        cell, _ = self._cell(0.5 * (x0 + x1), 0.5 * (y0 + y1), lane)
        # The half of the way may begin at any side of the middle's cell.
        way = np.sqrt(square)
        cell += HALVES.searchsorted((0.5 / relief.spacing) * way + 1.0) * (relief.rows * relief.columns)
        high = np.minimum(relief.bend.take(cell) * square, (0.25 * relief.uneven) * way)
        return high if self._drawn.bare else high + self._drawn.hump(x0, y0, x1, y1, lane)

    def flat_between(self, x0: Array, x1: Array, lane: Index) -> Mask:
        return np.zeros(lane.shape, dtype=bool)

    def piece(self, place: Array, velocity: Array, rate: Array, lane: Index) -> tuple[Array, Mask]:
        if self._drawn.bare:
            return np.full(lane.shape, np.inf), np.zeros(lane.shape, dtype=bool)
        until, _ = self._drawn.piece(place, velocity, rate, lane)
        return until, np.zeros(lane.shape, dtype=bool)
