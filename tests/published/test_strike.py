"""The strike against rows worked out apart, its limits, and published directions of launch.

The rows follow from the same mechanics (rigid oblique impact; framework of Cross and Dewhurst, Eur. J. Phys.
39:065003, 2018, derived from first principles) but were computed apart from this code: they check the code.
The share of face and path (Wood, Henrikson and Broadie, MDPI Proceedings 2(6):249, 2018) was measured and is
independent, but the tangential restitution was chosen with it in view.
"""

from __future__ import annotations

import msgspec
import numpy as np
import numpy.typing as npt
import pytest

from shortgame_gui.model.coefficients import Strike
from shortgame_gui.physics.strike import Delivered, Launched, direction, face_normal, strike
from shortgame_gui.store.coefficients import load
from shortgame_gui.units import DEGREE, RPM

Array = npt.NDArray[np.float64]

TABLE = load()
BALL = msgspec.structs.replace(TABLE.ball, radius=0.02134)
"""The radius with which the rows were worked out."""
ROLLING = msgspec.structs.replace(TABLE.strike, tangential_restitution=0.0)


def hit(
    speed: Array | float,
    loft: Array | float,
    friction: float = 0.40,
    table: Strike = TABLE.strike,
    attack: float = 0.0,
    face: float = 0.0,
    path: float = 0.0,
) -> Launched:
    """Balls struck at a head speed in m/s; all angles in degrees, face and path left of the line."""
    speed, loft = (np.atleast_1d(a).astype(float) for a in np.broadcast_arrays(speed, loft))
    zero = np.zeros(speed.shape)
    club = Delivered(
        speed * direction(zero + attack * DEGREE, zero + path * DEGREE),
        face_normal(loft * DEGREE, zero + face * DEGREE),
        zero + friction,
    )
    return strike(club, BALL, table)


def figures(ball: Launched) -> tuple[float, float, float]:
    """Ball speed in m/s, launch in degrees and backspin in rpm of the first ball."""
    vx, vy, vz = ball.velocity[:, 0]
    return (
        float(np.sqrt(vx**2 + vy**2 + vz**2)),
        float(np.arctan2(vz, np.hypot(vx, vy)) / DEGREE),
        float(-ball.spin[1, 0] / RPM),
    )


@pytest.mark.parametrize(
    ("loft", "speed", "below", "rpm"),
    [(10, 30.81, 1.77, 1064), (20, 29.49, 3.64, 2095), (30, 27.32, 5.75, 3062), (40, 24.38, 8.30, 3937),
     (45, 22.64, 9.85, 4331), (50, 20.75, 11.66, 4692), (55, 18.72, 13.86, 5017), (60, 16.57, 16.63, 5304),
     (65, 14.34, 20.24, 5551)],
)  # fmt: skip
def test_grip(loft: float, speed: float, below: float, rpm: float) -> None:
    """Head speed 20 m/s, head 0.30 kg, friction 0.40, no tangential restitution: all grip."""
    ball = hit(20.0, loft, table=ROLLING)
    assert not ball.slipped[0]
    assert figures(ball) == (
        pytest.approx(speed, abs=0.01), pytest.approx(loft - below, abs=0.01), pytest.approx(rpm, abs=1.0),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("friction", "loft", "speed", "share", "rpm"),
    [(0.15, 45, 22.56, 0.810, 3744), (0.15, 50, 20.55, 0.829, 3410), (0.15, 55, 18.38, 0.845, 3050),
     (0.15, 60, 16.06, 0.858, 2665), (0.25, 60, 16.37, 0.766, 4441), (0.25, 65, 13.87, 0.784, 3763)],
)  # fmt: skip
def test_slip(friction: float, loft: float, speed: float, share: float, rpm: float) -> None:
    """The same with the friction of wet grass: all slip, so that launch rises and spin falls with loft."""
    ball = hit(20.0, loft, friction, table=ROLLING)
    assert ball.slipped[0]
    assert figures(ball) == (
        pytest.approx(speed, abs=0.01), pytest.approx(share * loft, abs=0.04), pytest.approx(rpm, abs=1.0),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("friction", "rolling", "springing"),
    [(0.10, 29.8, 25.5), (0.15, 40.7, 35.6), (0.20, 48.9, 43.7), (0.25, 55.1, 50.1), (0.30, 59.8, 55.1),
     (0.40, 66.4, 62.4), (0.50, 70.8, 67.3)],
)  # fmt: skip
def test_where_grip_ends(friction: float, rolling: float, springing: float) -> None:
    """Greatest obliquity that still grips, restitution 0.81, tangential restitution 0 and 0.2."""
    for tangential, limit in ((0.0, rolling), (0.2, springing)):
        table = msgspec.structs.replace(
            TABLE.strike, restitution_base=0.81, restitution_speed=0.0, tangential_restitution=tangential
        )
        ball = hit(20.0, np.array([limit - 0.1, limit + 0.1]), friction, table)
        assert ball.slipped.tolist() == [False, True]


@pytest.mark.parametrize(("speed", "restitution"), [(10, 0.831), (20, 0.802), (30, 0.773), (45, 0.730)])
def test_restitution(speed: float, restitution: float) -> None:
    """0.86 - 0.0029 v: Penner 2001 after Chou et al. 1994, values from memory. As an outcome: a square hit
    sends the ball off at (1 + e) / (1 + m / M) of the head speed."""
    off, _, rpm = figures(hit(speed, 0.0))
    assert off / speed * (1.0 + TABLE.ball.mass / 0.30) - 1.0 == pytest.approx(restitution, abs=6e-4)
    assert rpm == 0.0


def test_restitution_of_a_rigid_face() -> None:
    """About 0.768 at 49 m/s and 0.78 without spring, as quoted; independent of the fit in use."""
    off, _, _ = figures(hit(49.0, 0.0))
    assert 0.70 <= off / 49.0 * (1.0 + TABLE.ball.mass / 0.30) - 1.0 <= 0.78


def test_launch_lies_between_path_and_face() -> None:
    """61 to 83 % of the way from path to face, measured with players and a robot (Wood, Henrikson and Broadie
    2018): upwards for all lofts, and sideways by the same law of vectors up to a dynamic loft of 50 degrees
    (on steeper faces friction has more to say)."""
    lofts = np.arange(10.0, 61.0, 5.0)
    for speed in (10.0, 20.0, 36.0):
        up = hit(speed, lofts)
        share = np.arctan2(up.velocity[2], up.velocity[0]) / (lofts * DEGREE)
        assert np.all((share >= 0.61) & (share <= 0.83))
        assert np.all(np.diff(share) < 0.0)
        aside = hit(speed, lofts[lofts <= 50.0], face=2.0, path=-1.0)
        share = (np.arctan2(aside.velocity[1], aside.velocity[0]) / DEGREE + 1.0) / 3.0
        assert np.all((share >= 0.61) & (share <= 0.83))


def test_attack_counts_like_loft() -> None:
    """Only the angle between face and path matters: what a steeper attack takes from the launch it adds to
    the spin (elementary mechanics, independent of the coefficients)."""
    level, steep = hit(20.0, 45.0, attack=0.0), hit(20.0, 40.0, attack=-5.0)
    assert figures(steep)[0] == pytest.approx(figures(level)[0], rel=1e-12)
    assert figures(steep)[1] == pytest.approx(figures(level)[1] - 5.0, abs=1e-9)
    assert figures(steep)[2] == pytest.approx(figures(level)[2], rel=1e-12)
