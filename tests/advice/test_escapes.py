"""Other ways out: when they are listed, what they cost, and a place where sideways is the way."""

from typing import Any

import msgspec
import numpy as np
import pytest

from shortgame_gui import assets
from shortgame_gui.advice import scene
from shortgame_gui.advice.advise import advise, bench_of
from shortgame_gui.advice.escapes import asked, left_from, relief
from shortgame_gui.advice.result import Advice, Escape
from shortgame_gui.advice.score import baseline
from shortgame_gui.model.club import Bag, Club
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import Obstacle
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import read_situation
from shortgame_gui.units import DEGREE

HEDGE = Obstacle(at=3.0, high=3.0, left=2.0, right=8.0)


def demo(name: str) -> Situation:
    return read_situation(assets.demo_text(f"situations/{name}.json").encode())


@pytest.fixture(scope="module")
def hedge(bag: Bag, table: Coefficients) -> Advice:
    return advise(demo("15-hedge-ahead"), bag, table)


def by_kind(advice: Advice) -> dict[str, Escape]:
    return {escape.kind: escape for escape in advice.escapes}


def strokes_of(escape: Escape) -> float:
    assert escape.strokes is not None
    return escape.strokes


def test_out_sideways_wins_where_a_hedge_stands_close(hedge: Advice) -> None:
    """Common practice, no source: what cannot be got over is played round."""
    first = hedge.escapes[0]
    assert first.kind == "sideways_left" and first.shot is not None and first.penalty == 0
    assert first.clear
    # It comes to lie on the fairway to the left, where the hedge does not reach.
    assert first.place is not None and first.place[1] > 3.0


def test_how_a_ball_is_played_out_is_told(hedge: Advice, table: Coefficients) -> None:
    """Landing, swing and set-up with what is played; a ball that is dropped has none of them."""
    for escape in hedge.escapes:
        played = escape.shot is not None
        assert (escape.landing is not None, bool(escape.swing), bool(escape.setup.cues)) == (played,) * 3
        if escape.landing is None or escape.place is None:
            continue
        # It lands on the way to where it stops, and runs on.
        assert 0.5 < np.hypot(*escape.landing) <= np.hypot(*escape.place) + 0.3
        turn = np.arctan2(*escape.landing[::-1]) - np.arctan2(*escape.place[::-1])
        assert abs(np.arctan2(np.sin(turn), np.cos(turn))) < 20.0 * DEGREE
        assert escape.swing in table.swing


def test_clearly_less_is_by_the_errors_of_a_tie(hedge: Advice, table: Coefficients) -> None:
    """One coefficient, `score.tie_errors`, says what chance would make, here as among the shots."""
    leader = hedge.shots[0]
    for escape in hedge.escapes:
        if escape.strokes is None:
            assert not escape.clear
            continue
        gap = leader.expected_strokes - escape.strokes
        error = np.hypot(escape.error, leader.standard_error)
        assert escape.clear == (gap > table.score.tie_errors * error)


def test_all_ways_are_listed_the_cheapest_first(hedge: Advice) -> None:
    assert set(by_kind(hedge)) == {
        "sideways_left", "sideways_right", "backwards", "unplayable_back", "unplayable_side",
        "stroke_and_distance",
    }  # fmt: skip
    costs = [e.strokes for e in hedge.escapes]
    assert costs[-1] is None and hedge.escapes[-1].rule == "19.2a"
    known = [c for c in costs if c is not None]
    assert known == sorted(known) and min(known) > 2.0


def test_relief_is_a_penalty_and_the_spot(table: Coefficients) -> None:
    """Rules of Golf 2023, 19.2b and c, from memory; the figure by hand from the score's own table."""
    situation = put_all(Situation(), {"player.level": "20"})
    bench, base = bench_of(situation, table), baseline("20", table)
    found = {e.kind: e for e in relief(bench, base)}
    side, back = found["unplayable_side"], found["unplayable_back"]
    assert (side.rule, side.penalty, back.rule, back.penalty) == ("19.2c", 1, "19.2b", 1)
    hole = situation.hole.distance
    assert side.place is not None and back.place is not None
    assert np.hypot(*side.place) <= 2.0 * table.escape.club_length + 1e-9
    assert np.hypot(hole - side.place[0], side.place[1]) >= hole - 1e-9
    assert back.place[0] < 0.0 == back.place[1]
    spot = np.array([[back.place[0]], [0.0], [0.0]])
    assert strokes_of(back) == pytest.approx(1.0 + left_from(bench, base, spot)[0])
    assert strokes_of(back) > 1.0 + 2.0


@pytest.mark.parametrize("ground", ["fairway", "rough"])
def test_an_embedded_ball_is_dropped_without_penalty(ground: str, table: Coefficients) -> None:
    """Rules of Golf 2023 (R&A and USGA), 16.3: one club-length, no nearer the hole, in the general area."""
    plugged = {"lie.ground": ground, "lie.sits": "plugged", "green.front": 1.2, "hole.distance": 9.0}
    situation = put_all(Situation(), plugged | {"ground.fringe": 0.0})
    bench, base = bench_of(situation, table), baseline("10", table)
    found = {e.kind: e for e in relief(bench, base)}
    free, hole = found.pop("embedded"), situation.hole.distance
    assert (free.rule, free.penalty) == ("16.3b", 0) and free.place is not None
    assert np.hypot(*free.place) <= table.escape.club_length + 1e-9
    assert np.hypot(hole - free.place[0], free.place[1]) >= hole - 1e-9
    zero = np.zeros(1, dtype=np.intp)
    surface = bench.ground.surface(*np.array(free.place)[:, None], zero)
    assert scene.SURFACES[surface[0]] not in ("green", "sand", "water", "out")
    # No stroke is added; out of rough it is dropped in rough, whatever grows ahead.
    spot = np.array([[free.place[0]], [free.place[1]], [0.0]])
    at = np.array([scene.SURFACES.index(ground), scene.SURFACES.index("fairway")])
    lies, _two = base.at(at, np.full(2, hole))
    more = float(lies[0] - lies[1])
    assert strokes_of(free) == pytest.approx(left_from(bench, base, spot)[0] + more, abs=1e-3)
    # The ways with a penalty stay.
    assert set(found) == {"unplayable_back", "unplayable_side", "stroke_and_distance"}
    assert strokes_of(free) < min(strokes_of(e) for e in found.values() if e.strokes is not None) - 0.5


@pytest.mark.parametrize("lie", [("sand", "plugged"), ("rough", "nested"), ("fairway", "down")])
def test_no_other_ball_is_dropped_without_penalty(lie: tuple[str, str], table: Coefficients) -> None:
    situation = put_all(Situation(), {"lie.ground": lie[0], "lie.sits": lie[1]})
    bench, base = bench_of(situation, table), baseline("10", table)
    assert "embedded" not in {e.kind for e in relief(bench, base)}


def test_a_ball_embedded_in_the_fairway_is_not_dug_out(bag: Bag, small: Coefficients) -> None:
    found = advise(put_all(Situation(), {"lie.sits": "plugged"}), bag, small, samples=32)
    free, leader = found.escapes[0], found.shots[0]
    assert free.kind == "embedded" and strokes_of(free) < leader.expected_strokes - 0.1


def test_what_leads_nowhere_is_no_way_out(bag: Bag, small: Coefficients) -> None:
    """Sideways out of its own pitch mark in rough a ball went half a metre, at the price of the drop."""
    plugged = {"lie.ground": "rough", "lie.sits": "plugged", "hole.distance": 25.0, "green.front": 15.0}
    ways = advise(put_all(Situation(), plugged | {"player.level": "20"}), bag, small, samples=96).escapes
    assert any(way.kind == "embedded" for way in ways)
    assert all(way.place is None or np.hypot(*way.place) >= 1.0 for way in ways if way.shot is not None)


def test_in_a_bunker_the_ball_stays_or_costs_two(table: Coefficients) -> None:
    """Rules of Golf 2023, 19.3, from memory."""
    situation = put_all(Situation(), {"lie.ground": "sand", "lie.lip_height": 0.5, "player.level": "20"})
    bench, base = bench_of(situation, table), baseline("20", table)
    found = {e.kind: e for e in relief(bench, base)}
    assert [(e.rule, e.penalty) for e in found.values()] == [
        ("19.2a", 1), ("19.3a", 1), ("19.3a", 1), ("19.3b", 2),
    ]  # fmt: skip
    zero = np.zeros(1, dtype=np.intp)
    for kind, sand in (("unplayable_back", True), ("unplayable_side", True), ("unplayable_out", False)):
        place = found[kind].place
        assert place is not None
        surface = bench.ground.surface(np.array([place[0]]), np.array([place[1]]), zero)
        assert (surface[0] == scene.SURFACES.index("sand")) == sand
    assert strokes_of(found["unplayable_out"]) < strokes_of(found["unplayable_side"]) + 1.0


@pytest.mark.parametrize(
    ("place", "stopped"),
    [((0.0, 0.0), True), ((-4.0, 0.0), False), ((0.0, 5.0), False), ((4.0, 0.0), False), ((2.9, 0.0), True)],
)
def test_a_ball_behind_a_hedge_is_not_clear(
    place: tuple[float, float], stopped: bool, table: Coefficients
) -> None:
    """Close to it, not from far enough to rise over it, from beside it or from beyond."""
    situation = put_all(Situation(), {"ground.obstacles": (HEDGE,)})
    bench, zero = bench_of(situation, table), np.zeros(1, dtype=np.intp)
    rest = np.array([[place[0]], [place[1]], [0.0]])
    found = scene.blocked(situation, bench.ground, zero, rest, situation.hole.distance, table)
    assert bool(found[0]) is stopped
    base = baseline("20", table)
    free = bench_of(put_all(situation, {"ground.obstacles": ()}), table)
    more = left_from(bench, base, rest) - left_from(free, base, rest)
    assert more[0] == pytest.approx(1.0 if stopped else 0.0)


@pytest.mark.parametrize(
    ("values", "wanted"),
    [
        ({}, False), ({"ground.obstacles": (HEDGE,)}, True),
        ({"lie.ground": "sand", "lie.lip_height": 0.4}, True),
        ({"lie.ground": "rough", "lie.sits": "nested"}, True), ({"lie.ground": "sand"}, False),
    ],
)  # fmt: skip
def test_they_are_worked_out_where_something_asks(
    values: dict[str, Any], wanted: bool, few: Bag, table: Coefficients
) -> None:
    found = advise(put_all(Situation(), {"player.level": "scratch"} | values), few, table, samples=16)
    leader = found.shots[0].trouble if found.shots else {}
    trouble = sum(leader.get(end, 0.0) for end in ("sand", "water", "out"))
    assert bool(found.escapes) == (wanted or trouble > table.escape.trouble)
    assert asked(found.situation, None, 0.2)


def test_they_mirror(few: Bag, table: Coefficients) -> None:
    values = {"lie.ground": "first_cut", "ground.obstacles": (HEDGE,), "green.slope_across": 0.02}
    other = msgspec.structs.replace(HEDGE, left=HEDGE.right, right=HEDGE.left)
    mirror = {"ground.obstacles": (other,), "green.slope_across": -0.02, "player.hand": "left"}
    one = by_kind(advise(put_all(Situation(), values), few, table, samples=8))
    two = by_kind(advise(put_all(Situation(), values | mirror), few, table, samples=8))
    swap = {"sideways_left": "sideways_right", "sideways_right": "sideways_left"}
    for kind, escape in one.items():
        there = two[swap.get(kind, kind)]
        assert there.strokes == pytest.approx(escape.strokes, abs=1e-9)
        assert there.shot == escape.shot


def test_a_lip_0_3_m_higher_changes_the_winner(bag: Bag, table: Coefficients) -> None:
    situation = demo("11-bunker-under-the-lip")
    higher = put_all(situation, {"lie.lip_height": situation.lie.lip_height + 0.3})
    one, two = (advise(s, bag, table).shots for s in (situation, higher))
    assert (one[0].club.name, one[0].technique) != (two[0].club.name, two[0].technique)
    was = [s for s in two if (s.club, s.technique) == (one[0].club, one[0].technique)]
    assert all(s.behind_best > 0.0 for s in was)  # if it is offered at all
    assert two[0].trouble["lip"] > max(table.caution.lip_chance, one[0].trouble["lip"])


def test_a_hybrid_chips(few: Bag, table: Coefficients) -> None:
    """Common practice, no source: from the fringe with a long way to run it rolls like a long putt."""
    hybrid = Club(name="hybrid", kind="hybrid", loft=22.0 * DEGREE, bounce=3.0 * DEGREE, length=1.0)
    long_green = {"lie.ground": "fringe", "green.front": 1.0, "green.depth": 30.0, "hole.distance": 20.0}
    # Its aim is found on more samples than are spent on a shot that stands behind.
    table = msgspec.structs.replace(
        table, choose=msgspec.structs.replace(table.choose, try_samples=128.0, first=512.0)
    )
    found = advise(put_all(Situation(), long_green), Bag(clubs=(*few.clubs, hybrid)), table, samples=512)
    chip = next(s for s in found.shots if s.club.name == "hybrid" and s.technique == "chip")
    assert chip.run > 4.0 * chip.carry and chip.behind_best < 0.35
    assert {s.technique for s in found.shots if s.club.name == "hybrid"} == {"chip", "bump_and_run"}


def test_where_no_shot_is_offered_the_unplayable_ball_is_left(bag: Bag, table: Coefficients) -> None:
    """A bag of one putter in rough: the rules refuse everything, and relief is always there."""
    putter = next(club for club in bag.clubs if club.kind == "putter")
    rough = put_all(Situation(), {"lie.ground": "rough", "lie.sits": "nested"})
    found = advise(rough, Bag(clubs=(putter,)), table)
    assert found.shots == () and found.refused
    assert {"unplayable_back", "unplayable_side", "stroke_and_distance"} == set(by_kind(found))
    assert found.escapes[-1].strokes is None


@pytest.mark.parametrize("level", ["20", "30", "junior"])
def test_a_plugged_ball_is_dug_out_as_far_as_it_goes(level: str, bag: Bag, table: Coefficients) -> None:
    """Common practice, no source: nobody drops it before trying to move it, towards the hole where nothing is
    in the way, else sideways or backwards; and that costs no penalty, so no more than a drop beside."""
    here = put_all(demo("11-bunker-under-the-lip"), {"lie.sits": "plugged", "player.level": level})
    ways = by_kind(advise(here, bag, table, samples=64))
    for kind in ("sideways_left", "sideways_right", "backwards"):
        place = ways[kind].place
        assert place is not None and np.hypot(*place) > 1.0
        assert strokes_of(ways[kind]) < strokes_of(ways["unplayable_side"]) + 0.4
    low = put_all(here, {"lie.lip_distance": 3.0, "lie.lip_height": 0.4, "ground.profile": ()})
    found = advise(put_all(low, {"green.front": 8.0}), bag, table, samples=64)
    drop = strokes_of(by_kind(found)["unplayable_side"])
    assert found.shots and found.shots[0].expected_strokes < drop - 0.1
