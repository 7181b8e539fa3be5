"""Lines of equal height on surfaces whose lines are known, and the oval of the normal distribution."""

import numpy as np
import pytest

from shortgame_gui.desktop.shot.contours import MOST_LINES, isolines, levels_for, step_for
from shortgame_gui.desktop.shot.spread import density, half_oval


def grid() -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    x, y = np.linspace(-4.0, 6.0, 81), np.linspace(-5.0, 5.0, 71)
    return (x, y, *np.meshgrid(x, y, indexing="ij"))


def test_the_lines_of_a_plane_are_straight_and_whole() -> None:
    x, y, gx, gy = grid()
    lines = isolines(x, y, 0.3 * gx + 0.4 * gy, np.array([0.0]))
    x0, y0, x1, y1 = lines
    assert 0.3 * x0 + 0.4 * y0 == pytest.approx(np.zeros(len(x0)), abs=1e-12)
    # From edge to edge: y = -0.75 x crosses the whole grid from x = -4 to 6.
    assert np.hypot(x1 - x0, y1 - y0).sum() == pytest.approx(10.0 * 1.25)


def test_the_lines_of_a_cone_are_circles() -> None:
    x, y, gx, gy = grid()
    lines = isolines(x, y, np.hypot(gx - 1.0, gy), np.array([2.0, 3.0]))
    radius = np.hypot(lines[0] - 1.0, lines[1])
    near = np.abs(radius[:, None] - np.array([2.0, 3.0])).min(axis=1)
    assert near.max() < 0.01
    length = np.hypot(lines[2] - lines[0], lines[3] - lines[1]).sum()
    assert length == pytest.approx(2.0 * np.pi * 5.0, rel=0.005)


def test_level_ground_has_no_lines_and_steps_keep_them_few() -> None:
    x, y, gx, _ = grid()
    assert isolines(x, y, 0.0 * gx, levels_for(0.0, 0.0, 0.1)).shape == (4, 0)
    steps = (0.05, 0.1, 0.5, 1.0)
    assert step_for(0.0, 0.3, steps) == 0.05
    assert step_for(-1.0, 1.0, steps) == 0.5
    assert step_for(0.0, 50.0, steps) == 1.0
    assert len(levels_for(0.0, 0.6, 0.05)) <= MOST_LINES
    assert levels_for(-0.12, 0.11, 0.05) == pytest.approx([-0.1, -0.05, 0.0, 0.05, 0.1])


def test_the_oval_of_normal_points_has_the_axes_of_the_normal_distribution() -> None:
    """Half of a two-dimensional normal distribution lies within sqrt(2 ln 2) = 1.177 standard deviations."""
    points = np.random.default_rng(5).normal([[10.0], [1.0]], [[2.0], [0.5]], (2, 20_000))
    oval = half_oval(points)
    assert oval is not None
    reach = 0.5 * (oval.max(axis=1) - oval.min(axis=1))
    assert reach == pytest.approx(np.sqrt(2.0 * np.log(2.0)) * np.array([2.0, 0.5]), rel=0.03)
    assert oval.mean(axis=1) == pytest.approx([10.0, 1.0], abs=0.2)


def test_a_few_mishits_do_not_blow_the_oval_up() -> None:
    luck = np.random.default_rng(6)
    good = luck.normal([[10.0], [0.0]], [[1.0], [0.5]], (2, 450))
    bad = luck.normal([[2.0], [0.0]], [[2.0], [0.5]], (2, 50))
    alone, both = half_oval(good), half_oval(np.concatenate([good, bad], axis=1))
    assert alone is not None and both is not None
    assert np.ptp(both, axis=1) == pytest.approx(np.ptp(alone, axis=1), rel=0.3)


def test_two_points_have_neither_oval_nor_density_and_equal_ones_do() -> None:
    assert half_oval(np.zeros((2, 2))) is None
    assert density(np.zeros((2, 2))) is None
    alike = half_oval(np.ones((2, 10)))
    assert alike is not None
    assert np.isfinite(alike).all()
    spot = density(np.ones((2, 10)))
    assert spot is not None
    assert spot.share.max() == 1.0
    assert spot.low[0] < 1.0 < spot.high[0]
