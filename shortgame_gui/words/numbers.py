"""Numbers as people read them: the player's units and the locale's decimal sign."""

from __future__ import annotations

from dataclasses import dataclass

from shortgame_gui.units import DEGREE, FOOT, MPH, RPM, YARD

FAR = 10.0 * YARD
"""Distance from the hole in m from which nobody speaks of feet, nor of tenths of a metre."""


@dataclass(frozen=True)
class Style:
    """How numbers are written: ``yards`` for yards and feet, else metres; ``decimal`` the decimal sign."""

    yards: bool = True
    decimal: str = "."

    @property
    def rings(self) -> tuple[float, float, float]:
        """Radii in m of the rings round the hole that the player knows: 3, 6 and 10 ft, or 1, 2 and 3 m."""
        return (3.0 * FOOT, 6.0 * FOOT, 10.0 * FOOT) if self.yards else (1.0, 2.0, 3.0)

    def number(self, value: float, digits: int = 1) -> str:
        """``value`` with ``digits`` decimals, no minus before a zero."""
        text = f"{value:.{digits}f}"
        if float(text) == 0.0:
            text = text.lstrip("-")
        return text.replace(".", self.decimal)

    def long(self, metres: float, digits: int = 0) -> str:
        """A length on the course: yards or metres."""
        return (
            f"{self.number(metres / YARD, digits)} yd" if self.yards else f"{self.number(metres, digits)} m"
        )

    def short(self, metres: float, digits: int = 1) -> str:
        """A length near the hole: feet or metres."""
        return (
            f"{self.number(metres / FOOT, digits)} ft" if self.yards else f"{self.number(metres, digits)} m"
        )

    def gap(self, metres: float) -> str:
        """A length from the hole: as one near it, from `FAR` on as one on the course."""
        return self.long(metres) if metres >= FAR else self.short(metres)

    def fine(self, metres: float) -> str:
        """A length on a club or in the stance: inches or centimetres."""
        if self.yards:
            return f"{self.number(metres / FOOT * 12.0, 1)} in"
        return f"{self.number(metres * 100.0, 0)} cm"

    def speed(self, metres_per_second: float, digits: int = 0) -> str:
        """A speed: miles an hour with ``digits`` decimals, or metres a second with one."""
        if self.yards:
            return f"{self.number(metres_per_second / MPH, digits)} mph"
        return f"{self.number(metres_per_second, 1)} m/s"

    def degrees(self, radians: float) -> str:
        """An angle in degrees."""
        return f"{self.number(radians / DEGREE, 0)}°"

    def spin(self, radians_per_second: float) -> str:
        """Spin in revolutions a minute."""
        return f"{self.number(round(radians_per_second / RPM, -1), 0)} rpm"

    def percent(self, share: float, digits: int = 0) -> str:
        """A chance, a share or a slope in per cent."""
        return f"{self.number(100.0 * share, digits)} %"

    def strokes(self, value: float) -> str:
        """Strokes with two decimals."""
        return self.number(value, 2)
