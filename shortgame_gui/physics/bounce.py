"""The bounce on turf: a rigid ball on a surface tilted by its own pitch mark.

The tilted surface is A. R. Penner's ("The run of a golf ball", Can. J. Phys. 80:931, 2002); the tangential
law is the grip-slip form of R. Cross (Am. J. Phys. 70:1093, 2002), of which Penner's rolling branch is
the case of no tangential restitution. Spin is kept as a vector, so that a cut shot kicks sideways.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import Turf

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


def restitution(speed: Array, turf: Turf) -> Array:
    """Normal restitution (n,) at the normal ``speed`` in m/s (n,): Penner 2002, fitted to Haake's impacts."""
    fit = turf.restitution_0 - turf.restitution_1 * speed + turf.restitution_2 * speed * speed
    return np.asarray(np.where(speed <= turf.restitution_join, fit, turf.restitution_floor))


def tilt_angle(speed: Array, from_normal: Array, turf: Turf) -> Array:
    """Tilt of the pitch mark in rad (n,) for ``speed`` in m/s and the angle ``from_normal`` in rad (n,).

    Linear in both in Penner's form; the powers are the table's. It fades with the normal speed, so that
    a skimming ball, which digs no mark, is not thrown up (our addition; see DEVELOPERS.md).
    """
    base = turf.tilt * (speed / turf.tilt_speed) ** turf.tilt_speed_power
    base = base * (from_normal / turf.tilt_angle) ** turf.tilt_angle_power
    if turf.tilt_fade_speed <= 0.0:
        return np.asarray(base)
    down = speed * np.cos(from_normal) / turf.tilt_fade_speed
    return np.asarray(base * down * down / (1.0 + down * down))


def bounce(velocity: Array, spin: Array, contact: Contact, turf: Turf, radius: float) -> tuple[Array, Array]:
    """Velocity in m/s and spin in rad/s, both (3, n), after one bounce of n balls.

    ``velocity`` must point into the ground (towards -normal); energy of translation and rotation never
    grows on level ground.
    """
    normal = contact.normal
    down = (velocity * normal).sum(axis=0)
    speed = np.sqrt((velocity * velocity).sum(axis=0))
    flat = velocity - down * normal
    across = np.sqrt((flat * flat).sum(axis=0))
    from_normal = np.arctan2(across, np.maximum(-down, 0.0))
    tilt = tilt_angle(speed, from_normal, turf) * contact.tilt
    # The mark's wall turns the normal back towards the ball, never past its own line of arrival.
    tilt = np.minimum(tilt, from_normal)
    # sin(tilt)/across stays finite at vertical fall because the tilt is clamped to the angle itself.
    back = np.sin(tilt) / np.maximum(across, 1e-9)
    turned = np.cos(tilt) * normal - back * flat
    into = -(velocity * turned).sum(axis=0)
    e = np.clip(restitution(into, turf) * contact.restitution, 0.0, 0.9)
    tangential = velocity + into * turned
    slip = tangential - radius * np.cross(spin, turned, axis=0)
    size = np.sqrt((slip * slip).sum(axis=0))
    grip = (2.0 / 7.0) * (1.0 + turf.tangential_restitution) * size
    impulse = np.minimum(grip, contact.friction * (1.0 + e) * into)
    along = slip / np.maximum(size, 1e-12)
    out = tangential - impulse * along + e * into * turned
    spin_out = spin + (2.5 / radius) * impulse * np.cross(turned, along, axis=0)
    return out, spin_out
