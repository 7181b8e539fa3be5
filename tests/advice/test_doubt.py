"""Not sure: drawn alike for all shots, nothing where all is sure, and a cost that full advice bears out."""

from collections.abc import Callable
from statistics import NormalDist
from typing import Any

import msgspec
import numpy as np
import pytest

from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.doubt import Known, error_between, spread_evenly
from shortgame_gui.advice.result import Advice
from shortgame_gui.advice.truth import IN_GRASS, IN_SAND, as_known, doubts, sitting, steps, truth_of
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.fields import fields_of
from shortgame_gui.model.ground import NotSure
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.units import FOOT

Owning = Callable[..., dict[str, Any]]
FAR_CHIP = {"player.level": "tour", "green.depth": 30.0, "hole.distance": 20.0}
WHOLE = {
    "not_sure.green_speed": 0.6, "not_sure.firmness": 15.0, "not_sure.slope_along": 0.015,
    "not_sure.slope_across": 0.015, "not_sure.wind": 2.0, "not_sure.lie": 1.0,
    "lie.ground": "rough", "lie.sits": "half_down",
}  # fmt: skip


@pytest.fixture(scope="module")
def wedge(bag: Bag) -> Bag:
    return Bag(clubs=(bag.find("gap wedge"),))


def test_all_is_sure_unless_said_otherwise(few: Bag, table: Coefficients) -> None:
    assert doubts(Situation()) == {} and steps(Situation()) == (0,)
    assert advise(Situation(), few, table, samples=8).doubt is None


def test_the_least_doubt_reshuffles_nothing(
    few: Bag, table: Coefficients, figures: Callable[..., dict[str, float]]
) -> None:
    """Doubt has streams of its own: with next to none of it every figure is as without."""
    sure = advise(Situation(), few, table, samples=16).shots
    doubted = put_all(Situation(), {"not_sure.green_speed": 1e-9})
    unsure = advise(doubted, few, table, samples=16).shots
    for one, two in zip(sure, unsure, strict=True):
        assert figures(two) == pytest.approx(figures(one), rel=1e-6, abs=1e-6)


def test_every_doubt_is_known_by_its_name() -> None:
    situation = put_all(Situation(), WHOLE)
    assert {"wind" if name.startswith("wind") else name for name in doubts(situation)} == {
        field.name for field in fields_of(NotSure)
    }


@pytest.mark.parametrize(
    ("doubt", "axis", "technique"),
    [
        ({"not_sure.green_speed": 1.0}, 0, "chip"), ({"not_sure.firmness": 25.0}, 0, "pitch"),
        ({"not_sure.slope_along": 0.02}, 0, "chip"), ({"not_sure.slope_across": 0.03}, 1, "chip"),
        ({"not_sure.wind": 4.0}, 1, "pitch"),
    ],
)  # fmt: skip
def test_each_doubt_spreads_the_finishes(
    doubt: dict[str, float], axis: int, technique: str, wedge: Bag, table: Coefficients, owning: Owning
) -> None:
    far = {"player.level": "tour", "green.front": 25.0, "green.depth": 30.0, "hole.distance": 40.0}
    base = put_all(Situation(), (FAR_CHIP if technique == "chip" else far) | owning(technique))
    sure, unsure = (
        advise(s, wedge, table, samples=128).shots[0].finishes[axis] for s in (base, put_all(base, doubt))
    )
    assert np.ptp(np.percentile(unsure, (25, 75))) > 1.1 * np.ptp(np.percentile(sure, (25, 75)))


def test_twins_meet_the_same_truth(few: Bag, table: Coefficients, owning: Owning) -> None:
    club = few.find("sand wedge")
    twins = Bag(clubs=(club, msgspec.structs.replace(club, name="twin")))
    found = advise(put_all(Situation(), WHOLE | owning("pitch")), twins, table, samples=32)
    first, second = found.shots
    assert second.behind_best == second.behind_best_error == 0.0
    np.testing.assert_array_equal(first.finishes, second.finishes)


def test_a_lie_in_doubt_costs_as_its_grades_do(wedge: Bag, table: Coefficients, owning: Owning) -> None:
    """Some of the balls lie deeper and come up short, as all do where it surely lies there."""
    base = put_all(Situation(), {"lie.ground": "rough", "player.level": "tour"} | owning("pitch"))
    doubted = put_all(base, {"not_sure.lie": 1.0})
    deep = put_all(base, {"lie.sits": "down"})
    short = [
        float(np.mean(advise(s, wedge, table, samples=200).shots[0].finishes[0] < 12.0))
        for s in (base, doubted, deep)
    ]
    assert short[0] < short[1]
    assert steps(doubted) == (0, -1, 1, 2, 3)
    assert [sitting(doubted, k).lie.sits for k in sorted(steps(doubted))] == list(IN_GRASS)


def test_grades_stay_where_a_ball_can_sit() -> None:
    sand = put_all(Situation(), {"lie.ground": "sand", "not_sure.lie": 2.0})
    assert [sitting(sand, k).lie.sits for k in steps(sand)] == list(IN_SAND)
    furrow = put_all(sand, {"lie.sits": "furrow"})
    assert steps(furrow) == (0,) and doubts(furrow) == {}
    far = truth_of(sand, {"lie": np.array([-9.0, 0.0, 9.0])}, 3)
    assert far.lie.tolist() == [0, 0, 2]


def test_truths_become_situations_that_can_be_stated() -> None:
    """Also far out, where green speed and slope end at the bounds of the model."""
    situation = put_all(Situation(), WHOLE | {"green.slope_along": 0.09, "green.speed": 5.5 * FOOT})
    names = set(doubts(situation))
    truth = truth_of(situation, {name: np.array([-3.0, 0.0, 3.0]) for name in names}, 3)
    low, middle, high = (as_known(situation, truth, k) for k in range(3))
    assert middle == msgspec.structs.replace(situation, not_sure=NotSure())
    assert low.green.speed == pytest.approx(5.0 * FOOT) and high.green.slope_along == 0.10
    assert high.air.wind_across == pytest.approx(6.0) and low.lie.sits == "up"


@pytest.mark.parametrize(
    ("path", "spread", "middle"),
    [("speed", 1.0, 10.0 * FOOT), ("firmness", 20.0, 85.0), ("slope_along", 0.02, 0.0)],
)
def test_the_cost_is_that_of_full_advice_for_each_condition(
    path: str, spread: float, middle: float, wedge: Bag, table: Coefficients, owning: Owning
) -> None:
    """Another way to the same figure: whole answers, one a condition, each with the condition known.

    The mean over eight equally likely slices; independent of the nested design but for the engine itself.
    """
    # Aims on more samples than usual: else a leader whose aim is a little off decides how much is saved.
    sizes = msgspec.structs.replace(
        table.choose,
        try_samples=16.0,
        try_more=240.0,
        try_plans=5.0,
        doubt_samples=1024.0,
    )
    table = msgspec.structs.replace(table, choose=sizes)
    base = put_all(Situation(), FAR_CHIP | owning("chip"))
    name = "green_speed" if path == "speed" else path
    doubted = advise(put_all(base, {f"not_sure.{name}": spread}), wedge, table, samples=1000)
    middles = np.array([NormalDist().inv_cdf((k + 0.5) / 8) for k in range(8)])
    values = middle + spread * middles / middles.std()
    values = np.clip(values, 5.0 * FOOT, None) if path == "speed" else values
    known = [
        advise(put_all(base, {f"green.{path}": float(value)}), wedge, table, samples=1000) for value in values
    ]
    cost = doubted.shots[0].expected_strokes - float(np.mean([a.shots[0].expected_strokes for a in known]))
    told = doubted.doubt
    assert told is not None and told.clear and told.most == name
    assert told.cost == pytest.approx(cost, abs=3.0 * told.error + 0.005)
    # With one shot to choose from, knowing changes how it is played and not which.
    assert told.changes == 0.0 and told.instead is None


def test_more_doubt_costs_more(wedge: Bag, table: Coefficients, owning: Owning) -> None:
    base = put_all(Situation(), FAR_CHIP | owning("chip"))
    found = [
        advise(put_all(base, {"not_sure.slope_along": s}), wedge, table, samples=64).doubt
        for s in (0.002, 0.01, 0.03)
    ]
    costs = [d.cost for d in found if d is not None]
    assert costs == sorted(costs) and costs[2] > costs[0] + 0.05
    assert found[0] is not None and not found[0].clear


def test_knowing_how_it_sits_may_change_the_shot(few: Bag, table: Coefficients) -> None:
    """A ball that may sit up or at the bottom of the rough: the one asks for another shot than the other."""
    rough = {"lie.ground": "rough", "player.level": "10", "green.front": 12.0, "hole.distance": 24.0}
    table = msgspec.structs.replace(table, choose=msgspec.structs.replace(table.choose, doubt_samples=1024.0))
    found: Advice = advise(put_all(Situation(), rough | {"not_sure.lie": 2.0}), few, table)
    assert found.doubt is not None and found.doubt.most == "lie"
    assert found.doubt.clear and found.doubt.changes >= 0.125
    assert found.doubt.instead is not None
    leader = found.shots[0]
    assert found.doubt.instead != (leader.club.name, leader.technique)


def test_among_many_doubts_the_one_that_moves_most_is_named(few: Bag, table: Coefficients) -> None:
    firm = {"green.front": 12.0, "hole.distance": 24.0, "player.level": "tour"}
    little = {"not_sure.green_speed": 0.05, "not_sure.slope_across": 0.001, "not_sure.slope_along": 0.02}
    found = advise(put_all(Situation(), firm | little), few, table, samples=512).doubt
    assert found is not None and found.most == "slope_along"


# The design itself ------------------------------------------------------------------


def test_conditions_are_spread_evenly() -> None:
    drawn = spread_evenly({"green_speed", "firmness", "lie"}, 8, seed=5)
    for values in drawn.values():
        assert values.mean() == pytest.approx(0.0, abs=1e-12) and values.std() == pytest.approx(1.0)
        assert sorted(values.tolist()) == sorted(drawn["lie"].tolist())
    assert drawn["green_speed"].tolist() != drawn["firmness"].tolist()


def test_picking_the_best_of_equals_saves_nothing() -> None:
    """Twenty shots that are worth the same: the least mean is far below it, what is told as saved is not."""
    generator = np.random.default_rng(8)
    told, flattered = [], []
    for _ in range(200):
        values = 3.0 + generator.normal(size=(4, 20, 64))
        told.append(Known(values[:, 0], values).saved().mean())
        flattered.append((values[:, 0].mean(axis=1) - values.mean(axis=2).min(axis=1)).mean())
    assert abs(np.mean(told)) < 0.02 < 0.2 < np.mean(flattered)


def test_a_winner_must_win_on_samples_that_did_not_pick_it() -> None:
    generator = np.random.default_rng(9)
    values = 3.0 + generator.normal(size=(200, 6, 64))
    found = Known(values[:, 0], values).winners(2.7, 0.02)
    assert np.mean([w > 0 for w in found]) < 0.02
    values[:, 2] -= 1.5
    assert np.mean([w == 2 for w in Known(values[:, 0], values).winners(2.7, 0.02)]) > 0.95


def test_the_error_forgives_what_the_even_spread_takes_out() -> None:
    drawn = spread_evenly({"green_speed"}, 8, seed=1)
    z = drawn["green_speed"]
    smooth = 0.1 + 0.05 * z + 0.03 * z * z
    assert error_between(smooth, drawn) < 1e-9 < smooth.std()
    noise = np.random.default_rng(3).normal(size=(4000, 8))
    errors = [error_between(smooth + one, drawn) for one in noise[:400]]
    # Independent: the error of a mean of eight is the spread over the root of eight.
    assert np.sqrt(np.mean(np.square(errors))) == pytest.approx(noise.std() / np.sqrt(8.0), rel=0.1)
