"""Head speed and aim for a finish: replayed, the unperturbed ball rests where it was asked to."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from shortgame_gui.advice.advise import bench_of
from shortgame_gui.advice.aim import aims
from shortgame_gui.advice.delivery import Strokes, stroke
from shortgame_gui.advice.rank import sample
from shortgame_gui.advice.rules import Candidate, candidates
from shortgame_gui.advice.score import baseline
from shortgame_gui.advice.solve import (
    MET,
    Bench,
    Plans,
    bench_for,
    guessed,
    hit,
    plan,
    scan,
    slanted,
    solve,
)
from shortgame_gui.advice.spreads import draws, still
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import ProfilePoint
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.steps import HOLED

TIERS = tuple(ProfilePoint(at=x, height=z) for x, z in ((0.0, 0.0), (14.0, 0.0), (16.0, 0.6), (30.0, 0.6)))
PROMISED, MOSTLY = 0.6, 0.05

PLACES: dict[str, dict[str, Any]] = {
    "level": {},
    "cross slope and wind": {"green.slope_across": 0.03, "air.wind_across": 4.0, "player.hand": "left"},
    "two tiers": {"ground.profile": TIERS, "hole.distance": 20.0},
    "rough before the green": {"lie.ground": "rough", "ground.approach": "rough", "lie.sits": "half_down"},
    "sixty metres": {"green.front": 50.0, "hole.distance": 60.0, "player.level": "tour"},
}


def solved(
    situation: Situation, bag: Bag, table: Coefficients, targets: np.ndarray | None = None
) -> tuple[Bench, Strokes, Plans, np.ndarray, np.ndarray]:
    """Bench, strokes, plans, index of each plan's target, and the targets."""
    offered, _ = candidates(situation, bag)
    bench = bench_of(situation, table)
    strokes = Strokes.of([stroke(situation, c, table) for c in offered])
    at = aims(situation) if targets is None else targets
    found = scan(bench, strokes, int(table.choose.speeds))
    plans, which = solve(bench, strokes, found, at)
    return bench, strokes, plans, which, at


@pytest.mark.parametrize("place", PLACES)
def test_the_ball_finishes_where_it_is_meant_to(place: str, table: Coefficients, bag: Bag) -> None:
    situation = put_all(Situation(), PLACES[place])
    bench, strokes, plans, which, targets = solved(situation, bag, table)
    assert len(plans.speed) > 20
    # Replayed without scatter and without a hole, each plan in a batch of another make-up.
    turned = plans.take(np.arange(len(plans.speed))[::-1])
    _, done = hit(bench, strokes, turned, still(1), hole=False)
    rest = done.rest[:2, ::-1]
    np.testing.assert_allclose(rest, plans.finish, atol=1e-9)
    if slanted(situation):
        # What is meant to stop past the hole crosses it instead: see below.
        on = plans.finish[0] <= situation.hole.distance + MET
        rest, which, plans = rest[:, on], which[on], plans.take(np.flatnonzero(on))
    error = np.hypot(rest[0] - targets[which], rest[1])
    assert error.max() < PROMISED
    assert np.mean(error < MOSTLY) > (0.9 if place == "level" else 0.6)
    # No speed outside what the technique can do.
    slow, fast = strokes.slowest[plans.candidate], strokes.fastest[plans.candidate]
    assert np.all((plans.speed >= slow - 1e-12) & (plans.speed <= fast + 1e-12))


@pytest.mark.parametrize("place", PLACES)
def test_guesses_finish_near_where_they_are_meant_to(place: str, table: Coefficients, bag: Bag) -> None:
    """Half of them within 0.4 m, nine in ten within 0.9; hardly fewer plans than by three rounds more."""
    situation = put_all(Situation(), PLACES[place])
    bench, strokes, plans, _, targets = solved(situation, bag, table)
    scanned = scan(bench, strokes, int(table.choose.speeds))
    guesses = guessed(bench, strokes, scanned, targets, lambda: None)
    _, done = hit(bench, strokes, guesses, still(1), hole=False)
    off, tried = np.abs(done.rest[:2] - guesses.finish), guesses.tried
    np.testing.assert_allclose(off[:, tried], 0.0, atol=1e-9)
    assert (~tried).sum() > 5
    assert np.all(np.quantile(off[0, ~tried], (0.5, 0.9)) < (0.4, 0.9))
    # Each plan once, and what three rounds find is found, but for what one lucky ball in a jump found.
    assert len(np.unique(np.stack([guesses.candidate, guesses.speed]), axis=1).T) == len(guesses.speed)
    assert len(np.unique(guesses.candidate)) >= 0.9 * len(np.unique(plans.candidate))
    assert len(guesses.speed) >= 0.9 * len(plans.speed)
    slow, fast = strokes.slowest[guesses.candidate], strokes.fastest[guesses.candidate]
    assert np.all((guesses.speed >= slow - 1e-12) & (guesses.speed <= fast + 1e-12))


@pytest.mark.parametrize("across", [-0.03, 0.01, 0.03])
def test_what_stops_past_the_hole_crosses_it_on_a_slope(across: float, table: Coefficients, bag: Bag) -> None:
    """Without scatter all putts and chips that are meant to stop up to half a metre past drop."""
    here = {"green.slope_across": across, "hole.distance": 8.0, "green.front": 1.0, "hole.flag": "out"}
    situation = put_all(Situation(), here)
    bench, strokes, plans, _, _ = solved(situation, bag, table, np.array([8.25, 8.5]))
    _, done = hit(bench, strokes, plans, still(1))
    # What lands nearer to the hole may hop over its edge.
    rolls = (done.landing[0] < 6.0) & (plans.finish[0] > 8.05)
    assert rolls.sum() > 20 and np.all(done.ending[rolls] == HOLED)
    # So do most guesses, which are yet to be tried.
    scanned = scan(bench, strokes, int(table.choose.speeds))
    guesses = guessed(bench, strokes, scanned, np.array([8.25, 8.5]), lambda: None)
    _, done = hit(bench, strokes, guesses, still(1))
    rolls = (done.landing[0] < 6.0) & (guesses.finish[0] > 8.05)
    assert rolls.sum() > 20 and np.mean(done.ending[rolls] == HOLED) > 0.9


def test_the_run_to_judge_is_what_comes_after_the_landing(table: Coefficients, bag: Bag) -> None:
    bench, strokes, plans, _, _ = solved(Situation(), bag, table)
    _, done = hit(bench, strokes, plans, still(1), hole=False)
    putt = strokes.putt[plans.candidate] > 0.5
    assert putt.any() and not putt.all()
    np.testing.assert_allclose(plans.run, np.where(putt, done.rest[0], done.rest[0] - done.landing[0]))


def test_harder_goes_further_by_the_slope_of_the_plan(table: Coefficients, bag: Bag) -> None:
    bench, strokes, plans, _, _ = solved(Situation(), bag, table)
    more = replace(plans, speed=plans.speed + 0.3 * plans.speed_per_run)
    _, done = hit(bench, strokes, more, still(1), hole=False)
    gained = done.rest[0] - plans.finish[0]
    assert np.all(plans.speed_per_run > 0.0)
    assert np.median(gained) == pytest.approx(0.3, abs=0.06)


@pytest.mark.parametrize("put", [{}, {"green.front": 8.0, "hole.distance": 18.0}])
def test_a_roll_is_misread_wherever_it_brakes(put: dict[str, Any], table: Coefficients, bag: Bag) -> None:
    """Who takes all ground for braking by a tenth more than it does hits with a tenth more energy, on the
    green alone and through fairway, which brakes three times as much: worked out by hand."""
    on = {"lie.ground": "fringe", "ground.approach": "fairway", "green.front": 0.0, "hole.distance": 9.0}
    situation = put_all(Situation(), on | put)
    bench, strokes, plans, _, _ = solved(situation, bag, table)
    putts = plans.take(np.flatnonzero(strokes.putt[plans.candidate] > 0.5))
    luck = still(1)
    luck = replace(luck, execution=luck.execution | {"read_speed": np.ones(1)})
    ball, _ = hit(bench, strokes, putts, luck, hole=False)
    energy = (ball.head_speed / putts.speed) ** 2
    share = table.level[situation.player.level].read_speed
    assert energy == pytest.approx((1.0 + share / 2.0) ** 2, abs=1e-9)


def test_a_misread_slope_counts_for_less_where_fairway_brakes(table: Coefficients, bag: Bag) -> None:
    """Up 3 %, 12 m of green at stimp 10: without and with 8 m of fairway before it, by the energy of a
    rolling sphere (5/7 of the pull; stimpmeter's release at 1.83 m/s, Holmes 1986) that slid before."""
    steep, brake, fairway = 0.03, 1.83**2 / (2.0 * 3.048), table.surface["fairway"].deceleration
    pull = 9.81 * (5.0 / 7.0) * steep
    row = table.level[Situation().player.level]
    for front in (0.0, 8.0):
        here = {"green.front": front, "hole.distance": front + 12.0, "green.slope_along": steep}
        here |= {"ground.approach": "fairway", "ground.fringe": 0.0, "green.speed": 3.048}
        bench, strokes, plans, _, _ = solved(put_all(Situation(), here), bag, table)
        putts = plans.take(np.flatnonzero(strokes.putt[plans.candidate] > 0.5))
        luck = still(1)
        luck = replace(luck, execution=luck.execution | {"read_slope": np.ones(1)})
        ball, _ = hit(bench, strokes, putts, luck, hole=False)
        slide = table.surface["fairway" if front else "green"].slide * 9.81
        slid = (1.0 - 25.0 / 49.0) * (table.strike.putter_ratio * putts.speed) ** 2 / (2.0 * slide)
        on = putts.finish[0] - np.maximum(front, slid)
        share = pull * on / ((pull + brake) * on + fairway * np.maximum(front - slid, 0.0))
        told = (ball.head_speed / putts.speed - 1.0) / (row.read_slope / 2.0)
        assert told == pytest.approx(share, rel=0.1)


def test_the_break_is_the_balls_own_line(table: Coefficients, bag: Bag) -> None:
    """On level ground without wind there is next to no break, however far an open face is aimed off."""
    _, strokes, plans, _, _ = solved(Situation(), bag, table)
    opened = np.abs(plans.aim) > 0.1
    # Its spin kicks aside a little: the more, the further the face is open.
    assert opened.any() and np.all(np.abs(plans.breaks[opened]) < 0.25 * np.abs(plans.aim[opened]))
    tilted = put_all(Situation(), {"green.slope_across": 0.03})
    _, strokes, plans, _, _ = solved(tilted, bag, table)
    putt = strokes.putt[plans.candidate] > 0.5
    # The left is higher: the ball starts left of the hole, and a putt starts where it is aimed.
    assert np.all(plans.breaks[putt] > 0.01)
    np.testing.assert_allclose(plans.breaks[putt], plans.aim[putt])


def test_what_no_speed_reaches_yields_no_plan(table: Coefficients, bag: Bag) -> None:
    far = np.array([12.0, 95.0])
    _, strokes, plans, which, _ = solved(put_all(Situation(), {"player.level": "junior"}), bag, table, far)
    assert set(which.tolist()) == {0}
    assert len(plans.speed) == len(which) <= 2 * len(strokes.putt)


def test_no_target_and_no_plan(table: Coefficients, bag: Bag) -> None:
    _, _, plans, which, _ = solved(Situation(), bag, table, np.array([-5.0]))
    assert len(plans.speed) == len(which) == 0


def test_landings_are_solved_as_well(table: Coefficients, bag: Bag) -> None:
    situation, targets = Situation(), np.array([4.0, 9.0])
    offered = [Candidate(bag.find("sand wedge"), t, False) for t in ("chip", "pitch", "high_soft")]
    bench = bench_of(situation, table)
    strokes = Strokes.of([stroke(situation, c, table) for c in offered])
    found = scan(bench, strokes, int(table.choose.speeds))
    plans, which = solve(bench, strokes, found, targets, by_landing=True, rounds=4)
    _, done = hit(bench, strokes, plans, still(1), hole=False)
    assert {(int(c), int(t)) for c, t in zip(plans.candidate, which, strict=True)} >= {(0, 0), (1, 1), (2, 1)}
    np.testing.assert_allclose(done.landing[0], targets[which], atol=MOSTLY)


def test_the_scan_covers_the_range_of_each_technique(table: Coefficients, bag: Bag) -> None:
    offered, _ = candidates(Situation(), bag)
    strokes = Strokes.of([stroke(Situation(), c, table) for c in offered])
    found = scan(bench_of(Situation(), table), strokes, 7)
    assert found.speed.shape == found.finish_x.shape == (len(offered), 7)
    np.testing.assert_allclose(found.speed[:, -1], strokes.fastest)
    assert np.all(np.diff(found.speed, axis=1) > 0.0)
    assert np.all(np.isfinite(found.finish_x)) and np.all(np.isfinite(found.landing))


def test_first_and_last_of_several_roots_are_kept(table: Coefficients, bag: Bag) -> None:
    """A bank that throws the ball back gives the same finish at two speeds: both are tried."""
    bank = tuple(
        ProfilePoint(at=x, height=z)
        for x, z in ((0.0, 0.0), (15.0, 0.0), (16.0, 0.45), (17.0, 0.0), (30.0, -0.6))
    )
    situation = put_all(
        Situation(), {"ground.profile": bank, "hole.distance": 13.0, "green.slope_along": 0.0}
    )
    targets = np.array([13.0])
    _, _, plans, _, _ = solved(situation, bag, table, targets)
    counts = np.bincount(plans.candidate)
    assert counts.max() == 2
    for who in np.flatnonzero(counts == 2):
        slow, fast = np.sort(plans.speed[plans.candidate == who])
        assert fast > slow


def test_plans_are_taken_by_index() -> None:
    plans = plan(np.arange(4), np.array([1.0, 2.0, 3.0, 4.0]), np.array([0.1, 0.2, 0.3, 0.4]))
    some = plans.take(np.array([3, 1, 1]))
    assert some.candidate.tolist() == [3, 1, 1]
    assert some.speed.tolist() == [4.0, 2.0, 2.0] and some.aim.tolist() == [0.4, 0.2, 0.2]
    assert some.finish.shape == (2, 3)


def test_an_open_face_is_solved_by_how_far_it_goes_not_where(table: Coefficients, bag: Bag) -> None:
    """Straight at the hole a lob lands well off the line; landing and finish are asked for on the line."""
    offered = [Candidate(bag.find("sand wedge"), "lob", False)]
    bench = bench_of(Situation(), table)
    strokes = Strokes.of([stroke(Situation(), c, table) for c in offered])
    found = scan(bench, strokes, int(table.choose.speeds))
    assert np.abs(found.finish_y[0, -1]) > 1.0
    np.testing.assert_allclose(found.way, np.hypot(found.finish_x, found.finish_y), rtol=1e-12)
    for by_landing in (True, False):
        plans, which = solve(bench, strokes, found, np.array([14.0]), by_landing=by_landing, rounds=5)
        assert which.tolist() == [0]
        _, done = hit(bench, strokes, plans, still(1), hole=False)
        at = done.landing if by_landing else done.rest
        assert at[0, 0] == pytest.approx(14.0, abs=MOSTLY)
        assert done.rest[1, 0] == pytest.approx(0.0, abs=MOSTLY)


def test_situations_that_share_a_batch_are_as_each_alone(table: Coefficients, bag: Bag) -> None:
    """Grounds, green, wind, lie and targets of four situations in one bench, and their own samples scored."""
    changes: list[dict[str, Any]] = [
        {},
        {"green.slope_along": 0.03, "green.speed": 3.6, "hole.distance": 20.0},
        {"green.firmness": 120.0, "air.wind_along": 5.0, "air.gust": 1.0, "air.altitude": 1500.0},
        {"lie.ground": "rough", "ground.profile": TIERS, "hole.distance": 20.0, "green.wet": True},
    ]
    situations = [put_all(Situation(), c) for c in changes]
    shots = [Candidate(bag.find(n), t, False) for n, t in (("sand wedge", "pitch"), ("8-iron", "chip"))]
    of = np.repeat(np.arange(len(situations)), len(shots))
    strokes = Strokes.of([stroke(s, c, table) for s in situations for c in shots])
    bench = bench_for(situations, of, table)
    assert len(set(bench.lane.tolist())) == 3  # firmness and wind shape no ground
    found = scan(bench, strokes, 12)
    targets = np.array([[s.hole.distance, np.nan, s.hole.distance + 1.0] for s in situations])
    plans, which = solve(bench, strokes, found, targets[of])
    assert set(which.tolist()) == {0, 2}
    luck, base = draws(1, 40, int(table.choose.block)), baseline("10", table)
    scored = sample(bench, strokes, plans, luck, base, lambda: None)
    for k, situation in enumerate(situations):
        alone = bench_of(situation, table)
        own = Strokes.of([stroke(situation, c, table) for c in shots])
        single, target = solve(alone, own, scan(alone, own, 12), targets[k])
        mine = np.flatnonzero(of[plans.candidate] == k)
        np.testing.assert_array_equal(target, which[mine])
        np.testing.assert_allclose(single.speed, plans.speed[mine], rtol=1e-9)
        one = sample(alone, own, single, luck, base, lambda: None)
        np.testing.assert_allclose(one.strokes, scored.strokes[mine], atol=1e-9)
