"""The air's forces on a ball in flight: drag, lift, wind and the loss of spin.

A. J. Smits and D. R. Smith, "A new aerodynamic model of a golf ball in flight" (Science and Golf II, 1994;
value from memory), for an arbitrary spin axis as in G. Robinson and I. Robinson, Phys. Scr. 88:018101 (2013).
Outside the fit's range drag and lift level off, and lift falls at low Reynolds number.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import AirTable, Ball, Flight
from shortgame_gui.physics import air as air_law

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]

WIDE = 3000
"""Balls from which several states of each are worked out one after the other: small arrays stay in memory
that is at hand, where large ones would be asked of the system each time."""

NEXT, LAST = np.array([1, 2, 0]), np.array([2, 0, 1])
"""Of each component of a vector, in a circle."""


@dataclass(frozen=True)
class Air:
    """The air as n balls meet it, (n,) each."""

    density: Array
    """kg/m3."""
    viscosity: Array
    """Kinematic viscosity in m2/s."""
    wind_x: Array
    """Wind along x in m/s at the reference height."""
    wind_y: Array
    """Wind along y (to the left) in m/s at the reference height."""


def lift_coefficient(spin_ratio: Array, reynolds: Array, table: Flight) -> Array:
    """Lift coefficient (n,) at the spin ratio S = r omega / V and the Reynolds number, (n,) each.

    Smits and Smith 1994, C_L = scale S^power, inside the fit; beyond it a smooth hold, and a smooth fall
    at low Reynolds number (our continuation, an estimate: no published fit covers short shots). The hold
    is the mean of power -sharpness of fit and hold, written so that it takes few powers.
    """
    sharp = table.lift_hold_sharpness
    fit = (table.lift_scale / table.lift_hold) ** sharp * spin_ratio ** (table.lift_power * sharp)
    held = table.lift_hold * (fit / (1.0 + fit)) ** (1.0 / sharp)
    t = (reynolds - table.lift_reynolds_low) * (1.0 / (table.lift_reynolds_high - table.lift_reynolds_low))
    t = np.minimum(np.maximum(t, 0.0), 1.0)
    return np.asarray(held * (t * t * (3.0 - 2.0 * t)))


def drag_coefficient(spin_ratio: Array, table: Flight) -> Array:
    """Drag coefficient (n,): Smits and Smith 1994 without the small Reynolds term, held at high spin.

    The hold is smooth: the mean of power -4 of the spin ratio and its hold stands for the spin ratio.
    """
    share = spin_ratio * (1.0 / table.drag_spin_hold)
    square = share * share
    held = spin_ratio / np.sqrt(np.sqrt(1.0 + square * square))
    return np.asarray(table.drag_base + table.drag_spin * held)


class Forces:
    """Rates of change of n balls in the air: what does not change on their way.

    Without spin; `about` an axis there is lift as well.
    """

    def __init__(self, air: Air, ball: Ball, air_table: AirTable, table: Flight) -> None:
        self.table, self.air_table = table, air_table
        self.radius, self.gravity = ball.radius, air_table.gravity
        self.k = (0.5 * np.pi * ball.radius**2 / ball.mass) * air.density
        self.reynolds = 2.0 * ball.radius / air.viscosity
        self.wind = np.array([air.wind_x, air.wind_y])
        self.in_wind = (self.wind[0] != 0.0) | (self.wind[1] != 0.0)
        """Which of the balls meet wind, (n,); and whether any may."""
        self.windy = bool(np.count_nonzero(self.in_wind))
        self.axes = np.zeros((2, 3, len(self.k)))

    def about(self, axis: Array) -> Forces:
        """The same for balls that spin about ``axis`` (3, n), unit vectors."""
        new = object.__new__(Forces)
        new.__dict__ |= self.__dict__
        new.axes = np.array([axis.take(NEXT, axis=0), axis.take(LAST, axis=0)])
        return new

    def take(self, index: Index) -> Forces:
        """The same for the balls in ``index``."""
        new = object.__new__(Forces)
        new.__dict__ |= self.__dict__
        new.k, new.reynolds = self.k.take(index), self.reynolds.take(index)
        new.axes = self.axes.take(index, axis=2)
        if self.windy:
            new.wind, new.in_wind = self.wind.take(index, axis=1), self.in_wind.take(index)
        return new

    def __call__(self, state: Array, above: Array | None) -> Array:
        """Acceleration and rate of spin loss of ``state`` (velocity and spin rate), (4, n) or (4, k, n).

        ``above`` (n,) or (k, n) is the height above the local ground in m, which the wind depends on.
        """
        several = state.ndim > 2
        if several and state.shape[-1] > WIDE:
            rates = np.empty_like(state)
            for k in range(state.shape[1]):
                rates[:, k] = self(state[:, k], above if above is None else above[k])
            return rates
        v, omega = state[:3], state[3]
        if self.windy and above is not None:
            v = v.copy()
            level, wind = v[:2], self.wind[:, None] if several else self.wind
            level -= wind * air_law.wind_share(above, self.air_table)
        square = v * v
        # The small speed keeps the spin ratio finite where a ball hangs still in the air.
        speed = np.sqrt(square[0] + square[1] + square[2])
        speed += 1e-9
        ratio = omega * self.radius
        ratio /= speed
        pressure = self.k * speed
        cd = pressure * drag_coefficient(ratio, self.table)
        pressure *= lift_coefficient(ratio, self.reynolds * speed, self.table)
        rate = np.empty_like(state)
        force, down, slows = rate[:3], rate[2], rate[3]
        # Lift acts along axis x velocity; its length carries the sine of the angle between the two.
        first, second = self.axes[:, :, None] if several else self.axes
        np.multiply(first, v.take(LAST, axis=0), out=force)
        force -= second * v.take(NEXT, axis=0)
        force *= pressure
        force -= cd * v
        down -= self.gravity
        np.multiply(speed, (-self.table.spin_decay / self.radius), out=slows)
        slows *= omega
        return rate
