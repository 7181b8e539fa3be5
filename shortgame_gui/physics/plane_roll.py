"""The roll over a plane in closed form: any step of it, and the way to the stop, without integration.

A rolling ball is pulled down the plane by a constant force and braked by another against its motion. With p
and b for the two in m/s2, phi for the angle between motion and fall line, and u = tan(phi / 2),

    dv/dt = p cos(phi) - b,   v dphi/dt = -p sin(phi),   so   v = C u^(k-1) (1 + u^2),   k = b / p,

and place and time are sums of powers of u. Derived here; tests/published/test_run.py holds it against scipy.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]

LEVEL = 1e-6
"""Pull over brake below which the pull may be any."""
ASLANT = 1e-3
"""Least sine of phi that is reckoned with, also where a ball rolls along the fall line."""
NEARLY = 1e-9
"""Least power of the share that is reckoned with, for at none the sums become logarithms."""
NEARER, LEAST = 4, -60.0
"""Rounds in which the share after a time is found, and its least logarithm."""
STOPPED = 1e-300
"""Share that stands for the stop, which is reached at 0."""


@dataclass(frozen=True)
class PlaneRoll:
    """The roll of n balls on planes from where they are; arrays end in (n,)."""

    nz: Array
    """Vertical part of the plane's normal."""
    fall: Array
    """Horizontal direction of the fall line, (2, n)."""
    along: Array
    """Speed in m/s down the fall line at the start, and in all."""
    speed: Array
    pull: Array
    """Of the slope, in m/s2, and what brakes the ball, both along the plane; and the one over the other."""
    brake: Array
    k: Array
    u: Array
    """Tangent of half the angle between motion and fall line, without its side."""
    side: Array
    """1 where it goes to the left of the fall line, -1 to the right, 0 along it."""

    @classmethod
    def of(cls, velocity: Array, downhill: Array, nz: Array, brake: Array) -> PlaneRoll:
        """The roll that begins with a ``velocity`` in m/s under the slope's pull ``downhill`` in m/s2.

        Of both the horizontal parts, (2, n); ``nz`` is the vertical part of the plane's normal, ``brake`` in
        m/s2 acts along the plane.
        """
        (vx, vy), (px, py) = velocity, downhill
        level = np.sqrt(px * px + py * py)
        dx, dy = fall = downhill / np.maximum(level, 1e-12)
        dx[level == 0.0] = 1.0  # on the level any line does
        # In the plane the fall line is longer than its horizontal part.
        along, across = (vx * dx + vy * dy) / nz, vy * dx - vx * dy
        speed = np.maximum(np.sqrt(along * along + across * across), 1e-9)
        pull = np.maximum(level / nz, LEVEL * brake)
        aside = np.maximum(np.abs(across), ASLANT * speed)
        half = aside / np.maximum(speed + along, 0.5 * ASLANT * aside)
        return cls(nz, fall, along, speed, pull, brake, brake / pull, half, np.sign(across))

    def take(self, some: Index) -> PlaneRoll:
        """The rolls in ``some``."""
        return PlaneRoll(*(getattr(self, f.name).take(some, axis=-1) for f in fields(self)))

    def horizontal(self, down: Array, across: Array) -> Array:
        """Horizontal parts (2, n) of what goes ``down`` the fall line and ``across`` it in the plane (n,)."""
        (dx, dy), down = self.fall, down * self.nz
        return np.array([down * dx - across * dy, down * dy + across * dx])

    def heading(self, angle: Array) -> Array:
        """Horizontal parts (2, n) of the direction at an ``angle`` in rad to the fall line."""
        return self.horizontal(np.cos(angle), np.sin(angle) * self.side)

    def angle(self) -> Array:
        """Angle in rad between motion and fall line at the start."""
        return np.asarray(2.0 * np.arctan(self.u))

    def turned(self, angle: Array) -> Array:
        """What the tangent is multiplied with (n,) once the roll has turned by ``angle`` in rad."""
        d = np.tan(0.5 * angle)
        return np.maximum((self.u - d) / (self.u * (1.0 + self.u * d)), 0.0)

    def gone(self, way: float | Array) -> Array:
        """What the tangent is multiplied with (n,) at most once the roll has made a ``way`` in m (n,).

        By d(log u)/ds = -p / v^2, where v^2 falls by 2 (b - p) s at least.
        """
        loss = _apart(self.k - 1.0)
        square = np.maximum(1.0 - 2.0 * self.pull * loss * way / (self.speed * self.speed), 0.0)
        return np.asarray(square ** (0.5 / loss))

    def left(self) -> Array:
        """Way in m (n,) to the stop at most: v falls by b - p a second at least; else infinity."""
        loss = 2.0 * self.pull * (self.k - 1.0)
        return np.where(loss > 0.0, self.speed * self.speed / np.maximum(loss, 1e-12), np.inf)

    def stops(self) -> Array:
        """Time in s (n,) until it stops; infinity where it does not."""
        k, square = self.k, self.u * self.u
        scale = self.speed / ((1.0 + square) * self.pull)
        return np.where(k > 1.0, scale * (1.0 / _apart(k - 1.0) + square / (k + 1.0)), np.inf)

    def after(self, time: Array) -> Array:
        """What the tangent is multiplied with (n,) after a ``time`` in s, or nearly so.

        By Newton's rule for the logarithm of the share; where the ball does not stop before.
        """
        more, less, square = _apart(self.k - 1.0), self.k + 1.0, self.u * self.u
        late = time * self.pull * (1.0 + square) / self.speed
        # As if but one of the two sums that make up the time were there: rather too late.
        first = np.log(np.maximum(1.0 - more * late, STOPPED)) / more
        second = np.log(np.maximum(1.0 - (less / square) * late, STOPPED)) / less
        log = np.maximum(np.maximum(first, second), LEAST)
        for _ in range(NEARER):
            first, second = np.exp(more * log), square * np.exp(less * log)
            gone = (1.0 - first) / more + (square - second) / less
            log = log - (late - gone) / np.maximum(first + second, STOPPED)
            log = np.minimum(np.maximum(log, LEAST), 0.0)
        return np.exp(log)

    def step(self, share: Array) -> tuple[Array, Array, Array]:
        """The roll until the tangent is ``share`` (n,) of its own; 0 leads to the stop.

        Horizontal way in m (2, n), time in s, and horizontal velocity in m/s then (2, n).
        """
        k, u, square = self.k, self.u, self.u * self.u
        log = np.log(np.maximum(share, STOPPED))
        scale = self.speed / (1.0 + square)

        def part(power: Array) -> Array:
            power = _apart(power)
            return np.asarray(-np.expm1(power * log) / power)

        reach = scale * scale / self.pull
        down = reach * (part(2.0 * k - 2.0) - square * square * part(2.0 * k + 2.0))
        across = 2.0 * reach * u * (part(2.0 * k - 1.0) + square * part(2.0 * k + 1.0))
        time = scale / self.pull * (part(k - 1.0) + square * part(k + 1.0))
        # v (1 - u^2) / (1 + u^2) and v 2 u / (1 + u^2), with v = v0 share^(k-1) (1 + u^2) / (1 + u0^2).
        left, u = scale * np.exp((k - 1.0) * log), share * u
        velocity = self.horizontal(left * (1.0 - u * u), (2.0 * self.side) * left * u)
        return self.horizontal(down, self.side * across), time, velocity


def _apart(power: Array) -> Array:
    """``power`` (n,) kept away from 0, by which it is divided: where the form has its limit."""
    return np.where(np.abs(power) < NEARLY, NEARLY, power)
