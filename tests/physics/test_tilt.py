"""A ground that is tilted for each ball is the ground that one would draw with that slope."""

import numpy as np
import pytest

from shortgame_gui.advice import scene
from shortgame_gui.model.ground import Band, Green, Ground, Hole, Shape
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.ground import DrawnGround
from shortgame_gui.physics.tilt import Tilted

BEFORE = Ground(
    shapes=(Shape(kind="tier", at=15.0, length=2.0, height=0.4),),
    bands=(Band(surface="water", start=3.0, end=5.0, left=2.0, right=1.0),),
)


def drawn(along: float, across: float) -> DrawnGround:
    green = Green(front=6.0, depth=20.0, slope_along=along, slope_across=across)
    return scene.ground([Situation(ground=BEFORE, green=green, hole=Hole(distance=18.0))])


@pytest.fixture(scope="module")
def places() -> tuple[np.ndarray, np.ndarray]:
    generator = np.random.default_rng(2)
    return generator.uniform(-5.0, 40.0, 400), generator.uniform(-8.0, 8.0, 400)


@pytest.mark.parametrize(("along", "across"), [(0.02, -0.015), (-0.03, 0.0), (0.0, 0.02)])
def test_it_is_the_ground_drawn_with_that_slope(
    along: float, across: float, places: tuple[np.ndarray, np.ndarray]
) -> None:
    """Independent of the tilt: the same slope drawn into the profile, corners rounded there.

    Where three corners meet within the rounding the drawn ground merges them: the tier stands clear of both
    edges of the green here.
    """
    x, y = places
    stated, truth = drawn(0.01, 0.005), drawn(0.01 + along, 0.005 + across)
    one, lane = np.ones(1), np.zeros(len(x), dtype=np.intp)
    tilted = Tilted(stated, lane[:1], along * one, across * one, 6.0 * one, 26.0 * one)
    np.testing.assert_allclose(tilted.height(x, y, lane), truth.height(x, y, lane), atol=1e-7)
    for mine, theirs in zip(tilted.slopes(x, y, lane), truth.slopes(x, y, lane), strict=True):
        np.testing.assert_allclose(mine, theirs, atol=1e-7)
    np.testing.assert_array_equal(tilted.surface(x, y, lane), truth.surface(x, y, lane))


def test_each_ball_has_its_own(places: tuple[np.ndarray, np.ndarray]) -> None:
    x, y = places
    n = len(x)
    along = np.linspace(-0.03, 0.03, n)
    below = np.zeros(n, dtype=np.intp)
    tilted = Tilted(drawn(0.0, 0.0), below, along, -along, np.full(n, 6.0), np.full(n, 26.0))
    together = tilted.height(x, y, np.arange(n))
    alone = [float(drawn(a, -a).height(x[[k]], y[[k]], below[:1])[0]) for k, a in enumerate(along)]
    np.testing.assert_allclose(together, alone, atol=1e-7)
    assert np.all(tilted.height(np.zeros(n), np.zeros(n), np.arange(n)) == 0.0)


def test_what_it_calls_flat_is_flat_and_it_knows_its_range(places: tuple[np.ndarray, np.ndarray]) -> None:
    x, _ = places
    n = len(x)
    tilted = Tilted(
        drawn(0.0, 0.0), np.zeros(n, dtype=np.intp), np.full(n, 0.03), np.zeros(n), np.full(n, 6.0),
        np.full(n, 26.0),
    )  # fmt: skip
    lane, end = np.arange(n), x + np.random.default_rng(3).uniform(-3.0, 3.0, n)
    flat = tilted.flat_between(x, end, lane)
    assert 0.2 < flat.mean() < 0.95
    seen = [tilted.slopes(x + s * (end - x), np.zeros(n), lane)[0] for s in np.linspace(0.0, 1.0, 21)]
    turned = np.ptp(seen, axis=0)
    assert np.all(turned[flat] < 1e-12)
    assert np.all(turned <= tilted.unevenness(lane) + 1e-12)


def test_the_pieces_of_it_are_those_of_the_drawn_truth(places: tuple[np.ndarray, np.ndarray]) -> None:
    x, _ = places
    one, lane = np.ones(1), np.zeros(len(x), dtype=np.intp)
    tilted, truth = (
        Tilted(drawn(0.0, 0.0), lane[:1], 0.03 * one, 0.0 * one, 6.0 * one, 26.0 * one),
        drawn(0.03, 0.0),
    )
    for along in (x, -np.ones_like(x)):
        ways = np.stack([x, x]), np.stack([along, x]), np.stack([0.1 * along - 0.05, x])
        (left, plane), (far, flat) = tilted.piece(*ways, lane), truth.piece(*ways, lane)
        np.testing.assert_array_equal(plane, flat)
        np.testing.assert_allclose(left, far)
