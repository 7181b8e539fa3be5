"""The bounce on turf: a rigid ball on a surface tilted by its own pitch mark, which backspin deepens.

A. R. Penner ("The run of a golf ball", Can. J. Phys. 80:931, 2002) turns the ground towards the ball as the
far wall of the pitch mark would: force on that wall goes through the ball's centre and costs no spin. His
map lets every ball that grips leave rolling, so that backspin dies at the first bounce. S. J. Haake (thesis,
Aston, 1989) saw it survive on some greens, and S. W. Biber et al. (Sports Eng. 26, 2023) saw most balls leave
slipping, with reversed spin. Hence three changes: friction is limited at a coefficient below Penner's; the
contact point springs back a little (grip-slip form of R. Cross, Am. J. Phys. 70:1093, 2002); and backspin,
which pushes turf ahead of the ball, raises the wall, which slow balls do not dig. `penner` gives his map.
"""

from __future__ import annotations

from dataclasses import dataclass

import msgspec
import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import Coefficients, Turf

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Contact:
    """The ground as n landing balls meet it, (n,) each unless said otherwise."""

    normal: Array
    """Unit normal of the ground, (3, n)."""
    restitution: Array
    """Factor on the turf's restitution (surface, firmness, wetness and scatter)."""
    friction: Array
    """Friction coefficient between ball and turf."""
    tilt: Array
    """Factor on the tilt of the pitch mark (surface and firmness)."""


def penner(table: Coefficients) -> Coefficients:
    """The ``table`` with Penner's own map of the bounce on a green (the rows ``penner.*``)."""
    rows = msgspec.structs.asdict(table.penner)
    green = msgspec.structs.replace(table.surface["green"], friction=rows.pop("friction"))
    return msgspec.structs.replace(
        table, turf=msgspec.structs.replace(table.turf, **rows), surface=table.surface | {"green": green}
    )


def restitution(speed: Array, turf: Turf) -> Array:
    """Normal restitution (n,) at the normal ``speed`` in m/s (n,): Penner 2002, fitted to Haake's impacts."""
    fit = turf.restitution_0 - turf.restitution_1 * speed + turf.restitution_2 * speed * speed
    return np.asarray(np.where(speed <= turf.restitution_join, fit, turf.restitution_floor))


def tilt_angle(down: Array, across: Array, backspin: Array, turf: Turf) -> Array:
    """Tilt of the pitch mark in rad (n,) for the speeds ``down`` and ``across`` the ground in m/s (n,).

    ``backspin`` is the speed of the ball's surface in m/s (n,), radius times the spin that opposes travel.
    Penner's form is linear in the speed v and in the angle phi from the normal; here

        tilt = t0 (v / v0)^a (phi / phi0)^b (1 + c backspin / sqrt(v^2 + backspin^2)) d^2 / (d^2 + d0^2)

    with the speed d into the ground: a skimming ball digs no mark. Penner: a = b = 1, c = d0 = 0.
    """
    square = down * down + across * across
    angle = np.arctan2(across, down)
    base = turf.tilt * (np.sqrt(square) / turf.tilt_speed) ** turf.tilt_speed_power
    base *= (angle / turf.tilt_angle) ** turf.tilt_angle_power
    share = backspin / np.sqrt(square + backspin * backspin + 1e-18)
    dug = down * down / (down * down + turf.tilt_fade_speed**2 + 1e-18)
    # The mark's wall turns the normal back towards the ball, never past its own line of arrival.
    return np.asarray(base * np.maximum(1.0 + turf.tilt_spin * share, 0.0) * dug)


def bounce(velocity: Array, spin: Array, contact: Contact, turf: Turf, radius: float) -> tuple[Array, Array]:
    """Velocity in m/s and spin in rad/s, both (3, n), after one bounce of n balls.

    ``velocity`` must point into the ground (towards -normal). Against the tilted normal: restitution e, and
    a tangential impulse that grips, (2/7) (1 + e_t) slip, or slides, friction (1 + e) times the normal speed,
    whichever is less. The result never points into the ground, its speed away from it is at most
    max(e, ``rebound_most``) times the speed into it, and the energy of translation and rotation never grows.
    """
    nx, ny, nz = normal = contact.normal
    down = np.maximum(-(velocity * normal).sum(axis=0), 0.0)
    fx, fy, fz = flat = velocity + down * normal
    across = np.sqrt((flat * flat).sum(axis=0))
    # One over the speed across, zero for a vertical fall: what it scales then vanishes with the tilt.
    inverse = np.where(across > 1e-9, 1.0 / np.maximum(across, 1e-9), 0.0)
    wx, wy, wz = spin
    backspin = (
        -radius * inverse * (wx * (ny * fz - nz * fy) + wy * (nz * fx - nx * fz) + wz * (nx * fy - ny * fx))
    )
    tilt = np.minimum(tilt_angle(down, across, backspin, turf) * contact.tilt, np.arctan2(across, down))
    turned = np.cos(tilt) * normal - (np.sin(tilt) * inverse) * flat
    into = -(velocity * turned).sum(axis=0)
    e = np.clip(restitution(into, turf) * contact.restitution, 0.0, turf.restitution_most)
    tx, ty, tz = turned
    tangential = velocity + into * turned
    slip = tangential - radius * np.stack([wy * tz - wz * ty, wz * tx - wx * tz, wx * ty - wy * tx])
    size = np.sqrt((slip * slip).sum(axis=0))
    grip = (2.0 / 7.0) * (1.0 + turf.tangential_restitution) * size
    impulse = np.minimum(grip, contact.friction * (1.0 + e) * into)
    sx, sy, sz = along = slip * (impulse / np.maximum(size, 1e-12))
    out = tangential - along + (e * into) * turned
    turn = np.stack([ty * sz - tz * sy, tz * sx - tx * sz, tx * sy - ty * sx])
    # What the wall throws up beyond this is lost in the turf that gives way.
    rebound = (out * normal).sum(axis=0)
    kept = np.clip(rebound, 0.0, np.maximum(e, turf.rebound_most) * down)
    return out + (kept - rebound) * normal, spin + (2.5 / radius) * turn
