"""Air density from altitude and temperature, and how wind grows with height."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import AirTable

Array = npt.NDArray[np.float64]


def pressure(altitude: Array | float, table: AirTable) -> Array:
    """Static pressure in Pa at ``altitude`` in m (n,): ISO 2533, troposphere, p = p0 (T/T0)^(g/(R L))."""
    ratio = 1.0 - table.lapse * np.asarray(altitude, dtype=float) / table.temperature
    return np.asarray(table.pressure * ratio ** (table.gravity / (table.gas_constant * table.lapse)))


def density(altitude: Array | float, celsius: Array | float, table: AirTable) -> Array:
    """Density of dry air in kg/m3 (n,) at ``altitude`` in m and the measured temperature ``celsius``.

    ISO 2533 pressure with the ideal gas law; the temperature is the player's, not the standard one.
    """
    kelvin = np.asarray(celsius, dtype=float) + 273.15
    return np.asarray(pressure(altitude, table) / (table.gas_constant * kelvin))


def kinematic_viscosity(celsius: Array | float, rho: Array, table: AirTable) -> Array:
    """Kinematic viscosity in m2/s (n,): Sutherland's law as in ISO 2533, anchored at 15 C."""
    kelvin = np.asarray(celsius, dtype=float) + 273.15
    t0 = table.temperature
    mu = table.viscosity * (kelvin / t0) ** 1.5 * (t0 + table.sutherland) / (kelvin + table.sutherland)
    return np.asarray(mu / rho)


def wind_share(height: Array, table: AirTable) -> Array:
    """Wind at ``height`` in m above the local ground over the wind at the reference height (n,).

    Power law of the atmospheric surface layer; towards the ground it passes smoothly to the wind at the
    floor, as a corner would be in the way of every ball.
    """
    low = table.wind_floor**2
    share = (height * height + low) * (1.0 / (table.wind_height**2 + low))
    return np.asarray(share ** (0.5 * table.wind_exponent))
