"""The bounce on turf: a rigid ball on a surface tilted by its own pitch mark, which backspin deepens.

A. R. Penner ("The run of a golf ball", Can. J. Phys. 80:931, 2002) turns the ground towards the ball as the
far wall of the pitch mark would: force on that wall goes through the ball's centre and costs no spin. His
map lets every ball that grips leave rolling, so that backspin dies at the first bounce. S. J. Haake (thesis,
Aston, 1989) saw it survive on some greens, and S. W. Biber et al. (Sports Eng. 26, 2023) saw most balls leave
slipping, with reversed spin. Hence four changes: friction is limited at a coefficient below Penner's; the
contact point springs back a little (grip-slip form of R. Cross, Am. J. Phys. 70:1093, 2002); backspin, which
pushes turf ahead of the ball, raises the wall, which slow balls do not dig; and a wall is no steeper than the
side of a mark as deep as the ball digs, or a flat ball would be stopped dead. `penner` gives his map.
"""

from __future__ import annotations

from dataclasses import dataclass

import msgspec
import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import Coefficients, Turf

Array = npt.NDArray[np.float64]


NEXT, LAST = np.array([1, 2, 0]), np.array([2, 0, 1])
"""Of each component of a vector, in a circle."""


def dot(a: Array, b: Array) -> Array:
    """Products (n,) of vectors (3, n)."""
    return np.asarray(np.add.reduce(a * b))


def cross(a: Array, b: Array) -> Array:
    """Cross products (3, n) of vectors (3, n)."""
    return np.asarray(
        a.take(NEXT, axis=0) * b.take(LAST, axis=0) - a.take(LAST, axis=0) * b.take(NEXT, axis=0)
    )


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

    The mark's side is the limit, tilt <= t1 (d / d1)^(1/3): its depth grows as d^(2/3) (dropped balls on dry
    grains, Uehara et al., Phys. Rev. Lett. 90:194301, 2003; turf by analogy), the steepest slope that a ball
    meets in it as the root of the depth. Penner has no such limit.
    """
    return _tilt(down, across, np.arctan2(across, down), backspin, turf)


def _tilt(down: Array, across: Array, angle: Array, backspin: Array, turf: Turf) -> Array:
    """`tilt_angle` with the ``angle`` in rad from the normal (n,)."""
    square = down * down + across * across
    base = turf.tilt * (np.sqrt(square) / turf.tilt_speed) ** turf.tilt_speed_power
    base *= (angle / turf.tilt_angle) ** turf.tilt_angle_power
    share = backspin / np.sqrt(square + backspin * backspin + 1e-18)
    dug = down * down / (down * down + (turf.tilt_fade_speed**2 + 1e-18))
    # The mark's wall turns the normal back towards the ball, never past its own line of arrival.
    side = turf.tilt_most * np.cbrt(down / turf.tilt_most_speed)
    return np.asarray(np.minimum(base * np.maximum(1.0 + turf.tilt_spin * share, 0.0) * dug, side))


def bounce(velocity: Array, spin: Array, contact: Contact, turf: Turf, radius: float) -> tuple[Array, Array]:
    """Velocity in m/s and spin in rad/s, both (3, n), after one bounce of n balls.

    ``velocity`` must point into the ground (towards -normal). Against the tilted normal: restitution e, and
    a tangential impulse that grips, (2/7) (1 + e_t) slip, or slides, friction (1 + e) times the normal speed,
    whichever is less. The result never points into the ground, its speed away from it is at most
    max(e, ``rebound_most``) times the speed into it, and the energy of translation and rotation never grows.
    """
    normal = contact.normal
    down = np.maximum(-dot(velocity, normal), 0.0)
    flat = velocity + down * normal
    across = np.sqrt(dot(flat, flat))
    # One over the speed across, zero for a vertical fall: what it scales then vanishes with the tilt.
    inverse = np.where(across > 1e-9, 1.0 / np.maximum(across, 1e-9), 0.0)
    backspin = (-radius * inverse) * dot(spin, cross(normal, flat))
    angle = np.arctan2(across, down)
    tilt = np.minimum(_tilt(down, across, angle, backspin, turf) * contact.tilt, angle)
    turned = np.cos(tilt) * normal - (np.sin(tilt) * inverse) * flat
    into = -dot(velocity, turned)
    e = np.minimum(np.maximum(restitution(into, turf) * contact.restitution, 0.0), turf.restitution_most)
    tangential = velocity + into * turned
    slip = tangential - radius * cross(spin, turned)
    size = np.sqrt(dot(slip, slip))
    grip = ((2.0 / 7.0) * (1.0 + turf.tangential_restitution)) * size
    impulse = np.minimum(grip, contact.friction * (1.0 + e) * into)
    along = slip * (impulse / np.maximum(size, 1e-12))
    out = tangential - along + (e * into) * turned
    # What the wall throws up beyond this is lost in the turf that gives way.
    rebound = dot(out, normal)
    kept = np.minimum(np.maximum(rebound, 0.0), np.maximum(e, turf.rebound_most) * down)
    return out + (kept - rebound) * normal, spin + (2.5 / radius) * cross(turned, along)
