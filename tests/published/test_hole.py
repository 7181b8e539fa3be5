"""Which balls drop: the published capture speeds, as an outcome of the real run and of real hops.

Holmes, Am. J. Phys. 59:129 (1991), and Penner's fit to it, Can. J. Phys. 80:83 (2002); values from memory.
The fit is the law in use, so its rows check the code; Holmes's free fall is independent of it.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt
import pytest

from shortgame_gui.physics.ground import SurfaceArrays, plane
from shortgame_gui.physics.hole import drops_landing
from shortgame_gui.physics.run import green_deceleration, run
from shortgame_gui.physics.steps import HOLED, Rest, Turfs
from shortgame_gui.store.coefficients import load
from shortgame_gui.units import FOOT

Array = npt.NDArray[np.float64]

TABLE = load()
HOLE, RADIUS, G = TABLE.hole.radius, TABLE.ball.radius, 9.80665
AWAY = 0.8
"""Distance from start to hole in m."""
BRAKE = float(green_deceleration(np.array([10.0 * FOOT]), TABLE.run)[0])


def rolled(
    speed: Array,
    offset: float = 0.0,
    rolling: bool = True,
    slope: float = 0.0,
    away: float = AWAY,
    turn: Array | float = 0.0,
) -> Rest:
    """Balls sent past the hole's centre at ``offset``.

    The green rises along the line by ``slope``; ``speed`` is horizontal, ``turn`` left of the line in rad.
    """
    n, zero = len(speed), np.zeros(len(speed))
    surfaces = SurfaceArrays.of(TABLE.surface)
    vx, vy = speed * np.cos(turn), speed * np.sin(turn)
    spin = np.stack([-vy, vx, zero]) / RADIUS if rolling else np.zeros((3, n))
    return run(
        np.zeros((3, n)), np.stack([vx, vy, slope * vx]), spin, plane(slope), np.zeros(n, dtype=np.intp),
        Turfs(surfaces.slide, surfaces.deceleration, zero + BRAKE), np.stack([zero + away, zero + offset]),
        RADIUS, G, TABLE.run, TABLE.hole,
    )  # fmt: skip


def holed(speed: Array, *args: Any, **more: Any) -> npt.NDArray[np.bool_]:
    """Whether balls sent as in `rolled` end in the hole."""
    return np.asarray(rolled(speed, *args, **more).ending == HOLED)


def braking(slope: float) -> float:
    """Deceleration in m/s2, along the horizontal, of a ball that rolls up ``slope``."""
    return float(BRAKE / np.sqrt(1.0 + slope**2) + 5.0 / 7.0 * G * slope / (1.0 + slope**2))


def fastest(offset: float, slope: float = 0.0) -> float:
    """Fastest ball that drops, by its speed in m/s where it is closest to the hole's centre."""
    lost = 2.0 * braking(slope) * AWAY
    low, high = np.sqrt(max(lost, 0.0)), 4.0
    for _ in range(3):
        speed = np.linspace(low, high, 41)
        last = int(np.flatnonzero(holed(speed, offset, slope=slope))[-1])
        assert np.all(holed(speed[1 : last + 1], offset, slope=slope))
        low, high = speed[last], speed[last + 1]
    return float(np.sqrt(low**2 - lost))


@pytest.mark.parametrize(
    ("offset", "speed"), [(0, 1.63), (10, 1.574), (20, 1.406), (30, 1.127), (40, 0.736), (50, 0.233)]
)
@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_fastest_ball_that_drops(offset: float, speed: float, side: float) -> None:
    """1.63 (1 - (d/R)^2) m/s, found by trying balls in the real run; offset in mm."""
    assert fastest(side * offset / 1000.0) == pytest.approx(speed, abs=2e-3)


@pytest.mark.parametrize("offset", [0.0, 0.02])
def test_a_ball_drops_when_it_passes_the_rim(offset: float) -> None:
    """As an evenly braked ball gets there (closed form), whichever chord of its way the rim lies on."""
    speed = np.linspace(1.1, 1.45, 15)
    done = rolled(speed, offset)
    there = AWAY - np.sqrt(HOLE**2 - offset**2)
    assert np.all(done.ending == HOLED)
    assert done.time == pytest.approx((speed - np.sqrt(speed**2 - 2.0 * BRAKE * there)) / BRAKE, abs=4e-3)


@pytest.mark.parametrize(("offset", "speed"), [(0, 1.313), (10, 1.275), (20, 1.151), (30, 0.876)])
def test_what_free_fall_alone_catches_drops(offset: float, speed: float) -> None:
    """Holmes's free fall without rim and back wall, independent of the fit: those balls drop and more."""
    d = offset / 1000.0
    reach = np.sqrt(HOLE**2 - d**2) + np.sqrt((HOLE - RADIUS) ** 2 - d**2)
    assert reach * np.sqrt(G / (2.0 * RADIUS)) == pytest.approx(speed, abs=1e-3)
    assert fastest(d) > speed
    assert fastest(d) < 1.35 * speed


# At 4.5 degrees this green holds no ball, and one that ran past comes back and drops from above.
@pytest.mark.parametrize("degrees", [-4.0, -2.0, 2.0, 4.0])
def test_uphill_the_hole_catches_faster_balls(degrees: float) -> None:
    """Free fall over a hole that lies in the slope: 1.34 m/s at 5 degrees up against 1.31 on the level.

    Derived from Holmes's free fall with all sines and cosines, independent of the code's short form, and
    compared as a difference: of rim and back wall nobody has said how a slope changes them.
    """
    slope = np.radians(degrees)

    def fall(angle: float) -> float:
        time = np.sqrt(2.0 * RADIUS / (G * np.cos(angle)))
        return float((2.0 * HOLE - RADIUS) / time + 0.5 * G * np.sin(angle) * time)

    assert fall(0.0) == pytest.approx(1.313, abs=1e-3) and fall(np.radians(5.0)) == pytest.approx(
        1.34, abs=2e-3
    )
    found = fastest(0.0, float(np.tan(slope))) - fastest(0.0)
    assert found == pytest.approx(fall(slope) - fall(0.0), abs=6e-3)
    assert np.sign(found) == np.sign(degrees)


@pytest.mark.parametrize("slope", [0.01, 0.02, 0.03])
@pytest.mark.parametrize("away", [1.5, 2.4, 4.0])
def test_downhill_a_wider_range_of_lines_leads_into_the_hole(slope: float, away: float) -> None:
    """Penner 2002, as quoted: with the speed right it is easier to hole a putt downhill, for the ball's way
    bends towards the fall line. Independent: nothing in the code says so. Every ball would stop 0.3 m past.
    """
    turn = np.radians(np.linspace(-4.0, 4.0, 801))

    def lines(rise: float) -> int:
        speed = np.full(len(turn), np.sqrt(2.0 * braking(rise) * (away + 0.3)))
        return int(holed(speed, slope=rise, away=away, turn=turn).sum())

    assert lines(-slope) > 1.02 * lines(0.0) > 1.04 * lines(slope)


def test_a_ball_that_misses_runs_on() -> None:
    assert not holed(np.array([1.2, 1.5, 2.0]), 1.01 * HOLE).any()


def test_skidding_balls_drop_as_well() -> None:
    """A ball still skidding at the hole is held to its speed there like any other."""
    assert holed(np.array([1.5, 1.7]), 0.0, rolling=False).all()
    assert not holed(np.array([4.0]), 0.0, rolling=False).any()


def lands(place: float, speed: float, down: float, offset: float = 0.0, slope: float = 0.0) -> bool:
    """Whether a ball that comes down at ``place`` along its line, the hole's centre at 0, drops."""
    return bool(
        drops_landing(
            np.array([[place], [offset]]), np.array([[speed], [0.0]]), np.array([down]), np.zeros((2, 1)),
            (np.array([slope]), np.zeros(1)), RADIUS, G, TABLE.hole,
        )[0]
    )  # fmt: skip


def test_a_hop_of_nothing_counts_as_rolling() -> None:
    """Landing on the near edge without a fall is the rolling ball's case: the same capture speed."""
    for d, speed in ((0.0, 1.63), (0.02, 1.406), (0.04, 0.736)):
        edge = -float(np.sqrt(HOLE**2 - d**2))
        assert lands(edge, speed - 0.002, 0.0, d)
        assert not lands(edge, speed + 0.002, 0.0, d)


def test_a_hop_up_or_down_a_slope_is_held_to_the_rolling_balls_speed() -> None:
    for slope in (-0.08, 0.05):
        speed = fastest(0.0, slope)
        assert lands(-HOLE, speed - 0.004, 0.0, slope=slope)
        assert not lands(-HOLE, speed + 0.004, 0.0, slope=slope)


def test_half_a_millimetre_does_not_fly_over_the_hole() -> None:
    """A hop of 0.5 mm lasts 20 ms: a slow ball comes down inside the circle and drops."""
    up = np.sqrt(2.0 * G * 0.0005)
    hop = 2.0 * up / G
    for speed in (0.3, 0.8, 1.2):
        assert speed * hop < 2.0 * HOLE
        for place in np.linspace(-HOLE + 1e-6, -HOLE + speed * hop, 9):
            assert lands(float(place), speed, float(up))


def test_a_ball_in_the_air_is_not_caught() -> None:
    """A hop that comes down beyond the far side was never below the rim; one short of the hole is not in."""
    for speed in (0.5, 1.0, 3.0):
        assert not lands(HOLE + 0.02, speed, 0.4)
        assert not lands(-HOLE - 0.001, speed, 0.4)


def test_a_steep_ball_may_be_faster() -> None:
    """The faster it falls, the further along it may land and the faster it may be, and never less."""
    speeds = np.linspace(0.1, 6.0, 60)
    caught = [
        [lands(-0.03, float(v), down) for v in speeds].count(True) for down in (0.0, 0.5, 1.0, 2.0, 4.0)
    ]
    assert caught == sorted(caught)
    assert caught[0] < caught[-1]
