"""Which balls drop: the published capture speeds, as an outcome of the real run and of real hops.

Holmes, Am. J. Phys. 59:129 (1991), and Penner's fit to it, Can. J. Phys. 80:83 (2002); values from memory.
The fit is the law in use, so its rows check the code; Holmes's free fall is independent of it.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest

from shortgame_gui.physics.ground import SurfaceArrays, plane
from shortgame_gui.physics.hole import drops_landing
from shortgame_gui.physics.run import HOLED, Turfs, green_deceleration, run
from shortgame_gui.store.coefficients import load
from shortgame_gui.units import FOOT

Array = npt.NDArray[np.float64]

TABLE = load()
HOLE, RADIUS, G = TABLE.hole.radius, TABLE.ball.radius, 9.80665
AWAY = 0.8
"""Distance from start to hole in m."""
BRAKE = float(green_deceleration(np.array([10.0 * FOOT]), TABLE.run)[0])


def holed(speed: Array, offset: float, rolling: bool = True) -> npt.NDArray[np.bool_]:
    """Whether balls sent past the hole's centre at ``offset`` end in it."""
    n, zero = len(speed), np.zeros(len(speed))
    surfaces = SurfaceArrays.of(TABLE.surface)
    done = run(
        np.zeros((3, n)), np.stack([speed, zero, zero]),
        np.stack([zero, speed / RADIUS if rolling else zero, zero]), plane(), np.zeros(n, dtype=np.intp),
        Turfs(surfaces.slide, surfaces.deceleration, zero + BRAKE), np.stack([zero + AWAY, zero + offset]),
        RADIUS, G, TABLE.run, TABLE.hole,
    )  # fmt: skip
    return np.asarray(done.ending == HOLED)


def fastest(offset: float) -> float:
    """Fastest ball that drops, by its speed in m/s where it is closest to the hole's centre."""
    low, high = np.sqrt(2.0 * BRAKE * AWAY), 4.0
    for _ in range(3):
        speed = np.linspace(low, high, 41)
        last = int(np.flatnonzero(holed(speed, offset))[-1])
        assert np.all(holed(speed[1 : last + 1], offset))
        low, high = speed[last], speed[last + 1]
    return float(np.sqrt(low**2 - 2.0 * BRAKE * AWAY))


@pytest.mark.parametrize(
    ("offset", "speed"), [(0, 1.63), (10, 1.574), (20, 1.406), (30, 1.127), (40, 0.736), (50, 0.233)]
)
@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_fastest_ball_that_drops(offset: float, speed: float, side: float) -> None:
    """1.63 (1 - (d/R)^2) m/s, found by trying balls in the real run; offset in mm."""
    assert fastest(side * offset / 1000.0) == pytest.approx(speed, abs=2e-3)


@pytest.mark.parametrize(("offset", "speed"), [(0, 1.313), (10, 1.275), (20, 1.151), (30, 0.876)])
def test_what_free_fall_alone_catches_drops(offset: float, speed: float) -> None:
    """Holmes's free fall without rim and back wall, independent of the fit: those balls drop and more."""
    d = offset / 1000.0
    reach = np.sqrt(HOLE**2 - d**2) + np.sqrt((HOLE - RADIUS) ** 2 - d**2)
    assert reach * np.sqrt(G / (2.0 * RADIUS)) == pytest.approx(speed, abs=1e-3)
    assert fastest(d) > speed
    assert fastest(d) < 1.35 * speed


def test_a_ball_that_misses_runs_on() -> None:
    assert not holed(np.array([1.2, 1.5, 2.0]), 1.01 * HOLE).any()


def test_skidding_balls_drop_as_well() -> None:
    """A ball still skidding at the hole is held to its speed there like any other."""
    assert holed(np.array([1.5, 1.7]), 0.0, rolling=False).all()
    assert not holed(np.array([4.0]), 0.0, rolling=False).any()


def lands(place: float, speed: float, down: float, offset: float = 0.0) -> bool:
    """Whether a ball that comes down at ``place`` along its line, the hole's centre at 0, drops."""
    return bool(
        drops_landing(
            np.array([[place], [offset]]), np.array([[speed], [0.0]]), np.array([down]), np.zeros((2, 1)),
            RADIUS, G, TABLE.hole,
        )[0]
    )  # fmt: skip


def test_a_hop_of_nothing_counts_as_rolling() -> None:
    """Landing on the near edge without a fall is the rolling ball's case: the same capture speed."""
    for d, speed in ((0.0, 1.63), (0.02, 1.406), (0.04, 0.736)):
        edge = -float(np.sqrt(HOLE**2 - d**2))
        assert lands(edge, speed - 0.002, 0.0, d)
        assert not lands(edge, speed + 0.002, 0.0, d)


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
