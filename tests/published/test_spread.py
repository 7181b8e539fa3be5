"""How real players' short shots scatter, each figure computed the way its source does.

The three sources use different statistics and are not mixed. All are independent of the engine: its
spreads are estimates, set so that the tour's strokes and chips come out. Where it misses, it is said by how
much.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt
import pytest

from shortgame_gui.advice.advise import advise, bench_of
from shortgame_gui.advice.delivery import Strokes, stroke
from shortgame_gui.advice.rules import Candidate
from shortgame_gui.advice.solve import hit, scan, solve
from shortgame_gui.advice.spreads import draws
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.coefficients import load
from shortgame_gui.store.documents import packaged_bag
from shortgame_gui.units import FOOT, YARD

Array = npt.NDArray[np.float64]

WEDGES = (
    ("gap wedge", "pitch"), ("60-degree wedge", "partial"), ("sand wedge", "partial"),
    ("gap wedge", "partial"), ("pitching wedge", "partial"),
)  # fmt: skip
BALLS = 1024


@pytest.fixture(scope="module")
def table() -> Coefficients:
    return load()


def place(distance: float, level: str, **lie: Any) -> Situation:
    """A level green of 28 by 28 m round the hole, at 11 ft."""
    return put_all(
        Situation(),
        {"hole.distance": distance, "hole.flag": "out", "green.front": max(distance - 12.0, 0.5),
         "green.depth": 28.0, "green.left": 14.0, "green.right": 14.0, "green.speed": 11.0 * FOOT,
         "player.level": level} | {f"lie.{name}": value for name, value in lie.items()},
    )  # fmt: skip


def balls(
    situation: Situation, shot: tuple[str, str], target: float, table: Coefficients, *, land: bool
) -> tuple[Array, Array] | None:
    """Landings and rests (2, n) of a shot meant to land, or stop, at ``target`` m; None where it cannot."""
    club = packaged_bag().find(shot[0])
    bench = bench_of(situation, table)
    strokes = Strokes.of([stroke(situation, Candidate(club, shot[1], False), table)])
    plans, _ = solve(bench, strokes, scan(bench, strokes, 30), np.array([target]), by_landing=land, rounds=4)
    if not len(plans.speed):
        return None
    luck = draws(7, BALLS, int(table.choose.block))
    _, done = hit(bench, strokes, plans.take(np.zeros(1, dtype=np.intp)), luck, hole=False)
    return done.landing[:2], done.rest[:2]


def left(distance: float, level: str, table: Coefficients, **lie: Any) -> Array:
    """Distances left (n,), in parts of the distance played, by the wedge shot that leaves the least."""
    here = place(distance, level, **lie)
    found = [balls(here, shot, distance, table, land=False) for shot in WEDGES]
    ways = [np.hypot(b[1][0] - distance, b[1][1]) / distance for b in found if b is not None]
    return min(ways, key=lambda way: float(np.median(way)))


@pytest.mark.parametrize("level", ["tour", "scratch"])
def test_wedge_carries_near_70_m(level: str, table: Coefficients) -> None:
    """Carry varies by 9 %, direction by 2 % of the distance: 16 pre-elite and elite players, 5 balls each
    near 70 m (Halmstad University thesis, hh-25320, abstract).

    The engine gives the tour 9.5 and 1.3 %, a scratch player 11 and 1.6 % (the middle two thirds of the
    balls; 13 to 15 % with the fat ones): for both 7 to 1 in distance and direction, where the source has 4.5.
    """
    found = balls(place(75.0, level), ("sand wedge", "partial"), 70.0, table, land=True)
    assert found is not None
    carry, side = np.hypot(*found[0]), found[0][1]
    low, middle, high = np.percentile(carry, (16, 50, 84))
    across = float(np.diff(np.percentile(side, (16, 84)))[0]) / 2.0 / 70.0
    along = float((high - low) / 2.0 / middle)
    assert along == pytest.approx(0.09, abs=0.03)
    assert across == pytest.approx(0.02, abs=0.01)
    assert along > 4.0 * across


def test_distance_is_harder_than_direction_from_45_to_85_m(table: Coefficients) -> None:
    """Distance control varies significantly more than direction (Open Sports Sci. J. 14:86, 2021)."""
    for distance, shot in ((45.0, WEDGES[0]), (65.0, WEDGES[2]), (85.0, WEDGES[3])):
        found = balls(place(distance, "scratch"), shot, distance, table, land=False)
        assert found is not None
        assert np.abs(found[1][0] - distance).mean() > 2.0 * np.abs(found[1][1]).mean()


def test_error_at_rest_of_elite_amateurs_at_85_m(table: Coefficients) -> None:
    """8.4 % of the distance (the same test: ten elite amateurs, targets at 45 to 85 m).

    At 45 m the source has 19.0 %, the engine 10: with no practice and no flag the short targets there went
    astray as no level of ours does. Not bought by wider spreads: the tour's strokes would not hold.
    """
    assert left(85.0, "scratch", table).mean() == pytest.approx(0.084, abs=0.025)
    shares = [left(distance, "tour", table).mean() for distance in (45.0, 85.0)]
    assert shares[0] > shares[1]


@pytest.mark.parametrize("yards", [50, 70, 100])
def test_median_error_of_the_tour(yards: int, table: Coefficients) -> None:
    """5.2 to 6.5 % of the starting distance at 50 to 100 yards from the fairway: median, to the hole (N.
    James, G. D. Rees, Int. J. Sports Sci. Coach. 3(S1):145-160, 2008; 14 players)."""
    assert 0.047 <= np.median(left(yards * YARD, "tour", table)) <= 0.072


def test_rough_adds_to_the_median_error_of_the_tour(table: Coefficients) -> None:
    """4.3 points on average over what tour players call rough (the same source).

    Half down in 3 to 4.5 cm the engine adds 2 to 3 and 5 to 8 points; half down in 6 cm, as on the reference
    set for the strokes, 8 to 9: that is too wild, or deeper than the rough of the source.
    """
    distance = 80.0 * YARD
    fairway = np.median(left(distance, "tour", table))
    light, heavy = (
        np.median(left(distance, "tour", table, ground="rough", sits="half_down", rough_depth=depth))
        - fairway
        for depth in (0.03, 0.045)
    )
    assert 0.01 < light < 0.043 < heavy < 0.09


@pytest.fixture(scope="module")
def saves(table: Coefficients) -> dict[tuple[str, str], float]:
    """Chance of down in two from 20 yards, by lie and level."""
    clubs = Bag(clubs=tuple(packaged_bag().find(name) for name in ("sand wedge", "9-iron")))

    def save(lie: str, level: str) -> float:
        here = put_all(place(20.0 * YARD, level, ground=lie), {"player.counts": "down_in_two"})
        return advise(here, clubs, table, samples=192).shots[0].down_in_two

    return {(lie, level): save(lie, level) for lie in ("sand", "fairway") for level in ("tour", "20", "30")}


def test_amateurs_get_up_and_down(saves: dict[tuple[str, str], float]) -> None:
    """Bands only; small samples, as quoted: from sand at 10 to 30 yards 0 to 20 % for handicaps 0 to 30,
    from fairway lies round the green towards 10 % for high handicaps.

    Handicaps 20 and 30 are within some 5 points of that. Better amateurs come out too good: scratch about
    43 % from sand at 20 yards, and from the fairway nine tenths of the tour's rate where the source has half.
    """
    assert saves["sand", "20"] < 0.25 and saves["sand", "30"] < 0.20
    assert 0.05 < saves["fairway", "30"] < 0.30
    for lie in ("sand", "fairway"):
        assert saves[lie, "30"] < saves[lie, "20"] < 0.75 * saves[lie, "tour"]
