"""One ball in the air by plain scalars, step for step as `physics.flight` and `hop` do it: to be compiled.

Only `bench_kernels.py` uses it. Nothing here is a second model: every function names the one it follows.
Wind is in; obstacles and traces, which the bench's scene has not, are left out.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from shortgame_gui.physics import arc as arc_law
from shortgame_gui.physics import falling as falling_law
from shortgame_gui.physics import flight as flight_law
from shortgame_gui.physics import hop as hop_law
from shortgame_gui.physics.ground import NUDGE, PAST, TINY, DrawnGround
from shortgame_gui.store.coefficients import load

SHORTEST, STEEP = flight_law.SHORTEST, flight_law.STEEP
LATER, IN_WIND = flight_law.LATER, flight_law.IN_WIND
GENTLE, GROWING, STRETCHES = flight_law.GENTLE, flight_law.GROWING, flight_law.MOST
CALM, LEVELS = flight_law.CALM, len(flight_law.CUTS)
FINE, CLOSE, HALVED = flight_law.FINE, flight_law.CLOSE, falling_law.HALVED
MARGIN, MARGIN_BENT = arc_law.MARGIN, arc_law.MARGIN_BENT
LESS, MORE = arc_law.LESS, arc_law.MORE
FASTEST, RISING, MILD = hop_law.FASTEST, hop_law.RISING, hop_law.MILD
BRISK, BRISKER = hop_law.BRISK
FASTEST_IN_WIND, RISING_IN_WIND = hop_law.FASTEST_IN_WIND, hop_law.RISING_IN_WIND
GENTLER_IN_WIND, HIGHER_IN_WIND = hop_law.GENTLER_IN_WIND, hop_law.HIGHER_IN_WIND
SMOOTH, GUSTY, LOWER = hop_law.SMOOTH, hop_law.GUSTY, hop_law.lower(load().air.wind_exponent)
LONGEST_HOP, LONGER = hop_law.LONGEST, hop_law.LONGER
NODES, POWERS, UP_TO = hop_law.NODES, hop_law.POWERS, hop_law.UP_TO
ONCE, TWICE = hop_law.WHOLE
FURTHER, LOOKS_HOP, CLOSE_HOP = hop_law.FURTHER, hop_law.LOOKS, hop_law.CLOSE
BENT, GENTLY, SOON, SHORT_HOP = hop_law.BENT, hop_law.GENTLY, hop_law.SOON, hop_law.SHORT


class Drawn(NamedTuple):
    """The pieces and cells of a `DrawnGround` of one drawing."""

    start: np.ndarray
    base: np.ndarray
    z: np.ndarray
    slope: np.ndarray
    bend: np.ndarray
    cross: float
    uneven: float
    falls: np.ndarray
    crest: np.ndarray
    x_edges: np.ndarray
    y_edges: np.ndarray
    cells: np.ndarray

    @classmethod
    def of(cls, ground: DrawnGround) -> Drawn:
        """The arrays of ``ground``."""
        g = ground
        return cls(
            g._start[0], g._base[0], g._z[0], g._slope[0], g._bend[0], float(g._cross[0]),
            float(g._uneven[0]), g._falls.reshape(g._most, -1), g._crest.reshape(g._most, -1), g._x_edges,
            g._y_edges, g._cells.reshape(g._x_cells, g._y_cells),
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


def piece(g, x, along, gain):
    """As `DrawnGround.piece` with `ground.to_end`."""
    back = along < 0.0 or (along == 0.0 and gain < 0.0)
    k = steps_up(g.start, x - NUDGE if back else x + NUDGE)
    end = g.start[k] if k < len(g.start) else math.inf
    left = x - g.start[k - 1] if back else end - x
    if left == math.inf:
        return math.inf, g.bend[k - 1] == 0.0
    left, speed = max(left, 0.0) + PAST, abs(along)
    gain = -gain if back else gain
    square = speed * speed + 2.0 * left * gain
    if square < 0.0:
        return 2.0 * speed / max(-gain, TINY), g.bend[k - 1] == 0.0
    return 2.0 * left / max(speed + math.sqrt(square), 1e-12), g.bend[k - 1] == 0.0


def surface(g, x, y):
    """As `DrawnGround.surface`."""
    return g.cells[steps_up(g.x_edges, x), steps_up(g.y_edges, y)]


def one_surface(g, low_x, low_y, high_x, high_y):
    """As `DrawnGround.one_surface`."""
    i0, i1 = steps_up(g.x_edges, low_x), steps_up(g.x_edges, high_x)
    j0, j1 = steps_up(g.y_edges, low_y), steps_up(g.y_edges, high_y)
    if i1 - i0 > 1 or j1 - j0 > 1:
        return False
    kind = g.cells[i0, j0]
    return g.cells[i0, j1] == kind and g.cells[i1, j0] == kind and g.cells[i1, j1] == kind


def forces(vx, vy, vz, omega, above, aero, radius, air, table):
    """As `physics.forces.Forces`, with lift, drag and wind in one."""
    if aero.wind_x != 0.0 or aero.wind_y != 0.0:
        low = air.wind_floor**2
        share = ((above**2 + low) / (air.wind_height**2 + low)) ** (0.5 * air.wind_exponent)
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


def moved(a, dt, rate):
    """The state ``a`` after ``dt`` at a ``rate``."""
    return (a[0] + dt * rate[0], a[1] + dt * rate[1], a[2] + dt * rate[2], a[3] + dt * rate[3])


def rate_of(s, above, aero, radius, air, table):
    """`forces` of a state."""
    return forces(s[0], s[1], s[2], s[3], above, aero, radius, air, table)


class Plan(NamedTuple):
    """The numbers of an `arc.Rule`."""

    nodes: np.ndarray
    once: np.ndarray
    twice: np.ndarray
    gains: np.ndarray
    again: np.ndarray
    rounds: int

    @classmethod
    def of(cls, rule: arc_law.Rule) -> Plan:
        """Those of ``rule``."""
        return cls(rule.nodes, rule.once, rule.twice, rule.gains, rule.again.ravel(), rule.rounds)


class Arc(NamedTuple):
    """As `arc.Arc` for one ball."""

    p0: tuple[float, float, float]
    s0: tuple[float, float, float, float]
    way: np.ndarray
    gain: np.ndarray
    p1: tuple[float, float, float]
    s1: tuple[float, float, float, float]
    r1: tuple[float, float, float, float]
    dt: float


def weighed(weights, rates, c):
    """Sum of one component of the rates at the nodes, with weights."""
    total = 0.0
    for k in range(len(weights)):
        total += weights[k] * rates[k, c]
    return total


def fitted(p, s, rates, dt, g, gravity, plan):
    """As `arc._fitted`."""
    last = len(plan.nodes) - 1
    once, twice = plan.once[last], plan.twice[last]
    x = p[0] + dt * (s[0] + dt * weighed(twice, rates, 0))
    y = p[1] + dt * (s[1] + dt * weighed(twice, rates, 1))
    z = p[2] + dt * (s[2] + dt * weighed(twice, rates, 2))
    vx, vy = s[0] + dt * weighed(once, rates, 0), s[1] + dt * weighed(once, rates, 1)
    vz = s[2] + dt * weighed(once, rates, 2)
    gx, gy = slope_x(g, x), g.cross
    sink = max(gx * vx + gy * vy - vz, 0.2 * gravity * dt)
    return dt * min(max(1.0 + (z - height(g, x, y)) / (sink * dt), LESS), MORE)


def stretch(p, s, rate, dt, most, aero, g, radius, air, table, plan):
    """As `arc.arcs` for one ball."""
    count = len(plan.nodes)
    windy = aero.wind_x != 0.0 or aero.wind_y != 0.0
    rates, above = np.empty((count, 4)), 0.0
    h = 0.5 * dt
    if windy:
        q = 0.5 * h * h
        x, y = p[0] + h * s[0] + q * rate[0], p[1] + h * s[1] + q * rate[1]
        above = p[2] + h * s[2] + q * rate[2] - height(g, x, y)
    rate = rate_of(moved(s, h, rate), above, aero, radius, air, table)
    for k in range(count):
        for c in range(4):
            rates[k, c] = rate[c]
    new, aboves = np.empty((count, 4)), np.zeros(count)
    for number in range(plan.rounds):
        if most > 0.0 and number < plan.rounds - 1:
            dt = fitted(p, s, rates, dt, g, air.gravity, plan)
            if number == plan.rounds - 2:
                dt *= MARGIN_BENT if g.uneven > 0.0 else MARGIN
            dt = min(dt, most)
        if windy:
            for k in range(count):
                h, twice, dt2 = plan.nodes[k] * dt, plan.twice[k], dt * dt
                x = p[0] + h * s[0] + dt2 * weighed(twice, rates, 0)
                y = p[1] + h * s[1] + dt2 * weighed(twice, rates, 1)
                aboves[k] = p[2] + h * s[2] + dt2 * weighed(twice, rates, 2) - height(g, x, y)
        for k in range(count):
            for c in range(4):
                new[k, c] = s[c] + dt * weighed(plan.once[k], rates, c)
        for k in range(1 if number else 0, count):
            r = forces(new[k, 0], new[k, 1], new[k, 2], new[k, 3], aboves[k], aero, radius, air, table)
            for c in range(4):
                rates[k, c] = r[c]
    gain, way = np.empty((count, 4)), np.empty((count + 1, 3))
    s1, p1 = np.empty(4), np.empty(3)
    for c in range(4):
        s1[c] = s[c]
        for k in range(count):
            gain[k, c] = dt * weighed(plan.gains[k], rates, c)
            s1[c] += gain[k, c]
    for c in range(3):
        way[0, c] = dt * s[c]
        p1[c] = p[c] + way[0, c]
        for k in range(count):
            way[k + 1, c] = dt * gain[k, c] * plan.again[k]
            p1[c] += way[k + 1, c]
    r1 = (rates[count - 1, 0], rates[count - 1, 1], rates[count - 1, 2], rates[count - 1, 3])
    return Arc(p, s, way, gain, (p1[0], p1[1], p1[2]), (s1[0], s1[1], s1[2], s1[3]), r1, dt)


def summed(first, powers, c, share):
    """As `arc._sum` for one component."""
    total = 0.0
    for k in range(len(powers) - 1, -1, -1):
        total = (total + powers[k, c]) * share
    return first[c] + total


def place(a, share):
    """As `arc.Arc.place`."""
    return (
        summed(a.p0, a.way, 0, share), summed(a.p0, a.way, 1, share), summed(a.p0, a.way, 2, share)
    )  # fmt: skip


def over(a, share, g):
    """As `arc.Arc.above`."""
    x, y, z = place(a, share)
    return z - height(g, x, y)


def hump(g, x0, x1):
    """As `DrawnGround.hump`."""
    i, j = steps_up(g.start, min(x0, x1)) - 1, steps_up(g.start, max(x0, x1)) - 1
    far = abs(x1 - x0)
    return far * min(g.falls[i, j], far * g.crest[i, j])


def touches(a, b, hump):
    """As `flight.touches`."""
    rise, hump = abs(b - a), max(hump, 1e-12)
    low = 0.5 * (a + b) - hump - rise * rise / (16.0 * hump)
    return min(a, b) < 0.0 or (rise < 4.0 * hump and low < 0.0)


def reach(a, above0, g):
    """As `flight._reach`: whether it meets the ground, between which shares, and the height there."""
    above1 = a.p1[2] - height(g, a.p1[0], a.p1[1])
    down, low, high, at_high = above1 <= 0.0, 0.0, 1.0, above1
    if g.uneven == 0.0 or flat_between(g, a.p0[0], a.p1[0]):
        return down, low, high, at_high, above1
    # Parts still to be looked at, the earliest on top.
    starts, ends, hs, he = np.empty(64), np.empty(64), np.empty(64), np.empty(64)
    depth, levels = 1, np.zeros(64, dtype=np.intp)
    starts[0], ends[0], hs[0], he[0] = 0.0, 1.0, above0, above1
    while depth > 0:
        depth -= 1
        s0, s1, h0, level = starts[depth], ends[depth], hs[depth], levels[depth]
        if level > 0:
            x0, y0, _ = place(a, s0)
            x1, y1, _ = place(a, s1)
            length = math.sqrt((x1 - x0) ** 2 + (y1 - y0) ** 2)
            close = touches(h0, he[depth], hump(g, x0, x1)) and length > FINE and level < LEVELS
            if not close or flat_between(g, x0, x1):
                if he[depth] < -CLOSE and s1 < 1.0:
                    return True, s0, s1, he[depth], above1
                continue
        last = he[depth]
        count, before, h_before = (2 if level == 0 else 7), s0, h0
        parts, found = depth, False
        for k in range(1, count + 1):
            cut = (0.125 if k == 1 else 0.875) if level == 0 else k / 8.0
            share = s0 + cut * (s1 - s0)
            h = over(a, share, g)
            starts[depth], ends[depth], hs[depth], he[depth], levels[depth] = (
                before,
                share,
                h_before,
                h,
                level + 1,
            )
            depth += 1
            before, h_before = share, h
            if h < -CLOSE:
                found = True
                break
        if not found:
            starts[depth], ends[depth], hs[depth], he[depth], levels[depth] = (
                before,
                s1,
                h_before,
                last,
                level + 1,
            )
            depth += 1
        # The earliest shall be looked at first.
        for k in range((depth - parts) // 2):
            i, j = parts + k, depth - 1 - k
            for row in (starts, ends, hs, he):
                row[i], row[j] = row[j], row[i]
    return down, low, high, at_high, above1


def next_look(now, share, at_before, before, low, high, number):
    """One round of `falling.falls`, ``now`` found at ``share``: where to look next, and the interval."""
    if now <= 0.0:
        high = share
    else:
        low = share
    rise = now - at_before
    following = share - now * (share - before) / rise if rise != 0.0 else low
    if number >= HALVED or not low < following < high:
        following = 0.5 * (low + high)
    return following, low, high


def root(a, low, high, at_high, climb, gx, gy, g):
    """As `flight._root` with `falling.falls`; ``climb`` is NaN in all stretches but the first."""
    begins = not math.isnan(climb)
    at_high = min(at_high, 0.0) / (high if begins else 1.0)
    if at_high > -CLOSE:
        return high
    fall = min(a.dt * (a.s1[2] - gx * a.s1[0] - gy * a.s1[1]), -1e-9)
    share = 1.0 - at_high / fall if high == 1.0 else 0.5 * (low + high)
    if not low < share < high:
        share = 0.5 * (low + high)
    before, at_before = high, at_high
    for number in range(60):
        now = over(a, share, g) / (max(share, 1e-12) if begins else 1.0)
        if abs(now) < CLOSE:
            return share
        following, low, high = next_look(now, share, at_before, before, low, high, number)
        before, at_before, share = share, now, following
    return share


def fly(p, s, aero, g, radius, air, table, plan):
    """As `physics.flight.fly` for one ball: place, state, time and apex of its landing.

    ``p`` is a place, ``s`` velocity and spin rate; RuntimeError when it does not come down.
    """
    gx, gy = slope_x(g, p[0]), g.cross
    climb = s[2] - gx * s[0] - gy * s[1]
    time, apex, above = 0.0, p[2], 0.0
    if climb <= 0.0:
        return p, s, time, apex
    rate, gravity = (0.0, 0.0, -air.gravity, 0.0), air.gravity
    windy, first, before = aero.wind_x != 0.0 or aero.wind_y != 0.0, climb, 0.0
    for _ in range(STRETCHES):
        begins = not math.isnan(first)
        up = max(s[2], first) if begins else s[2]
        left = max((up + math.sqrt(up * up + 2.0 * gravity * max(above, 0.0))) / gravity, SHORTEST)
        level, square = s[0] * s[0] + s[1] * s[1], s[2] * s[2]
        way = (level + square) / math.sqrt(level + STEEP * square) * left
        gentle = windy and not (begins and way <= CALM)
        longest = table.flight_way * (IN_WIND if gentle else 1.0 if begins else LATER)
        dt = left / math.ceil(way / longest)
        if gentle:
            dt = min(dt, GENTLE * left if begins else GROWING * before)
        most = max(dt * longest / way, SHORTEST) if dt >= left else 0.0
        a = stretch(p, s, rate, dt, most, aero, g, radius, air, table, plan)
        down, low, high, at_high, above = reach(a, above, g)
        share = root(a, low, high, at_high, first, gx, gy, g) if down else 1.0
        per = 1.0 / max(a.s0[2] - a.s1[2], 1e-9)
        at = min(max(a.s0[2] * per, 0.0), share)
        at = min(max(at + per * summed(a.s0, a.gain, 2, at), 0.0), share)
        apex = max(apex, summed(a.p0, a.way, 2, at))
        if down:
            x, y, _ = place(a, share)
            z = height(g, x, y)
            end = (
                summed(a.s0, a.gain, 0, share), summed(a.s0, a.gain, 1, share),
                summed(a.s0, a.gain, 2, share), max(summed(a.s0, a.gain, 3, share), 0.0),
            )  # fmt: skip
            return (x, y, z), end, time + share * a.dt, max(apex, z)
        p, s, rate, first = a.p1, a.s1, a.r1, math.nan
        time, before = time + a.dt, a.dt
    raise RuntimeError("a ball did not come down")


def on_way(s, time, p, v, rate, linear, square):
    """Place at the share ``s`` of a hop, one coordinate."""
    t = s * time
    return p + t * (v + t * (0.5 * rate + s * (linear / 6.0 + s / 12.0 * square)))


def in_hop(s, time, v, rate, linear, square):
    """Velocity or spin rate at the share ``s`` of a hop, one component."""
    return v + s * time * (rate + s * (0.5 * linear + s / 3.0 * square))


def over_hop(s, time, p, s0, r0, linear, square, g):
    """Height over the ground at the share ``s`` of a hop."""
    x = on_way(s, time, p[0], s0[0], r0[0], linear[0], square[0])
    y = on_way(s, time, p[1], s0[1], r0[1], linear[1], square[1])
    return on_way(s, time, p[2], s0[2], r0[2], linear[2], square[2]) - height(g, x, y)


def first_down(time, p, s0, r0, linear, square, g, first):
    """As `physics.hop._Way.down`: the share at which the hop first comes down; NaN: it does not."""
    low, f_low, high, f_high, further = 0.0, first, 0.0, 1.0, FURTHER
    if s0[0] * s0[0] + s0[1] * s0[1] + s0[2] * s0[2] < GENTLY * GENTLY:
        further = max(SOON / max(time, SHORT_HOP), FURTHER)
    for k in range(1, LOOKS_HOP + 1):
        high = further * (k / LOOKS_HOP)
        f_high = over_hop(high, time, p, s0, r0, linear, square, g) / high
        if f_high <= 0.0:
            break
        low, f_low = high, f_high
    if f_high > 0.0:
        return math.nan
    f_low = max(f_low, 1e-12)
    if f_high > -CLOSE_HOP:
        return high
    share, before, at_before = low + (high - low) * f_low / (f_low - f_high), high, f_high
    for number in range(60):
        now = over_hop(share, time, p, s0, r0, linear, square, g) / max(share, 1e-12)
        if abs(now) < CLOSE_HOP:
            return share
        following, low, high = next_look(now, share, at_before, before, low, high, number)
        before, at_before, share = share, now, following
    return share


def landing(climb, time, r0, r1, r2, gx, gy):
    """As `hop._landing`."""
    f0, f1 = r0[2] - gx * r0[0] - gy * r0[1], r1[2] - gx * r1[0] - gy * r1[1]
    f2 = r2[2] - gx * r2[0] - gy * r2[1]
    left = climb + time * (TWICE[0] * f0 + TWICE[1] * f1 + TWICE[2] * f2)
    sink = climb + time * (ONCE[0] * f0 + ONCE[1] * f1 + ONCE[2] * f2)
    return time * (1.0 - left / min(sink, -1e-6))


def power(k, a, b, c):
    """Coefficients of the rates ``a``, ``b`` and ``c`` over the power ``k`` of the share, four."""
    x, y, z = POWERS[k, 0], POWERS[k, 1], POWERS[k, 2]
    return (
        x * a[0] + y * b[0] + z * c[0], x * a[1] + y * b[1] + z * c[1], x * a[2] + y * b[2] + z * c[2],
        x * a[3] + y * b[3] + z * c[3],
    )  # fmt: skip


def hop(p, s0, aero, g, radius, air, table):
    """As `physics.hop.hop` for one ball: whether it only hops; place, state, time and apex of the landing."""
    square = s0[0] * s0[0] + s0[1] * s0[1] + s0[2] * s0[2]
    product = square * s0[2] * s0[2]
    windy = aero.wind_x != 0.0 or aero.wind_y != 0.0
    fastest, rising = (FASTEST_IN_WIND, RISING_IN_WIND) if windy else (FASTEST, RISING)
    if windy and square < GENTLER_IN_WIND * GENTLER_IN_WIND:
        rising = HIGHER_IN_WIND
    if not (square < fastest * fastest and abs(s0[2]) < rising):
        return False, p, s0, 0.0, 0.0
    ahead = 2.0 / air.gravity * s0[0] * s0[2]
    if abs(ahead) > BENT and not flat_between(g, p[0], p[0] + ahead):
        return False, p, s0, 0.0, 0.0
    gx, gy = slope_x(g, p[0]), g.cross
    climb = s0[2] - gx * s0[0] - gy * s0[1]
    vacuum = max(2.0 / air.gravity * climb, 0.0)
    time, guess = vacuum, (0.0, 0.0, -air.gravity, 0.0)
    if product >= MILD * MILD:
        guess = rate_of(s0, 0.0, aero, radius, air, table)
        sink = min(guess[2] - gx * guess[0] - gy * guess[1], -air.gravity / LONGER)
        time = max(-2.0 / sink * climb, 0.0)
    rise = climb * time
    if windy:
        rise *= 1.0 - LOWER * (1.0 - min(4.0 * air.wind_floor / SMOOTH / max(rise, 1e-9), 1.0))
        product *= GUSTY * GUSTY
    up0, top, up2 = NODES[0] * (1.0 - NODES[0]) * rise, 0.25 * rise, NODES[2] * (1.0 - NODES[2]) * rise
    a = rate_of(moved(s0, NODES[0] * time, guess), up0, aero, radius, air, table)
    b = rate_of(moved(s0, NODES[1] * time, guess), top, aero, radius, air, table)
    c = rate_of(moved(s0, NODES[2] * time, guess), up2, aero, radius, air, table)
    time = landing(climb, time, a, b, c, gx, gy)
    for brisk in (BRISK, BRISKER):
        if product < brisk * brisk:
            break
        t, u = time, UP_TO
        m0 = moved(moved(moved(s0, t * u[0, 0], a), t * u[0, 1], b), t * u[0, 2], c)
        m1 = moved(moved(moved(s0, t * u[1, 0], a), t * u[1, 1], b), t * u[1, 2], c)
        m2 = moved(moved(moved(s0, t * u[2, 0], a), t * u[2, 1], b), t * u[2, 2], c)
        a = rate_of(m0, up0, aero, radius, air, table)
        b = rate_of(m1, top, aero, radius, air, table)
        c = rate_of(m2, up2, aero, radius, air, table)
        time = landing(climb, time, a, b, c, gx, gy)
    if not time < min(LONGER * vacuum, LONGEST_HOP):
        return False, p, s0, 0.0, 0.0
    r0, linear, curve = power(0, a, b, c), power(1, a, b, c), power(2, a, b, c)
    share = 1.0
    x = on_way(1.0, time, p[0], s0[0], r0[0], linear[0], curve[0])
    if not flat_between(g, p[0], x):
        if not abs(x - p[0]) < BENT:
            return False, p, s0, 0.0, 0.0
        share = first_down(time, p, s0, r0, linear, curve, g, climb * time)
        if math.isnan(share) or share * time >= LONGEST_HOP:
            return False, p, s0, 0.0, 0.0
    x = on_way(share, time, p[0], s0[0], r0[0], linear[0], curve[0])
    y = on_way(share, time, p[1], s0[1], r0[1], linear[1], curve[1])
    z = height(g, x, y)
    end = (
        in_hop(share, time, s0[0], r0[0], linear[0], curve[0]),
        in_hop(share, time, s0[1], r0[1], linear[1], curve[1]),
        in_hop(share, time, s0[2], r0[2], linear[2], curve[2]),
        max(in_hop(share, time, s0[3], r0[3], linear[3], curve[3]), 0.0),
    )
    whole = time
    time *= share
    more = (a[2] - b[2]) / (NODES[1] - NODES[0])
    first, rise = -a[2] - NODES[0] * more, max(s0[2], 0.0)
    share = rise / max(whole * (first + 0.25 * more), 1e-9)
    mean, early = max(first + 0.5 * share * more, 1.0), max(first + share / 3.0 * more, 1.0)
    up = min(rise / mean, time)
    return True, (x, y, z), end, time, max(p[2] + up * (s0[2] - 0.5 * up * early), z)


# In the order in which they need each other.
COMPILED = (
    aero_of, steps_up, height, slope_x, flat_between, piece, surface, one_surface, forces, moved, rate_of,
    weighed, fitted, stretch, summed, place, over, hump, touches, reach, next_look, root, fly, on_way, in_hop,
    over_hop, first_down, landing, power, hop,
)  # fmt: skip
