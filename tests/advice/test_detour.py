"""Round a trunk, a hedge or water that hides the hole but leaves a side open."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from shortgame_gui.advice.advise import advise, bench_of
from shortgame_gui.advice.cells import Settings, Task, rank_all
from shortgame_gui.advice.delivery import Strokes, stroke
from shortgame_gui.advice.detour import barriers, detours, directions, past_edges
from shortgame_gui.advice.escapes import left_from
from shortgame_gui.advice.rules import Candidate
from shortgame_gui.advice.score import baseline
from shortgame_gui.advice.solve import hit, scan
from shortgame_gui.advice.spreads import still
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import Band, Obstacle
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.obstacles import Obstacles
from shortgame_gui.units import DEGREE

GREEN = {"hole.distance": 25.0, "green.front": 12.0, "green.depth": 25.0}
EDGE = np.arctan2(1.0, 5.0)


def behind(*obstacles: Obstacle, **values: Any) -> Situation:
    return put_all(Situation(), GREEN | {"ground.obstacles": obstacles} | values)


def trunk(left: float, right: float) -> Obstacle:
    """Too high to be flown."""
    return Obstacle(at=5.0, high=10.0, left=left, right=right)


def test_directions_past_edges_by_hand() -> None:
    blocks = Obstacles(*np.array([[5.0, -9.0, 10.0, 1.0, 5.0]]).T)
    margin, radius = np.array([0.05, 0.1]), 0.02
    out = directions(blocks, margin, radius, left_handed=False)
    beyond = radius / np.hypot(5.0, 1.0)
    np.testing.assert_allclose(out[:, 0], EDGE + margin + beyond)
    np.testing.assert_allclose(out[:, 1], -(np.arctan2(5.0, 5.0) + margin + radius / np.hypot(5.0, 5.0)))
    mirror = replace(blocks, left=blocks.right, right=blocks.left)
    np.testing.assert_array_equal(directions(mirror, margin, radius, left_handed=True), -out)


def test_of_a_gap_the_middle_is_taken() -> None:
    """From 0.2 to 0.5 m left of the line at 5 m: narrower than the shot scatters."""
    rows = np.array([[5.0, -9.0, 10.0, 0.2, 3.0], [5.0, -9.0, 10.0, 4.0, -0.5]])
    gap = past_edges(Obstacles(*rows.T), np.array([0.2]), 0.02)[0]
    low, high = np.arctan2([0.2, 0.5], 5.0)
    assert gap[0] == pytest.approx((low + high) / 2.0)
    # Then the far edge of what stands beyond, and nothing where that is too far round.
    assert gap[1] == pytest.approx(np.arctan2(4.0, 5.0) + 0.2, abs=0.01)
    wide = past_edges(Obstacles(*np.array([[5.0, -9.0, 10.0, 30.0, 30.0]]).T), np.array([0.2]), 0.02)
    assert np.isnan(wide).all()


@pytest.mark.parametrize(("level", "most"), [("tour", 3.05), ("20", 3.5)])
def test_a_trunk_is_played_round_on_its_open_side(
    level: str, most: float, few: Bag, table: Coefficients
) -> None:
    """Past its edge on to the green some 6 m from the hole, one stroke and the putts from there, not two
    club-lengths and a penalty (common practice, no source). Right of the trunk it is the same."""
    found = {}
    for side, post in (("left", trunk(1.0, 5.0)), ("right", trunk(5.0, 1.0))):
        advice = advise(behind(post, **{"player.level": level}), few, table, samples=64)
        best, sign = advice.shots[0], 1.0 if side == "left" else -1.0
        found[side] = best.expected_strokes
        assert best.past == side
        assert EDGE < sign * best.start < EDGE + 12.0 * DEGREE
        assert best.trouble.get("obstacle", 0.0) < 0.08
        assert np.hypot(*best.finish_aim) < 9.0
        spot = np.array([[25.0 + best.finish_aim[0]], [best.finish_aim[1]], [0.0]])
        base = baseline(level, table)
        putts = left_from(bench_of(advice.situation, table), base, spot)[0]
        assert 1.0 + putts - 0.1 < best.expected_strokes < min(most, 1.0 + putts + 0.5)
        ways = [e.strokes for e in advice.escapes if e.strokes is not None]
        assert ways and min(ways) > best.expected_strokes + 0.4
        # What is a little off is told along its own line.
        assert best.what_ifs and all(abs(w.strokes) < 0.5 for w in best.what_ifs)
        assert np.sign(best.finish_aim[1]) == sign
    assert found["left"] == pytest.approx(found["right"], abs=0.1)


@pytest.mark.parametrize("across", [-0.03, 0.03])
def test_what_breaks_starts_past_the_edge_all_the_same(across: float, few: Bag, table: Coefficients) -> None:
    situation = behind(trunk(1.0, 5.0), **{"green.slope_across": across, "player.level": "tour"})
    best = advise(situation, few, table, samples=32).shots[0]
    assert best.past == "left" and best.start > EDGE and best.trouble.get("obstacle", 0.0) < 0.08
    # It comes to rest on the low side of where it starts.
    ends = np.arctan2(best.finish_aim[1], 25.0 + best.finish_aim[0])
    assert np.sign(ends - best.start) == -np.sign(across)


def test_plans_lie_open_and_only_what_is_stopped_has_them(few: Bag, table: Coefficients) -> None:
    base, none = baseline("10", table), np.arange(0)
    for post, some in ((trunk(1.0, 5.0), True), (trunk(-9.0, 12.0), False)):
        situation = behind(post)
        bench = bench_of(situation, table)
        shots = [Candidate(c, "pitch", False) for c in few.clubs if c.kind != "putter"]
        strokes = Strokes.of([stroke(situation, c, table) for c in shots])
        found = scan(bench, strokes, 18)
        plans = detours(bench, strokes, found, none, base, lambda: None)
        assert bool(len(plans.speed)) == some
        if some:
            assert set(plans.candidate.tolist()) == set(range(len(shots)))
            _, done = hit(bench, strokes, plans, still(1), hole=False)
            np.testing.assert_allclose(done.rest[:2], plans.finish, atol=1e-6)
            assert (done.met == -1).all() and (np.abs(plans.toward) > 0.1).all()
            reached = detours(bench, strokes, found, np.arange(len(shots)), base, lambda: None)
            assert not len(reached.speed)


def test_two_trunks_are_played_between(few: Bag, table: Coefficients) -> None:
    """The hole is hidden by one, and beside it stands the next; a player of tour level takes the gap."""
    beside = Obstacle(at=5.0, high=10.0, left=12.0, right=-2.2)
    situation = behind(trunk(0.6, 12.0), beside, **{"player.level": "tour"})
    best = advise(situation, few, table, samples=32).shots[0]
    assert np.arctan2(0.6, 5.0) < best.start < np.arctan2(2.2, 5.0) and best.past == "left"
    assert best.expected_strokes < 3.2


def test_water_across_the_line_is_putted_round(few: Bag, table: Coefficients) -> None:
    """Who cannot be sure to carry it (common practice, no source)."""
    pond = Band(surface="water", start=12.0, end=19.8, left=2.0, right=40.0)
    values = {"hole.distance": 26.0, "green.front": 20.0, "ground.bands": (pond,), "player.level": "30"}
    situation = put_all(Situation(), values)
    blocks, wet = barriers(situation)
    assert wet and blocks is not None and barriers(Situation()) == (None, False)
    best = advise(situation, few, table, samples=64).shots[0]
    assert best.past == "left" and best.start > np.arctan2(2.0, 12.0)
    assert best.trouble.get("water", 0.0) < 0.05


def test_not_being_sure_costs_little_more_behind_a_trunk(few: Bag, table: Coefficients) -> None:
    """The shots for each condition go round as well; else knowing would be worth less than nothing."""
    doubt = advise(behind(trunk(1.0, 5.0), **{"not_sure.green_speed": 0.3}), few, table, samples=32).doubt
    assert doubt is not None and -2.0 * doubt.error - 0.01 < doubt.cost < 0.2


def test_a_map_goes_round_as_well(few: Bag, table: Coefficients) -> None:
    """Two situations of one batch, each on its own ground, and the whole answer."""
    tasks = [Task(behind(trunk(1.0, 5.0), **{"green.slope_along": rise})) for rise in (0.0, 0.02)]
    cells = rank_all(tasks, Settings(few, table, 48, 1))
    for task, standings in zip(tasks, cells, strict=True):
        best = advise(task.situation, few, table, samples=48).shots[0]
        assert standings[0].strokes == pytest.approx(best.expected_strokes, abs=0.15)
