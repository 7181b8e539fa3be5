"""A long piece of a roll, or a skid, over smooth ground, found at once: places and velocities at many times.

As `arc` does for flights: the forces at all times of the piece, along the way as it is known so far, give a
better way, and so on (Picard's iteration). Where a ball rolls over a survey the slope bends at the edge of
every cell, so no polynomial goes through it all; between the times, two a panel, the forces are taken for
parabolas (Simpson's rule, panel by panel). What is near the start is known first: how much the last round has
moved the places tells up to which panel they can be relied on.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from shortgame_gui.physics.ground import Ground

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]

PANELS = 12
"""Pieces between whose ends and middles the forces are parabolas in time."""
ROUNDS, BRAKED = 3, 2
"""How often the slopes are looked up along the way, and for how many rounds of the velocity each time."""
SETTLED = 2e-4
"""What the last round may have moved the places by, in m: the next one would by less than a tenth of it."""
TINY = 1e-12
"""Square of a speed in m2/s2 that is next to none."""


def _weights() -> tuple[Array, Array, Array]:
    """Times of the panels' ends and middles, over the whole (nodes,), and weights (nodes, nodes).

    With the weights values there make their integral up to each of the times, and the integral of that.
    """
    count = 2 * PANELS + 1
    nodes, once, twice = np.arange(count) / (count - 1.0), np.zeros((count, count)), np.zeros((count, count))
    powers, half, k = np.linalg.inv(np.vander([0.0, 1.0, 2.0], increasing=True)), nodes[1], np.arange(3)
    for first in range(0, count - 1, 2):
        at = slice(first, first + 3)
        for j in range(first + 1, count):
            inside = min(j - first, 2.0)
            area = (inside ** (k + 1) / (k + 1)) @ powers
            once[j, at] += half * area
            moment = (inside ** (k + 2) / ((k + 1) * (k + 2))) @ powers
            twice[j, at] += half * half * (moment + (j - first - inside) * area)
    return nodes, once, twice


NODES, ONCE, TWICE = _weights()


class LongRoll(NamedTuple):
    """The ways of n balls at the ends of their panels."""

    place: Array
    """m, (2, `PANELS` + 1, n)."""
    velocity: Array
    """Horizontal, m/s, (2, `PANELS` + 1, n)."""
    sure: Index
    """Panels up to whose end the way can be relied on, (n,)."""


def long_roll(
    ground: Ground,
    gravity: float,
    lane: Index,
    resist: Array,
    start: Array,
    before: Array,
    rate: Array,
    time: Array,
) -> LongRoll:
    """Let n balls roll for ``time`` in s (n,); all forces are those of `run`.

    They begin at ``start`` in m with the velocity ``before`` in m/s, (2, n) each, which changes by ``rate``
    in m/s2 (2, n) there. On the level ``resist`` in m/s2 (n,) would brake them.
    """
    n, count = len(time), len(NODES)
    t, square, lanes = NODES[:, None] * time, time * time, np.tile(lane, count)
    begin, resist = before[:, None], -resist
    more = t * rate[:, None]
    straight = start[:, None] + t * begin
    place, velocity = straight + (0.5 * t) * more, begin + more
    slope = np.empty((2, count, n))
    for _ in range(ROUNDS):
        x, y = place.reshape(2, -1)
        gx, gy = ground.slopes(x, y, lanes)
        slope[0], slope[1] = gx.reshape(count, n), gy.reshape(count, n)
        bends = slope * slope
        flat = bends[0] + bends[1]
        flat += 1.0
        np.divide(1.0, flat, out=flat)
        pull = slope * ((-5.0 / 7.0 * gravity) * flat)
        brake = np.sqrt(flat)
        brake *= resist
        for _ in range(BRAKED):
            climb, speed = slope * velocity, velocity * velocity
            up, fast = climb[0], speed[0]
            up += climb[1]
            up *= up
            fast += speed[1]
            fast += up
            fast += TINY
            np.sqrt(fast, out=fast)
            np.divide(brake, fast, out=fast)
            rates = fast * velocity
            rates += pull
            velocity = np.matmul(ONCE, rates)
            velocity *= time
            velocity += begin
        was, place = place, np.matmul(TWICE, rates)
        place *= square
        place += straight
    return LongRoll(place[:, ::2], velocity[:, ::2], _sure(place, was))


def long_skid(
    ground: Ground,
    gravity: float,
    radius: float,
    lane: Index,
    slide: Array,
    start: Array,
    before: Array,
    spin: Array,
    time: Array,
) -> tuple[LongRoll, Array]:
    """The same for n balls that skid and do not end it in the ``time`` in s (n,); also their spin.

    Friction is ``slide`` (n,) of their weight, ``spin`` (3, n) in rad/s at the start; it is returned at the
    ends of the panels, (3, `PANELS` + 1, n). ``radius`` of the ball in m.
    """
    n, count = len(time), len(NODES)
    square, lanes = time * time, np.tile(lane, count)
    begin = np.concatenate([before, radius * spin])[:, None]
    straight = start[:, None] + NODES[:, None] * time * before[:, None]
    place, force = straight, slide * gravity
    state, rates = np.repeat(begin, count, axis=1), np.empty((5, count, n))
    for _ in range(ROUNDS):
        x, y = place.reshape(2, -1)
        gx, gy = (slope.reshape(count, n) for slope in ground.slopes(x, y, lanes))
        flat = 1.0 / (1.0 + gx * gx + gy * gy)
        nz, pull = np.sqrt(flat), -gravity * flat
        nx, ny, px, py, rubs = -gx * nz, -gy * nz, pull * gx, pull * gy, force * nz
        for _ in range(BRAKED):
            # Speeds of the ball's surface stand for its spin.
            vx, vy, wx, wy, wz = state
            sx, sy = vx - (wy * nz - wz * ny), vy - (wz * nx - wx * nz)
            sz = gx * vx + gy * vy - (wx * ny - wy * nx)
            scale = rubs / np.sqrt(sx * sx + sy * sy + sz * sz + TINY)
            fx, fy, fz = scale * sx, scale * sy, scale * sz
            rates[0], rates[1] = px - fx, py - fy
            rates[2], rates[3], rates[4] = ny * fz - nz * fy, nz * fx - nx * fz, nx * fy - ny * fx
            rates[2:] *= 2.5
            state = np.matmul(ONCE, rates)
            state *= time
            state += begin
        was, place = place, np.matmul(TWICE, rates[:2])
        place *= square
        place += straight
    ends = state[:, ::2]
    return LongRoll(place[:, ::2], ends[:2], _sure(place, was)), ends[2:] * (1.0 / radius)


def _sure(place: Array, was: Array) -> Index:
    """Panels up to whose end the last round moved ``place`` (2, nodes, n) from where it ``was`` by little."""
    moved = np.abs(place - was)[:, ::2]
    unsure = np.maximum(moved[0], moved[1]) > SETTLED
    # The start is sure; the first end that is not comes after so many panels that are.
    return np.where(unsure.any(axis=0), unsure.argmax(axis=0) - 1, PANELS)
