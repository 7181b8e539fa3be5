"""Side by side: what is held equal is equal, and every claim on the difference holds when worked out anew."""

from itertools import pairwise
from math import asin, atan2, hypot
from typing import Any

import numpy as np
import pytest

from shortgame_gui.advice.advise import bench_of
from shortgame_gui.advice.compare import HELD, NEAR, Comparison, Held, Pick, compare, usual_value
from shortgame_gui.advice.delivery import Strokes, stroke
from shortgame_gui.advice.difference import LINKS, Difference, comes_to_rest, difference
from shortgame_gui.advice.rules import KINDS, Candidate, refusal
from shortgame_gui.advice.solve import hit, plan
from shortgame_gui.advice.spreads import still
from shortgame_gui.advice.trace import trace
from shortgame_gui.advice.ways import tracks_of
from shortgame_gui.model.base import FieldError
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import Band, Obstacle, Shape
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.shot import Result
from shortgame_gui.store.documents import read_demo
from shortgame_gui.words.compare import READERS, figure, paragraph
from shortgame_gui.words.numbers import Style


@pytest.fixture(scope="module")
def chips(bag: Bag) -> list[Pick]:
    """The same short stroke with four lofts."""
    return [(bag.find(n), "chip") for n in ("60-degree wedge", "sand wedge", "pitching wedge", "7-iron")]


# What is held equal ---------------------------------------------


@pytest.mark.parametrize("held", HELD)
def test_what_is_held_is_equal(held: Held, chips: list[Pick], table: Coefficients) -> None:
    found = compare(Situation(), chips, table, held)
    assert [shot.key for shot in found.shots] == [(club.name, t) for club, t in chips]
    assert not found.not_done
    figures = {
        "landing": [shot.track.position[0, shot.track.landing] for shot in found.shots],
        "finish": [shot.track.position[0, -1] for shot in found.shots],
        "swing": [shot.head_speed for shot in found.shots],
    }[held]
    # Far better than what is let through; a finish jumps by centimetres where a bounce more is one too many.
    fine = {"landing": 0.02, "finish": 0.05, "swing": 1e-9}[held]
    assert figures == pytest.approx([found.value] * len(chips), abs=fine)
    assert all(abs(shot.track.position[1, -1]) < 0.05 for shot in found.shots)


def test_on_a_slope_across_all_land_on_one_spot_and_stop_apart(
    chips: list[Pick], table: Coefficients
) -> None:
    """What runs longer breaks more (common practice, no source); the spot is the same all the same."""
    across = put_all(Situation(), {"green.slope_across": 0.03, "air.wind_across": 4.0})
    shots = compare(across, chips, table, "landing", 8.0).shots
    assert len(shots) == len(chips)
    for shot in shots:
        assert shot.track.position[:2, shot.track.landing] == pytest.approx([8.0, 0.0], abs=0.03)
        assert shot.carry == pytest.approx(8.0, abs=0.03)
    breaks = [-float(shot.track.position[1, -1]) for shot in shots]
    assert breaks == sorted(breaks) and breaks[-1] > breaks[0] + 0.3
    stops = compare(across, chips, table, "finish", 16.0).shots
    assert all(abs(shot.track.position[1, -1]) < 0.1 for shot in stops)


def test_the_lower_club_runs_more(chips: list[Pick], table: Coefficients) -> None:
    """From one landing spot less loft runs more, and flies lower (common practice, no source)."""
    shots = compare(Situation(), chips, table, "landing", 8.0).shots
    for high, low in pairwise(shots):
        assert low.run > high.run + 0.5
        assert low.landing_angle < high.landing_angle
        assert low.forward_after > high.forward_after
    assert usual_value(Situation(), chips, table, "landing") < Situation().hole.distance


def test_a_splash_is_not_landed_where_the_green_begins(bag: Bag, table: Coefficients) -> None:
    """From a bunker 3.5 m before the green and 25 m from the hole, a splash that lands just on it runs a few
    metres: nobody plays that (common practice, no source)."""
    bunker = read_demo("situations/11-bunker-under-the-lip.json")
    splashes = [(bag.find(club), "splash") for club in ("sand wedge", "gap wedge")]
    spot = usual_value(bunker, splashes, table, "landing")
    shots = compare(bunker, splashes, table, "landing", spot).shots
    assert len(shots) == 2 and all(0.6 * bunker.hole.distance < shot.total < 26.0 for shot in shots)


@pytest.mark.parametrize(
    ("path", "value"), [("green.speed", 4.0), ("green.slope_along", -0.04), ("green.firmness", 115.0)]
)
def test_a_quicker_green_moves_every_shot_together(
    path: str, value: float, chips: list[Pick], table: Coefficients
) -> None:
    before = compare(Situation(), chips, table, "landing", 8.0)
    after = compare(put_all(Situation(), {path: value}), chips, table, "landing", 8.0)
    assert all(b.run > a.run for a, b in zip(before.shots, after.shots, strict=True))


def test_a_swing_that_is_usual_finishes_at_the_hole(chips: list[Pick], table: Coefficients) -> None:
    found = compare(Situation(), chips, table, "swing")
    assert found.shots[0].total == pytest.approx(Situation().hole.distance, abs=NEAR["finish"])
    assert compare(Situation(), [], table, "swing").shots == ()


def test_figures_are_those_of_the_trace(chips: list[Pick], table: Coefficients) -> None:
    """The same shot asked for alone, by another way: same speed, strike, flight and bounce."""
    hole_away = put_all(Situation(), {"hole.distance": 29.0})  # so that no ball drops in the trace
    for shot in compare(hole_away, chips, table, "landing", 9.0).shots:
        one = trace(hole_away, table, shot.club, shot.technique, land=9.0)
        assert shot.head_speed == pytest.approx(one.head_speed, abs=0.01)
        assert shot.delivered_loft == pytest.approx(float(one.ball.loft[0]), abs=1e-6)
        assert shot.apex == pytest.approx(float(one.result.apex[0]), abs=0.01)
        assert shot.total == pytest.approx(float(one.result.rest[0, 0]), abs=0.05)
        assert shot.stop_time == pytest.approx(
            float(one.result.time[0] - one.result.landing_time[0]), abs=0.05
        )


def test_an_earlier_comparison_saves_time_only(chips: list[Pick], table: Coefficients) -> None:
    """Swings that still land on the spot are kept; where they do not, all is solved anew."""
    before = compare(Situation(), chips, table, "landing", 8.0)
    quick = put_all(Situation(), {"green.speed": 3.6})
    # A tailwind carries the same swings past the spot.
    windy = put_all(Situation(), {"air.wind_along": 6.0})
    for situation, kept in ((quick, True), (windy, False)):
        new, old = (compare(situation, chips, table, "landing", 8.0, before=b) for b in (before, None))
        speeds = [shot.head_speed for shot in new.shots]
        assert (speeds == [shot.head_speed for shot in before.shots]) is kept
        for a, b in zip(new.shots, old.shots, strict=True):
            assert a.run == pytest.approx(b.run, abs=0.02) and a.carry == pytest.approx(b.carry, abs=0.02)
    fewer = compare(quick, chips[:2], table, "landing", 8.0, before=before)
    assert len(fewer.shots) == 2


def test_alone_or_with_others(chips: list[Pick], table: Coefficients) -> None:
    together = compare(Situation(), chips, table, "finish").shots
    for pick, shot in zip(chips, together, strict=True):
        assert compare(Situation(), [pick], table, "finish").shots[0].run == pytest.approx(shot.run, abs=1e-9)


# Behind something -----------------------------------------------


def behind_a_trunk(mirrored: bool) -> Situation:
    """A trunk 5 m ahead, less of it on the left; a wide green that is the same all over."""
    left, right = (1.0, 0.5) if mirrored else (0.5, 1.0)
    trunk = Obstacle(at=5.0, low=0.0, high=9.0, left=left, right=right)
    hand = {"player.hand": "left"} if mirrored else {}
    return put_all(
        Situation(),
        {
            "hole.distance": 25.0, "green.front": 8.0, "green.depth": 50.0, "green.left": 40.0,
            "green.right": 40.0, "ground.obstacles": (trunk,), **hand,
        },
    )  # fmt: skip


@pytest.mark.parametrize("held", HELD)
@pytest.mark.parametrize("mirrored", [False, True])
def test_what_a_trunk_stops_goes_past_its_nearer_edge_as_it_would_on_the_line(
    held: Held, mirrored: bool, bag: Bag, table: Coefficients
) -> None:
    """Ground that is the same all over has no direction of its own, so only the line is another."""
    picks = [(bag.find(n), t) for n, t in (("sand wedge", "chip"), ("9-iron", "chip"), ("putter", "putt"))]
    picks = picks if held == "finish" else picks[:2]
    trunk, value = behind_a_trunk(mirrored), {"landing": 12.0, "finish": 21.0, "swing": 9.0}[held]
    round_it = compare(trunk, picks, table, held, value)
    free = compare(put_all(trunk, {"ground.obstacles": ()}), picks, table, held, value)
    assert len(round_it.shots) == len(free.shots) == len(picks)
    for one, other in zip(round_it.shots, free.shots, strict=True):
        assert other.toward == 0.0 and not one.obstacle
        at_trunk = float(np.interp(5.0, *one.track.position[:2]))
        assert (at_trunk < -0.5) if mirrored else (at_trunk > 0.5)
        assert one.head_speed == pytest.approx(other.head_speed, rel=0.02)
        assert one.carry == pytest.approx(other.carry, abs=0.1)
        assert one.total == pytest.approx(other.total, abs=0.3)
        spot = {"landing": one.carry, "finish": one.total, "swing": one.head_speed}[held]
        assert spot == pytest.approx(value, abs=NEAR.get(held, 1e-9))


def test_round_a_trunk_the_swings_are_played_again_when_the_green_changes(
    bag: Bag, table: Coefficients
) -> None:
    picks, trunk = [(bag.find(n), "chip") for n in ("sand wedge", "7-iron")], behind_a_trunk(False)
    before = compare(trunk, picks, table, "landing", 12.0)
    fast = compare(put_all(trunk, {"green.speed": 3.6}), picks, table, "landing", 12.0, before=before)
    for one, other in zip(before.shots, fast.shots, strict=True):
        assert (one.head_speed, one.aim, one.toward) == (other.head_speed, other.aim, other.toward)
        assert other.run > one.run + 0.3


def test_what_flies_over_it_stays_on_the_line(bag: Bag, table: Coefficients) -> None:
    low = put_all(behind_a_trunk(False), {"ground.obstacles": (Obstacle(at=5.0, high=0.3),)})
    shots = compare(low, [(bag.find("sand wedge"), "pitch")], table, "finish", 25.0).shots
    assert [shot.toward for shot in shots] == [0.0]


def test_nothing_is_played_far_round(bag: Bag, table: Coefficients) -> None:
    """Past a hedge that reaches as far aside as it is away twice over no shot goes at the hole."""
    hedge = put_all(behind_a_trunk(False), {"ground.obstacles": (Obstacle(at=5.0, high=9.0),)})
    found = compare(hedge, [(bag.find("sand wedge"), "chip")], table, "landing", 12.0)
    assert [shot.reason for shot in found.not_done] == ["stopped"]
    assert found.not_done[0].high == pytest.approx(5.0, abs=0.1)


# What could not be done -----------------------------------------


def test_what_cannot_be_held_says_why(bag: Bag, table: Coefficients) -> None:
    putt, chip = (bag.find("putter"), "putt"), (bag.find("sand wedge"), "chip")

    def reasons(held: Held, value: float, s: Situation) -> dict[str, Any]:
        return {n.technique: n for n in compare(s, [putt, chip], table, held, value).not_done}

    assert reasons("landing", 8.0, Situation())["putt"].reason == "does_not_land"
    far = reasons("landing", 95.0, Situation())["chip"]
    assert far.reason == "no_speed_lands_there" and 10.0 < far.high < 95.0
    assert reasons("finish", 105.0, Situation())["chip"].reason == "no_speed_finishes_there"
    fast = reasons("swing", 40.0, Situation())
    assert {n.reason for n in fast.values()} == {"swing_out_of_range"}
    assert fast["chip"].low < fast["chip"].high < 40.0
    # Nothing comes to rest in water.
    pond = put_all(Situation(), {"ground.bands": (Band(surface="water", start=14.0, end=20.0),)})
    assert "chip" in reasons("finish", 17.0, pond)


def test_what_the_rules_refuse_is_played_with_the_reason(bag: Bag, table: Coefficients) -> None:
    rough = put_all(Situation(), {"lie.ground": "rough"})
    pick = (bag.find("sand wedge"), "low_check")
    (shot,) = compare(rough, [pick], table, "landing", 8.0).shots
    assert shot.refused == refusal(rough, *pick) == "no_clean_contact"
    with pytest.raises(KeyError):
        compare(rough, [(bag.find("sand wedge"), "no such thing")], table, "landing", 8.0)


# Claims, worked out anew ----------------------------------------


def random_situation(rng: np.random.Generator) -> Situation:
    """Any lie, slopes, green and wind, now and then a bunker, water or a step in the ground."""

    def one_of(*values: Any) -> Any:
        return values[int(rng.integers(len(values)))]

    while True:
        ground = one_of("tight", "fairway", "fringe", "first_cut", "rough", "bare", "divot", "sand")
        front = float(rng.uniform(0.0, 25.0))
        values = {
            "lie.ground": ground,
            "lie.sits": one_of("clean", "half_down", "plugged" if ground == "sand" else "up"),
            "lie.wet": one_of(False, True),
            "stance.slope_along": float(rng.uniform(-0.2, 0.2)),
            "stance.slope_across": float(rng.uniform(-0.1, 0.1)),
            "green.front": front,
            "green.depth": 30.0,
            "hole.distance": front + float(rng.uniform(3.0, 25.0)),
            "green.speed": float(rng.uniform(2.2, 4.0)),
            "green.firmness": float(rng.uniform(55.0, 130.0)),
            "green.slope_along": float(rng.uniform(-0.04, 0.04)),
            "green.slope_across": float(rng.uniform(-0.02, 0.02)),
            "green.wet": one_of(False, False, True),
            "air.wind_along": float(rng.uniform(-6.0, 6.0)),
            "player.level": one_of("tour", "10", "30", "junior"),
            "player.hand": one_of("right", "left"),
            "player.ball_cover": one_of("soft", "hard"),
        }
        if rng.random() < 0.3 and front > 4.0:
            surface = one_of("sand", "water", "rough")
            values["ground.bands"] = (Band(surface=surface, start=front - 3.0, end=front),)
        if rng.random() < 0.3:
            values["ground.shapes"] = (Shape(kind=one_of("tier", "run_off"), at=front + 6.0),)
        try:
            return put_all(Situation(), values)
        except FieldError:
            continue


@pytest.fixture(scope="module")
def pairs(bag: Bag, table: Coefficients) -> list[tuple[Comparison, Difference]]:
    """200 pairs of shots out of some 40 random situations."""
    rng = np.random.default_rng(5)
    every = [(club, t) for t, kinds in KINDS.items() for club in bag.clubs if club.kind in kinds]
    made: list[tuple[Comparison, Difference]] = []
    turn = 0
    while len(made) < 200:
        picks = [(bag.find("putter"), "putt")]
        picks += [every[k] for k in rng.choice(len(every), 9, replace=False) if every[k][1] != "putt"]
        found = compare(random_situation(rng), picks, table, HELD[turn % 3])
        shots = [found.shots[k] for k in rng.permutation(len(found.shots))]
        made += [(found, difference(a, b, found.held, found.value)) for a, b in pairwise(shots)]
        turn += 1
    assert turn > 20
    return made[:200]


def anew(found: Comparison, table: Coefficients) -> dict[tuple[str, str], dict[str, float]]:
    """Every figure of the links from balls, bounces and paths, all shots played again by themselves."""
    bench = bench_of(found.situation, table)
    owned = found.situation.player.techniques
    candidates = [
        Candidate(s.club, s.technique, getattr(owned, s.technique) == "learning") for s in found.shots
    ]
    strokes = Strokes.of([stroke(found.situation, candidate, table) for candidate in candidates])
    speed, aim = (np.array([getattr(s, f) for s in found.shots]) for f in ("head_speed", "aim"))
    plans = plan(np.arange(len(speed)), speed, aim)
    ball, result = hit(bench, strokes, plans, still(1), hole=False, trace=True)
    made = {}
    for k, (shot, way) in enumerate(zip(found.shots, tracks_of(result), strict=True)):
        vx, vy, vz = ball.velocity[:, k]
        size = (vx * vx + vy * vy + vz * vz) ** 0.5
        landing, end = way.position[:2, way.landing], way.position[:2, -1]
        carry, total = hypot(*landing), hypot(*end) * (1.0 if end[0] >= 0.0 else -1.0)
        made[shot.key] = bounced(result, k) | {
            "delivered_loft": float(ball.loft[k]),
            "ball_speed": size,
            "launch": asin(vz / size),
            "spin": -float(ball.spin[1, k]),
            "apex": float(way.position[2, : way.roll + 1].max()),
            "carry": carry,
            "run": total - carry,
            "total": total,
        }
    return made


def bounced(result: Result, k: int) -> dict[str, float]:
    """What the first bounce of ball ``k`` did."""
    if result.bounces is None or not result.count[k]:
        vx, vy, vz = result.landing_velocity[:, k]
        return {"landing_angle": atan2(-vz, hypot(vx, vy))}
    into, out = result.bounces.velocity_in[0, :, k], result.bounces.velocity_out[0, :, k]
    flat = hypot(into[0], into[1])
    return {
        "landing_angle": atan2(-into[2], flat),
        "forward_after": float(np.dot(out[:2], into[:2] / flat)),
        "spin_after": -float(result.bounces.spin_out[0, 1, k]),
    }


#: cause, effect -> what physics leads one to expect: 1 for more of both, -1 for less of the other
EXPECTED = {
    ("delivered_loft", "launch"): 1, ("delivered_loft", "spin"): 1, ("launch", "apex"): 1,
    ("launch", "landing_angle"): 1, ("apex", "landing_angle"): 1, ("landing_angle", "forward_after"): -1,
    ("spin", "forward_after"): -1, ("spin", "spin_after"): 1, ("forward_after", "run"): 1,
    ("spin_after", "run"): -1, ("run", "carry"): -1,
}  # fmt: skip


def test_every_claim_of_200_random_pairs_holds(
    pairs: list[tuple[Comparison, Difference]], table: Coefficients
) -> None:
    """The figures are independent of `compare` down to the simulator, which both ask."""
    told: set[str] = set()
    known: dict[int, dict[tuple[str, str], dict[str, float]]] = {}
    for found, pair in pairs:
        if id(found) not in known:
            known[id(found)] = anew(found, table)
        again = known[id(found)]
        a, b = again[pair.first.key], again[pair.second.key]
        assert len(pair.claims) >= 2 and len({claim.link for claim in pair.claims}) == len(pair.claims)
        ways: dict[str, int] = {}
        for claim in pair.claims:
            told.add(claim.link)
            fine = {"apex": 0.03, "carry": 0.02, "run": 0.02, "total": 0.02}.get(claim.link, 1e-6)
            assert claim.first == pytest.approx(a[claim.link], abs=fine), claim
            assert claim.second == pytest.approx(b[claim.link], abs=fine), claim
            gap = a[claim.link] - b[claim.link]
            if abs(abs(gap) - LINKS[claim.link].step) > 2.0 * fine:
                way = 0 if abs(gap) < LINKS[claim.link].step else (1 if gap > 0 else -1)
                assert claim.relation == {0: "same", 1: "more", -1: "less"}[way], claim
            ways[claim.link] = {"same": 0, "more": 1, "less": -1}[claim.relation]
            pulls = {
                cause: ways[cause] * expected * ways[claim.link]
                for (cause, effect), expected in EXPECTED.items()
                if effect == claim.link and cause in ways
            }
            assert set(claim.because) == {cause for cause, pull in pulls.items() if pull > 0}, claim
            assert set(claim.against) == {cause for cause, pull in pulls.items() if pull < 0}, claim
        ran = comes_to_rest(pair.first) and comes_to_rest(pair.second)
        assert ("run" in ways) is ran and len(pair.stopped) == (not comes_to_rest(pair.first)) + (
            not comes_to_rest(pair.second)
        )
        if ran:
            assert a["run"] > b["run"] - LINKS["run"].step
    # Nothing of the chain was left untold, and all three things were held.
    assert told == set(LINKS)
    assert {found.held for found, _ in pairs} == set(HELD)


def test_every_paragraph_names_two_links_with_both_figures(
    pairs: list[tuple[Comparison, Difference]],
) -> None:
    for (_found, pair), reader in zip(pairs, [*READERS] * 100, strict=True):
        for style in (Style(True), Style(False, ",")):
            text = paragraph(pair, style, reader)
            named = [
                claim.link
                for claim in pair.claims
                if figure(claim.link, claim.first, style) in text
                and figure(claim.link, claim.second, style) in text
            ]
            assert len(named) >= 2, text
            assert "{" not in text and "nan" not in text and text[0].isupper() and text.endswith(".")
