"""What every run must obey: energy, symmetry, edges between surfaces, slopes, and balls on their own."""

from __future__ import annotations

from itertools import pairwise

import msgspec
import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.physics import run as run_law
from shortgame_gui.physics.flight import Path
from shortgame_gui.physics.ground import (
    OUT,
    SAND,
    SURFACES,
    WATER,
    WIDE,
    DrawnGround,
    Ground,
    Strip,
    SurfaceArrays,
    plane,
)  # fmt: skip
from shortgame_gui.physics.run import green_deceleration, run
from shortgame_gui.physics.steps import AT_REST, HOLED, IN_WATER, OUT_OF_BOUNDS, ROLLED_AWAY, Rest, Turfs
from shortgame_gui.store.coefficients import load
from shortgame_gui.units import FOOT

Array = npt.NDArray[np.float64]

TABLE = load()
RADIUS, G = TABLE.ball.radius, TABLE.air.gravity
SURFACE = SurfaceArrays.of(TABLE.surface)
GREEN, FRINGE, ROUGH = (SURFACES.index(s) for s in ("green", "fringe", "rough"))
ALL_GREEN = [Strip(GREEN, -WIDE, WIDE)]
TIER = DrawnGround([([(4.0, 0.0), (6.0, 0.5)], 0.02, ALL_GREEN)])


def roll(
    velocity: Array,
    spin: Array | None = None,
    ground: Ground | None = None,
    hole: Array | None = None,
    stimp: float = 10.0,
    lane: npt.NDArray[np.intp] | None = None,
    path: Path | None = None,
    table: Coefficients = TABLE,
    start: Array | None = None,
) -> Rest:
    """Balls of horizontal ``velocity`` (2, n), rolling unless a ``spin`` (3, n) is given."""
    n = velocity.shape[1]
    zero = np.zeros(n)
    if spin is None:
        spin = np.stack([-velocity[1], velocity[0], zero]) / RADIUS
    position = np.zeros((3, n)) if start is None else start
    return run(
        position, np.concatenate([velocity, zero[None]]), spin, plane() if ground is None else ground,
        np.zeros(n, dtype=np.intp) if lane is None else lane,
        Turfs(SURFACE.slide, SURFACE.deceleration, green_deceleration(zero + stimp * FOOT, table.run)),
        np.full((2, n), np.nan) if hole is None else hole, RADIUS, G, table.run, table.hole, path, zero,
    )  # fmt: skip


def line(*speeds: float) -> Array:
    """Velocities straight down the line."""
    return np.stack([np.array(speeds), np.zeros(len(speeds))])


def many(n: int) -> tuple[Array, Array]:
    draw = np.random.default_rng(11)
    speed, side = draw.uniform(0.1, 6.0, n), draw.normal(0.0, 0.4, n)
    spin = np.stack([draw.normal(0.0, 50.0, n), draw.uniform(-400.0, 300.0, n), draw.normal(0.0, 30.0, n)])
    return speed * np.stack([np.cos(side), np.sin(side)]), spin


@given(
    st.floats(0.0, 8.0), st.floats(-600.0, 600.0), st.floats(-300.0, 300.0), st.floats(-300.0, 300.0),
    st.sampled_from(SURFACES),
)  # fmt: skip
@settings(max_examples=80, deadline=None)
def test_energy_never_grows_on_level_ground(
    speed: float, top: float, roll_: float, turn: float, kind: str
) -> None:
    """Translation plus rotation from start to rolling, then only slower (must hold, 9); the spin about the
    vertical, which no sideways force can change, is left out."""
    path = Path()
    spin = np.array([[roll_], [top], [turn]])
    done = roll(line(speed), spin, plane(surface=kind), path=path)
    energy = 0.5 * speed**2 + 0.2 * RADIUS**2 * (roll_**2 + top**2)
    assert 0.7 * done.roll_speed[0] ** 2 <= energy * (1.0 + 1e-9) + 1e-12
    # Four steps at most are skid, of four points each.
    speeds = np.linalg.norm(path.by_ball()[3], axis=0)[16:]
    assert all(b <= a + 1e-9 for a, b in pairwise(speeds))
    assert np.all(np.isfinite(done.position))


def test_alone_as_in_a_batch() -> None:
    """Must hold, 14."""
    velocity, spin = many(30)
    hole = np.tile(np.array([[5.0], [0.3]]), 30)
    strips = [Strip(ROUGH, -WIDE, WIDE), Strip(FRINGE, 0.5, 20.0), Strip(GREEN, 1.5, 12.0, 4.0, 4.0)]
    for ground in (plane(0.01, 0.02), DrawnGround([([(4.0, 0.0), (6.0, 0.5)], 0.02, strips)])):
        together = roll(velocity, spin, ground, hole)
        for k in range(30):
            alone = roll(velocity[:, k : k + 1], spin[:, k : k + 1], ground, hole[:, :1])
            assert together.position[:, k] == pytest.approx(alone.position[:, 0], abs=1e-9)
            assert together.time[k] == pytest.approx(alone.time[0], abs=1e-9)
            assert together.ending[k] == alone.ending[0]
            assert together.roll_speed[k] == pytest.approx(alone.roll_speed[0], abs=1e-9)
            assert together.roll_position[:, k] == pytest.approx(alone.roll_position[:, 0], abs=1e-9)


def test_several_grounds_in_one_batch() -> None:
    drawings = [
        ([(4.0, 0.0), (6.0, 0.5)], 0.02, [Strip(ROUGH, -WIDE, WIDE), Strip(GREEN, 0.5, 9.0, 3.0, 3.0)]),
        ([], -0.03, ALL_GREEN),
        ([(0.5, 0.0), (3.0, -0.4), (8.0, -0.5)], 0.0, [Strip(FRINGE, -WIDE, WIDE), Strip(WATER, 9.0, 30.0)]),
    ]
    velocity, spin = many(30)
    lane = np.arange(30) % 3
    together = roll(velocity, spin, DrawnGround(drawings), lane=lane)
    for g, drawing in enumerate(drawings):
        own = lane == g
        alone = roll(velocity[:, own], spin[:, own], DrawnGround([drawing]))
        assert together.position[:, own] == pytest.approx(alone.position, abs=1e-9)
        assert np.all(together.ending[own] == alone.ending)


def test_mirrored_left_to_right() -> None:
    velocity, spin = many(40)
    other, turned = velocity * np.array([[1.0], [-1.0]]), spin * np.array([[-1.0], [1.0], [-1.0]])
    strips = [Strip(ROUGH, -WIDE, WIDE), Strip(GREEN, -1.0, 9.0, 2.0, 3.0)]
    flipped = [Strip(ROUGH, -WIDE, WIDE), Strip(GREEN, -1.0, 9.0, 3.0, 2.0)]
    profile = [(3.0, 0.0), (5.0, 0.4)]
    here = roll(velocity, spin, DrawnGround([(profile, 0.03, strips)]))
    there = roll(other, turned, DrawnGround([(profile, -0.03, flipped)]))
    assert there.position * np.array([[1.0], [-1.0], [1.0]]) == pytest.approx(here.position, abs=1e-9)
    assert np.all(there.ending == here.ending)


def test_turned_about_the_vertical() -> None:
    """A plane and its balls turned by any angle give the same rest, turned."""
    velocity, spin = many(40)
    for angle in (0.7, 2.0, -2.9):
        c, s = np.cos(angle), np.sin(angle)
        turn = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
        slope = turn[:2, :2] @ np.array([0.03, -0.01])
        here = roll(velocity, spin, plane(0.03, -0.01))
        there = roll(turn[:2, :2] @ velocity, turn @ spin, plane(*slope))
        assert there.position == pytest.approx(turn @ here.position, abs=1e-8)


def test_halved_steps_agree() -> None:
    """2 cm on planes for all kinds of arrival; over a tier nearly all balls within 1 cm (those that just
    about crest it go either way)."""
    fine = msgspec.structs.replace(TABLE.run, step_length=0.5 * TABLE.run.step_length, step_plane=0.4)
    halved = msgspec.structs.replace(TABLE, run=fine)
    velocity, spin = many(300)
    for ground, near, share in (
        (plane(0.02, 0.03), 0.02, 1.0),
        (plane(-0.03, 0.02), 0.02, 1.0),
        (TIER, 0.01, 0.99),
    ):
        one, two = roll(velocity, spin, ground), roll(velocity, spin, ground, table=halved)
        off = np.hypot(*(one.position - two.position)[:2])
        assert np.mean(off < near) >= share
        assert np.median(off) < 0.01


def test_each_surface_brakes_its_own_part() -> None:
    """v^2 = 2 sum(a s) over fringe, green and rough, whatever the steps, to 3 mm."""
    for far in (0.43, 1.77):
        ground = DrawnGround(
            [([], 0.0, [Strip(ROUGH, -WIDE, WIDE), Strip(FRINGE, -5.0, far), Strip(GREEN, far, 4.0)])]
        )
        a = SURFACE.deceleration
        green = float(green_deceleration(np.array([10.0 * FOOT]), TABLE.run)[0])
        for into in (0.2, 0.9):
            speed = np.sqrt(2.0 * (a[FRINGE] * far + green * (4.0 - far) + a[ROUGH] * into))
            assert roll(line(speed), ground=ground).position[0, 0] == pytest.approx(4.0 + into, abs=3e-3)


def test_a_thin_strip_is_not_stepped_over() -> None:
    """A ditch of 25 cm catches fast and slow balls."""
    ground = DrawnGround([([], 0.0, [Strip(GREEN, -WIDE, WIDE), Strip(WATER, 3.0, 3.25)])])
    done = roll(line(*np.linspace(2.0, 7.0, 40)), ground=ground)
    assert np.all(done.ending == IN_WATER)
    assert np.all((done.position[0] >= 3.0) & (done.position[0] < 3.01))


def test_endings_by_surface() -> None:
    for kind, ending in ((OUT, OUT_OF_BOUNDS), (WATER, IN_WATER), (SAND, AT_REST)):
        ground = DrawnGround([([], 0.0, [Strip(GREEN, -WIDE, WIDE), Strip(kind, 2.0, 9.0)])])
        assert roll(line(3.0), ground=ground).ending[0] == ending
        assert roll(line(1.0), ground=ground).ending[0] == AT_REST


def test_up_a_steep_slope_and_back_down() -> None:
    """A tier that the ball does not crest sends it back past where the slope began; a slope that the green
    holds keeps it where it stopped."""
    done = roll(line(1.5), ground=DrawnGround([([(1.0, 0.0), (4.0, 0.6), (12.0, 0.6)], 0.0, ALL_GREEN)]))
    assert done.ending[0] == AT_REST
    assert done.position[0, 0] < 1.0
    held = roll(line(1.5), ground=DrawnGround([([(1.0, 0.0), (9.0, 0.4)], 0.0, ALL_GREEN)]))
    assert 1.5 < held.position[0, 0] < 2.5


def test_energy_up_and_back_down() -> None:
    """Closed form: up a steep plane against slope and friction, back with friction against the slope: passing
    the start again at v sqrt((p - a) / (p + a)), and so on to the distance limit."""
    path = Path()
    slope = 0.15
    done = roll(line(2.0 / np.hypot(1.0, slope)), ground=plane(slope), path=path)
    assert done.ending[0] == ROLLED_AWAY
    _, _, place, velocity = path.by_ball()
    x, speed = place[0], np.linalg.norm(velocity, axis=0)
    cos = 1.0 / np.hypot(1.0, slope)
    pull, brake = (
        5.0 / 7.0 * G * slope * cos,
        float(green_deceleration(np.array([10.0 * FOOT]), TABLE.run)[0]) * cos,
    )
    assert x.max() / cos == pytest.approx(4.0 / (2.0 * (pull + brake)), rel=0.01)
    back = np.flatnonzero((x[1:] < 0.0) & (x[:-1] >= 0.0))[0] + 1
    expected = np.sqrt(4.0 * (pull - brake) / (pull + brake) - 2.0 * (pull - brake) * x[back] / cos)
    assert speed[back] == pytest.approx(expected, rel=0.01)


def test_a_ball_set_down_on_a_slope() -> None:
    """Too steep: it rolls off; gentle: it stays."""
    still = np.zeros((2, 1))
    assert roll(still, ground=plane(0.05)).position[0, 0] == 0.0
    away = roll(still, ground=plane(0.0, 0.15))
    assert away.ending[0] == ROLLED_AWAY
    assert away.position[1, 0] < -1.0


def test_a_ball_at_a_wall_falls_to_its_foot() -> None:
    """What falls down a wall of 0.65 m has no more than g h for each kg: it is turned by the foot of the wall
    and stops within 1.5 m of it (with the slope at the start of long steps it was sent 25 m back)."""
    wall = DrawnGround([([(0.0, 0.0), (1.45, 0.05), (1.5, 0.7)], 0.0, [Strip(SAND, -WIDE, WIDE)])])
    x = np.linspace(1.43, 1.499, 24)
    start = np.stack([x, 0.0 * x, wall.height(x, 0.0 * x, np.zeros(24, dtype=np.intp))])
    velocity = np.stack([np.linspace(-0.08, 0.02, 24), np.linspace(-0.1, 0.4, 24)])
    spin = np.stack([0.0 * x, np.linspace(-20.0, 60.0, 24), 0.0 * x])
    done = roll(velocity, spin, wall, start=start)
    assert np.all(done.ending == AT_REST)
    assert np.all((done.position[0] > 0.0) & (done.position[0] < 1.5))


def test_a_skid_is_braked_by_each_surface_on_its_own_part() -> None:
    """v^2 = 2 g sum(slide s) over fringe, green and rough along a skid, and what lies behind catches it: the
    closed form, to 3 mm of the start of the roll."""
    a = SURFACE.slide * G
    ground = DrawnGround(
        [([], 0.0, [Strip(ROUGH, -WIDE, WIDE), Strip(FRINGE, -5.0, 0.4), Strip(GREEN, 0.4, 1.5)])]
    )
    speed = np.array([5.0, 6.0, 7.0])
    # From no spin the slip is gone at 5/7 of the speed, whatever the friction on the way.
    lost = 0.5 * speed**2 * (1.0 - 25.0 / 49.0)
    expected = 1.5 + (lost - 0.4 * a[FRINGE] - 1.1 * a[GREEN]) / a[ROUGH]
    assert np.all(expected > 1.5)
    done = roll(line(*speed), np.zeros((3, 3)), ground)
    assert done.roll_position[0] == pytest.approx(expected, abs=3e-3)
    assert done.roll_speed == pytest.approx(5.0 / 7.0 * speed, abs=1e-3)
    ditch = DrawnGround([([], 0.0, [Strip(GREEN, -WIDE, WIDE), Strip(WATER, 0.8, 1.1)])])
    assert roll(line(*speed), np.zeros((3, 3)), ditch).ending.tolist() == [IN_WATER] * 3


@pytest.mark.parametrize("drift", [0.0, 1e-30, 1e-12, 1e-6])
def test_a_ball_that_rolls_along_a_tier_needs_no_endless_steps(drift: float) -> None:
    """It never gets to the tier, however slowly it drifts there, and ends as on the plane that it is on."""
    steep = DrawnGround([([(1.0, 0.0), (2.0, 0.3)], 0.1, ALL_GREEN)])
    for ground, across in ((TIER, 0.02), (steep, 0.1)):
        velocity = np.array([[drift, drift], [-1.5, 0.5]])
        done, same = roll(velocity, ground=ground), roll(velocity, ground=plane(0.0, across))
        assert done.position[:2] == pytest.approx(same.position[:2], abs=1e-4)
        assert done.time == pytest.approx(same.time, abs=1e-3)


def test_limits_of_time_and_distance() -> None:
    done = roll(line(0.5, 4.0), ground=plane(-0.3))
    assert np.all(done.ending == ROLLED_AWAY)
    assert np.all(done.time <= TABLE.run.time_limit + 1.0)
    furthest = TABLE.run.distance_limit + TABLE.run.step_plane
    assert np.all(np.hypot(done.position[0], done.position[1]) < furthest)


def test_a_roll_of_too_many_steps_is_given_up_where_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = roll(line(2.5, 0.2), ground=TIER)
    monkeypatch.setattr(run_law, "ENDLESS", 2)
    part = roll(line(2.5, 0.2), ground=TIER)
    assert whole.ending.tolist() == [AT_REST, AT_REST]
    assert part.ending.tolist() == [ROLLED_AWAY, AT_REST]
    assert 1.0 < part.position[0, 0] < 5.0
    assert 0.0 < part.time[0] < whole.time[0]
    assert part.position[:, 1] == pytest.approx(whole.position[:, 1])


def test_start_of_rolling_of_balls_that_never_roll() -> None:
    """A ball that drops while it skids began to roll where it ended; one that skids on is not confused."""
    hole = np.array([[0.1, np.nan], [0.0, np.nan]])
    done = roll(line(1.4, 1.4), np.zeros((3, 2)), hole=hole)
    assert done.ending.tolist() == [HOLED, AT_REST]
    assert done.roll_position[0, 0] == 0.1
    assert done.roll_speed[0] == 0.0
    assert done.roll_speed[1] == pytest.approx(1.0)
    none = roll(np.zeros((2, 3)))
    assert none.roll_speed.tolist() == [0.0, 0.0, 0.0]
    assert np.all(none.time == 0.0)


def test_the_path_is_in_order_and_ends_at_rest() -> None:
    path = Path()
    velocity, spin = many(6)
    done = roll(velocity, spin, TIER, path=path)
    who, time, place, speed = path.by_ball()
    for k in range(6):
        assert np.all(np.diff(time[who == k]) >= 0.0)
        assert place[:, who == k][:, -1] == pytest.approx(done.position[:, k])
        assert np.all(speed[:, who == k][:, -1] == 0.0)
