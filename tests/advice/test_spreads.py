"""The draws: the same luck for every shot, more of it without reshuffling, streams that are independent."""

import numpy as np
import pytest
from msgspec.structs import replace
from scipy import stats

from shortgame_gui.advice.advise import bench_of
from shortgame_gui.advice.delivery import Strokes, play, stroke
from shortgame_gui.advice.rules import Candidate
from shortgame_gui.advice.solve import hit, hit_and_met, plan
from shortgame_gui.advice.spreads import CHOOSING, QUANTITIES, TURF_STREAM, Draws, draws, still
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.shot import MOST_BOUNCES


def all_streams(luck: Draws) -> np.ndarray:
    executed = np.stack(list(luck.execution.values()))
    return np.concatenate([executed, luck.turf.reshape(-1, executed.shape[1])])


@pytest.mark.parametrize("block", [16, 256])
def test_more_samples_extend_fewer(block: int) -> None:
    many = all_streams(draws(7, 1000, block))
    for n in (2, 15, 16, 17, 256, 300):
        np.testing.assert_array_equal(all_streams(draws(7, n, block)), many[:, :n])


def test_a_later_block_goes_on_where_the_earlier_ends() -> None:
    np.testing.assert_array_equal(
        all_streams(draws(3, 64, 32, first_block=1)), all_streams(draws(3, 96, 32))[:, 32:]
    )


def test_taking_samples_keeps_each_with_its_luck() -> None:
    luck = draws(1, 40, 16)
    np.testing.assert_array_equal(all_streams(luck.take(5, 12)), all_streams(luck)[:, 5:12])


def test_every_quantity_and_bounce_is_drawn() -> None:
    luck = draws(1, 10, 16)
    assert tuple(luck.execution) == QUANTITIES and len(QUANTITIES) < TURF_STREAM
    assert luck.turf.shape == (3, MOST_BOUNCES, 10)
    assert not all_streams(still(4)).any()
    assert still(4).turf.shape == (3, MOST_BOUNCES, 4) and tuple(still(4).execution) == QUANTITIES


def test_seeds_blocks_and_streams_differ() -> None:
    one = all_streams(draws(1, 50, 50))
    assert len(np.unique(one)) == one.size
    for other in (draws(2, 50, 50), draws(0, 50, 50), draws(2**63 - 1, 50, 50), draws(1, 50, 50, CHOOSING)):
        assert not np.isin(all_streams(other), one).any()
    np.testing.assert_array_equal(all_streams(draws(1, 50, 50)), one)


def test_the_draws_are_standard_normal_and_independent() -> None:
    """Independent of the code: scipy's Kolmogorov-Smirnov test and Pearson's correlation."""
    n = 20_000
    streams = all_streams(draws(11, n, 256))
    for k, stream in enumerate(streams):
        assert stats.kstest(stream, "norm").pvalue > 1e-4, k
    between = np.corrcoef(streams) - np.eye(len(streams))
    assert np.abs(between).max() < 5.0 / np.sqrt(n)
    # Nor does a sample know the one before it, within blocks or across them.
    for stream in streams[: len(QUANTITIES)]:
        assert abs(np.corrcoef(stream[:-1], stream[1:])[0, 1]) < 5.0 / np.sqrt(n)


def test_all_shots_meet_the_same_luck(table: Coefficients, bag: Bag) -> None:
    """Two candidates of the same figures fare alike sample by sample, wherever they stand in the batch."""
    here = put_all(Situation(), {"air.gust": 2.0, "air.wind_along": 3.0})
    wedge = stroke(here, Candidate(bag.find("sand wedge"), "pitch", False), table)
    iron = stroke(here, Candidate(bag.find("8-iron"), "chip", False), table)
    strokes, luck = Strokes.of([wedge, iron, wedge]), draws(5, 32, 256)
    plans = plan(np.arange(3), np.array([12.0, 8.0, 12.0]), np.zeros(3))
    ball, done = hit(bench_of(here, table), strokes, plans, luck)
    for values in (ball.velocity, ball.spin, done.rest):
        first, _, third = np.split(values, 3, axis=-1)
        np.testing.assert_array_equal(first, third)
    assert len(np.unique(done.rest[0, :32])) == 32


@pytest.mark.parametrize("level", ["tour", "20"])
def test_the_spreads_are_those_of_the_level(level: str, table: Coefficients, bag: Bag) -> None:
    """Speed spreads by share and floor, loft and attack err together: the table's figures come back out.

    Without what is added for a swing held back, and without tails, which leave the quartiles where they are.

    The standard deviation of n draws errs by 1/sqrt(2 n), a correlation by about 1/sqrt(n): five of each.
    """
    n = 20_000
    here = put_all(Situation(), {"lie.ground": "bare", "player.level": level})
    normal = replace(table.delivery, tails=1e9)
    row, technique = replace(table.level[level], part_swing=0.0), table.technique["pitch"]
    table = replace(table, delivery=normal, level=table.level | {level: row})
    made = Strokes.of([stroke(here, Candidate(bag.find("sand wedge"), "pitch", False), table)])
    speed = float(made.full_speed[0])
    luck, none = draws(1, n, 256), np.zeros(n)
    # Low point apart: fat and thin strikes change loft and speed on purpose.
    luck = Draws(luck.execution | {"low_point": none}, luck.turf)
    ball = play(
        made.take(np.zeros(n, dtype=np.intp)),
        np.full(n, speed), none, luck, none, none, none, none, False, table,
    )  # fmt: skip
    within = 5.0 / np.sqrt(2.0 * n)
    sigma = technique.speed_difficulty * np.hypot(row.speed * speed, row.speed_floor)
    assert ball.head_speed.std() == pytest.approx(sigma, rel=within)
    assert ball.loft.std() == pytest.approx(technique.loft_difficulty * row.loft, rel=within)
    assert np.corrcoef(ball.loft, ball.attack)[0, 1] == pytest.approx(row.loft_attack, abs=5.0 / np.sqrt(n))


def test_better_levels_spread_less(table: Coefficients) -> None:
    levels = [table.level[name] for name in ("tour", "scratch", "10", "20", "30")]
    for name in ("speed", "speed_floor", "loft", "face", "path", "turf_height", "read_speed", "read_slope"):
        spread = [getattr(level, name) for level in levels]
        assert spread == sorted(spread) and spread[0] < spread[-1], name
    for name in ("putt_speed", "putt_direction"):
        spread = [getattr(level, name) for level in levels]
        assert spread == sorted(spread) and spread[0] < spread[-1], name


@pytest.mark.parametrize(("wind", "gust", "spread"), [(0.0, 0.0, 0.0), (5.0, 0.0, 1.0), (5.0, 2.0, 2.0)])
def test_a_wind_varies_by_a_part_of_itself_at_least(
    wind: float, gust: float, spread: float, table: Coefficients, bag: Bag
) -> None:
    """Along and across alike, whatever its direction; in still air nothing does."""
    assert table.air.turbulence == 0.2
    blowing = {"air.wind_along": -0.6 * wind, "air.wind_across": 0.8 * wind, "air.gust": gust}
    here = put_all(Situation(), blowing)
    made = Strokes.of([stroke(here, Candidate(bag.find("sand wedge"), "chip", False), table)])
    chip = plan(np.arange(1), np.array([4.0]), np.zeros(1))
    _, _, met = hit_and_met(bench_of(here, table), made, chip, draws(2, 2000, 256))
    means = (met.air.wind_x.mean(), met.air.wind_y.mean())
    assert means == pytest.approx((-0.6 * wind, -0.8 * wind), abs=0.1)
    for each in (met.air.wind_x, met.air.wind_y):
        assert each.std() == pytest.approx(spread, rel=0.08)
