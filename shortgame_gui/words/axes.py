"""What the axes of a map are called, and their values in the player's units."""

from __future__ import annotations

from dataclasses import dataclass

from shortgame_gui import units
from shortgame_gui.advice.axes import Value
from shortgame_gui.words.language import N_, Phrases
from shortgame_gui.words.numbers import Style

TITLES = Phrases(
    {
        "distance": N_("Distance to the hole"),
        "green_to_work_with": N_("Green to work with"),
        "carry": N_("Distance to carry"),
        "green_speed": N_("Green speed"),
        "firmness": N_("Firmness"),
        "slope": N_("Green rises away"),
        "lie_slope": N_("Slope of the lie"),
        "lie": N_("Lie"),
        "wind": N_("Wind from behind"),
        "level": N_("Player's level"),
    }
)
MEANINGS = Phrases(
    {
        "distance": N_("The ball goes back or forward along the line; all that lies ahead stays."),
        "green_to_work_with": N_("The hole is cut nearer to or farther from the near edge; the edge stays."),
        "carry": N_(
            "The near edge of the green comes nearer to the hole or goes away from it; the hole stays."
        ),
        "green_speed": N_("Stimpmeter reading of the green."),
        "firmness": N_("Impact hammer reading of the ground ahead."),
        "slope": N_("Slope of the green along the line, positive where it rises away from the ball."),
        "lie_slope": N_("Slope under the feet along the line, positive uphill."),
        "lie": N_("What the ball lies on and how it sits, from easy to hard."),
        "wind": N_("Wind along the line, negative against."),
        "level": N_("How well the player strikes the ball."),
    }
)
CHOICES = Phrases(
    {
        "fairway": N_("fairway"),
        "tight": N_("tight"),
        "bare": N_("bare"),
        "first_cut": N_("first cut"),
        "rough_up": N_("rough, sits up"),
        "rough_half_down": N_("rough, half down"),
        "rough_down": N_("rough, down"),
        "rough_nested": N_("rough, nested"),
        "tour": N_("tour"),
        "scratch": N_("scratch"),
        "10": N_("handicap 10"),
        "20": N_("handicap 20"),
        "30": N_("handicap 30"),
        "junior": N_("junior"),
    }
)


@dataclass(frozen=True)
class Unit:
    """How the numbers of an axis are shown: unit in `units`, text behind, decimals, ending of a heading."""

    quantity: str
    key: str
    suffix: str
    decimals: int
    heading: str


_YARDS = Unit("length", "yd", " yd", 1, "yd")
_METRES = Unit("length", "m", " m", 1, "m")
_STIMP = Unit("length", "ft", " ft", 1, "ft")
_HAMMER = Unit("firmness", "g", " g", 0, "g")
_PERCENT = Unit("slope", "%", " %", 1, "percent")
_DEGREES = Unit("slope", "deg", "°", 1, "deg")
_MPH = Unit("speed", "mph", " mph", 0, "mph")
_M_S = Unit("speed", "m/s", " m/s", 1, "m_s")
CHOICE = Unit("", "", "", 0, "")


def unit_of(axis: str, yards: bool) -> Unit:
    """The unit that people use for ``axis``; `CHOICE` for one of choices."""
    return {
        "green_speed": _STIMP,
        "firmness": _HAMMER,
        "slope": _PERCENT,
        "lie_slope": _DEGREES,
        "wind": _MPH if yards else _M_S,
        "lie": CHOICE,
        "level": CHOICE,
    }.get(axis, _YARDS if yards else _METRES)


def shown(axis: str, value: Value, yards: bool) -> float:
    """A number of ``axis`` in people's unit."""
    unit = unit_of(axis, yards)
    return units.convert(float(value), unit.quantity, unit.key)


def heading(axis: str, yards: bool) -> str:
    """The axis with its unit as the heading of a column."""
    unit = unit_of(axis, yards)
    return f"{axis}_{unit.heading}" if unit.heading else axis


def title(axis: str, yards: bool) -> str:
    """The axis with its unit as people read it."""
    unit = unit_of(axis, yards)
    return f"{TITLES[axis]} ({unit.suffix.strip()})" if unit.suffix else TITLES[axis]


def value_text(axis: str, value: Value, style: Style, *, bare: bool = False) -> str:
    """One value of ``axis`` with its unit; ``bare`` without."""
    if isinstance(value, str):
        return CHOICES[value]
    unit = unit_of(axis, style.yards)
    number = style.number(shown(axis, value, style.yards), unit.decimals)
    return number if bare else number + unit.suffix
