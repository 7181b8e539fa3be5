"""Units against the agreements that define them, and texts with units as files and options write them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shortgame_gui import units


@pytest.mark.parametrize(
    ("text", "quantity", "si"),
    [
        # International yard and pound agreement, 1959: 1 yd = 0.9144 m exactly; 3 ft, 36 in. Independent.
        ("1 yd", "length", 0.9144),
        ("30 yd", "length", 27.432),
        ("3 ft", "length", 0.9144),
        ("36 in", "length", 0.9144),
        ("250 mm", "length", 0.25),
        ("-4cm", "length", -0.04),
        # NIST Special Publication 811, appendix B (values from memory): mph, knot, rpm. Independent.
        ("1 mph", "speed", 0.44704),
        ("1 kn", "speed", 1852 / 3600),
        ("1e3 rpm", "spin", 104.7198),
        ("36 km/h", "speed", 10.0),
        ("180 deg", "angle", math.pi),
        # The fixed points of water, and where both scales agree.
        ("32 F", "temperature", 0.0),
        ("212 F", "temperature", 100.0),
        ("-40 F", "temperature", -40.0),
        ("20 C", "temperature", 20.0),
        # Rise over run.
        ("45 deg", "slope", 1.0),
        ("2 %", "slope", 0.02),
        (" .5 ", "slope", 0.5),
        ("85 g", "firmness", 85.0),
        ("85", "firmness", 85.0),
        ("1200", "count", 1200.0),
    ],
)
def test_a_text_is_read_as_its_si_value(text: str, quantity: str, si: float) -> None:
    assert units.parse(text, quantity) == pytest.approx(si, rel=1e-6, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "quantity", "says"),
    [
        ("30 parsec", "length", "unit 'parsec' is not one of m, cm, mm, yd, ft, in"),
        ("30 Yd", "length", "unit 'Yd' is not one of"),
        ("30 yd", "speed", "unit 'yd' is not one of m/s, km/h, mph, kn"),
        ("3 ft 6 in", "length", "is not a number with a unit"),
        ("1,5 m", "length", "write a decimal point, not a comma"),
        ("", "length", "is not a number with a unit"),
        ("nan", "length", "is not a number with a unit"),
        ("1e999 m", "length", "is too large"),
        ("٣ m", "length", "is not a number with a unit"),
        ("90 deg", "slope", "not below 90 deg"),
        ("5 rad", "slope", "unit 'rad' is not one of %, deg"),
        ("5 m", "count", "this is a plain number"),
        ("x" * 500, "length", "'" + "x" * 40 + "...'"),
    ],
)
def test_a_bad_text_is_refused_with_a_sentence(text: str, quantity: str, says: str) -> None:
    with pytest.raises(ValueError) as caught:
        units.parse(text, quantity)
    assert says in str(caught.value)
    assert len(str(caught.value)) < 120


@pytest.mark.parametrize("quantity", units.QUANTITIES)
@given(value=st.floats(-1000.0, 1000.0))
def test_every_unit_reads_back_what_it_shows(quantity: str, value: float) -> None:
    for unit in (*units.units_of(quantity), units.si_unit(quantity)):
        shown = units.convert(value, quantity, unit)
        # tan is steep near a right angle: there the text itself loses digits.
        assert units.parse(f"{shown!r} {unit}", quantity) == pytest.approx(value, rel=1e-9, abs=1e-9)


def test_the_first_unit_of_a_quantity_is_si() -> None:
    for quantity, table in units.QUANTITIES.items():
        assert table[units.si_unit(quantity)] == (1.0, 0.0)


def test_no_unit_means_two_things_in_the_coefficient_table() -> None:
    names = [unit for table in units.QUANTITIES.values() for unit in table if unit not in ("", "%")]
    assert len(names + list(units.COMPOUND)) == len({*names, *units.COMPOUND})
    # "%" is the hundredth of both quantities that have it.
    assert {table["%"] for table in units.QUANTITIES.values() if "%" in table} == {(0.01, 0.0)}


def test_an_unknown_unit_of_the_table_is_refused() -> None:
    assert units.si(2.0, "deg/m") == pytest.approx(2.0 * math.pi / 180.0)
    with pytest.raises(ValueError, match="unit 'degs' is not known"):
        units.si(2.0, "degs")
