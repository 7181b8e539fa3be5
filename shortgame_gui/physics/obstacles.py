"""Things that stand in the way: a lip, a hedge, a branch, each an upright rectangle across the line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

IN_FRONT = 0.10
"""How far in front of an obstacle a ball drops, in m."""
CLEAR = -1
"""Number of the obstacle for a ball that met none."""


@dataclass(frozen=True)
class Obstacles:
    """k upright rectangles, (k,) each, in m in the frame of the shot."""

    at: Array
    """Distance along x."""
    low: Array
    """Height of the lower edge over the ball's start."""
    high: Array
    left: Array
    """Reach to the left of the line; negative where it begins to the right of it."""
    right: Array

    def join(self, other: Obstacles) -> Obstacles:
        """These, then the ``other`` ones."""
        both = ((getattr(self, f.name), getattr(other, f.name)) for f in fields(self))
        return Obstacles(*(np.concatenate(pair) for pair in both))

    def between(self, x0: Array, x1: Array) -> Mask:
        """Whether any stands where n balls go from ``x0`` to ``x1`` along x, in m (n,)."""
        at = self.at[:, None]
        return np.asarray(((x0 < at) & (x1 >= at)).any(axis=0))

    def first(
        self, place: Callable[[Array], Array], x0: Array, x1: Array, before: Array
    ) -> tuple[Index, Array]:
        """Which obstacle n balls meet first in a step (`CLEAR` for none), and at what share of it.

        ``place`` gives places (3, n) at shares (n,) of the step, which runs from ``x0`` to ``x1`` along x
        (n,); meetings after the share ``before`` (n,) do not count.
        """
        which = np.full(len(x0), CLEAR, dtype=np.intp)
        when = np.array(before)
        if not self.between(x0, x1).any():
            return which, when
        for k in range(len(self.at)):
            near = (x0 < self.at[k]) & (x1 >= self.at[k])
            if not near.any():
                continue
            low, high = np.zeros(len(x0)), np.ones(len(x0))
            for _ in range(26):
                middle = 0.5 * (low + high)
                short = place(middle)[0] < self.at[k]
                low, high = np.where(short, middle, low), np.where(short, high, middle)
            _, y, z = place(high)
            met = near & (high <= when) & (z >= self.low[k]) & (z <= self.high[k])
            met &= (y <= self.left[k]) & (y >= -self.right[k])
            which, when = np.where(met, k, which), np.where(met, high, when)
        return which, when
