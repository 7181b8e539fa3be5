"""What every flight and every hop must obey over the whole range of launches, winds and grounds."""

from __future__ import annotations

from dataclasses import fields

import msgspec
import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.physics import air as air_law
from shortgame_gui.physics.flight import Landing, Path, fly
from shortgame_gui.physics.forces import Air, Forces
from shortgame_gui.physics.ground import DrawnGround, Ground, Strip, plane
from shortgame_gui.physics.hop import FASTEST, FASTEST_IN_WIND, hop, slow
from shortgame_gui.physics.strike import direction
from shortgame_gui.store.coefficients import load
from shortgame_gui.units import DEGREE, RPM

Array = npt.NDArray[np.float64]

TABLE = load()
FINE = msgspec.structs.replace(
    TABLE,
    flight=msgspec.structs.replace(TABLE.flight, flight_way=TABLE.flight.flight_way / 6.0),
)
"""Flights worked out in stretches of a sixth of the length."""
GREEN = [Strip(0, -1e4, 1e4)]
BANK = DrawnGround([([(-5.0, 0.0), (2.0, 0.0), (4.0, 1.0), (30.0, 1.3)], 0.02, GREEN)])
"""Level, then a bank of one metre up to ground that rises on, all falling to the right."""

speeds = st.floats(5.0, 40.0)
spins = st.floats(0.0, 11000.0)
winds = st.floats(0.0, 10.0)


def still(
    n: int, along: float = 0.0, across: float = 0.0, celsius: float = 15.0, altitude: float = 0.0
) -> Air:
    rho = np.full(n, air_law.density(altitude, celsius, TABLE.air))
    nu = np.full(n, air_law.kinematic_viscosity(celsius, rho[:1], TABLE.air))
    return Air(rho, nu, np.full(n, along), np.full(n, across))


def acting(air: Air, table: Coefficients = TABLE) -> Forces:
    return Forces(air, table.ball, table.air, table.flight)


def shoot(
    velocity: Array,
    spin: Array,
    air: Air | None = None,
    ground: Ground | None = None,
    start: Array | None = None,
    lane: npt.NDArray[np.intp] | None = None,
    path: Path | None = None,
    table: Coefficients = TABLE,
) -> Landing:
    n = velocity.shape[1]
    return fly(
        np.zeros((3, n)) if start is None else start, velocity, spin,
        acting(still(n) if air is None else air, table), plane() if ground is None else ground,
        np.zeros(n, dtype=np.intp) if lane is None else lane, path, np.arange(n), np.zeros(n),
    )  # fmt: skip


def launch(speed: Array | float, angle: Array | float, rpm: float, side: float = 0.0) -> tuple[Array, Array]:
    """Velocity and backspin (3, n) at angles in degrees, ``side`` left of the line."""
    speed, angle = (np.atleast_1d(a).astype(float) for a in np.broadcast_arrays(speed, angle))
    turn = np.full(speed.shape, side * DEGREE)
    axis = np.stack([np.sin(turn), -np.cos(turn), np.zeros(speed.shape)])
    return speed * direction(angle * DEGREE, turn), rpm * RPM * axis


def many(n: int) -> tuple[Array, Array]:
    draw = np.random.default_rng(7)
    velocity = draw.uniform(3.0, 36.0, n) * direction(draw.uniform(0.1, 1.2, n), draw.normal(0.0, 0.1, n))
    return velocity, draw.uniform(0.0, 1000.0, n) * np.stack(
        [draw.normal(0.0, 0.1, n), -np.ones(n), draw.normal(0.0, 0.3, n)]
    )


def mirrored(vector: Array, axial: bool = False) -> Array:
    """The vector in a mirror that swaps left and right; axial vectors (spin) turn the other way round."""
    return vector * (np.array([[-1.0], [1.0], [-1.0]]) if axial else np.array([[1.0], [-1.0], [1.0]]))


@given(speeds, spins, winds)
@settings(max_examples=80, deadline=None)
def test_headwind_never_longer_tailwind_never_shorter(speed: float, rpm: float, wind: float) -> None:
    """Launch of 35 degrees and more, up to straight up (model: must hold, 7). With short stretches 2 mm of
    numerical error are enough for flights of eight seconds too."""
    velocity, spin = launch(speed, np.linspace(35.0, 89.0, 10), rpm)
    head, calm, tail = (
        shoot(velocity, spin, still(10, w), table=FINE).position[0] for w in (-wind, 0.0, wind)
    )
    assert np.all(head <= calm + 2e-3)
    assert np.all(tail >= calm - 2e-3)


@given(speeds, spins, st.floats(-10.0, 45.0), st.floats(0.0, 4000.0))
@settings(max_examples=60, deadline=None)
def test_thinner_air_is_never_shorter(speed: float, rpm: float, celsius: float, altitude: float) -> None:
    """The same launches (must hold, 8): higher up, and warmer."""
    velocity, spin = launch(speed, np.linspace(35.0, 80.0, 8), rpm)
    here = shoot(velocity, spin, still(8, celsius=celsius, altitude=altitude)).position[0]
    higher = shoot(velocity, spin, still(8, celsius=celsius, altitude=altitude + 300.0)).position[0]
    warmer = shoot(velocity, spin, still(8, celsius=celsius + 10.0, altitude=altitude)).position[0]
    assert np.all(higher >= here - 2e-3)
    assert np.all(warmer >= here - 2e-3)


@given(st.floats(0.0, 45.0), st.floats(0.0, 90.0), spins, st.floats(-15.0, 15.0), st.floats(-15.0, 15.0))
@settings(max_examples=60, deadline=None)
def test_every_ball_lands_on_the_ground(
    speed: float, angle: float, rpm: float, along: float, across: float
) -> None:
    velocity, spin = launch(speed, angle, rpm, side=3.0)
    down = shoot(velocity, spin, still(1, along, across), BANK)
    x, y, z = down.position
    for figures in (down.position, down.velocity, down.spin, down.time, down.apex):
        assert np.all(np.isfinite(figures))
    assert z == pytest.approx(BANK.height(x, y, np.zeros(1, dtype=np.intp)), abs=1e-12)
    assert down.apex[0] >= max(z[0], 0.0)
    assert np.linalg.norm(down.spin) <= rpm * RPM + 1e-9


def test_alone_as_in_a_batch() -> None:
    """Must hold, 14: to 1e-9, with wind, on bent ground and with neighbours of all kinds."""
    velocity, spin = many(40)
    air = Air(
        np.full(40, 1.2),
        np.full(40, 1.5e-5),
        np.linspace(-8.0, 8.0, 40) * (np.arange(40) % 3 > 0),
        np.zeros(40),
    )
    for ground in (plane(0.05, -0.02), BANK):
        together = shoot(velocity, spin, air, ground)
        for k in range(40):
            only = np.array([k])
            own = Air(*(getattr(air, f.name)[only] for f in fields(Air)))
            alone = shoot(velocity[:, only], spin[:, only], own, ground)
            for field in ("position", "velocity", "spin", "time", "apex"):
                got = getattr(together, field)[..., k]
                assert got == pytest.approx(getattr(alone, field)[..., 0], abs=1e-9, rel=1e-9)


def test_several_grounds_in_one_batch() -> None:
    drawings = [
        ([(1.0, 0.0), (3.0, 0.8)], 0.03, GREEN), ([], -0.05, GREEN),
        ([(-3.0, 1.0), (5.0, 0.0), (9.0, 0.0), (9.5, 0.6), (20.0, -1.0)], 0.0, GREEN),
    ]  # fmt: skip
    velocity, spin = many(30)
    lane = np.arange(30) % 3
    start = np.zeros((3, 30))
    together = shoot(velocity, spin, ground=DrawnGround(drawings), lane=lane)
    for g in range(3):
        own = np.flatnonzero(lane == g)
        alone = shoot(velocity[:, own], spin[:, own], ground=DrawnGround([drawings[g]]), start=start[:, own])
        assert together.position[:, own] == pytest.approx(alone.position, abs=1e-9)
        assert together.velocity[:, own] == pytest.approx(alone.velocity, abs=1e-9)


def test_mirrored_left_to_right() -> None:
    velocity, spin = many(30)
    down = shoot(velocity, spin, still(30, -3.0, 2.0), plane(0.02, 0.04))
    other = shoot(mirrored(velocity), mirrored(spin, axial=True), still(30, -3.0, -2.0), plane(0.02, -0.04))
    assert mirrored(other.position) == pytest.approx(down.position, abs=1e-9)
    assert mirrored(other.velocity) == pytest.approx(down.velocity, abs=1e-9)
    assert mirrored(other.spin, axial=True) == pytest.approx(down.spin, abs=1e-9)


def test_shorter_stretches_agree() -> None:
    """2 mm in still air and 1 cm in 8 m/s of wind for everything that a player within 100 yards may hit."""
    velocity, spin = many(200)
    for ground in (plane(), BANK):
        for wind, near in ((0.0, 2e-3), (-8.0, 1e-2)):
            coarse = shoot(velocity, spin, still(200, wind), ground)
            fine = shoot(velocity, spin, still(200, wind), ground, table=FINE)
            assert np.abs(coarse.position - fine.position).max() < near
            assert np.abs(coarse.velocity - fine.velocity).max() < 10.0 * near


def test_take_off_is_not_a_landing() -> None:
    """From level ground, up a slope it clears, off a crest and at a grazing angle: the ball flies."""
    crest = DrawnGround([([(-4.0, -2.0), (0.0, 0.0), (4.0, -2.0)], 0.0, GREEN)])
    for ground, angle in ((plane(), 0.2), (plane(0.3), 20.0), (crest, 0.5), (BANK, 30.0)):
        for speed in (0.2, 2.0, 20.0):
            down = shoot(*launch(speed, angle, 3000.0), ground=ground)
            assert down.time[0] > 0.0
            assert down.position[0, 0] > 0.0


def test_launched_into_the_ground_it_lands_at_once() -> None:
    for ground, angle in ((plane(), 0.0), (plane(), -10.0), (plane(0.3), 16.0)):
        velocity, spin = launch(20.0, angle, 5000.0)
        down = shoot(velocity, spin, ground=ground)
        assert down.time[0] == 0.0
        assert np.all(down.position == 0.0)
        assert np.all(down.velocity == velocity)
        assert np.all(down.spin == spin)


def test_a_narrow_lip_is_met() -> None:
    """A narrow ridge anywhere on the way stops a low ball, wherever it is looked for."""
    for at in np.arange(1.5, 7.6, 0.31):
        ridge = DrawnGround([([(at - 0.4, 0.0), (at, 1.5), (at + 0.4, 0.0)], 0.0, GREEN)], rounding=0.1)
        down = shoot(*launch(13.0, 15.0, 2000.0), ground=ridge)
        assert at - 0.45 < down.position[0, 0] < at + 0.1
        over = shoot(*launch(16.0, 50.0, 2000.0), ground=ridge)
        assert over.position[0, 0] > 8.5


def test_the_first_of_two_landings_counts() -> None:
    """A ball that comes down on the top of a bank does not go on to the ground beyond it."""
    table = DrawnGround([([(4.0, 0.0), (4.5, 2.0), (12.0, 2.0), (12.5, 0.0)], 0.0, GREEN)])
    down = shoot(*launch(11.0, 55.0, 4000.0), ground=table)
    assert down.position[2, 0] == pytest.approx(2.0)
    assert 5.0 < down.position[0, 0] < 12.0


def test_the_path_leads_from_start_to_landing() -> None:
    path = Path()
    velocity, spin = many(8)
    down = shoot(velocity, spin, still(8, -5.0), BANK, path=path)
    who, times, places, _ = path.by_ball()
    for k in range(8):
        time, place = times[who == k], places[:, who == k].T
        assert np.all(np.diff(time) > 0.0)
        assert time[0] > 0.0
        assert time[-1] < down.time[k]
        lane = np.zeros(len(time), dtype=np.intp)
        assert np.all(place[:, 2] >= BANK.height(place[:, 0], place[:, 1], lane) - 1e-6)
        assert place[:, 2].max() <= down.apex[k] + 1e-3
        assert down.apex[k] - place[:, 2].max() < 0.1


@pytest.mark.parametrize(("wind", "near"), [(0.0, 3e-3), (5.0, 3e-3)])
def test_hops_agree_with_the_full_integration(wind: float, near: float) -> None:
    """3 mm for the longest hops, in a wind of 5 m/s as well; mostly a twentieth of that."""
    draw = np.random.default_rng(3)
    n = 2000
    top = FASTEST_IN_WIND if wind else FASTEST
    velocity = draw.uniform(0.1, top, n) * direction(draw.uniform(0.05, 1.0, n), draw.normal(0.0, 0.2, n))
    spin = np.stack([draw.normal(0.0, 60.0, n), draw.uniform(-900.0, 500.0, n), draw.normal(0.0, 30.0, n)])
    air, lane = still(n, -wind, 0.5 * wind), np.zeros(n, dtype=np.intp)
    for ground in (plane(), plane(0.05, -0.03)):
        exact = shoot(velocity, spin, air, ground, table=FINE)
        rough, small = hop(np.zeros((3, n)), velocity, spin, acting(air), ground, lane, np.zeros(n))
        small &= slow(np.zeros((3, n)), velocity, acting(air), ground, lane)
        assert small.mean() > 0.4
        off = np.sqrt(((rough.position - exact.position) ** 2).sum(axis=0))[small]
        assert off.max() < near
        assert np.median(off) < 0.05 * near
        assert np.abs(rough.velocity - exact.velocity)[:, small].max() < 5e-3
        assert np.abs(rough.apex - exact.apex)[small].max() < 5e-3


def test_hops_over_bent_ground_agree_with_the_full_integration() -> None:
    """Up, over and down a bank and off its crest, forwards and backwards, and off a cliff; where the ground
    falls away further than the hop is known, it is left to the flight."""
    draw = np.random.default_rng(4)
    n = 2000
    cliff = DrawnGround([([(0.0, 0.0), (2.0, 1.0), (4.0, 1.2), (5.0, -3.0)], -0.03, GREEN)])
    velocity = draw.uniform(0.1, 9.0, n) * direction(draw.uniform(0.05, 1.2, n), draw.normal(0.0, 0.2, n))
    velocity[0] *= draw.choice([-1.0, 1.0], n)
    spin = np.stack([draw.normal(0.0, 60.0, n), draw.uniform(-900.0, 500.0, n), draw.normal(0.0, 30.0, n)])
    lane = np.zeros(n, dtype=np.intp)
    for ground, least, most in ((BANK, 0.95, 1.0), (cliff, 0.8, 0.99)):
        start = np.stack([draw.uniform(-1.0, 6.0, n), draw.uniform(-2.0, 2.0, n), np.zeros(n)])
        start[2] = ground.height(start[0], start[1], lane)
        exact = shoot(velocity, spin, ground=ground, start=start, table=FINE)
        rough, small = hop(start, velocity, spin, acting(still(n)), ground, lane, start[2])
        small &= slow(start, velocity, acting(still(n)), ground, lane)
        assert least < small.mean() <= most
        off = np.sqrt(((rough.position - exact.position) ** 2).sum(axis=0))[small]
        # Where the way all but touches a corner the two may land before and behind it.
        assert np.mean(off < 5e-3) > 0.98
        assert np.median(off) < 3e-4


def test_the_law_of_lift_matters_where_it_is_set() -> None:
    """The hold, the power and the fall with the Reynolds number each change a wedge's carry."""
    velocity, spin = launch(28.0, 34.0, 9000.0)
    carry = shoot(velocity, spin).position[0, 0]
    for name, value in (("lift_hold", 0.25), ("lift_reynolds_high", 9e4), ("drag_spin_hold", 0.6)):
        changed = msgspec.structs.replace(TABLE.flight, **{name: value})
        other = shoot(velocity, spin, table=msgspec.structs.replace(TABLE, flight=changed))
        assert abs(other.position[0, 0] - carry) > 0.3
