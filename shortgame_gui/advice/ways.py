"""The ways of traced balls point by point, and the ways of balls that would go between two of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

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

    time: Array
    """s, (k,)."""
    place: Array
    """m, (3, k)."""
    velocity: Array
    """m/s with which the ball goes on from each point, (3, k)."""
    comes: Array
    """m/s with which it comes to each point, (3, k): another velocity where it bounces."""
    bounces: Index
    """Which points are bounces."""
    roll: int
    """Where the run begins."""

    @property
    def track(self) -> Track:
        """The way as answers carry it."""
        speed = np.sqrt((self.velocity * self.velocity).sum(axis=0))
        at = tuple(self.bounces.tolist())
        return Track(self.time, self.place, speed, at[0] if at else 0, at, self.roll)

    def at(self, time: Array) -> tuple[Array, Array]:
        """Place in m and velocity in m/s, (3, ...) each, at times in s of any shape: a cubic in each step."""
        i = np.minimum(np.maximum(self.time.searchsorted(time, "right") - 1, 0), len(self.time) - 2)
        dt = np.maximum(self.time[i + 1] - self.time[i], 1e-12)
        s = np.minimum(np.maximum((time - self.time[i]) / dt, 0.0), 1.0)
        start, end, u, w = (
            self.place.take(i, axis=1),
            self.place.take(i + 1, axis=1),
            dt * self.velocity.take(i, axis=1),
            dt * self.comes.take(i + 1, axis=1),
        )
        gone = end - start
        early, late = u - gone, gone - w
        speed = gone + (1.0 - s) * (1.0 - 3.0 * s) * early + s * (2.0 - 3.0 * s) * late
        return cubic(start, end, u, w, s), speed / dt

    def beside(self, other: Way, bounces: int, rolls: bool) -> Way:
        """This way at those moments that answer to the points of the ``other``.

        Both are cut into the same parts, at their first ``bounces`` bounces and, where both have as many and
        ``rolls`` is set, where the run begins.
        """
        mine, theirs = (
            np.concatenate([w.time[:1], w.time[w.bounces[:bounces]], w.time[[w.roll] * rolls], w.time[-1:]])
            for w in (self, other)
        )
        time = np.interp(other.time, theirs, mine)
        place, velocity = self.at(time)
        comes = velocity.copy()
        some = other.bounces[:bounces]
        comes[:, some] = self.comes[:, self.bounces[:bounces]]
        return Way(time, place, velocity, comes, other.bounces, other.roll)

    def between(self, other: Way, share: float) -> Way:
        """The way of a ball that goes from this one to the ``other`` by the ``share``, point by point."""
        same = len(self.bounces) == len(other.bounces)
        there = other.beside(self, min(len(self.bounces), len(other.bounces)), same)
        return self._moved(there, self, share)

    def _moved(self, towards: Way, off: Way, share: float) -> Way:
        """This way moved by the ``share`` of what leads from ``off`` to ``towards``, point by point."""
        names = ("time", "place", "velocity", "comes")
        mine, there, here = ([getattr(w, name) for name in names] for w in (self, towards, off))
        parts = (m + share * (t - h) for m, t, h in zip(mine, there, here, strict=True))
        return replace(self, **dict(zip(names, parts, strict=True)))

    def shifted(self, towards: Way, off: Way, share: float) -> Way:
        """This way moved by the ``share`` of what leads from another way, ``off``, to a third."""
        once = min(1, len(self.bounces), len(towards.bounces), len(off.bounces))
        return self._moved(towards.beside(self, once, False), off.beside(self, once, False), share)

    def turned(self, angle: float) -> Way:
        """This way turned about the ball's first place by the ``angle`` in rad to the left."""
        c, s = np.cos(angle), np.sin(angle)
        turn = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
        return replace(self, place=turn @ self.place, velocity=turn @ self.velocity, comes=turn @ self.comes)

    def dropped(self, hole: Array, ground: Ground, table: Coefficients) -> Way:
        """The same for a ball that drops into the ``hole`` (3,) in m where it can; itself if it cannot."""
        when = min(self._caught(hole, ground, table), self._rolls_in(hole, ground, table))
        if not np.isfinite(when):
            return self
        keep = int(self.time.searchsorted(when - 1e-12))
        end = hole[:, None], np.zeros((3, 1))
        place, velocity, comes = (
            np.concatenate([a[:, :keep], b], axis=1)
            for a, b in ((self.place, end[0]), (self.velocity, end[1]), (self.comes, end[1]))
        )
        time = np.append(self.time[:keep], when)
        return Way(time, place, velocity, comes, self.bounces[self.bounces < keep], min(self.roll, keep))

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
        drops = hole_law.drops_rolling(
            x[:-1], y[:-1], vx[:-1], vy[:-1], x[1:], y[1:], vx[1:], vy[1:], hole[:2, None],
            _slope(ground, hole), table.ball.radius, table.air.gravity, table.hole,
        )  # fmt: skip
        return float(when[1:][drops].min(initial=np.inf))


def _slope(ground: Ground, hole: Array) -> tuple[Array, Array]:
    """Slope of the ground at the hole along and across, (1,) each."""
    return ground.slopes(hole[:1], hole[1:2], np.zeros(1, dtype=np.intp))


def ways_of(result: Result) -> Iterator[Way]:
    """The ways of all balls of a traced result; raises ValueError when it carries none."""
    time, place, velocity, parts = _by_ball(result)
    assert result.bounces is not None
    for k, (mine, at, roll) in enumerate(parts):
        comes = velocity[:, mine].copy()
        comes[:, at] = result.bounces.velocity_in[: len(at), :, k].T
        yield Way(time[mine], place[:, mine], velocity[:, mine], comes, at, roll)


def tracks_of(result: Result) -> list[Track]:
    """The ways of all balls of a traced result as answers carry them; ValueError when it carries none."""
    time, place, velocity, parts = _by_ball(result)
    speed = np.sqrt((velocity * velocity).sum(axis=0))
    tracks = []
    for mine, bounces, roll in parts:
        at = tuple(bounces.tolist())
        tracks.append(Track(time[mine], place[:, mine], speed[mine], at[0] if at else 0, at, roll))
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
