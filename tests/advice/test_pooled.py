"""What aims are worth by balls played to others: the density is scipy's, the worth that of many balls."""

from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from scipy import stats

from shortgame_gui.advice.advise import bench_of
from shortgame_gui.advice.aim import aims
from shortgame_gui.advice.delivery import SWING, Strokes, likelihood, stroke, tailed
from shortgame_gui.advice.pooled import Look, pooled
from shortgame_gui.advice.rank import sample
from shortgame_gui.advice.rules import candidates
from shortgame_gui.advice.score import baseline
from shortgame_gui.advice.solve import scan, solve
from shortgame_gui.advice.spreads import CHOOSING, draws
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation

PLACES: dict[str, dict[str, Any]] = {
    "long green": {"hole.distance": 25.0, "green.front": 3.0, "green.depth": 35.0, "player.level": "20"},
    "pitch in wind": {"hole.distance": 35.0, "green.front": 28.0, "air.wind_along": -4.0},
    "left-hander across a slope": {"green.slope_across": 0.03, "player.hand": "left"},
}
Array = npt.NDArray[np.float64]


def setting(values: dict[str, Any], bag: Bag, table: Coefficients) -> tuple[Any, ...]:
    """Bench, strokes and plans of every offered shot on all aims."""
    situation = put_all(Situation(), values)
    offered, _ = candidates(situation, bag)
    bench = bench_of(situation, table)
    strokes = Strokes.of([stroke(situation, c, table) for c in offered])
    plans, _ = solve(bench, strokes, scan(bench, strokes, int(table.choose.speeds)), aims(situation))
    return bench, strokes, plans, baseline(situation.player.level, table)


def test_the_density_is_that_of_students_t(table: Coefficients, bag: Bag) -> None:
    """scipy's, of errors with the quartiles of the draws; a putter's are normal and know no path."""
    situation = put_all(Situation(), {"lie.ground": "fringe"})
    offered, _ = candidates(situation, bag)
    strokes = Strokes.of([stroke(situation, c, table) for c in offered])
    n, freedom = len(offered), table.delivery.tails
    rng = np.random.default_rng(3)
    luck = {name: rng.standard_normal(7) for name in SWING}
    harder, wider, turn = rng.normal(0, 1, n), np.exp(rng.normal(0, 0.2, n)), rng.normal(0, 0.02, n)
    scale = stats.norm.ppf(0.75) / stats.t.ppf(0.75, freedom)
    putt = strokes.putt > 0.5
    assert 0 < putt.sum() < n
    expected = np.ones((n, 7))
    for name, factor, shift in (
        ("speed", wider, harder),
        ("face", np.ones(n), turn / strokes.spread_face),
        ("path", np.ones(n), turn / strokes.spread_path),
    ):
        loose = np.outer(factor, tailed(luck[name], freedom)) + shift[:, None]
        normal = np.outer(factor, luck[name]) + shift[:, None]
        heavy = stats.t.pdf(loose / scale, freedom) / stats.t.pdf(0.0, freedom)
        light = stats.norm.pdf(normal) / stats.norm.pdf(0.0)
        expected *= np.where(putt[:, None], 1.0 if name == "path" else light, heavy)
    expected *= wider[:, None]
    # The scale at which 1 + t^2 / freedom doubles comes from Wallace's quantile: 2 % off the exact one.
    got = likelihood(strokes, luck, harder, wider, turn, table)
    np.testing.assert_allclose(np.log(got), np.log(expected), rtol=0.05, atol=0.05)


@pytest.mark.parametrize(
    ("place", "part"), [("long green", 0.9), ("pitch in wind", 0.5), ("left-hander across a slope", 0.9)]
)
def test_few_balls_an_aim_tell_aims_apart_better_pooled(
    place: str, part: float, table: Coefficients, few: Bag
) -> None:
    """Against the worth of each aim on 1,024 balls: nearer, and within 0.03 strokes in the mean of seeds."""
    bench, strokes, plans, base = setting(PLACES[place], few, table)
    block, every, candidate = int(table.choose.block), np.arange(len(plans.speed)), plans.candidate
    count = np.maximum(np.bincount(candidate), 1)

    def apart(worth: Array) -> Array:
        """Of each plan's worth what it is beyond the mean of its candidate's."""
        return np.asarray(worth - (np.bincount(candidate, worth) / count)[candidate])

    truth = sample(bench, strokes, plans, draws(99, 1024, block), base, lambda: None).strokes.mean(axis=1)
    own, shared = [], []
    for seed in range(8):
        luck = draws(seed, 10, block, CHOOSING)
        value = sample(bench, strokes, plans, luck, base, lambda: None).strokes
        own.append(apart(value.mean(axis=1) - truth))
        shared.append(apart(pooled(bench, strokes, plans, [Look(every, luck, value)], every[:0]) - truth))
    assert np.median(np.abs(shared)) < part * np.median(np.abs(own))
    assert np.median(np.abs(np.mean(shared, axis=0))) < 0.03


def test_a_plan_alone_is_worth_its_own_balls(table: Coefficients, bag: Bag) -> None:
    bench, strokes, plans, base = setting({}, bag, table)
    alone = plans.take(np.unique(plans.candidate, return_index=True)[1])
    luck = draws(5, 16, int(table.choose.block), CHOOSING)
    value = sample(bench, strokes, alone, luck, base, lambda: None).strokes
    look = Look(np.arange(len(value)), luck, value)
    got = pooled(bench, strokes, alone, [look], np.arange(0))
    np.testing.assert_allclose(got, value.mean(axis=1), rtol=1e-12)
