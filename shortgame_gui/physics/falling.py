"""Where a value falls through zero, for many balls at once: how flights meet the ground."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]

HALVED = 12
"""Rounds after which the interval is only halved."""
MOST_ROUNDS = 60


def falls(
    value: Callable[[Array], Array], low: Array, high: Array, at_high: Array, guess: Array, close: float
) -> Array:
    """Places (n,) between ``low`` and ``high`` where ``value`` is zero, positive before and negative behind.

    ``at_high`` <= 0 is the value at the upper end, ``guess`` is where to look first; a value less than
    ``close`` away from zero will do. Secant rule, with the interval known to hold the place halved where the
    rule leads out of it. Each ball stops by itself, so that its answer does not depend on the rest.
    """
    met = at_high > -close
    place, before, at_before = np.where(met, high, guess), high, at_high
    for number in range(MOST_ROUNDS):
        if np.count_nonzero(met) == len(met):
            break
        now = value(place)
        met |= np.abs(now) < close
        under = now <= 0.0
        low, high = np.where(under, low, place), np.where(under, place, high)
        rise = now - at_before
        with np.errstate(divide="ignore", invalid="ignore"):
            following = place - now * (place - before) / rise
        middle = 0.5 * (low + high)
        if number < HALVED:
            following = np.where((following > low) & (following < high), following, middle)
        else:
            following = middle
        before, at_before = place, now
        place = np.where(met, place, following)
    return place
