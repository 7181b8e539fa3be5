"""When the answer changes, as teachers say (common practice, no source): what the map must show.

From the fringe on a level green: the more green there is, the lower the loft; with that room fixed, faster,
firmer and downhill greens ask for more loft and uphill ones for less. On very firm ground with an open
approach the shot that lands short comes back. The engine holds no rule that knows a loft or a club's name:
these are outcomes. The putter is left out: from the fringe it is level with the best chip or ahead.

What the lower lofts cost over the higher ones is looked at, which moves long before the winner does.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import msgspec
import numpy as np
import pytest

from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.result import Advice, Shot
from shortgame_gui.model.club import Bag
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.store import coefficients
from shortgame_gui.store.documents import packaged_bag
from shortgame_gui.units import FOOT

CLUBS = ("60-degree wedge", "sand wedge", "gap wedge", "pitching wedge", "8-iron", "6-iron")
FRINGE: dict[str, Any] = {
    "lie.ground": "fringe", "green.front": 1.0, "ground.approach": "fringe", "ground.fringe": 1.0,
    "green.left": 12.0, "green.right": 12.0, "player.level": "tour",
}  # fmt: skip
SLOW, FAST, SOFT, FIRM = 7.5 * FOOT, 13.0 * FOOT, 50.0, 140.0


@cache
def answer(*put: tuple[str, Any]) -> Advice:
    """The advice for what is ``put`` into the usual situation, on samples enough to tell a hundredth."""
    clubs = Bag(clubs=tuple(packaged_bag().find(name) for name in CLUBS))
    table = coefficients.load()
    sizes = msgspec.structs.replace(
        table.choose, try_samples=48.0, try_more=144.0, first=192.0, keep_errors=4.0
    )
    enough = msgspec.structs.replace(table, choose=sizes)
    return advise(put_all(Situation(), dict(put)), clubs, enough, samples=4096)


def on(green: float, **more: Any) -> Advice:
    """From the fringe with ``green`` m of green before the hole, and as much room behind at all times."""
    put = FRINGE | {"hole.distance": 1.0 + green, "green.depth": green + 8.0}
    return answer(*(put | {f"green.{name}": value for name, value in more.items()}).items())


def loft(shot: Shot) -> float:
    """Loft with which the ball is met, in degrees."""
    return float(np.degrees(shot.delivered_loft))


def low_costs(advice: Advice) -> float:
    """Strokes that the best shot with a loft below 40 degrees costs over the best from 50 degrees on."""
    low = min(s.expected_strokes for s in advice.shots if loft(s) < 40.0)
    return low - min(s.expected_strokes for s in advice.shots if loft(s) >= 50.0)


def test_more_green_asks_for_less_loft() -> None:
    """From a high shot over little green to a running shot over much of it.

    From five to fourteen metres of green nothing changes that samples can tell.
    """
    row = [on(green) for green in (2.0, 3.0, 10.0)]
    costs = [low_costs(a) for a in row]
    assert costs == sorted(costs, reverse=True) and costs[0] > 0.02 > -0.02 > costs[-1]
    first, last = row[0].shots[0], on(18.0).shots[0]
    assert loft(first) > loft(last) + 8.0
    assert last.run / (last.run + last.carry) > first.run / (first.run + first.carry)


@pytest.mark.parametrize(
    ("green", "less", "more"),
    [
        (10.0, {"speed": SLOW}, {"speed": FAST}),
        (16.0, {"firmness": SOFT}, {"firmness": FIRM}),
        (10.0, {"slope_along": 0.0}, {"slope_along": -0.03}),
        (10.0, {"slope_along": 0.02}, {"slope_along": -0.02}),
    ],
    ids=["fast", "firm", "downhill", "uphill"],
)
def test_with_the_room_fixed(green: float, less: dict[str, float], more: dict[str, float]) -> None:
    """What asks for more loft makes the lower lofts dearer over the higher ones, by a hundredth at least.

    With ten metres of ``green``, sixteen for firmness, which does it by 0.03 there and by 0.01 +- 0.01 with
    ten. With six, uphill moves less than the samples can tell; so does an uphill green over a level one:
    hence uphill stands against downhill.
    """
    assert low_costs(on(green, **more)) > low_costs(on(green, **less)) + 0.01


def test_very_firm_ground_brings_back_the_shot_that_lands_short() -> None:
    """Handicap 20, sixteen metres of fairway, six of green: to land short costs more than a tie on a medium
    green and wins by nearly as much on a very firm one; for the tour it comes nearer."""

    def links(firmness: float, level: str) -> Advice:
        put = {
            "lie.ground": "tight", "green.front": 16.0, "hole.distance": 22.0, "green.depth": 22.0,
            "green.speed": 11.0 * FOOT, "green.firmness": firmness, "ground.approach": "fairway",
            "ground.fringe": 1.0, "lie.firmness": min(firmness, 120.0), "player.level": level,
        }  # fmt: skip
        return answer(*put.items())

    def short_costs(advice: Advice) -> float:
        past = [(s.landing_past_edge, s.expected_strokes) for s in advice.shots]
        short = min(e for p, e in past if p is not None and p < 0.0)
        return short - min(e for p, e in past if p is not None and p >= 0.0)

    for level in ("20", "tour"):
        assert short_costs(links(140.0, level)) < short_costs(links(85.0, level))
    tie = coefficients.load().score.tie_strokes
    assert short_costs(links(85.0, "20")) > tie
    assert short_costs(links(140.0, "20")) < -0.75 * tie
