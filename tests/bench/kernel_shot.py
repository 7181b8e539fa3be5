"""One shot whole by plain scalars, step for step as `physics.shot`, `bounce`, `hole` and `run` play it.

Only `bench_kernels.py` uses it, which compiles it with numba: the yardstick that our NumPy is held against.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import kernel_flight as way
import numpy as np

from shortgame_gui.physics import plane_roll as plane_law
from shortgame_gui.physics import roll as roll_law
from shortgame_gui.physics import run as run_law
from shortgame_gui.physics import skid as skid_law
from shortgame_gui.physics import steps as steps_law
from shortgame_gui.physics.ground import GREEN, OUT, WATER
from shortgame_gui.physics.shot import MOST_BOUNCES

AT_REST, HOLED, IN_WATER = steps_law.AT_REST, steps_law.HOLED, steps_law.IN_WATER
OUT_OF_BOUNDS, ROLLED_AWAY = steps_law.OUT_OF_BOUNDS, steps_law.ROLLED_AWAY
SKID_STEPS, SKID, SKID_BENT, SKID_AHEAD, TIP, ENDLESS = (
    run_law.SKID_STEPS, skid_law.SKID, skid_law.SKID_BENT, skid_law.SKID_AHEAD, skid_law.TIP, run_law.ENDLESS,
)  # fmt: skip
LAST, BENT, SLOWING, AHEAD, CHANGE, LAG = (
    roll_law.LAST, roll_law.BENT, roll_law.SLOWING, steps_law.AHEAD, roll_law.CHANGE, roll_law.LAG,
)  # fmt: skip
STIFF, CREEP, CREPT, TURN_WAY = roll_law.STIFF, roll_law.CREEP, roll_law.CREPT, roll_law.TURN_WAY
TURN, STRAIGHT, LAST_TURN, LONGEST = roll_law.TURN, roll_law.STRAIGHT, roll_law.LAST_TURN, roll_law.LONGEST
OFF, TOP, LESS, MORE, SAME_TIME = (
    roll_law.OFF, roll_law.TOP, roll_law.LESS, roll_law.MORE, roll_law.SAME_TIME,
)  # fmt: skip
BEFORE, HALF_TURN = roll_law.BEFORE, roll_law.HALF_TURN
LOOKS, CLOSER, CHORDS = steps_law.LOOKS, steps_law.CLOSER, steps_law.CHORDS
STILL, NEVER, LEVEL = steps_law.STILL, steps_law.NEVER, plane_law.LEVEL
STOPPED, ASLANT, NEARLY = plane_law.STOPPED, plane_law.ASLANT, plane_law.NEARLY
NEARER, LEAST = plane_law.NEARER, plane_law.LEAST


class Here(NamedTuple):
    """The ground and air of n shots, as `shot.Conditions` has them."""

    stimp: np.ndarray
    firmness: np.ndarray
    wet: np.ndarray
    hole: np.ndarray
    density: np.ndarray
    viscosity: np.ndarray
    wind_x: np.ndarray
    wind_y: np.ndarray
    grip: np.ndarray
    scatter: np.ndarray


def contact(g, x, y, here, i, draw, surfaces, turf):
    """As `shot.contact`: normal, restitution, friction and tilt, and the surface."""
    kind = way.surface(g, x, y)
    uneven = surfaces.uneven[kind]
    gx = way.slope_x(g, x) + uneven * here.scatter[1, draw, i]
    gy = g.cross + uneven * here.scatter[2, draw, i]
    nz = 1.0 / math.sqrt(1.0 + gx * gx + gy * gy)
    firm = (here.firmness[i] - turf.firmness_medium) / turf.firmness_step
    sigma = surfaces.scatter[kind]
    spread = math.exp(min(sigma * here.scatter[0, draw, i] - 0.5 * sigma * sigma, turf.scatter_limit))
    wet = here.wet[i]
    lively = math.exp(turf.firmness_restitution * firm) * spread * (1.0 - wet * (1.0 - turf.wet_restitution))
    grip = here.grip[i] if kind == GREEN else 1.0
    tilt = surfaces.tilt[kind] * math.exp(-turf.firmness_tilt * firm) * (1.0 - wet * (1.0 - turf.wet_tilt))
    friction = surfaces.friction[kind] * grip * (1.0 - wet * (1.0 - turf.wet_friction))
    return (-gx * nz, -gy * nz, nz), surfaces.restitution[kind] * lively, friction, tilt, kind


def bounce(v, w, n, lively, friction, wall, turf, radius):
    """As `bounce.bounce`: velocity and spin after it."""
    vx, vy, vz = v
    wx, wy, wz = w
    nx, ny, nz = n
    down = max(-(vx * nx + vy * ny + vz * nz), 0.0)
    fx, fy, fz = vx + down * nx, vy + down * ny, vz + down * nz
    across = math.sqrt(fx * fx + fy * fy + fz * fz)
    inverse = 1.0 / across if across > 1e-9 else 0.0
    back = (
        -radius * inverse * (wx * (ny * fz - nz * fy) + wy * (nz * fx - nx * fz) + wz * (nx * fy - ny * fx))
    )
    square = down * down + across * across
    angle = math.atan2(across, down)
    tilt = turf.tilt * (math.sqrt(square) / turf.tilt_speed) ** turf.tilt_speed_power
    tilt *= (angle / turf.tilt_angle) ** turf.tilt_angle_power
    tilt *= max(1.0 + turf.tilt_spin * back / math.sqrt(square + back * back + 1e-18), 0.0)
    tilt *= down * down / (down * down + turf.tilt_fade_speed**2 + 1e-18)
    tilt = min(tilt, turf.tilt_most * (down / turf.tilt_most_speed) ** (1.0 / 3.0))
    tilt = min(tilt * wall, angle)
    c, s = math.cos(tilt), math.sin(tilt) * inverse
    tx, ty, tz = c * nx - s * fx, c * ny - s * fy, c * nz - s * fz
    into = -(vx * tx + vy * ty + vz * tz)
    e = turf.restitution_floor
    if into <= turf.restitution_join:
        e = turf.restitution_0 - turf.restitution_1 * into + turf.restitution_2 * into * into
    e = min(max(e * lively, 0.0), turf.restitution_most)
    gx, gy, gz = vx + into * tx, vy + into * ty, vz + into * tz
    sx, sy, sz = (
        gx - radius * (wy * tz - wz * ty),
        gy - radius * (wz * tx - wx * tz),
        gz - radius * (wx * ty - wy * tx),
    )
    size = math.sqrt(sx * sx + sy * sy + sz * sz)
    impulse = min(2.0 / 7.0 * (1.0 + turf.tangential_restitution) * size, friction * (1.0 + e) * into)
    scale = impulse / max(size, 1e-12)
    sx, sy, sz = scale * sx, scale * sy, scale * sz
    ox, oy, oz = gx - sx + e * into * tx, gy - sy + e * into * ty, gz - sz + e * into * tz
    rebound = ox * nx + oy * ny + oz * nz
    lost = min(max(rebound, 0.0), max(e, turf.rebound_most) * down) - rebound
    turn = 2.5 / radius
    spin = (wx + turn * (ty * sz - tz * sy), wy + turn * (tz * sx - tx * sz), wz + turn * (tx * sy - ty * sx))
    return (ox + lost * nx, oy + lost * ny, oz + lost * nz), spin


def capture_speed(offset, table):
    """As `hole.capture_speed`."""
    share = min(max(offset / table.radius, 0.0), 1.0)
    return table.capture_speed * (1.0 - share * share)


def drops_landing(g, x, y, vx, vy, down, hole_x, hole_y, radius, gravity, table):
    """As `hole.over` and `hole.drops_landing`."""
    reach = 3.0 * table.radius
    if not (abs(hole_x - x) <= reach and abs(hole_y - y) <= reach):
        return False
    speed = math.hypot(vx, vy)
    ux, uy = (1.0, 0.0) if speed < 1e-9 else (vx / speed, vy / speed)
    to_x, to_y = hole_x - x, hole_y - y
    ahead, offset = to_x * ux + to_y * uy, abs(to_y * ux - to_x * uy)
    if not offset < table.radius:
        return False
    inside = math.sqrt(table.radius**2 - offset * offset) - ahead
    fall = (math.sqrt(down * down + 2.0 * gravity * radius) - down) / gravity
    level = math.sqrt(2.0 * radius / gravity)
    back = 0.5 * gravity * (way.slope_x(g, hole_x) * ux + g.cross * uy) * fall * fall
    return inside >= 0.0 and inside + speed * fall - back < capture_speed(offset, table) * level


def drops_rolling(g, a, b, hole_x, hole_y, radius, gravity, table):
    """As `hole.drops_rolling` and `hole.climb_gain` between two (x, y, vx, vy)."""
    dx, dy, to_x, to_y = b[0] - a[0], b[1] - a[1], hole_x - a[0], hole_y - a[1]
    length = math.sqrt(max(dx * dx + dy * dy, 1e-18))
    ahead, beside = (to_x * dx + to_y * dy) / length, (to_y * dx - to_x * dy) / length
    share = min(max(ahead / length, 0.0), 1.0)
    offset = math.hypot(share * dx - to_x, share * dy - to_y)
    if not offset < table.radius:
        return math.inf
    square = (1.0 - share) * (a[2] * a[2] + a[3] * a[3]) + share * (b[2] * b[2] + b[3] * b[3])
    climb = (way.slope_x(g, hole_x) * dx + g.cross * dy) / length
    if math.sqrt(square) >= capture_speed(offset, table) + climb * math.sqrt(0.5 * gravity * radius):
        return math.inf
    return (ahead - math.sqrt(max(table.radius**2 - beside * beside, 0.0))) / length


def between(s, a, b, time):
    """As `steps.Move`: (x, y, vx, vy) at a share of a step from ``a`` to ``b``."""
    s2 = s * s
    end, late = s2 * (3.0 - 2.0 * s), s2 * (s - 1.0)
    early = s - s2 + late
    d_end, d_late = 6.0 * (s - s2), 3.0 * s2 - 2.0 * s
    d_early, per = 1.0 - 2.0 * s + d_late, 1.0 / max(time, 1e-12)
    dx, dy = b[0] - a[0], b[1] - a[1]
    return (
        a[0] + end * dx + time * (early * a[2] + late * b[2]),
        a[1] + end * dy + time * (early * a[3] + late * b[3]),
        d_end * per * dx + d_early * a[2] + d_late * b[2],
        d_end * per * dy + d_early * a[3] + d_late * b[3],
    )


def slip(a, w, gx, gy, nz, radius):
    """As `steps.Steps.slip`."""
    wx, wy, wz = radius * w[0], radius * w[1], radius * w[2]
    nx, ny = -gx * nz, -gy * nz
    climb = gx * a[2] + gy * a[3]
    return a[2] - (wy * nz - wz * ny), a[3] - (wz * nx - wx * nz), climb - (wx * ny - wy * nx)


def losing_of(s, size, gx, gy, pull_x, pull_y, force):
    """What the slip ``s`` loses a second, in m/s2."""
    scale = 1.0 / max(size, 1e-12)
    pull = (pull_x * s[0] + pull_y * s[1] + (gx * pull_x + gy * pull_y) * s[2]) * scale
    return 3.5 * force - pull


def downhill(g, x, gravity):
    """As `steps.Steps.slope`: slope along, vertical part of the normal, and the pull along and across."""
    gx, gy = way.slope_x(g, x), g.cross
    square = 1.0 / (1.0 + gx * gx + gy * gy)
    return gx, math.sqrt(square), -gravity * square * gx, -gravity * square * gy


def tangent(along, across, pull, brake):
    """As `plane_roll.PlaneRoll.of`: side, brake over pull, tangent of half the angle, and speed."""
    speed = max(math.sqrt(along * along + across * across), 1e-9)
    side = float((across > 0.0) - (across < 0.0))
    across = max(abs(across), ASLANT * speed)
    return side, brake / pull, across / max(speed + along, 0.5 * ASLANT * across), speed


def apart(power):
    """As `plane_roll._apart`."""
    return NEARLY if abs(power) < NEARLY else power


def part(power, log):
    """One of the sums of `plane_roll.PlaneRoll.step`."""
    power = apart(power)
    return -math.expm1(power * log) / power


def slid(a, s, nz, pull_x, pull_y, force):
    """As `skid.Skids.slid`: when the slip ends, and where the ball is then, with its velocity."""
    level, brake = math.sqrt(pull_x * pull_x + pull_y * pull_y), 3.5 * force
    down_x, down_y = 1.0, 0.0
    if level > 0.0:
        down_x, down_y = pull_x / max(level, 1e-12), pull_y / max(level, 1e-12)
    along, across = (s[0] * down_x + s[1] * down_y) / nz, s[1] * down_x - s[0] * down_y
    pull = max(level / nz, LEVEL * brake)
    side, k, u, speed = tangent(along, across, pull, brake)
    square = u * u
    scale = speed / (1.0 + square)
    reach, log = scale * scale / pull, math.log(STOPPED)
    x = reach * (part(2.0 * k - 2.0, log) - square * square * part(2.0 * k + 2.0, log)) * nz
    y = side * 2.0 * reach * u * (part(2.0 * k - 1.0, log) + square * part(2.0 * k + 1.0, log))
    time = scale / pull * (part(k - 1.0, log) + square * part(k + 1.0, log))
    more_x, more_y = time * pull_x, time * pull_y
    lost_x = time * (s[0] + 0.5 * more_x) - (x * down_x - y * down_y)
    lost_y = time * (s[1] + 0.5 * more_y) - (x * down_y + y * down_x)
    return time, (
        a[0] + time * (a[2] + 0.5 * more_x) - lost_x / 3.5,
        a[1] + time * (a[3] + 0.5 * more_y) - lost_y / 3.5,
        a[2] + more_x - (s[0] + more_x) / 3.5,
        a[3] + more_y - (s[1] + more_y) / 3.5,
    )


def skid(g, a, w, kind, slide, left, radius, gravity):
    """As `skid.Skids.skid`: the time, where it leads, the spin there, and whether the skid goes on."""
    gy = g.cross
    gx, nz, pull_x, pull_y = downhill(g, a[0], gravity)
    s = slip(a, w, gx, gy, nz, radius)
    size = math.sqrt(s[0] * s[0] + s[1] * s[1] + s[2] * s[2])
    force = slide * gravity * nz
    losing, least = losing_of(s, size, gx, gy, pull_x, pull_y, force), 0.1 * force
    ends = losing > least or size < STILL
    whole = size / max(losing, least)
    until, even = way.piece(g, a[0], a[2], pull_x - force / max(size, 1e-12) * s[0])
    speed = math.sqrt(a[2] * a[2] + a[3] * a[3])
    if even:
        steps = min(math.ceil(speed * whole / SKID), max(left, 1.0))
    else:
        steps = math.ceil(speed * whole / max(SKID_BENT, SKID_AHEAD * speed))
    time, once, b = min(whole / max(steps, 1.0), until), False, a
    sure = pull_x * pull_x + pull_y * pull_y + (gx * pull_x + gy * pull_y) ** 2 < (3.5 * force) ** 2
    if even and ends and sure and speed * whole > SKID and whole <= until:
        lasts, b = slid(a, s, nz, pull_x, pull_y, force)
        once = lasts <= until
    if once:
        time = whole = lasts
    pull_z, first_x, first_y = gx * pull_x + gy * pull_y, pull_x, pull_y
    if not even:
        mx, mnz, second_x, second_y = downhill(g, a[0] + 0.5 * time * (a[2] + 0.25 * time * first_x), gravity)
        angle = abs(mx - gx) * nz * mnz
        if angle > TIP:
            time *= TIP / angle
            mx, mnz, second_x, second_y = downhill(
                g, a[0] + 0.5 * time * (a[2] + 0.25 * time * first_x), gravity
            )
        before, gx, nz, pull_x, pull_y = size, mx, mnz, second_x, second_y
        s = slip(a, w, gx, gy, nz, radius)
        size = math.sqrt(s[0] * s[0] + s[1] * s[1] + s[2] * s[2])
        force, pull_z = slide * gravity * nz, gx * pull_x + gy * pull_y
        if time >= whole:
            to_end = 2.0 * size - before
            to_end /= max(losing_of(s, size, gx, gy, pull_x, pull_y, force), 0.1 * force)
            whole = time = min(max(to_end, 0.5 * time), 1.5 * time)
    half, scale = 0.5 * time, 1.0 / max(size, 1e-12)
    keep = max(1.0 - 3.5 * force * half * scale, 0.0)
    ux, uy, uz = keep * s[0] + half * pull_x, keep * s[1] + half * pull_y, keep * s[2] + half * pull_z
    scale = force / max(math.sqrt(ux * ux + uy * uy + uz * uz), 1e-12)
    fx, fy, fz = scale * ux, scale * uy, scale * uz
    ax, ay = pull_x - fx, pull_y - fy
    bx, by = a[0] + time * (a[2] + half * ax), a[1] + time * (a[3] + half * ay)
    bu, bv = a[2] + time * ax, a[3] + time * ay
    if not even:
        sixth, more_x, more_y = time / 6.0, first_x - pull_x, first_y - pull_y
        _, _, third_x, third_y = downhill(g, bx, gravity)
        bx, by = bx + time * sixth * more_x, by + time * sixth * more_y
        bu, bv = bu + sixth * (more_x + third_x - pull_x), bv + sixth * (more_y + third_y - pull_y)
    if not once:
        b = (bx, by, bu, bv)
    on = not (ends and time >= whole)
    share, crosses = cut(g, a, b, time, kind)
    if crosses:
        b = between(share, a, b, time)
        time, on = time * share, True
    if once:
        fx, fy = pull_x + (a[2] - b[2]) / time, pull_y + (a[3] - b[3]) / time
        fz = gx * fx + gy * fy
    nx, ny, turn = -gx * nz, -gy * nz, 2.5 / radius * time
    w = (
        w[0] + turn * (ny * fz - nz * fy),
        w[1] + turn * (nz * fx - nx * fz),
        w[2] + turn * (nx * fy - ny * fx),
    )
    return time, b, w, on


def gone(k, pull, speed, far):
    """As `plane_roll.PlaneRoll.gone`."""
    loss = apart(k - 1.0)
    return max(1.0 - 2.0 * pull * loss * far / (speed * speed), 0.0) ** (0.5 / loss)


def turned_by(u, angle):
    """As `plane_roll.PlaneRoll.turned`."""
    d = math.tan(0.5 * angle)
    return max((u - d) / (u * (1.0 + u * d)), 0.0)


def after(k, u, late):
    """As `plane_roll.PlaneRoll.after`; ``late`` is the time over the speed's part of it."""
    more, less, square = apart(k - 1.0), k + 1.0, u * u
    first = math.log(max(1.0 - more * late, STOPPED)) / more
    second = math.log(max(1.0 - less / square * late, STOPPED)) / less
    log = max(first, second, LEAST)
    for _ in range(NEARER):
        first, second = math.exp(more * log), square * math.exp(less * log)
        past = (1.0 - first) / more + (square - second) / less
        log = min(max(log - (late - past) / max(first + second, STOPPED), LEAST), 0.0)
    return math.exp(log)


def aslant(a, down_x, down_y, nz, pull, brake):
    """As `plane_roll.PlaneRoll.of`: the speed along the fall line, and what `tangent` says."""
    along, across = (a[2] * down_x + a[3] * down_y) / nz, a[3] * down_x - a[2] * down_y
    side, k, u, speed = tangent(along, across, pull, brake)
    return along, side, k, u, speed


def lead(a, down_x, down_y, nz, pull, course, share):
    """As `roll.Rolls.lead` with `plane_roll.PlaneRoll.step`: time, where it leads, and whether it rests."""
    _, side, k, u, speed = course
    square = u * u
    scale = speed / (1.0 + square)
    reach = scale * scale / pull
    log = math.log(max(share, STOPPED))
    x = reach * (part(2.0 * k - 2.0, log) - square * square * part(2.0 * k + 2.0, log))
    y = side * 2.0 * reach * u * (part(2.0 * k - 1.0, log) + square * part(2.0 * k + 1.0, log))
    time = scale / pull * (part(k - 1.0, log) + square * part(k + 1.0, log))
    v, scale = share * u, scale * math.exp((k - 1.0) * log)
    v1, v2 = scale * (1.0 - v * v), side * scale * 2.0 * v
    x, v1 = x * nz, v1 * nz
    b = (
        a[0] + x * down_x - y * down_y, a[1] + x * down_y + y * down_x,
        v1 * down_x - v2 * down_y, v1 * down_y + v2 * down_x,
    )  # fmt: skip
    return time, b, share == 0.0


def left_of(k, pull, speed):
    """As `plane_roll.PlaneRoll.left`."""
    loss = 2.0 * pull * (k - 1.0)
    return speed * speed / max(loss, 1e-12) if loss > 0.0 else math.inf


def free(g, a, down_x, down_y, nz, pull, course, share, hole_x, hole_y, table):
    """As `roll.Rolls.free`: whether the ball surely meets nothing up to the share of its speed's tangent."""
    _, side, _, u, _ = course
    time, b, _ = lead(a, down_x, down_y, nz, pull, course, share)
    x, y = b[0] - a[0], b[1] - a[1]
    angle = 2.0 * math.atan(u * share)
    if not 2.0 * math.atan(u) - angle < HALF_TURN:
        return False
    c, s = math.cos(angle) * nz, math.sin(angle) * side
    last_x, last_y = c * down_x - s * down_y, c * down_y + s * down_x
    turned = a[2] * last_y - a[3] * last_x
    reach = (x * last_y - y * last_x) / (1.0 if turned == 0.0 else turned)
    third = time / 3.0
    late_x, late_y = x - third * b[2], y - third * b[3]
    low_x, high_x = (
        a[0] + min(0.0, x, reach * a[2], third * a[2], late_x),
        a[0] + max(0.0, x, reach * a[2], third * a[2], late_x),
    )
    low_y, high_y = (
        a[1] + min(0.0, y, reach * a[3], third * a[3], late_y),
        a[1] + max(0.0, y, reach * a[3], third * a[3], late_y),
    )
    if not way.one_surface(g, low_x, low_y, high_x, high_y):
        return False
    r = table.radius
    return not (low_x - r <= hole_x <= high_x + r and low_y - r <= hole_y <= high_y + r)


def turn(g, a, down_x, down_y, nz, pull, brake, until, hole_x, hole_y, table):
    """As `roll.Rolls.turn`: time, where it leads, and whether it rests."""
    course = aslant(a, down_x, down_y, nz, pull, brake)
    along, _, k, u, speed = course
    square, time = u * u, until
    if along < 0.0:
        top = along * speed / min(brake * along - pull * speed, -1e-12)
        time = min(until, max(top, math.sqrt(2.0 * TURN_WAY / (pull + brake))))
    scale, stops = speed / ((1.0 + square) * pull), math.inf
    if k > 1.0:
        stops = scale * (1.0 / apart(k - 1.0) + square / (k + 1.0))
    share = 0.0 if stops <= time else after(k, u, time / scale)
    angle = 2.0 * math.atan(u)
    turned = angle - 2.0 * math.atan(u * share)
    off = (min(time, stops) * turned) ** 2 * brake / 384.0
    if not (left_of(k, pull, speed) < LAST_TURN or off <= OFF):
        most = turned_by(u, min(turned * math.sqrt(OFF / max(off, OFF)), angle))
        up_to = math.hypot(hole_x - a[0], hole_y - a[1]) - (table.radius + BEFORE)
        before = max(share, gone(k, pull, speed, max(up_to, 0.0)))
        near = max(share, min(most, gone(k, pull, speed, TURN_WAY)))
        for longer in (share, before):
            if longer < near and free(g, a, down_x, down_y, nz, pull, course, longer, hole_x, hole_y, table):
                near = longer
        share = near
    return lead(a, down_x, down_y, nz, pull, course, share)


def creep(g, a, down_x, down_y, nz, pull, brake, resist, gravity):
    """As `roll.Rolls.creep`: time, where it leads, and whether it rests."""
    _, b, _ = crept(a, down_x, down_y, nz, pull, brake)
    _, nz, pull_x, pull_y = downhill(g, 0.5 * (a[0] + b[0]), 5.0 / 7.0 * gravity)
    level = max(math.hypot(pull_x, pull_y), 1e-9)
    return crept(a, pull_x / level, pull_y / level, nz, level / nz, resist * nz)


def crept(a, down_x, down_y, nz, pull, brake):
    """One of the two steps of `creep`."""
    course = aslant(a, down_x, down_y, nz, pull, brake)
    _, _, k, u, speed = course
    share = 0.0
    if left_of(k, pull, speed) >= CREPT:
        share = min(gone(k, pull, speed, TURN_WAY), turned_by(u, min(2.0 * math.atan(u), TURN)))
        share = max(share, gone(k, pull, speed, CREEP))
    return lead(a, down_x, down_y, nz, pull, course, share)


def cut(g, a, b, time, kind):
    """As `steps.Steps.to_edges`: share of the step just past the first edge, and whether there is one."""
    third = time / 3.0
    x1, x2 = a[0] + third * a[2], b[0] - third * b[2]
    y1, y2 = a[1] + third * a[3], b[1] - third * b[3]
    low_x, low_y = min(a[0], x1, x2, b[0]), min(a[1], y1, y2, b[1])
    high_x, high_y = max(a[0], x1, x2, b[0]), max(a[1], y1, y2, b[1])
    if way.one_surface(g, low_x, low_y, high_x, high_y):
        return 1.0, False
    width, share = 1.0, 0.0
    for closer in range(1 + len(CLOSER)):
        looks = LOOKS if closer == 0 else CLOSER[closer - 1]
        width /= looks
        for k in range(1, looks + 1):
            x, y, _, _ = between(share + width * k, a, b, time)
            if way.surface(g, x, y) != kind:
                break
        else:
            if closer == 0:
                return 1.0, False
        share += width * (k - 1)
    return share + width, True


def acceleration(g, x, vx, vy, resist, gravity):
    """As `roll.Rolls.acceleration`."""
    gx, gy = way.slope_x(g, x), g.cross
    square = 1.0 / (1.0 + gx * gx + gy * gy)
    climb = gx * vx + gy * vy
    per = resist * math.sqrt(square) / max(math.sqrt(vx * vx + vy * vy + climb * climb), 1e-6)
    pull = -5.0 / 7.0 * gravity * square
    return pull * gx - per * vx, pull * gy - per * vy


def half_way(g, a, vx, vy, ax, ay, time, resist, gravity):
    """The rates half way of a step, twice, as `roll.Rolls.bend` takes them."""
    half = 0.5 * time
    mx = a[0] + half * (vx + 0.5 * half * ax)
    bx, by = acceleration(g, mx, vx + half * ax, vy + half * ay, resist, gravity)
    cx, cy = acceleration(g, mx, vx + half * bx, vy + half * by, resist, gravity)
    return bx, by, cx, cy


def bend(g, a, vx, vy, ax, ay, time, until, resist, gravity):
    """As `roll.Rolls.bend`: the time, and where the step leads."""
    bx, by, cx, cy = half_way(g, a, vx, vy, ax, ay, time, resist, gravity)
    half = 0.5 * time
    change, lag = half * math.hypot(bx - ax, by - ay), time * math.hypot(cx - bx, cy - by)
    over = min(CHANGE / max(change, CHANGE), (LAG / max(lag, LAG)) ** (2.0 / 3.0))
    again, before = over < 1.0, time
    if time == until and not again:
        there, _ = way.piece(g, a[0], vx, (ax + 2.0 * cx) * (1.0 / 3.0))
        time = min(max(there, LESS * time), MORE * time)
        again = abs(time - before) > SAME_TIME * before
    if again:
        time *= math.sqrt(over)
        bx, by, cx, cy = half_way(g, a, vx, vy, ax, ay, time, resist, gravity)
    half = 0.5 * time
    dx, dy = acceleration(g, a[0] + time * (vx + half * cx), vx + time * cx, vy + time * cy, resist, gravity)
    sixth = time / 6.0
    return time, (
        a[0] + time * (vx + sixth * (ax + bx + cx)), a[1] + time * (vy + sixth * (ay + by + cy)),
        vx + sixth * (ax + 2.0 * (bx + cx) + dx), vy + sixth * (ay + 2.0 * (by + cy) + dy),
    )  # fmt: skip


def roll(g, a, kind, resist, hole_x, hole_y, gravity, table, hole_table):
    """As `roll.Rolls.law` and ``roll``: the time, where the step leads, and whether the ball rests then."""
    vx, vy = a[2], a[3]
    gx, gy = way.slope_x(g, a[0]), g.cross
    square = 1.0 / (1.0 + gx * gx + gy * gy)
    nz = math.sqrt(square)
    pull_x, pull_y = -5.0 / 7.0 * gravity * square * gx, -5.0 / 7.0 * gravity * square * gy
    brake, climb = resist * nz, gx * vx + gy * vy
    speed = math.sqrt(vx * vx + vy * vy + climb * climb)
    level = math.sqrt(pull_x * pull_x + pull_y * pull_y)
    pull = level / nz
    if speed < STILL:
        per = STILL / max(pull, 1e-12) if pull > brake else 0.0
        vx, vy, speed = per * pull_x, per * pull_y, STILL
    per = brake / speed
    ax, ay = pull_x - per * vx, pull_y - per * vy
    losing = brake - (pull_x * vx + pull_y * vy) / (speed * square)
    if vx == 0.0 and vy == 0.0:
        losing = math.inf
    turning = abs(pull_x * vy - pull_y * vx) / (speed * speed)
    short = speed / losing if losing > 1e-6 else NEVER
    until, even = way.piece(g, a[0], vx, ax)
    aligned = turning * speed < ASLANT * pull and losing < brake
    straight = even and (turning * short < STRAIGHT or aligned)
    far = table.step_plane if even else max(table.step_length, AHEAD * speed)
    square = speed * speed - 2.0 * far * losing
    in_time = min(2.0 * far / max(speed + math.sqrt(max(square, 0.0)), 1e-3), until)
    creeps = speed < table.stop_speed or 0.5 * speed * short < LAST
    rests = pull <= brake and (creeps or (straight and square <= 0.0 and short <= until))
    a = (a[0], a[1], vx, vy)
    turned, b = False, a
    if rests:
        time = short if short < NEVER else 0.0
    elif straight:
        time = min(LONGEST, in_time, short)
    else:
        time, turned = min(max(SLOWING * short, 0.01), BENT, in_time, short), True
        per = 1.0 / max(level, 1e-12)
        if even:
            time, b, rests = turn(
                g, a, pull_x * per, pull_y * per, nz, pull, brake, in_time, hole_x, hole_y, hole_table
            )
        elif (pull > brake and 0.5 * speed * short < TOP) or brake * time > STIFF * speed:
            time, b, rests = creep(g, a, pull_x * per, pull_y * per, nz, pull, brake, resist, gravity)
        else:
            time, b = bend(g, a, vx, vy, ax, ay, time, until, resist, gravity)
    if not turned:
        live = 0.0 if rests else 1.0
        b = (
            a[0] + time * (vx + 0.5 * time * ax), a[1] + time * (vy + 0.5 * time * ay),
            live * (vx + time * ax), live * (vy + time * ay),
        )  # fmt: skip
    share, crosses = cut(g, a, b, time, kind)
    if crosses:
        b = between(share, a, b, time)
        time, rests = time * share, False
    return time, b, rests


def drops(g, a, b, time, hole_x, hole_y, radius, gravity, table):
    """As `steps.Steps.drops`: share of the step from ``a`` to ``b`` at which the ball drops; inf: none."""
    reach = table.radius + abs(time * a[2]) + abs(time * b[2]) + abs(time * a[3]) + abs(time * b[3])
    if not (abs(hole_x - a[0]) <= reach and abs(hole_y - a[1]) <= reach):
        return math.inf
    before = a
    for k in range(1, CHORDS + 1):
        after = between(k / CHORDS, a, b, time)
        rim = drops_rolling(g, before, after, hole_x, hole_y, radius, gravity, table)
        if rim < math.inf:
            return max((k - 1 + rim) / CHORDS, 0.0)
        before = after
    return math.inf


def ended(kind, rests, clock, x, y, table):
    """How a step ended that the hole did not take, as `steps.Steps.moved` has it; -1: the ball goes on."""
    away = clock > table.time_limit or math.hypot(x, y) > table.distance_limit
    if kind == WATER:
        return IN_WATER
    if away and not rests:
        return ROLLED_AWAY
    if rests or away:
        return OUT_OF_BOUNDS if kind == OUT else AT_REST
    return -1


def run(g, a, w, hole_x, hole_y, green, ease, luck, surfaces, radius, gravity, table, hole_table):
    """As `run.run` for one ball from (x, y, vx, vy): where it ends, the time, and how."""
    clock = 0.0
    kind = way.surface(g, a[0], a[1])
    for left in range(SKID_STEPS, -ENDLESS, -1):
        time, b, w, on = skid(g, a, w, kind, surfaces.slide[kind], float(left), radius, gravity)
        share = drops(g, a, b, time, hole_x, hole_y, radius, gravity, hole_table)
        if share < math.inf:
            return hole_x, hole_y, clock + share * time, HOLED
        clock += time
        a, kind = b, way.surface(g, b[0], b[1])
        ending = ended(kind, False, clock, a[0], a[1], table)
        if ending >= 0:
            return a[0], a[1], clock, ending
        if not on:
            break
    gx, gy = way.slope_x(g, a[0]), g.cross
    sx, sy, _ = slip(a, w, gx, gy, 1.0 / math.sqrt(1.0 + gx * gx + gy * gy), radius)
    a = (a[0], a[1], a[2] - 2.0 / 7.0 * sx, a[3] - 2.0 / 7.0 * sy)
    while True:
        resist = green if kind == GREEN else surfaces.deceleration[kind] * ease
        resist *= math.exp(surfaces.roughness[kind] * luck)
        time, b, rests = roll(g, a, kind, resist, hole_x, hole_y, gravity, table, hole_table)
        share = drops(g, a, b, time, hole_x, hole_y, radius, gravity, hole_table)
        if share < math.inf:
            return hole_x, hole_y, clock + share * time, HOLED
        clock += time
        a, kind = b, way.surface(g, b[0], b[1])
        ending = ended(kind, rests, clock, a[0], a[1], table)
        if ending >= 0:
            return a[0], a[1], clock, ending


def play(i, v, w, g, here, surfaces, ball, air, flight, turf, table, hole_table, plan):
    """As `shot.simulate` for the shot ``i``: rest, time, ending and number of bounces."""
    radius, gravity = ball.radius, air.gravity
    hole_x, hole_y = here.hole[0, i], here.hole[1, i]
    p, clock, count, apex = (0.0, 0.0, way.height(g, 0.0, 0.0)), 0.0, 0, 0.0
    for leap in range(MOST_BOUNCES):
        aero, omega = way.aero_of(
            w[0], w[1], w[2], here.density[i], here.viscosity[i], here.wind_x[i], here.wind_y[i], ball, flight
        )
        state = (v[0], v[1], v[2], omega)
        small, down, end, time, top = way.hop(p, state, aero, g, radius, air, flight)
        if not small:
            down, end, time, top = way.fly(p, state, aero, g, radius, air, flight, plan)
        p, clock, apex = down, clock + time, max(apex, top)
        v, w = (end[0], end[1], end[2]), (aero.ax * end[3], aero.ay * end[3], aero.az * end[3])
        n, lively, friction, wall, kind = contact(g, p[0], p[1], here, i, leap, surfaces, turf)
        into = -(v[0] * n[0] + v[1] * n[1] + v[2] * n[2])
        if drops_landing(g, p[0], p[1], v[0], v[1], into, hole_x, hole_y, radius, gravity, hole_table):
            return hole_x, hole_y, clock, HOLED, count, apex
        if kind == WATER:
            return p[0], p[1], clock, IN_WATER, count, apex
        count += 1
        v, w = bounce(v, w, n, lively, friction, wall, turf, radius)
        kept = surfaces.grass[kind]
        v, w = (kept * v[0], kept * v[1], kept * v[2]), (kept * w[0], kept * w[1], kept * w[2])
        rebound = v[0] * n[0] + v[1] * n[1] + v[2] * n[2]
        if rebound <= turf.rest_speed:
            v = (v[0] - rebound * n[0], v[1] - rebound * n[1], v[2] - rebound * n[2])
            break
    green = table.stimp_speed**2 / (2.0 * here.stimp[i])
    green *= 1.0 + here.wet[i] * (table.wet_deceleration - 1.0)
    ease = math.exp(-turf.firmness_roll * (here.firmness[i] - turf.firmness_medium) / turf.firmness_step)
    x, y, time, ending = run(
        g, (p[0], p[1], v[0], v[1]), w, hole_x, hole_y, green, ease, here.scatter[0, -1, i], surfaces, radius,
        gravity, table, hole_table,
    )  # fmt: skip
    return x, y, clock + time, ending, count, apex


def play_all(
    velocity, spin, g, here, surfaces, ball, air, flight, turf, table, hole_table, plan, rest, ending, count
):
    """Play the n shots of ``velocity`` and ``spin`` (3, n) one after the other.

    The rows of ``rest`` (5, n) become x, y, height, time and apex; ``ending`` and ``count`` are (n,).
    """
    for i in range(velocity.shape[1]):
        v = (velocity[0, i], velocity[1, i], velocity[2, i])
        w = (spin[0, i], spin[1, i], spin[2, i])
        x, y, time, how, bounces, apex = play(
            i, v, w, g, here, surfaces, ball, air, flight, turf, table, hole_table, plan
        )
        rest[0, i], rest[1, i], rest[2, i], rest[3, i], rest[4, i] = x, y, way.height(g, x, y), time, apex
        ending[i], count[i] = how, bounces


COMPILED = (
    contact, bounce, capture_speed, drops_landing, drops_rolling, between, slip, losing_of, downhill,
    tangent, apart, part, slid, skid, gone, turned_by, after, aslant, lead, left_of, free, turn, crept, creep,
    cut, acceleration, half_way, bend, roll, drops, ended, run, play, play_all,
)  # fmt: skip
