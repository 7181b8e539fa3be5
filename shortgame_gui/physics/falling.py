"""Where a value falls through zero, for many balls at once: how flights and hops meet the ground."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]

MOST_ROUNDS = 60


def falls(
    value: Callable[[Array], Array],
    low: Array,
    high: Array,
    at_low: Array,
    at_high: Array,
    met: Mask,
    close: Callable[[Array, Array], Mask],
) -> Array:
    """Places (n,) between ``low`` and ``high`` where ``value`` is zero, positive before and negative behind.

    ``at_low`` > 0 and ``at_high`` <= 0 are the values at the ends; balls that have ``met`` it already stay at
    ``high``. ``close`` says of place and value, (n,) each, whether that will do. False position with the
    Illinois rule (M. Dowell and P. Jarratt, BIT 11:168, 1971; value from memory). Each ball stops by itself,
    so that its answer does not depend on the rest.
    """
    place, side, met = high, np.zeros(len(low)), met.copy()
    for _ in range(MOST_ROUNDS):
        if met.all():
            break
        span = np.maximum(at_low - at_high, 1e-15)
        place = np.where(met, place, low + (high - low) * at_low / span)
        now = value(place)
        met |= close(place, now)
        under = now <= 0.0
        at_low = np.where(under, np.where(side > 0.0, 0.5 * at_low, at_low), now)
        at_high = np.where(under, now, np.where(side < 0.0, 0.5 * at_high, at_high))
        low, high = np.where(under, low, place), np.where(under, place, high)
        side = np.where(under, 1.0, -1.0)
    return place
