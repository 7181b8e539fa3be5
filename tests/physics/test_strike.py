"""What every strike must obey: turn or mirror the scene and the ball follows; energy is never made."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from shortgame_gui.physics.strike import Delivered, Launched, direction, face_normal, strike
from shortgame_gui.store.coefficients import load

Array = npt.NDArray[np.float64]

TABLE = load()
MIRROR = np.array([[1.0], [-1.0], [1.0]])

angles = st.floats(-0.4, 0.4)
lofts = st.floats(0.0, 1.3)
heads = st.floats(0.0, 45.0)
frictions = st.floats(0.0, 0.6)


def hit(velocity: Array, normal: Array, friction: float) -> Launched:
    return strike(Delivered(velocity, normal, np.array([friction])), TABLE.ball, TABLE.strike)


def club(head: float, loft: float, attack: float, face: float, path: float) -> tuple[Array, Array]:
    a, f, p = (np.array([v]) for v in (attack, face, path))
    return head * direction(a, p), face_normal(np.array([loft]), f)


@given(heads, lofts, angles, angles, angles, frictions, st.tuples(angles, angles, st.floats(-3.0, 3.0)))
@settings(max_examples=100, deadline=None)
def test_turned_scene(
    head: float,
    loft: float,
    attack: float,
    face: float,
    path: float,
    friction: float,
    turn: tuple[float, ...],
) -> None:
    velocity, normal = club(head, loft, attack, face, path)
    matrix = Rotation.from_euler("xyz", turn).as_matrix()
    here, there = hit(velocity, normal, friction), hit(matrix @ velocity, matrix @ normal, friction)
    assert there.velocity == pytest.approx(matrix @ here.velocity, abs=1e-9)
    assert there.spin == pytest.approx(matrix @ here.spin, abs=1e-7)


@given(heads, lofts, angles, angles, angles, frictions)
@settings(max_examples=100, deadline=None)
def test_mirrored_scene(
    head: float, loft: float, attack: float, face: float, path: float, friction: float
) -> None:
    here = hit(*club(head, loft, attack, face, path), friction)
    there = hit(*club(head, loft, attack, -face, -path), friction)
    assert there.velocity * MIRROR == pytest.approx(here.velocity, abs=1e-12)
    assert there.spin * -MIRROR == pytest.approx(here.spin, abs=1e-9)


@given(heads, lofts, angles, angles, angles, frictions)
@settings(max_examples=100, deadline=None)
def test_momentum_and_energy(
    head: float, loft: float, attack: float, face: float, path: float, friction: float
) -> None:
    """Ball and head together keep their momentum and gain no energy; the ball leaves the face, spin lies in
    the face, and friction is never more than Coulomb's."""
    velocity, normal = club(head, loft, attack, face, path)
    ball = hit(velocity, normal, friction)
    m, heavy = TABLE.ball.mass, TABLE.strike.head_mass
    after = velocity - m / heavy * ball.velocity
    spun = 0.4 * m * TABLE.ball.radius**2 * (ball.spin**2).sum()
    energy = m * (ball.velocity**2).sum() + heavy * (after**2).sum() + spun
    assert energy <= heavy * (velocity**2).sum() * (1.0 + 1e-12) + 1e-12
    off, into = (ball.velocity * normal).sum(), (velocity * normal).sum()
    assert off >= max(into, 0.0) - 1e-12
    assert (ball.spin * normal).sum() == pytest.approx(0.0, abs=1e-9)
    along = np.sqrt(((ball.velocity - off * normal) ** 2).sum())
    assert along <= friction * off + 1e-9


@given(heads, st.floats(0.2, 1.2), frictions, st.floats(0.0, 0.3))
@settings(max_examples=60, deadline=None)
def test_more_friction_spins_more_and_launches_no_higher(
    head: float, loft: float, friction: float, more: float
) -> None:
    """Must hold, 4, at the strike."""
    one, two = (hit(*club(head, loft, -0.08, 0.0, 0.0), mu) for mu in (friction, friction + more))
    assert -two.spin[1, 0] >= -one.spin[1, 0] - 1e-9
    height = [np.arctan2(b.velocity[2, 0], b.velocity[0, 0]) for b in (one, two)]
    assert height[1] <= height[0] + 1e-9


def test_a_face_that_moves_away_leaves_the_ball() -> None:
    ball = hit(np.array([[-5.0], [0.0], [0.0]]), face_normal(np.array([0.8]), np.array([0.0])), 0.4)
    assert np.all(ball.velocity == 0.0)
    assert np.all(ball.spin == 0.0)
