"""Ways between two balls are those of balls between them, and drop where those do."""

import numpy as np
import pytest

from shortgame_gui.advice.advise import bench_of
from shortgame_gui.advice.delivery import Strokes, stroke
from shortgame_gui.advice.rules import Candidate
from shortgame_gui.advice.solve import hit, plan
from shortgame_gui.advice.spreads import still
from shortgame_gui.advice.ways import Way, ways_of
from shortgame_gui.model.ground import Green, Hole
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.shot import Result
from shortgame_gui.physics.steps import HOLED
from shortgame_gui.store.coefficients import load
from shortgame_gui.store.documents import packaged_bag

HERE = Situation(green=Green(front=4.0, depth=20.0, slope_along=0.01), hole=Hole(distance=9.0))
SHOTS = (("putter", "putt", 2.0, 3.6), ("sand wedge", "pitch", 7.0, 11.0), ("8-iron", "chip", 3.6, 6.0))


def played(
    speeds: int, hole: bool, situation: Situation = HERE, aim: float = 0.0
) -> tuple[Result, list[Way]]:
    """So many head speeds of each of the shots, straight at the hole."""
    clubs = {c.name: c for c in packaged_bag().clubs}
    known = [stroke(situation, Candidate(clubs[club], how, False), load()) for club, how, _, _ in SHOTS]
    who = np.repeat(np.arange(len(SHOTS)), speeds)
    speed = np.concatenate([np.linspace(low, high, speeds) for _, _, low, high in SHOTS])
    plans = plan(who, speed, np.full(len(who), aim))
    bench = bench_of(situation, load())
    _, done = hit(bench, Strokes.of(known), plans, still(1), hole=hole, trace=True)
    return done, list(ways_of(done))


def test_a_way_drops_where_the_ball_does() -> None:
    """On the bounce, on the run and by putts: a hole makes of a way over it what it makes of the ball."""
    (_, ways), (done, _) = played(150, False), played(150, True)
    bench = bench_of(HERE, load())
    height = bench.ground.height(np.array([9.0]), np.zeros(1), np.zeros(1, dtype=np.intp))
    hole = np.array([9.0, 0.0, height[0]])
    ended = [way.dropped(hole, bench.ground, bench.table) for way in ways]
    drops = np.array([new is not old for new, old in zip(ended, ways, strict=True)])
    holed = done.ending == HOLED
    for mine in (slice(0, 150), slice(150, 300), slice(300, 450)):
        assert 5 < holed[mine].sum() < 145
    assert np.count_nonzero(holed & (done.time == done.roll_time)) > 0, "none drops as it lands"
    assert np.count_nonzero(drops != holed) <= 1
    for k in (drops & holed).nonzero()[0]:
        assert ended[k].place[:, -1] == pytest.approx(done.rest[:, k], abs=1e-9)
        # Both tell the end of a piece of the way in which it drops; those of steps are longer.
        assert ended[k].time[-1] == pytest.approx(done.time[k], abs=0.2)
        assert len(ended[k].bounces) == done.count[k]


def test_the_way_half_between_two_balls_is_that_of_the_ball_between_them() -> None:
    """Pieces with as many bounces on both sides; others are told apart by who asks."""
    _, ways = played(81, False)
    off = []
    for low, middle, high in zip(ways[:-2:2], ways[1:-1:2], ways[2::2], strict=True):
        if len(low.bounces) == len(middle.bounces) == len(high.bounces):
            half = low.between(high, 0.5)
            share = half.time / half.time[-1] * middle.time[-1]
            off.append(np.abs(middle.at(share)[0] - half.place).max())
    assert len(off) > 60
    assert np.median(off) < 0.003


def test_a_turned_way_is_that_of_a_ball_aimed_there() -> None:
    """Across a slope a turn does something else than turning the whole way; how much, another ball tells."""
    across = put_all(HERE, {"green.slope_across": 0.03})
    _, right = played(3, False, across)
    _, left = played(3, False, across, aim=0.04)
    _, between = played(3, False, across, aim=0.02)
    for one, other, wanted in zip(right, left, between, strict=True):
        made = one.shifted(other.turned(-0.04), one, 0.5).turned(0.02)
        assert made.place[:2, -1] == pytest.approx(wanted.place[:2, -1], abs=0.01)
        plain = one.turned(0.02)
        assert abs(plain.place[1, -1] - wanted.place[1, -1]) > 2.0 * abs(
            made.place[1, -1] - wanted.place[1, -1]
        )
