"""The hole: which balls drop.

Capture speed at offset d: 1.63 (1 - (d/R)^2) m/s, A. R. Penner, "The physics of putting" (Can. J. Phys.
80:83, 2002), fitted to B. W. Holmes, Am. J. Phys. 59:129 (1991); value from memory. A hole cut in a slope
lies in the slope: a ball that goes uphill meets the far lip higher, one that goes downhill lower (derived
here from Holmes's free fall; we know of no measurement). Left out: balls that touch the rim without dropping
come on undisturbed, nothing bounces off back wall or flagstick, and worn or raised edges count as sound.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import HoleTable

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]


def capture_speed(offset: Array, table: HoleTable) -> Array:
    """Fastest speed in m/s (n,) on the level that is caught at the ``offset`` in m (n,) from the centre."""
    share = np.minimum(offset / table.radius, 1.0)
    return np.asarray(table.capture_speed * (1.0 - share * share))


def climb_gain(climb: Array, radius: float, gravity: float) -> Array:
    """What a slope adds to the capture speed in m/s (n,); ``climb`` (n,) is the rise over run of the way.

    While the ball falls by its ``radius`` in m, in t = sqrt(2 r / g), gravity along the slope takes
    g climb t^2 / 2 off its way over the hole: over t that is climb sqrt(g r / 2), or 0.03 m/s at 5 degrees.
    """
    return np.asarray(climb * np.sqrt(0.5 * gravity * radius))


def near(low: Array, high: Array, hole: Array, table: HoleTable) -> Mask:
    """Whether n balls that stay between ``low`` and ``high`` (2, n) in m may touch the hole: a quick look.

    The ``hole`` in m is (2, n).
    """
    inside = (hole >= low - table.radius) & (hole <= high + table.radius)
    return np.asarray(inside[0] & inside[1])


def drops_rolling(
    x0: Array,
    y0: Array,
    vx0: Array,
    vy0: Array,
    x1: Array,
    y1: Array,
    vx1: Array,
    vy1: Array,
    hole: Array,
    slope: tuple[Array, Array],
    radius: float,
    gravity: float,
    table: HoleTable,
) -> Array:
    """Share of the way at which n balls that roll straight from (x0, y0) to (x1, y1) pass the rim to drop.

    inf for those that pass by; below 0 for those that start inside it. Whether they drop is told by the speed
    at the closest point.
    Places in m, horizontal velocities in m/s, (n,) each or (k, n) for k pieces of each way; ``hole`` in m is
    (2, n), NaN where there is none, and ``slope`` (n,) each is that of the ground there along x and y;
    ``radius`` of the ball in m.
    Along the way the square of the speed changes evenly, as it does under a constant force.
    """
    dx, dy, to_x, to_y = x1 - x0, y1 - y0, hole[0] - x0, hole[1] - y0
    way = np.sqrt(np.maximum(dx * dx + dy * dy, 1e-18))
    ahead, beside = (to_x * dx + to_y * dy) / way, (to_y * dx - to_x * dy) / way
    share = np.minimum(np.maximum(ahead / way, 0.0), 1.0)
    off_x, off_y = share * dx - to_x, share * dy - to_y
    offset = np.sqrt(off_x * off_x + off_y * off_y)
    speed = np.sqrt((1.0 - share) * (vx0 * vx0 + vy0 * vy0) + share * (vx1 * vx1 + vy1 * vy1))
    climb = (slope[0] * dx + slope[1] * dy) / way
    fastest = capture_speed(offset, table) + climb_gain(climb, radius, gravity)
    before = np.sqrt(np.maximum(table.radius**2 - beside * beside, 0.0))
    return np.where((offset < table.radius) & (speed < fastest), (ahead - before) / way, np.inf)


def over(place: Array, hole: Array, table: HoleTable) -> Mask:
    """Whether n balls that come down at ``place`` (2, n) may drop into the ``hole`` (2, n): a quick look."""
    reach = 3.0 * table.radius
    return np.asarray((np.abs(hole[0] - place[0]) <= reach) & (np.abs(hole[1] - place[1]) <= reach))


def drops_landing(
    place: Array,
    velocity: Array,
    down: Array,
    hole: Array,
    slope: tuple[Array, Array],
    radius: float,
    gravity: float,
    table: HoleTable,
) -> Mask:
    """Whether n balls that come down at ``place`` drop, were there no ground inside the hole's circle.

    ``place`` in m, the horizontal ``velocity`` in m/s and ``hole`` in m (NaN where there is none) are
    (2, n); ``down`` in m/s (n,) is the speed towards the ground, ``slope`` is as for `drops_rolling`. A
    rolling ball is caught when its centre falls below the rim, by the radius of the ball, before it reaches
    the far side; the capture speed says how far it may come in that time. A ball in the air is held to the
    same way, with the time that its own fall takes from where it crosses the near side: the hop's height
    counts, and half a millimetre of it changes little (our continuation of the free fall of Holmes 1991).
    """
    speed = np.hypot(velocity[0], velocity[1])
    still = speed < 1e-9
    ux = np.where(still, 1.0, velocity[0] / np.maximum(speed, 1e-9))
    uy = np.where(still, 0.0, velocity[1] / np.maximum(speed, 1e-9))
    to_x, to_y = hole[0] - place[0], hole[1] - place[1]
    ahead = to_x * ux + to_y * uy
    offset = np.abs(to_y * ux - to_x * uy)
    # Way from the near side of the circle to where the ball would touch the ground; negative: it is short.
    inside = np.sqrt(np.maximum(table.radius**2 - offset * offset, 0.0)) - ahead
    fall = (np.sqrt(down * down + 2.0 * gravity * radius) - down) / gravity
    level = np.sqrt(2.0 * radius / gravity)
    allowed = capture_speed(offset, table) * level
    back = 0.5 * gravity * (slope[0] * ux + slope[1] * uy) * fall * fall
    return np.asarray((offset < table.radius) & (inside >= 0.0) & (inside + speed * fall - back < allowed))
