"""The strike: from the delivered club to ball speed, direction and spin.

Rigid oblique impact of two bodies with friction and tangential restitution (first principles; framework
as in R. Cross and P. Dewhurst, Eur. J. Phys. 39:065003, 2018, and A. R. Penner, Am. J. Phys. 69:563,
2001). Vectors throughout, so that face and path decide direction by the same law as loft decides height.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import Ball, Strike

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Delivered:
    """The club as it meets n balls, in the world frame (x to the hole, y left, z up)."""

    velocity: Array
    """Velocity of the head in m/s, (3, n)."""
    normal: Array
    """Unit normal of the face, (3, n), pointing at the ball."""
    friction: Array
    """Friction coefficient between ball and face, (n,)."""


@dataclass(frozen=True)
class Launched:
    """The ball as it leaves the face."""

    velocity: Array
    """m/s, (3, n)."""
    spin: Array
    """rad/s, (3, n); backspin is along -y for a ball that flies along x."""
    slipped: npt.NDArray[np.bool_]
    """Whether the ball was still slipping on the face when it left, (n,)."""


def strike(club: Delivered, ball: Ball, table: Strike) -> Launched:
    """Velocity and spin of n balls struck by ``club``.

    Normal impulse from the restitution e = base - slope v_n (Penner 2001, after Chou et al. 1994);
    tangential impulse by grip with ``tangential_restitution``, limited by Coulomb friction.
    """
    k = ball.mass / table.head_mass
    v_n = np.maximum((club.velocity * club.normal).sum(axis=0), 0.0)
    tangent = club.velocity - v_n * club.normal
    v_t = np.sqrt((tangent * tangent).sum(axis=0))
    along = tangent / np.maximum(v_t, 1e-12)
    restitution = np.maximum(table.restitution_base - table.restitution_speed * v_n, 0.0)
    u_n = (1.0 + restitution) * v_n / (1.0 + k)
    grip = (1.0 + table.tangential_restitution) * v_t / (3.5 + k)
    limit = club.friction * u_n
    slipped = grip > limit
    u_t = np.minimum(grip, limit)
    velocity = u_n * club.normal + u_t * along
    nx, ny, nz = club.normal
    ax, ay, az = along
    across = np.stack([ny * az - nz * ay, nz * ax - nx * az, nx * ay - ny * ax])
    spin = (-2.5 / ball.radius) * u_t * across
    return Launched(velocity, spin, slipped)


def face_normal(loft: Array, azimuth: Array) -> Array:
    """Unit normal (3, n) of a face with dynamic ``loft`` that points ``azimuth`` left of the line (rad)."""
    flat = np.cos(loft)
    return np.stack([flat * np.cos(azimuth), flat * np.sin(azimuth), np.sin(loft)])


def direction(elevation: Array, azimuth: Array) -> Array:
    """Unit vector (3, n) at ``elevation`` above the horizon and ``azimuth`` left of the line (rad)."""
    return face_normal(elevation, azimuth)
