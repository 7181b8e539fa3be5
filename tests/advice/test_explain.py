"""Why, set-up and cautions: the shots' own figures, at most six cues, each caution for and against."""

from collections.abc import Callable
from dataclasses import replace
from itertools import product
from math import hypot
from typing import Any

import numpy as np
import pytest

from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.explain import (
    LEAST_REASONS,
    LEAST_STEP,
    LINKS,
    MOST_CUES,
    MOST_REASONS,
    ON_GROUND,
    cautions,
    link,
    setup,
    why,
)
from shortgame_gui.advice.result import Advice, Shot
from shortgame_gui.advice.trace import trace
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.player import TECHNIQUES
from shortgame_gui.model.situation import Situation
from shortgame_gui.units import FOOT

Owning = Callable[..., dict[str, Any]]


@pytest.fixture(scope="module")
def advice(few: Bag, table: Coefficients) -> Advice:
    return advise(Situation(), few, table, samples=64)


# Why ------------------------------------------------------------


def told(shot: Shot, name: str) -> float:
    """The figure of a link as the shot's own fields and samples tell it, computed apart from `explain`."""
    if name == "spread":
        low, high = np.percentile(shot.finishes[0], (25, 75))
        return float(high - low)
    if name == "mishit":
        return sum(shot.trouble.get(kind, 0.0) for kind in ("fat", "thin", "blade"))
    if name == "off_green":
        lies = {"fringe", "fairway", "first_cut", "rough", "deep_rough", "bare", "sand", "water", "out"}
        return sum(chance for where, chance in shot.trouble.items() if where in lies)
    if name == "inside_2m":
        return shot.inside[1]
    if name == "landing_angle":
        return shot.landing_angle
    return float(
        {
            "launch": shot.launch, "spin": shot.spin, "apex": shot.apex, "landing_speed": shot.landing_speed,
            "carry": shot.carry, "run": shot.run,
        }[name]
    )  # fmt: skip


def test_why_names_the_two_leading_shots(advice: Advice) -> None:
    first, second = advice.shots[:2]
    found = advice.why
    assert found is not None
    assert found.first == (first.club.name, first.technique)
    assert found.second == (second.club.name, second.technique)
    assert (found.margin, found.margin_error, found.tie) == (
        second.behind_best, second.behind_best_error, second.tie,
    )  # fmt: skip


def test_every_link_tells_the_shots_own_figure(advice: Advice) -> None:
    for shot, name in product(advice.shots, LINKS):
        assert link(shot, name) == pytest.approx(told(shot, name), abs=1e-12), name


def test_reasons_are_the_largest_differences_in_steps_of_a_golfer(
    advice: Advice, table: Coefficients
) -> None:
    for first, second in zip(advice.shots, advice.shots[1:], strict=False):
        found = why((first, second), "average", table)
        assert found is not None and 0 < len(found.reasons) <= MOST_REASONS
        steps = [abs(r.first - r.second) / LINKS[r.link] for r in found.reasons]
        assert steps == sorted(steps, reverse=True) and steps[-1] > 0.0
        # A putt never flies: beside one only what a putt has is compared.
        names = ON_GROUND if "putt" in (first.technique, second.technique) else LINKS
        left_out = [abs(told(first, n) - told(second, n)) / LINKS[n] for n in names]
        largest = sorted(left_out, reverse=True)[:MOST_REASONS]
        # Only what is worth a word is said, and the two largest differences always.
        worth = [
            step for k, step in enumerate(largest) if step >= LEAST_STEP or (k < LEAST_REASONS and step > 0.0)
        ]
        assert steps == pytest.approx(worth)
        for reason in found.reasons:
            assert reason.first == pytest.approx(told(first, reason.link), abs=1e-12)
            assert reason.second == pytest.approx(told(second, reason.link), abs=1e-12)


def test_the_figures_are_those_of_the_trace(table: Coefficients, few: Bag) -> None:
    """The same head speed traced alone: strike, flight and run agree with what the advice tells."""
    bare = put_all(Situation(), {"lie.ground": "bare"})
    for shot in advise(bare, few, table, samples=4).shots[:6]:
        one = trace(bare, table, shot.club, shot.technique, head_speed=shot.head_speed)
        velocity = one.ball.velocity[:, 0]
        assert one.share == pytest.approx(shot.share)
        assert float(np.linalg.norm(velocity)) == pytest.approx(shot.ball_speed)
        assert float(np.arctan2(velocity[2], hypot(velocity[0], velocity[1]))) == pytest.approx(shot.launch)
        assert float(one.result.apex[0]) == pytest.approx(shot.apex)
        carry = float(np.hypot(one.result.landing[0, 0], one.result.landing[1, 0]))
        if shot.technique != "putt":
            assert carry == pytest.approx(shot.carry, abs=1e-6)
        # The shot's own path begins and lands where its figures say.
        assert shot.track.speed[0] == pytest.approx(shot.ball_speed, rel=1e-6)
        if shot.technique != "putt":
            at = shot.track.position[:, shot.track.landing]
            assert hypot(at[0], at[1]) == pytest.approx(shot.carry)


def test_run_and_carry_make_the_way(advice: Advice) -> None:
    for shot in advice.shots:
        total = shot.carry + shot.run
        along, left = shot.finish_aim
        assert total == pytest.approx(hypot(advice.situation.hole.distance + along, left))
        if shot.run > 0.0 and shot.carry > 0.0:
            assert shot.air_share == pytest.approx(shot.carry / total)


def test_figures_of_why_change_when_the_situation_does(few: Bag, table: Coefficients, advice: Advice) -> None:
    slow = advise(put_all(Situation(), {"green.speed": 2.0}), few, table, samples=64)
    assert slow.why is not None and advice.why is not None
    assert slow.why.reasons != advice.why.reasons
    for shot, reason in product(slow.shots[:1], slow.why.reasons):
        assert reason.first == pytest.approx(told(shot, reason.link), abs=1e-12)


def test_the_plainest_of_the_ties_is_named(few: Bag, table: Coefficients) -> None:
    """By the table's order from plain to fancy, better ranks first."""
    advice = advise(put_all(Situation(), {"player.level": "tour"}), few, table, samples=64)
    ties = [s for s in advice.shots if s.tie]
    assert len(ties) > 1 and advice.why is not None
    order = {name: row.plainness for name, row in table.technique.items()}
    plain = min(order[s.technique] for s in ties)
    first = next(s for s in ties if order[s.technique] == plain)
    assert advice.why.plainest == (first.club.name, first.technique)
    none = why(tuple(replace(s, tie=False) for s in advice.shots), "average", table)
    assert none is not None and none.plainest is None
    assert order["putt"] < order["chip"] < order["pitch"] < order["high_soft"] < order["lob"]


def test_one_shot_needs_no_why(advice: Advice, table: Coefficients) -> None:
    assert why(advice.shots[:1], "average", table) is None and why((), "average", table) is None


def test_identical_shots_give_no_reasons(advice: Advice, table: Coefficients) -> None:
    shot = advice.shots[0]
    found = why((shot, replace(shot, rank=2)), "average", table)
    assert found is not None and found.reasons == ()


# Set-up ------------------------------------------------------------

SLOPES = (-0.3, -0.05, 0.0, 0.05, 0.3)


def cues_of(table: Coefficients, shot: Shot, technique: str, along: float, across: float) -> dict[str, float]:
    here = put_all(Situation(), {"stance.slope_along": along, "stance.slope_across": across})
    found = setup(here, replace(shot, technique=technique), table).cues
    assert len({code for code, _ in found}) == len(found)
    return dict(found)


@pytest.mark.parametrize("technique", TECHNIQUES)
def test_never_more_than_six_cues(technique: str, table: Coefficients, advice: Advice) -> None:
    for along, across, aim in product(SLOPES, SLOPES, (-0.3, 0.0, 0.3)):
        shot = replace(advice.shots[0], aim=aim)
        cues = cues_of(table, shot, technique, along, across)
        assert MOST_CUES == 6 and 0 < len(cues) <= MOST_CUES
        # The length of swing is always among them.
        assert cues["swing"] == shot.share


@pytest.mark.parametrize("technique", TECHNIQUES)
def test_weight_goes_to_the_lower_foot_and_the_ball_to_the_higher(
    technique: str, table: Coefficients, advice: Advice
) -> None:
    level = table.technique[technique].weight_lead
    for slope in (0.05, 0.15, 0.3):
        down = cues_of(table, advice.shots[0], technique, -slope, 0.0)
        # Downhill the lead foot is the lower one, and the trail foot, where the ball goes, the higher.
        assert level < down["downhill_weight_lead"] <= 0.9
        assert "downhill_ball_back" in down and down["shoulders_with_slope"] == pytest.approx(
            -np.arctan(slope)
        )
        up = cues_of(table, advice.shots[0], technique, slope, 0.0)
        assert up["uphill_weight_trail"] < level
        assert "uphill_ball_forward" in up and up["shoulders_with_slope"] == pytest.approx(np.arctan(slope))
        assert not {"weight_lead", "ball_position"} & (set(up) | set(down))


@pytest.mark.parametrize("technique", [t for t in TECHNIQUES if t != "putt"])
def test_on_the_level_the_techniques_own_set_up_holds(
    technique: str, table: Coefficients, advice: Advice
) -> None:
    row = table.technique[technique]
    cues = cues_of(table, advice.shots[0], technique, 0.0, 0.0)
    assert cues["weight_lead"] == row.weight_lead and cues["ball_position"] == row.ball_position
    assert ("face_open" in cues) == (row.open > 0.0)


def test_from_sand_the_ball_is_felt_first_unless_the_club_goes_through(
    table: Coefficients, advice: Advice
) -> None:
    sand, feels = put_all(Situation(), {"lie.ground": "sand"}), {}
    for technique in ("putt", "pitch", "dig"):
        cues = setup(sand, replace(advice.shots[0], technique=technique, aim=0.0), table).cues
        feels[technique] = next(code for code, _ in cues if code.startswith("feel_"))
    assert feels == {"putt": "feel_putt", "pitch": "feel_clean", "dig": "feel_dig"}


def test_ball_above_and_below_the_feet(table: Coefficients, advice: Advice) -> None:
    for technique, along in product(("chip", "lob"), SLOPES):
        above = cues_of(table, advice.shots[0], technique, along, 0.2)
        below = cues_of(table, advice.shots[0], technique, along, -0.2)
        level = cues_of(table, advice.shots[0], technique, along, 0.0)
        assert "ball_above_grip_down" in above and "grip_down" not in above
        assert "ball_below_stay_down" in below
        assert not {"ball_above_grip_down", "ball_below_stay_down"} & set(level)


def test_a_gentle_slope_changes_no_set_up(table: Coefficients, advice: Advice) -> None:
    edge = table.caution.gentle_slope
    flat = cues_of(table, advice.shots[0], "chip", 0.0, 0.0)
    for along, across in ((0.9 * edge, 0.0), (-0.9 * edge, 0.9 * edge)):
        assert cues_of(table, advice.shots[0], "chip", along, across) == flat
    assert cues_of(table, advice.shots[0], "chip", 1.1 * edge, 0.0) != flat


def test_the_aim_is_said_when_it_is_worth_a_word(table: Coefficients, advice: Advice) -> None:
    worth = table.caution.aim_worth_saying
    for aim, word in ((1.1, "aim_left"), (-1.1, "aim_right"), (0.9, None), (-0.9, None)):
        cues = cues_of(table, replace(advice.shots[0], aim=aim * worth), "chip", 0.0, 0.0)
        said = {code: number for code, number in cues.items() if code.startswith("aim_")}
        assert said == ({word: pytest.approx(1.1 * worth)} if word else {})


def test_the_set_up_is_the_leaders(table: Coefficients, advice: Advice) -> None:
    assert advice.setup == setup(advice.situation, advice.shots[0], table)


# Cautions ------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "code"),
    [
        ("surroundings.people_near", "people_near"),
        ("surroundings.players_ahead", "players_ahead"),
        ("surroundings.lightning", "lightning"),
        ("surroundings.deep_bunker", "deep_bunker"),
        ("surroundings.round", "rule_4_3"),
    ],
)
def test_a_caution_is_said_when_its_condition_holds(path: str, code: str, table: Coefficients) -> None:
    assert cautions(put_all(Situation(), {path: True}), None, table) == (code,)
    assert cautions(put_all(Situation(), {path: False}), None, table) == ()


@pytest.mark.parametrize("path", ["stance.slope_along", "stance.slope_across"])
@pytest.mark.parametrize("side", [1.0, -1.0])
def test_a_bank_steeper_than_one_in_five_is_said(path: str, side: float, table: Coefficients) -> None:
    assert table.caution.steep_bank == pytest.approx(0.2)
    for slope, said in ((0.19, ()), (0.21, ("steep_bank",)), (0.45, ("steep_bank",))):
        assert cautions(put_all(Situation(), {path: side * slope}), None, table) == said


@pytest.mark.parametrize("path", ["green.slope_along", "green.slope_across"])
@pytest.mark.parametrize("side", [1.0, -1.0])
def test_a_green_that_holds_no_ball_is_said(path: str, side: float, table: Coefficients) -> None:
    """At stimp 10 a rolling sphere never stops down 7.8 %, at 12 down 6.5 (stimpmeter's release at 1.83 m/s,
    Holmes 1986, and 5/7 of the slope's pull; worked out apart from this code)."""
    for stimp, slope, said in (
        (10.0, 0.077, ()), (10.0, 0.079, ("green_holds_no_ball",)),
        (12.0, 0.064, ()), (12.0, 0.067, ("green_holds_no_ball",)),
    ):  # fmt: skip
        here = put_all(Situation(), {path: side * slope, "green.speed": stimp * FOOT})
        assert cautions(here, None, table) == said


def test_the_gravest_caution_comes_first(table: Coefficients) -> None:
    every = {
        f"surroundings.{name}": True
        for name in ("people_near", "players_ahead", "lightning", "deep_bunker", "round")
    }
    found = cautions(put_all(Situation(), every | {"stance.slope_along": -0.3}), None, table)
    assert found == (
        "lightning", "people_near", "players_ahead", "steep_bank", "deep_bunker", "rule_4_3",
    )  # fmt: skip


def test_the_lip_is_said_when_the_leader_meets_it(table: Coefficients, advice: Advice) -> None:
    most = table.caution.lip_chance
    for chance, said in ((0.5 * most, ()), (1.5 * most, ("lip",))):
        shot = replace(advice.shots[0], trouble={"lip": chance})
        assert cautions(Situation(), shot, table) == said


def test_a_high_lip_makes_a_bunker_deep(table: Coefficients) -> None:
    high = table.caution.deep_lip
    for ground, height, said in (
        ("sand", 1.1 * high, ("deep_bunker",)), ("sand", 0.9 * high, ()), ("fairway", 1.1 * high, ()),
    ):  # fmt: skip
        here = put_all(Situation(), {"lie.ground": ground, "lie.lip_height": height})
        assert cautions(here, None, table) == said


def test_cautions_are_part_of_the_advice(table: Coefficients, few: Bag, owning: Owning) -> None:
    here = put_all(Situation(), {"surroundings.lightning": True} | owning("putt"))
    found = advise(here, few, table, samples=4)
    assert found.cautions == ("lightning",)
    # Said even where no shot is left.
    none = advise(put_all(here, {"lie.ground": "rough"}), few, table, samples=4)
    assert none.shots == () and none.cautions == ("lightning",)
