"""Axes of the map: another valid situation for each value, and no two of them get in each other's way."""

from itertools import combinations
from pathlib import Path
from typing import Any

import msgspec
import numpy as np
import pytest

from shortgame_gui import assets, demo
from shortgame_gui.advice import scene
from shortgame_gui.advice.axes import AXES, situation_at
from shortgame_gui.model.base import FieldError
from shortgame_gui.model.ground import Band, Obstacle, ProfilePoint, Shape
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import read_situation

DEMOS = [
    name
    for name in assets.demo_files(".json")
    if name.startswith("situations/") and "survey" not in assets.demo_text(name)
]
DRAWN = put_all(
    Situation(),
    {
        "green.front": 10.0,
        "hole.distance": 20.0,
        "ground.profile": (ProfilePoint(at=0.0, height=0.0), ProfilePoint(at=8.0, height=0.8)),
        "ground.bands": (Band(surface="sand", start=4.0, end=8.0),),
        "ground.shapes": (Shape(kind="tier", at=14.0, length=2.0),),
        "ground.obstacles": (Obstacle(at=6.0, high=2.0),),
    },
)  # fmt: skip


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("code", AXES)
def test_every_sensible_value_makes_a_situation_that_has_it(code: str, name: str) -> None:
    situation = read_situation(assets.demo_text(name).encode())
    axis = AXES[code]
    for value in axis.values(situation, 5):
        assert axis.get(axis.put(situation, value)) == value
    own = axis.get(situation)
    if own is not None:
        assert axis.put(situation, own) == situation


@pytest.mark.parametrize("pair", list(combinations(AXES, 2)), ids="-".join)
def test_two_axes_hold_together_in_either_order(pair: tuple[str, str]) -> None:
    wanted: dict[str, Any] = {
        "distance": 22.0, "green_to_work_with": 9.0, "carry": 7.0, "green_speed": 3.3, "firmness": 100.0,
        "slope": 0.02, "lie_slope": -0.1, "lie": "rough_down", "wind": -3.0, "level": "20",
    }  # fmt: skip
    one = situation_at(DRAWN, [(code, wanted[code]) for code in pair])
    other = situation_at(DRAWN, [(code, wanted[code]) for code in reversed(pair)])
    assert one == other
    assert [AXES[code].get(one) for code in pair] == [wanted[code] for code in pair]


def test_each_length_keeps_the_one_it_says() -> None:
    for code, value in (("distance", 25.0), ("green_to_work_with", 7.0), ("carry", 6.0)):
        kept = AXES[AXES[code].keeps]
        assert kept.get(AXES[code].put(DRAWN, value)) == kept.get(DRAWN)


def test_distance_moves_the_ball_and_nothing_else() -> None:
    """From 5 m further back everything lies 5 m further on; 4 m nearer the ball stands 0.4 m higher."""
    back = AXES["distance"].put(DRAWN, 25.0)
    assert [p.at for p in back.ground.profile] == [5.0, 13.0]
    assert (back.ground.bands[0].start, back.ground.bands[0].end) == (9.0, 13.0)
    assert back.ground.shapes[0].at == 19.0 and back.ground.obstacles[0].at == 11.0
    assert back.green.front == 15.0 and back.green.depth == DRAWN.green.depth
    near = AXES["distance"].put(DRAWN, 16.0)
    assert near.ground.obstacles[0].high == pytest.approx(1.6)
    drawn, moved = scene.ground([DRAWN]), scene.ground([near])
    x, zero, lane = np.array([4.0, 6.0, 9.0, 16.0]), np.zeros(4), np.zeros(4, dtype=np.intp)
    here = drawn.height(x, zero, lane)
    np.testing.assert_allclose(moved.height(x - 4.0, zero, lane), here - here[0], atol=1e-9)


def test_carry_takes_what_lies_before_the_green_along() -> None:
    far = AXES["carry"].put(DRAWN, 15.0)
    assert far.hole.distance == 20.0 and far.green.front == 15.0
    assert (far.ground.bands[0].start, far.ground.bands[0].end) == (6.0, 12.0)
    assert far.green.front + far.green.depth == DRAWN.green.front + DRAWN.green.depth


def test_room_keeps_the_edge_and_the_room_behind_the_hole() -> None:
    little = AXES["green_to_work_with"].put(DRAWN, 3.0)
    assert little.green.front == 10.0 and little.hole.distance == 13.0
    behind = DRAWN.green.front + DRAWN.green.depth - DRAWN.hole.distance
    assert little.green.front + little.green.depth - little.hole.distance == pytest.approx(behind)


def test_a_survey_leaves_the_hole_where_it_is() -> None:
    """Ball and hole are places of the survey; only a drawn ground has another distance."""
    folder = Path(demo.__file__).parent
    surveyed = read_situation(folder / "situations" / "14-surveyed-green.json")
    for code in ("distance", "green_to_work_with", "carry"):
        with pytest.raises(FieldError, match="survey"):
            AXES[code].put(surveyed, AXES[code].get(surveyed) or 0.0)


def test_what_cannot_be_is_refused() -> None:
    for code, value in (
        ("distance", 3.0),
        ("carry", 25.0),
        ("green_speed", 9.0),
        ("lie", "glass"),
        ("wind", "no"),
    ):
        with pytest.raises(FieldError):
            AXES[code].put(DRAWN, value)


def test_the_lie_of_a_bunker_takes_its_lip_along() -> None:
    bunker = read_situation(assets.demo_text("situations/11-bunker-under-the-lip.json").encode())
    back = AXES["distance"].put(bunker, bunker.hole.distance + 6.0)
    assert back.ground.profile == bunker.ground.profile and back.lie == bunker.lie
    assert msgspec.structs.replace(back, ground=bunker.ground, green=bunker.green, hole=bunker.hole) == bunker
