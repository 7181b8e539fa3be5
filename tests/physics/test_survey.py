"""Ground from a survey: it meets the heights, agrees with a drawn plane, and turns with the line of play."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from scipy.integrate import solve_ivp
from scipy.interpolate import CubicHermiteSpline

from shortgame_gui.model.coefficients import Run as RunTable
from shortgame_gui.model.survey import HeightGrid
from shortgame_gui.physics import air as air_law
from shortgame_gui.physics import roll as roll_law
from shortgame_gui.physics import skid as skid_law
from shortgame_gui.physics import survey
from shortgame_gui.physics.flight import Path
from shortgame_gui.physics.forces import Air
from shortgame_gui.physics.ground import SURFACES, WIDE, DrawnGround, Ground, Strip, SurfaceArrays, plane
from shortgame_gui.physics.obstacles import Obstacles
from shortgame_gui.physics.run import green_deceleration, run
from shortgame_gui.physics.shot import MOST_BOUNCES, Conditions, simulate
from shortgame_gui.physics.steps import AT_REST, HOLED, IN_WATER, Rest, Turfs
from shortgame_gui.physics.strike import direction
from shortgame_gui.physics.survey import SurveyedGround
from shortgame_gui.store.coefficients import load
from shortgame_gui.units import DEGREE, FOOT

Array = npt.NDArray[np.float64]

TABLE = load()
GREEN, ROUGH, FAIRWAY, WATER = (SURFACES.index(s) for s in ("green", "rough", "fairway", "water"))
LEVEL = DrawnGround([([], 0.0, [Strip(GREEN, -WIDE, WIDE)])])


def grid_of(heights: object, x0: float = 0.0, y0: float = 0.0, spacing: float = 1.0) -> HeightGrid:
    return HeightGrid(x0, y0, spacing, np.array(heights, dtype=float))


def sampled(height, rows: int, columns: int, x0: float = 0.0, y0: float = 0.0, spacing: float = 1.0):  # type: ignore[no-untyped-def]
    x, y = x0 + spacing * np.arange(columns), y0 + spacing * np.arange(rows)
    return grid_of(height(x[None, :], y[:, None]) + np.zeros((rows, columns)), x0, y0, spacing)


def seen(grid: HeightGrid, ball: tuple[float, float], hole: tuple[float, float]) -> SurveyedGround:
    return SurveyedGround(grid, np.array([ball]).T, np.array([hole]).T, LEVEL)


def lanes(x: Array) -> npt.NDArray[np.intp]:
    return np.zeros(x.shape, dtype=np.intp)


def test_quadratic_heights_are_met_exactly_in_any_direction() -> None:
    """The curve reproduces quadratics: an analytic surface is the independent answer."""

    def z(x: Array, y: Array) -> Array:
        return np.asarray(5.0 + 0.02 * x - 0.03 * y + 0.004 * x * x - 0.003 * x * y + 0.002 * y * y)

    grid = sampled(z, 40, 50, 100.0, -30.0, 0.5)
    ball, hole = np.array([108.0, -22.0]), np.array([116.0, -16.0])
    ground = seen(grid, tuple(ball), tuple(hole))
    rng = np.random.default_rng(1)
    x, y = rng.uniform(-3.0, 10.0, 500), rng.uniform(-4.0, 4.0, 500)
    way = (hole - ball) / np.hypot(*(hole - ball))
    east, north = ball[0] + x * way[0] - y * way[1], ball[1] + x * way[1] + y * way[0]
    np.testing.assert_allclose(ground.height(x, y, lanes(x)), z(east, north) - z(*ball), atol=1e-11)
    to_east, to_north = 0.02 + 0.008 * east - 0.003 * north, -0.03 - 0.003 * east + 0.004 * north
    along, left = ground.slopes(x, y, lanes(x))
    np.testing.assert_allclose(along, to_east * way[0] + to_north * way[1], atol=1e-10)
    np.testing.assert_allclose(left, -to_east * way[1] + to_north * way[0], atol=1e-10)


def test_along_a_row_it_is_the_published_curve() -> None:
    """Catmull and Rom's curve, as scipy draws a cubic with central differences for slopes (independent)."""
    heights = np.random.default_rng(2).normal(0.0, 0.4, 30)
    grid = grid_of(np.tile(heights, (8, 1)))
    ground = seen(grid, (4.0, 3.0), (20.0, 3.0))
    curve = CubicHermiteSpline(np.arange(1, 29), heights[1:-1], 0.5 * (heights[2:] - heights[:-2]))
    x = np.linspace(-2.9, 23.9, 400)
    wanted = curve(x + 4.0) - curve(4.0)
    np.testing.assert_allclose(ground.height(x, np.zeros(400), lanes(x)), wanted, atol=1e-11)
    np.testing.assert_allclose(ground.slopes(x, np.zeros(400), lanes(x))[0], curve(x + 4.0, 1), atol=1e-11)


@given(seed=st.integers(0, 10_000), turn=st.floats(0.0, 6.3), holes=st.booleans())
@settings(max_examples=25)
def test_any_survey_is_smooth_and_knows_its_unevenness(seed: int, turn: float, holes: bool) -> None:
    rng = np.random.default_rng(seed)
    heights = 400.0 + rng.normal(0.0, 0.5, (14, 17)).cumsum(axis=1)
    if holes:
        heights[rng.random(heights.shape) < 0.3] = np.nan
    ball = (8.0, 7.0)
    hole = (8.0 + 3.0 * np.cos(turn), 7.0 + 3.0 * np.sin(turn))
    ground = seen(grid_of(heights), ball, hole)
    zero = np.zeros(1)
    assert ground.height(zero, zero, lanes(zero))[0] == pytest.approx(0.0, abs=1e-9)
    # On and off the grid alike: a straight walk, 1 mm a step.
    x = np.arange(-25.0, 25.0, 0.001)
    y = np.full(x.shape, rng.uniform(-12.0, 12.0))
    height, (along, left) = ground.height(x, y, lanes(x)), ground.slopes(x, y, lanes(x))
    assert np.isfinite(height).all() and np.isfinite(left).all()
    # No jump of height or slope; the bend of such a grid is bounded by its heights.
    bend = 12.0 * np.nanmax(np.abs(np.diff(height) / 0.001)) + 60.0
    assert np.abs(np.diff(along)).max() < 0.001 * bend
    np.testing.assert_allclose(np.diff(height), 0.0005 * (along[1:] + along[:-1]), atol=1e-6 * bend)
    assert ground.unevenness(lanes(zero))[0] >= np.ptp(along)
    far = np.array([-1e4, 1e4])
    np.testing.assert_allclose(ground.slopes(far, far, lanes(far)), 0.0, atol=1e-12)


def test_unknown_heights_take_the_nearest_known_of_the_row() -> None:
    nan = np.nan
    heights = [[1, 1, 1, 1, 1], [nan, 2, nan, nan, 3], [nan, nan, nan, nan, nan], [4, 4, 4, 4, 4]]
    filled = survey._filled(np.array(heights, dtype=float))
    assert filled[1].tolist() == [2, 2, 2, 3, 3]
    assert np.isfinite(filled).all()
    assert set(filled[2].tolist()) <= {2.0, 3.0, 4.0}


def test_a_fine_grid_is_averaged_and_a_plane_stays_one(monkeypatch: pytest.MonkeyPatch) -> None:
    grid = sampled(lambda x, y: 7.0 + 0.03 * x - 0.02 * y, 90, 80, 0.0, 0.0, 0.25)
    x, y = np.linspace(-2.0, 6.0, 50), np.linspace(-2.0, 2.0, 50)
    monkeypatch.setattr(survey, "MOST_CELLS", 500)
    survey._relief.cache_clear()
    ground = seen(grid, (8.0, 10.0), (14.0, 10.0))
    assert ground._relief.spacing == 1.0
    np.testing.assert_allclose(ground.height(x, y, lanes(x)), 0.03 * x - 0.02 * y, atol=1e-12)
    survey._relief.cache_clear()


def test_strips_and_slopes_of_the_drawing_lie_on_top() -> None:
    grid = sampled(lambda x, y: 0.05 * x + 0.0 * y, 40, 60)
    strips = [Strip(ROUGH, -WIDE, WIDE), Strip(FAIRWAY, 4.0, 9.0, 2.0, 2.0)]
    drawn = DrawnGround([([(5.0, 0.0), (8.0, 0.6)], 0.01, strips)])
    ground = SurveyedGround(grid, np.array([[20.0], [20.0]]), np.array([[20.0], [30.0]]), drawn)
    x, y = np.array([0.0, 6.5, 6.5, 12.0]), np.array([0.0, 0.0, 3.0, 0.0])
    assert [SURFACES[k] for k in ground.surface(x, y, lanes(x))] == ["rough", "fairway", "rough", "rough"]
    # Played northwards the grid's rise to the east falls to the left; the drawing adds its step and tilt.
    np.testing.assert_allclose(ground.height(x, y, lanes(x)), [0.0, 0.3, 0.3 - 0.05 * 3 + 0.01 * 3, 0.6])
    along, left = ground.slopes(x, y, lanes(x))
    np.testing.assert_allclose(along, [0.0, 0.2, 0.2, 0.0], atol=1e-12)
    np.testing.assert_allclose(left, 0.01 - 0.05)


def conditions(ground: Ground, lane: npt.NDArray[np.intp], hole: Array, scatter: Array) -> Conditions:
    n = len(lane)
    rho = np.full(n, air_law.density(0.0, 20.0, TABLE.air))
    nu = np.full(n, air_law.kinematic_viscosity(20.0, rho[:1], TABLE.air))
    still = np.zeros(n)
    return Conditions(
        ground=ground, lane=lane, stimp=np.full(n, 10.0 * FOOT), firmness=np.full(n, 85.0), wet=np.zeros(n),
        hole=hole, air=Air(rho, nu, still, still), grip=np.ones(n), scatter=scatter,
    )  # fmt: skip


@pytest.mark.parametrize("heading", [0.0, 37.0, 143.0, 270.0])
@pytest.mark.parametrize("slope", [(0.0, 0.0), (0.03, -0.02), (-0.02, 0.01)])
def test_a_grid_of_a_plane_gives_the_finishes_of_the_drawn_plane(
    heading: float, slope: tuple[float, float]
) -> None:
    """Putts, chips and pitches with scattered turf, through fairway and green, within 1 cm."""
    n, (along, left) = 60, slope
    c, s = np.cos(heading * DEGREE), np.sin(heading * DEGREE)
    to_east, to_north = along * c - left * s, along * s + left * c
    grid = sampled(lambda x, y: 310.0 + to_east * x + to_north * y, 180, 180, -90.0, -90.0, 1.0)
    strips = [Strip(FAIRWAY, -WIDE, WIDE), Strip(GREEN, 6.0, 50.0)]
    points = [(-900.0, -900.0 * along), (900.0, 900.0 * along)]
    drawn = DrawnGround([(points, left, strips)])
    flat = DrawnGround([([], 0.0, strips)])
    surveyed = SurveyedGround(
        grid, np.array([[3.0], [-4.0]]), np.array([[3.0 + 20 * c], [-4.0 + 20 * s]]), flat
    )
    rng = np.random.default_rng(5)
    speed, launch = rng.uniform(3.0, 17.0, n), rng.uniform(0.3, 0.9, n)
    rolling = (np.arange(n) % 6 == 0).astype(float)
    launch, speed = np.where(rolling > 0.0, 0.0, launch), np.where(rolling > 0.0, 0.4 * speed, speed)
    velocity = speed * direction(launch, rng.normal(0.0, 0.05, n))
    spin = np.stack([rng.normal(0.0, 40.0, n), -rng.uniform(100.0, 700.0, n) * (1.0 - rolling), np.zeros(n)])
    scatter = rng.standard_normal((3, MOST_BOUNCES, n))
    hole = np.tile([[14.0], [0.2]], n)
    lane = np.zeros(n, dtype=np.intp)
    one, two = (
        simulate(velocity, spin, conditions(ground, lane, hole, scatter), TABLE, rolling=rolling)
        for ground in (drawn, surveyed)
    )
    assert (one.ending == two.ending).all()
    off = np.sqrt(((one.rest - two.rest) ** 2).sum(axis=0))
    assert off.max() < 0.01


WAVES = sampled(
    lambda x, y: 0.35 * np.sin(0.35 * x + 0.2 * y) + 0.12 * np.cos(0.5 * y - 0.3 * x),
    90,
    90,
    -30.0,
    -30.0,
    1.0,
)


def exact(ground: Ground, velocity: Array, spin: Array, slide: float, resist: float) -> Array:
    """Where one ball stops that skids and then rolls, by scipy's integrator of eighth order."""
    g, r, lane = TABLE.air.gravity, TABLE.ball.radius, np.zeros(1, dtype=np.intp)

    def normal(x: float, y: float) -> tuple[float, float, Array]:
        gx, gy = (float(s[0]) for s in ground.slopes(np.array([x]), np.array([y]), lane))
        return gx, gy, np.array([-gx, -gy, 1.0]) / np.sqrt(1.0 + gx * gx + gy * gy)

    def slip(state: Array) -> tuple[Array, Array]:
        gx, gy, n = normal(state[0], state[1])
        v = np.array([state[2], state[3], gx * state[2] + gy * state[3]])
        return v - r * np.cross(state[4:], n), n

    def skids(_: float, state: Array) -> Array:
        s, n = slip(state)
        friction = slide * g * n[2] * s / np.linalg.norm(s)
        rate = g * n[2] * n[:2] - friction[:2]
        return np.concatenate([state[2:4], rate, (2.5 / r) * np.cross(n, friction)])

    def slips(_: float, state: Array) -> float:
        return float(np.linalg.norm(slip(state)[0])) - 1e-3

    def rolls(_: float, state: Array) -> Array:
        gx, gy, n = normal(state[0], state[1])
        u, v = state[2:]
        speed = np.sqrt(u * u + v * v + (gx * u + gy * v) ** 2)
        rate = (5.0 / 7.0) * g * n[2] * n[:2] - resist * n[2] * state[2:] / speed
        return np.concatenate([state[2:], rate])

    def moves(_: float, state: Array) -> float:
        return float(np.hypot(state[2], state[3])) - 1e-3

    slips.terminal = moves.terminal = True  # type: ignore[attr-defined]
    start = np.concatenate([np.zeros(2), velocity, spin])
    skid = solve_ivp(skids, (0.0, 9.0), start, "DOP853", rtol=1e-8, atol=1e-9, events=slips, max_step=0.05)
    start = skid.y[:4, -1]
    start[2:] -= (2.0 / 7.0) * slip(skid.y[:, -1])[0][:2]
    roll = solve_ivp(rolls, (0.0, 40.0), start, "DOP853", rtol=1e-8, atol=1e-9, events=moves, max_step=0.1)
    return np.asarray(roll.y[:2, -1])


BANKS = DrawnGround(
    [([(-9.0, 1.2), (-4.0, 0.0), (0.6, 0.0), (1.6, 0.35), (3.0, 0.1)], 0.02, [Strip(GREEN, -WIDE, WIDE)])]
)


@pytest.mark.parametrize(
    ("ground", "near", "share"),
    [
        (seen(WAVES, (10.0, 10.0), (20.0, 14.0)), 0.005, 0.0015), (BANKS, 0.005, 0.0015),
        (plane(0.03, -0.05), 0.001, 1e-4),
    ],
    ids=["survey", "banks", "plane"],
)  # fmt: skip
def test_skids_and_rolls_end_where_scipy_says(ground: Ground, near: float, share: float) -> None:
    """The same forces, integrated by scipy: to 5 mm and 1.5 mm a metre of the way, long skids too; over a
    survey, and over drawn banks that begin, end or turn the ball during the skid. Over a plane to 1 mm."""
    n = 5
    surfaces, zero = SurfaceArrays.of(TABLE.surface), np.zeros(n)
    angle, speed = np.array([-2.45, -0.27, -1.91, 1.91, 3.0]), np.array([6.5, 4.5, 6.0, 2.5, 1.5])
    velocity = speed * np.array([np.cos(angle), np.sin(angle), zero])
    spin = np.array([zero + 20.0, np.array([27.0, -104.0, -202.0, -235.0, -300.0]), zero + 5.0])
    green = green_deceleration(zero + 9.0 * FOOT, TABLE.run)
    turfs = Turfs(surfaces.slide, surfaces.deceleration, green)
    done = run(
        np.zeros((3, n)), velocity, spin, ground, lanes(zero), turfs, np.full((2, n), np.nan),
        TABLE.ball.radius, TABLE.air.gravity, TABLE.run, TABLE.hole,
    )  # fmt: skip
    assert np.all(done.ending == AT_REST)
    for k in range(n):
        where = exact(ground, velocity[:2, k], spin[:, k], float(surfaces.slide[GREEN]), float(green[k]))
        assert np.hypot(*(done.position[:2, k] - where)) < near + share * np.hypot(*where)


def test_a_long_roll_meets_what_short_steps_meet(monkeypatch: pytest.MonkeyPatch) -> None:
    """Strips, a hole, a hedge and a pond on a survey, with long rolls and by short steps alone, of a quarter
    of the length: the same endings, finishes within 5 mm, of one in fifty within 15
    (slopes up to 16 %), and what is drawn is in order and close to it."""
    angle, speed = (a.ravel() for a in np.meshgrid(np.linspace(-1.2, 1.2, 25), [1.3, 2.4, 4.5]))
    n = len(angle)
    strips = [
        Strip(GREEN, -WIDE, WIDE), Strip(ROUGH, 4.0, 4.05), Strip(ROUGH, -WIDE, WIDE, 9.0, -2.0),
        Strip(WATER, 5.0, 6.0, 1.6, -0.2),
    ]  # fmt: skip
    ground = SurveyedGround(
        WAVES, np.array([[10.0, 10.0]]).T, np.array([[20.0, 14.0]]).T, DrawnGround([([], 0.0, strips)])
    )
    surfaces, zero = SurfaceArrays.of(TABLE.surface), np.zeros(n)
    velocity = speed * np.array([np.cos(angle), np.sin(angle), zero])
    spin = np.array([-velocity[1], velocity[0], zero]) / TABLE.ball.radius
    turfs = Turfs(surfaces.slide, surfaces.deceleration, green_deceleration(zero + 10.0 * FOOT, TABLE.run))
    hedge = Obstacles(*(np.array([value]) for value in (3.0, -1.0, 1.0, -0.6, 1.5)))

    def played(path: Path, table: RunTable) -> Rest:
        return run(
            np.zeros((3, n)), velocity, spin, ground, lanes(zero), turfs, np.array([[-2.9], [1.65]]) + zero,
            TABLE.ball.radius, TABLE.air.gravity, table, TABLE.hole, path, zero, hedge,
        )  # fmt: skip

    path, short_path = Path(), Path()
    long = played(path, TABLE.run)
    for law in (roll_law, skid_law):
        monkeypatch.setattr(law, "LONG", np.inf)
    for name in ("SLOWING", "CHANGE", "LAG", "CREEP"):
        monkeypatch.setattr(roll_law, name, 0.25 * getattr(roll_law, name))
    short = played(short_path, replace(TABLE.run, step_length=0.25 * TABLE.run.step_length))
    assert {AT_REST, HOLED, IN_WATER} <= set(long.ending) and (long.met >= 0).any()
    np.testing.assert_array_equal(long.ending, short.ending)
    np.testing.assert_array_equal(long.met, short.met)
    off = np.hypot(*(long.position - short.position)[:2])
    assert off.max() < 0.015 and np.quantile(off, 0.98) < 0.005
    np.testing.assert_allclose(long.time, short.time, rtol=0.02)
    who, time, place, _ = path.by_ball()
    at, when, where, _ = short_path.by_ball()
    assert np.all(np.diff(time)[np.diff(who) == 0] >= 0.0)
    for k in np.flatnonzero(long.met < 0)[::4]:
        mine, theirs = who == k, at == k
        dense = np.linspace(0.0, when[theirs][-1], 5000)
        drawn = np.array([np.interp(dense, when[theirs], row[theirs]) for row in where])
        gap = drawn[:, :, None] - place[:, mine][:, None]
        assert np.sqrt((gap * gap).sum(axis=0).min(axis=0)).max() < 0.02
