"""The ways of traced balls point by point, and the ways of balls that would go between two of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import cos, sin

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice.result import Track
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.physics import hole as hole_law
from shortgame_gui.physics.ground import Ground
from shortgame_gui.physics.shot import Result

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]

CHORDS = np.arange(7)[:, None] / 6.0
"""Shares of a step of the roll between which the hole is looked for along straight pieces."""


def cubic(start: Array, end: Array, leaves: Array, comes: Array, share: Array) -> Array:
    """Places at the ``share`` of a step from ``start`` to ``end``.

    ``leaves`` and ``comes`` are the velocities there times the step's duration.
    """
    rest, gone = 1.0 - share, end - start
    return np.asarray(start + share * (gone + rest * (rest * (leaves - gone) + share * (gone - comes))))


@dataclass(frozen=True)
class Way:
    """The way of one ball: k points in order of time."""

    points: Array
    """Rows (10, k): time in s, place in m, velocity in m/s with which it goes on from each point, and with
    which it comes there: another where it bounces."""
    bounces: Index
    """Which points are bounces."""
    roll: int
    """Where the run begins."""

    @property
    def time(self) -> Array:
        """s, (k,)."""
        return np.asarray(self.points[0])

    @property
    def place(self) -> Array:
        """m, (3, k)."""
        return self.points[1:4]

    @property
    def velocity(self) -> Array:
        """m/s with which the ball goes on from each point, (3, k)."""
        return self.points[4:7]

    @property
    def comes(self) -> Array:
        """m/s with which the ball comes to each point, (3, k)."""
        return self.points[7:]

    @property
    def track(self) -> Track:
        """The way as answers carry it."""
        speed = np.sqrt((self.velocity * self.velocity).sum(axis=0))
        at = tuple(self.bounces.tolist())
        return Track(self.time, self.place, speed, at[0] if at else 0, at, self.roll)

    def at(self, time: Array) -> tuple[Array, Array]:
        """Place in m and velocity in m/s, (3, ...) each, at times in s of any shape: a cubic in each step."""
        i = np.minimum(np.maximum(self.time.searchsorted(time, "right") - 1, 0), self.points.shape[1] - 2)
        here, there = self.points.take(i, axis=1), self.points.take(i + 1, axis=1)
        dt = np.maximum(there[0] - here[0], 1e-12)
        s = np.minimum(np.maximum((time - here[0]) / dt, 0.0), 1.0)
        start, end, u, w = here[1:4], there[1:4], dt * here[4:7], dt * there[7:]
        gone = end - start
        early, late = u - gone, gone - w
        speed = gone + (1.0 - s) * (1.0 - 3.0 * s) * early + s * (2.0 - 3.0 * s) * late
        return cubic(start, end, u, w, s), speed / dt

    def parts(self, bounces: int, rolls: bool) -> Array:
        """Times in s of the start, so many ``bounces``, the run's beginning if it ``rolls``, and the end."""
        return self.time.take([0, *self.bounces[:bounces].tolist(), *[self.roll] * rolls, -1])

    def beside(self, other: Way, bounces: int, rolls: bool) -> Array:
        """The points (10, k) of this way at those moments that answer to the points of the ``other``.

        Both are cut into the same parts, at their first ``bounces`` bounces and, where both have as many and
        ``rolls`` is set, where the run begins.
        """
        points = np.empty_like(other.points)
        points[0] = time = np.interp(other.time, other.parts(bounces, rolls), self.parts(bounces, rolls))
        points[1:4], points[4:7] = self.at(time)
        points[7:] = points[4:7]
        points[7:, other.bounces[:bounces]] = self.comes[:, self.bounces[:bounces]]
        return points

    def between(self, other: Way, share: float) -> Way:
        """The way of a ball that goes from this one to the ``other`` by the ``share``, point by point."""
        same = len(self.bounces) == len(other.bounces)
        there = other.beside(self, min(len(self.bounces), len(other.bounces)), same)
        return self._moved(there, self.points, share)

    def _moved(self, towards: Array, off: Array, share: float) -> Way:
        """This way moved by the ``share`` of what leads from ``off`` to ``towards``, point by point."""
        return Way(self.points + share * (towards - off), self.bounces, self.roll)

    def shifted(self, towards: Way, off: Way, share: float) -> Way:
        """This way moved by the ``share`` of what leads from another way, ``off``, to a third."""
        once = min(1, len(self.bounces), len(towards.bounces), len(off.bounces))
        return self._moved(towards.beside(self, once, False), off.beside(self, once, False), share)

    def turned(self, angle: float) -> Way:
        """This way turned about the ball's first place by the ``angle`` in rad to the left."""
        c, s = cos(angle), sin(angle)
        points = self.points.copy()
        x, y = self.points[1::3], self.points[2::3]
        points[1::3], points[2::3] = c * x - s * y, s * x + c * y
        return Way(points, self.bounces, self.roll)

    def dropped(self, hole: Array, ground: Ground, table: Coefficients) -> Way:
        """The same for a ball that drops into the ``hole`` (3,) in m where it can; itself if it cannot."""
        when = min(self._caught(hole, ground, table), self._rolls_in(hole, ground, table))
        if not np.isfinite(when):
            return self
        keep = int(self.time.searchsorted(when - 1e-12))
        end = np.concatenate([[when], hole, np.zeros(6)])
        points = np.concatenate([self.points[:, :keep], end[:, None]], axis=1)
        return Way(points, self.bounces[self.bounces < keep], min(self.roll, keep))

    def _caught(self, hole: Array, ground: Ground, table: Coefficients) -> float:
        """When in s the ball comes down so that it drops; inf if it never does."""
        place, near = self.place[:, self.bounces], self.comes[:, self.bounces]
        if not hole_law.over(place, hole[:2, None], table.hole).any():
            return np.inf
        gx, gy = ground.slopes(place[0], place[1], np.zeros(place.shape[1], dtype=np.intp))
        down = (gx * near[0] + gy * near[1] - near[2]) / np.sqrt(1.0 + gx * gx + gy * gy)
        drops = hole_law.drops_landing(
            place, near, down, hole[:2, None], _slope(ground, hole), table.ball.radius, table.air.gravity,
            table.hole,
        )  # fmt: skip
        return float(self.time[self.bounces[drops]].min(initial=np.inf))

    def _rolls_in(self, hole: Array, ground: Ground, table: Coefficients) -> float:
        """When in s the ball has rolled in; inf if it does not."""
        time, place = self.time[self.roll :], self.place[:2, self.roll :]
        reach = np.abs(np.diff(place)).sum(axis=0)
        low, high = place[:, :-1] - reach, place[:, :-1] + reach
        near = hole_law.near(low, high, hole[:2, None], table.hole).nonzero()[0]
        if not len(near):
            return np.inf
        when = time[near] + CHORDS * (time[near + 1] - time[near])
        (x, y, _), (vx, vy, _) = self.at(when)
        rim = hole_law.drops_rolling(
            x[:-1], y[:-1], vx[:-1], vy[:-1], x[1:], y[1:], vx[1:], vy[1:], hole[:2, None],
            _slope(ground, hole), table.ball.radius, table.air.gravity, table.hole,
        )  # fmt: skip
        drops = np.isfinite(rim.T)
        if not drops.any():
            return np.inf
        first = drops.argmax()
        passes = (when[:-1] + rim * np.diff(when, axis=0)).T.flat[first]
        return float(max(passes, time[0]))


def _slope(ground: Ground, hole: Array) -> tuple[Array, Array]:
    """Slope of the ground at the hole along and across, (1,) each."""
    return ground.slopes(hole[:1], hole[1:2], np.zeros(1, dtype=np.intp))


def ways_of(result: Result) -> Iterator[Way]:
    """The ways of all balls of a traced result; raises ValueError when it carries none."""
    time, place, velocity, parts = _by_ball(result)
    assert result.bounces is not None
    points = np.concatenate([time[None], place, velocity, velocity])
    for k, (mine, at, roll) in enumerate(parts):
        way = points[:, mine]
        way[7:, at] = result.bounces.velocity_in[: len(at), :, k].T
        yield Way(way, at, roll)


def tracks_of(result: Result) -> list[Track]:
    """The ways of all balls of a traced result as answers carry them; ValueError when it carries none."""
    time, place, velocity, parts = _by_ball(result)
    speed = np.sqrt((velocity * velocity).sum(axis=0))
    tracks = []
    for mine, bounces, roll in parts:
        at = tuple(bounces.tolist())
        # A ball that water or a boundary takes where it first lands does not bounce: its way ends there.
        first = at[0] if at else roll if roll == mine.stop - mine.start - 1 else 0
        tracks.append(Track(time[mine], place[:, mine], speed[mine], first, at, roll))
    return tracks


def _by_ball(result: Result) -> tuple[Array, Array, Array, list[tuple[slice, Index, int]]]:
    """Time, place and velocity of all points, ball by ball; which are each one's, its bounces and its run."""
    path, bounces = result.path, result.bounces
    if path is None or bounces is None:
        raise ValueError("the result carries no path")
    who, time, place, velocity = path.by_ball()
    ends = np.searchsorted(who, np.arange(len(result.time) + 1)).tolist()
    parts = []
    for k, (first, last) in enumerate(pairwise(ends)):
        t = time[first:last]
        at = np.searchsorted(t, bounces.time[: result.count[k], k] - 1e-9)
        roll = min(int(np.searchsorted(t, result.roll_time[k] - 1e-9)), len(t) - 1)
        parts.append((slice(first, last), at, roll))
    return time, place, velocity, parts
