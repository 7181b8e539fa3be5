"""A situation in sentences: every choice has words, what is ordinary is left out, figures are carried."""

import re
from typing import Any, get_args

import pytest

from shortgame_gui.model.ground import Band, Obstacle, Shape
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.lie import LieGround, Sand, Sits
from shortgame_gui.model.player import LEVELS
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import read_demo
from shortgame_gui.words import situation as words
from shortgame_gui.words.numbers import Style

METRES = Style(yards=False)


def told(**values: Any) -> str:
    lines = words.situation_text(
        put_all(Situation(), {k.replace("__", "."): v for k, v in values.items()}), METRES
    )
    for line in lines:
        assert line.endswith(".") and line[0].isupper() and not re.search(r"[{}_]|None|nan|  ", line), line
    return " ".join(lines)


def test_an_ordinary_situation_is_short() -> None:
    assert told() == (
        "Ball on the fairway, lying clean. Hole 18 m away; the green begins at 6.0 m, with 12 m of green "
        "beyond the hole. Green 10.0 ft of stimp, medium, level. Handicap 10, right-handed, counting the "
        "lowest average."
    )


def test_every_choice_has_words() -> None:
    assert set(words.GROUNDS) == set(get_args(LieGround)) and set(words.SITS) == set(get_args(Sits))
    assert set(words.SANDS) == set(get_args(Sand)) and set(words.LEVELS) == set(LEVELS)
    shape = Shape.__annotations__["kind"]
    assert all(f"'{kind}'" in str(shape) or f'"{kind}"' in str(shape) for kind in words.SHAPES)
    for ground in words.GROUNDS:
        sits = "plugged" if ground == "sand" else "down"
        assert words.SITS[sits] in told(lie__ground=ground, lie__sits=sits)
    for level in LEVELS:
        assert words.LEVELS[level] in told(player__level=level)
    for counts, said in words.COUNTS.items():
        assert said in told(player__counts=counts)


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"lie__ground": "rough", "lie__rough_depth": 0.08}, "in rough, 8 cm deep"),
        ({"lie__wet": True}, "Grass or face wet."),
        ({"lie__ground": "sand", "lie__lip_height": 0.8, "lie__lip_distance": 2.0},
         "A lip 0.8 m high stands 2.0 m ahead."),
        ({"stance__slope_along": 0.1763}, "Uphill lie, 10°."),
        ({"stance__slope_along": -0.1763}, "Downhill lie, 10°."),
        ({"stance__slope_across": 0.0875}, "Ball above the feet, 5°."),
        ({"stance__slope_across": -0.0875}, "Ball below the feet, 5°."),
        ({"stance__backswing": "short"}, "Room for a short backswing only."),
        ({"green__firmness": 120.0}, "very firm"),
        ({"green__firmness": 60.0, "green__wet": True}, "soft, wet, level."),
        ({"green__slope_along": 0.02, "green__slope_across": -0.015},
         "rising 2.0 % away, 1.5 % higher on the right."),
        ({"green__slope_along": -0.02}, "falling 2.0 % away"),
        ({"air__wind_along": -3.0, "air__wind_across": 2.0}, "Wind against 3.0 m/s, from the left 2.0 m/s."),
        ({"air__wind_along": 3.0, "air__wind_across": -2.0}, "Wind helping 3.0 m/s, from the right 2.0 m/s."),
        ({"player__hand": "left"}, "left-handed"),
        ({"ground__bands": (Band(surface="water", start=2.0, end=5.0),)}, "Water from 2.0 m to 5.0 m."),
        ({"ground__shapes": (Shape(kind="tier", at=12.0, height=0.5),)}, "A tier rises 0.5 m at 12 m."),
        ({"ground__obstacles": (Obstacle(at=5.0, high=2.0),)},
         "Something 2.0 m high stands in the way at 5.0 m."),
        ({"ground__obstacles": (Obstacle(at=5.0, low=1.5, high=4.0),)},
         "hangs in the way at 5.0 m, from 1.5 m to 4.0 m above the ball."),
    ],
)  # fmt: skip
def test_what_is_out_of_the_ordinary_is_said(values: dict[str, Any], said: str) -> None:
    assert said in told(**values)
    assert said not in told()


def test_a_band_beside_the_line_is_not_between_ball_and_hole() -> None:
    beside = Band(surface="sand", start=2.0, end=5.0, left=-3.0, right=20.0)
    assert "Sand" not in told(ground__bands=(beside,))


def test_a_surveyed_green_is_not_called_level() -> None:
    found = read_demo("situations/14-surveyed-green.json")
    said = " ".join(words.situation_text(found, METRES))
    assert "slopes as surveyed" in said and "level" not in said
