"""What every bounce must obey, over the whole range of inputs: energy, symmetry, limits.

These follow from mechanics and from what a situation may ask for, not from the coefficients.
"""

from __future__ import annotations

import msgspec
import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.physics import air, shot
from shortgame_gui.physics.bounce import Contact, bounce, penner
from shortgame_gui.physics.forces import Air
from shortgame_gui.physics.ground import plane
from shortgame_gui.physics.strike import Delivered, direction, face_normal, strike
from shortgame_gui.store.coefficients import load
from shortgame_gui.units import DEGREE, FOOT

Array = npt.NDArray[np.float64]

TABLE = load()
TURFS = {"own": TABLE.turf, "penner": penner(TABLE).turf}
RADIUS = TABLE.ball.radius
UP = np.array([[0.0], [0.0], [1.0]])

speeds = st.floats(0.02, 45.0)
angles = st.floats(0.0, 89.5)
headings = st.floats(-180.0, 180.0)
spins = st.tuples(*[st.floats(-1500.0, 1500.0)] * 3)
turfs = st.sampled_from(sorted(TURFS))
contacts = st.tuples(st.floats(0.0, 3.0), st.floats(0.05, 1.0), st.floats(0.0, 2.5))
anywhere = settings(deadline=None, max_examples=150)


def arriving(speed: float, from_normal: float, heading: float) -> Array:
    """Velocity (3, 1) of a ball that comes down at ``from_normal`` degrees, travelling along ``heading``."""
    flat, down = speed * np.sin(from_normal * DEGREE), speed * np.cos(from_normal * DEGREE)
    return np.array([[flat * np.cos(heading * DEGREE)], [flat * np.sin(heading * DEGREE)], [-down]])


def met(values: tuple[float, float, float], normal: Array = UP) -> Contact:
    """The turf with factors on restitution and tilt, and a friction coefficient."""
    restitution, friction, tilt = (np.array([v]) for v in values)
    return Contact(normal, restitution, friction, tilt)


def energy(velocity: Array, spin: Array) -> float:
    """Translation and rotation of a solid sphere, over half its mass, in m2/s2."""
    return float((velocity**2).sum() + 0.4 * RADIUS**2 * (spin**2).sum())


def turned(axis: Array, angle: float) -> Array:
    """Rotation matrix (3, 3) about the unit vector ``axis``, by Rodrigues's formula."""
    cross = np.cross(np.eye(3), axis[:, None].T)
    return np.asarray(np.eye(3) - np.sin(angle) * cross + (1.0 - np.cos(angle)) * cross @ cross)


@anywhere
@given(speeds, angles, headings, spins, contacts, turfs)
def test_energy_never_grows(
    speed: float,
    angle: float,
    heading: float,
    spin: tuple[float, ...],
    values: tuple[float, float, float],
    turf: str,
) -> None:
    velocity, omega = arriving(speed, angle, heading), np.array(spin)[:, None]
    out, after = bounce(velocity, omega, met(values), TURFS[turf], RADIUS)
    assert np.all(np.isfinite(out)) and np.all(np.isfinite(after))
    assert energy(out, after) <= energy(velocity, omega) * (1.0 + 1e-12)
    assert out[2, 0] >= -1e-12, "never into the ground"


@anywhere
@given(speeds, angles, headings, spins, contacts)
def test_the_wall_never_throws_a_ball_up_faster_than_it_came_down(
    speed: float, angle: float, heading: float, spin: tuple[float, ...], values: tuple[float, float, float]
) -> None:
    velocity = arriving(speed, angle, heading)
    out, _ = bounce(velocity, np.array(spin)[:, None], met(values), TABLE.turf, RADIUS)
    assert out[2, 0] <= 0.9 * -velocity[2, 0] + 1e-12


@anywhere
@given(st.floats(0.5, 45.0), st.floats(80.0, 89.9), st.floats(-800.0, 800.0), contacts)
def test_a_grazing_ball_is_hardly_slowed_by_the_mark_it_does_not_dig(
    speed: float, angle: float, backspin: float, values: tuple[float, float, float]
) -> None:
    """Beyond 80 degrees from the normal the kick up is bounded; at the very edge nothing happens at all."""
    edge = arriving(speed, 90.0 - 1e-7, 0.0)
    spin = np.array([[0.0], [-backspin], [0.0]])
    out, after = bounce(edge, spin, met(values), TABLE.turf, RADIUS)
    assert out == pytest.approx(edge, abs=1e-4)
    assert after == pytest.approx(spin, abs=1e-2)
    velocity = arriving(speed, angle, 0.0)
    out, _ = bounce(velocity, spin, met(values), TABLE.turf, RADIUS)
    assert out[2, 0] <= -velocity[2, 0]


@anywhere
@given(speeds, angles, headings, spins, contacts, turfs)
def test_mirrored_scene_mirrors(
    speed: float,
    angle: float,
    heading: float,
    spin: tuple[float, ...],
    values: tuple[float, float, float],
    turf: str,
) -> None:
    """Left for right: velocity changes the sign of y, spin (an axial vector) those of x and z."""
    flip, axial = np.array([[1.0], [-1.0], [1.0]]), np.array([[-1.0], [1.0], [-1.0]])
    velocity, omega = arriving(speed, angle, heading), np.array(spin)[:, None]
    out, after = bounce(velocity, omega, met(values), TURFS[turf], RADIUS)
    out_m, after_m = bounce(velocity * flip, omega * axial, met(values), TURFS[turf], RADIUS)
    assert out_m == pytest.approx(out * flip, abs=1e-9)
    assert after_m == pytest.approx(after * axial, abs=1e-6)


@anywhere
@given(
    speeds, st.floats(0.01, 89.5), headings, spins, contacts, turfs,
    st.tuples(*[st.floats(-1.0, 1.0)] * 3), st.floats(-3.0, 3.0),
)  # fmt: skip
def test_rotated_scene_rotates(
    speed: float,
    angle: float,
    heading: float,
    spin: tuple[float, ...],
    values: tuple[float, float, float],
    turf: str,
    axis: tuple[float, ...],
    turn: float,
) -> None:
    """The whole scene about any axis, the ground's normal with it: about the normal, and onto any slope."""
    pole = np.array(axis) + np.array([0.0, 0.0, 1.5])
    matrix = turned(pole / np.sqrt((pole**2).sum()), turn)
    velocity, omega = arriving(speed, angle, heading), np.array(spin)[:, None]
    out, after = bounce(velocity, omega, met(values), TURFS[turf], RADIUS)
    out_r, after_r = bounce(matrix @ velocity, matrix @ omega, met(values, matrix @ UP), TURFS[turf], RADIUS)
    assert out_r == pytest.approx(matrix @ out, abs=1e-7)
    assert after_r == pytest.approx(matrix @ after, abs=1e-4)


@pytest.mark.parametrize("turf", sorted(TURFS))
def test_a_vertical_fall_without_spin_returns_upright_and_smoothly(turf: str) -> None:
    """At steep landing the direction of travel is 0/0: the limit is finite and independent of the heading."""
    upright, after = bounce(
        arriving(12.0, 0.0, 0.0), np.zeros((3, 1)), met((1.0, 0.3, 1.0)), TURFS[turf], RADIUS
    )
    assert upright[:2] == pytest.approx(0.0, abs=1e-12)
    assert after == pytest.approx(0.0, abs=1e-12)
    # Penner's fit at 12 m/s, worked out by hand: 0.51 - 0.0375 * 12 + 0.000903 * 144 = 0.190.
    assert upright[2, 0] == pytest.approx(12.0 * 0.190032)
    for heading in (0.0, 77.0, -140.0):
        for spin in (0.0, 400.0):
            omega = np.array([[0.0], [-spin], [0.0]])
            limit, _ = bounce(arriving(12.0, 0.0, 0.0), omega, met((1.0, 0.3, 1.0)), TURFS[turf], RADIUS)
            near, _ = bounce(arriving(12.0, 1e-4, heading), omega, met((1.0, 0.3, 1.0)), TURFS[turf], RADIUS)
            assert near == pytest.approx(limit, abs=1e-3)


def test_a_cut_shot_kicks_sideways() -> None:
    """Spin about the line of flight drives the ball to the side its contact point runs away from."""
    velocity, backspin = arriving(12.0, 45.0, 0.0), np.array([[0.0], [-300.0], [0.0]])
    tilted = backspin + np.array([[100.0], [0.0], [0.0]])  # left edge up: rolls to the right (-y)
    straight, _ = bounce(velocity, backspin, met((1.0, 0.3, 1.0)), TABLE.turf, RADIUS)
    cut, _ = bounce(velocity, tilted, met((1.0, 0.3, 1.0)), TABLE.turf, RADIUS)
    assert straight[1, 0] == 0.0
    assert cut[1, 0] < -0.2


@anywhere
@given(
    st.lists(st.tuples(speeds, angles, headings, spins, contacts), min_size=2, max_size=9),
    st.integers(0, 8),
)  # fmt: skip
def test_alone_as_in_a_batch(
    lanes: list[tuple[float, float, float, tuple[float, ...], tuple[float, float, float]]], which: int
) -> None:
    velocity = np.concatenate([arriving(*lane[:3]) for lane in lanes], axis=1)
    spin = np.array([lane[3] for lane in lanes]).T
    restitution, friction, tilt = np.array([lane[4] for lane in lanes]).T
    normal = np.repeat(UP, len(lanes), axis=1)
    out, after = bounce(velocity, spin, Contact(normal, restitution, friction, tilt), TABLE.turf, RADIUS)
    k = which % len(lanes)
    one, one_after = bounce(velocity[:, [k]], spin[:, [k]], met(lanes[k][4]), TABLE.turf, RADIUS)
    assert one == pytest.approx(out[:, [k]], rel=1e-12, abs=1e-12)
    assert one_after == pytest.approx(after[:, [k]], rel=1e-12, abs=1e-9)


def rolled(table: Coefficients, loft: Array, speed: Array, firmness: Array) -> Array:
    """Run in m past the landing of shots with delivered ``loft`` (deg) and head ``speed`` (m/s)."""
    n, zero = loft.size, np.zeros(loft.size)
    density = air.density(zero, np.full(n, 20.0), table.air)
    still = Air(density, air.kinematic_viscosity(np.full(n, 20.0), density, table.air), zero, zero)
    club = Delivered(
        speed * direction(np.full(n, -4.0 * DEGREE), zero), face_normal(loft * DEGREE, zero), np.full(n, 0.4)
    )
    ball = strike(club, table.ball, table.strike)
    here = shot.Conditions(
        plane(), np.zeros(n, dtype=np.intp), np.full(n, 10 * FOOT), firmness, zero, np.full((2, n), np.nan),
        still, np.ones(n), np.zeros((3, shot.MOST_BOUNCES, n)),
    )  # fmt: skip
    result = shot.simulate(ball.velocity, ball.spin, here, table)
    return np.asarray(result.rest[0] - result.landing[0])


def test_halving_the_rest_threshold_changes_no_roll() -> None:
    """The rebound at which bouncing ends is a numerical choice: a sand wedge's roll moves by under 3 %."""
    loft, speed = (a.ravel() for a in np.meshgrid([46.0, 48.0, 52.0], np.linspace(6.0, 17.0, 12)))
    finer = msgspec.structs.replace(
        TABLE, turf=msgspec.structs.replace(TABLE.turf, rest_speed=0.5 * TABLE.turf.rest_speed)
    )
    firmness = np.full(loft.size, 85.0)
    usual = rolled(TABLE, loft, speed, firmness)
    assert np.all(np.abs(rolled(finer, loft, speed, firmness) - usual) < 0.03 * usual)


def test_firmer_never_runs_less() -> None:
    """From the softest to the firmest green that a situation may hold (40 to 140 g), chips to full wedges."""
    loft, speed = (a.ravel() for a in np.meshgrid(np.arange(22.0, 62.0, 6.0), np.linspace(4.0, 32.0, 8)))
    runs = [rolled(TABLE, loft, speed, np.full(loft.size, g)) for g in np.arange(40.0, 141.0, 10.0)]
    assert np.diff(np.array(runs), axis=0).min() > -1e-3
