"""Balls that lie deep, in sand or in the ground: what teachers say, and what holds for any of them.

Common practice, no source: nobody has published what a club does to a ball that it meets through sand. The
engine holds no rule about it: `advice.delivery` lets the edge pass under a ball wherever it lies, the sole
turn it up on the way, and what is cut for it share the club's momentum.
"""

from __future__ import annotations

from itertools import pairwise
from math import sqrt
from typing import Any

import msgspec
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from test_must_hold import landed, struck, wedge

from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.delivery import stroke, way_under
from shortgame_gui.advice.result import Shot
from shortgame_gui.advice.rules import Candidate
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation

DEEPER = ("clean", "half_down", "down", "nested", "plugged")
#: Eight metres to the green and ten more to the hole, over a lip that everybody clears from a clean lie.
BUNKER: dict[str, Any] = {
    "lie.ground": "sand", "lie.lip_height": 0.4, "green.front": 8.0, "green.depth": 25.0,
    "green.left": 12.0, "green.right": 12.0, "hole.distance": 18.0,
}  # fmt: skip
OPEN, SQUARE = ("splash", "thin_splash"), ("dig",)

depths = st.sampled_from(DEEPER)
sands = st.sampled_from(("fine", "firm", "wet"))
explosions = st.sampled_from(("splash", "dig"))
lofts = st.floats(46.0, 62.0)


@pytest.fixture(scope="module")
def wedges(bag: Bag) -> Bag:
    return Bag(clubs=tuple(c for c in bag.clubs if c.kind == "wedge"))


def ranked(table: Coefficients, clubs: Bag, level: str, seed: int = 1, **lie: str) -> tuple[Shot, ...]:
    here = put_all(Situation(), BUNKER | {f"lie.{k}": v for k, v in lie.items()} | {"player.level": level})
    return advise(here, clubs, table, samples=192, seed=seed).shots


def best(shots: tuple[Shot, ...], techniques: tuple[str, ...]) -> float:
    """Strokes of the best of ``shots`` played in one of these ways; infinite where none gets anywhere."""
    return min((s.expected_strokes for s in shots if s.technique in techniques), default=np.inf)


@pytest.mark.parametrize(
    ("sand", "level"),
    [(sand, level) for sand in ("fine", "firm") for level in ("tour", "scratch", "10", "20")]
    + [("wet", "tour"), ("wet", "scratch"), ("wet", "10")],
)
def test_a_plugged_ball_is_dug_out_with_a_square_face(
    sand: str, level: str, wedges: Bag, table: Coefficients
) -> None:
    """Common practice, no source: the edge of a square or closed face digs, and an open one glides.

    For most levels; in wet sand the two are level for handicap 20.
    """
    shots = ranked(table, wedges, level, sand=sand, sits="plugged")
    assert best(shots, SQUARE) < best(shots, OPEN) - 0.01


@pytest.mark.parametrize("level", ["scratch", "10", "20", "30"])
def test_a_clean_ball_is_not(level: str, wedges: Bag, table: Coefficients) -> None:
    """Common practice, no source: from clean fine sand the face is laid open."""
    shots = ranked(table, wedges, level)
    assert best(shots, OPEN) < best(shots, SQUARE) - 0.03


@pytest.mark.parametrize("level", ["tour", "scratch", "10", "20", "30"])
def test_the_deeper_a_ball_lies_in_sand_the_more_it_costs(
    level: str, wedges: Bag, table: Coefficients
) -> None:
    """Common practice, no source; in the mean of two seeds, for one says the last step to 0.05 strokes."""
    found = [[ranked(table, wedges, level, seed, sits=sits)[0] for sits in DEEPER] for seed in (1, 2)]
    needed = np.mean([[shot.expected_strokes for shot in some] for some in found], axis=0)
    assert np.diff(needed).min() > 0.02 and needed[-1] > needed[0] + 0.5


def test_a_plugged_ball_comes_out_lower_and_runs_on(wedges: Bag, table: Coefficients) -> None:
    """Common practice, no source: lower, with hardly any spin, and so further from where it lands."""
    clean = next(s for s in ranked(table, wedges, "tour") if s.technique == "splash")
    plugged = next(s for s in ranked(table, wedges, "tour", sits="plugged") if s.technique == "dig")
    assert plugged.launch < clean.launch - 0.1
    assert plugged.spin < 0.5 * clean.spin
    assert plugged.run > clean.run + 3.0 and plugged.run > plugged.carry > 4.0


@given(technique=explosions, loft=lofts, sand=sands, target=st.floats(2.0, 5.0), one=depths, other=depths)
@settings(max_examples=30)
def test_the_deeper_the_lower_and_the_further_it_runs(
    technique: str, loft: float, sand: str, target: float, one: str, other: str, table: Coefficients
) -> None:
    """The same shot landing on the same spot. From a closed face that is lower than ground breaks out
    anyway, the launch is left as it is."""
    assume(DEEPER.index(one) < DEEPER.index(other))
    green = {"green.front": 0.5, "green.depth": 60.0, "hole.distance": 20.0, "lie.lip_distance": 0.5}
    here = put_all(Situation(), green | {"lie.ground": "sand", "lie.sand": sand, "player.level": "tour"})
    lies = [put_all(here, {"lie.sits": sits}) for sits in (one, other)]
    found = landed(lies, [wedge(loft)] * 2, technique, table, target)
    shallow = stroke(lies[0], Candidate(wedge(loft), technique, False), table)
    assert found.backspin[1] < found.backspin[0]
    if found.launch[0] > shallow.breaks:
        assert found.launch[1] < found.launch[0] + 1e-9
        assert found.run[1] > found.run[0]


@given(technique=explosions, loft=lofts, sand=sands, share=st.floats(0.2, 1.0),
       slope=st.floats(-0.15, 0.2))  # fmt: skip
@settings(max_examples=30)
def test_the_deeper_the_slower(
    technique: str, loft: float, sand: str, share: float, slope: float, table: Coefficients
) -> None:
    """Off the same swing, uphill and downhill."""
    here = {"lie.ground": "sand", "lie.sand": sand, "stance.slope_along": slope}
    lies = [put_all(Situation(), here | {"lie.sits": sits}) for sits in DEEPER]
    speed = struck(lies, [wedge(loft)] * len(lies), technique, table, share).speed
    assert np.all(np.diff(speed) < 0.0) and speed[-1] < 0.75 * speed[0]


@given(buried=st.floats(0.0, 0.03), more=st.floats(1e-4, 1e-3), technique=explosions, loft=lofts)
@settings(max_examples=40)
def test_a_little_deeper_is_a_little_slower(
    buried: float, more: float, technique: str, loft: float, table: Coefficients
) -> None:
    """No jump anywhere between clean and buried whole."""
    here = put_all(Situation(), {"lie.ground": "sand", "lie.sits": "nested"})
    speeds = []
    for deep in (buried, buried + more):
        through = msgspec.structs.replace(table.through, buried=deep)
        other = msgspec.structs.replace(table, through=through)
        speeds.append(float(struck(here, [wedge(loft)], technique, other, 0.8).speed[0]))
    assert 0.0 <= speeds[0] - speeds[1] < 200.0 * more * speeds[0]


@given(deeper=st.floats(1e-5, 0.04), fall=st.floats(0.03, 0.4), turn=st.floats(0.0, 2.0))
def test_the_way_under_a_ball(deeper: float, fall: float, turn: float) -> None:
    """Independent: height lost on an arc that starts at a slope of ``fall`` and bends by ``turn`` a metre; a
    steeper one is shorter, and one that is turned up more is longer or does not get there."""
    further, reached = way_under(deeper, fall, turn)
    assert reached <= deeper and fall * further - 0.5 * turn * further**2 == pytest.approx(reached)
    assert reached == pytest.approx(deeper) or fall == pytest.approx(turn * further)
    steeper, _ = way_under(deeper, 1.2 * fall, turn)
    assert reached < deeper or steeper < further
    other, least = way_under(deeper, fall, turn + 0.1)
    assert least <= reached and (least < deeper or other >= further)


def test_what_bears_the_sole_lengthens_the_way_under_a_deep_ball(table: Coefficients, bag: Bag) -> None:
    """Common practice, no source: the further open, and the wider the sole, the more sand it takes; the
    steeper, the less."""
    plugged = put_all(Situation(), {"lie.ground": "sand", "lie.sits": "plugged"})
    club = bag.find("sand wedge")

    def sand(technique: str, **changed: float) -> float:
        """Area that is cut before the ball, in m2."""
        made = stroke(plugged, Candidate(msgspec.structs.replace(club, **changed), technique, False), table)
        return 0.5 * (made.give * made.descent * made.entry) ** 2 / made.fall

    assert sand("dig") < 0.7 * sand("splash")
    for narrow, wide in pairwise((0.015, 0.018, 0.021)):
        assert sand("splash", sole_width=narrow) < sand("splash", sole_width=wide)
    steep = put_all(plugged, {"player.turf_habit": "steep"})
    made = [stroke(s, Candidate(club, "dig", False), table) for s in (plugged, steep)]
    assert made[1].further < made[0].further


def test_momentum_is_shared_with_what_is_cut(table: Coefficients, bag: Bag) -> None:
    """First principles: as much sand as the head weighs leaves half of the speed that is left without it.

    Of a splash whose cut is worth what is cut under a clean ball, and that much more."""
    heavy, light = (
        msgspec.structs.replace(table, through=msgspec.structs.replace(table.through, width=width))
        for width in (table.through.width, 1e-9)
    )
    here = put_all(Situation(), {"lie.ground": "sand", "lie.sits": "half_down"})
    club = bag.find("sand wedge")
    made = stroke(here, Candidate(club, "splash", False), table)
    under = made.give * made.descent * made.entry
    extra = 0.5 * (under**2 - (under - made.more) ** 2) / made.fall
    mass = table.sand["fine"].density * table.through.width * extra
    speeds = [float(struck(here, [club], "splash", t, 0.7).speed[0]) for t in (heavy, light)]
    # On its way out it pushes a little more.
    expected = table.strike.head_mass / (table.strike.head_mass + mass)
    assert speeds[0] / speeds[1] == pytest.approx(expected, rel=0.03) and sqrt(extra) > 0.01


@pytest.mark.parametrize("ground", ["tight", "fairway", "fringe", "first_cut", "rough"])
@pytest.mark.parametrize("level", ["tour", "scratch", "10", "20"])
def test_an_embedded_ball_is_better_dropped_than_played(
    level: str, ground: str, bag: Bag, small: Coefficients
) -> None:
    """The drop is free (Rules of Golf 2023, 16.3). That it is worth taking is common practice, no source:
    two fifths of the ball are in the ground, and turf is between it and the face.

    Handicap 30 and juniors lose as much in first cut and rough by the drop, which leaves them there.
    """
    place = {"green.front": 13.0, "hole.distance": 25.0, "green.depth": 25.0, "lie.rough_depth": 0.05}
    here = put_all(Situation(), place | {"lie.ground": ground, "lie.sits": "plugged", "player.level": level})
    found = advise(here, bag, small, samples=96)
    free = next(e.strokes for e in found.escapes if e.kind == "embedded")
    assert free is not None
    more = found.shots[0].expected_strokes - free
    assert more > (0.05 if ground in ("first_cut", "rough") else 0.3)
