"""How far any ground rises above a chord: what it says is never too little, and near enough to be of use."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest

from shortgame_gui.model.survey import HeightGrid
from shortgame_gui.physics.ground import SURFACES, WIDE, DrawnGround, Ground, Strip, plane
from shortgame_gui.physics.survey import SurveyedGround
from shortgame_gui.physics.tilt import Tilted
from shortgame_gui.physics.turned import Turned

Array = npt.NDArray[np.float64]

GREEN = [Strip(SURFACES.index("green"), -WIDE, WIDE)]
BANKS = DrawnGround(
    [([(-8.0, 0.5), (-2.0, 0.0), (1.0, 0.2), (1.3, 0.9), (6.0, -0.4), (20.0, 1.0)], 0.03, GREEN)]
)
LEVEL = DrawnGround([([], 0.0, GREEN)])


def surveyed(drawn: DrawnGround, spacing: float = 1.0, seed: int = 3) -> SurveyedGround:
    heights = np.random.default_rng(seed).normal(0.0, 0.15, (40, 50)).cumsum(axis=1).cumsum(axis=0) / 6.0
    grid = HeightGrid(0.0, 0.0, spacing, heights)
    ball = spacing * np.array([[20.0], [15.0]])
    return SurveyedGround(grid, ball, ball + spacing * np.array([[8.0], [6.0]]), drawn)


def tilted(ground: Ground) -> Tilted:
    one = np.ones(1)
    return Tilted(ground, np.zeros(1, dtype=np.intp), 0.05 * one, -0.02 * one, 2.0 * one, 9.0 * one)


GROUNDS = {
    "plane": plane(0.1, -0.05), "drawn": BANKS, "tilted": tilted(BANKS),
    "turned": Turned(BANKS, np.array([0.8])),
    "surveyed": surveyed(LEVEL), "fine survey": surveyed(LEVEL, 0.3, 4), "bank on a survey": surveyed(BANKS),
    "turned survey": Turned(surveyed(LEVEL), np.array([2.0])), "tilted survey": tilted(surveyed(LEVEL)),
}  # fmt: skip


@pytest.mark.parametrize("name", GROUNDS)
def test_no_ground_rises_further_above_a_chord(name: str) -> None:
    ground, n = GROUNDS[name], 3000
    rng = np.random.default_rng(8)
    length = 10.0 ** rng.uniform(-1.0, 1.6, n)
    angle = rng.uniform(0.0, 6.3, n)
    x, y = rng.uniform(-15.0, 25.0, n), rng.uniform(-15.0, 15.0, n)
    dx, dy, lane = length * np.cos(angle), length * np.sin(angle), np.zeros(n, dtype=np.intp)
    hump = ground.hump(x, y, x + dx, y + dy, lane)
    first, last = ground.height(x, y, lane), ground.height(x + dx, y + dy, lane)
    above, most = np.zeros(n), np.zeros(n)
    for u in np.linspace(0.0, 1.0, 41):
        rise = ground.height(x + u * dx, y + u * dy, lane) - ((1.0 - u) * first + u * last)
        most = np.maximum(most, rise - 4.0 * u * (1.0 - u) * hump)
        above = np.maximum(above, rise)
    assert most.max() < 1e-9
    if name == "plane":
        assert not hump.any()


def test_a_smooth_survey_rises_little_above_short_chords() -> None:
    """Much less than the range of all its slopes would allow, which is what spares the flight its looks."""
    x, y = np.meshgrid(np.arange(50.0), np.arange(40.0))
    grid = HeightGrid(0.0, 0.0, 1.0, 0.3 * np.sin(0.3 * x + 0.2 * y))
    ground = SurveyedGround(grid, np.array([[20.0], [15.0]]), np.array([[28.0], [21.0]]), LEVEL)
    at, lane = np.linspace(-10.0, 15.0, 200), np.zeros(200, dtype=np.intp)
    hump = ground.hump(at, 0.0 * at, at + 0.5, 0.0 * at, lane)
    assert hump.max() < 0.2 * (0.25 * ground.unevenness(lane)[0] * 0.5)
