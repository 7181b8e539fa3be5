"""The one table is complete: each coefficient once, with value, unit, standing, source, and none unread."""

import math
import re
from typing import Any, get_args

import msgspec
import pytest

from shortgame_gui import assets
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import BandSurface, Surface
from shortgame_gui.model.lie import LieGround, Sits
from shortgame_gui.model.player import LEVELS, TECHNIQUES
from shortgame_gui.store.coefficients import (
    COLUMNS,
    STANDINGS,
    STATED,
    TABLE,
    Row,
    build,
    load,
    parse_rows,
    rows,
)
from shortgame_gui.units import COMPOUND, DEGREE, QUANTITIES, si

ROWS = list(rows())
NAMES = [row.name for row in ROWS]
HEAD = ",".join(COLUMNS) + "\n"


def plain_names(tree: dict[str, Any], before: str = "") -> list[str]:
    """Dotted names of the numbers in plain data: the typed form as msgspec tells it, not our reader."""
    out: list[str] = []
    for key, value in tree.items():
        out += plain_names(value, f"{before}{key}.") if isinstance(value, dict) else [before + key]
    return out


def test_every_row_is_whole() -> None:
    assert len(ROWS) > 400
    for row in ROWS:
        assert re.fullmatch(r"[a-z0-9_]+(\.[a-z0-9_]+)+", row.name), row
        assert math.isfinite(row.value), row
        assert row.unit in COMPOUND or any(row.unit in table for table in QUANTITIES.values()), row
        assert row.standing in STANDINGS, row
        assert len(row.source.split()) >= 2, row


def test_the_rows_read_are_all_rows_of_the_file() -> None:
    # Counted without the reader: names before the first comma.
    lines = assets.text(TABLE).splitlines()
    assert [line.partition(",")[0] for line in lines[1:]] == NAMES


def test_a_published_row_names_who_published_it() -> None:
    for row in ROWS:
        if row.standing == "estimate":
            continue
        named = re.search(
            r"\d{4}|Rules of Golf|Journal|power law|common practice|stimpmeter", row.source, re.I
        )
        assert named or "as quoted" in row.source, row


def test_no_name_stands_twice() -> None:
    assert len(set(NAMES)) == len(NAMES)


def test_every_number_of_the_typed_form_has_its_row_and_none_is_left_over() -> None:
    held = plain_names(msgspec.to_builtins(load()))
    assert set(held) - set(NAMES) == STATED
    assert set(NAMES) <= set(held)


def test_values_are_in_si() -> None:
    tree = msgspec.to_builtins(load())
    for row in ROWS:
        value = tree
        for part in row.name.split("."):
            value = value[part]
        factor = {"deg": DEGREE, "deg/m": DEGREE, "%": 0.01, "mm": 0.001, "ft": 0.3048, "yd": 0.9144}.get(
            row.unit, 1
        )
        assert value == pytest.approx(row.value * factor, rel=1e-12), row


def test_whatever_the_golfer_can_name_has_its_rows() -> None:
    table = load()
    assert set(table.level) == set(LEVELS)
    assert set(table.technique) == set(TECHNIQUES)
    assert set(table.lie) == set(get_args(LieGround))
    assert set(table.sits) == set(get_args(Sits))
    assert set(table.surface) == set(get_args(BandSurface))
    assert set(get_args(BandSurface)) == {*get_args(Surface), "green"}


def test_the_reader_refuses_any_missing_row_by_name() -> None:
    loose = ("swing.", "baseline.")  # lists of any length: the engine takes what is there
    fixed = [row for row in ROWS if not row.name.startswith(loose)]
    assert len(fixed) > 300
    for row in fixed:
        with pytest.raises(ValueError) as caught:
            build([other for other in ROWS if other is not row])
        assert str(caught.value) == f"coefficient {row.name} is missing from the table"


@pytest.mark.parametrize(
    "name",
    ["flight.magic", "magic.flight", "surface.lava.friction", "lie.rough.grass", "surface.green.deceleration",
     "level.40.head_speed", "technique.chip.magic"],
)  # fmt: skip
def test_the_reader_refuses_a_row_that_nothing_reads(name: str) -> None:
    with pytest.raises(ValueError, match=f"^coefficient {re.escape(name)} is not one that the engine reads$"):
        build([*ROWS, Row(name, 1.0, "1", "estimate", "our engineering estimate")])


def test_the_reader_refuses_a_row_given_twice() -> None:
    with pytest.raises(ValueError, match=r"^coefficient ball\.mass stands twice in the table$"):
        build([*ROWS, next(row for row in ROWS if row.name == "ball.mass")])


@pytest.mark.parametrize("name", ["ball", "ball.mass.more", "lie"])
def test_the_reader_refuses_a_row_in_place_of_a_group(name: str) -> None:
    extra = Row(name, 1.0, "1", "estimate", "our engineering estimate")
    for rows_ in ([*ROWS, extra], [extra, *ROWS]):
        with pytest.raises(ValueError, match=r"^coefficient (ball|lie)"):
            build(rows_)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (
            "ball.mass,,kg,published,a source",
            "coefficient ball.mass must have name, value, unit, standing, source",
        ),
        ("ball.mass,1,,published,a source", "coefficient ball.mass must have"),
        ("ball.mass,1,kg,,a source", "coefficient ball.mass must have"),
        ("ball.mass,1,kg,published,", "coefficient ball.mass must have"),
        ("ball.mass,1,kg,published", "coefficient ball.mass must have"),
        ("ball.mass,1,kg,published,one,two", "coefficient ball.mass must have"),
        (",1,kg,published,a source", "coefficient ? must have"),
        ("ball.mass,1,stone,published,a source", "coefficient ball.mass: unit 'stone' is not known"),
        ("ball.mass,heavy,kg,published,a source", "coefficient ball.mass: could not convert"),
        ("ball.mass,nan,kg,published,a source", "coefficient ball.mass must be a finite number"),
        ("ball.mass,1,kg,guessed,a source", "coefficient ball.mass has the standing 'guessed', not one of"),
    ],
)
def test_a_row_that_lacks_something_is_refused_by_name(line: str, says: str) -> None:
    with pytest.raises(ValueError) as caught:
        parse_rows(HEAD + line + "\n")
    assert str(caught.value).startswith(says)


def test_a_table_without_its_columns_is_refused() -> None:
    for text in ("", "name,value\n", "ball.mass,1,kg,published,a source\n"):
        with pytest.raises(
            ValueError, match="must begin with the columns name, value, unit, standing, source"
        ):
            parse_rows(text)


def test_a_row_is_read_as_it_stands() -> None:
    (row,) = parse_rows(HEAD + 'turf.tilt,2.5,deg,estimate,"one, two"\n')
    assert row == Row("turf.tilt", 2.5, "deg", "estimate", "one, two")
    assert si(row.value, row.unit) == pytest.approx(2.5 * DEGREE)


def test_the_typed_form_cannot_be_changed() -> None:
    assert isinstance(load(), Coefficients)
    with pytest.raises(AttributeError):
        load().ball.mass = 1.0  # type: ignore[misc]
