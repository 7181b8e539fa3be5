"""The only place where yards, feet, degrees and rpm exist; everything inside the program is SI.

Exact factors are those of the international yard and pound agreement of 1959 (1 yd = 0.9144 m).
"""

from __future__ import annotations

import math
import re
from typing import Final

YARD: Final = 0.9144
FOOT: Final = 0.3048
INCH: Final = 0.0254
DEGREE: Final = math.pi / 180.0
RPM: Final = 2.0 * math.pi / 60.0
MPH: Final = 1609.344 / 3600.0

#: quantity -> unit as written in files and options -> (factor, offset) to the SI value; the first is SI
QUANTITIES: Final[dict[str, dict[str, tuple[float, float]]]] = {
    "length": {
        "m": (1.0, 0.0),
        "cm": (0.01, 0.0),
        "mm": (0.001, 0.0),
        "yd": (YARD, 0.0),
        "ft": (FOOT, 0.0),
        "in": (INCH, 0.0),
    },
    "speed": {"m/s": (1.0, 0.0), "km/h": (1.0 / 3.6, 0.0), "mph": (MPH, 0.0), "kn": (1852.0 / 3600.0, 0.0)},
    "angle": {"rad": (1.0, 0.0), "deg": (DEGREE, 0.0)},
    # A slope is rise over run; "deg" is handled apart because the tangent is not a factor.
    "slope": {"": (1.0, 0.0), "%": (0.01, 0.0)},
    # Degrees Celsius stand for SI here: people state nothing in kelvin.
    "temperature": {"C": (1.0, 0.0), "F": (5.0 / 9.0, -32.0 * 5.0 / 9.0)},
    "firmness": {"g": (1.0, 0.0)},
    "spin": {"rad/s": (1.0, 0.0), "rpm": (RPM, 0.0)},
    "density": {"kg/m3": (1.0, 0.0)},
    "share": {"": (1.0, 0.0), "%": (0.01, 0.0)},
    "count": {"": (1.0, 0.0)},
}

#: further units of the coefficient table -> factor to SI; "1" is a plain number
COMPOUND: Final[dict[str, float]] = {
    "1": 1.0,
    "1/m": 1.0,
    "1/m2": 1.0,
    "1/rad": 1.0,
    "m/rad": 1.0,
    "J/(kg K)": 1.0,
    "K": 1.0,
    "K/m": 1.0,
    "Pa": 1.0,
    "Pa s": 1.0,
    "kg": 1.0,
    "m/s2": 1.0,
    "s": 1.0,
    "s/m": 1.0,
    "s2/m2": 1.0,
    "deg/m": DEGREE,
}

NUMBER: Final = r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?"
"""Regular expression of a number as files and options write it, for the published schemas too."""
_TEXT = re.compile(rf"\s*({NUMBER})\s*(\S*)\s*")


def units_of(quantity: str) -> tuple[str, ...]:
    """The units that texts of ``quantity`` may have, SI first; raises KeyError for an unknown quantity."""
    named = tuple(unit for unit in QUANTITIES[quantity] if unit)
    return (*named, "deg") if quantity == "slope" else named


def si_unit(quantity: str) -> str:
    """The unit of a plain number of ``quantity``; empty for a ratio or a count."""
    return next(iter(QUANTITIES[quantity]))


def parse(text: str, quantity: str) -> float:
    """SI value of a number with a unit such as ``"30 yd"``; a number alone is SI.

    ``text`` uses a decimal point (files and options never follow the locale); ``quantity`` is a key of
    `QUANTITIES`. Raises ValueError with a sentence when the text is no number or the unit is not one of
    the quantity's, and KeyError for an unknown quantity.
    """
    shown = repr(text if len(text) <= 40 else text[:40] + "...")
    match = _TEXT.fullmatch(text)
    if match is None:
        hint = ": write a decimal point, not a comma" if "," in text else ""
        raise ValueError(f"{shown} is not a number with a unit{hint}")
    number, unit = float(match[1]), match[2]
    if not math.isfinite(number):
        raise ValueError(f"{shown} is too large")
    if quantity == "slope" and unit == "deg":
        if abs(number) >= 90.0:
            raise ValueError(f"a slope of {shown} is not below 90 deg")
        return math.tan(number * DEGREE)
    table = QUANTITIES[quantity]
    if unit not in table and unit != "":
        known = units_of(quantity)
        allowed = f"one of {', '.join(known)}" if known else "wanted: this is a plain number"
        raise ValueError(f"unit {unit[:20]!r} is not {allowed}")
    factor, offset = table.get(unit, (1.0, 0.0))
    return number * factor + offset


def convert(value: float, quantity: str, unit: str) -> float:
    """SI ``value`` in ``unit``, the inverse of `parse`; raises KeyError for an unknown unit or quantity."""
    if quantity == "slope" and unit == "deg":
        return math.degrees(math.atan(value))
    factor, offset = QUANTITIES[quantity][unit]
    return (value - offset) / factor


def si(value: float, unit: str) -> float:
    """SI value of ``value`` in ``unit``, one of `QUANTITIES` or `COMPOUND`; raises ValueError for another."""
    if unit in COMPOUND:
        return value * COMPOUND[unit]
    for table in QUANTITIES.values():
        if unit and unit in table:
            factor, offset = table[unit]
            return value * factor + offset
    raise ValueError(f"unit {unit[:20]!r} is not known")
