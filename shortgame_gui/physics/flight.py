"""Flight: drag, lift, wind and spin decay, by fixed fourth-order steps up to the ground.

Forces as in A. J. Smits and D. R. Smith, "A new aerodynamic model of a golf ball in flight" (Science and
Golf II, 1994; value from memory), for an arbitrary spin axis as in G. Robinson and I. Robinson, Phys. Scr.
88:018101 (2013). Outside the fit's range the lift levels off and falls at low Reynolds number.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import AirTable, Ball, Flight
from shortgame_gui.physics import air as air_law
from shortgame_gui.physics.ground import Ground

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]


@dataclass(frozen=True)
class Air:
    """The air as n balls meet it, (n,) each."""

    density: Array
    """kg/m3."""
    viscosity: Array
    """Kinematic viscosity in m2/s."""
    wind_x: Array
    """Wind along x in m/s at the reference height."""
    wind_y: Array
    """Wind along y (to the left) in m/s at the reference height."""

    def take(self, index: Index) -> Air:
        """The air of the balls in ``index``."""
        return Air(self.density[index], self.viscosity[index], self.wind_x[index], self.wind_y[index])


@dataclass(frozen=True)
class Landing:
    """Where n balls come down."""

    position: Array
    """m, (3, n), on the ground."""
    velocity: Array
    """m/s, (3, n)."""
    spin: Array
    """rad/s, (3, n)."""
    time: Array
    """Time in the air in s, (n,)."""
    apex: Array
    """Greatest height reached in m, (n,), in the frame of the start."""


@dataclass
class Path:
    """Points of traced balls, one list an array kind; only filled while tracing."""

    time: list[Array] = field(default_factory=list)
    position: list[Array] = field(default_factory=list)
    velocity: list[Array] = field(default_factory=list)
    ball: list[Index] = field(default_factory=list)

    def add(self, time: Array, position: Array, velocity: Array, ball: Index) -> None:
        """Append one point for each ball of ``ball`` (n,): time in s (n,), m and m/s (3, n)."""
        self.time.append(np.array(time))
        self.position.append(np.array(position))
        self.velocity.append(np.array(velocity))
        self.ball.append(np.array(ball))


def lift_coefficient(spin_ratio: Array, reynolds: Array, table: Flight) -> Array:
    """Lift coefficient (n,) at the spin ratio r omega / V and the Reynolds number.

    Smits and Smith 1994 inside the fit; beyond it a smooth hold, and a smooth fall at low Reynolds number
    (our continuation, an estimate: no published fit covers short shots).
    """
    fit = table.lift_scale * spin_ratio**table.lift_power
    sharp = table.lift_hold_sharpness
    held = fit / (1.0 + (fit / table.lift_hold) ** sharp) ** (1.0 / sharp)
    t = (reynolds - table.lift_reynolds_low) / (table.lift_reynolds_high - table.lift_reynolds_low)
    t = np.clip(t, 0.0, 1.0)
    return np.asarray(held * t * t * (3.0 - 2.0 * t))


def drag_coefficient(spin_ratio: Array, table: Flight) -> Array:
    """Drag coefficient (n,): Smits and Smith 1994 without the small Reynolds term, held at high spin."""
    return np.asarray(table.drag_base + table.drag_spin * np.minimum(spin_ratio, table.drag_spin_hold))


class Forces:
    """Acceleration of n balls in the air; holds what does not change on the way."""

    def __init__(self, axis: Array, air: Air, ball: Ball, air_table: AirTable, table: Flight) -> None:
        self.axis, self.air, self.table, self.air_table = axis, air, table, air_table
        self.radius, self.gravity = ball.radius, air_table.gravity
        self.k = 0.5 * air.density * np.pi * ball.radius**2 / ball.mass
        self.windy = bool(np.any(air.wind_x) or np.any(air.wind_y))

    def take(self, index: Index) -> Forces:
        new = object.__new__(Forces)
        new.axis, new.air = self.axis[:, index], self.air.take(index)
        new.table, new.air_table = self.table, self.air_table
        new.radius, new.gravity, new.windy = self.radius, self.gravity, self.windy
        new.k = self.k[index]
        return new

    def __call__(self, velocity: Array, omega: Array, above: Array) -> tuple[Array, Array]:
        """Acceleration (3, n) and rate of spin loss (n,) at the height ``above`` the local ground."""
        vx, vy, vz = velocity
        if self.windy:
            share = air_law.wind_share(above, self.air_table)
            vx = vx - self.air.wind_x * share
            vy = vy - self.air.wind_y * share
        speed = np.sqrt(vx * vx + vy * vy + vz * vz) + 1e-9
        ratio = self.radius * omega / speed
        lift = lift_coefficient(ratio, 2.0 * self.radius * speed / self.air.viscosity, self.table)
        drag = drag_coefficient(ratio, self.table)
        ax, ay, az = self.axis
        # Lift acts along axis x velocity; its length carries the sine of the angle between the two.
        cd, cl = self.k * drag * speed, self.k * lift * speed
        out = np.empty_like(velocity)
        out[0] = cl * (ay * vz - az * vy) - cd * vx
        out[1] = cl * (az * vx - ax * vz) - cd * vy
        out[2] = cl * (ax * vy - ay * vx) - cd * vz - self.gravity
        return out, -self.table.spin_decay * speed / self.radius * omega


def hermite(s: Array, p0: Array, v0: Array, p1: Array, v1: Array, dt: Array) -> Array:
    """Cubic Hermite interpolant at the share ``s`` of a step ``dt`` between values with derivatives."""
    s2 = s * s
    s3 = s2 * s
    return (
        (2.0 * s3 - 3.0 * s2 + 1.0) * p0
        + (s3 - 2.0 * s2 + s) * dt * v0
        + (3.0 * s2 - 2.0 * s3) * p1
        + (s3 - s2) * dt * v1
    )


def fly(
    position: Array,
    velocity: Array,
    spin: Array,
    air: Air,
    ground: Ground,
    lane: Index,
    ball: Ball,
    air_table: AirTable,
    table: Flight,
    steps: int,
    path: Path | None = None,
    ids: Index | None = None,
    clock: Array | None = None,
) -> Landing:
    """Fly n balls from the ground to their next landing.

    ``position`` in m, ``velocity`` in m/s and ``spin`` in rad/s are (3, n), starting on the ground; ``steps``
    is the number of steps in the vacuum time of flight. With ``path`` every step of the balls ``ids`` is
    recorded from their ``clock`` in s. Every ball lands: steps go on until it does, and after 60 times the
    vacuum time (which gravity makes impossible) a RuntimeError says so.
    """
    n = position.shape[1]
    omega = np.sqrt((spin * spin).sum(axis=0))
    axis = spin / np.maximum(omega, 1e-12)
    forces = Forces(axis, air, ball, air_table, table)
    rise = np.maximum(velocity[2], 0.0)
    slope_x, slope_y = ground.slopes(position[0], position[1], lane)
    # Time of flight in vacuum over the local slope, with a floor so that a skimming ball still moves.
    normal_speed = velocity[2] - slope_x * velocity[0] - slope_y * velocity[1]
    dt = np.maximum(np.maximum(2.0 * normal_speed, 2.0 * rise) / forces.gravity, 0.02) / steps
    end_p, end_v = np.array(position), np.array(velocity)
    end_w, end_t = np.array(omega), np.zeros(n)
    apex = np.array(position[2])
    active = np.arange(n)
    p, v, w, t = np.array(position), np.array(velocity), np.array(omega), np.zeros(n)
    above = np.zeros(n)
    grade = slope_x, slope_y
    for _ in range(60 * steps):
        half = 0.5 * dt
        a1, d1 = forces(v, w, above)
        v2 = v + half * a1
        a2, d2 = forces(v2, w + half * d1, above + half * (v[2] - grade[0] * v[0] - grade[1] * v[1]))
        v3 = v + half * a2
        a3, d3 = forces(v3, w + half * d2, above + half * (v2[2] - grade[0] * v2[0] - grade[1] * v2[1]))
        v4 = v + dt * a3
        a4, d4 = forces(v4, w + dt * d3, above + dt * (v3[2] - grade[0] * v3[0] - grade[1] * v3[1]))
        sixth = dt / 6.0
        p_new = p + sixth * (v + 2.0 * (v2 + v3) + v4)
        v_new = v + sixth * (a1 + 2.0 * (a2 + a3) + a4)
        w_new = w + sixth * (d1 + 2.0 * (d2 + d3) + d4)
        floor = ground.height(p_new[0], p_new[1], lane)
        above_new = p_new[2] - floor
        high = np.ones(len(active))
        low = np.zeros(len(active))
        down = above_new <= 0.0
        if not ground.level_between:
            # A mound may rise into the step: look at the points between as well.
            for s in (0.75, 0.5, 0.25):
                between = hermite(np.full(len(active), s), p, v, p_new, v_new, dt)
                under = between[2] - ground.height(between[0], between[1], lane) < -1e-6
                high = np.where(under, s, high)
                down |= under
        if path is not None and ids is not None and clock is not None:
            up = ~down
            path.add(clock[ids[active]][up] + t[up] + dt[up], p_new[:, up], v_new[:, up], ids[active][up])
        # Highest point of the step from its end velocities; exact enough for a figure read to centimetres.
        peak = np.maximum(p[2], p_new[2])
        turn = (v[2] > 0.0) & (v_new[2] < 0.0)
        if turn.any():
            s = np.where(turn, v[2] / np.maximum(v[2] - v_new[2], 1e-12), 0.0)
            peak = np.maximum(peak, hermite(s, p[2], v[2], p_new[2], v_new[2], dt))
        apex[active] = np.maximum(
            apex[active], np.where(down & (above_new < -0.05), np.maximum(p[2], peak), peak)
        )
        if down.any():
            i = np.flatnonzero(down)
            a5, _ = forces(v_new, w_new, np.maximum(above_new, 0.0))
            s = _root(low[i], high[i], p[:, i], v[:, i], p_new[:, i], v_new[:, i], dt[i], ground, lane[i])
            at = hermite(s, p[:, i], v[:, i], p_new[:, i], v_new[:, i], dt[i])
            at[2] = ground.height(at[0], at[1], lane[i])
            end_p[:, active[i]] = at
            end_v[:, active[i]] = hermite(s, v[:, i], a1[:, i], v_new[:, i], a5[:, i], dt[i])
            end_w[active[i]] = w[i] + s * (w_new[i] - w[i])
            end_t[active[i]] = t[i] + s * dt[i]
            keep = np.flatnonzero(~down)
            if len(keep) == 0:
                return Landing(end_p, end_v, axis * end_w, end_t, apex)
            active, lane, forces = active[keep], lane[keep], forces.take(keep)
            p, v, w = p_new[:, keep], v_new[:, keep], w_new[keep]
            t, dt, above = t[keep] + dt[keep], dt[keep], above_new[keep]
            grade = ground.slopes(p[0], p[1], lane) if forces.windy else (grade[0][keep], grade[1][keep])
        else:
            p, v, w, t, above = p_new, v_new, w_new, t + dt, above_new
            if forces.windy:
                grade = ground.slopes(p[0], p[1], lane)
    raise RuntimeError("a ball did not come down")


def _root(
    low: Array,
    high: Array,
    p0: Array,
    v0: Array,
    p1: Array,
    v1: Array,
    dt: Array,
    ground: Ground,
    lane: Index,
) -> Array:
    """Share of the step (n,) at which the interpolant meets the ground: bracketed, Illinois rule."""

    def gap(s: Array) -> Array:
        at = hermite(s, p0, v0, p1, v1, dt)
        return at[2] - ground.height(at[0], at[1], lane)

    f_low, f_high = np.maximum(gap(low), 0.0), gap(high)
    s = high
    for _ in range(12):
        width = f_low - f_high
        s = np.where(width > 1e-15, low + (high - low) * f_low / np.maximum(width, 1e-15), high)
        f = gap(s)
        if np.all(np.abs(f) < 1e-7):
            break
        below = f <= 0.0
        f_low = np.where(below, np.where(f_high <= 0.0, 0.5 * f_low, f_low), f)
        f_high = np.where(below, f, 0.5 * f_high)
        high = np.where(below, s, high)
        low = np.where(below, low, s)
    return s
