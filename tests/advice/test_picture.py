"""The quick picture is that of the advice where nothing changed, and keeps its wishes where something did."""

from dataclasses import replace
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest

from shortgame_gui.advice import picture as quick
from shortgame_gui.advice.advise import advise, bench_of
from shortgame_gui.advice.delivery import Strokes, stroke
from shortgame_gui.advice.picture import Wish, picture
from shortgame_gui.advice.result import Advice, Drawn
from shortgame_gui.advice.rules import Candidate
from shortgame_gui.advice.solve import hit, plan
from shortgame_gui.advice.spreads import still
from shortgame_gui.advice.trace import ENDINGS, trace
from shortgame_gui.advice.ways import ways_of
from shortgame_gui.model.club import Bag
from shortgame_gui.model.ground import Green, Hole
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.shot import Enough, Result, simulate
from shortgame_gui.physics.steps import HOLED
from shortgame_gui.store.coefficients import load
from shortgame_gui.store.documents import packaged_bag

Mask = npt.NDArray[np.bool_]

HERE = Situation(green=Green(front=6.0, depth=24.0, slope_across=0.02), hole=Hole(distance=18.0))


@pytest.fixture(scope="module")
def advice() -> Advice:
    clubs = tuple(c for c in packaged_bag().clubs if c.name in ("putter", "sand wedge", "8-iron"))
    return advise(HERE, Bag(name="few", clubs=clubs), load(), samples=16)


LOOKED_AT = (
    ("sand wedge", "high_soft"), ("8-iron", "upright"), ("putter", "putt"), ("8-iron", "chip"),
    ("sand wedge", "bump_and_run"),
)  # fmt: skip


def wishes(advice: Advice) -> tuple[Wish, ...]:
    """High, low and along the ground."""
    shots = {(s.club.name, s.technique): s for s in advice.shots}
    return tuple(
        Wish(s.club, s.technique, s.head_speed, s.aim, finish=s.finish_aim)
        for s in (shots[name] for name in LOOKED_AT)
    )


def test_without_an_edit_the_picture_is_that_of_the_advice(advice: Advice) -> None:
    shots = {(s.club.name, s.technique): s for s in advice.shots}
    for name, drawn in zip(LOOKED_AT, picture(HERE, load(), wishes(advice)), strict=True):
        assert drawn is not None
        shot = shots[name]
        assert drawn.head_speed == pytest.approx(shot.head_speed, rel=2e-3)
        assert drawn.aim == pytest.approx(shot.aim, abs=2e-3)
        assert drawn.carry == pytest.approx(shot.carry, abs=0.05)
        assert drawn.landing == pytest.approx(shot.landing, abs=0.05)
        assert drawn.apex == pytest.approx(shot.apex, abs=0.03)
        assert drawn.swing == shot.swing


@pytest.mark.parametrize(
    "change",
    [
        {"hole.distance": 18.4},
        {"hole.distance": 22.0},
        {"green.speed": 3.6},
        {"green.slope_along": -0.02},
        {"air.wind_along": -6.0},
    ],
    ids=lambda change: next(iter(change)),
)
def test_after_an_edit_each_ball_finishes_where_it_did_beside_the_hole(
    advice: Advice, change: dict[str, float]
) -> None:
    edited = put_all(HERE, change)
    apart = []
    for wish, drawn in zip(wishes(advice), picture(edited, load(), wishes(advice)), strict=True):
        assert drawn is not None
        if drawn.ending != "at_rest" or wish.finish is None:
            continue
        apart.append(abs(drawn.rest[0] - edited.hole.distance - wish.finish[0]))
        assert drawn.rest[1] == pytest.approx(wish.finish[1], abs=0.05)
        assert drawn.left == pytest.approx(np.hypot(drawn.rest[0] - edited.hole.distance, drawn.rest[1]))
        assert drawn.surface == "green"
    # Finish against speed jumps where a ball just lands on the green or before it: an 8-iron that is pitched
    # down 2 % stops 0.31 m short of its aim or 0.22 m beyond, at no speed nearer.
    jumps = "green.slope_along" in change
    assert sum(off > 0.021 for off in apart) <= jumps and max(apart, default=0.0) <= 0.25


def played(situation: Situation, drawn: list[Drawn]) -> Result:
    """The balls with the head speeds and aims that are drawn."""
    known = [stroke(situation, Candidate(d.club, d.technique, False), load()) for d in drawn]
    speed, aim = (np.array([getattr(d, name) for d in drawn]) for name in ("head_speed", "aim"))
    plans = plan(np.arange(len(drawn)), speed, aim)
    return hit(bench_of(situation, load()), Strokes.of(known), plans, still(1), trace=True)[1]


@pytest.mark.parametrize(
    "change",
    [
        {"hole.distance": 18.9},
        {"green.slope_across": 0.03, "green.speed": 3.4},
        {"air.wind_across": 5.0},
        {"green.slope_along": -0.02},
    ],
    ids=lambda change: next(iter(change)),
)
def test_what_is_drawn_between_two_balls_is_what_a_ball_does(
    advice: Advice, change: dict[str, float]
) -> None:
    """Each head speed and aim of the picture is played, with a hole in the ground."""
    edited = put_all(HERE, change)
    drawn = [d for d in picture(edited, load(), wishes(advice)) if d is not None]
    assert len(drawn) > 3
    done = played(edited, drawn)
    for k, (one, way) in enumerate(zip(drawn, ways_of(done), strict=True)):
        assert one.ending == ENDINGS[int(done.ending[k])]
        assert one.rest == pytest.approx(done.rest[:2, k], abs=0.025)
        assert one.landing == pytest.approx(done.landing[:2, k], abs=0.01)
        assert one.apex == pytest.approx(done.apex[k], abs=0.01)
        assert one.track.time[-1] == pytest.approx(done.time[k], rel=0.01, abs=0.02)
        when = one.track.time * done.time[k] / one.track.time[-1]
        assert np.abs(way.at(when)[0] - one.track.position).max() < 0.08


def test_balls_that_are_not_awaited_change_nothing(advice: Advice, monkeypatch: pytest.MonkeyPatch) -> None:
    """Those that still roll when what is asked is known are left; to wait for them makes the same picture."""
    edited, left = put_all(HERE, {"green.slope_along": -0.02}), []
    some = tuple(
        replace(wish, way=18.0 + wish.finish[0], before=HERE) for wish in wishes(advice) if wish.finish
    )
    some += (replace(some[0], finish=None, landing=(9.0, 0.5), way=9.2),)

    def watched(*args: Any, enough: Enough, **more: Any) -> Result:
        def ask(result: Result, moves: Mask) -> bool:
            left.append(enough(result, moves))
            return left[-1]

        return simulate(*args, enough=ask, **more)

    monkeypatch.setattr(quick, "simulate", watched)
    early = picture(edited, load(), some)
    assert any(left)
    monkeypatch.setattr(quick, "simulate", lambda *args, enough, **more: simulate(*args, **more))
    for one, other in zip(early, picture(edited, load(), some), strict=True):
        assert one is not None and other is not None
        assert (one.head_speed, one.aim, one.rest) == (other.head_speed, other.aim, other.rest)
        assert one.track.position.tolist() == other.track.position.tolist()


def test_a_landing_is_met_and_agrees_with_the_trace(advice: Advice) -> None:
    """The trace solves the same shot in its own way, from a scan of all speeds."""
    sand = next(s for s in advice.shots if s.club.name == "sand wedge")
    wish = Wish(sand.club, sand.technique, sand.head_speed, sand.aim, landing=(9.0, 0.0))
    (drawn,) = picture(HERE, load(), (wish,))
    assert drawn is not None
    assert drawn.landing == pytest.approx((9.0, 0.0), abs=0.02)
    traced = trace(HERE, load(), sand.club, sand.technique, land=9.0)
    assert drawn.head_speed == pytest.approx(traced.head_speed, rel=5e-3)
    aside = replace(wish, landing=(9.0, 1.0))
    (left,) = picture(HERE, load(), (aside,))
    assert left is not None
    assert left.landing == pytest.approx((9.0, 1.0), abs=0.02)
    assert left.aim - drawn.aim == pytest.approx(np.arctan2(1.0, 9.0), abs=1e-3)


def test_a_ball_that_lands_between_two_others_rests_where_it_would(advice: Advice) -> None:
    """Where it rests may jump while its landing does not: nothing is drawn in between."""
    downhill = put_all(HERE, {"green.slope_along": -0.02})
    shots = {s.technique: s for s in advice.shots if s.technique in ("pitch", "upright", "low_check")}
    drawn = []
    for shot in shots.values():
        for far in np.arange(4.1, 9.0, 0.7).tolist():
            wish = Wish(shot.club, shot.technique, shot.head_speed, shot.aim, landing=(far, 0.5))
            drawn += [d for d in picture(downhill, load(), (wish,)) if d is not None]
    assert len(drawn) > 14
    there, rests = played(downhill, drawn), np.array([d.rest for d in drawn]).T
    drops = np.hypot(rests[0] - downhill.hole.distance, rests[1]) < 1e-9
    # One that comes just where the hole begins to take it may be drawn into it and pass.
    same = drops == (there.ending == HOLED)
    assert np.count_nonzero(~same) <= 1
    off = np.hypot(*(there.rest[:2] - rests))[same]
    assert np.median(off) < 0.01
    assert off.max() < 0.08


def test_a_far_edit_is_found_as_well(advice: Advice) -> None:
    """None of the head speeds near the old one reaches a hole twice as far."""
    far = put_all(HERE, {"green.depth": 40.0, "hole.distance": 40.0})
    sand = next(s for s in advice.shots if s.technique == "pitch")
    (drawn,) = picture(far, load(), (Wish(sand.club, "pitch", sand.head_speed, sand.aim, finish=(1.0, 0.0)),))
    assert drawn is not None
    assert drawn.rest == pytest.approx((41.0, 0.0), abs=0.3)


def test_what_cannot_be_played_is_left_out(advice: Advice) -> None:
    in_sand = put_all(HERE, {"lie.ground": "sand", "lie.sits": "clean"})
    wanted = wishes(advice)
    putter = next(c for c in packaged_bag().clubs if c.name == "putter")
    putt = Wish(putter, "putt", 3.0, 0.0, finish=(0.0, 0.0))
    assert picture(HERE, load(), (putt,))[0] is not None
    assert picture(in_sand, load(), (putt,)) == (None,)
    beyond = Wish(wanted[0].club, "chip", 8.0, 0.0, landing=(95.0, 0.0))
    assert picture(HERE, load(), (beyond,)) == (None,)
    # With a short backswing a partial wedge has one head speed at most.
    wedge = next(c for c in packaged_bag().clubs if c.name == "sand wedge")
    partial = Wish(wedge, "partial", 15.0, 0.0, finish=(0.0, 0.0), way=9.0)
    assert picture(put_all(HERE, {"stance.backswing": "short"}), load(), (partial,)) == (None,)
    assert picture(HERE, load(), ()) == ()


def test_a_wish_is_one_thing() -> None:
    club = packaged_bag().clubs[0]
    for given in ({}, {"finish": (0.0, 0.0), "landing": (5.0, 0.0)}):
        with pytest.raises(ValueError, match="exactly one"):
            Wish(club, "chip", 8.0, 0.0, **given)


def test_the_ways_are_whole(advice: Advice) -> None:
    drawn = [d for d in picture(HERE, load(), wishes(advice)) if isinstance(d, Drawn)]
    for one in drawn:
        assert one.track.position[:, 0] == pytest.approx([0, 0, 0], abs=1e-9)
        assert tuple(one.track.position[:2, -1]) == pytest.approx(one.rest, abs=0.03)


def test_the_samples_land_round_the_unperturbed_landing(advice: Advice) -> None:
    for shot in advice.shots:
        assert shot.landings.shape == shot.finishes.shape
        spread = float(np.hypot(*np.std(shot.landings, axis=1)))
        off = float(np.hypot(*(np.median(shot.landings, axis=1) - shot.landing)))
        assert off <= max(spread, 0.05)
