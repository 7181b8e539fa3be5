"""A ground seen along another line is the same ground."""

import numpy as np
import pytest

from shortgame_gui.advice import scene
from shortgame_gui.model.ground import Band, Green, Ground, Hole, Shape
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.ground import plane
from shortgame_gui.physics.turned import Turned

GROUND = scene.ground(
    [
        Situation(
            ground=Ground(
                shapes=(Shape(kind="tier", at=10.0, length=3.0, height=0.4),),
                bands=(Band(surface="water", start=-4.0, end=5.0, left=6.0, right=-2.0),),
            ),
            green=Green(slope_along=0.02, slope_across=-0.03),
            hole=Hole(distance=18.0),
        )
    ]
)
ANGLES = np.radians([0.0, 90.0, -135.0, 180.0])
_RANDOM = np.random.default_rng(6)
X, Y = _RANDOM.uniform(-15.0, 25.0, 400), _RANDOM.uniform(-9.0, 9.0, 400)
LANE = np.arange(400) % len(ANGLES)
TURNED = Turned(GROUND, ANGLES)


def test_places_keep_their_height_and_surface() -> None:
    """Independent of the class: the places turned by a matrix."""
    for k, angle in enumerate(ANGLES):
        mine = k == LANE
        c, s = np.cos(angle), np.sin(angle)
        there = np.array([[c, s], [-s, c]]) @ np.stack([X[mine], Y[mine]])
        zero = np.zeros(mine.sum(), dtype=np.intp)
        lane = np.full(mine.sum(), k)
        np.testing.assert_allclose(
            TURNED.height(*there, lane), GROUND.height(X[mine], Y[mine], zero), atol=1e-12
        )
        # Rounding decides on an edge itself.
        near = [np.abs(X[mine] - edge).min() for edge in (-4.0, 5.0, 6.0, 30.0)]
        assert min(near) > 1e-6
        np.testing.assert_array_equal(TURNED.surface(*there, lane), GROUND.surface(X[mine], Y[mine], zero))


def test_slopes_are_those_of_the_heights() -> None:
    """Independent: differences of heights, away from the corners."""
    gx, gy = TURNED.slopes(X, Y, LANE)
    h = 1e-5
    along = (TURNED.height(X + h, Y, LANE) - TURNED.height(X - h, Y, LANE)) / (2.0 * h)
    across = (TURNED.height(X, Y + h, LANE) - TURNED.height(X, Y - h, LANE)) / (2.0 * h)
    np.testing.assert_allclose(gx, along, atol=1e-5)
    np.testing.assert_allclose(gy, across, atol=1e-5)


def test_what_it_is_sure_of_holds() -> None:
    high = np.stack([X + 0.8, Y + 0.6])
    sure = TURNED.one_surface(np.stack([X, Y]), high, LANE)
    assert 0.1 < sure.mean() < 1.0
    here = TURNED.surface(X, Y, LANE)
    for share in np.linspace(0.0, 1.0, 7):
        there = TURNED.surface(X + share * 0.8, Y + share * 0.6, LANE)
        assert np.all((there == here)[sure])
    assert not TURNED.flat_between(X, X + 1.0, LANE).any()
    assert Turned(plane(0.02, 0.01), ANGLES).flat_between(X, X + 1.0, LANE).all()
    assert TURNED.unevenness(LANE) == pytest.approx(GROUND.unevenness(0 * LANE))
