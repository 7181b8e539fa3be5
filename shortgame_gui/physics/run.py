"""The run: skid until the ball rolls, then roll over slopes and surfaces until it stops or drops.

Sliding friction and pure rolling of a solid sphere (5/7 of the slope's pull); the rolling deceleration of
a green is what its stimpmeter reading defines, v^2 / (2 S) with B. W. Holmes's release speed (Phys.
Teacher 24:401, 1986; value from memory). Velocities are kept by their horizontal components; the speed
along the slope includes the climb, so that a plane is treated exactly.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import HoleTable, Run
from shortgame_gui.physics import hole as hole_law
from shortgame_gui.physics.flight import Path
from shortgame_gui.physics.ground import GREEN, OUT, WATER, Ground

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

AT_REST, HOLED, IN_WATER, OUT_OF_BOUNDS, ROLLED_AWAY = range(5)
SKID_STEPS = 6
"""Steps of a skid, each an equal share of what is left of it; the last ends exactly where slip is zero."""


@dataclass(frozen=True)
class Turfs:
    """What n balls roll on: per-surface arrays and the green of each ball."""

    slide: Array
    """Sliding friction by surface, (surfaces,)."""
    deceleration: Array
    """Rolling deceleration in m/s2 by surface, (surfaces,); the green's entry is not used."""
    green: Array
    """Rolling deceleration of each ball's green in m/s2, (n,)."""


@dataclass(frozen=True)
class Rest:
    """Where n balls end, and where they began to roll."""

    position: Array
    """m, (3, n)."""
    time: Array
    """Duration of skid and roll in s, (n,)."""
    ending: Index
    """AT_REST, HOLED, IN_WATER, OUT_OF_BOUNDS or ROLLED_AWAY, (n,)."""
    roll_position: Array
    """m, (2, n)."""
    roll_speed: Array
    """Speed at the start of rolling in m/s, (n,)."""


def green_deceleration(stimp: Array, run: Run) -> Array:
    """Rolling deceleration in m/s2 (n,) of a green of ``stimp`` in m (n,)."""
    return np.asarray(run.stimp_speed**2 / (2.0 * stimp))


@dataclass
class _Balls:
    """The balls still moving."""

    ball: Index
    x: Array
    y: Array
    vx: Array
    vy: Array
    spin: Array
    lane: Index
    hole: Array
    green: Array
    time: Array

    def take(self, keep: Index) -> _Balls:
        return _Balls(*(getattr(self, f.name)[..., keep] for f in fields(self)))


class _Course:
    """One run: the ground and tables, the results so far, and what every step has in common."""

    def __init__(
        self, ground: Ground, turfs: Turfs, radius: float, gravity: float, table: Run, hole_table: HoleTable
    ) -> None:
        self.ground, self.turfs, self.table, self.hole_table = ground, turfs, table, hole_table
        self.radius, self.gravity = radius, gravity

    def slope(self, balls: _Balls, x: Array, y: Array) -> tuple[Array, Array, Array]:
        """Slopes (n,) and the vertical part of the ground's normal (n,)."""
        gx, gy = self.ground.slopes(x, y, balls.lane)
        return gx, gy, 1.0 / np.sqrt(1.0 + gx * gx + gy * gy)

    def rolling(self, balls: _Balls, surface: Index) -> Array:
        """Rolling deceleration in m/s2 (n,)."""
        return np.where(surface == GREEN, balls.green, self.turfs.deceleration[surface])

    def pull(self, gx: Array, gy: Array, nz: Array) -> tuple[Array, Array]:
        """Gravity along the slope, horizontal components in m/s2."""
        return -self.gravity * nz * nz * gx, -self.gravity * nz * nz * gy

    def meets_hole(self, balls: _Balls, x1: Array, y1: Array, vx1: Array, vy1: Array) -> Mask:
        """Whether the step to (x1, y1) drops the ball: closest point of the step, with the speed there."""
        share, offset = hole_law.closest(np.stack([balls.x, balls.y]), np.stack([x1, y1]), balls.hole)
        vx, vy = balls.vx + share * (vx1 - balls.vx), balls.vy + share * (vy1 - balls.vy)
        level = np.zeros(len(share))
        return hole_law.captured(offset, np.sqrt(vx * vx + vy * vy), level, self.hole_table, self.radius)


def _speed(vx: Array, vy: Array, gx: Array, gy: Array) -> Array:
    climb = gx * vx + gy * vy
    return np.asarray(np.sqrt(vx * vx + vy * vy + climb * climb))


def _skid(course: _Course, balls: _Balls, left: int) -> tuple[Array, Array, Array, Array, Array]:
    """One step of the skid with ``left`` steps to go: duration, new place and new horizontal velocity."""
    gx, gy, nz = course.slope(balls, balls.x, balls.y)
    normal = np.stack([-gx * nz, -gy * nz, nz])
    velocity = np.stack([balls.vx, balls.vy, gx * balls.vx + gy * balls.vy])
    slip = velocity - course.radius * np.cross(balls.spin, normal, axis=0)
    slip -= (slip * normal).sum(axis=0) * normal
    size = np.sqrt((slip * slip).sum(axis=0))
    along = slip / np.maximum(size, 1e-12)
    surface = course.ground.surface(balls.x, balls.y, balls.lane)
    force = course.turfs.slide[surface] * course.gravity * nz
    pull_x, pull_y = course.pull(gx, gy, nz)
    # The slope pulls on the slip as well; friction must win for the skid to end.
    closing = np.maximum(3.5 * force - (pull_x * along[0] + pull_y * along[1]), 0.1 * force)
    dt = size / closing / left
    ax, ay = pull_x - force * along[0], pull_y - force * along[1]
    x1 = balls.x + dt * (balls.vx + 0.5 * dt * ax)
    y1 = balls.y + dt * (balls.vy + 0.5 * dt * ay)
    balls.spin = balls.spin + (2.5 / course.radius) * force * dt * np.cross(normal, along, axis=0)
    return dt, x1, y1, balls.vx + dt * ax, balls.vy + dt * ay


def _roll(course: _Course, balls: _Balls) -> tuple[Array, Array, Array, Array, Array, Mask]:
    """One step of the roll: duration, new place and velocity, and whether the ball comes to rest in it."""
    surface = course.ground.surface(balls.x, balls.y, balls.lane)
    resist = course.rolling(balls, surface)

    def acceleration(x: Array, y: Array, vx: Array, vy: Array) -> tuple[Array, Array, Array, Array, Array]:
        gx, gy, nz = course.slope(balls, x, y)
        pull_x, pull_y = course.pull(gx, gy, nz)
        pull_x, pull_y = (5.0 / 7.0) * pull_x, (5.0 / 7.0) * pull_y
        speed = _speed(vx, vy, gx, gy)
        strength = np.sqrt(pull_x * pull_x + pull_y * pull_y)
        still = speed < 1e-6
        ux = np.where(still, pull_x / np.maximum(strength, 1e-12), vx / np.maximum(speed, 1e-6))
        uy = np.where(still, pull_y / np.maximum(strength, 1e-12), vy / np.maximum(speed, 1e-6))
        brake = resist * nz
        return pull_x - brake * ux, pull_y - brake * uy, speed, strength / nz, brake

    ax, ay, speed, strength, brake = acceleration(balls.x, balls.y, balls.vx, balls.vy)
    losing = -(ax * balls.vx + ay * balls.vy) / np.maximum(speed, 1e-9)
    stop_time = np.where(losing > 1e-6, speed / np.maximum(losing, 1e-6), np.inf)
    holds = strength <= brake
    rests = holds & ((speed < course.table.stop_speed) | (0.5 * speed * stop_time < 0.01))
    dt = np.minimum(0.3 * stop_time, course.table.step_length / np.maximum(speed, 1e-3))
    dt = np.clip(dt, 0.01, 0.25)
    dt = np.where(rests, np.where(np.isfinite(stop_time), stop_time, 0.0), dt)
    half = 0.5 * dt
    mid = acceleration(
        balls.x + half * balls.vx, balls.y + half * balls.vy, balls.vx + half * ax, balls.vy + half * ay
    )
    ax, ay = np.where(rests, ax, mid[0]), np.where(rests, ay, mid[1])

    def place(time: Array) -> tuple[Array, Array]:
        return balls.x + time * (balls.vx + 0.5 * time * ax), balls.y + time * (balls.vy + 0.5 * time * ay)

    x1, y1 = place(dt)
    changed = np.flatnonzero(course.ground.surface(x1, y1, balls.lane) != surface)
    if len(changed):
        # End the step just past the edge, so that each surface brakes only its own part of the way.
        low, high = np.zeros(len(dt)), np.array(dt)
        for _ in range(9):
            middle = 0.5 * (low + high)
            x2, y2 = place(middle)
            other = course.ground.surface(x2[changed], y2[changed], balls.lane[changed]) != surface[changed]
            high[changed] = np.where(other, middle[changed], high[changed])
            low[changed] = np.where(other, low[changed], middle[changed])
        dt[changed] = high[changed]
        rests[changed] = False
        x1, y1 = place(dt)
    vx1 = np.where(rests, 0.0, balls.vx + dt * ax)
    vy1 = np.where(rests, 0.0, balls.vy + dt * ay)
    return dt, x1, y1, vx1, vy1, rests


def run(
    position: Array,
    velocity: Array,
    spin: Array,
    ground: Ground,
    lane: Index,
    turfs: Turfs,
    hole: Array,
    radius: float,
    gravity: float,
    table: Run,
    hole_table: HoleTable,
    path: Path | None = None,
    clock: Array | None = None,
) -> Rest:
    """Run n balls along the ground to rest.

    ``position`` in m, ``velocity`` in m/s and ``spin`` in rad/s are (3, n); ``hole`` in m is (2, n), NaN
    where there is none. Balls still moving at the table's time limit are reported as ROLLED_AWAY where they
    are. With ``path`` every step is recorded, from each ball's ``clock`` in s (n,).
    """
    n = position.shape[1]
    course = _Course(ground, turfs, radius, gravity, table, hole_table)
    rest = Rest(
        np.array(position), np.zeros(n), np.full(n, ROLLED_AWAY, dtype=np.intp), np.zeros((2, n)), np.zeros(n)
    )
    balls = _Balls(
        np.arange(n), position[0], position[1], velocity[0], velocity[1], spin, lane, hole, turfs.green,
        np.zeros(n),
    )  # fmt: skip
    left = SKID_STEPS
    while len(balls.ball):
        if left:
            dt, x1, y1, vx1, vy1 = _skid(course, balls, left)
            rests = np.zeros(len(dt), dtype=bool)
            left -= 1
        else:
            dt, x1, y1, vx1, vy1, rests = _roll(course, balls)
        holed = course.meets_hole(balls, x1, y1, vx1, vy1)
        balls.time = balls.time + dt
        balls.x, balls.y = np.where(holed, balls.hole[0], x1), np.where(holed, balls.hole[1], y1)
        balls.vx, balls.vy = np.where(holed, 0.0, vx1), np.where(holed, 0.0, vy1)
        if left == 0 and not rest.roll_speed.any():
            rest.roll_position[:, balls.ball] = balls.x, balls.y
            gx, gy, _ = course.slope(balls, balls.x, balls.y)
            rest.roll_speed[balls.ball] = _speed(balls.vx, balls.vy, gx, gy)
        if path is not None and clock is not None:
            z = ground.height(balls.x, balls.y, balls.lane)
            path.add(
                clock[balls.ball] + balls.time, np.stack([balls.x, balls.y, z]),
                np.stack([balls.vx, balls.vy, np.zeros(len(dt))]), balls.ball,
            )  # fmt: skip
        surface = ground.surface(balls.x, balls.y, balls.lane)
        water = (surface == WATER) & ~holed
        late = (balls.time > table.time_limit) & ~rests
        over = np.flatnonzero(holed | water | rests | late)
        if len(over):
            who = balls.ball[over]
            rest.position[:, who] = balls.x[over], balls.y[over], ground.height(
                balls.x[over], balls.y[over], balls.lane[over]
            )  # fmt: skip
            rest.time[who] = balls.time[over]
            code = np.where(late[over], ROLLED_AWAY, np.where(surface[over] == OUT, OUT_OF_BOUNDS, AT_REST))
            code = np.where(water[over], IN_WATER, code)
            rest.ending[who] = np.where(holed[over], HOLED, code)
            balls = balls.take(np.setdiff1d(np.arange(len(balls.ball)), over, assume_unique=True))
    return rest
