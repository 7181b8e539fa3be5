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
    surface: Index

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


@dataclass(frozen=True)
class _Step:
    """One step of every moving ball: duration, new place, horizontal velocity and surface."""

    dt: Array
    x: Array
    y: Array
    vx: Array
    vy: Array
    surface: Index
    rests: Mask
    """Whether the ball comes to rest at the end of the step."""


def _speed(vx: Array, vy: Array, gx: Array, gy: Array) -> Array:
    climb = gx * vx + gy * vy
    return np.asarray(np.sqrt(vx * vx + vy * vy + climb * climb))


def _skid(course: _Course, balls: _Balls, left: int) -> _Step:
    """One step of the skid with ``left`` steps to go; the last ends exactly where slip is zero."""
    gx, gy, nz = course.slope(balls, balls.x, balls.y)
    nx, ny = -gx * nz, -gy * nz
    vx, vy, vz = balls.vx, balls.vy, gx * balls.vx + gy * balls.vy
    wx, wy, wz = course.radius * balls.spin
    # Velocity of the contact point, v - r w x n, along the ground.
    sx, sy, sz = vx - (wy * nz - wz * ny), vy - (wz * nx - wx * nz), vz - (wx * ny - wy * nx)
    down = sx * nx + sy * ny + sz * nz
    sx, sy, sz = sx - down * nx, sy - down * ny, sz - down * nz
    size = np.sqrt(sx * sx + sy * sy + sz * sz)
    ux, uy, uz = (s / np.maximum(size, 1e-12) for s in (sx, sy, sz))
    force = course.turfs.slide[balls.surface] * course.gravity * nz
    pull_x, pull_y = course.pull(gx, gy, nz)
    # The slope pulls on the slip as well; friction must win for the skid to end.
    closing = np.maximum(3.5 * force - (pull_x * ux + pull_y * uy), 0.1 * force)
    dt = size / closing / left
    ax, ay = pull_x - force * ux, pull_y - force * uy
    gain = (2.5 / course.radius) * force * dt
    balls.spin = balls.spin + gain * np.stack([ny * uz - nz * uy, nz * ux - nx * uz, nx * uy - ny * ux])
    x1, y1 = vx + 0.5 * dt * ax, vy + 0.5 * dt * ay
    x1, y1 = balls.x + dt * x1, balls.y + dt * y1
    surface = course.ground.surface(x1, y1, balls.lane)
    return _Step(dt, x1, y1, vx + dt * ax, vy + dt * ay, surface, np.zeros(len(dt), dtype=bool))


def _roll(course: _Course, balls: _Balls) -> _Step:
    """One step of the roll, by the midpoint rule; it ends just past the edge of the ball's surface."""
    resist = course.rolling(balls, balls.surface)

    def acceleration(x: Array, y: Array, vx: Array, vy: Array) -> tuple[Array, Array, Array, Array, Array]:
        gx, gy, nz = course.slope(balls, x, y)
        share = -(5.0 / 7.0) * course.gravity * nz * nz
        pull_x, pull_y = share * gx, share * gy
        speed = _speed(vx, vy, gx, gy)
        strength = np.sqrt(pull_x * pull_x + pull_y * pull_y)
        brake = resist * nz
        over = 1.0 / np.maximum(speed, 1e-6)
        ax, ay = pull_x - brake * vx * over, pull_y - brake * vy * over
        still = np.flatnonzero(speed < 1e-6)
        if len(still):
            # A ball at rest starts along the fall line, if the slope wins at all.
            free = np.maximum(1.0 - brake[still] / np.maximum(strength[still], 1e-12), 0.0)
            ax[still], ay[still] = pull_x[still] * free, pull_y[still] * free
        return ax, ay, speed, strength / nz, brake

    ax, ay, speed, strength, brake = acceleration(balls.x, balls.y, balls.vx, balls.vy)
    losing = -(ax * balls.vx + ay * balls.vy) / np.maximum(speed, 1e-9)
    slows = losing > 1e-6
    stop_time = np.where(slows, speed / np.where(slows, losing, 1.0), np.inf)
    length = course.table.step_plane if course.ground.level_between else course.table.step_length
    near = (speed < course.table.stop_speed) | (0.5 * speed * stop_time < 0.02)
    rests = (strength <= brake) & near
    dt = np.minimum(0.4 * stop_time, length / np.maximum(speed, 1e-3))
    dt = np.clip(dt, 0.02, 0.5)
    dt = np.where(rests, np.where(slows, stop_time, 0.0), dt)
    half = 0.5 * dt
    mid_x, mid_y, *_ = acceleration(
        balls.x + half * balls.vx, balls.y + half * balls.vy, balls.vx + half * ax, balls.vy + half * ay
    )
    ax, ay = np.where(rests, ax, mid_x), np.where(rests, ay, mid_y)
    x1 = balls.x + dt * (balls.vx + 0.5 * dt * ax)
    y1 = balls.y + dt * (balls.vy + 0.5 * dt * ay)
    surface = course.ground.surface(x1, y1, balls.lane)
    over = np.flatnonzero(surface != balls.surface)
    if len(over):
        # End the step just past the edge, so that each surface brakes only its own part of the way.
        x, y, vx, vy = balls.x[over], balls.y[over], balls.vx[over], balls.vy[over]
        fx, fy, lane, here = ax[over], ay[over], balls.lane[over], balls.surface[over]
        low, high = np.zeros(len(over)), dt[over]
        for _ in range(9):
            t = 0.5 * (low + high)
            other = (
                course.ground.surface(x + t * (vx + 0.5 * t * fx), y + t * (vy + 0.5 * t * fy), lane) != here
            )
            high, low = np.where(other, t, high), np.where(other, low, t)
        dt[over], rests[over] = high, False
        x1[over], y1[over] = x + high * (vx + 0.5 * high * fx), y + high * (vy + 0.5 * high * fy)
        surface[over] = course.ground.surface(x1[over], y1[over], lane)
    vx1 = np.where(rests, 0.0, balls.vx + dt * ax)
    vy1 = np.where(rests, 0.0, balls.vy + dt * ay)
    return _Step(dt, x1, y1, vx1, vy1, surface, rests)


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
        np.zeros(n), ground.surface(position[0], position[1], lane),
    )  # fmt: skip
    left = SKID_STEPS
    started = np.zeros(n, dtype=bool)
    while len(balls.ball):
        step = _skid(course, balls, left) if left else _roll(course, balls)
        left = max(left - 1, 0)
        holed = course.meets_hole(balls, step.x, step.y, step.vx, step.vy)
        balls.time = balls.time + step.dt
        balls.x, balls.y, balls.vx, balls.vy = step.x, step.y, step.vx, step.vy
        balls.surface = step.surface
        if holed.any():
            balls.x, balls.y = (
                np.where(holed, balls.hole[0], balls.x),
                np.where(holed, balls.hole[1], balls.y),
            )
            balls.vx, balls.vy = np.where(holed, 0.0, balls.vx), np.where(holed, 0.0, balls.vy)
        if left == 0 and not started.any():
            started[:] = True
            gx, gy, _ = course.slope(balls, balls.x, balls.y)
            rest.roll_position[:, balls.ball] = balls.x, balls.y
            rest.roll_speed[balls.ball] = _speed(balls.vx, balls.vy, gx, gy)
        if path is not None and clock is not None:
            z = ground.height(balls.x, balls.y, balls.lane)
            path.add(
                clock[balls.ball] + balls.time, np.stack([balls.x, balls.y, z]),
                np.stack([balls.vx, balls.vy, np.zeros(len(z))]), balls.ball,
            )  # fmt: skip
        water = (balls.surface == WATER) & ~holed
        late = (balls.time > table.time_limit) & ~step.rests
        over = holed | water | step.rests | late
        if not over.any():
            continue
        i = np.flatnonzero(over)
        who = balls.ball[i]
        rest.position[0, who], rest.position[1, who] = balls.x[i], balls.y[i]
        rest.position[2, who] = ground.height(balls.x[i], balls.y[i], balls.lane[i])
        rest.time[who] = balls.time[i]
        code = np.where(late[i], ROLLED_AWAY, np.where(balls.surface[i] == OUT, OUT_OF_BOUNDS, AT_REST))
        code = np.where(water[i], IN_WATER, code)
        rest.ending[who] = np.where(holed[i], HOLED, code)
        balls = balls.take(np.flatnonzero(~over))
    return rest
