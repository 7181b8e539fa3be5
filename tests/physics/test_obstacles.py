"""Things in the way: a ball meets them where its way does, drops in front, and each ball on its own."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest

from shortgame_gui.physics.flight import Landing, fly
from shortgame_gui.physics.forces import Air, Forces
from shortgame_gui.physics.ground import DrawnGround, Ground, Strip, plane
from shortgame_gui.physics.obstacles import CLEAR, Obstacles
from shortgame_gui.physics.shot import MOST_BOUNCES, Conditions, simulate
from shortgame_gui.physics.strike import direction
from shortgame_gui.store.coefficients import load
from shortgame_gui.units import DEGREE

Array = npt.NDArray[np.float64]

TABLE = load()


def walls(*rows: tuple[float, float, float, float, float]) -> Obstacles:
    """Rectangles given as (at, low, high, left, right) in m."""
    return Obstacles(*(np.array(column) for column in zip(*rows, strict=True)))


def shoot(
    speed: Array | float,
    angle: Array | float,
    side: Array | float,
    obstacles: Obstacles | None,
    ground: Ground | None = None,
) -> Landing:
    speed, angle, side = (np.atleast_1d(a).astype(float) for a in np.broadcast_arrays(speed, angle, side))
    n, zero = len(speed), np.zeros(len(speed))
    air = Air(zero + 1.2, zero + 1.5e-5, zero, zero)
    velocity = speed * direction(angle * DEGREE, side * DEGREE)
    return fly(
        np.zeros((3, n)), velocity, np.stack([zero, zero - 300.0, zero]),
        Forces(air, TABLE.ball, TABLE.air, TABLE.flight), plane() if ground is None else ground,
        np.zeros(n, dtype=np.intp), obstacles=obstacles,
    )  # fmt: skip


def test_a_low_ball_is_stopped_and_a_high_one_clears() -> None:
    """By the height of the way at the wall, found from flights over walls a little lower."""
    for at in (1.0, 4.3, 9.0):
        free = shoot(14.0, 40.0, 0.0, walls((at, -1.0, -0.5, 9.0, 9.0)))
        assert free.met[0] == CLEAR
        low, high = 0.0, 10.0
        for _ in range(30):
            middle = 0.5 * (low + high)
            down = shoot(14.0, 40.0, 0.0, walls((at, 0.0, middle, 9.0, 9.0)))
            low, high = (low, middle) if down.met[0] == 0 else (middle, high)
            assert down.position[0, 0] == pytest.approx(at - 0.1 if down.met[0] == 0 else free.position[0, 0])
        # Drag and lift bend the parabola little on the first metres.
        parabola = at * np.tan(40.0 * DEGREE) - 9.80665 * at**2 / (2.0 * (14.0 * np.cos(40.0 * DEGREE)) ** 2)
        assert low == pytest.approx(parabola, rel=0.05)


def test_a_stopped_ball_lies_in_front_without_speed() -> None:
    bank = DrawnGround([([(2.0, 0.0), (6.0, 0.5)], 0.0, [Strip(4, -1e4, 1e4)])])
    down = shoot(14.0, 20.0, 0.0, walls((5.0, 0.0, 3.0, 9.0, 9.0)), bank)
    assert down.met[0] == 0
    assert down.position[0, 0] == pytest.approx(4.9)
    height = bank.height(np.array([4.9]), np.zeros(1), np.zeros(1, dtype=np.intp))[0]
    assert down.position[2, 0] == pytest.approx(height, abs=1e-6)
    assert not down.velocity.any()
    assert not down.spin.any()


def test_under_past_and_behind() -> None:
    """A branch is flown under or over, a tree passed left or right; nothing beyond the landing is met."""
    branch = walls((6.0, 2.5, 4.0, 9.0, 9.0))
    assert shoot(14.0, np.array([10.0, 36.0, 60.0]), 0.0, branch).met.tolist() == [CLEAR, 0, CLEAR]
    tree = walls((6.0, 0.0, 9.0, 1.0, 0.2))
    assert shoot(14.0, 30.0, np.array([15.0, 5.0, 0.0, -5.0]), tree).met.tolist() == [CLEAR, 0, 0, CLEAR]
    assert shoot(14.0, 40.0, 0.0, walls((25.0, 0.0, 9.0, 9.0, 9.0))).met[0] == CLEAR


def test_the_first_of_several_counts_whatever_their_order() -> None:
    rows = [(8.0, 0.0, 9.0, 9.0, 9.0), (3.0, 0.0, 9.0, 9.0, 9.0), (3.2, 0.0, 9.0, 9.0, 9.0)]
    assert shoot(14.0, 40.0, 0.0, walls(*rows)).met[0] == 1
    assert shoot(14.0, 40.0, 0.0, walls(*rows[::-1])).met[0] == 1


def test_alone_as_in_a_batch() -> None:
    draw = np.random.default_rng(2)
    speed, angle, side = draw.uniform(6.0, 20.0, 30), draw.uniform(10.0, 60.0, 30), draw.normal(0.0, 8.0, 30)
    some = walls((4.0, 1.0, 2.0, 1.0, 0.5), (7.0, 0.0, 3.0, 0.2, 3.0))
    together = shoot(speed, angle, side, some)
    assert {-1, 0, 1} == set(together.met.tolist())
    for k in range(30):
        alone = shoot(speed[k], angle[k], side[k], some)
        assert together.met[k] == alone.met[0]
        assert together.position[:, k] == pytest.approx(alone.position[:, 0], abs=1e-9)
        assert together.time[k] == pytest.approx(alone.time[0], abs=1e-9)


def along(speed: float, up: float, wall: Obstacles) -> tuple[int, float]:
    """What a ball that starts at ``speed`` and ``up`` m/s met, and where it rests along x in m."""
    zero, air = np.zeros(1), Air(np.array([1.2]), np.array([1.5e-5]), np.zeros(1), np.zeros(1))
    here = Conditions(
        plane(), np.zeros(1, dtype=np.intp), zero + 3.0, zero + 85.0, zero, np.full((2, 1), np.nan), air,
        zero + 1.0, np.zeros((3, MOST_BOUNCES, 1)), wall,
    )  # fmt: skip
    rolling = np.array([float(up == 0.0)])
    done = simulate(np.array([[speed], [0.0], [up]]), np.zeros((3, 1)), here, TABLE, rolling=rolling)
    return int(done.met[0]), float(done.rest[0, 0])


def test_a_wall_stops_a_ball_that_rolls_or_hops_as_well() -> None:
    low, high = walls((3.0, -1.0, 1.0, 5.0, 5.0)), walls((3.0, 0.5, 2.0, 5.0, 5.0))
    for up in (0.0, 2.0):
        assert along(4.0, up, low) == (0, pytest.approx(2.9, abs=1e-6))
        # Under a branch it goes on.
        met, rest = along(4.0, up, high)
        assert met == CLEAR and rest > 3.5
    # One that never gets there meets nothing.
    assert along(1.0, 0.0, low)[0] == CLEAR
