"""Air density, viscosity and the wind profile against the standard atmosphere and the surface layer."""

from __future__ import annotations

import numpy as np
import pytest

from shortgame_gui.physics import air
from shortgame_gui.store.coefficients import load

TABLE = load().air


@pytest.mark.parametrize(
    ("altitude", "rho"),
    [
        (0, 1.2250),
        (500, 1.1673),
        (1000, 1.1116),
        (1500, 1.0581),
        (2000, 1.0065),
        (2500, 0.9569),
        (3000, 0.9091),
    ],
)
def test_density_of_the_standard_atmosphere(altitude: float, rho: float) -> None:
    """ISO 2533 table of density by altitude; values from memory, independent of how it is computed here."""
    standard = 15.0 - 0.0065 * altitude
    assert air.density(altitude, standard, TABLE) == pytest.approx(rho, abs=6e-5)


@pytest.mark.parametrize(
    ("celsius", "rho"),
    [(0, 1.2923), (10, 1.2466), (15, 1.2250), (20, 1.2041), (25, 1.1839), (30, 1.1644), (35, 1.1455)],
)
def test_density_of_dry_air_at_sea_level(celsius: float, rho: float) -> None:
    """Textbook table of dry air at 101325 Pa; values from memory, the same ideal gas law."""
    assert air.density(0.0, celsius, TABLE) == pytest.approx(rho, abs=6e-5)


def test_viscosity_at_fifteen_degrees() -> None:
    """ISO 2533: 1.4607e-5 m2/s at sea level; value from memory. The dynamic viscosity there is an input."""
    rho = air.density(0.0, 15.0, TABLE)
    assert air.kinematic_viscosity(15.0, rho, TABLE) == pytest.approx(1.4607e-5, rel=1e-4)


def test_viscosity_of_hot_air() -> None:
    """Sutherland's law in ISO 2533: 1.8955e-5 Pa s at 37 C within 0.3 %; textbook value from memory."""
    rho = air.density(0.0, 37.0, TABLE)
    assert air.kinematic_viscosity(37.0, rho, TABLE) * rho == pytest.approx(1.8955e-5, rel=3e-3)


@pytest.mark.parametrize(
    ("height", "power", "log"),
    [(0.5, 0.652, 0.606), (1, 0.719, 0.697), (2, 0.794, 0.788), (5, 0.906, 0.909), (15, 1.060, 1.053),
     (20, 1.104, 1.091), (30, 1.170, 1.145)],
)  # fmt: skip
def test_wind_over_that_at_ten_metres(height: float, power: float, log: float) -> None:
    """The classic 1/7 power law (the formula under test, worked out apart) and, independent of it, the log
    law over grass of roughness 0.005 m, which it follows within 8 %."""
    share = air.wind_share(np.array([height, 10.0]), TABLE)
    assert share[0] / share[1] == pytest.approx(power, abs=6e-4)
    assert share[0] / share[1] == pytest.approx(log, rel=0.08)


def test_wind_is_given_at_two_metres() -> None:
    assert air.wind_share(np.array([2.0]), TABLE)[0] == 1.0


def test_the_wind_varies_as_over_open_grass() -> None:
    """Neutral air near the ground: its spread over the wind is 1/ln(z/z0), z0 0.03 m over open grass.

    EPA-454/R-99-005, Meteorological Monitoring Guidance (2000), 6.6.3, table 6-10; the formula from memory.
    Between the ten metres of a weather station and the two at which the wind is given here.
    """
    high, low = (1.0 / np.log(z / 0.03) for z in (10.0, 2.0))
    assert high < TABLE.turbulence < low
