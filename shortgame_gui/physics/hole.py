"""The hole: which balls drop.

Capture speed at offset d: 1.63 (1 - (d/R)^2) m/s, A. R. Penner, "The physics of putting" (Can. J. Phys.
80:83, 2002), fitted to B. W. Holmes, Am. J. Phys. 59:129 (1991); value from memory. Left out: balls that
lip out come on undisturbed, the slope of the hole, and the flagstick.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import HoleTable

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]


def capture_speed(offset: Array, table: HoleTable) -> Array:
    """Fastest speed in m/s (n,) that is caught at the ``offset`` in m (n,) from the hole's centre."""
    share = np.clip(offset / table.radius, 0.0, 1.0)
    return np.asarray(table.capture_speed * (1.0 - share * share))


def closest(start: Array, end: Array, hole: Array) -> tuple[Array, Array]:
    """Share of the segment (n,) and distance in m (n,) where it passes the hole; points are (2, n)."""
    step = end - start
    length = (step * step).sum(axis=0)
    share = ((hole - start) * step).sum(axis=0) / np.maximum(length, 1e-18)
    share = np.clip(share, 0.0, 1.0)
    gap = start + share * step - hole
    return share, np.sqrt((gap * gap).sum(axis=0))


def captured(offset: Array, speed: Array, above: Array, table: HoleTable, radius: float) -> Mask:
    """Whether n balls drop: ``offset`` in m, ``speed`` in m/s, height ``above`` the rim in m, all (n,).

    A ball that arrives ``above`` the rim must fall that much further while it crosses; the time to fall
    grows as the root, so the fastest speed that is caught shrinks by sqrt(r / (r + above)) (our
    continuation of the free-fall part of Holmes 1991).
    """
    fall = np.sqrt(radius / (radius + np.maximum(above, 0.0)))
    return np.asarray((offset < table.radius) & (speed < capture_speed(offset, table) * fall))
