"""Strokes to hole out against the tour's published averages, on the reference set of greens.

Source: M. Broadie, "Assessing golfer performance on the PGA TOUR", Interfaces 42(2):146-165 (2012), and
Every Shot Counts (2014); values from memory but for 40 yd from the fairway, which a review quotes. The
engine's scores anchor off the green at these curves from 20 yards, so that the check is not wholly
independent; the finishes, which make most of the strokes from the fairway, are.
"""

from __future__ import annotations

import pytest
from reference_set import strokes

from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.store.coefficients import load
from shortgame_gui.units import YARD

FAIRWAY = {20: 2.40, 40: 2.60, 60: 2.70, 80: 2.75, 100: 2.80}


@pytest.fixture(scope="module")
def table() -> Coefficients:
    return load()


@pytest.mark.parametrize("yards", FAIRWAY)
def test_tour_strokes_from_the_fairway(yards: int, table: Coefficients) -> None:
    found = strokes(table, yards * YARD, "fairway", samples=128)
    assert abs(found - FAIRWAY[yards]) <= 0.25
