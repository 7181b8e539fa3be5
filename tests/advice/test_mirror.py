"""A situation seen in a mirror gets the mirrored advice, to the last digit that counts and on any samples."""

from collections.abc import Callable
from typing import Any

import msgspec
import numpy as np
import pytest

from shortgame_gui import assets
from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.result import Shot
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import Band, Obstacle
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.model.survey import HeightGrid, Survey
from shortgame_gui.store.documents import read_demo

DEMO = [name for name in assets.demo_files(".json") if name.startswith("situations/")]

SLANTED: dict[str, Any] = {
    "green.slope_across": 0.025, "green.slope_along": -0.02, "green.left": 6.0, "green.right": 11.0,
    "air.wind_across": 5.0, "air.wind_along": -3.0, "air.gust": 2.0, "stance.slope_across": 0.12,
    "stance.slope_along": -0.08, "lie.ground": "rough", "lie.sits": "half_down", "player.level": "20",
    "green.grain": "left",
    "not_sure.slope_across": 0.01, "not_sure.wind": 2.0, "not_sure.lie": 0.5, "not_sure.green_speed": 0.3,
    "ground.obstacles": (Obstacle(at=9.0, low=1.0, high=3.0, left=6.0, right=-0.5),),
    "ground.bands": (
        Band(surface="sand", start=3.0, end=7.0, left=9.0, right=-1.0),
        Band(surface="water", start=8.0, end=30.0, left=-6.0, right=30.0),
    ),
}  # fmt: skip


def mirrored(situation: Situation) -> Situation:
    """Left for right: hand, slopes, wind and grain across the line, edges of green, bands and obstacles.

    Ball above or below the feet stays: it is told from the player, who is mirrored too.
    """

    def swap(thing: Any) -> Any:
        return msgspec.structs.replace(thing, left=thing.right, right=thing.left)

    swapped = {
        "player.hand": "left" if situation.player.hand == "right" else "right",
        "green.slope_across": -situation.green.slope_across,
        "green.left": situation.green.right, "green.right": situation.green.left,
        "air.wind_across": -situation.air.wind_across,
        "green.grain": {"left": "right", "right": "left"}.get(situation.green.grain, situation.green.grain),
        "ground.bands": tuple(map(swap, situation.ground.bands)),
        "ground.obstacles": tuple(map(swap, situation.ground.obstacles)),
    }  # fmt: skip
    return put_all(
        situation, swapped | ({"survey": flipped(situation.survey)} if situation.survey.file else {})
    )


def flipped(survey: Survey) -> Survey:
    """The survey with south for north."""
    grid = survey.grid
    assert grid is not None
    other = HeightGrid(grid.x0, -grid.reach[3], grid.spacing, grid.heights[::-1])
    return msgspec.structs.replace(survey, ball_y=-survey.ball_y, hole_y=-survey.hole_y, grid=other)


def same_but_mirrored(shot: Shot, other: Shot, figures: Callable[[Shot], dict[str, float]]) -> None:
    here, there = figures(shot), figures(other)
    for side, opposite in (("left", "right"), ("right", "left")):
        if shot.misses.of(side) is not None:
            here[f"misses.{side}"] = there[f"misses.{opposite}"]
    for one, two in zip(shot.what_ifs, other.what_ifs, strict=True):
        assert two.finish == pytest.approx((one.finish[0], -one.finish[1]), abs=1e-9)
        assert (two.code, two.strokes) == (one.code, pytest.approx(one.strokes, abs=1e-9))
    assert here.keys() == there.keys()
    for name in ("aim", "start", "finish_aim.1", "landing.1", "finishes.y"):
        assert there[name] == pytest.approx(-here[name], abs=1e-9), name
        here.pop(name)
    for name, value in here.items():
        assert there[name] == pytest.approx(value, rel=1e-9, abs=1e-9), name
    np.testing.assert_allclose(shot.finishes * [[1.0], [-1.0]], other.finishes, atol=1e-9)
    np.testing.assert_allclose(shot.track.position * [[1.0], [-1.0], [1.0]], other.track.position, atol=1e-9)


def check(
    situation: Situation, few: Bag, table: Coefficients, figures: Callable[[Shot], dict[str, float]]
) -> None:
    one = advise(situation, few, table, samples=16, seed=3)
    two = advise(mirrored(situation), few, table, samples=16, seed=3)
    assert one.shots
    names = [(s.club.name, s.technique) for s in one.shots]
    assert [(s.club.name, s.technique) for s in two.shots] == names
    assert one.refused == two.refused and one.cautions == two.cautions
    for shot, other in zip(one.shots, two.shots, strict=True):
        same_but_mirrored(shot, other, figures)
    reasons = [[r.link for r in found.why.reasons] if found.why else [] for found in (one, two)]
    assert reasons[0] == reasons[1] and (len(one.shots) == 1 or reasons[0])
    turned = {"aim_left": "aim_right", "aim_right": "aim_left"}
    cues = [(turned.get(code, code), pytest.approx(number)) for code, number in one.setup.cues]
    assert list(two.setup.cues) == cues
    assert (one.doubt is None) == (two.doubt is None)
    if one.doubt is not None and two.doubt is not None:
        assert two.doubt.cost == pytest.approx(one.doubt.cost, rel=1e-9, abs=1e-9)
        assert (two.doubt.instead, two.doubt.most) == (one.doubt.instead, one.doubt.most)


@pytest.mark.parametrize("name", DEMO)
def test_the_demo_in_a_mirror(
    name: str, few: Bag, small: Coefficients, figures: Callable[[Shot], dict[str, float]]
) -> None:
    check(read_demo(name), few, small, figures)


def test_everything_slanted_in_a_mirror(
    few: Bag, small: Coefficients, figures: Callable[[Shot], dict[str, float]]
) -> None:
    situation = put_all(Situation(), SLANTED)
    assert mirrored(situation) != situation and mirrored(mirrored(situation)) == situation
    check(situation, few, small, figures)
    # It is no mirror image of itself: the advice differs from that of the same player facing the other side.
    other = put_all(mirrored(situation), {"player.hand": situation.player.hand})
    shots = [advise(s, few, small, samples=16).shots[0] for s in (situation, other)]
    assert shots[0].expected_strokes != shots[1].expected_strokes
