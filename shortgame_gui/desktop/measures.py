"""The units that the player wants to see, and the decimal sign; the window converts nowhere else.

Green speed is always in feet of stimp, greens slope in percent and stances in degrees, whatever is chosen.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from PySide6.QtCore import QLocale, QObject, Signal

from shortgame_gui import units
from shortgame_gui.model.base import FieldError
from shortgame_gui.model.fields import Field
from shortgame_gui.words.language import N_, _
from shortgame_gui.words.numbers import Style

System = Literal["yards", "metres"]
SYSTEMS: tuple[System, ...] = ("yards", "metres")
Decimal = Literal["desktop", "point", "comma"]
DECIMALS: tuple[Decimal, ...] = ("desktop", "point", "comma")


@dataclass(frozen=True)
class Unit:
    """How one number is shown: its unit in `units`, the text behind it, decimals, step of a spin box."""

    quantity: str
    key: str
    suffix: str
    decimals: int
    step: float

    def shown(self, si: float) -> float:
        """The SI value in this unit, free of rounding dust."""
        return round(units.convert(si, self.quantity, self.key), 9)

    def si(self, shown: float) -> float:
        """A number in this unit as SI."""
        return units.parse(f"{shown!r} {self.key}", self.quantity)

    def text(self, si: float, *, signed: bool = False) -> str:
        """The number with its unit, in the locale's writing."""
        value = round(self.shown(si), self.decimals) + 0.0
        sign = "+" if signed and value > 0 else ""
        return f"{sign}{QLocale().toString(value, 'f', self.decimals)}{self.suffix}"


YARDS = Unit("length", "yd", " yd", 1, 0.5)
METRES = Unit("length", "m", " m", 1, 0.5)
FEET = Unit("length", "ft", " ft", 1, 0.5)
HEIGHT_FEET = Unit("length", "ft", " ft", 0, 100.0)
HEIGHT_METRES = Unit("length", "m", " m", 0, 50.0)
SHORT_METRES = Unit("length", "m", " m", 2, 0.1)
INCHES = Unit("length", "in", " in", 2, 0.25)
CENTIMETRES = Unit("length", "cm", " cm", 1, 0.5)
STIMP = Unit("length", "ft", " ft", 1, 0.5)
MILES_AN_HOUR = Unit("speed", "mph", " mph", 1, 1.0)
METRES_A_SECOND = Unit("speed", "m/s", " m/s", 1, 0.5)
FAHRENHEIT = Unit("temperature", "F", " °F", 0, 1.0)
CELSIUS = Unit("temperature", "C", " °C", 0, 1.0)
PERCENT = Unit("slope", "%", " %", 1, 0.5)
DEGREES_OF_SLOPE = Unit("slope", "deg", "°", 1, 1.0)
DEGREES = Unit("angle", "deg", "°", 1, 1.0)
HAMMER = Unit("firmness", "g", " g", 0, 5.0)
SHARE = Unit("share", "%", " %", 0, 5.0)
GRADES = Unit("count", "", N_(" grades"), 2, 0.25)
COUNT = Unit("count", "", "", 0, 1.0)


HEIGHTS = ("low", "high")
"""Fields that are heights although their steps are as coarse as those of distances."""


def locale_with(decimal: Decimal) -> QLocale:
    """The desktop's locale, or one that writes this decimal sign; never with separators of thousands.

    A separator would be taken for the decimal sign of the other half of the world.
    """
    if decimal == "desktop":
        made = QLocale.system()
    else:
        made = QLocale(QLocale.Language.German if decimal == "comma" else QLocale.Language.C)
    made.setNumberOptions(QLocale.NumberOption.OmitGroupSeparator | QLocale.NumberOption.RejectGroupSeparator)
    return made


class Measures(QObject):
    """The system in force; `changed` tells every widget to write its numbers anew."""

    changed = Signal()

    def __init__(
        self, system: System = "yards", parent: QObject | None = None, decimal: Decimal = "desktop"
    ) -> None:
        super().__init__(parent)
        self._system: System = system
        self._decimal: Decimal = decimal
        QLocale.setDefault(locale_with(decimal))

    @property
    def system(self) -> System:
        return self._system

    def switch(self, system: System) -> None:
        """Use yards and feet, or metres, from now on."""
        if system != self._system:
            self._system = system
            self.changed.emit()

    @property
    def decimal(self) -> Decimal:
        return self._decimal

    def write_with(self, decimal: Decimal) -> None:
        """Write numbers with this decimal sign from now on; files always have a point."""
        if decimal != self._decimal:
            self._decimal = decimal
            QLocale.setDefault(locale_with(decimal))
            self.changed.emit()

    @property
    def yards(self) -> bool:
        return self._system == "yards"

    @property
    def style(self) -> Style:
        """The same choice for sentences, with the locale's decimal sign."""
        return Style(yards=self.yards, decimal=QLocale().decimalPoint())

    @property
    def distance(self) -> Unit:
        """For distances along the ground."""
        return YARDS if self.yards else METRES

    @property
    def short(self) -> Unit:
        """For heights and for what is paced rather than measured: feet, or metres."""
        return FEET if self.yards else METRES

    def of(self, field: Field) -> Unit:
        """How the number of ``field`` is shown."""
        kind, file_unit = field.quantity, field.file_unit
        step = (field.meta.extra or {}).get("step") or 0.0
        if kind == "length":
            if file_unit == "ft":
                return STIMP
            if file_unit == "cm":
                return INCHES if self.yards else CENTIMETRES
            if step >= 50.0:
                return HEIGHT_FEET if self.yards else HEIGHT_METRES
            if step <= 0.1 or field.name in HEIGHTS:
                return FEET if self.yards else SHORT_METRES
            return self.distance
        if kind == "slope":
            return DEGREES_OF_SLOPE if file_unit == "deg" else PERCENT
        if kind == "speed":
            return MILES_AN_HOUR if self.yards else METRES_A_SECOND
        if kind == "temperature":
            return FAHRENHEIT if self.yards else CELSIUS
        if kind == "count" and 0.0 < step < 1.0:
            return replace(GRADES, suffix=_(GRADES.suffix))
        return {"angle": DEGREES, "firmness": HAMMER, "share": SHARE}.get(kind, COUNT)

    def problem(self, error: FieldError) -> str:
        """Why a value cannot stand: a bound that it passes is told in the units that are shown."""
        if error.passed is None:
            return error.problem
        field, bound = error.passed
        words = _("must be at most {limit}") if bound == field.meta.le else _("must be at least {limit}")
        return words.format(limit=self.of(field).text(bound))
