"""With nothing forced the advice chooses as teachers do (common practice, no source).

Level medium green at stimp 10, ball clean on short grass beside it, rough in between unless said otherwise;
the bag is the packaged one. The engine holds no rule that knows a loft or a club's name: these are outcomes.
"""

from __future__ import annotations

from collections.abc import Callable

import msgspec
import numpy as np
import pytest

from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.result import Advice, Shot
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import Air, Green, Ground, Hole
from shortgame_gui.model.lie import Lie, Stance
from shortgame_gui.model.player import THROUGH, Player
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.coefficients import load
from shortgame_gui.store.documents import packaged_bag

LOW = ("chip", "bump_and_run", "upright", "low_check", "pitch")
DEEP = Lie(ground="rough", sits="down", rough_depth=0.10)


@pytest.fixture(scope="module")
def table() -> Coefficients:
    return load()


def ask(
    table: Coefficients,
    level: str,
    carry: float,
    green: float,
    lie: Lie | None = None,
    approach: str = "rough",
    fringe: float = 1.0,
    samples: int | None = None,
) -> Advice:
    """Advice with ``carry`` m to the green and ``green`` m of it before the hole."""
    situation = Situation(
        lie=lie or Lie(),
        green=Green(front=carry, depth=30.0, left=12.0, right=12.0),
        hole=Hole(distance=carry + green),
        ground=Ground(approach=approach, fringe=fringe),
        player=Player(level=level),
    )
    return advise(situation, packaged_bag(), table, samples=samples)


def played_out(table: Coefficients) -> Coefficients:
    """Every shot as far as the leader: figures of one that leaves the race early err by 0.03 strokes."""
    return msgspec.structs.replace(
        table, choose=msgspec.structs.replace(table.choose, first=table.choose.samples)
    )


def best(advice: Advice, wanted: Callable[[Shot], bool]) -> Shot | None:
    """The best ranked shot that is ``wanted``."""
    return next((s for s in advice.shots if wanted(s)), None)


def loft(shot: Shot) -> float:
    """Loft of the shot's club in degrees."""
    return float(np.degrees(shot.club.loft))


@pytest.mark.parametrize("level", ["tour", "20"])
def test_a_lot_of_green_asks_for_a_low_chip(level: str, table: Coefficients) -> None:
    """Lofts of 50 degrees and less lead, or what does cannot be told from them."""
    found = ask(played_out(table), level, 5.0, 15.0)
    assert found.shots[0].technique in LOW
    low = best(found, lambda s: s.technique in LOW and loft(s) <= 50.5)
    assert low is not None and low.behind_best <= table.score.tie_strokes
    lob = best(found, lambda s: s.technique == "lob")
    assert lob is not None and lob.behind_best >= 0.15


@pytest.mark.parametrize("level", ["tour", "20"])
def test_little_green_does_not_let_a_chip_land_in_the_rough(level: str, table: Coefficients) -> None:
    found = ask(table, level, 10.0, 3.0)
    short = best(
        found,
        lambda s: s.technique in ("chip", "bump_and_run")
        and s.landing_past_edge is not None
        and s.landing_past_edge < -1.0,
    )
    assert short is not None and short.behind_best >= 0.2


def test_little_green_asks_the_tour_for_height(table: Coefficients) -> None:
    """An open face leads or is level with what does, a square one of the most loft; chips are behind."""
    found = ask(played_out(table), "tour", 10.0, 3.0)
    high = best(found, lambda s: s.technique in ("high_soft", "lob"))
    assert high is not None and high.behind_best <= table.score.tie_strokes
    assert loft(found.shots[0]) >= 56.0 - 0.5
    chip = best(found, lambda s: s.technique in ("chip", "bump_and_run"))
    assert chip is None or chip.behind_best >= 0.1


def test_little_green_spares_handicap_20_the_lob(table: Coefficients) -> None:
    """The most lofted wedge with a square face, played past the flag, is level with or ahead of the lob."""
    found = ask(table, "20", 10.0, 3.0)
    most = max(loft(s) for s in found.shots)
    square = best(found, lambda s: s.technique in ("pitch", "chip", "partial") and loft(s) == most)
    lob = best(found, lambda s: s.technique == "lob")
    assert square is not None and lob is not None
    assert square.behind_best <= lob.behind_best
    assert square.landing_past_edge is not None and square.landing_past_edge > 0.0
    assert square.finish_aim[0] > 0.0


@pytest.mark.parametrize("level", ["tour", "20"])
def test_from_the_fringe_a_putt_or_a_low_chip_wins(level: str, table: Coefficients) -> None:
    first = ask(table, level, 0.5, 12.0, approach="fringe", fringe=0.5).shots[0]
    assert first.technique in ("putt", "chip", "bump_and_run", "upright")


@pytest.mark.parametrize("level", ["tour", "10"])
def test_against_the_collar_of_longer_grass_nobody_putts(level: str, table: Coefficients) -> None:
    """The grass takes from a putt what nobody sees beforehand; a club that comes down meets less of it."""
    lie = Lie(ground="fringe", collar=True)
    first = ask(table, level, 0.5, 9.0, lie=lie, approach="fringe", fringe=0.5, samples=64).shots[0]
    assert first.technique != "putt"


@pytest.mark.parametrize("level", ["tour", "20"])
def test_deep_rough_asks_for_loft(level: str, table: Coefficients) -> None:
    # A gap wedge with its face laid open is 0.01 behind the sand wedge: fewer samples cannot tell.
    found = ask(table, level, 5.0, 15.0, lie=DEEP, samples=1024)
    assert 52.0 <= loft(found.shots[0]) <= 60.5
    iron = best(found, lambda s: s.club.name == "8-iron")
    assert iron is None or iron.behind_best >= 0.1


def test_from_clean_fine_sand_handicap_20_splashes(table: Coefficients) -> None:
    """Without a lip as well: a ball that lies in sand cannot be run out from it."""
    found = ask(table, "20", 6.0, 12.0, lie=Lie(ground="sand"))
    assert found.shots[0].technique == "splash"
    out = best(found, lambda s: s.technique in ("chip", "bump_and_run", "upright", "pitch"))
    assert out is None or out.behind_best >= 0.1


@pytest.mark.parametrize(("level", "carry"), [("10", 58.0), ("20", 33.0), ("20", 68.0)])
def test_from_clean_fine_sand_far_out_amateurs_go_for_most_of_the_way(
    level: str, carry: float, table: Coefficients
) -> None:
    """Without a lip they take the ball first, with less loft than a sand wedge, and accept some fat ones."""
    found = ask(table, level, carry, 12.0, lie=Lie(ground="sand"), approach="fairway")
    shot = found.shots[0]
    assert shot.technique not in THROUGH and loft(shot) < 50.0
    assert np.median(shot.finishes[0]) > 0.7 * (carry + 12.0)
    assert 0.1 < shot.trouble["fat"] < 0.35
    # A lip ahead takes that away.
    high = ask(table, level, carry, 12.0, lie=Lie(ground="sand", lip_height=1.2), approach="fairway").shots[0]
    assert high.technique in THROUGH or loft(high) > loft(shot)


@pytest.mark.parametrize(("level", "distance"), [("20", 90.0), ("30", 90.0), ("junior", 70.0)])
def test_who_hits_short_swings_an_iron_fully_from_far_out(
    level: str, distance: float, table: Coefficients
) -> None:
    """A full middle iron gets there where a pitch with a long one stops well short."""
    found = ask(table, level, distance - 12.0, 12.0, approach="fairway")
    assert (found.shots[0].technique, found.shots[0].club.kind) == ("partial", "iron")
    full = best(found, lambda s: s.technique == "partial" and s.club.kind == "iron" and s.reaches)
    pitch = best(found, lambda s: s.technique == "pitch")
    assert full is not None
    if pitch is not None:
        assert loft(full) > loft(pitch) and full.expected_strokes < pitch.expected_strokes


def test_a_head_wind_makes_no_shot_easier(table: Coefficients) -> None:
    """A ball comes down steeper in it, but the wind is another one for each (common practice, no source)."""
    calm = Situation(
        green=Green(front=48.0, depth=30.0, left=12.0, right=12.0), hole=Hole(distance=60.0),
        player=Player(level="tour"),
    )  # fmt: skip
    windy = msgspec.structs.replace(calm, air=Air(wind_along=-10.0))
    still, blown = (advise(s, packaged_bag(), table).shots[0].expected_strokes for s in (calm, windy))
    assert blown > still + 0.04


def test_chips_of_the_tour_finish_about_half_inside_a_metre(table: Coefficients) -> None:
    """From the fringe with 12 m of green: tour 0.42 to 0.60, handicap 20 0.14 to 0.28."""
    for level, low, high in (("tour", 0.42, 0.60), ("20", 0.14, 0.28)):
        found = ask(played_out(table), level, 1.0, 12.0, lie=Lie(ground="fringe"), approach="fairway")
        chip = best(found, lambda s: s.technique == "chip")
        assert chip is not None and low <= chip.inside[0] <= high


@pytest.mark.parametrize("level", ["tour", "20"])
@pytest.mark.parametrize(("across", "stimp"), [(0.08, 12.0), (0.10, 10.0)])
def test_a_green_that_holds_no_ball_is_played_all_the_same(
    level: str, across: float, stimp: float, table: Coefficients
) -> None:
    """From its edge, 5 m away: nothing stops by the hole, and still there is a least bad shot, started up the
    slope and not away from the hole; most miss and end below (common practice, no source)."""
    situation = Situation(
        lie=Lie(ground="fringe"),
        green=Green(front=0.0, depth=25.0, slope_across=across, speed=stimp * 0.3048),
        hole=Hole(distance=5.0),
        player=Player(level=level),
    )
    advice = advise(situation, packaged_bag(), table, samples=64)
    assert len(advice.shots) > 10
    assert advice.cautions == ("green_holds_no_ball",)
    first = advice.shots[0]
    assert 0.0 < first.start < np.radians(80.0)
    assert first.holed < 0.2 and first.expected_strokes > 2.5
    assert all(abs(shot.start) < 0.5 * np.pi for shot in advice.shots)


@pytest.mark.parametrize(("level", "fairway"), [("scratch", 8.0), ("20", 20.0)])
def test_through_much_fairway_nobody_putts(level: str, fairway: float, table: Coefficients) -> None:
    """Good players chip from 8 m of it already; from 3 m handicap 20 does putt. On medium ground: on firm
    links turf people putt from further."""
    first = ask(table, level, fairway, 12.0, approach="fairway").shots[0]
    assert first.technique != "putt"
    assert ask(table, "20", 3.0, 12.0, approach="fairway").shots[0].technique == "putt"


def test_a_green_that_nothing_stops_on_by_the_hole_is_still_played_to(table: Coefficients) -> None:
    """Out of rough on to a fast green that falls away and across: nothing rests near the hole, and laying up
    in the rough before it is not all while a putt is left from behind (common practice, no source)."""
    situation = Situation(
        lie=Lie(ground="rough", sits="up", rough_depth=0.08),
        stance=Stance(slope_along=0.15),
        green=Green(front=32.4, depth=25.0, speed=12.0 * 0.3048, slope_along=-0.03, slope_across=0.03),
        hole=Hole(distance=37.4),
        ground=Ground(approach="rough"),
        player=Player(level="20"),
    )
    shots = advise(situation, packaged_bag(), table).shots
    assert any(shot.landing[0] > 31.0 and shot.finish_aim[0] > 0.0 for shot in shots)


@pytest.mark.parametrize("level", ["10", "20", "30"])
def test_a_ball_that_lies_clean_in_rough_is_no_easier_than_on_fairway(
    level: str, few: Bag, table: Coefficients
) -> None:
    """From 70 m, where fat shots decide: long grass is no tee unless the ball sits up on it (common practice,
    no source)."""
    means = {}
    for ground in ("fairway", "first_cut", "rough"):
        situation = Situation(
            lie=Lie(ground=ground), green=Green(front=58.0), hole=Hole(distance=70.0),
            player=Player(level=level),
        )  # fmt: skip
        leaders = [advise(situation, few, table, seed=k).shots[0] for k in (1, 2)]
        means[ground] = np.mean([shot.expected_strokes for shot in leaders])
    assert min(means["first_cut"], means["rough"]) > means["fairway"] - 0.05, means


def test_longer_grass_costs_more(table: Coefficients) -> None:
    """Half down at the same share of it, for handicaps 20 and 30, whose fat shots decide (common practice,
    no source)."""
    for level in ("20", "30"):
        means = []
        for depth in (0.04, 0.12):
            situation = Situation(
                lie=Lie(ground="rough", sits="half_down", rough_depth=depth),
                green=Green(front=20.0, depth=25.0),
                hole=Hole(distance=30.0),
                ground=Ground(approach="rough"),
                player=Player(level=level),
            )
            leaders = [advise(situation, packaged_bag(), table, seed=k).shots[0] for k in (1, 2, 3)]
            means.append(np.mean([shot.expected_strokes for shot in leaders]))
        assert means[1] > means[0] + 0.1
