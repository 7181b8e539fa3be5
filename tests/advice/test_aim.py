"""Aims left and right of the hole: where trouble asks, mirrored, better for it; and on the line elsewhere."""

from collections.abc import Callable
from typing import Any

import msgspec
import numpy as np
import pytest

from shortgame_gui.advice import aim
from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.result import Shot
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import Band, Obstacle
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation

Owning = Callable[..., dict[str, Any]]
FAR = {"player.level": "20", "green.front": 32.0, "hole.distance": 42.0}


def water(left: float, right: float) -> dict[str, Any]:
    """Water beside the line from before the green to behind it."""
    band = Band(surface="water", start=20.0, end=70.0, left=left, right=right)
    return FAR | {"ground.bands": (band,)}


@pytest.fixture(scope="module")
def wedge(bag: Bag) -> Bag:
    return Bag(clubs=(bag.find("gap wedge"),))


def pitch(values: dict[str, Any], bag: Bag, table: Coefficients, owning: Owning) -> Shot:
    return advise(put_all(Situation(), values | owning("pitch")), bag, table).shots[0]


def test_water_on_the_right_moves_the_aim_left(wedge: Bag, table: Coefficients, owning: Owning) -> None:
    """A fact of the trade (common practice, no source): away from tight trouble; and it saves strokes."""
    right = pitch(water(-1.5, 30.0), wedge, table, owning)
    left = pitch(water(30.0, -1.5) | {"player.hand": "left"}, wedge, table, owning)
    assert right.finish_aim[1] > 0.5
    assert left.finish_aim[1] == pytest.approx(-right.finish_aim[1], abs=1e-6)
    assert left.expected_strokes == pytest.approx(right.expected_strokes, abs=1e-9)
    assert right.finishes[1].mean() > 0.3


def test_aiming_away_from_water_is_worth_it(
    wedge: Bag, table: Coefficients, owning: Owning, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same samples at the aim on the line: the aims were chosen on others, so this flatters neither."""
    away = pitch(water(-1.5, 30.0), wedge, table, owning)
    monkeypatch.setattr(aim, "lopsided", lambda _: False)
    straight = pitch(water(-1.5, 30.0), wedge, table, owning)
    assert straight.finish_aim[1] == pytest.approx(0.0, abs=0.05)
    assert away.expected_strokes < straight.expected_strokes - 0.05
    assert away.trouble["water"] < straight.trouble["water"]


def test_a_level_even_ground_keeps_the_aim_at_the_line(few: Bag, table: Coefficients) -> None:
    for shot in advise(Situation(), few, table, samples=16).shots:
        assert shot.finish_aim[1] == pytest.approx(0.0, abs=0.05)


@pytest.mark.parametrize(
    "values",
    [
        {"green.left": 5.0}, {"green.slope_across": 0.01}, {"green.grain": "left"},
        {"ground.bands": (Band(surface="sand", start=2.0, end=4.0, left=3.0, right=5.0),)},
        {"ground.obstacles": (Obstacle(at=5.0, left=-1.0, right=6.0),)},
    ],
)  # fmt: skip
def test_what_differs_left_and_right_is_seen(values: dict[str, Any]) -> None:
    assert not aim.lopsided(Situation())
    assert aim.lopsided(put_all(Situation(), values))


def test_on_a_slope_across_it_finishes_below_the_hole_where_that_pays(
    wedge: Bag, table: Coefficients, owning: Owning
) -> None:
    """As the published figure has it uphill putts gain centimetres; were they far easier, the aim is low."""
    easier = msgspec.structs.replace(table, score=msgspec.structs.replace(table.score, uphill=20.0))
    for across in (0.04, -0.04):
        slope = {"player.level": "tour", "green.slope_across": across, "green.front": 4.0}
        shot = pitch(slope, wedge, easier, owning)
        assert np.sign(shot.finish_aim[1]) == -np.sign(across) and abs(shot.finish_aim[1]) > 0.15


def test_the_break_is_where_the_ball_starts(few: Bag, table: Coefficients, owning: Owning) -> None:
    """The left is higher, so it starts left of the hole and comes back; on the level straight at it."""
    for technique, club in (("putt", "putter"), ("chip", "8-iron")):
        one = Bag(clubs=(few.find(club),))
        close = {"lie.ground": "fringe", "green.front": 0.5, "hole.distance": 10.0} | owning(technique)
        slanted = put_all(Situation(), close | {"green.slope_across": 0.03})
        shot = advise(slanted, one, table, samples=16).shots[0]
        level = advise(put_all(Situation(), close), one, table, samples=16).shots[0]
        assert shot.start * shot.hole > 0.2 > 0.02 > abs(level.start * level.hole)
        assert shot.hole == pytest.approx(10.0)
