"""How the balls of one shot lie over the ground: the oval of its landings and the density of its finishes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

CELLS = 96
"""Cells of the density along its longer side."""
BLUR = 0.03
"""Standard deviation of the smoothing over that side."""
KEPT = 0.98
"""Share of the finishes that the density must hold; a ball that ran away would make it a dot."""


def half_oval(points: Array, corners: int = 60) -> Array | None:
    """Outline (2, corners) of the ellipse that holds half of ``points`` (2, n); None for fewer than three.

    Its shape is the covariance of the inner three quarters, so that mishits do not blow it up; its size is
    such that just half of all points are inside.
    """
    if points.shape[1] < 3:
        return None
    middle = np.median(points, axis=1, keepdims=True)
    off = points - middle
    scale = np.median(np.abs(off), axis=1, keepdims=True) + 1e-6
    near = ((off / scale) ** 2).sum(axis=0)
    inner = off[:, near <= np.quantile(near, 0.75)]
    covariance = inner @ inner.T / inner.shape[1] + np.eye(2) * 1e-8
    distance = np.sqrt((off * np.linalg.solve(covariance, off)).sum(axis=0))
    turn = np.linspace(0.0, 2.0 * np.pi, corners)
    circle = np.stack([np.cos(turn), np.sin(turn)])
    return np.asarray(middle + np.median(distance) * (np.linalg.cholesky(covariance) @ circle))


@dataclass(frozen=True)
class Density:
    """How thickly balls lie: ``share`` of the thickest, 0..1; rows go along y from the right."""

    low: tuple[float, float]
    """Corner nearest to the ball and furthest right, in m."""
    high: tuple[float, float]
    share: Array


def density(points: Array) -> Density | None:
    """The smoothed density of ``points`` (2, n) in m; None for fewer than three."""
    if points.shape[1] < 3:
        return None
    tail = 0.5 * (1.0 - KEPT)
    low, high = np.quantile(points, tail, axis=1), np.quantile(points, 1.0 - tail, axis=1)
    longest = max(float((high - low).max()), 0.5)
    room = 3.0 * BLUR * longest
    low, high = low - room, high + room
    cell = (longest + 2.0 * room) / CELLS
    count = np.maximum(np.ceil((high - low) / cell).astype(int), 1)
    high = low + count * cell
    edges = [np.linspace(low[k], high[k], count[k] + 1) for k in (0, 1)]
    number, _, _ = np.histogram2d(points[1], points[0], bins=(edges[1], edges[0]))
    reach = int(np.ceil(3.0 * BLUR * CELLS))
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) / (BLUR * CELLS)) ** 2)
    for axis in (0, 1):
        number = np.apply_along_axis(
            lambda row: np.convolve(row, kernel, mode="full")[reach:-reach], axis, number
        )
    most = float(number.max())
    return Density(
        (float(low[0]), float(low[1])),
        (float(high[0]), float(high[1])),
        number / most if most > 0.0 else number,
    )
