"""Misses and swings a little off: the samples' own means, and the same shots as the trace plays."""

from typing import Any

import numpy as np
import pytest

from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.delivery import CLEAN, FAT, MISHITS, THIN
from shortgame_gui.advice.misses import HARDER, LEADERS, LEAST, SIDES, misses
from shortgame_gui.advice.rank import Samples
from shortgame_gui.advice.result import Advice, Shot
from shortgame_gui.advice.trace import trace
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import Band
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation


def samples(n: int, **given: Any) -> Samples:
    """Outcomes of one plan by hand: round the hole, well struck and three strokes unless ``given``."""
    luck = np.random.default_rng(5)
    usual: dict[str, Any] = {name: np.zeros((1, n)) for name in Samples.__dataclass_fields__}
    usual |= {"x": luck.normal(20.0, 2.0, (1, n)), "y": luck.normal(0.0, 1.0, (1, n))}
    usual |= {"strokes": 3.0 + luck.normal(0.0, 0.05, (1, n)), "met": np.full((1, n), -1.0)}
    return Samples(**(usual | given))


def test_balls_that_cost_the_same_everywhere_have_no_miss_to_avoid(table: Coefficients) -> None:
    (found,) = misses(samples(400), table)
    assert {m.code for m in found.found} == set(SIDES)
    assert all(m.chance == pytest.approx(0.25) for m in found.found)
    assert found.avoid is None and found.have is None


def test_the_dear_side_is_to_be_avoided_and_its_opposite_to_be_had(table: Coefficients) -> None:
    some = samples(400)
    for code, where in (("short", -some.x), ("long", some.x), ("left", some.y), ("right", -some.y)):
        dear = where > np.percentile(where, 75)
        (found,) = misses(samples(400, strokes=some.strokes + 0.8 * dear), table)
        assert (found.avoid, found.have) == (code, SIDES[code])
        miss = found.of(code)
        assert miss is not None and miss.strokes == pytest.approx(3.8, abs=0.03)
        assert found.found[0] is miss


def test_a_strike_is_told_with_its_chance_and_kept_out_of_the_sides(table: Coefficients) -> None:
    some = samples(400)
    kind = np.full((1, 400), float(CLEAN))
    kind[0, :40], kind[0, 40 : 40 + LEAST - 1] = FAT, THIN
    x = some.x - 15.0 * (kind == FAT)
    (found,) = misses(samples(400, mishit=kind, x=x, strokes=some.strokes + (kind == FAT)), table)
    fat, short = found.of("fat"), found.of("short")
    assert found.avoid == "fat" and found.have is None
    assert (
        fat is not None and fat.chance == pytest.approx(0.1) and fat.strokes == pytest.approx(4.0, abs=0.05)
    )
    assert short is not None and short.strokes == pytest.approx(3.0, abs=0.03)
    assert found.of("thin") is None, "too few to tell"


def test_a_rare_disaster_weighs_by_its_chance(table: Coefficients) -> None:
    some = samples(800)
    kind = np.full((1, 800), float(CLEAN))
    kind[0, :LEAST] = FAT
    dear = 0.5 * (some.x < np.percentile(some.x, 25)) + 2.0 * (kind == FAT)
    (found,) = misses(samples(800, mishit=kind, strokes=some.strokes + dear), table)
    assert found.avoid == "short"


@pytest.fixture(scope="module")
def advice(few: Bag, table: Coefficients) -> Advice:
    # Sand just short of where one lands: there a ball must not be short.
    bands = (Band(surface="sand", start=1.0, end=5.5, left=20.0, right=20.0),)
    return advise(put_all(Situation(), {"ground.bands": bands}), few, table, samples=256)


def flown(advice: Advice) -> Shot:
    return next(s for s in advice.shots if s.what_ifs and s.technique == "chip")


def test_the_misses_are_means_of_the_samples(advice: Advice) -> None:
    for shot in advice.shots:
        chances = [m.chance for m in shot.misses.found if m.code in MISHITS]
        told = [shot.trouble.get(m.code) for m in shot.misses.found if m.code in MISHITS]
        assert chances == pytest.approx(told)
        if shot.n == advice.samples:  # what was dropped early tells its strokes by the leader's
            costs = [m.chance * (m.strokes - shot.expected_strokes) for m in shot.misses.found]
            assert costs == sorted(costs, reverse=True) and len(costs) >= len(SIDES)
        for code in (shot.misses.avoid, shot.misses.have):
            assert code is None or shot.misses.of(code) is not None


def test_only_the_leading_shots_are_swung_a_little_off(advice: Advice) -> None:
    assert all(s.what_ifs for s in advice.shots[:LEADERS])
    assert not any(s.what_ifs for s in advice.shots[LEADERS:])
    for shot in advice.shots[:LEADERS]:
        codes = [w.code for w in shot.what_ifs]
        putt = shot.technique == "putt"
        assert codes == (["swung_harder"] if putt else ["landed_short", "landed_long", "swung_harder"])
        assert all(np.isfinite([*w.finish, w.strokes]).all() and w.error >= 0.0 for w in shot.what_ifs)


def test_a_swing_a_little_off_ends_where_the_trace_ends(advice: Advice, table: Coefficients) -> None:
    """The trace solves and plays on its own; without a hole in the way both must stop at the same place."""
    shot, situation = flown(advice), advice.situation
    hole = situation.hole.distance
    compared = 0
    for what in shot.what_ifs:
        way: dict[str, float] = {
            "landed_short": {"land": shot.carry - 1.0},
            "landed_long": {"land": shot.carry + 1.0},
            "swung_harder": {"head_speed": (1.0 + HARDER) * shot.head_speed},
        }[what.code]
        one = trace(situation, table, shot.club, shot.technique, **way)
        if one.ending == "holed":
            continue  # the trace has a hole in the way
        compared += 1
        assert float(one.result.rest[0, 0]) - hole == pytest.approx(what.finish[0], abs=0.15)
    assert compared


def test_landing_short_of_the_green_costs_and_landing_further_goes_further(advice: Advice) -> None:
    shot = flown(advice)
    short, long, harder = shot.what_ifs
    assert short.finish[0] < shot.finish_aim[0] < min(long.finish[0], harder.finish[0])


def test_rings_and_set_up_stand_with_every_shot(advice: Advice) -> None:
    hole = advice.situation.hole.distance
    for shot in advice.shots:
        far = np.hypot(shot.finishes[0] - hole, shot.finishes[1])
        assert shot.left.shape == far.shape and (shot.left <= far + 1e-9).all()
        one, two, three = shot.inside
        assert (
            shot.holed
            <= shot.within(0.2)
            <= one
            <= shot.within(1.5)
            <= two
            <= three
            <= shot.within(1e3)
            == 1.0
        )
        assert 0 < len(shot.setup.cues) <= 6
    assert advice.setup == advice.shots[0].setup


def test_the_lip_is_a_caution_of_the_shots_that_it_catches(few: Bag, table: Coefficients) -> None:
    lie = {"lie.ground": "sand", "lie.lip_distance": 1.5, "lie.lip_height": 0.9}
    there = advise(put_all(Situation(), lie), few, table, samples=96)
    marked = {
        ("lip" in s.cautions, s.trouble.get("lip", 0.0) > table.caution.lip_chance) for s in there.shots
    }
    assert marked <= {(True, True), (False, False)} and (True, True) in marked
    assert ("lip" in there.cautions) == ("lip" in there.shots[0].cautions)
