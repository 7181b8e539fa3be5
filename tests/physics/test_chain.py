"""The whole chain: one shot alone or in a batch, mirrored, traced, on every surface, and over all inputs."""

from __future__ import annotations

from dataclasses import replace

import msgspec
import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shortgame_gui.physics import air as air_law
from shortgame_gui.physics import shot
from shortgame_gui.physics.forces import Air
from shortgame_gui.physics.ground import SURFACES, WATER, WIDE, DrawnGround, Ground, Strip, plane
from shortgame_gui.physics.shot import MOST_BOUNCES, Conditions, Result, simulate
from shortgame_gui.physics.steps import AT_REST, HOLED, IN_WATER, OUT_OF_BOUNDS, ROLLED_AWAY
from shortgame_gui.physics.strike import direction
from shortgame_gui.store.coefficients import load
from shortgame_gui.units import DEGREE, FOOT, RPM

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

TABLE = load()
GREEN, FRINGE, FAIRWAY, ROUGH = (SURFACES.index(s) for s in ("green", "fringe", "fairway", "rough"))
COURSE = (
    [(-2.0, 0.0), (9.0, 0.1), (11.0, 0.7), (40.0, 0.5)], 0.02,
    [Strip(ROUGH, -WIDE, WIDE), Strip(FAIRWAY, -9.0, 8.0), Strip(FRINGE, 7.0, 31.0, 9.0, 9.0),
     Strip(GREEN, 8.0, 30.0, 8.0, 8.0), Strip(WATER, 33.0, 38.0)],
)  # fmt: skip
SIDES = np.array([[1.0], [-1.0], [1.0]])


def conditions(
    n: int,
    ground: Ground | None = None,
    lane: Index | None = None,
    hole: tuple[float, float] = (np.nan, np.nan),
    wind: tuple[float, float] = (0.0, 0.0),
    scatter: Array | None = None,
    wet: float = 0.0,
) -> Conditions:
    rho = np.full(n, air_law.density(0.0, 20.0, TABLE.air))
    nu = np.full(n, air_law.kinematic_viscosity(20.0, rho[:1], TABLE.air))
    return Conditions(
        ground=plane() if ground is None else ground,
        lane=np.zeros(n, dtype=np.intp) if lane is None else lane,
        stimp=np.full(n, 10.0 * FOOT),
        firmness=np.full(n, 85.0),
        wet=np.full(n, wet),
        hole=np.tile(np.array(hole)[:, None], n),
        air=Air(rho, nu, np.full(n, wind[0]), np.full(n, wind[1])),
        grip=np.ones(n),
        scatter=np.zeros((3, MOST_BOUNCES, n)) if scatter is None else scatter,
    )


def launch(
    speed: Array | float, angle: Array | float, rpm: Array | float, side: Array | float = 0.0
) -> tuple[Array, Array]:
    """Velocity and backspin (3, n); angles in degrees, ``side`` left of the line."""
    speed, angle, rpm, side = (
        np.atleast_1d(a).astype(float) for a in np.broadcast_arrays(speed, angle, rpm, side)
    )
    zero = np.zeros(speed.shape)
    return speed * direction(angle * DEGREE, side * DEGREE), np.stack([zero, -rpm * RPM, zero])


def many(n: int) -> tuple[Array, Array, Array]:
    """Velocity, spin and scatter of chips, pitches and wedges."""
    draw = np.random.default_rng(5)
    velocity, spin = launch(
        draw.uniform(3.0, 25.0, n),
        draw.uniform(2.0, 60.0, n),
        draw.uniform(0.0, 9000.0, n),
        draw.normal(0.0, 6.0, n),
    )
    spin += draw.normal(0.0, 60.0, (3, n))
    return velocity, spin, draw.normal(0.0, 1.0, (3, MOST_BOUNCES, n))


FIELDS = (
    "landing", "landing_velocity", "landing_spin", "landing_time", "apex", "roll_position", "roll_speed",
    "roll_time", "rest", "time",
)  # fmt: skip


def same(one: Result, two: Result, some: Index, near: float = 1e-9) -> None:
    """Whether the shots ``some`` of ``one`` are those of ``two``."""
    for name in FIELDS:
        got, expected = getattr(one, name)[..., some], getattr(two, name)
        assert got == pytest.approx(expected, abs=near, rel=near), name
    assert np.all(one.count[some] == two.count)
    assert np.all(one.ending[some] == two.ending)


@pytest.mark.parametrize("wind", [0.0, -6.0])
def test_alone_as_in_a_batch(wind: float) -> None:
    """Must hold, 14: to 1e-9, with scatter, a hole, putts among the rest, traced or not."""
    velocity, spin, scatter = many(36)
    rolling = np.arange(36) % 7 == 0
    where = conditions(36, DrawnGround([COURSE]), hole=(16.0, 0.5), wind=(wind, 1.0), scatter=scatter)
    together = simulate(velocity, spin, where, TABLE, rolling=rolling)
    for k in range(36):
        only = np.array([k])
        alone = simulate(
            velocity[:, only],
            spin[:, only],
            where.part(slice(k, k + 1)),
            TABLE,
            rolling=rolling[only],
            trace=k % 2 == 0,
        )
        same(together, alone, only)


def test_a_batch_may_be_played_in_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    """More shots than are played at a time, traced: the same as all at once."""
    velocity, spin, scatter = many(36)
    rolling = np.arange(36) % 7 == 0
    where = conditions(36, DrawnGround([COURSE]), hole=(16.0, 0.5), scatter=scatter)
    whole = simulate(velocity, spin, where, TABLE, rolling=rolling, trace=True)
    monkeypatch.setattr(shot, "PART", 10)
    parts = simulate(velocity, spin, where, TABLE, rolling=rolling, trace=True)
    same(whole, parts, np.arange(36))
    assert whole.path is not None and parts.path is not None
    assert whole.bounces is not None and parts.bounces is not None
    assert parts.bounces.position == pytest.approx(whole.bounces.position, abs=1e-9, nan_ok=True)
    for one, other in zip(whole.path.by_ball(), parts.path.by_ball(), strict=True):
        assert other == pytest.approx(one, abs=1e-9)


def test_some_of_the_traced_shots_are_those_same_shots() -> None:
    velocity, spin, scatter = many(12)
    where = conditions(12, DrawnGround([COURSE]), hole=(16.0, 0.5), scatter=scatter)
    whole = simulate(velocity, spin, where, TABLE, trace=True)
    some = np.array([7, 2, 11])
    part = whole.take(some)
    same(whole, part, some, near=0.0)
    assert whole.path is not None and part.path is not None
    assert whole.bounces is not None and part.bounces is not None
    np.testing.assert_array_equal(part.bounces.time, whole.bounces.time[:, some])
    who, time, place, velocity = part.path.by_ball()
    of, times, places, velocities = whole.path.by_ball()
    for k, ball in enumerate(some):
        assert time[who == k].tolist() == times[of == ball].tolist()
        assert place[:, who == k].tolist() == places[:, of == ball].tolist()
        assert velocity[:, who == k].tolist() == velocities[:, of == ball].tolist()


def test_once_it_is_enough_the_balls_that_still_roll_are_left() -> None:
    """What is told of the others, then and in the end, is what it would be."""
    velocity, spin, scatter = many(36)
    where = conditions(36, DrawnGround([COURSE]), scatter=scatter)
    whole, left = simulate(velocity, spin, where, TABLE), []

    def enough(result: Result, moves: Mask) -> bool:
        there = (~moves).nonzero()[0]
        assert result.rest[:, there].tolist() == whole.rest[:, there].tolist()
        assert result.ending[there].tolist() == whole.ending[there].tolist()
        left.append(moves.nonzero()[0])
        return len(left[-1]) < 9

    part = simulate(velocity, spin, where, TABLE, enough=enough)
    assert 0 < len(left[-1]) < 9 <= len(left[-2])
    same(whole, part.take(np.setdiff1d(np.arange(36), left[-1])), np.setdiff1d(np.arange(36), left[-1]), 0.0)


def test_several_grounds_in_one_batch() -> None:
    drawings = [
        COURSE,
        ([], -0.02, [Strip(GREEN, -WIDE, WIDE)]),
        ([(5.0, 0.0), (15.0, -2.0)], 0.0, COURSE[2]),
    ]
    velocity, spin, scatter = many(60)
    lane = np.arange(60) % 3
    together = simulate(velocity, spin, conditions(60, DrawnGround(drawings), lane, scatter=scatter), TABLE)
    for g, drawing in enumerate(drawings):
        own = np.flatnonzero(lane == g)
        where = conditions(len(own), DrawnGround([drawing]), scatter=scatter[..., own])
        same(together, simulate(velocity[:, own], spin[:, own], where, TABLE), own)


def test_mirrored_left_to_right() -> None:
    """Must hold, 12, for the chain."""
    velocity, spin, scatter = many(60)
    profile, cross, strips = COURSE
    uneven = [replace(s, left=s.left + 0.5 * k, right=s.right) for k, s in enumerate(strips)]
    flipped = [replace(s, left=s.right, right=s.left) for s in uneven]
    left = DrawnGround([(profile, cross, uneven)])
    where = conditions(60, left, hole=(15.0, 1.0), wind=(-4.0, 3.0), scatter=scatter)
    here = simulate(velocity, spin, where, TABLE)
    right = DrawnGround([(profile, -cross, flipped)])
    scatter = scatter * np.array([1.0, 1.0, -1.0])[:, None, None]
    where = conditions(60, right, hole=(15.0, -1.0), wind=(-4.0, -3.0), scatter=scatter)
    there = simulate(velocity * SIDES, spin * -SIDES, where, TABLE)
    assert there.rest * SIDES == pytest.approx(here.rest, abs=1e-8)
    assert there.landing * SIDES == pytest.approx(here.landing, abs=1e-9)
    assert there.landing_spin * -SIDES == pytest.approx(here.landing_spin, abs=1e-7)
    assert np.all(there.ending == here.ending)


def test_input_is_left_alone() -> None:
    """State in, state out: nothing of what is passed in changes, and a second call gives the same."""
    velocity, spin, scatter = many(20)
    where = conditions(20, DrawnGround([COURSE]), hole=(16.0, 0.0), scatter=scatter)
    before = [a.copy() for a in (velocity, spin, where.scatter, where.hole, where.lane)]
    one = simulate(velocity, spin, where, TABLE)
    two = simulate(velocity, spin, where, TABLE)
    for was, now in zip(before, (velocity, spin, where.scatter, where.hole, where.lane), strict=True):
        assert np.array_equal(was, now, equal_nan=True)
    same(one, two, np.arange(20), near=0.0)


@given(
    st.floats(0.0, 60.0), st.floats(-20.0, 89.0), st.floats(-4000.0, 12000.0), st.floats(-45.0, 45.0),
    st.floats(-0.5, 0.5), st.floats(-0.3, 0.3), st.floats(-15.0, 15.0), st.booleans(), st.integers(0, 2**16),
)  # fmt: skip
@settings(max_examples=60, deadline=None)
def test_every_input_in_range_ends(
    speed: float,
    angle: float,
    rpm: float,
    side: float,
    bank: float,
    cross: float,
    wind: float,
    putt: bool,
    seed: int,
) -> None:
    """Must hold, 11: no NaN, no end in sight, no warning; and the ball lies on the ground."""
    draw = np.random.default_rng(seed)
    strips = [Strip(int(draw.integers(0, 10)), -WIDE, WIDE)] + [
        Strip(int(draw.integers(0, 10)), a, a + 6.0, *draw.uniform(0.5, 9.0, 2))
        for a in draw.uniform(0.0, 40.0, 4)
    ]
    ground = DrawnGround([([(-1.0, 0.0), (6.0, 7.0 * bank), (9.0, 6.0 * bank), (60.0, 0.0)], cross, strips)])
    where = conditions(
        1, ground, hole=(12.0, 0.2), wind=(wind, -wind), scatter=draw.normal(0.0, 1.5, (3, MOST_BOUNCES, 1))
    )
    done = simulate(*launch(speed, angle, rpm, side), where, TABLE, rolling=np.array([putt]), trace=True)
    for name in FIELDS:
        assert np.all(np.isfinite(getattr(done, name))), name
    assert done.ending[0] in (AT_REST, HOLED, IN_WATER, OUT_OF_BOUNDS, ROLLED_AWAY)
    x, y, z = done.rest
    assert z == pytest.approx(ground.height(x, y, where.lane), abs=1e-9)
    assert 0 <= done.count[0] <= MOST_BOUNCES
    assert done.roll_time[0] <= done.time[0] <= 120.0


def test_the_trace_tells_what_happened() -> None:
    velocity, spin, scatter = many(12)
    where = conditions(12, DrawnGround([COURSE]), hole=(16.0, 0.5), scatter=scatter)
    done = simulate(velocity, spin, where, TABLE, trace=True)
    same(done, simulate(velocity, spin, where, TABLE), np.arange(12), near=0.0)
    assert done.path is not None
    assert done.bounces is not None
    who, times, places, _ = done.path.by_ball()
    for k in range(12):
        time, place = times[who == k], places[:, who == k]
        assert np.all(np.diff(time) >= 0.0)
        assert place[:, 0].tolist() == [0.0, 0.0, 0.0]
        assert place[:, -1] == pytest.approx(done.rest[:, k], abs=1e-9)
        assert time[-1] == pytest.approx(done.time[k], abs=1e-9)
        n = int(done.count[k])
        assert np.isfinite(done.bounces.time[:n, k]).all()
        assert np.isnan(done.bounces.time[n:, k]).all()
        if n:
            assert done.bounces.position[0, :, k] == pytest.approx(done.landing[:, k])
            assert done.bounces.velocity_in[0, :, k] == pytest.approx(done.landing_velocity[:, k])
            assert np.all(np.isin(np.round(done.bounces.time[:n, k], 9), np.round(time, 9)))
    assert simulate(velocity, spin, where, TABLE).path is None


def test_putts_start_on_the_ground() -> None:
    """A putt rolls from the start: no bounce, no flight; its landing is its start."""
    done = simulate(*launch(2.0, 0.0, 0.0), conditions(1), TABLE, rolling=np.array([True]))
    assert done.count[0] == 0
    assert done.apex[0] == 0.0
    assert np.all(done.landing == 0.0)
    assert done.roll_speed[0] == pytest.approx(2.0 * 5.0 / 7.0)


def test_a_ball_launched_into_a_bank_stays_in_play() -> None:
    """Thinned into a bank in front: it meets the ground at once and bounces from there."""
    bank = DrawnGround(
        [([(-1.0, 0.0), (0.0, 0.0), (3.0, 3.0)], 0.0, [Strip(ROUGH, -WIDE, WIDE)])], rounding=0.05
    )
    start = plane(0.5, surface="rough")
    for ground in (bank, start):
        done = simulate(*launch(12.0, 10.0, 1000.0), conditions(1, ground), TABLE)
        assert done.ending[0] == AT_REST
        assert np.hypot(*done.rest[:2, 0]) < 3.0


def test_a_slip_that_the_slope_turns_round_is_followed() -> None:
    """On a wall pull beats friction: a slip up it is braked at first, and then does not end but grows."""
    wall = [(1.9, 0.0), (3.75, 10.3), (11.0, 5.5), (17.1, 1.4), (18.3, 0.0)]
    ground = DrawnGround([(wall, -0.02, COURSE[2])])
    velocity, spin, scatter = many(400)
    done = simulate(1.2 * velocity, spin, conditions(400, ground, scatter=scatter), TABLE)
    assert np.all(np.isfinite(done.rest)) and np.all(np.isfinite(done.time))


def test_balls_drop_on_the_bounce_and_on_the_run() -> None:
    """Chips straight at the hole, from short to long: those that cross it slowly drop."""
    speeds = np.linspace(5.0, 9.0, 400)
    velocity, spin = launch(speeds, 25.0, 2500.0)
    free = simulate(velocity, spin, conditions(400), TABLE)
    done = simulate(velocity, spin, conditions(400, hole=(7.0, 0.0)), TABLE)
    holed = done.ending == HOLED
    assert np.all(done.rest[0, holed] == 7.0)
    assert np.all(done.rest[:, ~holed] == free.rest[:, ~holed])
    over = free.rest[0] - 7.0
    assert not holed[over < -0.06].any()
    # v^2 = 2 a s: 1.63 m/s at the hole would run on 2.4 m on this green.
    rolled = free.roll_position[0] < 6.9
    assert np.all(holed[rolled & (over > 0.0) & (over < 2.3)])
    assert not holed[rolled & (over > 2.5)].any()
    assert holed.sum() > 60


def test_no_hop_flies_over_the_hole_for_being_a_hop() -> None:
    """Balls that still patter at half a millimetre when they cross the hole drop like rolling ones."""
    velocity, spin = launch(np.full(200, 1.3), np.full(200, 2.0), 0.0)
    hole = np.stack([np.linspace(0.06, 0.4, 200), np.zeros(200)])
    done = simulate(velocity, spin, replace(conditions(200), hole=hole), TABLE)
    assert np.all(done.ending == HOLED)


def test_a_ball_that_lands_in_water_is_lost_there() -> None:
    ground = DrawnGround([([], 0.0, [Strip(GREEN, -WIDE, WIDE), Strip(WATER, 5.0, 60.0)])])
    done = simulate(*launch(15.0, 40.0, 4000.0), conditions(1, ground), TABLE)
    assert done.ending[0] == IN_WATER
    assert done.count[0] == 0
    assert np.all(done.rest == done.landing)


def test_a_smaller_threshold_of_rebound_changes_little() -> None:
    """The rebound at which hopping ends is numerical: half of it moves the rest by under 2 % of the run."""
    less = msgspec.structs.replace(TABLE.turf, rest_speed=0.5 * TABLE.turf.rest_speed)
    velocity, spin = launch(
        np.linspace(5.0, 20.0, 60), np.linspace(20.0, 45.0, 60), np.linspace(2000.0, 6000.0, 60)
    )
    one = simulate(velocity, spin, conditions(60), TABLE)
    two = simulate(velocity, spin, conditions(60), msgspec.structs.replace(TABLE, turf=less))
    run = np.abs(one.rest[0] - one.landing[0])
    assert np.all(np.abs(one.rest[0] - two.rest[0]) < 0.02 * run + 0.02)


HOLLOW = [(0.0, 0.0), (5.0, 0.0), (6.0, -0.9), (9.0, -0.9), (10.0, 0.0)]
"""A bunker's shape, in m."""


def test_a_fast_ball_leaves_the_ground_over_a_crest() -> None:
    """It parts from a crest of radius r above a speed of sqrt(g r) (any textbook of mechanics): what comes at
    17 m/s to a hollow flies over its bottom as by gravity alone, and what rolls slowly follows the ground
    down. Ways are told without a gap, and alone as in a batch."""
    speeds = np.array([4.0, 10.0, 17.0])
    velocity, spin = launch(speeds, 0.0, 0.0)
    where = conditions(3, DrawnGround([(HOLLOW, 0.0, [Strip(FAIRWAY, -WIDE, WIDE)])]))
    every = np.ones(3, dtype=bool)
    done = simulate(velocity, spin, where, TABLE, rolling=every, trace=True)
    assert list(done.count > 0) == [False, True, True]
    assert done.bounces is not None and done.path is not None
    # Of 17 m/s friction takes some until the edge, which lies half a metre of rounding before 5 m.
    start = np.sqrt(speeds[2] ** 2 - 2.0 * TABLE.surface["fairway"].slide * TABLE.air.gravity * 4.7)
    down, fell = done.bounces.position[0][:, 2], done.bounces.time[0][2]
    assert down[0] > 10.0 or down[2] < -0.1
    who, time, place, _ = done.path.by_ball()
    mine = who == 2
    assert np.max(np.abs(np.diff(place[0, mine]))) < 1.5
    over = mine & (place[0] > 5.0) & (place[0] < min(9.0, down[0])) & (time < fell)
    fall = 0.5 * TABLE.air.gravity * ((place[0, over] - 4.7) / start) ** 2
    assert place[2, over] == pytest.approx(-fall, abs=0.06)
    for k in range(3):
        only = np.array([k])
        alone = simulate(
            velocity[:, only], spin[:, only], where.part(slice(k, k + 1)), TABLE, rolling=every[:1]
        )
        same(done, alone, only)


@given(speed=st.floats(0.5, 20.0), depth=st.floats(0.1, 2.0), width=st.floats(0.5, 5.0))
@settings(deadline=None, max_examples=40)
def test_no_ball_gains_by_leaving_the_ground(speed: float, depth: float, width: float) -> None:
    """From a hollow or a step down it comes to rest, on the ground, no faster on the way than its fall lets
    it be."""
    profile = [(0.0, 0.0), (3.0, 0.0), (3.0 + width, -depth), (30.0, -depth)]
    ground = DrawnGround([(profile, 0.0, [Strip(FAIRWAY, -WIDE, WIDE)])])
    velocity, spin = launch(speed, 0.0, 0.0)
    done = simulate(velocity, spin, conditions(1, ground), TABLE, rolling=np.ones(1, dtype=bool), trace=True)
    assert done.ending[0] == AT_REST
    assert done.rest[2] == pytest.approx(
        ground.height(done.rest[0], done.rest[1], np.zeros(1, dtype=np.intp))
    )
    assert done.path is not None
    _, _, place, velocity = done.path.by_ball()
    energy = 0.5 * (velocity**2).sum(axis=0) + TABLE.air.gravity * place[2]
    # A ball on the ground keeps its horizontal speed where that bends: by the slope's square (Known limits).
    slope = depth / width
    assert energy.max() < (0.5 * speed**2) * (1.0 + 1.1 * slope**2) + 0.02
