"""Numbers as people read them: yards or metres, point or comma, no minus before a zero."""

import pytest

from shortgame_gui.words.numbers import Style

YARDS, METRES, COMMA = Style(), Style(yards=False), Style(yards=False, decimal=",")

# Expected texts by the international agreement of 1959 (1 yd = 0.9144 m), reckoned apart from the code.


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (YARDS.long(9.144), "10 yd"), (METRES.long(9.144), "9 m"), (YARDS.long(9.144, 1), "10.0 yd"),
        (YARDS.short(0.9144), "3.0 ft"), (METRES.short(0.9144), "0.9 m"), (COMMA.short(0.9144), "0,9 m"),
        (YARDS.fine(0.0254), "1.0 in"), (METRES.fine(0.0254), "3 cm"),
        (YARDS.speed(44.704), "100 mph"), (METRES.speed(44.704), "44.7 m/s"),
        (COMMA.speed(44.704), "44,7 m/s"),
        (YARDS.degrees(0.7853981634), "45°"), (YARDS.spin(314.159265), "3000 rpm"),
        (YARDS.percent(0.256), "26 %"), (YARDS.strokes(2.347), "2.35"), (COMMA.strokes(2.347), "2,35"),
    ],
)  # fmt: skip
def test_in_the_players_units(said: str, expected: str) -> None:
    assert said == expected


@pytest.mark.parametrize("style", [YARDS, COMMA])
def test_zero_has_no_minus(style: Style) -> None:
    assert style.number(-0.04) == style.number(0.04) == style.number(0.0)
    assert style.number(-0.06).startswith("-")
    assert style.percent(-0.001) == "0 %"


def test_no_group_signs_and_no_exponents() -> None:
    assert Style().number(1234567.0, 0) == "1234567"
    assert Style().number(0.000012, 2) == "0.00"


def test_the_rings_are_the_players() -> None:
    assert Style(yards=False).rings == (1.0, 2.0, 3.0)
    assert [Style().short(radius, 0) for radius in Style().rings] == ["3 ft", "6 ft", "10 ft"]
