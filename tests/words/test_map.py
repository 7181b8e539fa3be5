"""A map in words: short names, values in the player's units, ties by name, and ranges as people type them."""

import pytest

from shortgame_gui.advice.axes import AXES
from shortgame_gui.advice.map import Cell, Map, Scale
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import packaged_bag
from shortgame_gui.words.axes import CHOICES, MEANINGS, TITLES, heading, value_text
from shortgame_gui.words.map import SHORT_TECHNIQUES, cell_text, short_club, short_shot
from shortgame_gui.words.map_range import scale_of
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.text import TECHNIQUES

BAG = packaged_bag()
CLOSE = (("gap wedge", "chip"), ("8-iron", "upright"))
WON = Cell(BAG.find("sand wedge"), "chip", 2.412, 0.03, 0.014, 0.01, CLOSE, CLOSE[0], 64)
MADE = Map(
    Situation(), BAG, Scale("carry", (9.144,)), Scale("green_speed", (3.048, 3.2)), 64, 1, ((WON,), (None,))
)  # fmt: skip


def test_everything_has_words() -> None:
    assert set(TITLES) == set(MEANINGS) == set(AXES)
    assert {c for axis in AXES.values() for c in axis.choices} == set(CHOICES)
    assert set(SHORT_TECHNIQUES) == set(TECHNIQUES)


def test_values_are_in_the_players_units_and_green_speed_in_feet() -> None:
    yards, metres = Style(), Style(yards=False)
    assert value_text("carry", 9.144, yards) == "10.0 yd" and value_text("carry", 9.144, metres) == "9.1 m"
    assert value_text("green_speed", 3.048, yards) == value_text("green_speed", 3.048, metres) == "10.0 ft"
    assert value_text("lie", "rough_down", yards) == "rough, down"
    assert heading("wind", True) == "wind_mph" and heading("wind", False) == "wind_m_s"


def test_a_cell_says_who_wins_by_how_much_and_who_is_as_good() -> None:
    lines = cell_text(MADE, 0, 0, Style()).splitlines()
    assert lines[0] == "Distance to carry 10.0 yd; Green speed 10.0 ft"
    assert lines[1] == "Sand wedge, chip: 2.41 strokes"
    assert lines[2].startswith("0.01 strokes ahead") and "gap wedge, chip" in lines[2]
    assert lines[3] == "Too close to call: gap wedge, chip, 8-iron, upright chip"
    assert "Not worked out" in cell_text(MADE, 0, 1, Style())


@pytest.mark.parametrize(
    "name, short",
    [
        ("60-degree wedge", "60"),
        ("sand wedge", "SW"),
        ("8-iron", "8i"),
        ("putter", "putt"),
        ("4-hybrid", "4h"),
    ],
)
def test_clubs_have_short_names(name: str, short: str) -> None:
    assert short_club(name) == short


def test_ranges_are_read_in_any_unit() -> None:
    scale = scale_of(Situation(), "distance", "20yd:40yd:3")
    assert scale.values == pytest.approx((18.288, 27.432, 36.576))
    assert scale_of(Situation(), "slope", "-4%:4%:5").values == pytest.approx((-0.04, -0.02, 0.0, 0.02, 0.04))
    assert scale_of(Situation(), "level", "tour, 20").values == ("tour", "20")
    assert len(scale_of(Situation(), "wind", None).values) == 20


@pytest.mark.parametrize(
    "code, text, said",
    [
        ("height", None, "height"),
        ("distance", "20yd:40yd", "from:to:steps"),
        ("distance", "40yd:20yd:4", "upwards"),
        ("distance", "20kg:40kg:4", "unit"),
        ("distance", "1:40:4", "distance"),
        ("green_speed", "10ft:10ft:4", "upwards"),
        ("level", "tour,best", "best"),
    ],
)
def test_a_range_that_is_none_is_refused_by_name(code: str, text: str | None, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        scale_of(Situation(), code, text)


def test_a_putt_is_not_said_twice() -> None:
    cells = [
        Cell(BAG.find(club), technique, 2.0, 0.0, 0.0, 0.0, (), None, 8)
        for club, technique in (("putter", "putt"), ("sand wedge", "chip"))
    ]
    assert [short_shot(cell) for cell in cells] == [("putt", ""), ("SW", "chip")]
