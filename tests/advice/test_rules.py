"""Which shots are offered: every one, or a reason that the words know."""

from collections.abc import Callable
from itertools import product
from typing import Any, get_args

import pytest

from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.delivery import MISHITS, stroke
from shortgame_gui.advice.rules import BY_GROUND, BY_SITS, KINDS, REASONS, Candidate, candidates, refusal
from shortgame_gui.model.club import Bag, Club, ClubKind
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import Obstacle
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.lie import LieGround, Sits
from shortgame_gui.model.player import TECHNIQUES
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import read_demo
from shortgame_gui.words.text import REFUSALS, refusal_text, run_text

Owning = Callable[..., dict[str, Any]]

GROUNDS, SITS = get_args(LieGround), get_args(Sits)
WRONG_KIND = {"needs_putter", "putter_only_putts", "needs_wedge", "not_with_hybrid"}


def lying(ground: str, sits: str) -> Situation:
    return put_all(Situation(), {"lie.ground": ground, "lie.sits": sits})


def test_words_and_rules_know_the_same_reasons() -> None:
    assert set(REFUSALS) == set(REASONS)
    assert len(set(REFUSALS.values())) == len(REASONS)


def test_the_rules_name_only_what_a_golfer_can_describe() -> None:
    assert set(KINDS) == set(TECHNIQUES)
    assert {ground for rows in BY_GROUND.values() for ground in rows} <= set(GROUNDS)
    assert {sits for rows in BY_SITS.values() for sits in rows} <= set(SITS)
    assert (set(BY_GROUND) | set(BY_SITS)) <= set(TECHNIQUES)


@pytest.mark.parametrize("technique", TECHNIQUES)
def test_every_shot_is_offered_or_has_a_reason_in_words(technique: str, bag: Bag) -> None:
    seen = set()
    for ground, sits, club in product(GROUNDS, SITS, bag.clubs):
        reason = refusal(lying(ground, sits), club, technique)
        seen.add(reason)
        if reason is not None:
            assert reason in REASONS
            assert refusal_text(reason)
    # From somewhere, with some club, every technique can be played.
    assert None in seen


@pytest.mark.parametrize("ground", GROUNDS)
def test_offered_and_refused_share_out_the_bag(ground: str, bag: Bag) -> None:
    fitting = {(c.name, t) for c in bag.clubs for t in TECHNIQUES if c.kind in KINDS[t]}
    for sits in SITS:
        offered, refused = candidates(lying(ground, sits), bag)
        played = [(c.club.name, c.technique) for c in offered]
        not_played = [(r.club, r.technique) for r in refused]
        assert len(played) == len(set(played)) and len(not_played) == len(set(not_played))
        assert set(played) | set(not_played) == fitting
        assert not set(played) & set(not_played)
        assert not {r.reason for r in refused} & WRONG_KIND
        # A ball can be hacked out of any lie; one deep in sand only from behind it.
        hacked = "dig" if ground == "sand" and sits in ("nested", "plugged") else "chip"
        assert any(technique == hacked for _, technique in played)


@pytest.mark.parametrize("kind", get_args(ClubKind))
def test_a_club_of_the_wrong_kind_is_told_why(kind: str) -> None:
    club = Club(name="any", kind=kind, loft=0.8)
    for technique in TECHNIQUES:
        reason = refusal(Situation(), club, technique)
        assert (reason in WRONG_KIND) == (kind not in KINDS[technique])


@pytest.mark.parametrize("technique", TECHNIQUES)
def test_no_rule_knows_a_loft(technique: str) -> None:
    for ground, sits, kind in product(GROUNDS, SITS, ("wedge", "iron")):
        reasons = {
            refusal(lying(ground, sits), Club(name="any", kind=kind, loft=loft), technique)
            for loft in (0.3, 0.7, 1.1)
        }
        assert len(reasons) == 1


@pytest.mark.parametrize("technique", TECHNIQUES)
def test_what_the_player_does_not_own_is_refused(technique: str, bag: Bag) -> None:
    without = put_all(Situation(), {f"player.techniques.{technique}": "no"})
    offered, refused = candidates(without, bag)
    assert technique not in {c.technique for c in offered}
    listed = {r.club for r in refused if r.technique == technique and r.reason == "not_owned"}
    assert listed == {c.name for c in bag.clubs if c.kind in KINDS[technique]}
    # The other techniques stay as they were.
    before, _ = candidates(Situation(), bag)
    assert [c for c in before if c.technique != technique] == offered


@pytest.mark.parametrize("technique", TECHNIQUES)
def test_a_shot_being_learned_spreads_more(technique: str, bag: Bag, table: Coefficients) -> None:
    club = next(c for c in bag.clubs if c.kind in KINDS[technique])
    where = {"splash": "sand", "thin_splash": "sand", "dig": "sand", "explode": "rough"}
    place = lying(where.get(technique, "fairway"), "down" if technique == "explode" else "clean")
    learner = put_all(place, {f"player.techniques.{technique}": "learning"})
    offered, _ = candidates(learner, bag)
    assert {c.learning for c in offered if c.technique == technique} == {True}
    assert {c.learning for c in offered if c.technique != technique} == {False}
    known = stroke(learner, Candidate(club, technique, False), table)
    new = stroke(learner, Candidate(club, technique, True), table)
    more = table.level[learner.player.level].learning
    assert more > 1.0
    for name in ("speed", "floor", "loft", "face", "path", "low", "side"):
        was = getattr(known, f"spread_{name}")
        assert getattr(new, f"spread_{name}") == pytest.approx(more * was)
    # What is meant stays the same.
    assert (new.loft, new.face, new.attack, new.full_speed) == (
        known.loft,
        known.face,
        known.attack,
        known.full_speed,
    )


def test_learning_costs_strokes(table: Coefficients, bag: Bag, owning: Owning) -> None:
    clubs = Bag(clubs=tuple(c for c in bag.clubs if c.kind == "wedge")[:2])
    knows = put_all(Situation(), owning("chip"))
    learns = put_all(knows, {"player.techniques.chip": "learning"})
    before = {s.club.name: s for s in advise(knows, clubs, table, samples=128).shots}
    after = {s.club.name: s for s in advise(learns, clubs, table, samples=128).shots}
    assert before and before.keys() == after.keys()
    for name, shot in before.items():
        assert after[name].expected_strokes > shot.expected_strokes


def test_refused_shots_are_listed_with_those_out_of_range(table: Coefficients, bag: Bag) -> None:
    from_rough = put_all(
        Situation(),
        {
            "lie.ground": "rough", "green.front": 68.0, "hole.distance": 75.0,
            "player.level": "20", "player.techniques.lob": "no",
        },
    )  # fmt: skip
    advice = advise(from_rough, bag, table, samples=4)
    reasons = {(r.club, r.technique): r.reason for r in advice.refused}
    assert reasons["putter", "putt"] == "grass_stops_putt"
    assert {r for (_, t), r in reasons.items() if t == "lob"} == {"not_owned"}
    assert {r for (_, t), r in reasons.items() if t == "low_check"} == {"no_clean_contact"}
    # A chip is too short a stroke to bring a wedge 75 m.
    assert reasons["sand wedge", "chip"] == "cannot_reach"
    fitting = {(c.name, t) for c in bag.clubs for t in TECHNIQUES if c.kind in KINDS[t]}
    assert {(s.club.name, s.technique) for s in advice.shots} | set(reasons) == fitting
    assert len(advice.shots) + len(advice.refused) == len(fitting)


def test_where_the_hole_is_out_of_reach_shots_go_as_far_as_it_pays(table: Coefficients, bag: Bag) -> None:
    """From bad rough 85 m away nobody would play sideways, with all of that open before them."""
    deep = {
        "lie.ground": "rough", "lie.sits": "down", "lie.rough_depth": 0.1, "player.level": "20",
        "green.front": 72.0, "hole.distance": 85.0, "green.depth": 28.0,
    }  # fmt: skip
    advice = advise(put_all(Situation(), deep), bag, table, samples=64)
    best = advice.shots[0]
    assert all(s.finish_aim[0] < -10.0 for s in advice.shots)
    assert best.carry + best.run > 40.0 and "leaves" in run_text(best)


def test_what_stands_in_the_way_is_not_played_into(table: Coefficients, bag: Bag) -> None:
    """Few shots clear a high hedge; of the others only those are offered that get over it at all."""
    hedge = read_demo("situations/15-hedge-ahead.json")
    advice = advise(hedge, bag, table, samples=16)
    at = hedge.ground.obstacles[0].at
    assert advice.shots and all(s.carry + s.run > at for s in advice.shots)


def test_what_stops_a_shot_is_said(table: Coefficients, bag: Bag, owning: Owning) -> None:
    """A wide hedge, and a bunker's lip, by name; a shot that is too short on the open ground is another."""
    wide = Obstacle(at=2.0, high=8.0, left=40.0, right=40.0)
    pitching = owning("pitch", "chip")
    behind = advise(put_all(Situation(), {"ground.obstacles": (wide,)} | pitching), bag, table, samples=4)
    assert not behind.shots
    reasons = {r.reason for r in behind.refused if r.technique in ("pitch", "chip")}
    assert reasons == {"obstacle_in_the_way"}
    sand = {"lie.ground": "sand", "lie.lip_height": 1.2, "lie.lip_distance": 2.0, "player.level": "20"}
    under = advise(put_all(Situation(), sand), bag, table, samples=4)
    said = {(r.club, r.technique): r.reason for r in under.refused}
    assert under.shots and said["6-iron", "chip"] == "lip_in_the_way"
    assert "lip_in_the_way" not in {r.reason for r in behind.refused}


@pytest.mark.parametrize(
    ("lie", "club", "technique"),
    [
        ({"lie.ground": "divot"}, "sand wedge", "upright"),
        ({"lie.ground": "sanded_divot"}, "sand wedge", "high_soft"),
        # What is slid under goes a few metres.
        (
            {"lie.ground": "rough", "lie.sits": "up", "lie.rough_depth": 0.14}
            | {"green.front": 2.0, "hole.distance": 8.0},
            "60-degree wedge",
            "lob",
        ),
    ],
)
def test_what_is_no_clean_strike_without_any_error_is_not_offered(
    lie: dict[str, Any], club: str, technique: str, table: Coefficients, bag: Bag
) -> None:
    """From a divot ball first with less loft, never an open face (common practice, no source); from high
    grass the face slides under (the same). What is offered is mostly met as it is meant to."""
    situation = put_all(Situation(), {"player.level": "10"} | lie)
    advice = advise(situation, bag, table, samples=48)
    reasons = {(r.club, r.technique): r.reason for r in advice.refused}
    assert reasons[club, technique] == "no_clean_strike"
    assert advice.shots[0].club.loft < bag.find(club).loft
    # A bag of nothing else: then it is told what that costs.
    only = Bag(clubs=(bag.find(club),))
    alone = put_all(situation, {f"player.techniques.{t}": "no" for t in TECHNIQUES if t != technique})
    left = advise(alone, only, table, samples=48).shots
    assert [(s.club.name, s.technique) for s in left] == [(club, technique)]
    mishits = sum(left[0].trouble.get(name, 0.0) for name in MISHITS[1:])
    assert mishits > 0.7


def test_a_swing_too_long_for_the_way_is_refused(table: Coefficients, bag: Bag, owning: Owning) -> None:
    close = put_all(Situation(), {"green.front": 1.0, "hole.distance": 3.0} | owning("partial"))
    advice = advise(close, bag, table, samples=4)
    assert advice.shots == () and advice.why is None and advice.setup.cues == ()
    assert {r.reason for r in advice.refused if r.technique == "partial"} == {"cannot_stop_short"}


def test_a_bag_without_a_club_for_it_gives_no_shot(table: Coefficients, bag: Bag, owning: Owning) -> None:
    putter = Bag(clubs=tuple(c for c in bag.clubs if c.kind == "putter"))
    in_rough = put_all(Situation(), {"lie.ground": "rough"} | owning("putt"))
    advice = advise(in_rough, putter, table, samples=4)
    assert advice.shots == ()
    assert [(r.technique, r.reason) for r in advice.refused] == [("putt", "grass_stops_putt")]
