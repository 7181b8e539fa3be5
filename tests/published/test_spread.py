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

from shortgame_gui.advice.advise import bench_of
from shortgame_gui.advice.delivery import Strokes, stroke
from shortgame_gui.advice.rules import Candidate
from shortgame_gui.advice.solve import hit, plan, scan, solve
from shortgame_gui.advice.spreads import draws, still
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

    The engine gives the tour 8.7 and 1.4 %, a scratch player 10.1 and 2.2 % (the middle two thirds of the
    balls; 12 to 13 % with the wild ones): 6 and 4.5 to 1 in distance and direction, where the source has 4.5.
    """
    found = balls(place(75.0, level), ("sand wedge", "partial"), 70.0, table, land=True)
    assert found is not None
    carry, side = np.hypot(*found[0]), found[0][1]
    low, middle, high = np.percentile(carry, (16, 50, 84))
    across = float(np.diff(np.percentile(side, (16, 84)))[0]) / 2.0 / 70.0
    along = float((high - low) / 2.0 / middle)
    assert along == pytest.approx(0.09, abs=0.02)
    assert across == pytest.approx(0.02, abs=0.01)
    assert along > 4.0 * across
    if level == "scratch":
        assert across == pytest.approx(0.02, abs=0.003) and along < 5.0 * across


def test_distance_is_harder_than_direction_from_45_to_85_m(table: Coefficients) -> None:
    """Distance control varies significantly more than direction (Open Sports Sci. J. 14:86, 2021)."""
    for distance, shot in ((45.0, WEDGES[0]), (65.0, WEDGES[2]), (85.0, WEDGES[3])):
        found = balls(place(distance, "scratch"), shot, distance, table, land=False)
        assert found is not None
        assert np.abs(found[1][0] - distance).mean() > 2.0 * np.abs(found[1][1]).mean()


def test_error_at_rest_of_elite_amateurs(table: Coefficients) -> None:
    """19.0 % of the distance at 45 m, falling to 8.4 % at 85 m (the same test: ten elite amateurs, quoted).

    The engine has 18.2 and 9.1 %.
    """
    shares = [left(distance, "scratch", table).mean() for distance in (45.0, 85.0)]
    assert shares[0] == pytest.approx(0.190, abs=0.015)
    assert shares[1] == pytest.approx(0.084, abs=0.008)
    assert shares[0] > 1.7 * shares[1]
    tour = [left(distance, "tour", table).mean() for distance in (45.0, 85.0)]
    assert shares[0] > 1.5 * tour[0] > 1.5 * tour[1]


@pytest.mark.parametrize("yards", [50, 70, 100])
def test_median_error_of_the_tour(yards: int, table: Coefficients) -> None:
    """5.2 to 6.5 % of the starting distance at 50 to 100 yards from the fairway: median, to the hole (N.
    James, G. D. Rees, Int. J. Sports Sci. Coach. 3(S1):145-160, 2008; 14 players)."""
    assert 0.047 <= np.median(left(yards * YARD, "tour", table)) <= 0.072


def test_rough_adds_to_the_median_error_of_the_tour(table: Coefficients) -> None:
    """4.3 points on average over what tour players call rough (the same source), which here is half down in
    6 cm as on the reference set for the strokes. From 3 cm it adds 1 point."""
    added = []
    for distance in (50.0 * YARD, 80.0 * YARD):
        fairway = np.median(left(distance, "tour", table))
        light, rough = (
            np.median(left(distance, "tour", table, ground="rough", sits="half_down", rough_depth=depth))
            - fairway
            for depth in (0.03, 0.06)
        )
        assert 0.0 < light < rough
        added.append(rough)
    assert np.mean(added) == pytest.approx(0.043, abs=0.012)


def test_rough_takes_spin_from_a_wedge(table: Coefficients) -> None:
    """About 40 % from rough up to 2 inches against a dry clean lie (press on the groove studies, as quoted,
    for no club in particular): the engine takes 44 % at 60 degrees, 35 at 56, 20 at 50."""
    club = packaged_bag().find("sand wedge")

    def backspin(**lie: Any) -> float:
        here = place(60.0, "tour", **lie)
        strokes = Strokes.of([stroke(here, Candidate(club, "partial", False), table)])
        ball, _ = hit(
            bench_of(here, table), strokes, plan(np.arange(1), np.full(1, 28.0), np.zeros(1)), still(1)
        )
        return float(-ball.spin[1, 0])

    rough = backspin(ground="rough", sits="half_down", rough_depth=2 * 0.0254)
    assert 1.0 - rough / backspin() == pytest.approx(0.40, abs=0.1)
