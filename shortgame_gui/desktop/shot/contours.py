"""Lines of equal height on a grid, and where a slope falls: numbers to draw from.

Twenty lines of NumPy rather than a compiled library: the ground is smooth, and the lines need not be joined.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

MOST_LINES = 12
"""Most levels drawn; more would be a grey haze."""


def isolines(x: Array, y: Array, z: Array, levels: Array) -> Array:
    """Pieces of the lines where ``z`` (len(x), len(y)) has one of ``levels``: (4, n) as x0, y0, x1, y1.

    Each cell of the grid is two triangles, and ``z`` is taken as a plane in each.
    """
    gx, gy = np.meshgrid(x, y, indexing="ij")
    points = np.stack([gx, gy, z])
    a, b, c, d = points[:, :-1, :-1], points[:, 1:, :-1], points[:, 1:, 1:], points[:, :-1, 1:]
    corners = np.concatenate(
        [np.stack([p.reshape(3, -1) for p in three]) for three in ((a, b, c), (a, c, d))], axis=2
    )
    lowest, highest = corners[:, 2].min(axis=0), corners[:, 2].max(axis=0)
    pieces = []
    for level in levels:
        crossed = corners[:, :, (lowest < level) & (highest >= level)]
        high = crossed[:, 2] >= level
        # The corner that is alone on its side of the level; the line cuts both edges that meet there.
        odd = np.where(high.sum(axis=0) == 1, np.argmax(high, axis=0), np.argmin(high, axis=0))
        ends = []
        for step in (1, 2):
            lane = np.arange(len(odd))
            p, q = crossed[odd, :, lane].T, crossed[(odd + step) % 3, :, lane].T
            part = (level - p[2]) / (q[2] - p[2])
            ends.append(p[:2] + part * (q[:2] - p[:2]))
        pieces.append(np.concatenate(ends))
    return np.concatenate(pieces, axis=1) if pieces else np.zeros((4, 0))


def step_for(low: float, high: float, steps: tuple[float, ...]) -> float:
    """The smallest of ``steps`` with which `MOST_LINES` lines at most lie between two heights."""
    return next((step for step in steps if (high - low) / step <= MOST_LINES), steps[-1])


def levels_for(low: float, high: float, step: float) -> Array:
    """Multiples of ``step`` strictly between ``low`` and ``high``, a hair apart from level ground at 0."""
    first, last = np.ceil(low / step + 1e-6), np.floor(high / step - 1e-6)
    return np.arange(first, last + 0.5) * step
