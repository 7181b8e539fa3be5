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

PUBLISHED = {
    "fairway": {20: 2.40, 40: 2.60, 60: 2.70, 80: 2.75, 100: 2.80},
    "rough": {20: 2.59, 40: 2.78},
    "sand": {20: 2.53, 40: 2.82, 80: 3.24},
}
NEAR = {
    "fairway": {20: 0.10, 40: 0.10, 60: 0.10, 80: 0.10, 100: 0.10},
    "rough": {20: 0.15, 40: 0.20},
    "sand": {20: 0.15, 40: 0.20, 80: 0.25},
}


@pytest.fixture(scope="module")
def table() -> Coefficients:
    return load()


@pytest.mark.parametrize(("lie", "yards"), [(lie, yards) for lie in PUBLISHED for yards in PUBLISHED[lie]])
def test_tour_strokes(lie: str, yards: int, table: Coefficients) -> None:
    """With one set of the tour's spreads for all.

    From sand at 80 yards the engine needs 0.22 fewer: it has every ball lie clean and no lip ahead.

    On few samples the best of some fifty shots looks better than it is: by 0.02 on 96 of them.
    """
    found = strokes(table, yards * YARD, lie, samples=512)
    assert abs(found - PUBLISHED[lie][yards]) <= NEAR[lie][yards]
