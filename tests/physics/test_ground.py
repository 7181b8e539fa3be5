"""The drawn ground: heights, slopes and surfaces agree with the drawing and with each other."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shortgame_gui.physics.ground import (
    PAST,
    SURFACES,
    WIDE,
    DrawnGround,
    Plane,
    Strip,
    SurfaceArrays,
    plane,
)  # fmt: skip
from shortgame_gui.store.coefficients import load

Array = npt.NDArray[np.float64]
Points = list[tuple[float, float]]

GREEN = [Strip(0, -WIDE, WIDE)]
HILLS: Points = [(-8.0, 0.5), (-2.0, 0.0), (1.0, 0.2), (1.3, 0.9), (6.0, -0.4), (6.05, 0.0), (20.0, 1.0)]


def lanes(x: Array, lane: int = 0) -> npt.NDArray[np.intp]:
    return np.full(x.shape, lane, dtype=np.intp)


@st.composite
def profiles(draw: st.DrawFn) -> Points:
    """Up to eight points, 5 cm apart at least, as a situation allows."""
    count = draw(st.integers(0, 8))
    at = draw(st.floats(-20.0, 40.0))
    points = []
    for _ in range(count):
        points.append((at, draw(st.floats(-5.0, 5.0))))
        at += draw(st.floats(0.06, 15.0))
    return points


@given(profiles(), st.floats(-0.3, 0.3))
@settings(max_examples=60, deadline=None)
def test_heights_and_slopes_of_any_profile(points: Points, cross: float) -> None:
    """The ball lies at 0, the slope is what the height says, and neither jumps."""
    ground = DrawnGround([(points, cross, GREEN)])
    zero = np.zeros(1)
    assert ground.height(zero, zero, lanes(zero))[0] == pytest.approx(0.0, abs=1e-9)
    x = np.linspace(-30.0, 160.0, 4001)
    y = np.full(x.shape, 3.0)
    height, (gx, gy) = ground.height(x, y, lanes(x)), ground.slopes(x, y, lanes(x))
    assert np.all(gy == cross)
    steep = np.abs(gx).max()
    assert np.all(np.abs(np.diff(height)) <= (steep + 1e-9) * (x[1] - x[0]) * 1.5 + 1e-9)
    h = 1e-6
    near = (ground.height(x + h, y, lanes(x)) - ground.height(x - h, y, lanes(x))) / (2.0 * h)
    bend = 2.0 * (1.0 + 2.0 * steep) / 0.03
    assert near == pytest.approx(gx, abs=1e-6 + h * bend)
    assert ground.unevenness(lanes(x))[0] >= np.ptp(gx) - 1e-9


def test_between_the_corners_the_profile_is_as_drawn() -> None:
    points: Points = [(-8.0, 0.5), (-2.0, 0.0), (3.0, 0.2), (5.0, 0.9), (9.0, -0.4)]
    ground = DrawnGround([(points, 0.0, GREEN)], rounding=0.3)
    px, pz = (np.array(c) for c in zip(*points, strict=True))
    x = np.linspace(-12.0, 14.0, 2001)
    drawn = np.interp(x, px, pz) - np.interp(0.0, px, pz)
    off = np.abs(ground.height(x, np.zeros(x.shape), lanes(x)) - drawn)
    at_corner = np.abs(x[:, None] - px).min(axis=1) < 0.3
    assert off[~at_corner].max() < 1e-12
    # A parabola of half-width r between two slopes passes r/4 of their difference from the corner.
    assert off.max() <= 0.25 * 0.3 * np.abs(np.diff(np.diff(pz) / np.diff(px))).max() + 1e-9


def test_corners_closer_than_the_rounding_share_the_room() -> None:
    ground = DrawnGround([([(2.0, 0.0), (2.1, 0.3), (2.2, 0.3), (2.25, 0.0)], 0.0, GREEN)], rounding=0.3)
    x = np.linspace(1.0, 4.0, 3001)
    height = ground.height(x, np.zeros(x.shape), lanes(x))
    assert np.abs(np.diff(height)).max() < 0.008
    assert height[-1] == pytest.approx(0.0, abs=1e-12)
    assert 0.2 < height.max() < 0.3


def test_a_profile_out_of_order_is_refused() -> None:
    for points in ([(1.0, 0.0), (1.0, 1.0)], [(2.0, 0.0), (1.0, 1.0)]):
        with pytest.raises(ValueError, match="one beyond the other"):
            DrawnGround([(points, 0.0, GREEN)])


def test_a_drawing_without_a_surface_is_refused() -> None:
    with pytest.raises(ValueError, match="one strip"):
        DrawnGround([([], 0.0, [])])


def test_later_strips_lie_on_top_and_the_first_is_everywhere_else() -> None:
    strips = [
        Strip(4, 0.0, 5.0),
        Strip(1, 1.0, 9.0, 6.0, 7.0),
        Strip(0, 2.0, 8.0, 5.0, 6.0),
        Strip(7, 3.0, 4.0, -1.0, 3.0),
    ]
    expected = {
        (-3.0, 0.0): 4, (0.5, 0.0): 4, (1.5, 0.0): 1, (2.0, 0.0): 0, (5.0, 5.0): 0, (5.0, 5.5): 1,
        (5.0, 6.5): 4, (5.0, -6.0): 0, (5.0, -6.5): 1, (5.0, -7.5): 4, (3.5, 0.0): 0, (3.5, -2.0): 7,
        (3.5, -1.0): 7, (4.0, -2.0): 0, (12.0, 0.0): 4,
    }  # fmt: skip
    x, y = (np.array(c) for c in zip(*expected, strict=True))
    alone = DrawnGround([([], 0.0, strips)])
    assert alone.surface(x, y, lanes(x)).tolist() == list(expected.values())
    among = DrawnGround([([], 0.0, GREEN), ([], 0.0, strips), (HILLS, 0.1, [Strip(8, -WIDE, WIDE)] * 6)])
    assert among.surface(x, y, lanes(x, 1)).tolist() == list(expected.values())
    assert among.surface(x, y, lanes(x, 2)).tolist() == [8] * len(x)
    # Beside a strip its edges bound nothing.
    low, high = np.array([[2.5, 2.5, 2.5], [2.0, -2.0, -6.5]]), np.array([[3.5, 3.5, 3.5], [3.0, -1.5, -5.5]])
    for ground, number in ((alone, 0), (among, 1)):
        assert ground.one_surface(low, high, lanes(low[0], number)).tolist() == [True, False, False]


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=20, deadline=None)
def test_several_grounds_equal_each_alone(seed: int) -> None:
    draw = np.random.default_rng(seed)

    def strips() -> list[Strip]:
        return [Strip(4, -WIDE, WIDE)] + [
            Strip(int(draw.integers(0, 10)), a, a + draw.uniform(0.5, 20.0), *draw.uniform(1.0, 9.0, 2))
            for a in draw.uniform(-5.0, 30.0, draw.integers(0, 5))
        ]

    drawings = [(HILLS, 0.03, strips()), ([], -0.1, strips()), (HILLS[2:5], 0.0, strips())]
    together = DrawnGround(drawings)
    x, y = draw.uniform(-15.0, 40.0, 300), draw.normal(0.0, 6.0, 300)
    lane = draw.integers(0, 3, 300)
    for g, drawing in enumerate(drawings):
        own = lane == g
        alone, single = DrawnGround([drawing]), np.zeros(own.sum(), dtype=np.intp)
        at, here = (x[own], y[own]), lane[own]
        assert np.all(together.height(*at, here) == alone.height(*at, single))
        assert np.all(together.slopes(*at, here)[0] == alone.slopes(*at, single)[0])
        assert np.all(together.slopes(*at, here)[1] == alone.slopes(*at, single)[1])
        assert np.all(together.surface(*at, here) == alone.surface(*at, single))
        assert np.all(together.unevenness(here) == alone.unevenness(single))
        size = draw.uniform(0.0, 4.0, (2, len(single)))
        sure = together.one_surface(np.stack(at), np.stack(at) + size, here)
        assert np.all(alone.one_surface(np.stack(at), np.stack(at) + size, single)[sure])
        for u, v in np.ndindex(9, 9):
            there = alone.surface(at[0] + u / 8.0 * size[0], at[1] + v / 8.0 * size[1], single)
            assert np.all((there == alone.surface(*at, single))[sure])
        for along in (np.ones_like(at[0]), -np.ones_like(at[0])):
            go = np.stack([along, 0.0 * along])
            left, plane = together.piece(np.stack(at), go, 0.0 * go, here)
            assert np.all(left == alone.piece(np.stack(at), go, 0.0 * go, single)[0])
            # So far, but for a hair's breadth, there is one piece, in which the slope changes evenly and on a
            # plane not at all.
            way = along * (np.minimum(left, 5.0) - PAST) * (1.0 - 1e-9)
            first, middle, last = (alone.slopes(at[0] + s * way, at[1], single)[0] for s in (0.0, 0.5, 1.0))
            assert middle == pytest.approx(0.5 * (first + last), abs=1e-7)
            assert last[plane] == pytest.approx(first[plane], abs=1e-12)
            assert np.all(alone.flat_between(at[0], at[0] + way, single) == plane)


def test_planes() -> None:
    x, y = np.array([0.0, 2.0, -3.0]), np.array([0.0, 1.0, 2.0])
    one = plane(0.1, -0.05, "fringe")
    assert one.height(x, y, lanes(x)) == pytest.approx(0.1 * x - 0.05 * y)
    assert np.all(one.surface(x, y, lanes(x)) == SURFACES.index("fringe"))
    assert not one.unevenness(lanes(x)).any()
    several = Plane([0.0, 0.1], [0.2, -0.05], [4, 1])
    lane = np.array([0, 1, 1])
    assert several.height(x, y, lane) == pytest.approx([0.0, 0.15, -0.4])
    assert several.slopes(x, y, lane)[0].tolist() == [0.0, 0.1, 0.1]
    assert several.surface(x, y, lane).tolist() == [4, 1, 1]


def test_every_surface_has_its_row() -> None:
    rows = load().surface
    assert set(rows) == set(SURFACES)
    arrays = SurfaceArrays.of(rows)
    assert arrays.slide[SURFACES.index("sand")] == rows["sand"].slide
    with pytest.raises(KeyError):
        SurfaceArrays.of({k: v for k, v in rows.items() if k != "sand"})
