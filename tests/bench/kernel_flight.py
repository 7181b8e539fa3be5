"""One ball in the air by plain scalars, step for step as `physics.flight` and `hop` do it: to be compiled.

Only `bench_kernels.py` uses it. Nothing here is a second model: every function names the one it follows.
Wind is in; obstacles and traces, which the bench's scene has not, are left out.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from shortgame_gui.physics import flight as flight_law
from shortgame_gui.physics import hop as hop_law
from shortgame_gui.physics.ground import DrawnGround

SHORTEST, GENTLE, LONGEST = flight_law.SHORTEST, flight_law.GENTLE, flight_law.LONGEST
LOOKS, CLOSE = flight_law.LOOKS, flight_law.CLOSE
FASTEST, HIGHEST, LONGEST_HOP = hop_law.FASTEST, hop_law.HIGHEST, hop_law.LONGEST
FURTHER, LOOKS_HOP, CLOSE_HOP = hop_law.FURTHER, hop_law.LOOKS, hop_law.CLOSE


class Drawn(NamedTuple):
    """The pieces and cells of a `DrawnGround` of one drawing."""

    start: np.ndarray
    base: np.ndarray
    z: np.ndarray
    slope: np.ndarray
    bend: np.ndarray
    cross: float
    uneven: float
    x_edges: np.ndarray
    y_edges: np.ndarray
    cells: np.ndarray

    @classmethod
    def of(cls, ground: DrawnGround) -> Drawn:
        """The arrays of ``ground``."""
        g = ground
        return cls(
            g._start[0], g._base[0], g._z[0], g._slope[0], g._bend[0], float(g._cross[0]),
            float(g._uneven[0]), g._x_edges, g._y_edges, g._cells[0],
        )  # fmt: skip


class Aero(NamedTuple):
    """What does not change on one flight: the axis of spin, factors of forces, Reynolds and lift, wind."""

    ax: float
    ay: float
    az: float
    k: float
    reynolds: float
    lift: float
    wind_x: float
    wind_y: float


def aero_of(x, y, z, density, viscosity, wind_x, wind_y, ball, table):
    """What is constant while a ball with the spin (x, y, z) flies, and its spin rate."""
    omega = math.sqrt(x * x + y * y + z * z)
    per = 1.0 / max(omega, 1e-12)
    k = 0.5 * math.pi * ball.radius**2 / ball.mass * density
    lift = (table.lift_scale / table.lift_hold) ** table.lift_hold_sharpness
    reynolds = 2.0 * ball.radius / viscosity
    return Aero(per * x, per * y, per * z, k, reynolds, lift, wind_x, wind_y), omega


def steps_up(edges, x):
    """Number of ``edges`` that do not lie beyond ``x``: a search that goes through few of them."""
    k = 0
    while k < len(edges) and edges[k] <= x:
        k += 1
    return k


def height(g, x, y):
    """As `DrawnGround.height`."""
    k = steps_up(g.start, x) - 1
    d = x - g.base[k]
    return g.z[k] + d * (g.slope[k] + 0.5 * d * g.bend[k]) + g.cross * y


def slope_x(g, x):
    """The first of `DrawnGround.slopes`; the second is ``g.cross``."""
    k = steps_up(g.start, x) - 1
    return g.slope[k] + (x - g.base[k]) * g.bend[k]


def flat_between(g, x0, x1):
    """As `DrawnGround.flat_between`."""
    k = steps_up(g.start, x0)
    return k == steps_up(g.start, x1) and g.bend[k - 1] == 0.0


def surface(g, x, y):
    """As `DrawnGround.surface`."""
    return g.cells[steps_up(g.x_edges, x), steps_up(g.y_edges, y)]


def one_surface(g, low_x, low_y, high_x, high_y):
    """As `DrawnGround.one_surface`."""
    same = steps_up(g.x_edges, low_x) == steps_up(g.x_edges, high_x)
    return same and steps_up(g.y_edges, low_y) == steps_up(g.y_edges, high_y)


def forces(vx, vy, vz, omega, above, aero, radius, air, table):
    """As `physics.forces.Forces`, with lift, drag and wind in one."""
    if aero.wind_x != 0.0 or aero.wind_y != 0.0:
        share = (max(above, air.wind_floor) / air.wind_height) ** air.wind_exponent
        vx -= aero.wind_x * share
        vy -= aero.wind_y * share
    speed = math.sqrt(vx * vx + vy * vy + vz * vz) + 1e-9
    ratio = radius * omega / speed
    pressure = aero.k * speed
    part = ratio / table.drag_spin_hold
    square = part * part
    cd = pressure * (table.drag_base + table.drag_spin * ratio / math.sqrt(math.sqrt(1.0 + square * square)))
    sharp = table.lift_hold_sharpness
    fit = aero.lift * ratio ** (table.lift_power * sharp)
    t = (aero.reynolds * speed - table.lift_reynolds_low) / (
        table.lift_reynolds_high - table.lift_reynolds_low
    )
    t = min(max(t, 0.0), 1.0)
    cl = pressure * table.lift_hold * (fit / (1.0 + fit)) ** (1.0 / sharp) * (t * t * (3.0 - 2.0 * t))
    return (
        cl * (aero.ay * vz - aero.az * vy) - cd * vx,
        cl * (aero.az * vx - aero.ax * vz) - cd * vy,
        cl * (aero.ax * vy - aero.ay * vx) - cd * vz - air.gravity,
        -table.spin_decay / radius * speed * omega,
    )


def hermite(s, p0, v0, p1, v1, dt):
    """As `physics.flight.hermite`."""
    s2 = s * s
    end = s2 * (3.0 - 2.0 * s)
    return p0 + end * (p1 - p0) + dt * s * (1.0 - 2.0 * s + s2) * v0 + dt * (s2 * s - s2) * v1


def place(s, p0, s0, p1, s1, dt):
    """Place at the share ``s`` of a step between places p0, p1 and states s0, s1."""
    return (
        hermite(s, p0[0], s0[0], p1[0], s1[0], dt),
        hermite(s, p0[1], s0[1], p1[1], s1[1], dt),
        hermite(s, p0[2], s0[2], p1[2], s1[2], dt),
    )


def over(s, p0, s0, p1, s1, dt, g):
    """Height over the ground at a share of a step."""
    x, y, z = place(s, p0, s0, p1, s1, dt)
    return z - height(g, x, y)


def root(p0, s0, p1, s1, dt, low, high, g, first):
    """As `physics.flight._root`; ``first`` is NaN in all steps but the first."""
    start = not math.isnan(first)
    f_low = over(low, p0, s0, p1, s1, dt, g)
    f_high = over(high, p0, s0, p1, s1, dt, g)
    if start:
        f_low, f_high = f_low / max(low, 1e-12), f_high / max(high, 1e-12)
        if low <= 0.0:
            f_low = first
    f_low, f_high = max(f_low, 1e-15), min(f_high, 0.0)
    share, side = high, 0
    if f_high > -CLOSE:
        return share
    for _ in range(60):
        share = low + (high - low) * f_low / (f_low - f_high)
        f = over(share, p0, s0, p1, s1, dt, g)
        if start:
            f /= max(share, 1e-12)
        if abs(f) < CLOSE:
            return share
        if f <= 0.0:
            if side > 0:
                f_low *= 0.5
            f_high, high, side = f, share, 1
        else:
            if side < 0:
                f_high *= 0.5
            f_low, low, side = f, share, -1
    return share


def moved(a, dt, rate):
    """The state ``a`` after ``dt`` at a ``rate``."""
    return (a[0] + dt * rate[0], a[1] + dt * rate[1], a[2] + dt * rate[2], a[3] + dt * rate[3])


def rate_of(s, above, aero, radius, air, table):
    """`forces` of a state."""
    return forces(s[0], s[1], s[2], s[3], above, aero, radius, air, table)


def weighed(a, b, c, d):
    """a + 2 b + 2 c + d."""
    return a + 2.0 * (b + c) + d


def fly(p0, s0, aero, g, radius, air, table, least):
    """As `physics.flight.fly` for one ball: place, state, time and apex of its landing.

    ``p0`` is a place, ``s0`` velocity and spin rate; RuntimeError when it does not come down.
    """
    windy = aero.wind_x != 0.0 or aero.wind_y != 0.0
    climb = s0[2] - slope_x(g, p0[0]) * s0[0] - g.cross * s0[1]
    time, apex, above0 = 0.0, p0[2], 0.0
    if climb <= 0.0:
        return p0, s0, time, apex
    vacuum = max(2.0 * max(climb, s0[2]) / air.gravity, SHORTEST)
    longest = min(vacuum / least, table.step_longest)
    dt = (GENTLE if windy else 1.0) * longest
    r0 = rate_of(s0, 0.0, aero, radius, air, table)
    most = max(least, math.ceil(vacuum / table.step_longest))
    for number in range(int(LONGEST * most)):
        half = 0.5 * dt
        a2 = a3 = a4 = above0
        if windy:
            a2 = p0[2] + half * s0[2] - height(g, p0[0] + half * s0[0], p0[1] + half * s0[1])
        s2 = moved(s0, half, r0)
        r2 = rate_of(s2, a2, aero, radius, air, table)
        if windy:
            a3 = p0[2] + half * s2[2] - height(g, p0[0] + half * s2[0], p0[1] + half * s2[1])
        s3 = moved(s0, half, r2)
        r3 = rate_of(s3, a3, aero, radius, air, table)
        if windy:
            a4 = p0[2] + dt * s3[2] - height(g, p0[0] + dt * s3[0], p0[1] + dt * s3[1])
        s4 = moved(s0, dt, r3)
        r4 = rate_of(s4, a4, aero, radius, air, table)
        sixth = dt / 6.0
        p1 = (
            p0[0] + sixth * weighed(s0[0], s2[0], s3[0], s4[0]),
            p0[1] + sixth * weighed(s0[1], s2[1], s3[1], s4[1]),
            p0[2] + sixth * weighed(s0[2], s2[2], s3[2], s4[2]),
        )
        s1 = (
            s0[0] + sixth * weighed(r0[0], r2[0], r3[0], r4[0]),
            s0[1] + sixth * weighed(r0[1], r2[1], r3[1], r4[1]),
            s0[2] + sixth * weighed(r0[2], r2[2], r3[2], r4[2]),
            s0[3] + sixth * weighed(r0[3], r2[3], r3[3], r4[3]),
        )
        above1 = p1[2] - height(g, p1[0], p1[1])
        r1 = rate_of(s1, above1, aero, radius, air, table)
        down, low, high = above1 <= 0.0, 0.0, 1.0
        if g.uneven != 0.0:
            room = 0.25 * g.uneven * math.sqrt((p1[0] - p0[0]) ** 2 + (p1[1] - p0[1]) ** 2)
            if min(above0, above1) < room and not flat_between(g, p0[0], p1[0]):
                low = (LOOKS - 1) / LOOKS
                for k in range(1, LOOKS):
                    if over(k / LOOKS, p0, s0, p1, s1, dt, g) < -CLOSE:
                        down, low, high = True, (k - 1) / LOOKS, k / LOOKS
                        break
        share = 1.0
        if down:
            share = root(p0, s0, p1, s1, dt, low, high, g, climb * dt if number == 0 else math.nan)
        if s0[2] > 0.0 and s1[2] <= 0.0:
            at = s0[2] / (s0[2] - s1[2])
            if at <= share:
                apex = max(apex, hermite(at, p0[2], s0[2], p1[2], s1[2], dt))
        if down:
            x, y, _ = place(share, p0, s0, p1, s1, dt)
            z = height(g, x, y)
            end = (
                hermite(share, s0[0], r0[0], s1[0], r1[0], dt),
                hermite(share, s0[1], r0[1], s1[1], r1[1], dt),
                hermite(share, s0[2], r0[2], s1[2], r1[2], dt),
                hermite(share, s0[3], r0[3], s1[3], r1[3], dt),
            )
            return (x, y, z), end, time + share * dt, max(apex, z)
        p0, s0, r0, above0 = p1, s1, r1, above1
        time += dt
        dt = min(2.0 * dt, longest)
    raise RuntimeError("a ball did not come down")


def on_way(s, time, p, v, rate, linear, square):
    """Place at the share ``s`` of a hop, one coordinate."""
    t = s * time
    return p + t * (v + t * (0.5 * rate + s / 6.0 * linear + s * s / 12.0 * square))


def in_hop(s, time, v, rate, linear, square):
    """Velocity or spin rate at the share ``s`` of a hop, one component."""
    return v + s * time * (rate + 0.5 * s * linear + s * s / 3.0 * square)


def over_hop(s, time, p, s0, r0, linear, square, g):
    """Height over the ground at the share ``s`` of a hop."""
    x = on_way(s, time, p[0], s0[0], r0[0], linear[0], square[0])
    y = on_way(s, time, p[1], s0[1], r0[1], linear[1], square[1])
    return on_way(s, time, p[2], s0[2], r0[2], linear[2], square[2]) - height(g, x, y)


def first_down(time, p, s0, r0, linear, square, g, first):
    """As `physics.hop._down`: the share at which the hop first comes down; NaN: it does not."""
    low, f_low, high, f_high = 0.0, first, 0.0, 1.0
    for k in range(1, LOOKS_HOP + 1):
        high = FURTHER * k / LOOKS_HOP
        f_high = over_hop(high, time, p, s0, r0, linear, square, g) / high
        if f_high <= 0.0:
            break
        low, f_low = high, f_high
    if f_high > 0.0:
        return math.nan
    f_low = max(f_low, 1e-12)
    if f_high * high > -CLOSE_HOP:
        return high
    share, side = high, 0
    for _ in range(40):
        share = low + (high - low) * f_low / max(f_low - f_high, 1e-12)
        f = over_hop(share, time, p, s0, r0, linear, square, g) / max(share, 1e-12)
        if abs(f * share) < CLOSE_HOP:
            return share
        if f <= 0.0:
            if side > 0:
                f_low *= 0.5
            f_high, high, side = f, share, 1
        else:
            if side < 0:
                f_high *= 0.5
            f_low, low, side = f, share, -1
    return share


def hop(p, s0, aero, g, radius, air, table):
    """As `physics.hop.hop` for one ball: whether it only hops; place, state, time and apex of the landing."""
    speed = math.sqrt(s0[0] * s0[0] + s0[1] * s0[1] + s0[2] * s0[2])
    if not (speed < FASTEST and abs(s0[2]) < HIGHEST):
        return False, p, s0, 0.0, 0.0
    gx, gy = slope_x(g, p[0]), g.cross
    climb = s0[2] - gx * s0[0] - gy * s0[1]
    r0 = rate_of(s0, 0.0, aero, radius, air, table)
    fall0 = min(r0[2] - gx * r0[0] - gy * r0[1], -1.0)
    time = max(-2.0 * climb / fall0, 0.0)
    r1 = rate_of(moved(s0, time, r0), 0.0, aero, radius, air, table)
    fall1 = r1[2] - gx * r1[0] - gy * r1[1]
    rise = climb + time * (fall0 / 3.0 + fall1 / 6.0)
    time *= 1.0 - rise / min(climb + 0.5 * time * (fall0 + fall1), -1e-6)
    a, b = 0.375 * time, 0.125 * time
    middle = rate_of(
        moved(moved(s0, a, r0), b, r1), climb * climb / (2.0 * air.gravity), aero, radius, air, table
    )
    r1 = rate_of(moved(moved(s0, 0.5 * time, r0), 0.5 * time, r1), 0.0, aero, radius, air, table)
    fall_m, fall1 = middle[2] - gx * middle[0] - gy * middle[1], r1[2] - gx * r1[0] - gy * r1[1]
    rise = climb + time * (fall0 / 6.0 + fall_m / 3.0)
    sink = climb + time * (fall0 + 4.0 * fall_m + fall1) / 6.0
    time = max(time * (1.0 - rise / min(sink, -1e-6)), 0.0)
    linear = (
        4.0 * middle[0] - 3.0 * r0[0] - r1[0], 4.0 * middle[1] - 3.0 * r0[1] - r1[1],
        4.0 * middle[2] - 3.0 * r0[2] - r1[2], 4.0 * middle[3] - 3.0 * r0[3] - r1[3],
    )  # fmt: skip
    square = (
        2.0 * (r0[0] - 2.0 * middle[0] + r1[0]), 2.0 * (r0[1] - 2.0 * middle[1] + r1[1]),
        2.0 * (r0[2] - 2.0 * middle[2] + r1[2]), 2.0 * (r0[3] - 2.0 * middle[3] + r1[3]),
    )  # fmt: skip
    share = 1.0
    if not flat_between(g, p[0], on_way(1.0, time, p[0], s0[0], r0[0], linear[0], square[0])):
        share = first_down(time, p, s0, r0, linear, square, g, climb * time)
        if math.isnan(share) or share * time >= LONGEST_HOP:
            return False, p, s0, 0.0, 0.0
    x = on_way(share, time, p[0], s0[0], r0[0], linear[0], square[0])
    y = on_way(share, time, p[1], s0[1], r0[1], linear[1], square[1])
    z = height(g, x, y)
    end = (
        in_hop(share, time, s0[0], r0[0], linear[0], square[0]),
        in_hop(share, time, s0[1], r0[1], linear[1], square[1]),
        in_hop(share, time, s0[2], r0[2], linear[2], square[2]),
        max(in_hop(share, time, s0[3], r0[3], linear[3], square[3]), 0.0),
    )
    time *= share
    weight = min(0.5 * (r0[2] + middle[2]), -1.0)
    up = min(max(-s0[2] / weight, 0.0), time)
    return True, (x, y, z), end, time, max(p[2] + up * (s0[2] + 0.5 * up * weight), z)


# In the order in which they need each other.
COMPILED = (
    aero_of, steps_up, height, slope_x, flat_between, surface, one_surface, forces, hermite, place, over,
    root, moved, rate_of, weighed, fly, on_way, in_hop, over_hop, first_down, hop,
)  # fmt: skip
