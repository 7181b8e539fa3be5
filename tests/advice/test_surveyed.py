"""A situation on a height grid: the scene takes the grid, and a plane one gives the drawn plane's advice."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from msgspec.structs import replace

from shortgame_gui.advice import scene
from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.result import Shot
from shortgame_gui.advice.trace import trace
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import ProfilePoint
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.model.survey import HeightGrid, Survey
from shortgame_gui.physics.ground import DrawnGround
from shortgame_gui.store.documents import read_demo

DEMO = "situations/14-surveyed-green.json"


def on_a_plane(situation: Situation, along: float, across: float) -> Situation:
    """``situation`` on a grid of the plane, ball and hole lying askew on it."""
    c, s = 0.6, -0.8
    x = np.arange(-100.0, 101.0)
    heights = 50.0 + (along * c - across * s) * x[None, :] + (along * s + across * c) * x[:, None]
    d = situation.hole.distance
    survey = Survey(
        file="plane.asc", ball_x=2.5, ball_y=-1.0, hole_x=2.5 + c * d, hole_y=-1.0 + s * d,
        grid=HeightGrid(-100.0, -100.0, 1.0, heights),
    )  # fmt: skip
    return replace(situation, survey=survey)


def drawn_plane(along: float, across: float) -> Situation:
    # The profile's ends lie beyond every shot; the cross-slope is that of all ground.
    points = tuple(ProfilePoint(at=x, height=along * x) for x in (-20.0, 100.0))
    return put_all(
        Situation(), {"ground.profile": points, "green.slope_across": across, "hole.distance": 17.0}
    )


def test_a_plane_grid_is_traced_like_the_drawn_plane(table: Coefficients, bag: Bag) -> None:
    drawn = drawn_plane(0.03, -0.02)
    plain = put_all(drawn, {"ground.profile": (), "green.slope_across": 0.0})
    surveyed = on_a_plane(plain, 0.03, -0.02)
    for club, technique in (("sand wedge", "pitch"), ("8-iron", "bump_and_run"), ("putter", "putt")):
        speeds = {"putter": 4.5, "8-iron": 9.0, "sand wedge": 14.0}
        one, two = (
            trace(s, table, bag.find(club), technique, head_speed=speeds[club]).result
            for s in (drawn, surveyed)
        )
        assert np.hypot(*(one.rest - two.rest)[:2, 0]) < 0.01


def test_a_plane_grid_changes_no_advice(
    table: Coefficients, few: Bag, figures: Callable[[Shot], dict[str, float]]
) -> None:
    # A slope across, so that aims beside the hole are tried on both.
    drawn, plain = drawn_plane(0.0, -0.02), put_all(Situation(), {"hole.distance": 17.0})
    one, two = (advise(s, few, table, samples=16) for s in (drawn, on_a_plane(plain, 0.0, -0.02)))
    names = [[(s.club.name, s.technique) for s in a.shots] for a in (one, two)]
    assert names[0][:3] == names[1][:3] and set(names[0]) == set(names[1])
    for shot, other in zip(one.shots[:3], two.shots[:3], strict=True):
        assert other.expected_strokes == pytest.approx(shot.expected_strokes, abs=0.02)
        assert other.carry == pytest.approx(shot.carry, abs=0.02)


def test_the_scene_of_a_survey(table: Coefficients) -> None:
    demo = read_demo(DEMO)
    ground = scene.ground([demo, demo], table)
    assert not isinstance(ground, DrawnGround)
    x, lane = np.array([0.0, demo.hole.distance]), np.array([0, 1])
    heights = ground.height(x, np.zeros(2), lane)
    grid = demo.survey.grid
    assert grid is not None
    # The hole lies amid four heights of the grid, the ball too.
    corners = [grid.heights[44:46, 57:59], grid.heights[28:30, 25:27]]
    assert heights[0] == pytest.approx(0.0, abs=1e-9)
    assert heights[1] == pytest.approx(corners[0].mean() - corners[1].mean(), abs=0.02)
    rise = (heights[1] - ground.height(np.array([demo.green.front]), np.zeros(1), lane[:1])[0]) / (
        demo.hole.distance - demo.green.front
    )
    assert scene.rise(demo, ground) == pytest.approx(rise, abs=0.005)
    assert scene.rise(put_all(Situation(), {"green.slope_along": 0.02}), ground) == 0.02


def test_grounds_that_cannot_share_a_batch(table: Coefficients) -> None:
    demo = read_demo(DEMO)
    unread = replace(demo, survey=replace(demo.survey, grid=None))
    other = on_a_plane(Situation(), 0.0, 0.0)
    for batch in ([unread], [demo, Situation()], [demo, other]):
        with pytest.raises(ValueError, match="on one height grid"):
            scene.ground(batch, table)
